//! Beginning a session, however somebody came in, and what is shown then.

use super::gate;
use crate::{
    access::first_page,
    auth::Token,
    web::{Fail, PageResult, Shared, Visitor, work},
};
use axum::{
    Json,
    response::{IntoResponse, Redirect, Response},
};
use pages::RequestError;
use record::{Rights, UserId};
use serde::Serialize;

/// Begins a session and leaves the previous one.
pub async fn begin(app: &Shared, visitor: &Visitor, user: UserId, then: &str) -> PageResult {
    begin_as(app, visitor, user, After::own(then, false)).await
}

/// As [`begin`], with what is shown then.
pub async fn begin_as(app: &Shared, visitor: &Visitor, user: UserId, after: After<'_>) -> PageResult {
    let old = visitor.token.clone();
    // The browser of this computer is known by a token of its own, a device of the clinic's network is enrolled.
    let fresh = visitor.place.is_none().then(Token::new);
    let place = visitor.place.or_else(|| fresh.as_ref().map(Token::hash));
    let token = work(app, move |app| {
        let now = app.clock.now();
        if let Some(old) = old {
            app.sessions.leave(&old, user, now)?;
        }
        let token = app.sessions.begin_at(user, place, now)?;
        if let Some(place) = place {
            app.records.pins().was_right(user, place)?;
        }
        Ok(token)
    });
    let token = token.await?;
    let mut response = entered(app, Some(&token), user, after, Some(&token)).await?;
    if let Some(fresh) = fresh {
        gate::set_place(app, &mut response, &fresh);
    }
    Ok(response)
}

/// What the script is told once somebody has come back.
#[derive(Debug, Serialize)]
pub struct EnteredAnswer {
    /// The person.
    pub person: String,
    /// The token for the forms of the page.
    pub csrf: String,
    /// The page to open, if it is not this person's page that is open.
    pub then: String,
}

/// What is shown to somebody who has come in.
#[derive(Clone, Copy)]
pub struct After<'a> {
    /// The page that they asked for, or that was open.
    then: &'a str,
    /// Whether the script asks, which stays on its page.
    part: bool,
    /// Whether the page was that of another person, so that it is shown only to who may see it.
    switched: bool,
}

impl<'a> After<'a> {
    /// The page that the person asked for.
    #[must_use]
    pub const fn own(then: &'a str, part: bool) -> Self {
        Self { then, part, switched: false }
    }

    /// The page that another person had open.
    #[must_use]
    pub const fn switch(then: &'a str, part: bool) -> Self {
        Self { then, part, switched: true }
    }

    fn path(self, rights: Rights) -> &'a str {
        match gate::own_path(self.then) {
            "/" => first_page(rights),
            path if self.switched && !super::is_open_to(path, rights) => first_page(rights),
            path => path,
        }
    }
}

/// The answer to somebody who has come in.
///
/// # Errors
/// When the records cannot be read.
pub async fn entered(
    app: &Shared,
    token: Option<&Token>,
    user: UserId,
    after: After<'_>,
    set: Option<&Token>,
) -> PageResult {
    let token = token.cloned();
    let who = work(app, move |app| {
        let now = app.clock.now();
        Ok(token.map(|token| app.sessions.who(&token, now)).transpose()?.flatten())
    });
    let who = who.await?.filter(|who| who.user == user).ok_or(Fail(RequestError::Stale))?;
    let then = after.path(who.roles.rights());
    let mut response: Response = if after.part {
        let answer =
            EnteredAnswer { person: user.to_string(), csrf: who.csrf.clone(), then: then.to_owned() };
        Json(answer).into_response()
    } else {
        Redirect::to(then).into_response()
    };
    if let Some(token) = set {
        gate::set_session(app, &mut response, token);
    }
    Ok(response)
}
