//! The own account: password and sessions.

use super::{
    choose_password::{filled_password, own_names},
    people::session_words,
};
use crate::{
    app::App,
    auth::{self, AttemptFrom, PASSWORD_HINT, PIN_HINT, PIN_TRIES, PinError},
    web::{Fail, PageResult, Posted, Shared, Visitor, again, page as shown, to, work},
};
use axum::extract::{Query, State};
use clinic::{Account, Session, TokenHash};
use pages::{
    AccountView, Here, LANGUAGE, Message, OLD_PASSWORD, OwnPin, OwnSession, PIN, PIN_AGAIN, PIN_PASSWORD,
    PageLanguage, RequestError, SESSION, fields::Filled,
};
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
        Some("pin") => Some("The PIN is set on this device."),
        Some("language") => Some("The language is saved."),
        Some("no-pin") => Some("The PIN of this device is removed."),
        _ => None,
    }
    .map(|text| Message::Done(text.to_owned()));
    let view = work(&app, move |app| view(app, &visitor, Filled::default(), Filled::default())).await?;
    shown(pages::account(&frame, &view))
}

/// The page; `password` and `pin` are its forms as they were sent.
fn view(app: &App, visitor: &Visitor, password: Filled, pin: Filled) -> Result<AccountView, Fail> {
    let (user, this) = (visitor.user()?, visitor.token.as_ref().map(auth::Token::hash));
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
        pin: visitor.place.map(|place| own_pin(app, visitor, user, &place, pin)).transpose()?,
        filled: password,
    })
}

fn own_pin(
    app: &App,
    visitor: &Visitor,
    user: UserId,
    place: &TokenHash,
    filled: Filled,
) -> Result<OwnPin, Fail> {
    let wrong = app.records.pins().wrong(user, place)?;
    Ok(OwnPin {
        device: pages::words::capital(&visitor.device_words()),
        is_set: wrong.is_some(),
        is_off: wrong.is_some_and(|wrong| wrong >= PIN_TRIES),
        hint: PIN_HINT,
        filled,
    })
}

/// Sets the language in which the person reads pages.
pub async fn change_language(
    State(app): State<Shared>,
    visitor: Visitor,
    Posted(filled): Posted,
) -> PageResult {
    let user = visitor.user()?;
    let language = PageLanguage::from_tag(filled.value(LANGUAGE)).ok_or_else(Fail::not_found)?;
    work(&app, move |app| Ok(app.records.accounts().set_page_language(user, language.tag().to_owned())?))
        .await?;
    to("/account?done=language")
}

/// Sets the PIN on the device in use, if the password is right, or removes it.
pub async fn change_pin(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let (frame, user) = (app.frame(&visitor, Here::Account), visitor.user()?);
    let Some(place) = visitor.place else {
        let text = "This device is not known. Sign out, sign in again here, and set the PIN then.";
        return Err(Fail(RequestError::Refused(text.to_owned())));
    };
    if filled.given("remove").is_some() {
        work(&app, move |app| Ok(app.records.pins().remove(user, place)?)).await?;
        return to("/account?done=no-pin");
    }
    let account = work(&app, move |app| Ok(app.records.accounts().account(user)?)).await?;
    let account = account.ok_or_else(Fail::not_found)?;
    let _permit = app.hashing.acquire().await;
    let wrong = work(&app, move |app| match set_pin(app, visitor.attempt(), account, &place, &filled)? {
        Ok(()) => Ok(None),
        Err(wrong) => view(app, &visitor, Filled::default(), wrong).map(Some),
    });
    match wrong.await? {
        None => to("/account?done=pin"),
        Some(view) => again(pages::account(&frame, &view)),
    }
}

/// Sets a PIN, or returns the form with what is wrong. PINs and passwords are not sent back.
fn set_pin(
    app: &App,
    from: AttemptFrom,
    account: Account,
    place: &TokenHash,
    filled: &Filled,
) -> Result<Result<(), Filled>, Fail> {
    let pin = match auth::judge_pin(filled.value(PIN), filled.value(PIN_AGAIN)) {
        Ok(pin) => pin,
        Err(error) => {
            let field = if error == PinError::Differ { PIN_AGAIN } else { PIN };
            return Ok(Err(Filled::default().wrong(field, error.to_string())));
        }
    };
    if !app.is_password_of(from, &account, filled.value(PIN_PASSWORD))? {
        return Ok(Err(Filled::default().wrong(PIN_PASSWORD, "The password is wrong.")));
    }
    let fault = |error: &dyn std::fmt::Display| Fail::fault(&error.to_string());
    let text = app.secret.pin_text(account.id, place, &pin).map_err(|error| fault(&error))?;
    let hash = auth::hash_password(&text).map_err(|error| fault(&error))?;
    app.records.pins().set(account.id, *place, hash, app.clock.now())?;
    Ok(Ok(()))
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
    let this = visitor.token.as_ref().map(auth::Token::hash);
    let _permit = app.hashing.acquire().await;
    let wrong = work(&app, move |app| {
        let account = app.records.accounts().account(user)?.ok_or_else(Fail::not_found)?;
        if !app.is_password_of(visitor.attempt(), &account, filled.value(OLD_PASSWORD))? {
            let wrong = Filled::default().wrong(OLD_PASSWORD, "The present password is wrong.");
            return view(app, &visitor, wrong, Filled::default()).map(Some);
        }
        match filled_password(&own_names(app, &account), &filled) {
            Err(wrong) => view(app, &visitor, wrong, Filled::default()).map(Some),
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
