//! Bracing: wear, relapse and leaving care.

use super::clinics::Clinic;
use super::figures::{below_hours, hours_when_good, mean, median, odds_ratio, relapsed_by};
use super::rows::Row;
use super::{Figure, Measure, Published};

const WEAR: &str = "Hours of wear";
const RELAPSE: &str = "Relapse";
const LEAVING: &str = "Leaving care";

/// Why a figure of bracing may not fit.
const BRACING_DIFFERS: &str = "cohorts contradict each other: relapse in 52 % by six years (Sangiorgio 2017), 21.6 % \
                               at 7.3 (Guilin) and 6 % of adherent families (Morcuende 2004); hours of children \
                               who did well (Richards 2020) beside hours of all (Sangiorgio 2016); with 30 and \
                               45 % of all children relapsed by two and four years and an odds ratio of 10, more \
                               than half of the families that do not adhere must relapse";

const BASE: Figure = Figure {
    group: WEAR,
    why: BRACING_DIFFERS,
    fitted: true,
    measure: Measure::Children(|_| f64::NAN),
    ..Figure::BLANK
};

pub(super) fn figures() -> Vec<Figure> {
    [wear(), spread_of_wear(), relapse(), leaving()].concat()
}

fn of(figure: &'static str, published: f64, n: usize, measure: fn(&[&Row]) -> f64) -> Figure {
    Figure { figure, published: Published::Value(published), n, measure: Measure::Children(measure), ..BASE }
}

fn wear() -> Vec<Figure> {
    let mut figures = vec![
        of("months 0–3", 19.8, 124, |children| hours_when_good(children, 0)),
        of("months 4–6", 11.9, 124, |children| hours_when_good(children, 1)),
        of("months 7–9", 9.6, 124, |children| hours_when_good(children, 2)),
        of("months 10–12", 8.6, 124, |children| hours_when_good(children, 3)),
        of("months 13–15", 7.9, 124, |children| hours_when_good(children, 4)),
        of("months 16–18", 7.7, 124, |children| hours_when_good(children, 5)),
    ];
    figures.iter_mut().for_each(|figure| {
        figure.named = true;
        figure.unit = "h/day";
        figure.clinic = Clinic::Logged;
        figure.source = "Richards 2020, logged";
        figure.note = "children without a relapse at two years";
    });
    figures
}

fn spread_of_wear() -> Vec<Figure> {
    let richards = "Richards 2020, logged";
    let sangiorgio = "Sangiorgio 2016";
    let of = |figure, unit, published, n, source, measure| Figure {
        unit,
        source,
        clinic: Clinic::Logged,
        ..of(figure, published, n, measure)
    };
    vec![
        of("below 6 h/day, months 16–18", "%", 33.0, 124, richards, |children| {
            below_hours(children, 5, 6.0)
        }),
        Figure {
            note: "printed as “nearly half”",
            ..of("below 8 h/day, months 16–18", "%", 48.0, 124, richards, |children| {
                below_hours(children, 5, 8.0)
            })
        },
        Figure {
            note: "44 children of six months to four years, 18 % relapsed; here by the age of two, months 7–18",
            fitted: false,
            ..of("children with a relapse, mean", "h/day", 5.0, 44, sangiorgio, |children| {
                late_hours(children, true)
            })
        },
        Figure {
            note: "as above",
            fitted: false,
            ..of("children without one, mean", "h/day", 8.0, 44, sangiorgio, |children| {
                late_hours(children, false)
            })
        },
        Figure {
            note: "printed as logged = 0.77 of reported",
            ..of("reported for an hour logged, median", "", 1.30, 44, sangiorgio, |children| {
                median(children.iter().filter_map(|child| child.reported_for_logged))
            })
        },
    ]
}

/// Mean logged hours in the third to the sixth quarter, of children with or without a relapse by two.
fn late_hours(children: &[&Row], relapsed: bool) -> f64 {
    let by_two = |child: &Row| child.relapse_age_days.is_some_and(|age| age <= 730.5);
    let whose = children.iter().filter(|child| by_two(child) == relapsed);
    mean(whose.flat_map(|child| child.logged[2..].iter().copied().flatten()))
}

fn relapse() -> Vec<Figure> {
    let base = Figure { group: RELAPSE, unit: "%", source: "Sangiorgio 2017, Kaplan–Meier", ..BASE };
    let of = |figure, published, n, measure| {
        let plain = of(figure, published, n, measure);
        Figure { group: base.group, unit: base.unit, source: base.source, ..plain }
    };
    let note = "children, first relapse of either foot, followed 2.0 to 9.8 years";
    vec![
        Figure {
            note,
            named: true,
            ..of("by the age of 2", 30.0, 191, |children| relapsed_by(children, 2.0))
        },
        Figure {
            note,
            named: true,
            ..of("by the age of 4", 45.0, 191, |children| relapsed_by(children, 4.0))
        },
        Figure {
            note,
            named: true,
            ..of("by the age of 6", 52.0, 191, |children| relapsed_by(children, 6.0))
        },
        Figure {
            unit: "months",
            note: "among children with one",
            fitted: false,
            ..of("age at the first relapse, median", 20.0, 191, |children| {
                let ages = children
                    .iter()
                    .filter_map(|child| child.relapse_age_days.filter(|age| *age <= child.followed_to_days));
                median(ages) / 30.4375
            })
        },
        Figure {
            unit: "",
            published: Published::Range(5.0, 21.0),
            source: "van Schelven 2022, meta-analysis",
            note: "odds ratio of not adhering, by the age of three; 10 (5–21)",
            ..of("odds ratio, family not adherent", 10.0, 5_000, |children| odds_ratio(children, 3.0))
        },
        Figure {
            unit: "",
            source: "10.1097/BPO.0000000000000870",
            note: "22 of 45 against 6 of 71 (derived), at two years or more; here by three",
            ..of("odds ratio, family not adherent", 10.3, 116, |children| odds_ratio(children, 3.0))
        },
        Figure {
            source: "10.1097/BPO.0000000000000870",
            note: "22 of 45; here by three",
            fitted: false,
            ..of("relapse of those not adherent", 48.9, 45, |children| {
                let whose = children.iter().filter(|child| !child.adherent);
                100.0
                    * mean(whose.map(|child| {
                        f64::from(u8::from(child.relapse_age_days.is_some_and(|age| age <= 1_096.0)))
                    }))
            })
        },
        Figure {
            published: Published::Range(34.0, 61.0),
            source: "Alves 2019, review",
            ..of("families not adherent", 0.0, 116, |children| {
                100.0 * mean(children.iter().map(|child| f64::from(u8::from(!child.adherent))))
            })
        },
        Figure {
            source: "10.1186/s12891-022-05039-9",
            note: "mean follow-up 7.3 years",
            why: "contradicts Sangiorgio 2017, 52 % by six years; reviews find 1.9 to 45 % (84 studies), and only 57 % of studies say what they call a relapse",
            fitted: false,
            ..of("by the age of 7", 21.6, 148, |children| relapsed_by(children, 6.99))
        },
    ]
}

fn leaving() -> Vec<Figure> {
    let source = "S1067-2516(21)00458-0, six years";
    let note = "children referred evenly over six years, books closed at the end (assumed)";
    vec![
        Figure {
            group: LEAVING,
            unit: "%",
            named: true,
            source,
            note,
            ..of("left care", 16.06, 965, |children| {
                100.0 * mean(children.iter().map(|child| f64::from(u8::from(child.left_in_brace.is_some()))))
            })
        },
        Figure {
            group: LEAVING,
            unit: "%",
            named: true,
            source,
            note,
            ..of("of them in bracing", 88.4, 965, |children| {
                let left = children.iter().filter_map(|child| child.left_in_brace);
                100.0 * mean(left.map(|in_brace| f64::from(u8::from(in_brace))))
            })
        },
    ]
}
