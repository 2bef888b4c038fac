//! Scores and movement at the start, and the raters' error.

use super::clinics::Clinic;
use super::figures::{correlation, kappa, mean, sd};
use super::rows::{FootRow, points, total};
use super::{Figure, Measure, Published, any};
use record::Sign;

const START: &str = "The score and the movement at the start";
const RATERS: &str = "Two raters";

const SHAHEEN: &str = "Shaheen, Jaiballa & Pirani 2012";

/// Why a cohort's first score may not fit.
const START_DIFFERS: &str = "cohorts contradict each other: means run from 4.17 (J Pediatr Orthop B) to 5.8 \
                             (MacNeille 2016) and SDs from 0.73 (Islam 2020) to 1.68 \
                             (10.1097/BPO.0000000000002338), further apart than their sampling errors; the \
                             model has one distribution of severity, which lies between";

/// Why a figure of two raters may not fit.
const RATERS_DIFFER: &str = "the raters' papers contradict each other: kappas of 0.50 and 0.31 for one total, \
                             0.51 to 0.72 for single signs (Shaheen), beside totals that correlate at 0.91 \
                             (J Child Orthop 2019) and lie 0.65 points apart (Cosma & Vasilescu 2015); the \
                             model has one small error for all six signs, and more error would spread the \
                             score at the brace wider than Khan 2017 found it";

const BASE: Figure = Figure { group: START, why: START_DIFFERS, ..Figure::BLANK };

pub(super) fn figures() -> Vec<Figure> {
    [start(), movement(), raters()].concat()
}

fn start() -> Vec<Figure> {
    let pirani_mean = Measure::Feet(any, |feet| mean(feet.iter().map(|foot| foot.pirani())));
    let pirani_sd = Measure::Feet(any, |feet| sd(feet.iter().map(|foot| foot.pirani())));
    let of = |figure, published, n, source, measure| Figure { figure, published, n, source, measure, ..BASE };
    let mut figures = vec![
        Figure {
            note: "eight cohorts; one of 5.8 (MacNeille 2016) lies apart",
            fitted: true,
            ..of(
                "Pirani total, mean",
                Published::Range(4.17, 4.98),
                81,
                "range of published means",
                pirani_mean,
            )
        },
        Figure {
            note: "six cohorts",
            fitted: true,
            ..of("Pirani total, SD", Published::Range(0.73, 1.68), 81, "range of published SDs", pirani_sd)
        },
        of("Pirani total, mean", Published::Value(4.5), 125, "10.1097/BPO.0000000000002338", pirani_mean),
        of("Pirani total, SD", Published::Value(1.68), 125, "10.1097/BPO.0000000000002338", pirani_sd),
        of("Pirani total, mean", Published::Value(4.98), 148, "10.1186/s12891-022-05039-9", pirani_mean),
        of("Pirani total, SD", Published::Value(1.33), 148, "10.1186/s12891-022-05039-9", pirani_sd),
        of("Pirani total, mean", Published::Value(4.3), 201, "Lagos, PMC6016751", pirani_mean),
        of("Pirani total, mean", Published::Value(4.172), 61, "J Pediatr Orthop B, 42 infants", pirani_mean),
        of("Pirani total, mean", Published::Value(4.6), 68, "Monforte 2021, plaster", pirani_mean),
        of("Pirani total, mean", Published::Value(4.5), 68, "Monforte 2021, semirigid", pirani_mean),
        of("Pirani total, mean", Published::Value(4.58), 58, "Bob-Manuel 2022", pirani_mean),
        of("Pirani total, SD", Published::Value(1.42), 58, "Bob-Manuel 2022", pirani_sd),
        of("Pirani total, mean", Published::Value(4.67), 81, "Islam 2020, weekly", pirani_mean),
        of("Pirani total, SD", Published::Value(0.73), 81, "Islam 2020, weekly", pirani_sd),
        of("Pirani total, mean", Published::Value(4.35), 77, "Islam 2020, twice weekly", pirani_mean),
        of("Pirani total, SD", Published::Value(0.76), 77, "Islam 2020, twice weekly", pirani_sd),
        of("Pirani total, mean", Published::Value(4.7), 34, "Williams 2022", pirani_mean),
        of("Pirani total, SD", Published::Value(1.3), 34, "Williams 2022", pirani_sd),
        of("Pirani total, mean", Published::Value(5.8), 63, "MacNeille 2016", pirani_mean),
    ];
    for figure in &mut figures {
        figure.why = START_DIFFERS;
    }
    figures.extend(bands());
    figures.extend([
        Figure {
            clinic: Clinic::Complex,
            ..of("Pirani total of complex feet, mean", Published::Value(4.8), 25, "10.1007/s43465-023-00910-w", pirani_mean)
        },
        Figure {
            clinic: Clinic::Complex,
            why: "the two series of complex feet begin 0.8 points apart (4.8 and 5.6); the model gives them the score of other feet",
            ..of("Pirani total of complex feet, mean", Published::Value(5.6), 25, "Yadav 2023", pirani_mean)
        },
    ]);
    let midfoot = Measure::Feet(any, |feet| {
        super::figures::median(feet.iter().map(|foot| points(&foot.start, &Sign::ALL[..3])))
    });
    let hindfoot = Measure::Feet(any, |feet| super::figures::median(feet.iter().map(|foot| foot.hindfoot())));
    figures.push(of("midfoot score, median", Published::Value(2.5), 147, "Calabar group", midfoot));
    figures.push(of("hindfoot score, median", Published::Value(2.5), 147, "Calabar group", hindfoot));
    figures
}

/// Share of feet in a band, from the two-by-two tables of tenotomy.
fn bands() -> Vec<Figure> {
    let of = |figure, (k, n): (u32, usize), source, measure| Figure {
        figure,
        published: Published::Value(100.0 * f64::from(k) / n as f64),
        n,
        source,
        unit: "% of feet",
        why: START_DIFFERS,
        measure: Measure::Feet(any, measure),
        ..BASE
    };
    vec![
        of("Pirani 5 or more", (27, 50), "Scher 2004", |feet| share(feet, |foot| foot.pirani() >= 5.0)),
        Figure {
            clinic: Clinic::Calabar,
            note: "the severity of who comes is set to have this share",
            ..of("Pirani 3 or more", (108, 147), "Calabar group", |feet| {
                share(feet, |foot| foot.pirani() >= 3.0)
            })
        },
        of("Pirani 4 or more", (140, 201), "Lagos, PMC6016751", |feet| {
            share(feet, |foot| foot.pirani() >= 4.0)
        }),
        Figure {
            clinic: Clinic::Menon,
            note: "the severity of who comes is set to have this share",
            ..of("rigid equinus 1", (52, 59), "Menon", |feet| {
                share(feet, |foot| points(&foot.start, &[Sign::RigidEquinus]) == 1.0)
            })
        },
    ]
}

fn share(feet: &[&FootRow], holds: fn(&FootRow) -> bool) -> f64 {
    100.0 * mean(feet.iter().map(|foot| f64::from(u8::from(holds(foot)))))
}

fn movement() -> Vec<Figure> {
    let base = Figure { unit: "°", clinic: Clinic::Dorsiflexion, ..BASE };
    let source = "10.1097/BPO.0000000000002338";
    vec![
        Figure {
            figure: "dorsiflexion before the first cast, mean",
            published: Published::Value(-40.4),
            n: 125,
            source,
            fitted: true,
            measure: Measure::Feet(any, |feet| mean(feet.iter().map(|foot| foot.dorsiflexion))),
            ..base
        },
        Figure {
            figure: "dorsiflexion before the first cast, SD",
            published: Published::Value(22.3),
            n: 125,
            source,
            fitted: true,
            measure: Measure::Feet(any, |feet| sd(feet.iter().map(|foot| foot.dorsiflexion))),
            ..base
        },
        Figure {
            figure: "dorsiflexion before the tenotomy, mean",
            published: Published::Value(-28.0),
            n: 22,
            source: "“Foot abduction increases after Achilles tenotomy”",
            note: "feet that were cut",
            fitted: true,
            measure: Measure::Feet(
                |foot| foot.cut,
                |feet| mean(feet.iter().map(|foot| foot.dorsiflexion_at_decision)),
            ),
            ..base
        },
        Figure {
            figure: "dorsiflexion before the tenotomy, SD",
            published: Published::Value(19.0),
            n: 22,
            source: "“Foot abduction increases after Achilles tenotomy”",
            note: "feet that were cut",
            measure: Measure::Feet(
                |foot| foot.cut,
                |feet| sd(feet.iter().map(|foot| foot.dorsiflexion_at_decision)),
            ),
            ..base
        },
    ]
}

fn raters() -> Vec<Figure> {
    let base = Figure { group: RATERS, n: 91, source: SHAHEEN, why: RATERS_DIFFER, ..BASE };
    let of = |figure, published, measure| Figure {
        figure,
        published: Published::Value(published),
        measure,
        ..base
    };
    let note = "at any sitting of the course (the paper does not say which)";
    let mut figures = vec![
        of("kappa, curved lateral border", 0.54, Measure::Feet(any, |feet| agreed(feet, 0))),
        of("kappa, medial crease", 0.57, Measure::Feet(any, |feet| agreed(feet, 1))),
        of("kappa, lateral head of talus", 0.56, Measure::Feet(any, |feet| agreed(feet, 2))),
        of("kappa, posterior crease", 0.61, Measure::Feet(any, |feet| agreed(feet, 3))),
        of("kappa, rigid equinus", 0.51, Measure::Feet(any, |feet| agreed(feet, 4))),
        of("kappa, empty heel", 0.72, Measure::Feet(any, |feet| agreed(feet, 5))),
        of("kappa, midfoot score", 0.50, Measure::Feet(any, |feet| agreed_on(feet, &Sign::ALL[..3]))),
        of("kappa, hindfoot score", 0.54, Measure::Feet(any, |feet| agreed_on(feet, &Sign::ALL[3..]))),
    ];
    figures.iter_mut().for_each(|figure| {
        figure.note = note;
        figure.fitted = true;
    });
    let all = |feet: &[&FootRow]| agreed_on(feet, &Sign::ALL);
    figures.push(Figure { note, fitted: true, ..of("kappa, total", 0.50, Measure::Feet(any, all)) });
    let source = "J Child Orthop 2019;13:478";
    figures.push(Figure {
        note: "at every cast",
        n: 56,
        source,
        ..of("kappa, total", 0.31, Measure::Feet(any, all))
    });
    let together: fn(&[&FootRow]) -> f64 =
        |feet| correlation(feet.iter().map(|foot| (total(&foot.midway[0]), total(&foot.midway[1]))));
    figures.push(Figure {
        note: "at every cast",
        n: 56,
        source,
        ..of("correlation of totals", 0.91, Measure::Feet(any, together))
    });
    let gap: fn(&[&FootRow]) -> f64 =
        |feet| mean(feet.iter().map(|foot| (foot.pirani() - total(&foot.start_again)).abs()));
    figures.push(Figure {
        unit: "points",
        n: 411,
        source: "Cosma & Vasilescu 2015",
        note: "at the start (means 5.1 and 5.3)",
        fitted: true,
        ..of("gap between totals, mean", 0.65, Measure::Feet(any, gap))
    });
    let near: fn(&[&FootRow]) -> f64 = |feet| {
        let within = |foot: &&FootRow| (foot.pirani() - total(&foot.start_again)).abs() <= 1.0;
        100.0 * mean(feet.iter().map(|foot| f64::from(u8::from(within(foot)))))
    };
    figures.push(Figure {
        unit: "%",
        n: 55,
        source: "Flynn 1998",
        note: "the older form of 10 points: one point of it is 0.6 of ours, so more should lie within 1 here",
        ..of("totals within 1 point", 89.0, Measure::Feet(any, near))
    });
    figures
}

fn agreed(feet: &[&FootRow], sign: usize) -> f64 {
    agreed_on(feet, &Sign::ALL[sign..=sign])
}

fn agreed_on(feet: &[&FootRow], signs: &[Sign]) -> f64 {
    kappa(feet.iter().map(|foot| (points(&foot.midway[0], signs), points(&foot.midway[1], signs))))
}
