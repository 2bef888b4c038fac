//! People: the list, adding somebody, and what can be changed about one of them.

use super::second_factor;
use crate::{
    app::App,
    clock,
    people::{Handover, People, PeopleError},
    web::{Fail, PageResult, Posted, PostedTo, Shared, Visitor, again, page as shown, work},
};
use axum::extract::{Path, State};
use clinic::{Account, ArchiveError, FactorCounts, Session};
use pages::{
    Here, Message, OneTimePassword, PeopleView, PersonRow, PersonView, RequestError,
    fields::Filled,
    people::{ACT, NAME, SIGN_IN_NAME, WHY, role_field},
};
use record::{Role, Roles, UserId};

/// The list.
pub async fn list(State(app): State<Shared>, visitor: Visitor) -> PageResult {
    let frame = app.frame(&visitor, Here::People);
    let rows = work(&app, rows).await?;
    shown(pages::people(&frame, &PeopleView { rows, filled: Filled::default() }))
}

fn rows(app: &App) -> Result<Vec<PersonRow>, Fail> {
    app.records.accounts().all()?.into_iter().map(|account| row(app, account)).collect()
}

fn row(app: &App, account: Account) -> Result<PersonRow, Fail> {
    let now = app.clock.now();
    let sessions = app.sessions.of(account.id, now)?;
    let factors = app.records.accounts().factors(account.id)?;
    let one_time = account.one_time_until.map(|until| {
        let words = clock::local_words(until);
        if now < until {
            format!("Has a one-time password, valid until {words}.")
        } else {
            format!("The one-time password expired on {words}: make a new one.")
        }
    });
    Ok(PersonRow {
        id: account.id,
        name: account.display_name,
        sign_in_name: account.name,
        roles: account.roles,
        disabled: account.disabled,
        last_sign_in: account.last_sign_in.map(clock::local_words),
        one_time,
        sessions: sessions.iter().map(session_words).collect(),
        second: second_words(app, account.roles, factors),
        has_second: factors.any(),
    })
}

/// Which second factors a person has, and whether one is required.
fn second_words(app: &App, roles: Roles, factors: FactorCounts) -> String {
    let words = second_factor::words(factors);
    let missing = !factors.any() && app.requires_second_factor(roles);
    if missing { format!("{words} yet: one is required") } else { words }
}

/// When a session began and was last used.
pub(super) fn session_words(session: &Session) -> String {
    let (began, used) = (clock::local_words(session.created_at), clock::local_words(session.last_used));
    format!("Since {began}, last used {used}")
}

fn chosen_roles(filled: &Filled) -> Roles {
    Role::ALL.into_iter().filter(|role| filled.value(&role_field(*role)) == "yes").collect()
}

/// Where an error belongs in a form.
fn field_of(error: &PeopleError) -> &'static str {
    match error {
        PeopleError::NoRole => "roles",
        PeopleError::NoReason => WHY,
        PeopleError::Records(ArchiveError::NameTaken(_)) => SIGN_IN_NAME,
        _ => "",
    }
}

/// Adds a person and shows the one-time password.
pub async fn add(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let frame = app.frame(&visitor, Here::People);
    let _permit = app.hashing.acquire().await;
    let done = work(&app, move |app| {
        let people = People::of(app.records.accounts(), &app.clock);
        let roles = chosen_roles(&filled);
        match people.add(filled.value(SIGN_IN_NAME), filled.value(NAME), roles) {
            Ok((id, handover)) => Ok(Ok(one_view(app, id, id, Some(handover), None)?)),
            Err(error) => {
                let filled = filled.wrong(field_of(&error), error.to_string());
                Ok(Err(PeopleView { rows: rows(app)?, filled }))
            }
        }
    });
    match done.await? {
        Ok(view) => shown(pages::person(&frame, &PersonView { is_self: false, ..view })),
        Err(view) => again(pages::people(&frame, &view)),
    }
}

/// One person.
pub async fn one(State(app): State<Shared>, visitor: Visitor, Path(id): Path<UserId>) -> PageResult {
    let (frame, user) = (app.frame(&visitor, Here::People), visitor.user()?);
    let view = work(&app, move |app| one_view(app, id, user, None, None)).await?;
    shown(pages::person(&frame, &view))
}

fn one_view(
    app: &App,
    id: UserId,
    user: UserId,
    handover: Option<Handover>,
    filled: Option<Filled>,
) -> Result<PersonView, Fail> {
    let account = app.records.accounts().account(id)?.ok_or_else(Fail::not_found)?;
    let filled = filled.unwrap_or_else(|| {
        let names = Filled::default().with(NAME, &account.display_name).with(SIGN_IN_NAME, &account.name);
        account.roles.iter().fold(names, |filled, role| filled.with(role_field(role), "yes"))
    });
    let one_time = handover
        .map(|handover| OneTimePassword { text: handover.text, until: clock::local_words(handover.until) });
    let history = second_factor::history(app, id)?;
    Ok(PersonView { row: row(app, account)?, filled, one_time, is_self: id == user, history })
}

/// Changes something about a person.
pub async fn change(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path: id, by, filled }: PostedTo<UserId>,
) -> PageResult {
    let mut frame = app.frame(&visitor, Here::People);
    let _permit = app.hashing.acquire().await;
    let (view, done) = work(&app, move |app| {
        app.records.accounts().account(id)?.ok_or_else(Fail::not_found)?;
        match act(app, id, by, &filled)? {
            Ok((handover, done)) => Ok((one_view(app, id, by, handover, None)?, Some(done))),
            Err(error) => {
                // The other forms of the page keep what is saved.
                let view = one_view(app, id, by, None, None)?;
                let typed = [NAME, SIGN_IN_NAME].into_iter().filter(|name| filled.given(name).is_some());
                let kept = typed.fold(view.filled.clone(), |kept, name| kept.with(name, filled.value(name)));
                let filled = kept.wrong(field_of(&error), error.to_string());
                Ok((PersonView { filled, ..view }, None))
            }
        }
    })
    .await?;
    frame.message = done.map(|text| Message::Done(text.to_owned()));
    let page = pages::person(&frame, &view);
    if view.filled.errors.is_empty() { shown(page) } else { again(page) }
}

/// What was done, with the one-time password where one was made.
type Acted = Result<(Option<Handover>, &'static str), PeopleError>;

fn act(app: &App, id: UserId, by: UserId, filled: &Filled) -> Result<Acted, Fail> {
    let accounts = app.records.accounts();
    let people = People::of(accounts.clone(), &app.clock);
    let disabled = |disabled| accounts.set_disabled(id, disabled).map_err(PeopleError::from);
    Ok(match filled.value(ACT) {
        "rename" => people
            .rename(id, filled.value(SIGN_IN_NAME), filled.value(NAME))
            .map(|()| (None, "The names are saved.")),
        "roles" => people
            .set_roles(id, chosen_roles(filled))
            .map(|()| (None, "The roles are saved and hold from now on.")),
        "reset" => people.reset(id).map(|handover| (Some(handover), "A one-time password is made.")),
        "reset-second-factor" => people
            .reset_second_factor(id, Some(by), filled.value(WHY))
            .map(|()| (None, "The second factor is reset, and every session is ended.")),
        "end" => accounts
            .end_sessions_of(id)
            .map(|()| (None, "Every session is ended."))
            .map_err(PeopleError::from),
        "disable" => disabled(true).map(|()| (None, "The person is disabled.")),
        "enable" => disabled(false).map(|()| (None, "The person is enabled.")),
        _ => return Err(Fail(RequestError::Refused("This is not a form of this program.".to_owned()))),
    })
}
