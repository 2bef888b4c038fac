//! Beginning a session, however somebody came in.

use super::gate;
use crate::{
    access::first_page,
    web::{PageResult, Shared, Visitor, work},
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
        let roles = app.records.accounts().account(user)?.map_or(Roles::NONE, |account| account.roles);
        Ok((app.sessions.begin(user, app.clock.now())?, roles.rights()))
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
