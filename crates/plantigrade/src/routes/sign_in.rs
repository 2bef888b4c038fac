//! Signing in and out.

use super::{
    choose_password,
    entering::{After, begin, begin_as},
    gate,
    session::can_unlock,
};
use crate::{
    app::App,
    auth::{self, Credentials, SignInOutcome, Token},
    demo,
    web::{Fail, PageResult, Posted, Shared, Visitor, again, page, to, work},
};
use axum::{
    extract::{Path, Query, State},
    response::{IntoResponse, Redirect},
};
use maud::Markup;
use pages::{Here, KeptForm, RequestError, SignInAgainView, SignInView, SignOutView, fields::Filled};
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

fn view(app: &Shared, filled: Filled, then: &str, kept: Option<KeptForm>, can_unlock: bool) -> SignInView {
    let demo_account = app.mode.invented.then(|| (DEMO_ACCOUNT.0.to_owned(), DEMO_ACCOUNT.1.to_owned()));
    let others = demo::people().skip(1).filter(|_| app.mode.invented);
    let demo_others = others.map(|(name, _, roles, _)| (name.to_owned(), roles.words())).collect();
    SignInView { filled, then: gate::own_path(then).to_owned(), kept, can_unlock, demo_account, demo_others }
}

/// The page after a form came that was filled in by somebody whose session had ended.
pub async fn with_kept(app: &Shared, visitor: &Visitor, then: &str, kept: KeptForm) -> Markup {
    let view = view(app, Filled::default(), then, Some(kept), unlocks(app, visitor).await);
    pages::sign_in(&app.frame(visitor, Here::Elsewhere), &view)
}

/// Whether the page shows the way to a PIN; it does without where the records cannot be read.
async fn unlocks(app: &Shared, visitor: &Visitor) -> bool {
    let by = visitor.clone();
    work(app, move |app| can_unlock(app, &by)).await.unwrap_or(false)
}

/// The form that was kept, as the page names it.
async fn kept_form(app: &Shared, filled: &Filled) -> Result<Option<KeptForm>, Fail> {
    let Ok(person) = filled.value("filled_by").parse::<UserId>() else { return Ok(None) };
    let name = work(app, move |app| Ok(app.name_of(person))).await?;
    Ok(Some(KeptForm { name, person: person.to_string() }))
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
    let can_unlock = unlocks(&app, &visitor).await;
    let view = view(&app, Filled::default(), &query.then, None, can_unlock);
    page(pages::sign_in(&app.frame(&visitor, Here::Elsewhere), &view))
}

/// Signs in.
pub async fn sign_in(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let given = Credentials {
        name: filled.value("sign_in_name").to_owned(),
        password: filled.value("password").to_owned(),
        code: filled.value("code").to_owned(),
    };
    let (then, part) = (filled.value("then").to_owned(), filled.given("part").is_some());
    if !app.throttle.allows(&given.name, visitor.from) {
        return Err(Fail(RequestError::TooMany));
    }
    let permit = app.hashing.acquire().await;
    let opened = work(&app, move |app| opened(app, &given)).await?;
    drop(permit);
    let kept = kept_form(&app, &filled).await?;
    let text = match opened {
        Opened::In(user) => {
            // A form that somebody else filled in is not shown, and not to be sent.
            let others = kept.filter(|kept| kept.person != user.to_string());
            let then = others.map_or(then, |kept| format!("/drafts?filled_by={}", kept.person));
            return begin_as(&app, &visitor, user, After::own(&then, part)).await;
        }
        Opened::ChooseFirst(path) => return to(&path),
        Opened::Expired => "This one-time password has expired. Ask a lead of your clinic for a new one.",
        Opened::Not => "The name or the password is wrong. The password is case-sensitive.",
    };
    let wrong = Filled::default().with("sign_in_name", filled.value("sign_in_name")).wrong("", text);
    let frame = app.frame(&visitor, Here::Elsewhere);
    if part {
        return again(pages::sign_in_again(&frame.csrf, &SignInAgainView { name: None, filled: wrong }));
    }
    let can_unlock = unlocks(&app, &visitor).await;
    again(pages::sign_in(&frame, &view(&app, wrong, &then, kept, can_unlock)))
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

fn opened(app: &App, given: &Credentials) -> Result<Opened, Fail> {
    Ok(match auth::check_credentials(&app.records.accounts(), given, app.clock.now())? {
        SignInOutcome::In(account) => Opened::In(account.id),
        SignInOutcome::ChooseFirst(account) => Opened::ChooseFirst(choose_password::link(app, &account)?),
        SignInOutcome::Expired => Opened::Expired,
        SignInOutcome::Not => Opened::Not,
    })
}

/// Signs out; with drafts it asks first what is to become of them.
pub async fn sign_out(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let user = visitor.user()?;
    let (drafts, answer) = (app.drafts.count(user), filled.value("drafts").to_owned());
    if drafts > 0 && !["keep", "discard"].contains(&answer.as_str()) {
        return page(pages::sign_out(&app.frame(&visitor, Here::Elsewhere), SignOutView { drafts }));
    }
    let token = visitor.token;
    work(&app, move |app| {
        if answer == "discard" {
            for row in app.drafts.of(user) {
                app.drafts.discard(user, &row.form)?;
            }
        }
        Ok(token.map_or(Ok(()), |token| app.sessions.end_session(&token))?)
    })
    .await?;
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
