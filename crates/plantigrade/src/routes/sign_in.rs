//! Signing in and out.

use super::{
    choose_password,
    entering::{begin, second_step},
    gate,
};
use crate::{
    auth::{SignInResult, Token},
    demo,
    web::{Fail, PageResult, Posted, Shared, Visitor, again, page, to, work},
};
use axum::{
    extract::{Path, Query, State},
    response::{IntoResponse, Redirect},
};
use pages::{Here, PasskeySignIn, RequestError, SignInView, fields::Filled};
use serde::Deserialize;

/// The purpose of the link that signs in to the invented clinic.
pub const DEMO_LINK: &str = "demo-sign-in";
/// The invented account, shown on the sign-in page of the invented clinic.
pub const DEMO_ACCOUNT: (&str, &str) = ("maren", "invented clinic");

/// Where to go after signing in.
#[derive(Debug, Deserialize)]
pub struct SignInQuery {
    #[serde(default)]
    then: String,
}

async fn view(app: &Shared, visitor: &Visitor, filled: Filled, then: &str) -> Result<SignInView, Fail> {
    let demo_account = app.mode.invented.then(|| (DEMO_ACCOUNT.0.to_owned(), DEMO_ACCOUNT.1.to_owned()));
    let others = demo::people().skip(1).filter(|_| app.mode.invented);
    let demo_others = others.map(|(name, _, roles, _)| (name.to_owned(), roles.words())).collect();
    let passkeys = passkeys(app, visitor).await?;
    Ok(SignInView { filled, then: gate::own_path(then).to_owned(), demo_account, demo_others, passkeys })
}

/// Whether the sign-in offers passkeys here, or under which address it would. Nobody has to read of them where
/// nobody has one.
async fn passkeys(app: &Shared, visitor: &Visitor) -> Result<PasskeySignIn, Fail> {
    let (here, network) = (app.passkey_place(visitor), visitor.by_network);
    work(app, move |app| {
        let accounts = app.records.accounts();
        if let Some(place) = here {
            let any = accounts.has_passkeys_for(&place.rp_id)?;
            return Ok(if any { PasskeySignIn::Here } else { PasskeySignIn::None });
        }
        for place in app.passkey_places(network) {
            if accounts.has_passkeys_for(&place.rp_id)? {
                return Ok(PasskeySignIn::At(place.origin));
            }
        }
        Ok(PasskeySignIn::None)
    })
    .await
}

/// The form.
pub async fn form(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(query): Query<SignInQuery>,
) -> PageResult {
    if visitor.who.is_some() {
        return to(gate::own_path(&query.then));
    }
    let view = view(&app, &visitor, Filled::default(), &query.then).await?;
    page(pages::sign_in(&app.frame(&visitor, Here::Elsewhere), &view))
}

/// Signs in, or leads to the second step.
pub async fn sign_in(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let (name, password) = (filled.value("sign_in_name").to_owned(), filled.value("password").to_owned());
    let (then, from) = (filled.value("then").to_owned(), visitor.from);
    let _permit = app.hashing.acquire().await;
    let judged = work(&app, move |app| app.authenticate(from, &name, &password, None)).await?;
    let text = match judged {
        SignInResult::Throttled => return Err(Fail(RequestError::TooMany)),
        SignInResult::SignedIn(account) => return begin(&app, &visitor, account.id, &then).await,
        SignInResult::CodeNeeded(account, _) | SignInResult::WrongCode(account, _) => {
            return second_step(&app, &visitor, account.id, &then);
        }
        SignInResult::ChooseFirst(account) => {
            return to(&work(&app, move |app| choose_password::link(app, &account)).await?);
        }
        SignInResult::Expired => {
            "This one-time password has expired. Ask a lead of your clinic for a new one."
        }
        SignInResult::Refused => NOT_SIGNED_IN,
    };
    let wrong = Filled::default().with("sign_in_name", filled.value("sign_in_name")).wrong("", text);
    refused(&app, &visitor, wrong, &then).await
}

/// The form again, with what was wrong.
pub(super) async fn refused(app: &Shared, visitor: &Visitor, wrong: Filled, then: &str) -> PageResult {
    let view = view(app, visitor, wrong, then).await?;
    again(pages::sign_in(&app.frame(visitor, Here::Elsewhere), &view))
}

/// The same for a wrong name, a wrong password, and an account that is disabled or locked.
pub const NOT_SIGNED_IN: &str = "The name or the password is wrong. The password is case-sensitive. If you are sure of both, ask a lead of your clinic: after 100 wrong attempts an account is locked.";

/// Signs out.
pub async fn sign_out(State(app): State<Shared>, visitor: Visitor, Posted(_): Posted) -> PageResult {
    if let Some(token) = visitor.token {
        work(&app, move |app| Ok(app.sessions.end_session(&token)?)).await?;
    }
    let mut response = Redirect::to("/sign-in").into_response();
    gate::remove_session(&app, &mut response);
    Ok(response)
}

/// Signs in to the invented clinic through its one-time link. A used link leads to the form.
pub async fn by_link(State(app): State<Shared>, visitor: Visitor, Path(token): Path<String>) -> PageResult {
    let Some(token) = Token::read(&token).filter(|_| app.mode.invented) else {
        return Err(Fail::not_found());
    };
    let used =
        work(&app, move |app| Ok(app.records.accounts().use_link(token.hash(), app.clock.now())?)).await?;
    match used.filter(|link| link.purpose == DEMO_LINK) {
        Some(_) => begin(&app, &visitor, demo::person(0), "/day").await,
        None => to("/sign-in"),
    }
}
