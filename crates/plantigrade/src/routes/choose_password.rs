//! Choosing the own password after signing in with a one-time password.

use super::entering::{After, go_on};
use crate::{
    app::App,
    auth::{self, PASSWORD_HINT, Token},
    web::{Fail, PageResult, Posted, Shared, Visitor, again, page as shown, work},
};
use axum::extract::{Path, State};
use clinic::{Account, Link};
use pages::{ChoosePasswordView, Here, PASSWORD, PASSWORD_AGAIN, fields::Filled};
use record::Timestamp;

/// The purpose of the link.
const LINK: &str = "choose-password";
/// How long the page may stay open.
const LINK_SECONDS: i64 = 15 * 60;

/// Makes the link to the page for a person who signed in with a one-time password.
///
/// # Errors
/// When the records cannot be written.
pub fn link(app: &App, account: &Account) -> Result<String, Fail> {
    let (token, now) = (Token::new(), app.clock.now());
    app.records.accounts().add_link(Link {
        token_hash: token.hash(),
        purpose: LINK.to_owned(),
        user: Some(account.id),
        created_at: now,
        expires: Timestamp::from_seconds(now.seconds() + LINK_SECONDS),
    })?;
    Ok(format!("/choose-password/{}", token.text()))
}

/// The person of a link that still works.
fn person(app: &App, text: &str) -> Result<(Token, Account), Fail> {
    let token = Token::read(text).ok_or_else(Fail::not_found)?;
    let accounts = app.records.accounts();
    let link = accounts.link(&token.hash(), app.clock.now())?.filter(|link| link.purpose == LINK);
    let user = link.and_then(|link| link.user).ok_or_else(Fail::not_found)?;
    let account = accounts.account(user)?.filter(|account| !account.disabled).ok_or_else(Fail::not_found)?;
    Ok((token, account))
}

fn view(token: String, name: String, filled: Filled) -> ChoosePasswordView {
    ChoosePasswordView { token, name, password_hint: PASSWORD_HINT, filled }
}

/// The form.
pub async fn form(State(app): State<Shared>, visitor: Visitor, Path(text): Path<String>) -> PageResult {
    let frame = app.frame(&visitor, Here::Elsewhere);
    let view = work(&app, move |app| {
        let (_, account) = person(app, &text)?;
        Ok(view(text, account.display_name, Filled::default()))
    });
    shown(pages::choose_password(&frame, &view.await?))
}

/// Saves the password and signs in.
pub async fn save(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(text): Path<String>,
    Posted(filled): Posted,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Elsewhere);
    let _permit = app.hashing.acquire().await;
    let saved = work(&app, move |app| {
        let (token, account) = person(app, &text)?;
        let password = match filled_password(&own_names(app, &account), &filled) {
            Ok(password) => password,
            Err(wrong) => return Ok(Err(view(text, account.display_name, wrong))),
        };
        let hash = auth::hash_password(&password).map_err(|error| Fail::fault(&error.to_string()))?;
        let accounts = app.records.accounts();
        // Of two who try at once only one gets it.
        accounts.use_link(token.hash(), app.clock.now())?.ok_or_else(Fail::not_found)?;
        accounts.set_password(account.id, hash, None)?;
        Ok(Ok(account.id))
    });
    match saved.await? {
        Ok(user) => go_on(&app, &visitor, user, After::own("", false)).await,
        Err(view) => again(pages::choose_password(&frame, &view)),
    }
}

/// The names of which a password must not consist.
pub fn own_names(app: &App, account: &Account) -> Vec<String> {
    let clinic = app.settings().name.clone();
    vec![account.name.clone(), account.display_name.clone(), clinic, auth::PROGRAM_WORDS.to_owned()]
}

/// The new password of a form, or the form with what is wrong. Passwords are not sent back.
///
/// # Errors
/// The form.
pub fn filled_password(own: &[String], filled: &Filled) -> Result<String, Filled> {
    let (first, second) = (filled.value(PASSWORD), filled.value(PASSWORD_AGAIN));
    let own: Vec<&str> = own.iter().map(String::as_str).collect();
    auth::judge_password(&own, first, second).map(|()| first.to_owned()).map_err(|error| {
        let differ = error == auth::PasswordError::Differ;
        Filled::default().wrong(if differ { PASSWORD_AGAIN } else { PASSWORD }, error.to_string())
    })
}
