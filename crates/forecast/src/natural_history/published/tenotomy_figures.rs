//! Tenotomy: the bands of each paper, and the spread over centres.
//!
//! Centre decides more than score: in a paper with an overall share the clinic's intercept is set to meet
//! it, and the bands are the check.

use super::clinics::Clinic;
use super::figures::{cut_percent, mean, sd};
use super::rows::{FootRow, points};
use super::{Figure, Measure, Published};
use record::{HalfPoint, Sign};

const BANDS: &str = "Tenotomy by score";
const CENTRES: &str = "Tenotomy over centres";

const BASE: Figure = Figure {
    group: BANDS,
    unit: "% cut",
    note: "the overall share is met by the clinic's intercept",
    why: "papers contradict each other on how far the score foretells a tenotomy: odds ratios of 4.4 (Scher) and 8.3 (Calabar) between bands, 58 of 59 feet by rigid equinus alone (Menon), a point of Pirani between feet cut and not cut in one paper (PAFMJ 2020) and two and a half in another (Menon); the model has one slope",
    fitted: true,
    named: true,
    ..Figure::BLANK
};

/// Overall shares of ten centres: Lagos 22, Ugwuowo 52, Khan 61, Calabar 66, Scher 72, Williams 74,
/// 10.1097/BPO.0000000000002338 74, Islam 84 and 86, Menon 86 per cent.
const CENTRES_N: usize = 10;

pub(super) fn figures() -> Vec<Figure> {
    [bands(), means(), shares(), centres()].concat()
}

fn band(
    clinic: Clinic,
    figure: &'static str,
    (cut, n): (usize, usize),
    source: &'static str,
    holds: fn(&FootRow) -> bool,
) -> Figure {
    let published = Published::Value(100.0 * cut as f64 / n as f64);
    Figure { clinic, figure, published, n, source, measure: Measure::Feet(holds, cut_percent), ..BASE }
}

fn equinus(foot: &FootRow) -> Option<HalfPoint> {
    foot.start[Sign::RigidEquinus as usize]
}

fn bands() -> Vec<Figure> {
    let mut figures = vec![
        band(Clinic::Scher, "Pirani 5 or more", (23, 27), "Scher 2004", |foot| foot.pirani() >= 5.0),
        band(Clinic::Scher, "Pirani below 5", (13, 23), "Scher 2004", |foot| foot.pirani() < 5.0),
        band(Clinic::Calabar, "Pirani 3 or more", (85, 108), "Calabar group", |foot| foot.pirani() >= 3.0),
        band(Clinic::Calabar, "Pirani below 3", (12, 39), "Calabar group", |foot| foot.pirani() < 3.0),
        band(Clinic::Menon, "rigid equinus 1", (51, 52), "Menon", |foot| {
            equinus(foot) == Some(HalfPoint::One)
        }),
        band(Clinic::Menon, "rigid equinus below 1", (0, 7), "Menon", |foot| {
            equinus(foot) != Some(HalfPoint::One)
        }),
        Figure {
            published: Published::Value(72.0),
            note: "72 % printed; feet in the band not printed, 40 of 70 assumed; intercept of no clinic known",
            fitted: false,
            ..band(Clinic::Any, "hindfoot 2.5 or 3", (29, 40), "Dyer & Davis 2006", |foot| {
                foot.hindfoot() >= 2.5
            })
        },
    ];
    for figure in &mut figures {
        figure.note = match figure.clinic {
            Clinic::Calabar => {
                "as above; who comes is as severe as its own shares, and it goes a little more by the signs"
            }
            Clinic::Menon => {
                "as above; who comes is as severe as its own shares, and the first score decides, this centre's own rule"
            }
            _ => figure.note,
        };
    }
    figures
}

fn means() -> Vec<Figure> {
    let pirani: fn(&[&FootRow]) -> f64 = |feet| mean(feet.iter().map(|foot| foot.pirani()));
    let hindfoot: fn(&[&FootRow]) -> f64 = |feet| mean(feet.iter().map(|foot| foot.hindfoot()));
    let of = |clinic, figure, published, n, source, holds: fn(&FootRow) -> bool, measure| Figure {
        clinic,
        figure,
        published: Published::Value(published),
        n,
        source,
        unit: "points",
        fitted: false,
        named: false,
        measure: Measure::Feet(holds, measure),
        ..BASE
    };
    let kohat = "PAFMJ 2020";
    let split = "67 feet; how many were cut is not printed, 48 and 19 assumed";
    vec![
        of(Clinic::Menon, "Pirani of feet cut", 4.90, 51, "Menon", |foot| foot.cut, pirani),
        of(Clinic::Menon, "Pirani of feet not cut", 2.44, 8, "Menon", |foot| !foot.cut, pirani),
        of(Clinic::Menon, "hindfoot of feet cut", 2.70, 51, "Menon", |foot| foot.cut, hindfoot),
        of(Clinic::Menon, "hindfoot of feet not cut", 1.38, 8, "Menon", |foot| !foot.cut, hindfoot),
        Figure {
            note: split,
            ..of(Clinic::Any, "Pirani of feet cut", 4.45, 48, kohat, |foot| foot.cut, pirani)
        },
        Figure {
            note: split,
            ..of(Clinic::Any, "Pirani of feet not cut", 3.476, 19, kohat, |foot| !foot.cut, pirani)
        },
        Figure {
            unit: "%",
            note: "feet cut, midfoot 0 and hindfoot above 1 when it was decided",
            ..of(
                Clinic::Mengesha,
                "tenotomies that met the usual rule",
                31.7,
                587,
                "Mengesha",
                |foot| foot.cut,
                |feet| {
                    let met = |foot: &&FootRow| {
                        points(&foot.decision, &Sign::ALL[..3]) == 0.0
                            && points(&foot.decision, &Sign::ALL[3..]) > 1.0
                    };
                    100.0 * mean(feet.iter().map(|foot| f64::from(u8::from(met(foot)))))
                },
            )
        },
    ]
}

/// Overall shares, each against a clinic drawn from the spread of habits.
fn shares() -> Vec<Figure> {
    let of = |(cut, n): (usize, usize), source| Figure {
        group: CENTRES,
        figure: "share of feet cut",
        unit: "%",
        published: Published::Value(100.0 * cut as f64 / n as f64),
        n,
        source,
        note: "a clinic drawn from the spread of habits for each cohort",
        why: "Lagos with 22 % lies far below the other centres, 52 to 86 %; a spread wide enough for it is wider than theirs",
        fitted: false,
        named: false,
        measure: Measure::Centre(cut_percent),
        ..BASE
    };
    vec![
        of((45, 201), "Lagos, PMC6016751; printed 23.1"),
        of((33, 64), "Ugwuowo"),
        of((643, 1_055), "Khan 2017"),
        of((97, 147), "Calabar group; printed 66.4"),
        of((36, 50), "Scher 2004"),
        of((25, 34), "Williams 2022"),
        of((93, 125), "10.1097/BPO.0000000000002338"),
        of((113, 148), "10.1186/s12891-022-05039-9, 76.4 %"),
        of((70, 81), "Islam 2020, weekly"),
        of((65, 77), "Islam 2020, twice weekly"),
        of((51, 59), "Menon"),
        of((606, 801), "De Mulder 2018, idiopathic, 75.7 %; from memory"),
    ]
}

fn centres() -> Vec<Figure> {
    let base = Figure {
        group: CENTRES,
        why: "with ten centres, one of them at 22 % and the next at 52 %, mean, SD and ends cannot all be met by one normal of the logit",
        named: false,
        unit: "%",
        n: CENTRES_N,
        source: "ten published centres",
        note: "n counts centres; simulated ones have 120 children and habits drawn from the spread",
        ..BASE
    };
    let of = |figure, published, measure| Figure {
        figure,
        published,
        measure: Measure::Clinics(cut_percent, measure),
        ..base
    };
    let value = Published::Value;
    vec![
        of("share of feet cut, mean of centres", value(67.7), |shares| mean(shares.iter().copied())),
        of("share of feet cut, SD over centres", value(19.2), |shares| sd(shares.iter().copied())),
        of("share of feet cut, lowest centre", value(22.0), |shares| {
            shares.iter().copied().fold(f64::INFINITY, f64::min)
        }),
        Figure {
            note: "highest of the ten centres 86; a review prints 97",
            ..of("share of feet cut, highest centre", Published::Range(86.0, 97.0), |shares| {
                shares.iter().copied().fold(f64::NEG_INFINITY, f64::max)
            })
        },
    ]
}
