//! Two records of one child: found, compared and joined.

use super::{
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
use clinic::{ClashChoice, IdentityChoice, JoinChoices, JoinPlan, likenesses};
use course::CorrectedLog;
use pages::{
    Frame, Here, JoinCandidate, JoinClashRow, JoinDetail, JoinFindView, JoinView,
    fields::{self, Filled},
    join::{clash_field, detail_field},
};
use record::{ChildId, Day};
use serde::Deserialize;

/// Records shown as possibly of the same child.
const FOUND: usize = 12;

/// What stands for the search.
#[derive(Debug, Deserialize)]
pub struct JoinQuery {
    search: Option<String>,
}

/// The records that may be of the same child.
pub async fn find(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<ChildId>,
    Query(query): Query<JoinQuery>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    let asked = app.searches.asked(visitor.user()?, query.search.as_deref());
    page(work(&app, move |app| candidates(app, &frame, child, asked)).await?)
}

fn candidates(app: &App, frame: &Frame, child: ChildId, asked: AskedSearch) -> Result<maud::Markup, Fail> {
    let known = app.known(child, app.clock.today())?;
    let about = &known.outlook.course.about;
    let query: String = search_text(&asked.text.unwrap_or_else(|| about.full_name()));
    let mut children: Vec<ChildId> = Vec::new();
    for number in &about.numbers {
        children.extend(app.records.by_number(number)?);
    }
    let hits = if query.trim().is_empty() { Vec::new() } else { app.search(&query, FOUND + 1)? };
    children.extend(hits.into_iter().map(|hit| hit.summary.child));
    let mut met = std::collections::HashSet::from([child]);
    children.retain(|other| met.insert(*other));
    children.truncate(FOUND);
    let candidate = |other: &ChildId| {
        let other = app.known(*other, app.clock.today())?;
        let found = likenesses(about, &other.outlook.course.about);
        Ok(JoinCandidate {
            who: app.who(&other.outlook.course),
            alike: found.alike.join(", "),
            differs: found.differs.join(", "),
            may_be_siblings: found.may_be_siblings,
        })
    };
    let found = children.iter().map(candidate).collect::<Result<_, Fail>>()?;
    let (who, is_over) = (app.who(&known.outlook.course), asked.is_over);
    Ok(pages::join_find(frame, &JoinFindView { who, query, is_over, found }))
}

/// Both records beside each other.
pub async fn form(
    State(app): State<Shared>,
    visitor: Visitor,
    Path((child, other)): Path<(ChildId, ChildId)>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    page(
        work(&app, move |app| {
            let both = Both::of(app, child, other, None)?;
            let plan = both.plan();
            // Where the records agree, or only one says something, nothing has to be chosen.
            let kept = plan.identity.iter().filter(|row| row.differs && !row.must_choose);
            let filled =
                kept.fold(Filled::default(), |filled, row| filled.with(detail_field(row.key), "kept"));
            Ok(both.shown(app, &frame, &plan, filled))
        })
        .await?,
    )
}

struct Both {
    kept: StepLog,
    other: StepLog,
}

impl Both {
    fn of(app: &App, kept: ChildId, other: ChildId, form: Option<&Submission>) -> Result<Self, Fail> {
        if kept == other {
            return Err(Fail::not_found());
        }
        steps::in_use(app, kept)?;
        Ok(Self { kept: StepLog::of(app, kept, form)?, other: StepLog::of(app, other, form)? })
    }

    fn plan(&self) -> JoinPlan<'_> {
        let of = |log: &StepLog| log.child;
        JoinPlan::of((of(&self.kept), self.kept.entries()), (of(&self.other), self.other.entries()))
    }

    fn logs(&self) -> Vec<&StepLog> {
        vec![&self.kept, &self.other]
    }

    fn shown(&self, app: &App, frame: &Frame, plan: &JoinPlan<'_>, filled: Filled) -> maud::Markup {
        let [kept, other] = [self.kept.course(), self.other.course()];
        let details = plan.identity.iter().map(|row| JoinDetail {
            key: row.key,
            label: row.label.clone(),
            kept: row.kept.clone(),
            other: row.other.clone(),
            differs: row.differs,
        });
        let clashes = plan.clashes.iter().map(|clash| JoinClashRow {
            on: clash.on,
            entry: clash.other.0,
            kept: clash.kept.1.clone(),
            other: clash.other.1.clone(),
        });
        let view = JoinView {
            both: [app.who(kept), app.who(other)],
            details: details.collect(),
            same: plan.same.clone(),
            clashes: clashes.collect(),
            recorded_again: plan.recorded_again(&choices(plan, &filled)),
            entries: [held(&self.kept), held(&self.other)],
            may_be_siblings: likenesses(&kept.about, &other.about).may_be_siblings,
            filled,
            once: app.once().to_string(),
            seen: steps::seen(&self.logs()),
        };
        pages::join(frame, &view)
    }
}

/// What a record holds, the latest first.
fn held(log: &StepLog) -> Vec<(Day, String)> {
    let log = CorrectedLog::of(log.entries(), Day::LAST);
    let holds = |line: &&course::Line<'_>| line.fate.holds();
    log.lines.iter().rev().filter(holds).map(|line| (line.on, line.body.sentence())).collect()
}

fn choices(plan: &JoinPlan<'_>, filled: &Filled) -> JoinChoices {
    let mut choices = JoinChoices::default();
    for row in &plan.identity {
        let choice = match filled.value(&detail_field(row.key)) {
            "kept" => IdentityChoice::Kept,
            "other" => IdentityChoice::Other,
            _ => continue,
        };
        choices.identity.insert(row.key.to_owned(), choice);
    }
    for clash in &plan.clashes {
        let key = filled.value(&clash_field(clash.other.0));
        if let Some(choice) = ClashChoice::ALL.into_iter().find(|choice| choice.key() == key) {
            choices.clashes.insert(clash.other.0, choice);
        }
    }
    choices
}

/// Joins the records.
pub async fn save(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path: (child, other), by, filled }: PostedTo<(ChildId, ChildId)>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    steps::form_work(&app, format!("/child/{child}?done=joined"), move |app| {
        let submission = Submission::of_form(app, child, by, &filled);
        let both = Both::of(app, child, other, Some(&submission))?;
        let Err(filled) = saved(app, &both, &submission, &filled)? else { return Ok(None) };
        // As they are now: somebody may have written meanwhile, or the form was saved before.
        let both = Both::of(app, child, other, None)?;
        Ok(Some(both.shown(app, &frame, &both.plan(), filled)))
    })
    .await
}

fn saved(
    app: &App,
    both: &Both,
    submission: &Submission,
    filled: &Filled,
) -> Result<Result<(), Filled>, Fail> {
    let plan = both.plan();
    let choices = choices(&plan, filled);
    let mut reader = Reader::of(filled);
    let reason =
        reader.needed(fields::REASON, "Write down how you know, so that others can follow what happened.");
    let (details, clashes) = plan.unanswered(&choices);
    for key in details {
        reader.wrong(&detail_field(key), "The records disagree: choose which is right.");
    }
    for entry in clashes {
        reader.wrong(&clash_field(entry), "The records contradict each other: choose.");
    }
    if filled.value(fields::SURE) != "yes" {
        reader.wrong(fields::SURE, "Confirm that both records are of one child.");
    }
    if held(&both.other).is_empty() {
        reader.wrong("", "Nothing is on record in the other record any more.");
    }
    if !reader.errors.is_empty() {
        return steps::refused(app, submission, filled, reader.errors).map(Err);
    }
    let entries = plan.entries(&choices, &submission.stamp(app, reason)?);
    StepToSave { form: *submission, entries, logs: both.logs() }.save(app, filled)
}
