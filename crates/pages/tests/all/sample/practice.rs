//! The pages of learning to score, with invented answers and an invented clinic.

use super::{frame, in_casts, results, today};
use ::practice::{
    CaseKey, ConfirmedLevels, DrawnCase, LevelConfirmed, PhotographProgress, PracticeAnswer,
    PracticeProgress, PracticeSchedule, SignGeometry,
};
use audit::{
    ClinicHistory, Clinician,
    calibration::{ClinicCalibration, FootToScore, ScoringPlan, ScoringVisit, SeverityThird, WhyNotProposed},
};
use maud::Markup;
use pages::{
    ExerciseView, Frame, Here, HistoryRow, LearnView, PhotographExerciseView, PhotographPracticeView,
    PhotographTask, PhotographToScore, PracticeAnswerView, PracticeLevelView, PracticeLevelsView,
    PracticeProgressView, PracticeRecordView, ScoringProposalRow, ScoringTogetherView, fields::Filled,
};
use record::{ChildId, DayRange, EntryId, HalfPoint, PhotographView, Side, Sign, UserId};
use std::sync::LazyLock;
use uuid::Uuid;

pub fn person() -> UserId {
    UserId::new(Uuid::from_u128(0xaa))
}

/// Answers of an invented person who begins by giving half a point too much and gets better: to the first sign many,
/// to the others fewer.
pub fn answers() -> Vec<PracticeAnswer> {
    let mut all = Vec::new();
    for (place, sign) in Sign::ALL.into_iter().enumerate() {
        for n in 0..(50 - 9 * place) {
            let case = DrawnCase::of(CaseKey::next_for(person(), sign, n)).unwrap();
            let right = case.level(sign);
            let too_high = match right {
                HalfPoint::Zero => HalfPoint::Half,
                _ => HalfPoint::One,
            };
            let given = if n % (2 + n / 8) == 0 { too_high } else { right };
            all.push(PracticeAnswer::of(person(), today() - 60 + n as i32, &case, sign, given));
        }
    }
    all
}

pub fn progress() -> PracticeProgress {
    PracticeProgress::of(&answers(), person(), today())
}

pub fn learn() -> LearnView {
    let schedule = PracticeSchedule::of(&answers(), person(), today());
    LearnView { schedule, progress: progress(), may_see_clinic: true, confirmed: ConfirmedLevels::default() }
}

/// A foot at which the sign is drawn at a level.
pub fn case(sign: Sign, level: HalfPoint, side: Side) -> DrawnCase {
    let all = (0..).map(|seed| DrawnCase::of(CaseKey::new(seed)).unwrap());
    all.into_iter().find(|case| case.level(sign) == level && case.side == side).unwrap()
}

pub fn exercise(sign: Sign, case: DrawnCase) -> ExerciseView {
    let (filled, confirmed) = (Filled::default(), ConfirmedLevels::default());
    ExerciseView { case, sign, filled, once: "once".into(), confirmed }
}

pub fn answer(sign: Sign, given: HalfPoint) -> PracticeAnswerView {
    let answer = PracticeAnswer::of(person(), today(), &case(sign, HalfPoint::Half, Side::Left), sign, given);
    let schedule = *PracticeSchedule::of(&[answer], person(), today()).sign(sign).unwrap();
    PracticeAnswerView { answer, schedule, next: Some(sign), confirmed: ConfirmedLevels::default() }
}

fn clinic() -> ClinicHistory {
    results::scored_clinic()
}

fn who(n: u128) -> Clinician {
    Clinician::User(UserId::new(Uuid::from_u128(n)))
}

pub fn together(given: &str) -> ScoringTogetherView {
    static FOUND: LazyLock<ClinicCalibration> = LazyLock::new(|| ClinicCalibration::of(&clinic()));
    let child = in_casts(given).who();
    let month = DayRange::new(today(), today() + 17);
    let foot = FootToScore { side: Side::Left, third: Some(SeverityThird::Middle) };
    let visit =
        ScoringVisit { child: child.id, on: today() + 7, feet: vec![foot], seen_by: None, twice_on: None };
    let closed = ChildId::new(Uuid::from_u128(77));
    let children = vec![(child.id, Ok(visit)), (closed, Err(WhyNotProposed::NotFollowed))];
    let plan = ScoringPlan::of(month, children, &[who(1), who(2)], &[], 4);
    let names = ["Hanne Kvist", "Ole Brandt", "a name with <marks>"].map(str::to_owned).to_vec();
    let rows =
        vec![ScoringProposalRow { who: child, names: ["Hanne Kvist", "Ole Brandt"].map(str::to_owned) }];
    ScoringTogetherView { found: FOUND.clone(), names, plan, rows }
}

pub fn record_of_practice() -> PracticeRecordView {
    static OWN: LazyLock<Option<audit::raters::RaterAgreement>> =
        LazyLock::new(|| ClinicCalibration::of_person(&clinic(), &who(1)));
    let (name, confirmed) = ("Hanne Kvist".into(), ConfirmedLevels::default());
    let on_photographs = photographs();
    PracticeRecordView { name, progress: progress(), with_colleagues: OWN.clone(), on_photographs, confirmed }
}

/// One level confirmed, and one of which other words were.
pub fn confirmed_levels() -> PracticeLevelsView {
    let mut confirmed = ConfirmedLevels::default();
    let by = || LevelConfirmed {
        source: "Invented handbook of scoring, 2021, page 12".into(),
        by: "Hanne Kvist".into(),
        when: "3 March 2025, 09:20".into(),
    };
    let statement = SignGeometry::of(Sign::EmptyHeel).statement(HalfPoint::Half);
    confirmed.add(Sign::EmptyHeel, HalfPoint::Half, by(), &statement);
    confirmed.add(Sign::EmptyHeel, HalfPoint::One, by(), "other words");
    PracticeLevelsView { confirmed, unreadable: 0 }
}

pub fn level(confirmed: ConfirmedLevels) -> PracticeLevelView {
    let row = HistoryRow {
        what: "Empty heel, level 0.5".into(),
        href: None,
        when: "3 March 2025, 09:20".into(),
        who: Some("Hanne Kvist".into()),
        from: "from memory".into(),
        to: "Invented handbook of scoring, 2021, page 12".into(),
        why: None,
    };
    PracticeLevelView {
        sign: Sign::EmptyHeel,
        level: HalfPoint::Half,
        history: if confirmed.count() == 0 { Vec::new() } else { vec![row] },
        confirmed,
        filled: Filled::default(),
        seen: "0".into(),
        newer: None,
        unreadable: 0,
    }
}

fn progress_view() -> PracticeProgressView {
    let last = (1..).zip(answers()).take(3).collect();
    PracticeProgressView { name: "Hanne Kvist".into(), progress: progress(), last }
}

/// Twenty soles, of which every fifth was scored half a point too high.
pub fn photographs() -> PhotographProgress {
    let one = |n: usize| {
        let reference = HalfPoint::ALL[n % 2];
        let given = if n.is_multiple_of(5) { HalfPoint::ALL[n % 2 + 1] } else { reference };
        (Sign::LateralBorder, given, reference)
    };
    PhotographProgress::of(&(0..20).map(one).collect::<Vec<_>>())
}

fn to_score() -> PhotographToScore {
    let (child, photograph) = (Uuid::from_u128(78), Uuid::from_u128(79));
    PhotographToScore {
        child: ChildId::new(child),
        photograph: EntryId::new(photograph),
        sign: Sign::LateralBorder,
    }
}

pub fn on_photograph(task: PhotographTask) -> PhotographExerciseView {
    let (side, view) = (Side::Left, PhotographView::Sole);
    PhotographExerciseView { of: to_score(), side, view, size_px: (900, 1200), task }
}

fn photograph_pages(frame: &Frame) -> Vec<(&'static str, Markup)> {
    let begin = |next, left| PhotographPracticeView { next, left, progress: photographs() };
    let task = PhotographTask::Score(Filled::default());
    let scored = |given| on_photograph(PhotographTask::Scored(given, HalfPoint::Half));
    vec![
        ("practice-photographs", pages::photograph_practice(frame, &begin(Some(to_score()), 7))),
        ("practice-photographs-none", pages::photograph_practice(frame, &begin(None, 0))),
        ("practice-photograph", pages::photograph_exercise(frame, &on_photograph(task))),
        ("practice-photograph-same", pages::photograph_exercise(frame, &scored(HalfPoint::Half))),
        ("practice-photograph-other", pages::photograph_exercise(frame, &scored(HalfPoint::One))),
    ]
}

pub fn pages(given: &str) -> Vec<(&'static str, Markup)> {
    let frame = frame(Here::Elsewhere);
    let half = case(Sign::MedialCrease, HalfPoint::Half, Side::Left);
    let refused = ExerciseView {
        filled: Filled::default().wrong("level", "Choose a level."),
        ..exercise(Sign::EmptyHeel, case(Sign::EmptyHeel, HalfPoint::One, Side::Right))
    };
    let none = LearnView {
        schedule: PracticeSchedule::of(&[], person(), today()),
        progress: PracticeProgress::of(&[], person(), today()),
        may_see_clinic: false,
        confirmed: ConfirmedLevels::default(),
    };
    let unpractised =
        PracticeRecordView { progress: none.progress.clone(), with_colleagues: None, ..record_of_practice() };
    let mut all = photograph_pages(&frame);
    all.extend([
        ("practice", pages::learn(&frame, &learn())),
        ("practice-new", pages::learn(&frame, &none)),
        ("practice-exercise", pages::exercise(&frame, &exercise(Sign::MedialCrease, half))),
        ("practice-exercise-refused", pages::exercise(&frame, &refused)),
        ("practice-answer", pages::practice_answer(&frame, &answer(Sign::LateralBorder, HalfPoint::One))),
        ("practice-answer-same", pages::practice_answer(&frame, &answer(Sign::TalarHead, HalfPoint::Half))),
        ("practice-levels", pages::practice_levels(&frame, &PracticeLevelsView::default())),
        ("practice-levels-confirmed", pages::practice_levels(&frame, &confirmed_levels())),
        ("practice-level", pages::practice_level(&frame, &level(ConfirmedLevels::default()))),
        ("practice-level-confirmed", pages::practice_level(&frame, &level(confirmed_levels().confirmed))),
        ("practice-progress", pages::practice_progress(&frame, &progress_view())),
        ("practice-record", pages::practice_record(&frame, &record_of_practice())),
        ("practice-record-new", pages::practice_record(&frame, &unpractised)),
        ("scoring-together", pages::scoring_together(&frame, &together(given))),
    ]);
    all
}
