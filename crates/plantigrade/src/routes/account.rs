//! The own account: password and sessions.

use super::{
    choose_password::{filled_password, own_names},
    people::session_words,
};
use crate::{
    app::App,
    auth::{self, PASSWORD_HINT, SignInResult},
    web::{Fail, PageResult, Posted, Shared, Visitor, again, page as shown, to, work},
};
use axum::extract::{Query, State};
use clinic::{Session, TokenHash};
use pages::{AccountView, Here, Message, OLD_PASSWORD, OwnSession, RequestError, SESSION, fields::Filled};
use record::UserId;
use serde::Deserialize;
use std::fmt::Write as _;

/// What was just done.
#[derive(Debug, Deserialize)]
pub struct AccountQuery {
    done: Option<String>,
}

/// The page.
pub async fn page(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(query): Query<AccountQuery>,
) -> PageResult {
    let mut frame = app.frame(&visitor, Here::Account);
    frame.message = match query.done.as_deref() {
        Some("password") => Some("The password is changed. Your other sessions are ended."),
        Some("ended") => Some("The session is ended."),
        _ => None,
    }
    .map(|text| Message::Done(text.to_owned()));
    let (user, this) = (visitor.user()?, visitor.token.as_ref().map(auth::Token::hash));
    let view = work(&app, move |app| view(app, user, this, Filled::default())).await?;
    shown(pages::account(&frame, &view))
}

fn view(app: &App, user: UserId, this: Option<TokenHash>, filled: Filled) -> Result<AccountView, Fail> {
    let account = app.records.accounts().account(user)?.ok_or_else(Fail::not_found)?;
    let own = |session: &Session| OwnSession {
        key: key(&session.token_hash),
        words: session_words(session),
        is_this: Some(session.token_hash) == this,
    };
    Ok(AccountView {
        name: account.display_name,
        sign_in_name: account.name,
        roles: account.roles,
        second: format!("{}.", super::second_factor::words(app.records.accounts().factors(user)?)),
        sessions: app.sessions.of(user, app.clock.now())?.iter().map(own).collect(),
        password_hint: PASSWORD_HINT,
        filled,
    })
}

/// What names a session in a form of its owner: its hash, from which the token cannot be found.
fn key(hash: &TokenHash) -> String {
    hash.iter().fold(String::with_capacity(64), |mut text, byte| {
        // Writing to a string does not fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// Changes the password, if the present one is right.
pub async fn change_password(
    State(app): State<Shared>,
    visitor: Visitor,
    Posted(filled): Posted,
) -> PageResult {
    let (frame, user) = (app.frame(&visitor, Here::Account), visitor.user()?);
    let (this, from) = (visitor.token.as_ref().map(auth::Token::hash), visitor.from);
    let _permit = app.hashing.acquire().await;
    let wrong = work(&app, move |app| {
        let account = app.records.accounts().account(user)?.ok_or_else(Fail::not_found)?;
        // As at the sign-in, with its throttle: a session left open is no place to guess.
        match app.authenticate(from, &account.name, filled.value(OLD_PASSWORD), None)? {
            SignInResult::SignedIn(_) | SignInResult::CodeNeeded(..) => {}
            SignInResult::Throttled => return Err(Fail(RequestError::TooMany)),
            _ => {
                let text = "The present password is wrong.";
                return view(app, user, this, Filled::default().wrong(OLD_PASSWORD, text)).map(Some);
            }
        }
        match filled_password(&own_names(app, &account), &filled) {
            Err(wrong) => view(app, user, this, wrong).map(Some),
            Ok(password) => {
                let hash = auth::hash_password(&password).map_err(|error| Fail::fault(&error.to_string()))?;
                app.records.accounts().set_password(user, hash, this)?;
                Ok(None)
            }
        }
    });
    match wrong.await? {
        None => to("/account?done=password"),
        Some(view) => again(pages::account(&frame, &view)),
    }
}

/// Ends one of the own sessions.
pub async fn end_session(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let (user, wanted) = (visitor.user()?, filled.value(SESSION).to_owned());
    let this = visitor.token.as_ref().map(auth::Token::hash);
    let ended = work(&app, move |app| {
        let accounts = app.records.accounts();
        let found = accounts.sessions_of(user)?.into_iter().find(|one| key(&one.token_hash) == wanted);
        // Ended already is as good.
        let Some(session) = found else { return Ok(None) };
        accounts.end_session(session.token_hash)?;
        Ok(Some(session.token_hash))
    });
    let ended = ended.await?;
    if ended.is_some() && ended == this { to("/sign-in") } else { to("/account?done=ended") }
}
