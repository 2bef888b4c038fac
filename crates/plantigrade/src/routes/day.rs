//! The clinic's day.

use super::{
    second_score::may_score_again,
    submission::{Draft, Submission},
};
use crate::{
    app::App,
    restricted::{self, closed_now},
    web::{Fail, PageResult, Posted, Shared, Visitor, page as shown, to, work},
};
use axum::extract::{Query, State};
use course::{Appointment, AppointmentState};
use guidance::{Urgency, to_book};
use pages::{DayRow, DayView, Frame, Here, RequestError};
use rayon::prelude::*;
use record::{
    AppointmentAttended, AppointmentMissed, Body, ChildId, Day, DayRange, EntryId, Right, UserId, Withdrawal,
};
use serde::Deserialize;
use std::collections::HashSet;

/// Days before and after within which other clinic days are shown.
const NEAR_DAYS: i32 = 14;
const NEAR_SHOWN: usize = 6;
/// The most children shown for one day: far more than any clinic sees.
const CHILDREN_SHOWN: usize = 300;

/// Which day.
#[derive(Debug, Deserialize)]
pub struct DayQuery {
    /// As typed.
    pub(super) on: Option<String>,
    done: Option<String>,
}

/// The day of a query, or today if there is none.
///
/// # Errors
/// When it is not a day.
pub fn day_of(app: &App, text: Option<&str>) -> Result<Day, Fail> {
    match text.map(str::trim).filter(|text| !text.is_empty()) {
        None => Ok(app.clock.today()),
        Some(text) => text.parse().map_err(|error: record::DayError| {
            Fail(RequestError::Refused(crate::exit::sentence(&error.to_string())))
        }),
    }
}

/// Who is expected, who is here, who was seen and who missed the appointment.
pub async fn page(State(app): State<Shared>, visitor: Visitor, Query(query): Query<DayQuery>) -> PageResult {
    let (mut frame, view) = for_reader(&app, &visitor, query.on.as_deref()).await?;
    let done = query.done.as_deref().and_then(|done| pages::day_done(frame.language, done));
    frame.message = frame.message.or(done);
    shown(pages::day(&frame, &view))
}

/// A day as its reader may see it, with the warning that children are left out, if any are.
///
/// # Errors
/// When the text is not a day, or the records cannot be read.
pub(super) async fn for_reader(
    app: &Shared,
    visitor: &Visitor,
    on: Option<&str>,
) -> Result<(Frame, DayView), Fail> {
    let on = day_of(app, on)?;
    let (user, clinical) = (visitor.user()?, visitor.may(Right::SeeClinical));
    let (mut view, left_out) = work(app, move |app| view(app, on, user)).await?;
    view.rows.iter_mut().filter(|row| !clinical || row.who.restricted).for_each(without_treatment);
    let mut frame = app.frame(visitor, Here::Day);
    frame.message = (left_out > 0).then(|| pages::day_left_out(frame.language, left_out));
    Ok((frame, view))
}

/// A row for who may not see treatment: who comes, when and for what. Of a closed record also not for what.
fn without_treatment(row: &mut DayRow) {
    if row.who.restricted {
        row.purpose = None;
    }
    row.feet.clear();
    row.scored.clear();
    row.attention = None;
    row.steps = to_book(&row.steps);
}

/// The day as a person sees it, and the number of children left out.
fn view(app: &App, on: Day, user: UserId) -> Result<(DayView, usize), Fail> {
    let mut expected: Vec<ChildId> = Vec::new();
    let mut met = HashSet::new();
    // In the order of their times, so that a day beyond all measure shows its beginning.
    expected.extend(app.records.expected_children(on)?.into_iter().filter(|child| met.insert(*child)));
    let left_out = expected.len().saturating_sub(CHILDREN_SHOWN);
    expected.truncate(CHILDREN_SHOWN);
    // The other threads have to know which records are closed to the reader.
    let closed = closed_now();
    let of_child = |child: &ChildId| restricted::working(closed.clone(), || rows_of(app, *child, on, user));
    let rows: Result<Vec<_>, Fail> = expected.par_iter().map(of_child).collect();
    let mut rows: Vec<DayRow> = rows?.into_iter().flatten().collect();
    rows.sort_by(|a, b| a.time.cmp(&b.time));
    let around = DayRange::new(on - NEAR_DAYS, on + NEAR_DAYS);
    let mut near = app.records.appointments_per_day(around)?;
    near.retain(|(day, _)| *day != on);
    near.sort_by_key(|(day, _)| (*day - on).abs());
    near.truncate(NEAR_SHOWN);
    near.sort_by_key(|(day, _)| *day);
    let clinic = app.clinic_days();
    let (places, closed) = (clinic.places(on, None), clinic.closure(on).map(|closure| closure.why.clone()));
    Ok((DayView { on, rows, near, places, closed }, left_out))
}

/// The child's appointments of that day, with phase and next steps.
fn rows_of(app: &App, child: ChildId, on: Day, user: UserId) -> Result<Vec<DayRow>, Fail> {
    let known = app.known(child, app.clock.today().max(on))?;
    let course = &known.outlook.course;
    let today = app.clock.today();
    let calls = || known.outlook.attention.iter().filter(|call| call.is_listed(today));
    let attention: Option<(Urgency, usize)> =
        calls().map(|call| call.urgency).min().map(|most| (most, calls().count()));
    let scored = |foot: &course::FootCourse| {
        let of_day = |scored: &&course::AssessmentSeen| {
            scored.on == on && !(scored.pirani.is_empty() && scored.dimeglio.is_empty())
        };
        let last = foot.scores.iter().rev().find(of_day)?;
        // Who scored the foot first cannot score it again blindly, so it is not offered.
        may_score_again(app, &known, last.entry, user).then_some((foot.side, last.entry))
    };
    let scored: Vec<_> =
        if on == today { course.feet.iter().filter_map(scored).collect() } else { Vec::new() };
    let row = |made: &Appointment| DayRow {
        scored: scored.clone(),
        who: app.who(course),
        appointment: made.made_on.map(|_| made.entry),
        time: made.time.clone(),
        purpose: made.purpose,
        state: made.state,
        can_be_undone: made.marked_by.is_some(),
        feet: course.feet.iter().map(|foot| (foot.side, foot.phase)).collect(),
        steps: super::find::steps(&known.outlook, today),
        attention,
    };
    let of_day = |made: &&Appointment| made.for_day == on && made.state != AppointmentState::Ended;
    Ok(course.appointments.iter().filter(of_day).map(row).collect())
}

/// The child came.
pub async fn arrived(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let marked = Marked::of(&app, &visitor, &filled)?;
    let on = marked.on;
    work(&app, move |app| {
        let time = (on == app.clock.today()).then(|| app.clock.time_of_day());
        marked.save(app, AppointmentAttended { time }, &[AppointmentState::Here, AppointmentState::Seen])
    })
    .await?;
    to(&format!("/day?on={on}"))
}

/// The child did not come.
pub async fn missed(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let marked = Marked::of(&app, &visitor, &filled)?;
    let on = marked.on;
    let settled = [AppointmentState::Here, AppointmentState::Seen, AppointmentState::Missed];
    work(&app, move |app| marked.save(app, AppointmentMissed::default(), &settled)).await?;
    to(&format!("/day?on={on}"))
}

/// Takes back the mark "here" or "did not come": the entry is withdrawn.
pub async fn undo(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let marked = Marked::of(&app, &visitor, &filled)?;
    let on = marked.on;
    work(&app, move |app| marked.undo(app)).await?;
    to(&format!("/day?on={on}&done=undone"))
}

/// The reason of a mark that is taken back with one tap.
const UNDONE: &str = "Marked by mistake; taken back on the page of the day.";

/// A child marked on the clinic's day.
struct Marked {
    child: ChildId,
    appointment: Option<EntryId>,
    on: Day,
    by: UserId,
}

impl Marked {
    fn of(app: &App, visitor: &Visitor, filled: &pages::fields::Filled) -> Result<Self, Fail> {
        let child = filled.value("child").parse().map_err(|_| Fail::not_found())?;
        let appointment =
            filled.given("appointment").map(str::parse).transpose().map_err(|_| Fail::not_found())?;
        let on = day_of(app, filled.given("on"))?;
        if on > app.clock.today() {
            let text = format!("{} is in the future.", on.words());
            return Err(Fail(RequestError::Refused(text)));
        }
        Ok(Self { child, appointment, on, by: visitor.user()? })
    }

    /// Withdraws the last mark of the appointment; nothing if there is none, so that a second tap does nothing.
    fn undo(&self, app: &App) -> Result<(), Fail> {
        let known = app.known(self.child, app.clock.today())?;
        let mut made = known.outlook.course.appointments.iter().filter(|made| made.for_day == self.on);
        let of_it = |made: &&Appointment| match self.appointment {
            Some(entry) => made.entry == entry,
            None => made.made_on.is_none(),
        };
        let Some(entry) = made.find(of_it).and_then(|made| made.marked_by) else { return Ok(()) };
        let withdrawal = Withdrawal { entry, reason: UNDONE.to_owned() };
        let draft = Draft { follows: Some(entry), ..Draft::new(withdrawal, app.clock.today()) };
        Submission::new(app, self.child, self.by).save(app, vec![draft]).map(|_| ())
    }

    /// Saves the mark unless the appointment is settled already, so that a second tap does nothing.
    fn save(&self, app: &App, body: impl Into<Body>, settled: &[AppointmentState]) -> Result<(), Fail> {
        let known = app.known(self.child, app.clock.today())?;
        let mut made = known.outlook.course.appointments.iter().filter(|made| made.for_day == self.on);
        let of_it = |made: &&Appointment| self.appointment.is_none_or(|entry| made.entry == entry);
        if made.find(of_it).is_some_and(|made| settled.contains(&made.state)) {
            return Ok(());
        }
        let draft = Draft { follows: self.appointment, ..Draft::new(body, self.on) };
        Submission::new(app, self.child, self.by).save(app, vec![draft]).map(|_| ())
    }
}
