//! The records as a whole: whether they are those that were saved, and what a person decides if they are not.

use crate::{
    app::App,
    backing_up::{BackupAct, BackupEvents},
    checks,
    clock::local_words,
    held::HoldReason,
    notices,
    web::{Fail, PageResult, Posted, Shared, Visitor, again, page as shown, to, work},
};
use axum::extract::{Query, State};
use clinic::{DecisionKind, RecordsDecision};
use pages::{
    DecisionRow, Frame, Here, Message, RecordsProblem, RecordsView, RequestError,
    fields::{Filled, settings::WHY},
};
use record::{Right, UserId};
use serde::Deserialize;

/// What was just done.
#[derive(Debug, Deserialize)]
pub struct RecordsQuery {
    done: Option<String>,
}

/// The page.
pub async fn page(
    State(app): State<Shared>,
    visitor: Visitor,
    Query(asked): Query<RecordsQuery>,
) -> PageResult {
    let mut frame = app.frame(&visitor, Here::Elsewhere);
    frame.message = asked.done.as_deref().and_then(message);
    shown(work(&app, move |app| drawn(app, &frame, Filled::default())).await?)
}

fn message(done: &str) -> Option<Message> {
    let text = match done {
        "accepted" => {
            "The decision is saved. End the program now and start it again: it then goes on with these records."
        }
        "confirmed" => "The confirmation is saved.",
        "clock" => "The confirmation is saved. Entries can be saved again.",
        _ => return None,
    };
    Some(Message::Done(text.to_owned()))
}

/// Goes on with records that are not those the witness knows.
pub async fn accept(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let (by, frame) = (visitor.user()?, app.frame(&visitor, Here::Elsewhere));
    let decide = move |app: &App| {
        let Some(HoldReason::NotThoseSaved(records, finding)) = app.held.as_ref().map(|held| &held.why)
        else {
            if let Some(about) = notices::copied_here(&app.records)? {
                let Some(decision) = decision(app, by, DecisionKind::Records, about, &filled) else {
                    return without_reason(app, &frame, filled).map(Some);
                };
                app.records.confirm(decision)?;
                return Ok(None);
            }
            return Err(Fail(RequestError::Refused(
                "There is nothing to decide about these records.".to_owned(),
            )));
        };
        let about = finding.sentence(&local_words);
        let Some(decision) = decision(app, by, DecisionKind::Records, about, &filled) else {
            return without_reason(app, &frame, filled).map(Some);
        };
        Ok(records.accept(&decision).map(|()| None)?)
    };
    let done = if app.held.is_some() { "accepted" } else { "confirmed" };
    work(&app, decide).await?.map_or_else(|| to(&format!("/records?done={done}")), again)
}

/// Confirms a clock that is earlier than the last entry.
pub async fn confirm_clock(
    State(app): State<Shared>,
    visitor: Visitor,
    Posted(filled): Posted,
) -> PageResult {
    let (by, frame) = (visitor.user()?, app.frame(&visitor, Here::Elsewhere));
    let decide = move |app: &App| {
        let Some(about) = notices::clock_behind(&app.records, app.clock)? else { return Ok(None) };
        let Some(decision) = decision(app, by, DecisionKind::Clock, about, &filled) else {
            return without_reason(app, &frame, filled).map(Some);
        };
        Ok(app.records.confirm(decision).map(|()| None)?)
    };
    work(&app, decide).await?.map_or_else(|| to("/records?done=clock"), again)
}

fn decision(
    app: &App,
    by: UserId,
    kind: DecisionKind,
    about: String,
    filled: &Filled,
) -> Option<RecordsDecision> {
    let reason = filled.value(WHY).trim().to_owned();
    let at = app.clock.now();
    (!reason.is_empty()).then_some(RecordsDecision { kind, by: Some(by), at, reason, about })
}

fn without_reason(app: &App, frame: &Frame, filled: Filled) -> Result<maud::Markup, Fail> {
    drawn(app, frame, filled.wrong(WHY, "Give the reason: it stays with the records.".to_owned()))
}

fn drawn(app: &App, frame: &Frame, filled: Filled) -> Result<maud::Markup, Fail> {
    let decisions = app.records.decisions()?.into_iter().map(|made| DecisionRow {
        when: local_words(made.at),
        who: match (made.by, made.kind) {
            (Some(by), _) => app.name_of(by),
            (None, DecisionKind::NewPlace) => "the program by itself".to_owned(),
            (None, _) => "the owner of the computer".to_owned(),
        },
        about: made.about,
        reason: made.reason,
    });
    let view = RecordsView {
        problem: problem(app, frame)?,
        folder: app.dir.display().to_string(),
        mark: app.records.mark()?.to_string(),
        checked: checks::last_words(app, local_words),
        witness: witness(app),
        witness_head: app.records.witness_head()?.map(|head| head.to_string()),
        drill: last_drill(app),
        may_back_up: frame.may(Right::CareForRecords),
        decisions: decisions.collect(),
        filled,
    };
    Ok(pages::records(frame, &view))
}

fn last_drill(app: &App) -> Option<String> {
    let events = BackupEvents::read(&app.dir).ok()?;
    let last = events.last(&[BackupAct::DrillPassed, BackupAct::DrillFailed])?;
    let what = if last.act == BackupAct::DrillPassed { "passed" } else { "FAILED" };
    Some(format!("{}: {what}. {}", local_words(last.at), last.result))
}

fn problem(app: &App, frame: &Frame) -> Result<Option<RecordsProblem>, Fail> {
    let Some(held) = &app.held else {
        if let Some(sentence) = notices::clock_behind(&app.records, app.clock)? {
            return Ok(Some(RecordsProblem::Clock {
                sentence,
                may_confirm: frame.may(Right::RecordClinical),
            }));
        }
        let copied = notices::copied_here(&app.records)?;
        let may_confirm = frame.may(Right::CareForRecords);
        return Ok(copied.map(|sentence| RecordsProblem::CopiedHere { sentence, may_confirm }));
    };
    Ok(Some(match &held.why {
        HoldReason::NotThoseSaved(..) => RecordsProblem::NotThoseSaved {
            sentence: held.sentence(),
            may_accept: frame.may(Right::CareForRecords),
        },
        HoldReason::Damaged(what, salvaged) => RecordsProblem::Damaged {
            sentence: held.sentence(),
            what: what.clone(),
            missing: salvaged.missing.iter().map(|entry| entry.sequence).collect(),
            children: held.hidden_children(),
        },
    }))
}

fn witness(app: &App) -> Option<String> {
    let held = app.held.as_ref().map(|held| &held.why);
    let place = match held {
        Some(HoldReason::NotThoseSaved(records, _)) => records.witness_place(),
        _ => app.records.witness_place(),
    };
    place.map(|place| place.log_file().display().to_string())
}
