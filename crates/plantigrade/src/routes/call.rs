//! A telephone call to the family, and the list of the families to call.

use super::{
    child::id,
    confirm,
    day::day_of,
    day_loads::{ask_if_closed, day_loads},
    put_off::can_be_put_off,
    submission::{Draft, Submission},
};
use crate::{
    app::App,
    forms::Reader,
    web::{Fail, PageResult, PostedTo, Shared, Visitor, again, page as shown_page, to, work},
};
use axum::extract::{Path, Query, State};
use clinic::{ChildRecord, WorkFilter, WorkKind};
use course::{Appointment, AppointmentState, Contact, Course};
use guidance::{
    Attention,
    attention::{
        by_telephone,
        put_off::{MOST_DAYS, PutOff},
    },
    reported_problems,
};
use pages::{
    CallListView, CallRow, CallView, Frame, Here, Message,
    call::{BACK, NEW_DAY, OTHER, OTHER_DAY, PROBLEM, PROBLEM_SIDE, REACHED, SAID, TIME, UNTIL, WAY, WHOM},
    fields::{self, Filled},
};
use record::{
    AppointmentMade, ChildId, ContactAttempt, ContactWay, Day, EntryId, Problem, ProblemKind, Purpose, Right,
    Side,
};
use serde::Deserialize;
use std::{collections::HashSet, sync::Arc};

/// Families listed.
const LISTED: usize = 60;
/// Reasons shown on the page of a call.
const REASONS: usize = 4;

/// Which appointment the call is about, and where the form leads back.
#[derive(Debug, Deserialize)]
pub struct CallQuery {
    follows: Option<String>,
    back: Option<String>,
}

/// The form.
pub async fn form(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<ChildId>,
    Query(query): Query<CallQuery>,
) -> PageResult {
    let (mut frame, user) = (app.frame(&visitor, Here::Child), visitor.user()?);
    let follows: Option<EntryId> = query.follows.as_deref().map(id).transpose()?;
    shown_page(
        work(&app, move |app| {
            let known = app.known(child, app.clock.today())?;
            let filled = Filled::default()
                .with(WAY, ContactWay::Phone.key())
                .with(BACK, query.back.unwrap_or_default());
            let name = format!("/child/{child}/call");
            let name = follows.map_or(name.clone(), |follows| format!("{name}?follows={follows}"));
            let filled = super::form_drafts::begin(app, user, &name, &mut frame, filled)?;
            shown(app, &frame, &known, follows, filled)
        })
        .await?,
    )
}

fn shown(
    app: &App,
    frame: &Frame,
    known: &ChildRecord,
    follows: Option<EntryId>,
    filled: Filled,
) -> Result<maud::Markup, Fail> {
    let (course, today) = (&known.outlook.course, app.clock.today());
    let meant = meant(course, follows);
    // Who may not see treatment is shown only what a call may settle.
    let clinical = frame.may(Right::SeeClinical);
    let shown = |call: &&Attention| clinical || by_telephone().any(|rule| rule.key == call.rule);
    let listed = known.outlook.attention.iter().filter(|call| call.is_listed(today)).filter(shown);
    let booked = course.next_appointment(today).filter(|next| Some(next.entry) != follows);
    let booked = booked.map(|next| format!("Booked already: {}.", appointment_words(next)));
    let view = CallView {
        who: app.who(course),
        carers: course.about.carers.clone(),
        why: listed.take(REASONS).map(|call| call.text.words()).chain(booked).collect(),
        attempts: course.contacts.iter().rev().map(attempt_words).collect(),
        appointment: meant.map(|made| (made.entry, appointment_words(made))),
        problems: reported_problems(course),
        days: day_loads(app, &known.outlook, today, purpose(known, meant, today))?,
        can_be_put_off: frame.may(Right::RecordClinical)
            && !can_be_put_off(&known.outlook.attention, today).is_empty(),
        filled,
        once: app.once().to_string(),
    };
    Ok(pages::call(frame, &view))
}

/// The appointment that a call is about.
fn meant(course: &Course, follows: Option<EntryId>) -> Option<&Appointment> {
    course.appointments.iter().find(|made| made.made_on.is_some() && Some(made.entry) == follows)
}

/// The purpose of a new appointment: that of the one it replaces, or that of the next step.
fn purpose(known: &ChildRecord, meant: Option<&Appointment>, today: Day) -> Option<Purpose> {
    let due = || known.outlook.lead_on(today).map(|step| step.action.purpose());
    meant.and_then(|made| made.purpose).or_else(due)
}

fn appointment_words(made: &Appointment) -> String {
    let purpose = made.purpose.map(|purpose| format!(", {}", purpose.words())).unwrap_or_default();
    let missed = if made.state == AppointmentState::Missed { ", did not come" } else { "" };
    format!("{}{purpose}{missed}", made.for_day.words())
}

fn attempt_words(contact: &Contact) -> String {
    let reached = if contact.reached { "reached" } else { "not reached" };
    let mut words = format!("{}: {}, {reached}", contact.on.words(), contact.way.words());
    for more in [&contact.whom, &contact.note].into_iter().flatten() {
        words.push_str(", ");
        words.push_str(more);
    }
    words
}

/// Saves the call.
pub async fn save(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path: child, by, filled }: PostedTo<ChildId>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    let follows = filled.given(fields::FOLLOWS).map(id).transpose()?;
    // A problem may need the child to be seen today: the child's page says so.
    let back = back(child, filled.given(PROBLEM).map_or(filled.value(BACK), |_| ""));
    let saved = work(&app, move |app| {
        let submission = Submission::of_form(app, child, by, &filled);
        let known = before(app, &submission)?;
        let drafts = match drafts(app, &known, follows, &filled) {
            Ok(drafts) => drafts,
            Err(filled) => return shown(app, &frame, &known, follows, filled).map(Some),
        };
        match confirm::save(app, submission, &known.entries, drafts, &filled)?.or_form(&filled) {
            Ok(()) => Ok(None),
            Err(filled) => shown(app, &frame, &known, follows, filled).map(Some),
        }
    });
    saved.await?.map_or_else(|| to(&back), again)
}

/// The record without what this form saved before: the same form, sent again, has the same purpose for its
/// appointment, whatever the problem in it has made the next step.
fn before(app: &App, form: &Submission) -> Result<Arc<ChildRecord>, Fail> {
    let known = app.known(form.child, app.clock.today())?;
    if !known.entries.iter().any(|entry| form.wrote(entry)) {
        return Ok(known);
    }
    let entries: Vec<_> = known.entries.iter().filter(|entry| !form.wrote(entry)).cloned().collect();
    let outlook = app.outlook(form.child, &entries, app.clock.today());
    Ok(Arc::new(ChildRecord { entries, outlook }))
}

/// The page to which a form leads back, from a fixed list.
fn back(child: ChildId, text: &str) -> String {
    let on = |prefix: &str| text.strip_prefix(prefix).and_then(|day| day.parse::<Day>().ok());
    match (text, on("day-"), on("calls-")) {
        (_, Some(day), _) => format!("/day?on={day}&done=called"),
        (_, _, Some(day)) => format!("/calls?on={day}&done=called"),
        ("attention", ..) => "/attention".to_owned(),
        ("lost", ..) => "/attention/lost".to_owned(),
        _ => format!("/child/{child}?done=called"),
    }
}

/// The entries of a call: the attempt, and the new appointment.
fn drafts(
    app: &App,
    known: &ChildRecord,
    follows: Option<EntryId>,
    filled: &Filled,
) -> Result<Vec<Draft>, Filled> {
    let (course, today) = (&known.outlook.course, app.clock.today());
    let mut reader = Reader::of(filled);
    let way = reader.choice(WAY, ContactWay::from_key);
    if !reader.has(WAY) {
        reader.wrong(WAY, "Choose how you tried to reach the family.");
    }
    let reached = reader.yes_no(REACHED);
    if !reader.has(REACHED) {
        reader.wrong(REACHED, "Choose whether the family was reached.");
    }
    let problem = problem(&mut reader);
    let for_day = new_day(&mut reader, filled, today);
    let note = note(&mut reader, &can_be_put_off(&known.outlook.attention, today), today);
    let (time, whom) = (reader.text(TIME), reader.text(WHOM));
    if for_day.is_none() && time.is_some() && reader.errors.is_empty() {
        reader.wrong(NEW_DAY, "A time is entered and no day: choose the day.");
    }
    let (Some(way), Some(reached), true) = (way, reached, reader.errors.is_empty()) else {
        return Err(Filled { errors: reader.errors, ..filled.clone() });
    };
    if let Some(asked) = ask_if_closed(app, for_day, field_of_day(filled), filled) {
        return Err(asked);
    }
    let mut drafts = vec![Draft::new(ContactAttempt { way, reached, whom, note }, today)];
    drafts.extend(problem.map(|problem| Draft::new(problem, today)));
    if let Some(for_day) = for_day {
        let meant = meant(course, follows);
        let purpose = purpose(known, meant, today);
        let made = AppointmentMade { for_day, time, purpose };
        drafts.push(Draft { follows: meant.map(|made| made.entry), ..Draft::new(made, today) });
    }
    let refused = drafts.iter().flat_map(|draft| crate::forms::refused(&draft.body, draft.on, ""));
    let refused: Vec<_> = refused.collect();
    if refused.is_empty() { Ok(drafts) } else { Err(Filled { errors: refused, ..filled.clone() }) }
}

/// The field in which the day of a new appointment is chosen.
pub(super) fn field_of_day(filled: &Filled) -> &'static str {
    match filled.given(NEW_DAY) {
        None | Some(OTHER) => OTHER_DAY,
        Some(_) => NEW_DAY,
    }
}

/// The day chosen for a new appointment: one of those shown, or another; never one that has passed.
pub(super) fn new_day(reader: &mut Reader<'_>, filled: &Filled, today: Day) -> Option<Day> {
    let field = field_of_day(filled);
    if filled.given(NEW_DAY) == Some(OTHER) && !reader.has(OTHER_DAY) {
        reader.wrong(OTHER_DAY, "Enter the other day.");
    }
    let day = reader.day(field)?;
    if field == NEW_DAY && reader.has(OTHER_DAY) {
        reader.wrong(OTHER_DAY, "Two days are entered: choose “another day”, or empty this field.");
        return None;
    }
    if day < today {
        reader.wrong(field, format!("{} has passed: an appointment cannot be made for it.", day.words()));
        return None;
    }
    Some(day)
}

/// The problem that the family reports.
fn problem(reader: &mut Reader<'_>) -> Option<Problem> {
    let what = reader.choice(PROBLEM, ProblemKind::from_key);
    let side = reader.choice(PROBLEM_SIDE, |key| Side::BOTH.into_iter().find(|side| side.word() == key));
    if side.is_some() && !reader.has(PROBLEM) {
        reader.wrong(PROBLEM, "A foot is chosen and no problem: choose the problem, or “not one foot”.");
    }
    // Only what was said tells what another problem is.
    let note = if what == Some(ProblemKind::Other) { reader.text(SAID) } else { None };
    if what == Some(ProblemKind::Other) && note.is_none() {
        reader.wrong(SAID, "Enter what the problem is.");
    }
    Some(Problem { side, note, ..Problem::of(what?) })
}

/// The note of the attempt: what was said or, with a day, why calls are put off until then.
fn note(reader: &mut Reader<'_>, calls: &[Attention], today: Day) -> Option<String> {
    let said = reader.text(SAID);
    let until = reader.day(UNTIL);
    let Some(until) = until else { return said };
    if !(1..=MOST_DAYS).contains(&(until - today)) {
        let text = format!("Enter a day from tomorrow on, at most {MOST_DAYS} days ahead.");
        reader.wrong(UNTIL, text);
    }
    if said.is_none() {
        reader.wrong(SAID, "Enter what was said: it is the reason why the calls are put off.");
    }
    let rules: Vec<&'static str> = calls.iter().map(|call| call.rule).collect();
    if rules.is_empty() {
        reader.wrong(UNTIL, "No call of this child can be put off today.");
    }
    Some(PutOff { until, rules, because: said? }.note())
}

/// The day of the list, and what was just saved.
#[derive(Debug, Deserialize)]
pub struct CallsQuery {
    on: Option<String>,
    done: Option<String>,
}

/// The list of the families to call.
pub async fn list(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(query): Query<CallsQuery>,
) -> PageResult {
    let on = day_of(&app, query.on.as_deref())?;
    let mut frame = app.frame(&visitor, Here::Day);
    if query.done.as_deref() == Some("called") {
        frame.message = Some(Message::Done("The call is saved.".to_owned()));
    }
    shown_page(work(&app, move |app| Ok(pages::calls(&frame, &list_of(app, on)?))).await?)
}

/// The families to call on a day.
///
/// # Errors
/// When the records cannot be read.
pub(super) fn list_of(app: &App, on: Day) -> Result<CallListView, Fail> {
    let today = app.clock.today();
    let mut met = HashSet::new();
    let mut rows = Vec::new();
    for child in app.records.expected_children(on)? {
        let known = app.known(child, today.max(on))?;
        let absent = |made: &&Appointment| {
            made.for_day == on
                && match made.state {
                    AppointmentState::Missed => true,
                    AppointmentState::Expected => on < today,
                    _ => false,
                }
        };
        let Some(made) = known.outlook.course.appointments.iter().find(absent) else { continue };
        if met.insert(child) {
            let purpose = made.purpose.map_or("appointment", record::Purpose::words);
            let why = match made.state {
                AppointmentState::Missed => format!("Did not come ({purpose})."),
                _ => format!("Expected ({purpose}); nothing is recorded."),
            };
            rows.push(row(app, &known, why, made.made_on.map(|_| made.entry)));
        }
    }
    let mut more = 0;
    if on == today {
        let calls = of_attention(app, &met)?;
        more = calls.len().saturating_sub(LISTED);
        for (child, why) in calls.into_iter().take(LISTED) {
            rows.push(row(app, &*app.known(child, today)?, why, None));
        }
    }
    // Called on the day of the list or since.
    let called = |row: &(CallRow, Option<Day>)| row.1.is_some_and(|last| last >= on);
    let (done, rows): (Vec<_>, Vec<_>) = rows.into_iter().partition(called);
    let plain = |rows: Vec<(CallRow, Option<Day>)>| rows.into_iter().map(|(row, _)| row).collect();
    Ok(CallListView { on, rows: plain(rows), done: plain(done), more })
}

/// A row, and the day of the last attempt.
fn row(app: &App, known: &ChildRecord, why: String, appointment: Option<EntryId>) -> (CallRow, Option<Day>) {
    let course = &known.outlook.course;
    let last = course.contacts.iter().max_by_key(|contact| contact.on);
    if app.is_closed(course.child) {
        let why = "Ask somebody who may open this record to call the family.".to_owned();
        let row = CallRow {
            who: app.who(course),
            carers: Vec::new(),
            why,
            last: None,
            reached: None,
            lives: None,
            appointment: None,
        };
        return (row, last.map(|contact| contact.on));
    }
    let reached = course.contacts.iter().filter(|contact| contact.reached).max_by_key(|contact| contact.on);
    let reached = reached.filter(|contact| last.is_some_and(|last| last.entry != contact.entry));
    let row = CallRow {
        who: app.who(course),
        carers: course.about.carers.clone(),
        why,
        last: last.map(attempt_words),
        reached: reached.map(|contact| format!("Last reached on {}", contact.on.words())),
        lives: course.about.address.clone(),
        appointment,
    };
    (row, last.map(|contact| contact.on))
}

/// The children with a call for attention that a telephone call may settle, the most urgent first, each once.
fn of_attention(app: &App, met: &HashSet<ChildId>) -> Result<Vec<(ChildId, String)>, Fail> {
    let today = app.clock.today();
    let mut found = Vec::new();
    for rule in by_telephone() {
        let wanted = WorkFilter {
            kind: Some(WorkKind::Attention),
            rule: Some(rule.key.to_owned()),
            ..WorkFilter::default()
        };
        let (rows, _) = app.records.worklist(today, &wanted, 0, LISTED * 4)?;
        found.extend(rows.into_iter().map(|row| (row.item.urgency, row.item.from, row.child, row.item.text)));
    }
    found.sort();
    let mut met = met.clone();
    found.retain(|(_, _, child, _)| met.insert(*child));
    Ok(found.into_iter().map(|(_, _, child, why)| (child, why)).collect())
}
