//! The session of a browser: how long it lasts, locking it, and coming back to it or to that of another person.

use super::{
    entering::{After, EnteredAnswer, entered, go_on},
    gate,
};
use crate::{
    app::App,
    auth::{self, AttemptFrom, PIN_TRIES, SignedIn},
    clock::Clock,
    web::{Door, Fail, PageResult, Posted, Shared, Visitor, again, page as shown, to, work},
};
use axum::{
    Json,
    extract::{Query, State},
    http::{HeaderMap, StatusCode, header},
    response::{IntoResponse, Redirect},
};
use clinic::PinTry;
use pages::{Here, PIN, PersonHere, RequestError, SignInAgainView, UnlockView, fields::Filled};
use record::UserId;
use serde::{Deserialize, Serialize};

/// What the script is told about the session.
#[derive(Debug, Serialize)]
struct SessionAnswer {
    /// `open`, `locked` or `ended`.
    state: &'static str,
    /// The person; empty if nobody is signed in.
    person: String,
    /// Seconds until it is locked without use.
    locks_in: i64,
    /// Seconds until it ends without use.
    ends_in: i64,
    /// Whether use cannot put the end off.
    is_last: bool,
}

/// How long the session lasts. Asking is no use of it.
pub async fn state(State(app): State<Shared>, door: Door, headers: HeaderMap) -> PageResult {
    let enrolled = !matches!(door, Door::ClinicNetwork(None));
    let token = gate::session_token(&app, &headers).filter(|_| enrolled);
    let times = work(&app, move |app| {
        let times = token.map(|token| app.sessions.times(&token, app.clock.now())).transpose()?;
        Ok(times.flatten())
    });
    let answer = times.await?.map_or_else(ended, |times| SessionAnswer {
        state: if times.locked { "locked" } else { "open" },
        person: times.who.user.to_string(),
        locks_in: times.locks_in,
        ends_in: times.ends_in,
        is_last: times.is_last,
    });
    Ok(Json(answer).into_response())
}

const fn ended() -> SessionAnswer {
    SessionAnswer { state: "ended", person: String::new(), locks_in: 0, ends_in: 0, is_last: false }
}

/// The person is still there: the request itself is the use.
pub async fn stay(Posted(_): Posted) -> PageResult {
    Ok(StatusCode::NO_CONTENT.into_response())
}

/// Locks the session.
pub async fn lock(
    State(app): State<Shared>,
    visitor: Visitor,
    headers: HeaderMap,
    Posted(filled): Posted,
) -> PageResult {
    if let Some(token) = visitor.token.clone() {
        work(&app, move |app| Ok(app.sessions.lock(&token, app.clock.now())?)).await?;
    }
    if filled.given("part").is_some() {
        return Ok(StatusCode::NO_CONTENT.into_response());
    }
    let then = pages::parts::query_value(&page_before(&headers));
    let switch = if filled.given("switch").is_some() { "&switch=1" } else { "" };
    to(&format!("/unlock?then={then}{switch}"))
}

/// The page on which the button was pressed.
fn page_before(headers: &HeaderMap) -> String {
    let referer = headers.get(header::REFERER).and_then(|value| value.to_str().ok()).unwrap_or_default();
    let path = referer.splitn(4, '/').nth(3).map(|path| format!("/{path}")).unwrap_or_default();
    gate::own_path(&path).to_owned()
}

/// What the page of a locked device is asked for.
#[derive(Debug, Deserialize)]
pub struct UnlockQuery {
    #[serde(default)]
    then: String,
    who: Option<String>,
    switch: Option<String>,
    part: Option<String>,
    person: Option<String>,
}

/// The page of a locked device, or the part of it that the script lays over a page.
pub async fn form(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(query): Query<UnlockQuery>,
) -> PageResult {
    let part = query.part.is_some();
    if visitor.who.is_some() {
        return if part {
            Ok(StatusCode::NO_CONTENT.into_response())
        } else {
            to(gate::own_path(&query.then))
        };
    }
    let (by, then) = (visitor.clone(), query.then.clone());
    let view = work(&app, move |app| {
        let mut view = view(app, &by, &query.then)?;
        let asked = query.who.as_deref();
        view.chosen = match asked {
            Some(id) => person_of(&view, id),
            None if query.switch.is_some() => None,
            None => view.locked.clone(),
        };
        if view.locked.is_none() && asked.is_none() && part {
            let again = sign_in_again(app, query.person.as_deref())?;
            return Ok(Err(again));
        }
        Ok(Ok(without_chosen(view)))
    });
    let frame = app.frame(&visitor, Here::Elsewhere);
    match view.await? {
        Err(again) => shown(pages::sign_in_again(&frame.csrf, &again)),
        Ok(view) if part => shown(pages::unlock_part(&frame.csrf, &view)),
        Ok(view) if view.locked.is_none() && view.others.is_empty() && view.chosen.is_none() => {
            to(&format!("/sign-in?then={}", pages::parts::query_value(gate::own_path(&then))))
        }
        Ok(view) => shown(pages::unlock(&frame, &view)),
    }
}

/// Signing in again over the page of a person who is known by their id.
fn sign_in_again(app: &App, person: Option<&str>) -> Result<SignInAgainView, Fail> {
    let id: Option<UserId> = person.and_then(|text| text.parse().ok());
    let account = id.map(|id| app.records.accounts().account(id)).transpose()?.flatten();
    let Some(account) = account.filter(|account| !account.disabled) else {
        return Ok(SignInAgainView::default());
    };
    let filled = Filled::default().with("sign_in_name", account.name);
    Ok(SignInAgainView { name: Some(account.display_name), filled })
}

/// Who can come back to a session on the device of a visitor.
fn view(app: &App, visitor: &Visitor, then: &str) -> Result<UnlockView, Fail> {
    let now = app.clock.now();
    let here = match &visitor.place {
        Some(place) => app.sessions.with_pin_at(place, now)?,
        None => Vec::new(),
    };
    let locked = visitor.locked.as_ref();
    let pin = |user: UserId| -> Result<bool, Fail> {
        let Some(place) = &visitor.place else { return Ok(false) };
        Ok(app.records.pins().wrong(user, place)?.is_some_and(|wrong| wrong < PIN_TRIES))
    };
    let mut others = Vec::new();
    for (session, account) in here {
        if locked.is_none_or(|locked| locked.user != session.user) {
            let (id, name) = (account.id.to_string(), account.display_name);
            others.push(PersonHere { id, name, pin: pin(account.id)? });
        }
    }
    others.sort_by(|a, b| a.name.cmp(&b.name));
    let of_locked = |who: &std::sync::Arc<SignedIn>| -> Result<PersonHere, Fail> {
        Ok(PersonHere { id: who.user.to_string(), name: who.name.clone(), pin: pin(who.user)? })
    };
    Ok(UnlockView {
        then: gate::own_path(then).to_owned(),
        locked: locked.map(of_locked).transpose()?,
        others,
        ..UnlockView::default()
    })
}

fn person_of(view: &UnlockView, id: &str) -> Option<PersonHere> {
    view.locked.iter().chain(&view.others).find(|person| person.id == id).cloned()
}

/// Who is asked is not offered once more; whose session is locked is, if somebody else is asked.
fn without_chosen(mut view: UnlockView) -> UnlockView {
    if let Some(locked) = view.locked.clone() {
        view.others.insert(0, locked);
    }
    view.others.retain(|person| view.chosen.as_ref().is_none_or(|chosen| chosen.id != person.id));
    view
}

/// Whether somebody can come back to a session on a device with a PIN.
///
/// # Errors
/// When the records cannot be read.
pub fn can_unlock(app: &App, visitor: &Visitor) -> Result<bool, Fail> {
    let Some(place) = &visitor.place else { return Ok(false) };
    Ok(!app.sessions.with_pin_at(place, app.clock.now())?.is_empty())
}

/// What came of a PIN or a password.
enum Unlocked {
    /// The locked session is open again.
    Own,
    /// The session of another person, under a new token.
    Other(auth::Token),
    /// A new session has to begin: the password was right.
    Anew,
    /// Nothing, because of this.
    Not(String),
}

/// Unlocks the session, or switches to that of another person.
pub async fn unlock(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let part = filled.given("part").is_some();
    let then = gate::own_path(filled.value("then")).to_owned();
    if filled.given("leave").is_some() {
        return leave(&app, &visitor, part).await;
    }
    let (by, id) = (visitor.clone(), filled.value("who").to_owned());
    let user = work(&app, move |app| {
        let chosen = person_of(&view(app, &by, "")?, &id);
        Ok(chosen.and_then(|chosen| chosen.id.parse::<UserId>().ok()))
    });
    let user = user.await?;
    // Nobody of that name can come back here any more.
    let Some(user) = user else { return to(&format!("/unlock?then={}", pages::parts::query_value(&then))) };
    if !app.throttle.allows_at_device(&user.to_string(), visitor.attempt(), Clock::machine_seconds()) {
        return Err(Fail(RequestError::TooMany));
    }
    let permit = app.hashing.acquire().await;
    let by = visitor.clone();
    let unlocked = work(&app, move |app| opened(app, &by, user, &filled)).await?;
    drop(permit);
    if !matches!(unlocked, Unlocked::Not(_)) {
        app.throttle.was_right_at_device(&user.to_string(), visitor.attempt(), Clock::machine_seconds());
    }
    match unlocked {
        Unlocked::Own => entered(&app, visitor.token.as_ref(), user, After::own(&then, part), None).await,
        Unlocked::Other(token) => {
            entered(&app, Some(&token), user, After::switch(&then, part), Some(&token)).await
        }
        // A new session needs the second factor too, where the person has one.
        Unlocked::Anew => go_on(&app, &visitor, user, After::switch(&then, part)).await,
        Unlocked::Not(text) => {
            let by = visitor.clone();
            // The PIN may have been switched off by this try.
            let mut view = work(&app, move |app| view(app, &by, &then)).await?;
            view.chosen = person_of(&view, &user.to_string());
            view.filled = Filled::default().wrong("", text);
            let (view, frame) = (without_chosen(view), app.frame(&visitor, Here::Elsewhere));
            again(if part { pages::unlock_part(&frame.csrf, &view) } else { pages::unlock(&frame, &view) })
        }
    }
}

fn opened(app: &App, visitor: &Visitor, user: UserId, filled: &Filled) -> Result<Unlocked, Fail> {
    let is_own = visitor.locked.as_ref().is_some_and(|locked| locked.user == user);
    let right = if filled.given("password").is_some() {
        password_is_right(app, visitor.attempt(), user, filled)?
    } else {
        match pin_is_right(app, visitor, user, filled.value(PIN))? {
            Ok(()) => true,
            Err(text) => return Ok(Unlocked::Not(text)),
        }
    };
    if !right {
        return Ok(Unlocked::Not("The password is wrong. It is case-sensitive.".to_owned()));
    }
    let now = app.clock.now();
    if let Some(place) = visitor.place {
        app.records.pins().was_right(user, place)?;
    }
    let own = visitor.token.as_ref().filter(|_| is_own);
    if let Some(token) = own {
        let opened = app.sessions.unlock(token, now)?;
        return Ok(if opened { Unlocked::Own } else { too_late_for_pin(filled) });
    }
    let Some(place) = visitor.place else { return Ok(too_late_for_pin(filled)) };
    // Whoever used the device before can come back to it with their own PIN.
    if let Some(token) = &visitor.token {
        app.sessions.leave(token, user, now)?;
    }
    Ok(match app.sessions.reopen(user, &place, now)? {
        Some(token) => Unlocked::Other(token),
        None => too_late_for_pin(filled),
    })
}

/// A session that has ended is not opened by a PIN; the password begins a new one.
fn too_late_for_pin(filled: &Filled) -> Unlocked {
    if filled.given("password").is_some() {
        return Unlocked::Anew;
    }
    Unlocked::Not("The session has ended, and a PIN opens none: sign in with the password.".to_owned())
}

fn password_is_right(app: &App, from: AttemptFrom, user: UserId, filled: &Filled) -> Result<bool, Fail> {
    let Some(account) = app.records.accounts().account(user)? else { return Ok(false) };
    app.is_password_of(from, &account, filled.value("password"))
}

/// Whether a PIN is right; otherwise what to say.
fn pin_is_right(app: &App, visitor: &Visitor, user: UserId, typed: &str) -> Result<Result<(), String>, Fail> {
    let no_pin = || Ok(Err("There is no PIN on this device: use the password.".to_owned()));
    let Some(place) = visitor.place else { return no_pin() };
    let off = "The PIN is off after too many wrong tries: use the password.";
    match app.records.pins().begin_try(user, place, PIN_TRIES)? {
        PinTry::None => no_pin(),
        PinTry::Off => Ok(Err(off.to_owned())),
        PinTry::Compare { pin_hash, left } => {
            let fault = |error: std::io::Error| Fail::fault(&format!("drafts.key: {error}"));
            let typed = auth::pin_digits(typed).unwrap_or_default();
            let text = app.secret.pin_text(user, &place, &typed).map_err(fault)?;
            Ok(match auth::check_password(&text, Some(&pin_hash)) {
                true => Ok(()),
                false if left == 0 => Err(off.to_owned()),
                false => Err(format!(
                    "The PIN is wrong. {} left, then only the password helps.",
                    pages::words::count(i64::from(left), "try is", "tries are")
                )),
            })
        }
    }
}

/// Ends a locked session. Its drafts stay: nobody has shown that they are theirs.
async fn leave(app: &Shared, visitor: &Visitor, part: bool) -> PageResult {
    if let Some(token) = visitor.token.clone().filter(|_| visitor.locked.is_some()) {
        work(app, move |app| Ok(app.sessions.end_session(&token)?)).await?;
    }
    let mut response = if part {
        Json(EnteredAnswer { then: "/sign-in".to_owned(), ..EnteredAnswer::default() }).into_response()
    } else {
        Redirect::to("/sign-in").into_response()
    };
    gate::remove_session(app, &mut response);
    Ok(response)
}
