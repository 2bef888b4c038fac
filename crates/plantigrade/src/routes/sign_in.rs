//! Signing in and out.

use super::{
    choose_password,
    entering::{After, begin, begin_as, second_step},
    gate,
    session::can_unlock,
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
use maud::Markup;
use pages::{
    Here, KeptForm, PasskeySignIn, RequestError, SignInAgainView, SignInView, SignOutView, fields::Filled,
};
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

/// The form with what was filled in, and the form that was kept, if one was.
async fn view(
    app: &Shared,
    visitor: &Visitor,
    filled: Filled,
    then: &str,
    kept: Option<KeptForm>,
) -> Result<SignInView, Fail> {
    let demo_account = app.mode.invented.then(|| (DEMO_ACCOUNT.0.to_owned(), DEMO_ACCOUNT.1.to_owned()));
    let others = demo::people().skip(1).filter(|_| app.mode.invented);
    let demo_others = others.map(|(name, _, roles, _)| (name.to_owned(), roles.words())).collect();
    let (passkeys, can_unlock) = (passkeys(app, visitor).await?, unlocks(app, visitor).await);
    let then = gate::own_path(then).to_owned();
    Ok(SignInView { filled, then, kept, can_unlock, demo_account, demo_others, passkeys })
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

/// The page after a form came that was filled in by somebody whose session had ended.
///
/// # Errors
/// When the records cannot be read.
pub async fn with_kept(app: &Shared, visitor: &Visitor, then: &str, kept: KeptForm) -> Result<Markup, Fail> {
    let view = view(app, visitor, Filled::default(), then, Some(kept)).await?;
    Ok(pages::sign_in(&app.frame(visitor, Here::Elsewhere), &view))
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
    let view = view(&app, &visitor, Filled::default(), &query.then, None).await?;
    page(pages::sign_in(&app.frame(&visitor, Here::Elsewhere), &view))
}

/// Signs in, or leads to the second step.
pub async fn sign_in(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let (name, password) = (filled.value("sign_in_name").to_owned(), filled.value("password").to_owned());
    let (then, from) = (filled.value("then").to_owned(), visitor.attempt());
    let permit = app.hashing.acquire().await;
    let judged = work(&app, move |app| app.authenticate(from, &name, &password, None)).await?;
    drop(permit);
    let (kept, part) = (kept_form(&app, &filled).await?, filled.given("part").is_some());
    // A form that somebody else filled in is not shown, and not to be sent.
    let then_of = |user: UserId| match &kept {
        Some(kept) if kept.person != user.to_string() => format!("/drafts?filled_by={}", kept.person),
        _ => then.clone(),
    };
    let text = match judged {
        SignInResult::Throttled => return Err(Fail(RequestError::TooMany)),
        SignInResult::SignedIn(account) => {
            return begin_as(&app, &visitor, account.id, After::own(&then_of(account.id), part)).await;
        }
        SignInResult::CodeNeeded(account, _) | SignInResult::WrongCode(account, _) => {
            return second_step(&app, &visitor, account.id, After::own(&then_of(account.id), part));
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
    if part {
        let csrf = &app.frame(&visitor, Here::Elsewhere).csrf;
        return again(pages::sign_in_again(csrf, &SignInAgainView { name: None, filled: wrong }));
    }
    let view = view(&app, &visitor, wrong, &then, kept).await?;
    again(pages::sign_in(&app.frame(&visitor, Here::Elsewhere), &view))
}

/// The form again, with what was wrong.
pub(super) async fn refused(app: &Shared, visitor: &Visitor, wrong: Filled, then: &str) -> PageResult {
    let view = view(app, visitor, wrong, then, None).await?;
    again(pages::sign_in(&app.frame(visitor, Here::Elsewhere), &view))
}

/// The same for a wrong name, a wrong password, and an account that is disabled or locked.
pub const NOT_SIGNED_IN: &str = "The name or the password is wrong. The password is case-sensitive. If you are sure of both, ask a lead of your clinic: after 100 wrong attempts an account is locked.";

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
