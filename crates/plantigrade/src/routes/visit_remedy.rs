//! A whole visit withdrawn or put right: wrong child, wrong foot, wrong day, or not made at all.

use super::{
    child::id,
    find::search_text,
    steps::{self, StepLog, StepToSave},
    submission::Submission,
};
use crate::{
    app::App,
    forms::Reader,
    searches::AskedSearch,
    web::{Fail, PageResult, PostedTo, Shared, Visitor, page, work},
};
use axum::extract::{Path, Query, State};
use clinic::{EntryFate, VisitPlan, VisitRemedy, VisitRow};
use course::CorrectedLog;
use pages::{
    Frame, Here, RemedyRow, RequestError, VisitEntriesView, VisitFault, VisitRemedyView,
    fields::{self, Filled},
    parts::Who,
    visit_remedy::{CHECKED, HOW, TO, entry_field},
};
use record::{ChildId, Day, EntryId};
use serde::Deserialize;

/// Children shown for a search.
const FOUND: usize = 12;

/// What is wrong, and the other child or day.
#[derive(Debug, Deserialize)]
pub struct RemedyQuery {
    how: Option<String>,
    to: Option<String>,
    search: Option<String>,
}

/// What the visit holds; what would change, once it is known what is wrong.
pub async fn form(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, on)): Path<(ChildId, String)>,
    Query(query): Query<RemedyQuery>,
) -> PageResult {
    let (on, frame) = (day(&on)?, app.frame(&visitor, Here::Child));
    let asked = app.searches.asked(visitor.user()?, query.search.as_deref());
    let fault = query.how.as_deref().map(|key| VisitFault::from_key(key).ok_or_else(Fail::not_found));
    let fault = fault.transpose()?;
    page(
        work(&app, move |app| match (fault, query.to) {
            (Some(VisitFault::Child) | None, None) => entries(app, &frame, child, on, asked),
            (None, Some(_)) => Err(Fail::not_found()),
            (Some(fault), to) => {
                let to = to.as_deref().unwrap_or_default();
                let wanted = Wanted::of(app, (child, on), fault, to, None)?;
                let filled = Filled::default().with(fields::REASON, fault.reason());
                Ok(wanted.shown(app, &frame, &wanted.plan(None), filled))
            }
        })
        .await?,
    )
}

fn day(text: &str) -> Result<Day, Fail> {
    text.parse().map_err(|_| Fail::not_found())
}

fn entries(
    app: &App,
    frame: &Frame,
    child: ChildId,
    on: Day,
    asked: AskedSearch,
) -> Result<maud::Markup, Fail> {
    let known = StepLog::of(app, child, None)?;
    let log = CorrectedLog::of(known.entries(), Day::LAST);
    let entries = course::visit_lines(&log, on).into_iter();
    let query = asked.text.as_deref().map(search_text);
    let found = query.as_deref().map(|text| found(app, child, text)).transpose()?.unwrap_or_default();
    let view = VisitEntriesView {
        who: app.who(&app.known(child, app.clock.today())?.outlook.course),
        on,
        entries: entries.map(|(line, _)| (line.entry.id, line.body.sentence())).collect(),
        query,
        is_over: asked.is_over,
        found,
    };
    Ok(pages::visit_entries(frame, &view))
}

/// Other children by name, number or day of birth.
fn found(app: &App, child: ChildId, text: &str) -> Result<Vec<(Who, String)>, Fail> {
    let hits = app.search(text, FOUND + 1)?.into_iter();
    let others = hits.filter(|hit| hit.summary.child != child).take(FOUND);
    let who = |hit: clinic::Hit| {
        let known = app.known(hit.summary.child, app.clock.today())?;
        Ok((app.who(&known.outlook.course), hit.why))
    };
    others.map(who).collect()
}

/// A remedy with the records that it concerns.
struct Wanted {
    on: Day,
    fault: VisitFault,
    remedy: VisitRemedy,
    own: StepLog,
    there: Option<StepLog>,
}

impl Wanted {
    fn of(
        app: &App,
        (child, on): (ChildId, Day),
        fault: VisitFault,
        to: &str,
        form: Option<&Submission>,
    ) -> Result<Self, Fail> {
        let own = StepLog::of(app, child, form)?;
        let remedy = match fault {
            VisitFault::Withdraw => VisitRemedy::Withdraw,
            VisitFault::Foot => VisitRemedy::OtherFoot,
            VisitFault::Day => VisitRemedy::OtherDay(other_day(app, on, to)?),
            VisitFault::Child => VisitRemedy::OtherChild(id(to)?),
        };
        let there = match remedy {
            VisitRemedy::OtherChild(other) if other == child => return Err(Fail::not_found()),
            VisitRemedy::OtherChild(other) => {
                steps::in_use(app, other)?;
                Some(StepLog::of(app, other, form)?)
            }
            _ => None,
        };
        Ok(Self { on, fault, remedy, own, there })
    }

    fn plan(&self, chosen: Option<&[EntryId]>) -> VisitPlan {
        let there = self.there.as_ref().map_or(&[][..], StepLog::entries);
        VisitPlan::of(self.own.child, self.own.entries(), self.on, self.remedy, (chosen, there))
    }

    fn shown(&self, app: &App, frame: &Frame, plan: &VisitPlan, filled: Filled) -> maud::Markup {
        let other = self.there.as_ref().map(|there| app.who(there.course()));
        let view = VisitRemedyView {
            who: app.who(self.own.course()),
            on: self.on,
            fault: self.fault,
            other,
            to: if let VisitRemedy::OtherDay(day) = self.remedy { Some(day) } else { None },
            rows: plan.rows.iter().map(|row| shown_row(row, self.remedy)).collect(),
            to_check: plan.to_check(),
            held_there: plan.held_there.clone(),
            filled,
            once: app.once().to_string(),
            seen: steps::seen(&self.logs()),
        };
        pages::visit_remedy(frame, &view)
    }
}

fn other_day(app: &App, on: Day, to: &str) -> Result<Day, Fail> {
    let refuse = |text: String| Fail(RequestError::Refused(text));
    let day: Day =
        to.parse().map_err(|error: record::DayError| refuse(crate::exit::sentence(&error.to_string())))?;
    if day > app.clock.today() {
        return Err(refuse(format!(
            "{} is in the future: a visit cannot have been on that day.",
            day.words()
        )));
    }
    if day == on {
        return Err(refuse(format!("The visit is recorded under {} already.", day.words())));
    }
    Ok(day)
}

fn shown_row(row: &VisitRow, remedy: VisitRemedy) -> RemedyRow {
    let before = row.body.sentence();
    let after = match (&row.if_chosen, remedy) {
        (EntryFate::Becomes(_, day), VisitRemedy::OtherDay(_)) => Some(format!("on {}", day.words())),
        (EntryFate::Becomes(body, _), _) => Some(body.sentence()),
        (EntryFate::RecordedThere, _) => Some("recorded for the other child, every field kept".to_owned()),
        (EntryFate::SaidThere, _) => {
            Some("withdrawn here; the other child’s record says the same already".to_owned())
        }
        (EntryFate::Stays | EntryFate::Withdrawn, _) => None,
    };
    RemedyRow {
        entry: row.entry,
        before,
        after,
        changes: row.if_chosen != EntryFate::Stays,
        chosen: row.chosen,
    }
}

/// Saves the remedy.
pub async fn save(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path: (child, on), by, filled }: PostedTo<(ChildId, String)>,
) -> PageResult {
    let (on, frame) = (day(&on)?, app.frame(&visitor, Here::Child));
    let fault = VisitFault::from_key(filled.value(HOW)).ok_or_else(Fail::not_found)?;
    let done = format!("/child/{child}?done=visit-{}", fault.key());
    steps::form_work(&app, done, move |app| {
        let submission = Submission::of_form(app, child, by, &filled);
        let wanted = Wanted::of(app, (child, on), fault, filled.value(TO), Some(&submission))?;
        let Err(filled) = saved(app, &wanted, &submission, &filled)? else { return Ok(None) };
        // As it is now: somebody may have written meanwhile, or the form was saved before.
        let wanted = Wanted::of(app, (child, on), fault, filled.value(TO), None)?;
        let plan = wanted.plan(Some(&wanted.chosen(&filled)));
        Ok(Some(wanted.shown(app, &frame, &plan, filled)))
    })
    .await
}

fn saved(
    app: &App,
    wanted: &Wanted,
    submission: &Submission,
    filled: &Filled,
) -> Result<Result<(), Filled>, Fail> {
    let plan = wanted.plan(Some(&wanted.chosen(filled)));
    let mut reader = Reader::of(filled);
    let reason =
        reader.needed(fields::REASON, "A reason is needed, so that others can follow what happened.");
    if plan.changed() == 0 {
        reader.wrong("", "Nothing is chosen that this would change.");
    }
    if !plan.to_check().is_empty() && filled.value(CHECKED) != "yes" {
        reader.wrong(CHECKED, "Something has to be checked first. Look at it, and confirm.");
    }
    if !reader.errors.is_empty() {
        return steps::refused(app, submission, filled, reader.errors).map(Err);
    }
    let entries = plan.entries(&submission.stamp(app, reason)?);
    StepToSave { form: *submission, entries, logs: wanted.logs() }.save(app, filled)
}

impl Wanted {
    fn logs(&self) -> Vec<&StepLog> {
        [Some(&self.own), self.there.as_ref()].into_iter().flatten().collect()
    }

    /// The entries of the day that are ticked.
    fn chosen(&self, filled: &Filled) -> Vec<EntryId> {
        let log = CorrectedLog::of(self.own.entries(), Day::LAST);
        let of_day = course::visit_lines(&log, self.on).into_iter().map(|(line, _)| line.entry.id);
        of_day.filter(|entry| filled.value(&entry_field(*entry)) == "yes").collect()
    }
}
