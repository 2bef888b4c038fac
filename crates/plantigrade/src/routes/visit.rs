//! The visit: its form, a preview of the next steps, and saving it.

use super::{
    confirm::{self, ConfirmOutcome},
    day::day_of,
    submission::{Draft, SaveOutcome, Submission},
};
use crate::{
    app::App,
    forms::{self, Visit},
    web::{Fail, PageResult, PostedTo, Shared, Visitor, again, page, to, work},
};
use axum::extract::{Path, Query, State};
use clinic::{ChildRecord, ProposedDay, proposed_days};
use course::{AppointmentState, Course};
use pages::{
    DayChoice, Frame, Here, PreviewView, VisitView,
    fields::{self, Filled},
};
use record::{AppointmentAttended, ChildId, Day, UserId};
use serde::Deserialize;

/// The day of the visit.
#[derive(Debug, Deserialize)]
pub struct VisitQuery {
    on: Option<String>,
}

/// The empty form.
pub async fn form(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<ChildId>,
    Query(query): Query<VisitQuery>,
) -> PageResult {
    let on = day_of(&app, query.on.as_deref())?.min(app.clock.today());
    let frame = app.frame(&visitor, Here::Child);
    page(work(&app, move |app| shown(app, &frame, child, on, Filled::default())).await?)
}

/// The form with its contents.
fn shown(app: &App, frame: &Frame, child: ChildId, on: Day, filled: Filled) -> Result<maud::Markup, Fail> {
    let known = app.known(child, on)?;
    let outlook = &known.outlook;
    let proposed = proposed(app, child, &known, on);
    let view = VisitView {
        who: app.who(&outlook.course),
        on,
        outlook,
        seen: known.entries.len(),
        once: app.once().to_string(),
        walking_age: outlook.is_of_walking_age(on),
        proposals: proposed.iter().map(|each| DayChoice { day: each.day, why: each.why.clone() }).collect(),
        purpose: proposed.first().map(|each| each.purpose),
        preview: PreviewView {
            child,
            on,
            steps: &outlook.steps_on(on),
            as_if_saved: false,
            remarks: remarks(&filled),
        },
        filled,
    };
    Ok(pages::visit(frame, &view))
}

/// Days for the next appointment, assuming that what is due is done at this visit.
fn proposed(app: &App, child: ChildId, known: &ChildRecord, on: Day) -> Vec<ProposedDay> {
    let drafts = known.outlook.if_done(on).into_iter().map(|body| Draft::new(body, on)).collect();
    let nobody = UserId::new(uuid::Uuid::nil());
    let added = Submission::new(app, child, nobody).entries(app, drafts);
    let entries: Vec<_> = known.entries.iter().cloned().chain(added).collect();
    proposed_days(&app.outlook(child, &entries, on), on, &app.settings.weekdays)
}

fn remarks(filled: &Filled) -> Vec<String> {
    filled.errors.iter().map(|error| error.text.clone()).collect()
}

/// The next steps as if the form were saved. Saves nothing.
pub async fn preview(
    State(app): State<Shared>,
    PostedTo { path: child, by, filled }: PostedTo<ChildId>,
) -> PageResult {
    let today = app.clock.today();
    let fragment = work(&app, move |app| match forms::visit(&filled, today) {
        Ok(visit) => as_if_saved(app, child, by, &visit),
        Err(errors) => {
            let on = day_of(app, filled.given(fields::ON)).unwrap_or(today).min(today);
            let known = app.known(child, on)?;
            let remarks = errors.into_iter().map(|error| error.text).collect();
            let steps = known.outlook.steps_on(on);
            let view = PreviewView { child, on, steps: &steps, as_if_saved: false, remarks };
            Ok(pages::preview(&view, today))
        }
    });
    page(fragment.await?)
}

fn as_if_saved(app: &App, child: ChildId, by: UserId, visit: &Visit) -> Result<maud::Markup, Fail> {
    let known = app.known(child, visit.on)?;
    let submission = Submission::new(app, child, by);
    let added = submission.entries(app, drafts(&known.outlook.course, visit));
    let questions =
        added.iter().flat_map(record::Entry::findings).map(|found| crate::exit::sentence(&found.text));
    let doubts = confirm::doubts(app, &known.entries, &added).into_iter().map(|doubt| doubt.text);
    let remarks = questions.chain(doubts).collect();
    let entries: Vec<_> = known.entries.iter().cloned().chain(added).collect();
    // As on the child's page once this is saved: as known today, with the calls that bring its step forward.
    let today = app.clock.today();
    let steps = app.outlook(child, &entries, today).steps_on(today);
    let view = PreviewView { child, on: visit.on, steps: &steps, as_if_saved: true, remarks };
    Ok(pages::preview(&view, app.clock.today()))
}

/// Saves the visit.
pub async fn save(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path: child, by, mut filled }: PostedTo<ChildId>,
) -> PageResult {
    let today = app.clock.today();
    let frame = app.frame(&visitor, Here::Child);
    let visit = match forms::visit(&filled, today) {
        Ok(visit) => visit,
        Err(errors) => {
            filled.errors = errors;
            return form_again(&app, frame, child, filled).await;
        }
    };
    let seen: Option<usize> = filled.value(fields::SEEN).parse().ok();
    let result = work(&app, move |app| {
        let known: std::sync::Arc<ChildRecord> = app.known(child, today)?;
        let others = seen.is_some_and(|seen| known.entries.len() > seen);
        let on_day = app.known(child, visit.on)?;
        let drafts = drafts(&on_day.outlook.course, &visit);
        let submission = Submission::of_form(app, child, by, &filled);
        let outcome = confirm::save(app, submission, &known.entries, drafts, &filled)?;
        Ok((outcome, others, filled))
    });
    match result.await? {
        (ConfirmOutcome::Ask(asked), ..) => form_again(&app, frame, child, asked).await,
        (ConfirmOutcome::Done(SaveOutcome::Saved), true, _) => to(&format!("/child/{child}?done=both")),
        (ConfirmOutcome::Done(SaveOutcome::Saved | SaveOutcome::SavedBefore), ..) => {
            to(&format!("/child/{child}?done=visit"))
        }
        (ConfirmOutcome::Done(SaveOutcome::SavedOtherwise), _, filled) => {
            let filled = SaveOutcome::SavedOtherwise.or_form(&filled).err().unwrap_or(filled);
            form_again(&app, frame, child, filled).await
        }
    }
}

async fn form_again(app: &Shared, frame: Frame, child: ChildId, filled: Filled) -> PageResult {
    let today = app.clock.today();
    let on = day_of(app, filled.given(fields::ON)).unwrap_or(today).min(today);
    again(work(app, move |app| shown(app, &frame, child, on, filled)).await?)
}

/// The entries of a visit: those of the form and, last, that the child came, unless that is recorded already.
fn drafts(course: &Course, visit: &Visit) -> Vec<Draft> {
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
