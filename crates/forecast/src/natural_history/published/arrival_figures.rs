//! Who comes: sides, sex, complex feet, age at the first cast.
//!
//! These are settings of a simulated cohort and not outcomes of the model: the rows show that the usual
//! cohort is set to what is published.

use super::clinics::Clinic;
use super::figures::{mean, sd};
use super::rows::{FootRow, Row};
use super::{Figure, Measure, Published, any};

const WHO: &str = "Who comes";

const BASE: Figure = Figure {
    group: WHO,
    unit: "%",
    note: "set, not modelled",
    why: "the usual cohort is set between series that differ",
    ..Figure::BLANK
};

const SERIES_DIFFER: &str = "series differ: 18 % (Guilin), 40 % (Manousaki) and about half (reviews)";

pub(super) fn figures() -> Vec<Figure> {
    [sides_and_sex(), ages()].concat()
}

/// Share of children, per cent.
fn percent(children: &[&Row], holds: fn(&Row) -> bool) -> f64 {
    100.0 * mean(children.iter().map(|child| f64::from(u8::from(holds(child)))))
}

fn sides_and_sex() -> Vec<Figure> {
    let of = |figure, published, n, source, measure: fn(&[&Row]) -> f64| Figure {
        figure,
        published: Published::Value(published),
        n,
        source,
        measure: Measure::Children(measure),
        ..BASE
    };
    let both: fn(&[&Row]) -> f64 = |children| percent(children, |child| child.feet.len() == 2);
    let boys: fn(&[&Row]) -> f64 = |children| percent(children, |child| child.boy);
    let complex: fn(&[&Row]) -> f64 = |children| percent(children, |child| child.complex);
    vec![
        Figure {
            published: Published::Range(45.0, 55.0),
            note: "set, not modelled; printed as “about 50 %”, five per cent either way is our reading",
            ..of("both feet affected", 0.0, 1_000, "reviews", both)
        },
        Figure {
            why: SERIES_DIFFER,
            ..of("both feet affected", 40.3, 72, "Manousaki 2021, 10.1186/s12891-021-04323-4", both)
        },
        Figure {
            why: SERIES_DIFFER,
            ..of("both feet affected", 17.6, 148, "Guilin, 10.1186/s12891-022-05039-9", both)
        },
        Figure {
            note: "set, not modelled; 2.1 boys a girl",
            ..of("boys", 67.7, 827, "Pavone 2012, 10.3109/17453674.2012.678797", boys)
        },
        Figure {
            note: "set, not modelled; 2.5 boys a girl",
            ..of("boys", 71.4, 285, "Lochmiller 1998", boys)
        },
        Figure {
            note: "set, not modelled; 50 children, referral-biased",
            ..of("a complex foot", 6.6, 762, "Ponseti 2006, 10.1097/01.blo.0000224062.39990.48", complex)
        },
    ]
}

fn ages() -> Vec<Figure> {
    let middle: fn(&[&FootRow]) -> f64 = |feet| mean(feet.iter().map(|foot| foot.age_days));
    let spread: fn(&[&FootRow]) -> f64 = |feet| sd(feet.iter().map(|foot| foot.age_days));
    let of = |clinic, figure, published, n, source, measure| Figure {
        clinic,
        figure,
        published: Published::Value(published),
        n,
        source,
        unit: "days",
        measure: Measure::Feet(any, measure),
        ..BASE
    };
    vec![
        of(Clinic::Lampasi, "age at the first cast, mean", 28.0, 91, "Lampasi 2018", middle),
        of(Clinic::Lampasi, "age at the first cast, SD", 15.0, 91, "Lampasi 2018", spread),
        of(Clinic::Mengesha, "age at the first cast, mean", 107.1, 526, "Mengesha, 15.3 weeks", middle),
        Figure {
            unit: "%",
            note: "casts that slip; complex feet, 4 of 128 casts",
            clinic: Clinic::Complex,
            measure: Measure::Feet(any, slips),
            ..of(Clinic::Complex, "casts that slip", 3.125, 25, "10.1007/s43465-023-00910-w", slips)
        },
    ]
}

/// Correcting casts that slip, per cent.
fn slips(feet: &[&FootRow]) -> f64 {
    let casts: f64 = feet.iter().map(|foot| foot.correcting).sum();
    100.0 * feet.iter().map(|foot| foot.slips).sum::<f64>() / casts
}
