//! Signing in and out.

use super::{choose_password, entering::begin, gate};
use crate::{
    app::App,
    auth::{self, Token},
    demo,
    web::{Fail, PageResult, Posted, Shared, Visitor, again, page, to, work},
};
use axum::{
    extract::{Path, Query, State},
    response::{IntoResponse, Redirect},
};
use pages::{Here, RequestError, SignInView, fields::Filled};
use record::UserId;
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

fn view(app: &Shared, filled: Filled, then: &str) -> SignInView {
    let demo_account = app.mode.invented.then(|| (DEMO_ACCOUNT.0.to_owned(), DEMO_ACCOUNT.1.to_owned()));
    let others = demo::people().skip(1).filter(|_| app.mode.invented);
    let demo_others = others.map(|(name, _, roles, _)| (name.to_owned(), roles.words())).collect();
    SignInView { filled, then: gate::own_path(then).to_owned(), demo_account, demo_others }
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
    page(pages::sign_in(&app.frame(&visitor, Here::Elsewhere), &view(&app, Filled::default(), &query.then)))
}

/// Signs in.
pub async fn sign_in(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let (name, password) = (filled.value("sign_in_name").to_owned(), filled.value("password").to_owned());
    let then = filled.value("then").to_owned();
    if !app.throttle.allows(&name, visitor.from) {
        return Err(Fail(RequestError::TooMany));
    }
    let _permit = app.hashing.acquire().await;
    let text = match work(&app, move |app| opened(app, &name, &password)).await? {
        Opened::In(user) => return begin(&app, &visitor, user, &then).await,
        Opened::ChooseFirst(path) => return to(&path),
        Opened::Expired => "This one-time password has expired. Ask a lead of your clinic for a new one.",
        Opened::Not => "The name or the password is wrong. The password is case-sensitive.",
    };
    let wrong = Filled::default().with("sign_in_name", filled.value("sign_in_name")).wrong("", text);
    again(pages::sign_in(&app.frame(&visitor, Here::Elsewhere), &view(&app, wrong, &then)))
}

/// What a name and a password open.
enum Opened {
    /// The account.
    In(UserId),
    /// It was a one-time password: the page that chooses an own one.
    ChooseFirst(String),
    /// It was a one-time password, too late.
    Expired,
    /// Nothing.
    Not,
}

fn opened(app: &App, name: &str, password: &str) -> Result<Opened, Fail> {
    let account = app.records.accounts().account_by_name(name)?;
    let stored = account.as_ref().map(|account| account.password_hash.as_str());
    let right = auth::check_password(password, stored);
    let Some(account) = account.filter(|account| right && !account.disabled) else { return Ok(Opened::Not) };
    match account.one_time_until {
        None => Ok(Opened::In(account.id)),
        Some(until) if app.clock.now() < until => {
            Ok(Opened::ChooseFirst(choose_password::link(app, &account)?))
        }
        Some(_) => Ok(Opened::Expired),
    }
}

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
