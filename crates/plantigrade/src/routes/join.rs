//! Two records of one child: found, compared and joined.

use super::{
    find::search_text,
    steps::{self, StepToSave},
    submission::Submission,
};
use crate::{
    app::App,
    forms::Reader,
    web::{Fail, PageResult, PostedTo, Shared, Visitor, page, work},
};
use axum::extract::{Path, Query, State};
use clinic::{ChildRecord, ClashChoice, IdentityChoice, JoinChoices, JoinPlan, likenesses};
use course::{CorrectedLog, Fate};
use pages::{
    Frame, Here, JoinCandidate, JoinClashRow, JoinDetail, JoinFindView, JoinView,
    fields::{self, Filled},
    join::{clash_field, detail_field},
};
use record::{ChildId, Day};
use serde::Deserialize;
use std::sync::Arc;

/// Records shown as possibly of the same child.
const FOUND: usize = 12;

/// What is searched for.
#[derive(Debug, Deserialize)]
pub struct JoinQuery {
    q: Option<String>,
}

/// The records that may be of the same child.
pub async fn find(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(child): Path<ChildId>,
    Query(query): Query<JoinQuery>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Child);
    page(work(&app, move |app| candidates(app, &frame, child, query.q)).await?)
}

fn candidates(app: &App, frame: &Frame, child: ChildId, query: Option<String>) -> Result<maud::Markup, Fail> {
    let known = app.known(child, app.clock.today())?;
    let about = &known.outlook.course.about;
    let query: String = search_text(&query.unwrap_or_else(|| about.full_name()));
    let mut children: Vec<ChildId> = Vec::new();
    for number in &about.numbers {
        children.extend(app.records.by_number(number)?);
    }
    let hits = if query.trim().is_empty() { Vec::new() } else { app.records.search(&query, FOUND + 1)? };
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
    Ok(pages::join_find(frame, &JoinFindView { who: app.who(&known.outlook.course), query, found }))
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
            let both = Both::of(app, child, other)?;
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
    children: [ChildId; 2],
    known: [Arc<ChildRecord>; 2],
}

impl Both {
    fn of(app: &App, kept: ChildId, other: ChildId) -> Result<Self, Fail> {
        if kept == other {
            return Err(Fail::not_found());
        }
        steps::in_use(app, kept)?;
        Ok(Self { children: [kept, other], known: [steps::log(app, kept)?, steps::log(app, other)?] })
    }

    fn plan(&self) -> JoinPlan<'_> {
        let [kept, other] = &self.known;
        JoinPlan::of((self.children[0], &kept.entries), (self.children[1], &other.entries))
    }

    fn shown(&self, app: &App, frame: &Frame, plan: &JoinPlan<'_>, filled: Filled) -> maud::Markup {
        let [kept, other] = &self.known;
        let abouts = [&kept.outlook.course.about, &other.outlook.course.about];
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
            both: [app.who(&kept.outlook.course), app.who(&other.outlook.course)],
            details: details.collect(),
            same: plan.same.clone(),
            clashes: clashes.collect(),
            recorded_again: plan.recorded_again(&choices(plan, &filled)),
            entries: [held(kept), held(other)],
            may_be_siblings: likenesses(abouts[0], abouts[1]).may_be_siblings,
            filled,
            once: app.once().to_string(),
        };
        pages::join(frame, &view)
    }
}

/// What a record holds, the latest first.
fn held(known: &ChildRecord) -> Vec<(Day, String)> {
    let log = CorrectedLog::of(&known.entries, Day::LAST);
    let holds = |line: &&course::Line<'_>| matches!(line.fate, Fate::Unchanged | Fate::Corrected { .. });
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
        let both = Both::of(app, child, other)?;
        let plan = both.plan();
        let submission = Submission::of_form(app, child, by, &filled);
        let choices = choices(&plan, &filled);
        let mut reader = Reader::of(&filled);
        let reason = reader
            .needed(fields::REASON, "Write down how you know, so that others can follow what happened.");
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
        let saved = submission.is_saved(app)?;
        if held(&both.known[1]).is_empty() && !saved {
            reader.wrong("", "Nothing is on record in the other record any more.");
        }
        let errors = reader.errors;
        if saved {
            return Ok(None);
        }
        let result = if errors.is_empty() {
            let entries = plan.entries(&choices, &submission.stamp(app, reason));
            let logs =
                both.children.iter().zip(&both.known).map(|(child, known)| (*child, &known.entries[..]));
            StepToSave { entries, logs: logs.collect() }.save(app, &filled)?
        } else {
            Err(Filled { errors, ..filled.clone() })
        };
        Ok(result.err().map(|filled| both.shown(app, &frame, &plan, filled)))
    })
    .await
}
