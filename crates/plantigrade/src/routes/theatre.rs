//! The list of booked tenotomies.

use crate::{
    app::App,
    web::{Fail, PageResult, Shared, Visitor, page as shown, work},
};
use axum::extract::State;
use clinic::ChildRecord;
use course::{CorrectedLog, FootCourse};
use pages::{Here, TheatreRow, TheatreView};
use record::{Body, Day, EntryId, Nature, Screened, Screening, Side};
use std::collections::BTreeMap;

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
        let mut cautions: Vec<String> = born_early(course.about.gestation_weeks).into_iter().collect();
        cautions.extend(course.feet.iter().filter(of_row).flat_map(of_foot));
        cautions.extend(course.screening.iter().flat_map(screened));
        if closed {
            let cautions = vec![CLOSED.to_owned()];
            return TheatreRow { who: app.who(course), planned_on, place: None, cautions, feet: Vec::new() };
        }
        TheatreRow { who: app.who(course), planned_on, place, cautions, feet }
    };
    booked.into_iter().map(row).collect()
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
