//! Cumulative incidence with clusters, against the derivative taken numerically, plainly.

use proptest::prelude::*;
use statistics::survival::*;

/// Of a difference quotient with a step of 1e-5 on values up to 1.
const QUOTIENT: f64 = 1e-7;

#[derive(Debug, Clone, Copy)]
struct Row {
    start: u32,
    stop: u32,
    cause: u32,
    cluster: u32,
}

fn rows() -> impl Strategy<Value = Vec<Row>> {
    let row = (0_u32..6, 1_u32..9, 0_u32..3, 0_u32..10).prop_map(|(start, stop, cause, cluster)| Row {
        start: start.min(stop - 1),
        stop,
        cause,
        cluster,
    });
    proptest::collection::vec(row, 10..30)
}

/// Aalen and Johansen with weights, from the definition.
fn incidence(rows: &[Row], weight: &[f64], late: bool, wanted: u32, until: u32) -> f64 {
    let (mut survival, mut sum) = (1.0, 0.0);
    for time in 0..=until {
        let weigh = |keep: &dyn Fn(&Row) -> bool| -> f64 {
            rows.iter().filter(|row| keep(row)).map(|row| weight[row.cluster as usize]).sum()
        };
        let at_risk = weigh(&|row| row.stop >= time && (!late || row.start < time));
        if at_risk > 0.0 {
            sum += survival * weigh(&|row| row.stop == time && row.cause == wanted) / at_risk;
            survival *= 1.0 - weigh(&|row| row.stop == time && row.cause > 0) / at_risk;
        }
    }
    sum
}

fn by_quotient(rows: &[Row], late: bool, cause: u32, until: u32) -> f64 {
    let step = 1e-5;
    let at = |cluster: usize, by: f64| {
        let mut weight = [1.0; 10];
        weight[cluster] += by;
        incidence(rows, &weight, late, cause, until)
    };
    (0..10).map(|c| ((at(c, step) - at(c, -step)) / (2.0 * step)).powi(2)).sum()
}

proptest! {
    #[test]
    fn the_error_is_that_of_the_derivatives_taken_numerically(rows in rows(), late in any::<bool>()) {
        let column = |of: fn(&Row) -> u32| rows.iter().map(of).collect::<Vec<_>>();
        let float = |of: fn(&Row) -> u32| rows.iter().map(|row| f64::from(of(row))).collect::<Vec<_>>();
        let (start, stop, cause) = (float(|row| row.start), float(|row| row.stop), column(|row| row.cause));
        let mut data = CompetingRisks::new(&stop, &cause, 2).unwrap();
        if late {
            data = data.entering(&start).unwrap();
        }
        let cluster = column(|row| row.cluster);
        let curves = cumulative_incidence_clustered(&data, &cluster, &Interval::default()).unwrap();
        for curve in curves {
            for point in &curve.points {
                let expected = by_quotient(&rows, late, curve.cause, point.time as u32).sqrt();
                // Where everyone at risk leaves by an event S is 0 and its derivative jumps.
                let whole = incidence(&rows, &[1.0; 10], late, 1, point.time as u32)
                    + incidence(&rows, &[1.0; 10], late, 2, point.time as u32);
                if whole < 1.0 - 1e-9 {
                    prop_assert!((point.std_err - expected).abs() < QUOTIENT * (1.0 + expected),
                        "{} against {expected} at {}", point.std_err, point.time);
                }
            }
        }
    }

    #[test]
    fn with_one_cause_it_is_the_clustered_survival_curve(rows in rows()) {
        let stop: Vec<f64> = rows.iter().map(|row| f64::from(row.stop)).collect();
        let cause: Vec<u32> = rows.iter().map(|row| row.cause.min(1)).collect();
        let event: Vec<bool> = cause.iter().map(|cause| *cause == 1).collect();
        let cluster: Vec<u32> = rows.iter().map(|row| row.cluster).collect();
        let data = CompetingRisks::new(&stop, &cause, 1).unwrap();
        let curve = &cumulative_incidence_clustered(&data, &cluster, &Interval::default()).unwrap()[0];
        let other = KaplanMeier::clustered(&Spells::new(&stop, &event).unwrap(), &cluster, &Interval::default()).unwrap();
        for (one, two) in curve.points.iter().zip(&other.points) {
            prop_assert!((one.incidence - (1.0 - two.survival)).abs() < 1e-12);
            if two.survival > 1e-9 {
                prop_assert!((one.std_err - two.std_err).abs() < 1e-9, "{one:?} {two:?}");
            }
        }
    }
}

/// Three clusters of one row, two of two: F₁(2) = 2/7 + (5/7)·0 …, worked with fractions.
///
/// Rows (time, cause; cluster): (1,1;0) (1,1;0) (1,0;1) (2,2;1) (2,1;2) (3,0;3) (3,0;4).
/// At 1: n 7, d₁ 2, S 5/7, F₁ 2/7. At 2: n 4, d₁ 1, d₂ 1: F₁ = 2/7 + 5/7·1/4 = 13/28.
/// At time 1 the derivative of F₁ = d₁/n for a cluster is (its events − its rows · 2/7)/7:
/// cluster 0 (2 − 4/7)/7 = 10/49; cluster 1 −4/49; clusters 2, 3, 4 −2/49.
/// Squares: (100 + 16 + 3·4)/2401 = 128/2401.
#[test]
fn a_set_worked_by_hand() {
    let stop = [1.0, 1.0, 1.0, 2.0, 2.0, 3.0, 3.0];
    let data = CompetingRisks::new(&stop, &[1, 1, 0, 2, 1, 0, 0], 2).unwrap();
    let curve =
        &cumulative_incidence_clustered(&data, &[0, 0, 1, 1, 2, 3, 4], &Interval::default()).unwrap()[0];
    assert!((curve.points[0].std_err - (128.0_f64 / 2401.0).sqrt()).abs() < 1e-12);
    assert!((curve.at(2.0) - 13.0 / 28.0).abs() < 1e-12);
}
