//! Restricted records: opening one for a stated reason, setting and lifting a restriction, and the openings that a
//! lead has to look at.

use super::{access_log::identity, gate::own_path};
use crate::{
    access::AccessNeed,
    access_noting::{NotedRequest, device_name},
    app::App,
    clock::local_words,
    restricted::OPEN_MINUTES,
    web::{Door, Fail, PageResult, Posted, PostedTo, Shared, Visitor, again, page as shown, to, work},
};
use axum::{
    extract::{Path, State},
    http::Method,
    response::IntoResponse,
};
use clinic::{AccessOutcome, NewRestrictedOpening, RestrictionStep};
use pages::{
    Frame, Here, RequestError, RestrictedRefused, RestrictedView, RestrictionRow, RestrictionView,
    fields::Filled,
    restricted::{
        DO, LIFT, OTHER, OpeningRow, REASON, REASON_CHARS, THEN, UP_TO, WHY, WHY_OPENED, person_field,
    },
};
use record::{ChildId, Right, Timestamp, UserId};

/// The longest reason, in characters.
const LONGEST_REASON: usize = 500;

/// The reason in a form.
fn reason_of(filled: &Filled) -> Result<String, &'static str> {
    let reason = filled.value(REASON).trim();
    match reason.chars().count() {
        count if count < REASON_CHARS => Err("Write the reason, at least 10 characters."),
        count if count > LONGEST_REASON => Err("The reason has more than 500 characters."),
        _ => Ok(reason.to_owned()),
    }
}

/// Why somebody opens a restricted record, or the form with what is wrong.
fn why_opened(filled: &Filled) -> Result<String, Filled> {
    let key = filled.value(WHY);
    let Some((_, words)) = WHY_OPENED.into_iter().find(|(one, _)| *one == key) else {
        return Err(filled.clone().wrong(WHY, "Choose why you open it."));
    };
    if key == OTHER {
        return reason_of(filled).map_err(|text| filled.clone().wrong(REASON, text));
    }
    match filled.given(REASON) {
        None => Ok(words.to_owned()),
        Some(more) if more.chars().count() > LONGEST_REASON => {
            Err(filled.clone().wrong(REASON, "The reason has more than 500 characters."))
        }
        Some(more) => Ok(format!("{words}: {more}")),
    }
}

/// Opens a restricted record for a stated reason.
pub async fn open(
    State(app): State<Shared>,
    visitor: Visitor,
    door: Door,
    PostedTo { path: child, by, filled }: PostedTo<ChildId>,
) -> PageResult {
    let then = own_path(filled.value(THEN)).to_owned();
    let reason = match why_opened(&filled) {
        Ok(reason) => reason,
        Err(filled) => {
            let error = RequestError::Restricted(Box::new(RestrictedRefused { child, then, filled }));
            let page = pages::error(&app.frame(&visitor, Here::Elsewhere), &error);
            return Ok((axum::http::StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
        }
    };
    let device = device_name(&door, visitor.from);
    work(&app, move |app| {
        // Who is named already, and a record that is not restricted, need no opening.
        if app.restricted.people(child).is_none_or(|people| people.contains(&by)) {
            return Ok(());
        }
        let now = app.clock.now();
        let until = Timestamp::from_seconds(now.seconds() + OPEN_MINUTES * 60);
        app.restricted.open(NewRestrictedOpening {
            child,
            by,
            at: now,
            until,
            reason: reason.clone(),
            device,
        })?;
        note(app, &visitor, &door, child, AccessOutcome::OpenedRestricted, &reason);
        Ok(())
    })
    .await?;
    to(&then)
}

/// Notes something about the protection of a record.
pub(super) fn note(
    app: &App,
    visitor: &Visitor,
    door: &Door,
    child: ChildId,
    outcome: AccessOutcome,
    text: &str,
) {
    let need = AccessNeed::Right(Right::ProtectRecords);
    let noted = NotedRequest::of(visitor, door, &Method::POST, ("/child/{id}", "/child/"), need);
    if let Some(noted) = noted {
        app.access_log.note(noted.event(app, Some(child), outcome, text));
    }
}

/// The form on which a record is restricted.
pub async fn form(State(app): State<Shared>, visitor: Visitor, Path(child): Path<ChildId>) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    shown(work(&app, move |app| drawn(app, &frame, child, Filled::default())).await?)
}

fn drawn(app: &App, frame: &Frame, child: ChildId, filled: Filled) -> Result<maud::Markup, Fail> {
    let who = app.who(&app.known(child, app.clock.today())?.outlook.course);
    let named = app.restricted.people(child);
    let sent = filled.values.contains_key(REASON);
    let accounts = app.records.accounts().all()?.into_iter().filter(|account| !account.disabled);
    let people = accounts.map(|account| {
        let is_named = match &named {
            _ if sent => filled.value(&person_field(account.id)) == "yes",
            Some(people) => people.contains(&account.id),
            None => false,
        };
        let name = format!("{} ({})", account.display_name, account.roles.words());
        (account.id, name, is_named)
    });
    let history = app.restricted.history(child)?.into_iter().map(|step| RestrictionRow {
        when: local_words(step.at),
        who: app.name_of(step.by),
        what: step
            .people
            .as_ref()
            .map_or_else(|| "Lifted".to_owned(), |people| format!("Restricted to {}", names(app, people))),
        reason: step.reason,
    });
    let (people, history) = (people.collect(), history.collect());
    Ok(pages::restriction(
        frame,
        &RestrictionView { who, people, restricted: named.is_some(), history, filled },
    ))
}

fn names(app: &App, people: &[UserId]) -> String {
    people.iter().map(|person| app.name_of(*person)).collect::<Vec<_>>().join(", ")
}

/// Restricts a record, changes who is named, or lifts the restriction.
pub async fn save(
    State(app): State<Shared>,
    visitor: Visitor,
    door: Door,
    PostedTo { path: child, by, filled }: PostedTo<ChildId>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    let done = work(&app, move |app| {
        app.known(child, app.clock.today())?;
        let step = match step(app, child, by, &filled)? {
            Ok(step) => step,
            Err(filled) => return drawn(app, &frame, child, filled).map(Some),
        };
        let text = match &step.people {
            Some(people) => format!("Restricted to {}: {}", names(app, people), step.reason),
            None => format!("Restriction lifted: {}", step.reason),
        };
        app.restricted.set(step)?;
        note(app, &visitor, &door, child, AccessOutcome::Changed, &text);
        Ok(None)
    });
    done.await?.map_or_else(|| to(&format!("/child/{child}/restriction")), again)
}

fn step(
    app: &App,
    child: ChildId,
    by: UserId,
    filled: &Filled,
) -> Result<Result<RestrictionStep, Filled>, Fail> {
    let reason = match reason_of(filled) {
        Ok(reason) => reason,
        Err(text) => return Ok(Err(filled.clone().wrong(REASON, text))),
    };
    let step = |people| RestrictionStep { child, people, by, at: app.clock.now(), reason: reason.clone() };
    if filled.value(DO) == LIFT {
        if app.restricted.people(child).is_none() {
            return Ok(Err(filled.clone().wrong("", "The record is not restricted.")));
        }
        return Ok(Ok(step(None)));
    }
    let accounts = app.records.accounts().all()?.into_iter().filter(|account| !account.disabled);
    let chosen = accounts.map(|account| account.id).filter(|id| filled.value(&person_field(*id)) == "yes");
    let chosen: Vec<UserId> = chosen.collect();
    if chosen.is_empty() {
        return Ok(Err(filled
            .clone()
            .wrong("people", "Choose at least one person: nobody else could open the record.")));
    }
    Ok(Ok(step(Some(chosen))))
}

/// Every restricted record, and the openings that this lead has not acknowledged.
pub async fn list(State(app): State<Shared>, visitor: Visitor) -> PageResult {
    let (frame, lead) = (app.frame(&visitor, Here::Protection), visitor.user()?);
    let view = work(&app, move |app| {
        let openings = app.restricted.unseen(lead)?;
        let up_to = openings.last().map_or(0, |last| last.number);
        let records = app.restricted.children().into_iter();
        let records = records.map(|child| {
            (identity(app, child), names(app, &app.restricted.people(child).unwrap_or_default()))
        });
        let openings = openings.into_iter().map(|one| OpeningRow {
            who: identity(app, one.opening.child),
            by: app.name_of(one.opening.by),
            when: format!("{}, until {}", local_words(one.opening.at), local_words(one.opening.until)),
            device: one.opening.device,
            reason: one.opening.reason,
        });
        Ok(RestrictedView { records: records.collect(), openings: openings.collect(), up_to })
    });
    shown(pages::restricted_records(&frame, &view.await?))
}

/// Notes that a lead has looked at the openings shown.
pub async fn acknowledge(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let lead = visitor.user()?;
    let up_to = filled.value(UP_TO).parse().map_err(|_| Fail::not_found())?;
    work(&app, move |app| Ok(app.restricted.acknowledge(lead, up_to, app.clock.now())?)).await?;
    to("/restricted")
}
