//! The visit: its form, a preview of the next steps, and saving it.

use super::{
    confirm::{self, ConfirmOutcome},
    day::day_of,
    day_loads::ask_if_closed,
    form_drafts, stock_of_entry,
    submission::{SaveOutcome, Submission},
    visit_outcome::{VisitOutcome, drafts},
};
use crate::{
    app::App,
    forms, stock_file,
    web::{Fail, PageResult, PostedTo, Shared, Visitor, again, page, to, work},
};
use axum::extract::{Path, Query, State};
use clinic::ChildRecord;
use maud::Markup;
use pages::{
    Frame, Here, VisitView,
    fields::{self, Filled, visit as names},
};
use record::{ChildId, Entry, UserId};
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
    let (mut frame, user) = (app.frame(&visitor, Here::Child), visitor.user()?);
    let form = work(&app, move |app| {
        let name = format!("/child/{child}/visit?on={on}");
        if let Some(filled) = form_drafts::restored(app, user, &name, &mut frame)? {
            let filled = filled.with(fields::DRAFT, name);
            let now = VisitOutcome::of(app, child, user, &filled)?;
            return shown(app, &frame, child, filled, &now);
        }
        let now = VisitOutcome::of_empty(app, child, on)?;
        shown(app, &frame, child, Filled::default().with(fields::DRAFT, name), &now)
    });
    page(form.await?)
}

/// The form with its contents. Who the child is comes from today's record, whatever the day of the visit: a child
/// registered after it has a name all the same.
fn shown(
    app: &App,
    frame: &Frame,
    child: ChildId,
    filled: Filled,
    now: &VisitOutcome,
) -> Result<Markup, Fail> {
    let now = now.view();
    let known = app.known(child, now.on)?;
    // A list that cannot be read is no reason to refuse the form; the page of the stock says what is wrong.
    let (outlook, stock) = (&known.outlook, stock_file::in_force(app).unwrap_or_default());
    let view = VisitView {
        who: app.who(&app.known(child, app.clock.today())?.outlook.course),
        outlook,
        seen: known.entries.len(),
        once: app.once().to_string(),
        stock: &stock,
        walking_age: outlook.is_of_walking_age(now.on),
        now,
        filled,
    };
    Ok(pages::visit(frame, &view))
}

/// What changes on the form while it is filled in. Saves nothing.
pub async fn preview(
    State(app): State<Shared>,
    PostedTo { path: child, by, filled }: PostedTo<ChildId>,
) -> PageResult {
    let parts = work(&app, move |app| {
        let now = VisitOutcome::of(app, child, by, &filled)?;
        Ok(pages::visit_parts(&now.view(), &filled, app.clock.today()))
    });
    page(parts.await?)
}

/// Saves the visit.
pub async fn save(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path: child, by, mut filled }: PostedTo<ChildId>,
) -> PageResult {
    let today = app.clock.today();
    let frame = app.frame(&visitor, Here::Child);
    if filled.given(names::SHOW).is_some() {
        return page(form_with(&app, frame, child, by, filled).await?);
    }
    let stock = work(&app, |app| Ok(stock_file::in_force(app).unwrap_or_default())).await?;
    let read = forms::visit(&filled, today).and_then(|visit| forms::with_listed_lengths(visit, &stock));
    let visit = match read {
        Ok(visit) => visit,
        Err(errors) => {
            filled.errors = errors;
            return again(form_with(&app, frame, child, by, filled).await?);
        }
    };
    let seen: Option<usize> = filled.value(fields::SEEN).parse().ok();
    let result = work(&app, move |app| {
        let known: std::sync::Arc<ChildRecord> = app.known(child, today)?;
        let others = seen.is_some_and(|seen| known.entries.len() > seen);
        if let Some(asked) = ask_if_closed(app, visit.appointment(), names::NEXT_OTHER_DAY, &filled) {
            return Ok((ConfirmOutcome::Ask(asked), others, String::new(), filled));
        }
        let on_day = app.known(child, visit.on)?;
        let drafts = drafts(&on_day.outlook.course, &visit);
        let submission = Submission::of_form(app, child, by, &filled);
        let entries = submission.entries(app, drafts.clone());
        let outcome = confirm::save(app, submission, &known.entries, drafts, &filled)?;
        let fitted = after_saving(app, &outcome, &known.entries, &entries, &filled);
        Ok((outcome, others, fitted, filled))
    });
    match result.await? {
        (ConfirmOutcome::Ask(asked), ..) => again(form_with(&app, frame, child, by, asked).await?),
        (ConfirmOutcome::Done(SaveOutcome::Saved), true, fitted, _) => {
            to(&format!("/child/{child}?done=both{fitted}"))
        }
        (ConfirmOutcome::Done(outcome), _, fitted, filled) => match outcome.or_form(&filled) {
            Ok(()) => to(&format!("/child/{child}?done=visit{fitted}")),
            Err(filled) => again(form_with(&app, frame, child, by, filled).await?),
        },
    }
}

/// Takes what a fitting hands out once it is saved. Returns the part of the address that names the fitting.
fn after_saving(
    app: &App,
    outcome: &ConfirmOutcome,
    known: &[Entry],
    entries: &[Entry],
    filled: &Filled,
) -> String {
    let saved = matches!(outcome, ConfirmOutcome::Done(SaveOutcome::Saved | SaveOutcome::SavedBefore));
    let Some(entry) = stock_of_entry::handing_out(entries).filter(|_| saved) else { return String::new() };
    stock_of_entry::taken(app, entry.by, known, entry, filled);
    format!("&fitted={}", entry.id)
}

async fn form_with(
    app: &Shared,
    frame: Frame,
    child: ChildId,
    by: UserId,
    filled: Filled,
) -> Result<Markup, Fail> {
    work(app, move |app| {
        let now = VisitOutcome::of(app, child, by, &filled)?;
        shown(app, &frame, child, filled, &now)
    })
    .await
}
