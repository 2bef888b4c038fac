//! Casts, their number and their days, and what they leave.
//!
//! Counting rule: every cast put on from the first to the brace, holding and post-tenotomy casts
//! included. Papers differ, and few say which they used; a paper's own mean is therefore met by the pace
//! shift of its clinic and is no check.

use super::clinics::Clinic;
use super::figures::{correlation, mean, sd};
use super::rows::{FootRow, total};
use super::{Figure, Measure, Published, any};

const CASTS: &str = "Casts";
const SIGNS: &str = "The signs under casts";
const DAYS: &str = "Days from the first cast to the brace";

const RULE: &str = "all casts to the brace";

/// Why the two sides of one series may not fit.
const NO_SIDES: &str = "the sides of one series, printed to one decimal, lie 0.1 apart; the model has no \
                        sides, and both together are inside";

/// Why a score at the brace may not fit.
const BRACE_DIFFERS: &str = "papers contradict each other: Khan 2017 braced at 1.1 and 1.2 (1,055 feet), Islam \
                             2020 at 0.34 and 0.35 (158 feet), complex feet at 0.4 (25 feet); the model \
                             follows the largest";

/// Why a number of casts may not fit.
const CASTS_DIFFER: &str = "centres contradict each other and count by different rules: means of 4.0 to 7.7, SDs \
                            of 1.19 (Bob-Manuel 2022) to 2.28 (Guilin), and few say whether the cast after \
                            the tenotomy is among them; the model follows five arms put together, 5.63 (1.51)";

/// Why a number of casts of a centre may not fit.
const CENTRES_DIFFER: &str = "half of the drawn clinics are assumed to wait a week or more for the theatre list and \
                              to hold the foot in casts meanwhile, and all casts to the brace are counted; papers \
                              contradict each other, with means of 4.0 to 6.9, and few say how they counted";

/// Why casts of complex feet may not fit.
const COMPLEX_DIFFER: &str = "three series of complex feet contradict each other, with 5.0, 5.12 and 7.68 casts; \
                              the model lies between";

/// Why a correlation with casts may not fit.
const CORRELATIONS_DIFFER: &str = "papers contradict each other: 0.225 (Mengesha, 526 children), 0.56 (Lampasi \
                                   2018), 0.62 and 0.675 (Ethiopia), “low” in two more; the model lies between";

/// Why a fall of the score may not fit.
const FALLS_DIFFER: &str = "papers contradict each other: 0.41 points a cast to the decision (Williams 2022), \
                            0.66 to 0.86 to the brace in others; Williams needed 6.9 casts and left 1.9 (1.4) \
                            before the tenotomy, where other centres go on from casting at a midfoot of 0";

/// Why days of a trial may not fit.
const DAYS_DIFFER: &str = "the trial's casts spread less (SD 1.2 and 1.4) than the pooled arms (1.51), which the \
                           model follows, and its days with them";

const BASE: Figure = Figure { group: CASTS, why: CASTS_DIFFER, ..Figure::BLANK };

const MEAN: Measure = Measure::Feet(any, |feet| mean(feet.iter().map(|foot| foot.casts)));
const SD: Measure = Measure::Feet(any, |feet| sd(feet.iter().map(|foot| foot.casts)));
const R: Measure =
    Measure::Feet(any, |feet| correlation(feet.iter().map(|foot| (foot.pirani(), foot.casts))));

pub(super) fn figures() -> Vec<Figure> {
    [casts(), rules(), centres(), correlations(), signs(), days()].concat()
}

fn of(
    clinic: Clinic,
    figure: &'static str,
    published: f64,
    n: usize,
    source: &'static str,
    measure: Measure,
) -> Figure {
    Figure { clinic, figure, published: Published::Value(published), n, source, measure, ..BASE }
}

fn casts() -> Vec<Figure> {
    let pooled = "five arms with an SD, pooled";
    let own = "the clinic's mean is met by its pace shift";
    vec![
        Figure {
            note: RULE,
            fitted: true,
            named: true,
            ..of(Clinic::Any, "casts, mean", 5.63, 674, pooled, MEAN)
        },
        Figure {
            note: "within-arm SD",
            fitted: true,
            named: true,
            ..of(Clinic::Any, "casts, SD", 1.51, 674, pooled, SD)
        },
        Figure {
            note: own,
            ..of(Clinic::Ethiopia, "casts, SD", 1.63, 424, "J Craniofac Surg, Ethiopia", SD)
        },
        Figure {
            note: own,
            fitted: true,
            ..of(Clinic::BobManuel, "casts, SD", 1.19, 58, "Bob-Manuel 2022", SD)
        },
        Figure {
            note: own,
            fitted: true,
            ..of(Clinic::IslamWeekly, "casts, SD", 1.2, 81, "Islam 2020, weekly", SD)
        },
        Figure {
            note: own,
            fitted: true,
            ..of(Clinic::IslamTwice, "casts, SD", 1.4, 77, "Islam 2020, twice weekly", SD)
        },
        Figure { note: own, fitted: true, ..of(Clinic::Williams, "casts, SD", 1.4, 34, "Williams 2022", SD) },
        Figure {
            note: "148 children, one foot each counted; the mean is met by its pace shift",
            ..of(Clinic::Guilin, "casts, SD", 2.28, 148, "10.1186/s12891-022-05039-9", SD)
        },
        Figure {
            note: "one to six years old at the first cast",
            why: "the effect of age is held between this series and the correlation of age and casts of 0.178 (Mengesha), which asks for less",
            fitted: true,
            ..of(Clinic::Spiegel, "casts, mean", 7.0, 260, "Spiegel 2009", MEAN)
        },
        complex(5.0, 75, "Ponseti 2006"),
        complex(7.68, 25, "Yadav 2023"),
        complex(5.12, 25, "10.1007/s43465-023-00910-w"),
    ]
}

fn complex(published: f64, n: usize, source: &'static str) -> Figure {
    Figure {
        why: COMPLEX_DIFFER,
        ..of(Clinic::Complex, "casts of complex feet, mean", published, n, source, MEAN)
    }
}

/// The rule of thumb, and shares of feet by their number of casts.
fn rules() -> Vec<Figure> {
    let mut figures = Vec::new();
    let at_least: fn(&[&FootRow]) -> f64 =
        |feet| 100.0 * mean(feet.iter().map(|foot| f64::from(u8::from(foot.casts >= 4.0))));
    figures.push(Figure {
        unit: "%",
        published: Published::Range(85.0, 100.0),
        note: "printed as a rule, “at least four”; 85 % is our reading of it",
        measure: Measure::Feet(|foot| foot.pirani() >= 4.0, at_least),
        ..of(Clinic::Any, "four casts or more at Pirani 4 or more", 0.0, 50, "Dyer & Davis 2006", MEAN)
    });
    let few: fn(&[&FootRow]) -> f64 =
        |feet| 100.0 * mean(feet.iter().map(|foot| f64::from(u8::from(foot.casts <= 3.0))));
    figures.push(Figure {
        unit: "%",
        published: Published::Range(50.0, 100.0),
        note: "printed as a rule, “three or fewer”; later means of 4.0 to 6.9 contradict it",
        measure: Measure::Feet(|foot| foot.pirani() < 4.0, few),
        ..of(Clinic::Any, "three casts or fewer below Pirani 4", 0.0, 20, "Dyer & Davis 2006", MEAN)
    });
    figures
}

/// Means and medians of centres, against clinics drawn from the spread of habits.
fn centres() -> Vec<Figure> {
    let middle: fn(&[&FootRow]) -> f64 = |feet| mean(feet.iter().map(|foot| foot.casts));
    let note = "a clinic drawn from the spread of habits for each cohort";
    let of = |figure, published, n, source, measure| Figure {
        note,
        why: CENTRES_DIFFER,
        measure: Measure::Centre(measure),
        ..of(Clinic::Any, figure, published, n, source, MEAN)
    };
    let typical: fn(&[&FootRow]) -> f64 = |feet| super::figures::median(feet.iter().map(|foot| foot.casts));
    let mut figures = vec![
        of("casts, mean", 5.2, 201, "Lagos, PMC6016751", middle),
        of("casts, mean", 5.08, 61, "J Pediatr Orthop B, 42 infants", middle),
        of("casts, mean", 5.2, 68, "Monforte 2021, plaster", middle),
        of("casts, mean", 4.2, 68, "Monforte 2021, semirigid", middle),
        of("casts, mean", 5.8, 100, "Gao; feet not printed, 100 assumed", middle),
        of("casts, mean", 5.2, 63, "MacNeille 2016, before surgery", middle),
        of("casts, median", 5.0, 53, "Brazell 2019", typical),
        of("casts, median", 4.0, 40, "Zhengzhou", typical),
        Figure {
            why: "an outlier among all: every other centre needed 4.0 to 7.7 casts in the mean",
            ..of("casts, mean", 11.84, 75, "a Philippine tertiary hospital", middle)
        },
        of("five casts or fewer", 90.0, 256, "Morcuende 2004, from memory: 90 % or more", |feet| {
            100.0 * mean(feet.iter().map(|foot| f64::from(u8::from(foot.casts <= 5.0))))
        }),
    ];
    if let Some(last) = figures.last_mut() {
        last.unit = "% of feet";
    }
    let n = 14;
    let over = |figure, published, measure| Figure {
        note: "n counts centres",
        why: CENTRES_DIFFER,
        measure: Measure::Clinics(middle, measure),
        ..of(figure, published, n, "means of fourteen centres, 4.0 to 6.9", middle)
    };
    figures.push(over("casts, mean of centres", 5.4, |means| mean(means.iter().copied())));
    figures.push(over("casts, SD over centres", 0.8, |means| sd(means.iter().copied())));
    figures
}

fn correlations() -> Vec<Figure> {
    let ages = Measure::Feet(any, |feet| correlation(feet.iter().map(|foot| (foot.age_days, foot.casts))));
    let right = Measure::Feet(
        |foot| foot.right,
        |feet| correlation(feet.iter().map(|foot| (foot.pirani(), foot.casts))),
    );
    let mut figures = vec![
        Figure {
            published: Published::Range(0.225, 0.675),
            fitted: true,
            named: true,
            ..of(Clinic::Any, "correlation of Pirani total and casts", 0.0, 526, "range of four papers", R)
        },
        Figure {
            fitted: true,
            ..of(
                Clinic::Ethiopia,
                "correlation of Pirani total and casts",
                0.62,
                212,
                "J Craniofac Surg, right feet",
                right,
            )
        },
        Figure {
            fitted: true,
            ..of(Clinic::Lampasi, "correlation of Pirani total and casts", 0.56, 91, "Lampasi 2018", R)
        },
        Figure {
            fitted: true,
            ..of(Clinic::Mengesha, "correlation of Pirani total and casts", 0.225, 526, "Mengesha", R)
        },
        Figure {
            note: "mean age 15.3 weeks",
            fitted: true,
            ..of(Clinic::Mengesha, "correlation of age and casts", 0.178, 526, "Mengesha", ages)
        },
    ];
    figures.iter_mut().for_each(|figure| figure.why = CORRELATIONS_DIFFER);
    figures
}

fn signs() -> Vec<Figure> {
    let fall: fn(&[&FootRow]) -> f64 = |feet| {
        let fallen: f64 = feet.iter().map(|foot| foot.pirani() - total(&foot.decision)).sum();
        fallen / feet.iter().map(|foot| foot.correcting).sum::<f64>()
    };
    let to_end: fn(&[&FootRow]) -> f64 = |feet| {
        let fallen: f64 = feet.iter().map(|foot| foot.pirani() - total(&foot.at_brace)).sum();
        fallen / feet.iter().map(|foot| foot.casts).sum::<f64>()
    };
    let left: fn(&[&FootRow]) -> f64 = |feet| mean(feet.iter().map(|foot| total(&foot.decision)));
    let left_sd: fn(&[&FootRow]) -> f64 = |feet| sd(feet.iter().map(|foot| total(&foot.decision)));
    let braced: fn(&[&FootRow]) -> f64 = |feet| mean(feet.iter().map(|foot| total(&foot.at_brace)));
    let braced_sd: fn(&[&FootRow]) -> f64 = |feet| sd(feet.iter().map(|foot| total(&foot.at_brace)));
    let feet = |figure: fn(&[&FootRow]) -> f64| Measure::Feet(any, figure);
    let mut figures = vec![
        of(Clinic::Williams, "fall of Pirani a cast, to the decision", 0.41, 34, "Williams 2022", feet(fall)),
        of(
            Clinic::IslamWeekly,
            "fall of Pirani a cast, to the brace",
            0.69,
            81,
            "Islam 2020, weekly",
            feet(to_end),
        ),
        of(Clinic::Williams, "Pirani before the tenotomy, mean", 1.9, 34, "Williams 2022", feet(left)),
        of(Clinic::Williams, "Pirani before the tenotomy, SD", 1.4, 34, "Williams 2022", feet(left_sd)),
        of(Clinic::Khan, "Pirani at the brace, mean", 1.15, 1_055, "Khan 2017, both sides", feet(braced)),
        of(Clinic::Khan, "Pirani at the brace, SD", 0.567, 1_055, "Khan 2017, both sides", feet(braced_sd)),
        of(Clinic::Khan, "Pirani at the brace, mean", 1.1, 528, "Khan 2017, right feet", feet(braced)),
        of(Clinic::Khan, "Pirani at the brace, mean", 1.2, 527, "Khan 2017, left feet", feet(braced)),
        of(Clinic::Khan, "Pirani at the brace, SD", 0.55, 528, "Khan 2017, right feet", feet(braced_sd)),
        of(Clinic::Khan, "Pirani at the brace, SD", 0.58, 527, "Khan 2017, left feet", feet(braced_sd)),
        of(Clinic::IslamWeekly, "Pirani at the brace, mean", 0.34, 81, "Islam 2020, weekly", feet(braced)),
        of(Clinic::IslamWeekly, "Pirani at the brace, SD", 0.38, 81, "Islam 2020, weekly", feet(braced_sd)),
        of(
            Clinic::IslamTwice,
            "Pirani at the brace, mean",
            0.35,
            77,
            "Islam 2020, twice weekly",
            feet(braced),
        ),
        of(
            Clinic::IslamTwice,
            "Pirani at the brace, SD",
            0.31,
            77,
            "Islam 2020, twice weekly",
            feet(braced_sd),
        ),
        of(
            Clinic::IslamTwice,
            "fall of Pirani a cast, to the brace",
            0.66,
            77,
            "Islam 2020, twice weekly",
            feet(to_end),
        ),
        of(Clinic::Complex, "Pirani at the brace, mean", 0.4, 25, "10.1007/s43465-023-00910-w", feet(braced)),
        of(
            Clinic::Complex,
            "fall of Pirani a cast, to the brace",
            0.86,
            25,
            "10.1007/s43465-023-00910-w",
            feet(to_end),
        ),
    ];
    for figure in &mut figures[4..6] {
        figure.named = true;
        figure.fitted = true;
        figure.note = "1.1 (0.55) on the right and 1.2 (0.58) on the left, put together";
    }
    figures[..4].iter_mut().for_each(|figure| figure.why = FALLS_DIFFER);
    figures.iter_mut().skip(6).for_each(|figure| figure.why = BRACE_DIFFERS);
    figures[6..10].iter_mut().for_each(|figure| figure.why = NO_SIDES);
    figures.iter_mut().for_each(|figure| {
        figure.group = SIGNS;
        figure.unit = "points";
    });
    figures
}

fn days() -> Vec<Figure> {
    let middle = Measure::Feet(any, |feet| mean(feet.iter().map(|foot| foot.days)));
    let spread = Measure::Feet(any, |feet| sd(feet.iter().map(|foot| foot.days)));
    let note = "the trial's own intervals, 21 days in the tenotomy cast; mean of casts met by the pace shift";
    let mut figures = vec![
        of(Clinic::IslamWeekly, "days, mean", 58.2, 81, "Islam 2020, weekly", middle),
        of(Clinic::IslamWeekly, "days, SD", 8.3, 81, "Islam 2020, weekly", spread),
        of(Clinic::IslamTwice, "days, mean", 39.5, 77, "Islam 2020, twice weekly", middle),
        of(Clinic::IslamTwice, "days, SD", 5.2, 77, "Islam 2020, twice weekly", spread),
    ];
    figures.iter_mut().for_each(|figure| {
        figure.group = DAYS;
        figure.unit = "days";
        figure.why = DAYS_DIFFER;
        figure.note = note;
    });
    figures
}
