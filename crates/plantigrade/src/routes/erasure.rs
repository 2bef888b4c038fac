//! Erasure on legal request: asked for by one lead, carried out by another; and holds.

use super::{access_log::identity, restricted::note};
use crate::{
    app::App,
    backing_up,
    clock::local_words,
    erasing,
    web::{Door, Fail, PageResult, PostedTo, Shared, Visitor, again, page as shown, to, work},
};
use axum::extract::{Path, State};
use clinic::{AccessOutcome, ArchiveError, ErasureRequest, NewErasureRequest, RecordHold};
use pages::{
    ErasureFormView, ErasureRow, ErasureView, ErasuresView, Frame, Here, KindCount,
    erasure::{
        BASIS, CARRY_OUT, DO, EXPECTED, HOLD_REASON, NUMBER, REASON, SCOPE, SOME, UNTIL, WHOLE, entry_field,
    },
    fields::Filled,
    parts::Who,
};
use record::{ChildId, Entry, Kind, Right, UserId};

/// The fewest and the most characters of a reason and of a legal basis.
const TEXT_CHARS: std::ops::RangeInclusive<usize> = 5..=500;

/// The form with which an erasure is asked for.
pub async fn form(State(app): State<Shared>, visitor: Visitor, Path(child): Path<ChildId>) -> PageResult {
    let (frame, user) = (app.frame(&visitor, Here::Child), visitor.user()?);
    shown(work(&app, move |app| drawn(app, &frame, child, user, Filled::default())).await?)
}

fn drawn(
    app: &App,
    frame: &Frame,
    child: ChildId,
    user: UserId,
    filled: Filled,
) -> Result<maud::Markup, Fail> {
    let known = app.known(child, app.clock.today())?;
    let requests = app.records.erasure_requests().all()?;
    let waiting = requests.iter().filter(|one| one.request.child == child && one.decision.is_none());
    let hold = erasing::hold_of(&app.records, child, app.clock.today())?;
    let entries = known.entries.iter().rev();
    let view = ErasureFormView {
        who: app.who(&known.outlook.course),
        kinds: counts(&known.entries),
        entries: entries.map(|entry| (entry.id, entry.on, entry.body.sentence())).collect(),
        linked: linked(app, &known.entries, child),
        waiting: waiting.map(|one| one.number).collect(),
        hold: hold.and_then(|hold| Some((hold.until?, hold.reason))),
        only_lead: only_lead(app, user)?,
        filled,
    };
    Ok(pages::erasure_form(frame, &view))
}

fn counts(entries: &[Entry]) -> Vec<KindCount> {
    let count = |(kind, count, first, last): erasing::KindSpan| KindCount {
        kind: kind.words().to_owned(),
        count,
        days: Some((first, last)),
    };
    erasing::by_kind(entries).into_iter().map(count).collect()
}

/// The records joined with this one, and those of brothers and sisters.
fn linked(app: &App, entries: &[Entry], child: ChildId) -> Vec<Who> {
    let of = |entry: &Entry| match &entry.body {
        record::Body::Sibling(link) => Some(link.other),
        body => body.written_together().and_then(|list| list.other),
    };
    let mut children: Vec<ChildId> = entries.iter().filter_map(of).filter(|other| *other != child).collect();
    children.sort();
    children.dedup();
    children.into_iter().map(|other| identity(app, other)).collect()
}

/// Whether nobody else could carry out what this person asks for.
fn only_lead(app: &App, user: UserId) -> Result<bool, Fail> {
    let accounts = app.records.accounts().all()?;
    let other = |one: &clinic::Account| {
        one.id != user && !one.disabled && one.roles.rights().has(Right::ProtectRecords)
    };
    Ok(!accounts.iter().any(other))
}

/// A text of a form that stays.
fn text(filled: &Filled, field: &str, what: &str) -> Result<String, String> {
    let text = filled.value(field).trim();
    if TEXT_CHARS.contains(&text.chars().count()) {
        return Ok(text.to_owned());
    }
    Err(format!("{what} of {} to {} characters is needed.", TEXT_CHARS.start(), TEXT_CHARS.end()))
}

/// Asks for an erasure.
pub async fn ask(
    State(app): State<Shared>,
    visitor: Visitor,
    door: Door,
    PostedTo { path: child, by, filled }: PostedTo<ChildId>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    let asked = work(&app, move |app| match request(app, child, by, &filled)? {
        Ok(new) => {
            let number = app.records.erasure_requests().add(new)?;
            let words = format!("Erasure asked for, request {number}.");
            note(app, &visitor, &door, child, AccessOutcome::Changed, &words);
            Ok(Ok(number))
        }
        Err(filled) => drawn(app, &frame, child, by, filled).map(Err),
    });
    match asked.await? {
        Ok(number) => to(&format!("/erasures/{number}")),
        Err(form) => again(form),
    }
}

fn request(
    app: &App,
    child: ChildId,
    by: UserId,
    filled: &Filled,
) -> Result<Result<NewErasureRequest, Filled>, Fail> {
    let entries = app.records.entries(child)?;
    if entries.is_empty() {
        return Err(Fail::not_found());
    }
    let mut wrong = filled.clone();
    let chosen: Vec<_> =
        entries.iter().map(|entry| entry.id).filter(|id| filled.value(&entry_field(*id)) == "yes").collect();
    let scope = filled.value(SCOPE);
    match (scope, chosen.is_empty()) {
        (WHOLE, _) | (SOME, false) => {}
        (SOME, true) => wrong = wrong.wrong(SCOPE, "Tick the entries that are to be erased."),
        _ => wrong = wrong.wrong(SCOPE, "Choose what is to be erased."),
    }
    let mut read = |field: &'static str, what: &str| match text(filled, field, what) {
        Ok(text) => text,
        Err(error) => {
            wrong = std::mem::take(&mut wrong).wrong(field, error);
            String::new()
        }
    };
    let (reason, basis) = (read(REASON, "A reason"), read(BASIS, "A legal basis"));
    if !wrong.errors.is_empty() {
        return Ok(Err(wrong));
    }
    let entries = (scope == SOME).then_some(chosen);
    Ok(Ok(NewErasureRequest { child, entries, by, at: app.clock.now(), reason, basis }))
}

/// Every request.
pub async fn list(State(app): State<Shared>, visitor: Visitor) -> PageResult {
    let frame = app.frame(&visitor, Here::Protection);
    let view = work(&app, move |app| {
        let requests = app.records.erasure_requests().all()?;
        Ok(ErasuresView { rows: requests.iter().map(|one| row(app, one)).collect() })
    });
    shown(pages::erasures(&frame, &view.await?))
}

fn row(app: &App, request: &ErasureRequest) -> ErasureRow {
    let asked = &request.request;
    let decided = request.decision.as_ref().map(|decision| {
        let what = if decision.done { "Carried out" } else { "Closed without erasing anything" };
        format!("{what} on {}, by {}", local_words(decision.at), app.name_of(decision.by))
    });
    ErasureRow {
        number: request.number,
        who: identity(app, asked.child),
        scope: erasing::scope_words(request),
        asked: format!("Asked for on {}, by {}", local_words(asked.at), app.name_of(asked.by)),
        decided,
    }
}

/// One request.
pub async fn one(State(app): State<Shared>, visitor: Visitor, Path(number): Path<i64>) -> PageResult {
    let (frame, user) = (app.frame(&visitor, Here::Protection), visitor.user()?);
    shown(work(&app, move |app| one_drawn(app, &frame, number, user, Filled::default())).await?)
}

fn one_drawn(
    app: &App,
    frame: &Frame,
    number: i64,
    user: UserId,
    filled: Filled,
) -> Result<maud::Markup, Fail> {
    let request = app.records.erasure_requests().one(number)?.ok_or_else(Fail::not_found)?;
    let asked = &request.request;
    let kinds = match &request.decision {
        Some(decision) => {
            let words = |key: &str| {
                let kind = Kind::ALL.iter().find(|kind| kind.wire() == key);
                kind.map_or_else(|| key.to_owned(), |kind| kind.words().to_owned())
            };
            let kinds = decision.kinds.iter();
            kinds.map(|(kind, count)| KindCount { kind: words(kind), count: *count, days: None }).collect()
        }
        None => counts(&erasing::concerned(&app.records, asked.child, asked.entries.as_deref())?),
    };
    let hold = erasing::hold_of(&app.records, asked.child, app.clock.today())?;
    let held = hold.and_then(|hold| Some((hold.until?, hold.reason)));
    let decided = request.decision.as_ref().map_or(app.clock.now(), |decision| decision.at);
    let view = ErasureView {
        row: row(app, &request),
        reason: asked.reason.clone(),
        basis: asked.basis.clone(),
        kinds,
        typed: erasing::typed_number(&app.records, asked.child)?,
        own: asked.by == user,
        only_lead: only_lead(app, user)?,
        held: held.map(|(until, why)| {
            format!(
                "The record is held until {}: {why} End the hold before you carry the request out.",
                until.words()
            )
        }),
        copies: erasing::known_copies(&app.dir),
        backups: super::backups::holders(app, decided),
        filled,
    };
    Ok(pages::erasure(frame, &view))
}

/// Carries a request out, or closes it without erasing anything.
pub async fn decide(
    State(app): State<Shared>,
    visitor: Visitor,
    door: Door,
    PostedTo { path: number, by, filled }: PostedTo<i64>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Protection);
    let done = work(&app, move |app| {
        let request = app.records.erasure_requests().one(number)?.ok_or_else(Fail::not_found)?;
        let child = request.request.child;
        let decided = if filled.value(DO) == CARRY_OUT {
            carry_out(app, &request, by, &filled)
        } else {
            app.records.erasure_requests().refuse(number, by, app.clock.now(), String::new()).map(|()| None)
        };
        match decided {
            Ok(None) => {
                let done = filled.value(DO) == CARRY_OUT;
                let what = if done { "carried out" } else { "closed without erasing anything" };
                let words = format!("Erasure, request {number}, {what}.");
                note(app, &visitor, &door, child, AccessOutcome::Changed, &words);
                Ok(None)
            }
            Ok(Some(wrong)) => one_drawn(app, &frame, number, by, wrong).map(Some),
            // Decided a moment ago by somebody else: the page says how.
            Err(ArchiveError::Decided(_)) => Ok(None),
            Err(error @ (ArchiveError::SamePerson | ArchiveError::ChangedMeanwhile)) => {
                let wrong = filled.wrong("", crate::exit::sentence(&error.to_string()));
                one_drawn(app, &frame, number, by, wrong).map(Some)
            }
            Err(error) => Err(error.into()),
        }
    });
    done.await?.map_or_else(|| to(&format!("/erasures/{number}")), again)
}

/// Carries a request out; the form with what is wrong if it cannot be yet.
fn carry_out(
    app: &App,
    request: &ErasureRequest,
    by: UserId,
    filled: &Filled,
) -> Result<Option<Filled>, ArchiveError> {
    let child = request.request.child;
    if request.request.by == by {
        return Err(ArchiveError::SamePerson);
    }
    if erasing::hold_of(&app.records, child, app.clock.today())?.is_some() {
        return Ok(Some(filled.clone().wrong("", "The record is held: end the hold first.")));
    }
    let number = erasing::typed_number(&app.records, child)?;
    if !erasing::is_typed(&number, filled.value(NUMBER)) {
        return Ok(Some(
            filled.clone().wrong(NUMBER, "This is not the number of the child. Nothing was erased."),
        ));
    }
    let Ok(expected) = filled.value(EXPECTED).parse() else { return Err(ArchiveError::ChangedMeanwhile) };
    let emptied = app.records.erasure_requests().carry_out(request.number, by, app.clock.now(), expected)?;
    if !emptied {
        tracing::warn!("the write-ahead log is in use and is emptied at the next start");
    }
    app.forget_erased(child);
    backing_up::give_erasures_to(&app.dir, &app.records, &app.settings());
    Ok(None)
}

/// Holds a record, or ends a hold.
pub async fn hold(
    State(app): State<Shared>,
    visitor: Visitor,
    door: Door,
    PostedTo { path: child, by, filled }: PostedTo<ChildId>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    let done = work(&app, move |app| {
        app.known(child, app.clock.today())?;
        let mut wrong = filled.clone();
        let until = match filled.given(UNTIL).map(str::parse::<record::Day>).transpose() {
            Ok(Some(until)) if until < app.clock.today() => {
                wrong = wrong.wrong(UNTIL, "This day has passed.");
                None
            }
            Ok(until) => until,
            Err(error) => {
                wrong = wrong.wrong(UNTIL, crate::exit::sentence(&error.to_string()));
                None
            }
        };
        let reason = text(&filled, HOLD_REASON, "A reason");
        let (Ok(reason), true) = (reason.clone(), wrong.errors.is_empty()) else {
            if let Err(error) = reason {
                wrong = wrong.wrong(HOLD_REASON, error);
            }
            return drawn(app, &frame, child, by, wrong).map(Some);
        };
        let words = match until {
            Some(until) => format!("Held until {until}: {reason}"),
            None => format!("Hold ended: {reason}"),
        };
        app.records.holds().add(RecordHold { child, until, by, at: app.clock.now(), reason })?;
        note(app, &visitor, &door, child, AccessOutcome::Changed, &words);
        Ok(None)
    });
    done.await?.map_or_else(|| to(&format!("/child/{child}/erasure")), again)
}
