//! Passkeys: the challenge that the script of a page asks for, signing in with one, and the judgement of an answer.

use super::{entering::begin, sign_in::refused};
use crate::{
    app::App,
    auth::{
        PasskeyPurpose, Token,
        passkey::{
            ALGORITHMS, CreatedResponse, NewPasskey, PasskeyError, PasskeyPlace, StoredKey, UsedResponse,
            challenge_of, verify_new, verify_use,
        },
    },
    clock::Clock,
    exit::sentence,
    web::{Fail, PageResult, Posted, Shared, Visitor, work},
};
use axum::{
    extract::State,
    http::header,
    response::{IntoResponse, Response},
};
use clinic::{AccountEvent, Passkey, TokenHash};
use data_encoding::BASE64URL_NOPAD;
use pages::{RequestError, fields::Filled, second_factor::CREDENTIAL};
use record::UserId;
use serde::Serialize;

/// What the script passes on to the browser. Bytes are in base64url.
#[derive(Debug, Default, Serialize)]
#[serde(rename_all = "camelCase")]
struct PasskeyQuestion {
    challenge: String,
    rp_id: String,
    /// The credentials that may answer, or for a new one those that there are; empty for any.
    known: Vec<String>,
    clinic: String,
    user_id: String,
    user_name: String,
    display_name: String,
    algorithms: Vec<i64>,
}

/// Gives a challenge, used once and within five minutes.
pub async fn challenge(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let place = app.passkey_place(&visitor).ok_or_else(not_here)?;
    let purpose = purpose(&app, &visitor, &filled)?;
    let holder = visitor.holder();
    let question = work(&app, move |app| question(app, &place, purpose, holder)).await?;
    let text = serde_json::to_string(&question).map_err(|error| Fail::fault(&error.to_string()))?;
    Ok::<Response, Fail>(([(header::CONTENT_TYPE, "application/json")], text).into_response())
}

/// What a challenge is asked for; refused where the visitor is not at that point.
fn purpose(app: &App, visitor: &Visitor, filled: &Filled) -> Result<PasskeyPurpose, Fail> {
    let now = Clock::machine_seconds();
    match filled.value("purpose") {
        "sign-in" => Ok(PasskeyPurpose::SignIn),
        "second" => {
            let token = Token::read(filled.value("token"));
            let waiting = token.and_then(|token| app.open_steps.waiting(&token, visitor.holder(), now));
            waiting.map(|waiting| PasskeyPurpose::SecondStep(waiting.user)).ok_or(Fail(RequestError::Stale))
        }
        "new" if app.settings().second_factor_passkeys => {
            let session = visitor.token.as_ref().map(Token::hash);
            match session.filter(|session| app.open_steps.is_confirmed(session, now)) {
                Some(_) => visitor.user().map(PasskeyPurpose::New),
                None => Err(Fail(RequestError::Stale)),
            }
        }
        _ => Err(Fail::not_found()),
    }
}

fn question(
    app: &App,
    place: &PasskeyPlace,
    purpose: PasskeyPurpose,
    holder: TokenHash,
) -> Result<PasskeyQuestion, Fail> {
    let accounts = app.records.accounts();
    let challenge = app.open_steps.challenge(purpose, holder, Clock::machine_seconds());
    let question = PasskeyQuestion {
        challenge: BASE64URL_NOPAD.encode(&challenge),
        rp_id: place.rp_id.clone(),
        ..PasskeyQuestion::default()
    };
    let (PasskeyPurpose::New(user) | PasskeyPurpose::SecondStep(user)) = purpose else { return Ok(question) };
    let known = accounts.passkeys(user)?.into_iter().filter(|passkey| passkey.rp_id == place.rp_id);
    let account = accounts.account(user)?.ok_or_else(Fail::not_found)?;
    Ok(PasskeyQuestion {
        known: known.map(|passkey| BASE64URL_NOPAD.encode(&passkey.id)).collect(),
        clinic: app.settings().name.clone(),
        user_id: BASE64URL_NOPAD.encode(user.uuid().as_bytes()),
        user_name: account.name,
        display_name: account.display_name,
        algorithms: ALGORITHMS.to_vec(),
        ..question
    })
}

/// Signs in with a passkey, which counts as password and second factor.
pub async fn sign_in(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    if !app.throttle.allows_address(visitor.attempt(), Clock::machine_seconds()) {
        return Err(Fail(RequestError::TooMany));
    }
    let place = app.passkey_place(&visitor).ok_or_else(not_here)?;
    let (holder, then) = (visitor.holder(), filled.value("then").to_owned());
    let judged =
        work(&app, move |app| used(app, &place, holder, PasskeyPurpose::SignIn, filled.value(CREDENTIAL)));
    match judged.await? {
        Ok(user) => begin(&app, &visitor, user, &then).await,
        Err(why) => refused(&app, &visitor, Filled::default().wrong("", why), &then).await,
    }
}

fn not_here() -> Fail {
    let text = "Passkeys cannot be used at this address: open the page by the name of the computer.";
    Fail(RequestError::Refused(text.to_owned()))
}

/// The refusal of a passkey, in words.
fn why(error: &PasskeyError) -> String {
    format!("{} Nobody is signed in by it.", sentence(&error.to_string()))
}

const LATE: &str = "The question to the passkey was answered too late or twice. Press the button again.";
const UNKNOWN: &str = "This passkey is not known here: it was removed, or belongs to another person or clinic. Sign in with your password.";

/// Judges the use of a passkey and notes it. The inner error is a sentence for the person.
///
/// # Errors
/// When the records cannot be read or written.
pub fn used(
    app: &App,
    place: &PasskeyPlace,
    holder: TokenHash,
    purpose: PasskeyPurpose,
    text: &str,
) -> Result<Result<UserId, String>, Fail> {
    let response = match UsedResponse::read(text) {
        Ok(response) => response,
        Err(error) => return Ok(Err(why(&error))),
    };
    let challenge = challenge_of(&response.client_data).unwrap_or_default();
    if !app.open_steps.use_challenge(&challenge, purpose, holder, Clock::machine_seconds()) {
        return Ok(Err(LATE.to_owned()));
    }
    let accounts = app.records.accounts();
    let wanted = if let PasskeyPurpose::SecondStep(user) = purpose { Some(user) } else { None };
    let passkey = accounts.passkey(&response.id)?;
    let passkey = passkey.filter(|passkey| wanted.is_none_or(|user| user == passkey.account));
    let Some(passkey) = passkey else { return Ok(Err(UNKNOWN.to_owned())) };
    if accounts.account(passkey.account)?.is_none_or(|account| account.disabled) {
        return Ok(Err(UNKNOWN.to_owned()));
    }
    let owner = passkey.account.uuid();
    let stored = StoredKey {
        owner: owner.as_bytes(),
        rp_id: &passkey.rp_id,
        public_key: &passkey.public_key,
        backup_eligible: passkey.backup_eligible,
    };
    let verified = match verify_use(&response, stored, &challenge, place) {
        Ok(verified) => verified,
        Err(error) => return Ok(Err(why(&error))),
    };
    if accounts.use_passkey(response.id, verified.sign_count, app.clock.now())? {
        return Ok(Ok(passkey.account));
    }
    copied(app, &passkey).map(Err)
}

/// The counter of an authenticator did not go up: there may be a copy of its key.
fn copied(app: &App, passkey: &Passkey) -> Result<String, Fail> {
    let what =
        format!("A sign-in with the passkey “{}” was refused: there may be a copy of it", passkey.name);
    tracing::warn!("a passkey was refused because its counter went back; the account’s history says which");
    let event = AccountEvent { at: app.clock.now(), by: Some(passkey.account), what, why: None };
    app.records.accounts().note_event(passkey.account, event)?;
    Ok(format!(
        "The counter of the passkey “{}” went back: there may be a copy of it. Nobody is signed in by it. Remove it under “Your account”, and tell a lead of your clinic.",
        passkey.name
    ))
}

/// Judges a new passkey. The inner error is a sentence for the person.
pub fn made(
    app: &App,
    place: &PasskeyPlace,
    holder: TokenHash,
    user: UserId,
    text: &str,
) -> Result<NewPasskey, String> {
    let refusal = |error: PasskeyError| format!("{} No passkey was added.", sentence(&error.to_string()));
    let response = CreatedResponse::read(text).map_err(refusal)?;
    let challenge = challenge_of(&response.client_data).unwrap_or_default();
    let purpose = PasskeyPurpose::New(user);
    if !app.open_steps.use_challenge(&challenge, purpose, holder, Clock::machine_seconds()) {
        return Err(LATE.to_owned());
    }
    verify_new(&response, &challenge, place).map_err(refusal)
}
