//! Learning to score: exercises on drawn feet, a person's own answers, progress and record of practice.
//!
//! A person's answers are read by that person's id only; no address names another person.

mod levels;
mod photographs;
mod together;

pub use levels::{change as change_level, list as levels, one as level};
pub use photographs::{begin as photographs, one as photograph, save as save_photograph};
pub use together::page as together;

use super::results::{calibration_rows, working};
use crate::{
    app::App,
    level_sources::LevelSources,
    web::{Fail, PageResult, Posted, Shared, Visitor, again, page as shown, to, work},
};
use audit::{Clinician, calibration::ClinicCalibration};
use axum::extract::{Path, Query, State};
use clinic::{PracticeRow, PracticeSaved};
use maud::Markup;
use pages::{
    ExerciseView, Frame, Here, LearnView, Message, PracticeAnswerView, PracticeProgressView,
    PracticeRecordView, RequestError,
    fields::{Filled, ONCE},
    practice::{answer_path, practice_fields as names},
};
use practice::{CaseKey, DrawnCase, PracticeAnswer, PracticeProgress, PracticeSchedule};
use record::{HalfPoint, Right, Sign, UserId};
use serde::Deserialize;
use uuid::Uuid;

/// Answers listed on the page of progress.
const LAST_SHOWN: usize = 20;

/// The own answers of a person with their numbers, in the order in which they were saved.
fn own(app: &App, person: UserId) -> Result<Vec<(i64, PracticeAnswer)>, Fail> {
    let rows = app.records.practice().of(person)?;
    Ok(rows.into_iter().map(|(number, row)| (number, answer_of(&row))).collect())
}

const fn answer_of(row: &PracticeRow) -> PracticeAnswer {
    let case = CaseKey { seed: row.seed, drawing: row.drawing };
    PracticeAnswer {
        person: row.person,
        on: row.on,
        case,
        sign: row.sign,
        given: row.given,
        reference: row.reference,
    }
}

fn answers(numbered: &[(i64, PracticeAnswer)]) -> Vec<PracticeAnswer> {
    numbered.iter().map(|(_, answer)| *answer).collect()
}

fn schedule(app: &App, person: UserId) -> Result<PracticeSchedule, Fail> {
    Ok(PracticeSchedule::of(&answers(&own(app, person)?), person, app.clock.today()))
}

fn progress(app: &App, person: UserId) -> Result<PracticeProgress, Fail> {
    Ok(PracticeProgress::of(&answers(&own(app, person)?), person, app.clock.today()))
}

/// Where learning begins.
pub async fn learn(State(app): State<Shared>, visitor: Visitor) -> PageResult {
    let person = visitor.user()?;
    let may_see_clinic = visitor.may(Right::SeeClinical);
    let frame = app.frame(&visitor, Here::Practice);
    let view = work(&app, move |app| {
        Ok(LearnView {
            schedule: schedule(app, person)?,
            progress: progress(app, person)?,
            may_see_clinic,
            confirmed: LevelSources::read(app)?.confirmed(),
        })
    });
    shown(pages::learn(&frame, &view.await?))
}

fn sign_of(key: &str) -> Result<Sign, Fail> {
    Sign::from_key(key).ok_or_else(Fail::not_found)
}

/// A foot on which a sign is to be scored.
pub async fn exercise(State(app): State<Shared>, visitor: Visitor, Path(sign): Path<String>) -> PageResult {
    let (person, sign) = (visitor.user()?, sign_of(&sign)?);
    let frame = app.frame(&visitor, Here::Practice);
    let drawn = work(&app, move |app| {
        let case = drawn(schedule(app, person)?.case(sign))?;
        asked(app, &frame, case, sign, Filled::default())
    });
    shown(drawn.await?)
}

/// A foot of the present drawings.
fn drawn(key: CaseKey) -> Result<DrawnCase, Fail> {
    DrawnCase::of(key).map_err(|error| {
        Fail(RequestError::Conflict(format!("This was not saved: {error}. Open the exercise again.")))
    })
}

fn asked(app: &App, frame: &Frame, case: DrawnCase, sign: Sign, filled: Filled) -> Result<Markup, Fail> {
    let confirmed = LevelSources::read(app)?.confirmed();
    let once = app.once().to_string();
    Ok(pages::exercise(frame, &ExerciseView { case, sign, filled, once, confirmed }))
}

/// Takes an answer. What is right is computed here; the form has no say in it.
pub async fn answer(State(app): State<Shared>, visitor: Visitor, Posted(filled): Posted) -> PageResult {
    let person = visitor.user()?;
    let frame = app.frame(&visitor, Here::Practice);
    match work(&app, move |app| answered(app, &frame, person, &filled)).await? {
        Ok(place) => to(&place),
        Err(form) => again(form),
    }
}

/// Saves an answer and says where it is shown, or returns the form with what is missing.
fn answered(
    app: &App,
    frame: &Frame,
    person: UserId,
    filled: &Filled,
) -> Result<Result<String, Markup>, Fail> {
    let foreign = || Fail(RequestError::Refused("This is not a form of this program.".to_owned()));
    let sign = Sign::from_key(filled.value(names::SIGN)).ok_or_else(foreign)?;
    let key = CaseKey::read(filled.value(names::SEED), filled.value(names::DRAWING)).ok_or_else(foreign)?;
    let once = Uuid::parse_str(filled.value(ONCE)).unwrap_or_else(|_| app.once());
    let rows = app.records.practice().of(person)?;
    // Before everything else, because what was answered is asked no more.
    let same = |row: &PracticeRow| row.sign == sign && answer_of(row).case == key;
    if let Some((number, row)) = rows.iter().find(|(_, row)| same(row)) {
        return Ok(Ok(place(PracticeSaved::Before(*number, row.form), once)));
    }
    let all: Vec<PracticeAnswer> = rows.iter().map(|(_, row)| answer_of(row)).collect();
    if !PracticeSchedule::of(&all, person, app.clock.today()).asks(sign, key) {
        let text = "Nothing was saved: this foot is not the one that you are asked about now. Open the exercise again.";
        return Err(Fail(RequestError::Conflict(text.to_owned())));
    }
    let case = drawn(key)?;
    let Some(given) = HalfPoint::from_text(filled.value(names::LEVEL)) else {
        let filled = Filled::default().wrong(names::LEVEL, "Choose a level.");
        return asked(app, frame, case, sign, filled).map(Err);
    };
    let answer = PracticeAnswer::of(person, app.clock.today(), &case, sign, given);
    Ok(Ok(place(app.records.practice().add(row_of(&answer, once))?, once)))
}

const fn row_of(answer: &PracticeAnswer, form: Uuid) -> PracticeRow {
    let PracticeAnswer { person, on, case, sign, given, reference } = *answer;
    PracticeRow { form, person, on, sign, seed: case.seed, drawing: case.drawing, given, reference }
}

/// The page of a saved answer. One that another form of the same foot had saved before says so.
fn place(saved: PracticeSaved, once: Uuid) -> String {
    match saved {
        PracticeSaved::Saved(number) => answer_path(number),
        PracticeSaved::Before(number, form) if form == once => answer_path(number),
        PracticeSaved::Before(number, _) => format!("{}?before=1", answer_path(number)),
    }
}

/// What became of the answer.
#[derive(Debug, Deserialize)]
pub struct AnswerQuery {
    before: Option<String>,
}

/// A stored answer of the person.
pub async fn stored(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(number): Path<String>,
    Query(query): Query<AnswerQuery>,
) -> PageResult {
    let person = visitor.user()?;
    let number: i64 = number.parse().map_err(|_| Fail::not_found())?;
    let mut frame = app.frame(&visitor, Here::Practice);
    let text = "You had answered this foot before. The first answer counts; nothing was saved now.";
    frame.message = query.before.is_some().then(|| Message::Note(text.to_owned()));
    let view = work(&app, move |app| {
        let all = own(app, person)?;
        let until = all.iter().position(|(of, _)| *of == number).ok_or_else(Fail::not_found)?;
        let answer = all.get(until).ok_or_else(Fail::not_found)?.1;
        // The sets as they were once this answer was given.
        let so_far = answers(all.get(..=until).unwrap_or_default());
        let then = PracticeSchedule::of(&so_far, person, answer.on);
        let now = PracticeSchedule::of(&answers(&all), person, app.clock.today());
        Ok(PracticeAnswerView {
            answer,
            schedule: *then.sign(answer.sign).ok_or_else(Fail::not_found)?,
            next: now.next().map(|next| next.sign),
            confirmed: LevelSources::read(app)?.confirmed(),
        })
    });
    shown(pages::practice_answer(&frame, &view.await?))
}

/// The name of the visitor.
fn name(visitor: &Visitor) -> String {
    visitor.who.as_ref().map(|who| who.name.clone()).unwrap_or_default()
}

/// How the person's answers agree with the drawn ones.
pub async fn own_progress(State(app): State<Shared>, visitor: Visitor) -> PageResult {
    let (person, name) = (visitor.user()?, name(&visitor));
    let frame = app.frame(&visitor, Here::Practice);
    let view = work(&app, move |app| {
        let last = own(app, person)?.into_iter().rev().take(LAST_SHOWN).collect();
        Ok(PracticeProgressView { name, progress: progress(app, person)?, last })
    });
    shown(pages::practice_progress(&frame, &view.await?))
}

/// The own record of practice, to print.
pub async fn own_record(State(app): State<Shared>, visitor: Visitor) -> PageResult {
    let (person, name) = (visitor.user()?, name(&visitor));
    let Some(clinic) = calibration_rows(&app).await? else { return working(&app, &visitor).await };
    let frame = app.frame(&visitor, Here::Practice);
    let view = work(&app, move |app| {
        Ok(PracticeRecordView {
            name,
            progress: progress(app, person)?,
            with_colleagues: ClinicCalibration::of_person(&clinic, &Clinician::User(person)),
            on_photographs: photographs::own_progress(app, person)?,
            confirmed: LevelSources::read(app)?.confirmed(),
        })
    });
    shown(pages::practice_record(&frame, &view.await?))
}
