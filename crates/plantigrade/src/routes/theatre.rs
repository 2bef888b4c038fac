//! The list of booked tenotomies.

use super::day::{DayQuery, day_of};
use crate::{
    app::App,
    web::{Fail, PageResult, Shared, Visitor, page as shown, work},
};
use axum::extract::{Query, State};
use clinic::ChildRecord;
use course::{Appointment, CorrectedLog, Course, FootCourse};
use guidance::before_tenotomy::{CheckState, TenotomyChecklist, points};
use pages::{
    Here, TheatreRow, TheatreView,
    tenotomy::{TheatreDayRow, TheatreDayView},
};
use record::{Body, Day, EntryId, Nature, Purpose, Screened, Screening, Side};
use std::collections::{BTreeMap, BTreeSet};

/// A child born before this week counts as preterm.
const TERM_WEEKS: u8 = 37;

/// In place of what is recorded about a child whose record is closed to the reader.
const CLOSED: &str = "This record is restricted. Ask a lead to name you before the operation.";

/// The page.
pub async fn page(State(app): State<Shared>, visitor: Visitor) -> PageResult {
    let frame = app.frame(&visitor, Here::Theatre);
    let view = work(&app, view).await?;
    shown(pages::theatre(&frame, &view))
}

fn view(app: &App) -> Result<TheatreView, Fail> {
    let mut rows = Vec::new();
    for child in app.records.waiting_for_tenotomy()? {
        rows.extend(rows_of(app, &*app.known(child, app.clock.today())?));
    }
    // Without a day last.
    rows.sort_by_key(|row| (row.planned_on.is_none(), row.planned_on, row.who.shown_name()));
    Ok(TheatreView { rows })
}

/// The day, if it is fixed, and the place, if it is recorded.
type DayAndPlace = (Option<Day>, Option<String>);
/// Which feet, with the day of each booking.
type BookedFeet = Vec<(Side, Day)>;

/// The bookings of a child: both feet in one row where they are booked for the same day and place.
fn rows_of(app: &App, known: &ChildRecord) -> Vec<TheatreRow> {
    let course = &known.outlook.course;
    let closed = app.is_closed(course.child);
    let mut booked: BTreeMap<DayAndPlace, BookedFeet> = BTreeMap::new();
    for foot in &course.feet {
        let Some(plan) = foot.tenotomy_plan else { continue };
        let key = (plan.planned_on, place(known, plan.entry));
        booked.entry(key).or_default().push((foot.side, plan.booked_on));
    }
    let row = |((planned_on, place), feet): (DayAndPlace, BookedFeet)| {
        let of_row = |foot: &&FootCourse| feet.iter().any(|(side, _)| *side == foot.side);
        if closed {
            let cautions = vec![CLOSED.to_owned()];
            let (known, open) = (Vec::new(), Vec::new());
            return TheatreRow {
                who: app.who(course),
                planned_on,
                place: None,
                cautions,
                feet: Vec::new(),
                known,
                open,
            };
        }
        let cautions = cautions(course, of_row);
        let list = list(app, known, planned_on.unwrap_or_else(|| app.clock.today()));
        let (known, open) = (recorded(&list), open_points(&list));
        TheatreRow { who: app.who(course), planned_on, place, cautions, feet, known, open }
    };
    booked.into_iter().map(row).collect()
}

/// The list of one day, to print.
pub async fn day(State(app): State<Shared>, visitor: Visitor, Query(query): Query<DayQuery>) -> PageResult {
    let on = day_of(&app, query.on.as_deref())?;
    let frame = app.frame(&visitor, Here::Theatre);
    let view = work(&app, move |app| day_view(app, on)).await?;
    shown(pages::tenotomy::theatre_day(&frame, &view))
}

/// The children with a tenotomy booked for the day, and those with an appointment for one, whose foot is then not
/// named.
///
/// # Errors
/// When the records cannot be read.
pub(super) fn day_view(app: &App, on: Day) -> Result<TheatreDayView, Fail> {
    let mut children: BTreeSet<_> = app.records.waiting_for_tenotomy()?.into_iter().collect();
    children.extend(app.records.expected_children(on)?);
    let mut rows = Vec::new();
    for child in children {
        rows.extend(day_row(app, &*app.known(child, app.clock.today())?, on));
    }
    rows.sort_by_key(|row| (row.time.is_none(), row.time.clone(), row.who.shown_name()));
    Ok(TheatreDayView { on, rows })
}

fn day_row(app: &App, known: &ChildRecord, on: Day) -> Option<TheatreDayRow> {
    let course = &known.outlook.course;
    let booked =
        |foot: &&FootCourse| foot.tenotomy_plan.is_some_and(|plan| course.tenotomy_day(&plan) == Some(on));
    let meant = course
        .appointments
        .iter()
        .find(|made| made.for_day == on && made.purpose == Some(Purpose::Tenotomy) && comes(made));
    let foot = course.feet.iter().find(booked);
    if foot.is_none() && meant.is_none() {
        return None;
    }
    let (who, time) = (app.who(course), meant.and_then(|made| made.time.clone()));
    if app.is_closed(course.child) {
        return Some(TheatreDayRow { who, time, place: None, list: None, cautions: vec![CLOSED.to_owned()] });
    }
    let place = foot.and_then(|foot| place(known, foot.tenotomy_plan?.entry));
    let cautions = cautions(course, booked);
    Some(TheatreDayRow { who, time, place, list: Some(list(app, known, on)), cautions })
}

/// Whether a child is still expected for an appointment, or came.
const fn comes(made: &Appointment) -> bool {
    use course::AppointmentState::{Expected, Here, Seen};
    matches!(made.state, Expected | Here | Seen)
}

fn list(app: &App, known: &ChildRecord, on: Day) -> TenotomyChecklist {
    TenotomyChecklist::of(&known.outlook, &app.records.protocol(), on)
}

/// What is unusual about a child and the feet that are meant.
fn cautions(course: &Course, meant: impl Fn(&&FootCourse) -> bool) -> Vec<String> {
    let mut cautions: Vec<String> = born_early(course.about.gestation_weeks).into_iter().collect();
    cautions.extend(course.feet.iter().filter(meant).flat_map(of_foot));
    cautions.extend(course.screening.iter().flat_map(screened));
    cautions
}

/// What is recorded of the points that an anaesthetist asks for first.
fn recorded(list: &TenotomyChecklist) -> Vec<String> {
    let wanted = [points::WEIGHT, points::ALLERGIES, points::MEDICINES, points::CONSENT];
    let found = wanted.into_iter().filter_map(|what| list.item(what));
    let found = found.filter(|item| item.state == CheckState::Recorded);
    found.map(|item| format!("{}: {}.", item.what, item.words)).collect()
}

fn open_points(list: &TenotomyChecklist) -> Vec<String> {
    let named = |(side, what): (Option<Side>, &str)| match side {
        Some(side) => format!("{what} ({side} foot)"),
        None => what.to_owned(),
    };
    list.open().map(|(side, item)| named((side, item.what))).collect()
}

/// Where the tenotomy will be done, as last recorded.
fn place(known: &ChildRecord, booking: EntryId) -> Option<String> {
    match CorrectedLog::of(&known.entries, Day::LAST).line(booking)?.body {
        Body::TenotomyBooked(booked) => booked.place.clone(),
        _ => None,
    }
}

fn born_early(weeks: Option<u8>) -> Option<String> {
    weeks.filter(|weeks| *weeks < TERM_WEEKS).map(|weeks| format!("Born preterm, at {weeks} weeks."))
}

/// What is unusual about a foot.
fn of_foot(foot: &FootCourse) -> Vec<String> {
    let named = foot.nature.filter(|nature| !matches!(nature, Nature::Idiopathic));
    let nature = named.map(|nature| format!("{} foot: {}.", foot.side.title(), nature.words()));
    let complex =
        (foot.complex == Some(true)).then(|| format!("{} foot: complex or atypical.", foot.side.title()));
    let again = foot
        .tenotomies
        .last()
        .map(|last| format!("{} foot: had a tenotomy on {}.", foot.side.title(), last.on.words()));
    nature.into_iter().chain(complex).chain(again).collect()
}

fn screened(screening: &Screening) -> Vec<String> {
    let parts = [
        ("Hips", screening.hips),
        ("Spine", screening.spine),
        ("Nerve and muscle", screening.nerve_and_muscle),
    ];
    let told = |(part, result): (&str, Option<Screened>)| {
        let result = result.filter(|result| *result != Screened::Normal)?;
        Some(format!("{part} on screening: {}.", result.words()))
    };
    let note = screening.note.as_ref().map(|note| format!("Noted on screening: {note}"));
    parts.into_iter().filter_map(told).chain(note).collect()
}
