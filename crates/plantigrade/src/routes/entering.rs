//! Beginning a session, however somebody came in, and the step between a right password and a session.

use super::gate;
use crate::{
    access::first_page,
    clock::Clock,
    web::{PageResult, Shared, Visitor, to, work},
};
use axum::response::{IntoResponse, Redirect};
use record::{Roles, UserId};

/// Begins a session and ends the previous one.
pub async fn begin(app: &Shared, visitor: &Visitor, user: UserId, then: &str) -> PageResult {
    let old = visitor.token.clone();
    let token = work(app, move |app| {
        if let Some(old) = old {
            app.sessions.end_session(&old)?;
        }
        let accounts = app.records.accounts();
        let roles = accounts.account(user)?.map_or(Roles::NONE, |account| account.roles);
        let token = app.sessions.begin(user, app.clock.now())?;
        if app.requires_second_factor(roles) && !accounts.factors(user)?.any() {
            // Nothing but the set-up opens now, and the password was typed just now.
            app.open_steps.confirm(token.hash(), Clock::machine_seconds());
        }
        Ok((token, roles.rights()))
    });
    let (token, rights) = token.await?;
    let then = match gate::own_path(then) {
        "/" => first_page(rights),
        path => path,
    };
    let mut response = Redirect::to(then).into_response();
    gate::set_session(app, &mut response, &token);
    Ok(response)
}

/// Where somebody goes whose password was right: into a session, or to the second step first.
pub async fn go_on(app: &Shared, visitor: &Visitor, user: UserId, then: &str) -> PageResult {
    let factors = work(app, move |app| Ok(app.records.accounts().factors(user)?)).await?;
    if factors.any() { second_step(app, visitor, user, then) } else { begin(app, visitor, user, then).await }
}

/// Leads to the page of the second step.
pub fn second_step(app: &Shared, visitor: &Visitor, user: UserId, then: &str) -> PageResult {
    let token = app.open_steps.wait(user, visitor.holder(), then, Clock::machine_seconds());
    to(&format!("/sign-in/second/{}", token.text()))
}
