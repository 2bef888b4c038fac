//! Practice on the clinic's own photographs.
//!
//! A picture is asked about only while a consent is in force and the record is open to the reader, and only where two
//! people, neither of them the reader, gave the sign the same level at the visit of the day of the picture. A person
//! scores each sign on one photograph of a child.

use super::super::{
    results::{calibration_rows, working},
    second_score::is,
};
use crate::{
    app::App,
    web::{Fail, PageResult, PostedTo, Shared, Visitor, again, page as shown, to, work},
};
use audit::ClinicHistory;
use axum::extract::{Path, State};
use clinic::{ChildRecord, KeptPhotograph, PhotographPracticeRow, PhotographUses};
use course::pairing::{self, ScorePair};
use maud::Markup;
use pages::{
    Frame, Here, PhotographExerciseView, PhotographPracticeView, PhotographTask, PhotographToScore,
    RequestError,
    fields::Filled,
    practice::{photograph_path, practice_fields as names},
};
use practice::{PhotographProgress, level_agreed, signs_in_view};
use record::{ChildId, EntryId, HalfPoint, Side, Sign, UserId};
use std::collections::HashSet;
use uuid::Uuid;

/// A sign on a photograph with its reference.
#[derive(Clone)]
struct Scorable {
    of: PhotographToScore,
    side: Side,
    photograph: KeptPhotograph,
    reference: HalfPoint,
}

/// The answers of a person about photographs.
fn own(app: &App, person: UserId) -> Result<Vec<PhotographPracticeRow>, Fail> {
    Ok(app.records.practice().on_photographs(person)?)
}

/// How a person agrees with the references.
pub(super) fn own_progress(app: &App, person: UserId) -> Result<PhotographProgress, Fail> {
    let levels: Vec<(Sign, HalfPoint, HalfPoint)> =
        own(app, person)?.into_iter().map(|row| (row.sign, row.given, row.reference)).collect();
    Ok(PhotographProgress::of(&levels))
}

/// Everything on a child's photographs that a person may score; nothing without a consent that covers teaching, or of a
/// closed record.
fn of_child(app: &App, child: ChildId, person: UserId) -> Result<Vec<Scorable>, Fail> {
    let today = app.clock.today();
    let Some(known) = app.records.child(child, today)?.filter(|_| !app.is_closed(child)) else {
        return Ok(Vec::new());
    };
    let photographs = known.photographs(today);
    if photographs.is_empty() {
        return Ok(Vec::new());
    }
    let consent = app.records.photograph_consent(&app.pictures(), &known, today)?;
    // Practice of the staff is teaching: a consent for the record alone does not cover it.
    if !PhotographUses::of(consent, &known.outlook.course).teaching {
        return Ok(Vec::new());
    }
    let pairs: Vec<ScorePair<'_>> =
        pairing::pairs(&known.entries, today).into_iter().filter_map(|(_, pair)| pair.ok()).collect();
    let of = |photograph| signs(app, &known, &pairs, photograph, person);
    Ok(photographs.iter().flat_map(of).collect())
}

/// What may be scored on one photograph.
fn signs(
    app: &App,
    known: &ChildRecord,
    pairs: &[ScorePair<'_>],
    photograph: &KeptPhotograph,
    person: UserId,
) -> Vec<Scorable> {
    let [side] = *photograph.photograph.side.each() else { return Vec::new() };
    let of_foot: Vec<&ScorePair<'_>> =
        pairs.iter().filter(|pair| pair.side == side && pair.on == photograph.on).collect();
    let scores = || of_foot.iter().flat_map(|pair| pair.scores.iter());
    // A score that was corrected afterwards was corrected by somebody who had seen both.
    if of_foot.iter().any(|pair| pair.amended) || scores().any(|score| is(app, score.rater, person)) {
        return Vec::new();
    }
    let child = known.outlook.course.child;
    let of = |sign: &Sign| {
        let given: Vec<Option<HalfPoint>> = scores().map(|score| score.pirani.sign(*sign)).collect();
        let of = PhotographToScore { child, photograph: photograph.entry, sign: *sign };
        level_agreed(&given).map(|reference| Scorable { of, side, photograph: photograph.clone(), reference })
    };
    signs_in_view(photograph.photograph.view).iter().filter_map(of).collect()
}

/// What a person may still score, one photograph for each child and sign, in an order of the person's own.
fn left(app: &App, clinic: &ClinicHistory, person: UserId) -> Result<Vec<PhotographToScore>, Fail> {
    let mut met: HashSet<(ChildId, Sign)> =
        own(app, person)?.into_iter().map(|row| (row.child, row.sign)).collect();
    let mut left = Vec::new();
    for row in clinic.children.iter().filter(|row| !row.pairs.is_empty()) {
        let found = of_child(app, row.child, person)?;
        left.extend(found.into_iter().map(|one| one.of).filter(|of| met.insert((of.child, of.sign))));
    }
    // The lower half of these ids is random: people meet the feet in different orders, each in the same on every day.
    let own = |id: Uuid| id.as_u128() as u64;
    left.sort_by_key(|of| (own(of.photograph.uuid()) ^ own(person.uuid()), of.sign));
    Ok(left)
}

/// What is next, and how the person agrees with the references.
pub async fn begin(State(app): State<Shared>, visitor: Visitor) -> PageResult {
    let person = visitor.user()?;
    let Some(clinic) = calibration_rows(&app).await? else { return working(&app, &visitor).await };
    let frame = app.frame(&visitor, Here::Practice);
    let view = work(&app, move |app| {
        let left = left(app, &clinic, person)?;
        let progress = own_progress(app, person)?;
        Ok(PhotographPracticeView { next: left.first().copied(), left: left.len(), progress })
    });
    shown(pages::photograph_practice(&frame, &view.await?))
}

type ScorePath = (ChildId, EntryId, String);

/// A sign on a photograph: to be scored, or with the answer that the person gave.
pub async fn one(State(app): State<Shared>, visitor: Visitor, Path(path): Path<ScorePath>) -> PageResult {
    let person = visitor.user()?;
    let frame = app.frame(&visitor, Here::Practice);
    shown(work(&app, move |app| drawn(app, &frame, person, &path, Filled::default())).await?)
}

/// What may be scored at an address.
fn asked(app: &App, person: UserId, (child, entry, sign): &ScorePath) -> Result<Scorable, Fail> {
    let sign = Sign::from_key(sign).ok_or_else(Fail::not_found)?;
    let is_it = |one: &Scorable| one.of.photograph == *entry && one.of.sign == sign;
    of_child(app, *child, person)?.into_iter().find(is_it).ok_or_else(Fail::not_found)
}

/// The person's answer about the child and sign.
fn answer(app: &App, person: UserId, of: &PhotographToScore) -> Result<Option<PhotographPracticeRow>, Fail> {
    Ok(own(app, person)?.into_iter().find(|row| (row.child, row.sign) == (of.child, of.sign)))
}

fn drawn(app: &App, frame: &Frame, person: UserId, path: &ScorePath, filled: Filled) -> Result<Markup, Fail> {
    let Scorable { of, side, photograph, reference } = asked(app, person, path)?;
    let task = match answer(app, person, &of)? {
        None => PhotographTask::Score(filled),
        // The picture was exchanged by a correction, or the scores were: what was answered cannot be shown with it.
        Some(row) if row.photograph != of.photograph || row.reference != reference => {
            let text = "You have scored this sign of this child on another photograph, or its scores have changed since.";
            return Err(Fail(RequestError::Conflict(text.to_owned())));
        }
        Some(row) => PhotographTask::Scored(row.given, row.reference),
    };
    let size_px = (photograph.photograph.width_px, photograph.photograph.height_px);
    let view = photograph.photograph.view;
    Ok(pages::photograph_exercise(frame, &PhotographExerciseView { of, side, view, size_px, task }))
}

/// Takes an answer. The reference is looked up here; the form has no say in it.
pub async fn save(
    State(app): State<Shared>,
    visitor: Visitor,
    PostedTo { path, by, filled }: PostedTo<ScorePath>,
) -> PageResult {
    let frame = app.frame(&visitor, Here::Practice);
    let saved = work(&app, move |app| {
        let Scorable { of, reference, .. } = asked(app, by, &path)?;
        if answer(app, by, &of)?.is_some() {
            return Ok(Ok(photograph_path(&of)));
        }
        let Some(given) = HalfPoint::from_text(filled.value(names::LEVEL)) else {
            let filled = Filled::default().wrong(names::LEVEL, "Choose a level.");
            return drawn(app, &frame, by, &path, filled).map(Err);
        };
        let PhotographToScore { child, photograph, sign } = of;
        let on = app.clock.today();
        let row = PhotographPracticeRow { person: by, on, child, photograph, sign, given, reference };
        app.records.practice().add_on_photograph(row)?;
        Ok(Ok(photograph_path(&of)))
    });
    match saved.await? {
        Ok(place) => to(&place),
        Err(form) => again(form),
    }
}
