//! The second step of signing in: a code, a recovery code or a passkey, after a right password.

use super::{entering::begin, passkeys, sign_in::refused};
use crate::{
    app::App,
    auth::{self, AttemptFrom, PasskeyPurpose, Token, WaitingSignIn, passkey::PasskeyPlace},
    clock::Clock,
    web::{Fail, PageResult, Posted, Shared, Visitor, again, page, to, work},
};
use axum::extract::{Path, State};
use clinic::TokenHash;
use pages::{
    Here, RequestError, SecondStepView,
    fields::Filled,
    second_factor::{CODE, CREDENTIAL},
};

/// The form.
pub async fn form(State(app): State<Shared>, visitor: Visitor, Path(text): Path<String>) -> PageResult {
    let token = Token::read(&text).ok_or_else(Fail::not_found)?;
    let waiting = app.open_steps.waiting(&token, visitor.holder(), Clock::machine_seconds());
    let Some(waiting) = waiting else { return to("/sign-in") };
    let view = view(&app, &visitor, text, waiting, Filled::default()).await?;
    page(pages::second_step(&app.frame(&visitor, Here::Elsewhere), &view))
}

async fn view(
    app: &Shared,
    visitor: &Visitor,
    token: String,
    waiting: WaitingSignIn,
    filled: Filled,
) -> Result<SecondStepView, Fail> {
    let (place, places) = (app.passkey_place(visitor), app.passkey_places(visitor.by_network));
    work(app, move |app| {
        let accounts = app.records.accounts();
        let account = accounts.account(waiting.user)?.ok_or_else(Fail::not_found)?;
        let passkeys = accounts.passkeys(waiting.user)?;
        let has = |place: &&PasskeyPlace| passkeys.iter().any(|passkey| passkey.rp_id == place.rp_id);
        Ok(SecondStepView {
            token,
            name: account.display_name,
            codes: accounts.factors(waiting.user)?.codes,
            passkey: place.as_ref().filter(has).is_some(),
            passkey_at: places.iter().find(has).map(|place| place.origin.clone()),
            filled,
        })
    })
    .await
}

/// What was sent for the second step.
enum SecondProof {
    Code(String),
    Passkey(Option<PasskeyPlace>, String),
}

/// Judges the second step and signs in.
pub async fn send(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(text): Path<String>,
    Posted(filled): Posted,
) -> PageResult {
    let token = Token::read(&text).ok_or_else(Fail::not_found)?;
    let (holder, now) = (visitor.holder(), Clock::machine_seconds());
    let Some(waiting) = app.open_steps.try_once(&token, holder, now) else {
        let wrong = Filled::default().wrong(
            "",
            "The second step took longer than five minutes, or failed five times. Type your password again.",
        );
        return refused(&app, &visitor, wrong, "").await;
    };
    let proof = match filled.given(CREDENTIAL) {
        Some(answer) => SecondProof::Passkey(app.passkey_place(&visitor), answer.to_owned()),
        None => SecondProof::Code(filled.value(CODE).to_owned()),
    };
    let _permit = app.hashing.acquire().await;
    let (asked, from) = (waiting.clone(), visitor.attempt());
    match work(&app, move |app| judged(app, &asked, proof, holder, from)).await? {
        Ok(()) if app.open_steps.finish(&token, now) => {
            begin(&app, &visitor, waiting.user, &waiting.then).await
        }
        Ok(()) => to("/sign-in"),
        Err((field, why)) => {
            let view = view(&app, &visitor, text, waiting, Filled::default().wrong(field, why)).await?;
            again(pages::second_step(&app.frame(&visitor, Here::Elsewhere), &view))
        }
    }
}

const WRONG_CODE: &str = "This code is wrong, was used already, or its time is over. A code of the telephone works once: wait for the next one.";

/// Whether the second step is right; otherwise the field and a sentence.
fn judged(
    app: &App,
    waiting: &WaitingSignIn,
    proof: SecondProof,
    holder: TokenHash,
    from: AttemptFrom,
) -> Result<Result<(), (&'static str, String)>, Fail> {
    let accounts = app.records.accounts();
    let account = accounts.account(waiting.user)?.filter(|account| !account.disabled);
    let account = account.ok_or(Fail(RequestError::Stale))?;
    if !app.throttle.allows(&account.name, from, Clock::machine_seconds()) {
        return Err(Fail(RequestError::TooMany));
    }
    match proof {
        SecondProof::Code(code) => {
            let right = auth::second_step(&app.sign_in_check(&accounts, from), account.id, &code)?;
            Ok(right.then_some(()).ok_or((CODE, WRONG_CODE.to_owned())))
        }
        SecondProof::Passkey(None, _) => Ok(Err(("", "Passkeys cannot be used at this address.".to_owned()))),
        SecondProof::Passkey(Some(place), answer) => {
            let purpose = PasskeyPurpose::SecondStep(account.id);
            let judged = passkeys::used(app, &place, holder, purpose, &answer)?;
            if judged.is_ok() {
                accounts.forget_failures(account.id)?;
            }
            Ok(judged.map(|_| ()).map_err(|why| ("", why)))
        }
    }
}
