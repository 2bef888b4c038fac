//! What would follow from the form of a visit as it is filled in now: the next steps, what is to be checked,
//! and the days for the next appointment. One computation for the form, its preview and the form shown again;
//! it saves nothing.

use super::{
    confirm,
    day::day_of,
    day_loads::{closed_words, places},
    submission::{Draft, Submission},
};
use crate::{app::App, forms, web::Fail};
use clinic::{ChildRecord, ProposedDay, proposed_days};
use course::{AppointmentState, Course};
use guidance::{NextStep, Outlook};
use pages::{
    DayChoice, PreviewView, VisitNow,
    fields::{self, Filled},
};
use record::{AppointmentAttended, ChildId, Day, Entry, UserId};

/// What would follow from a form.
pub struct VisitOutcome {
    child: ChildId,
    on: Day,
    steps: Vec<NextStep>,
    as_if_saved: bool,
    remarks: Vec<String>,
    days: Vec<DayChoice>,
}

impl VisitOutcome {
    /// Of a form without anything in it: the steps before the visit, and days as if what is due were done.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn of_empty(app: &App, child: ChildId, on: Day) -> Result<Self, Fail> {
        let known = app.known(child, on)?;
        let days = days_if_done(app, child, &known, on)?;
        let steps = known.outlook.steps_on(on);
        Ok(Self { child, on, steps, as_if_saved: false, remarks: Vec::new(), days })
    }

    /// Of a form as it is filled in.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn of(app: &App, child: ChildId, by: UserId, filled: &Filled) -> Result<Self, Fail> {
        let today = app.clock.today();
        match forms::visit(filled, today) {
            Ok(visit) => Self::as_if_saved(app, child, by, &visit, filled),
            Err(errors) => {
                let on = day_of(app, filled.given(fields::ON)).unwrap_or(today).min(today);
                let known = app.known(child, on)?;
                let steps = known.outlook.steps_on(on);
                let remarks = errors.into_iter().map(|error| error.text).collect();
                let days = days(app, child, by, filled)?;
                Ok(Self { child, on, steps, as_if_saved: false, remarks, days })
            }
        }
    }

    fn as_if_saved(
        app: &App,
        child: ChildId,
        by: UserId,
        visit: &forms::Visit,
        filled: &Filled,
    ) -> Result<Self, Fail> {
        let known = app.known(child, visit.on)?;
        let submission = Submission::new(app, child, by);
        let added = submission.entries(app, drafts(&known.outlook.course, visit));
        let questions =
            added.iter().flat_map(Entry::findings).map(|found| crate::exit::sentence(&found.text));
        let doubts = confirm::doubts(app, &known.entries, &added).into_iter().map(|doubt| doubt.text);
        let closed = visit.appointment().and_then(|day| closed_words(app, day));
        let remarks = questions.chain(doubts).chain(closed).collect();
        let entries: Vec<_> = known.entries.iter().cloned().chain(added).collect();
        // As on the child's page once this is saved: as known today, with the calls that bring its step forward.
        let today = app.clock.today();
        let outlook = app.outlook(child, &entries, today);
        let steps = outlook.steps_on(today);
        // The days are those without the appointment that is chosen among them.
        let same = !visit.drafts.is_empty() && visit.appointment().is_none();
        let days = if same { choices(app, &outlook)? } else { days(app, child, by, filled)? };
        Ok(Self { child, on: visit.on, steps, as_if_saved: true, remarks, days })
    }

    /// For the page.
    #[must_use]
    pub fn view(&self) -> VisitNow<'_> {
        let Self { child, on, ref steps, as_if_saved, ref remarks, ref days } = *self;
        let preview = PreviewView { child, steps, as_if_saved, remarks: remarks.clone() };
        VisitNow { on, preview, days: days.clone() }
    }
}

/// The days that follow from what can be read of a form; while it holds nothing, as if what is due were done.
fn days(app: &App, child: ChildId, by: UserId, filled: &Filled) -> Result<Vec<DayChoice>, Fail> {
    let today = app.clock.today();
    let Some(visit) = forms::visit_so_far(filled, today) else { return Ok(Vec::new()) };
    let known = app.known(child, visit.on)?;
    if visit.drafts.is_empty() {
        return days_if_done(app, child, &known, visit.on);
    }
    let added = Submission::new(app, child, by).entries(app, drafts(&known.outlook.course, &visit));
    days_after(app, child, &known, added)
}

/// The days if what is due were done at this visit.
fn days_if_done(app: &App, child: ChildId, known: &ChildRecord, on: Day) -> Result<Vec<DayChoice>, Fail> {
    let drafts = known.outlook.if_done(on).into_iter().map(|body| Draft::new(body, on)).collect();
    let nobody = UserId::new(uuid::Uuid::nil());
    let added = Submission::new(app, child, nobody).entries(app, drafts);
    days_after(app, child, known, added)
}

/// The days once these entries are saved. They are reckoned as of today, so that none lies in the past, whatever
/// the day of the visit.
fn days_after(
    app: &App,
    child: ChildId,
    known: &ChildRecord,
    added: Vec<Entry>,
) -> Result<Vec<DayChoice>, Fail> {
    let today = app.clock.today();
    let entries: Vec<_> = known.entries.iter().cloned().chain(added).collect();
    choices(app, &app.outlook(child, &entries, today))
}

/// The days proposed by an outlook of today.
fn choices(app: &App, outlook: &Outlook) -> Result<Vec<DayChoice>, Fail> {
    let clinic = app.clinic_days();
    let proposed = proposed_days(outlook, app.clock.today(), &clinic);
    let choice = |of: ProposedDay| {
        let ProposedDay { day, purpose, why } = of;
        Ok(DayChoice { day, purpose, why, places: places(app, &clinic, day, Some(purpose))? })
    };
    proposed.into_iter().map(choice).collect()
}

/// The entries of a visit: those of the form and, last, that the child came, unless that is recorded already.
pub fn drafts(course: &Course, visit: &forms::Visit) -> Vec<Draft> {
    let mut drafts: Vec<_> =
        visit.drafts.iter().map(|draft| Draft::new(draft.body.clone(), visit.on)).collect();
    let of_day = || course.appointments.iter().filter(|made| made.for_day == visit.on);
    let came = of_day().any(|made| matches!(made.state, AppointmentState::Here | AppointmentState::Seen));
    if !came && !course.seen_on.contains(&visit.on) {
        let open = |made: &&course::Appointment| made.state != AppointmentState::Cancelled;
        let follows = of_day().find(open).map(|made| made.entry);
        drafts.push(Draft { follows, ..Draft::new(AppointmentAttended::default(), visit.on) });
    }
    drafts
}
