//! Results of an invented clinic.

use super::{frame, today};
use audit::{
    BraceBegan, CareStage, ChildHistory, ClinicAgreement, ClinicHistory, Clinician, DetailLevel, FootHistory,
    Gap, KnownBy, MeanWear, Measure, MeasureResult, OptionalDay, ResultsBasis, ScoredTwice, Selection, Wear,
    raters::RaterScore,
    report::YearReport,
    results,
    watch::{Watch, own_share},
};
use course::{PlannedInterval, PlannedIntervals, ReviewIntervals};
use maud::Markup;
use pages::{
    AgreementView, Choice, Here, Names, ResultsFilter, ResultsView, WatchChoice, WatchView, YearView,
};
use record::{ChildId, Day, Halves, Nature, Side, SiteId, UserId};
use std::sync::LazyLock;
use uuid::Uuid;

fn foot(n: i32, side: Side, cast: Day) -> FootHistory {
    let brace = cast + (50 + n % 25);
    FootHistory {
        side,
        site: u16::from(n % 3 == 0),
        clinician: (n % 4) as u16,
        nature: (n % 9 != 0).then_some(Nature::Idiopathic),
        complex: Some(n % 11 == 0),
        treated_before: false,
        first_total: (n % 7 != 0).then_some(Halves(5 + (n % 8) as u8)),
        first_cast: cast.into(),
        correcting_casts: 4 + (n % 4) as u16,
        casts: 6 + (n % 4) as u16,
        cast_problems: u16::from(n % 13 == 0),
        booked: (brace - 30).into(),
        tenotomy: if n % 5 == 0 { OptionalDay::NEVER } else { (brace - 21).into() },
        second_tenotomy: OptionalDay::NEVER,
        brace: brace.into(),
        brace_began: BraceBegan::Here,
        braced_again: OptionalDay::NEVER,
        relapse: (n % 6 == 0).then(|| brace + (200 + 9 * n)).filter(|day| *day <= today()).into(),
        tendon_transfer: OptionalDay::NEVER,
        release: OptionalDay::NEVER,
        expected: 0x7ff,
        recorded: if n % 2 == 0 { 0x3f7 } else { 0x7ff },
    }
}

fn child(n: i32) -> ChildHistory {
    let cast = today() - (1_900 - 23 * n);
    let right = foot(n, Side::Right, cast);
    let worn = |hours: f32| MeanWear { days: 60, hours };
    let quarters = [20.0, 13.0, 11.0, 10.0, 9.5, 9.0].map(|hours| worn(hours + (n % 5) as f32 * 0.4));
    ChildHistory {
        child: ChildId::new(Uuid::from_u128(n as u128)),
        born: (cast - 30).into(),
        referred: (cast - (5 + n % 12)).into(),
        known_from: (cast - (5 + n % 12)).into(),
        last_seen: (today() - n % 80).into(),
        left: None,
        over: OptionalDay::NEVER,
        lost: (n % 10 == 3).then(|| Gap { on: cast + 400, stage: CareStage::Bracing, came_back: false }),
        settled_until: OptionalDay::NEVER,
        gap: (n % 5 == 3).then(|| Gap { on: cast + 430, stage: CareStage::Bracing, came_back: n % 10 != 3 }),
        brace: right.brace,
        tolerance_written: n % 2 == 0,
        not_tolerated: (n % 8 == 1).then(|| cast + 300).into(),
        wear: (n % 2 == 0).then(|| Box::new(Wear { logged: quarters, reported: quarters })),
        pairs: Box::default(),
        unpaired: 0,
        changes_on: OptionalDay::NEVER,
        feet: [Some(right), (n % 2 == 0).then(|| foot(n, Side::Left, cast))],
    }
}

pub fn clinic() -> ClinicHistory {
    let plan = PlannedIntervals {
        casting: PlannedInterval { due_days: 7, in_time_days: 10 },
        tenotomy_cast: PlannedInterval { due_days: 21, in_time_days: 28 },
        tenotomy_cast_older: PlannedInterval { due_days: 42, in_time_days: 49 },
        tenotomy_older_from_years: 2,
        surgery: PlannedInterval { due_days: 42, in_time_days: 70 },
        early_reviews: Vec::new(),
        reviews: ReviewIntervals {
            months_under_3y: 4,
            months_under_4y: 6,
            months_older: 12,
            grace_days: 28,
            bracing_ends_years: 5,
        },
        lost_casting_days: 21,
        lost_tenotomy_days: 28,
        lost_bracing_months: 6,
    };
    let basis = ResultsBasis { as_of: today(), known_by: KnownBy::ClinicalDay, plan: plan.into() };
    let mut clinic = ClinicHistory::new(basis);
    for number in 1..3 {
        clinic.site(SiteId::new(Uuid::from_u128(number)));
    }
    clinic.children = (0..80).map(child).collect();
    clinic
}

pub fn view(measures: &[Measure]) -> ResultsView {
    let clinic = clinic();
    let choice = |key: &str, words: &str| Choice { key: key.into(), words: words.into() };
    let names = Names {
        sites: vec![choice("one", "Harbour Road clinic"), choice("two", "Island clinic")],
        clinicians: vec![
            choice("a", "Hanne Kvist"),
            choice("b", "Ole Brandt"),
            choice("c", "Siri Aune"),
            choice("d", "a name with <marks> & \"quotes\""),
        ],
    };
    let all = Selection::default();
    let answers = match measures {
        [] => results(&clinic, &all),
        some => {
            some.iter().map(|measure| MeasureResult::of(&clinic, &all, *measure, DetailLevel::Full)).collect()
        }
    };
    ResultsView {
        filter: ResultsFilter { as_of: Some(today()), ..ResultsFilter::default() },
        as_of: today(),
        known_by: KnownBy::ClinicalDay,
        known: (clinic.children.len(), clinic.feet()),
        names,
        answers,
        watch: match measures {
            [one] if one.watched().is_some() => Some(watched(&clinic, *one)),
            _ => None,
        },
    }
}

fn watched(clinic: &ClinicHistory, measure: Measure) -> WatchView {
    let all = Selection::default();
    let own = own_share(clinic, &all, measure);
    let design = WatchChoice::default().design(own, measure.acceptable_choices());
    WatchView { design, own, watch: Watch::of(clinic, &all, measure, design) }
}

/// Feet of fifty children, each scored by two of three people; in every fourth the second score differs by
/// half a point.
pub fn agreement() -> AgreementView {
    // Resampling takes a while, and many tests render every page.
    static MADE: LazyLock<AgreementView> = LazyLock::new(agreement_made);
    MADE.clone()
}

/// The clinic of [`agreement`].
pub fn scored_clinic() -> ClinicHistory {
    let mut clinic = clinic();
    let who = |n: u128| Clinician::User(UserId::new(Uuid::from_u128(n)));
    for n in 0..50_u32 {
        let raters = [1, 2 + u128::from(n % 2)].map(|number| clinic.rater(who(number)));
        let sign = (n % 3) as u8;
        let other = if n % 4 == 0 { (sign + 1) % 3 } else { sign };
        let score = |sign| RaterScore {
            signs: [Some(sign), Some(2 - sign), Some(1), Some(sign), Some(2), Some(1)],
            total: None,
            dimeglio: Some(6 + 2 * sign + (n % 5) as u8),
        };
        let pair = ScoredTwice {
            side: Side::Right,
            on: today() - 12 * n as i32,
            raters,
            scores: [score(sign), score(other)],
            amended: n == 3,
        };
        clinic.children[n as usize].pairs = Box::new([pair]);
        clinic.children[n as usize].unpaired = u16::from(n == 4);
    }
    clinic
}

fn agreement_made() -> AgreementView {
    let found = ClinicAgreement::of(&scored_clinic(), None, None);
    let names = ["Hanne Kvist", "Ole Brandt", "a name with <marks>"].map(str::to_owned).to_vec();
    AgreementView { filter: ResultsFilter::default(), found, names }
}

pub fn agreement_of_nobody() -> AgreementView {
    let found = ClinicAgreement::of(&clinic(), None, None);
    AgreementView { filter: ResultsFilter::default(), found, names: Vec::new() }
}

pub fn year(year: i32) -> YearView {
    YearView {
        filter: ResultsFilter::default(),
        report: YearReport::of(&clinic(), year),
        names: view(&[Measure::Missing]).names,
        clinic: "Harbour Road clinic".to_owned(),
    }
}

pub fn pages() -> Vec<(&'static str, Markup)> {
    let frame = frame(Here::Results);
    vec![
        ("results", pages::results(&frame, &view(&[]))),
        ("result-relapse", pages::result(&frame, &view(&[Measure::Relapse]))),
        ("result-tenotomy", pages::result(&frame, &view(&[Measure::Tenotomy]))),
        ("result-casts", pages::result(&frame, &view(&[Measure::Casts]))),
        ("result-wear", pages::result(&frame, &view(&[Measure::WearLogged]))),
        ("result-missing", pages::result(&frame, &view(&[Measure::Missing]))),
        ("results-agreement", pages::agreement(&frame, &agreement())),
        ("results-agreement-none", pages::agreement(&frame, &agreement_of_nobody())),
        ("results-year", pages::year(&frame, &year(2022))),
        ("results-definitions", pages::definitions(&frame)),
        ("results-working", pages::results_working(&frame, 100_000)),
    ]
}
