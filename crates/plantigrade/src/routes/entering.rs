//! Beginning a session, however somebody came in, what is shown then, and the step between a right password and a
//! session.

use super::gate;
use crate::{
    access::first_page,
    auth::Token,
    clock::Clock,
    web::{Fail, PageResult, Shared, Visitor, to, work},
};
use axum::{
    Json,
    response::{IntoResponse, Redirect, Response},
};
use pages::RequestError;
use record::{Rights, Roles, UserId};
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
        let accounts = app.records.accounts();
        let account = accounts.account(user)?;
        let roles = account.as_ref().map_or(Roles::NONE, |account| account.roles);
        if let (Some(account), Some(place)) = (&account, &place) {
            app.throttle.signed_in(&account.name, place, Clock::machine_seconds());
        }
        let token = app.sessions.begin_at(user, place, now)?;
        if let Some(place) = place {
            app.records.pins().was_right(user, place)?;
        }
        if app.requires_second_factor(roles) && !accounts.factors(user)?.any() {
            // Nothing but the set-up opens now, and the password was typed just now.
            app.open_steps.confirm(token.hash(), Clock::machine_seconds());
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
#[derive(Debug, Default, Serialize)]
pub struct EnteredAnswer {
    /// The person; empty if nobody has come in yet.
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

    /// The page that was asked for.
    #[must_use]
    pub fn asked_for(self) -> &'a str {
        gate::own_path(self.then)
    }

    /// Whether a script asks that stays on its page.
    #[must_use]
    pub const fn is_part(self) -> bool {
        self.part
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

/// Where somebody goes whose password was right: into a session, or to the second step first.
pub async fn go_on(app: &Shared, visitor: &Visitor, user: UserId, after: After<'_>) -> PageResult {
    let factors = work(app, move |app| Ok(app.records.accounts().factors(user)?)).await?;
    if factors.any() {
        second_step(app, visitor, user, after)
    } else {
        begin_as(app, visitor, user, after).await
    }
}

/// Leads to the page of the second step. A script that asks over a page leaves that page; what was filled in on it is
/// a draft.
pub fn second_step(app: &Shared, visitor: &Visitor, user: UserId, after: After<'_>) -> PageResult {
    let token = app.open_steps.wait(user, visitor.holder(), after.asked_for(), Clock::machine_seconds());
    let path = format!("/sign-in/second/{}", token.text());
    if after.is_part() {
        Ok(Json(EnteredAnswer { then: path, ..EnteredAnswer::default() }).into_response())
    } else {
        to(&path)
    }
}
