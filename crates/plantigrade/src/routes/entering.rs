//! Beginning a session, however somebody came in, and the step between a right password and a session.

use super::{
    gate,
    session::{After, EnteredAnswer, entered},
};
use crate::{
    auth::Token,
    clock::Clock,
    web::{PageResult, Shared, Visitor, to, work},
};
use axum::{Json, response::IntoResponse};
use record::{Roles, UserId};

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
        let roles = accounts.account(user)?.map_or(Roles::NONE, |account| account.roles);
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
