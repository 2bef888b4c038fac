//! A slow, plain second implementation of the survival estimators, on random rows with heavy ties.

// Plainly: indices as in the formulas.
#![allow(clippy::needless_range_loop)]

use proptest::prelude::*;
use statistics::survival::*;

/// Both sides add up at most 40 rows in another order.
const ROUNDING: f64 = 1e-9;

#[derive(Debug, Clone)]
struct Row {
    start: f64,
    stop: f64,
    event: bool,
    cause: u32,
    x: [f64; 2],
    group: u32,
    cluster: u32,
}

fn rows() -> impl Strategy<Value = Vec<Row>> {
    let row = (1_u32..9, 0_u32..9, 0_u32..3, -3_i32..4, 0_u32..2, 0_u32..3, 0_u32..8).prop_map(
        |(stop, start, cause, a, b, group, cluster)| Row {
            start: f64::from(start % stop),
            stop: f64::from(stop),
            event: cause > 0,
            cause,
            x: [f64::from(a), f64::from(b)],
            group,
            cluster,
        },
    );
    proptest::collection::vec(row, 12..40)
}

struct Columns {
    start: Vec<f64>,
    stop: Vec<f64>,
    event: Vec<bool>,
    cause: Vec<u32>,
    x: [Vec<f64>; 2],
    group: Vec<u32>,
    cluster: Vec<u32>,
}

impl Columns {
    fn of(rows: &[Row]) -> Self {
        Self {
            start: rows.iter().map(|row| row.start).collect(),
            stop: rows.iter().map(|row| row.stop).collect(),
            event: rows.iter().map(|row| row.event).collect(),
            cause: rows.iter().map(|row| row.cause).collect(),
            x: [0, 1].map(|j| rows.iter().map(|row| row.x[j]).collect()),
            group: rows.iter().map(|row| row.group).collect(),
            cluster: rows.iter().map(|row| row.cluster).collect(),
        }
    }

    fn spells(&self) -> Spells<'_> {
        Spells::new(&self.stop, &self.event).unwrap().entering(&self.start).unwrap()
    }

    fn cox(&self, ties: Ties) -> Cox<'_> {
        Cox::new(self.spells(), vec![&self.x[0], &self.x[1]]).unwrap().ties(ties)
    }
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= ROUNDING * (1.0 + b.abs())
}

fn times(rows: &[Row]) -> Vec<f64> {
    let mut times: Vec<f64> = rows.iter().map(|row| row.stop).collect();
    times.sort_by(f64::total_cmp);
    times.dedup();
    times
}

fn at_risk(row: &Row, time: f64) -> bool {
    row.start < time && time <= row.stop
}

fn died(row: &Row, time: f64) -> bool {
    row.event && row.stop == time
}

fn count(rows: &[Row], keep: impl Fn(&Row) -> bool) -> f64 {
    rows.iter().filter(|row| keep(row)).count() as f64
}

/// log likelihood, score and information by the definitions: for each of the d events of a time a term
/// with a share k/d of the events taken out of the sums over those at risk.
fn cox_by_definition(rows: &[Row], beta: [f64; 2], efron: bool) -> (f64, [f64; 2], [[f64; 2]; 2]) {
    let risk = |row: &Row| (row.x[0] * beta[0] + row.x[1] * beta[1]).exp();
    let (mut value, mut score, mut information) = (0.0, [0.0; 2], [[0.0; 2]; 2]);
    for time in times(rows) {
        let dead: Vec<&Row> = rows.iter().filter(|row| died(row, time)).collect();
        for (k, row) in dead.iter().enumerate() {
            let out = if efron { k as f64 / dead.len() as f64 } else { 0.0 };
            let share = |other: &Row| risk(other) * if died(other, time) { 1.0 - out } else { 1.0 };
            let set: Vec<&Row> = rows.iter().filter(|other| at_risk(other, time)).collect();
            let s0: f64 = set.iter().map(|other| share(other)).sum();
            let mean =
                |f: &dyn Fn(&Row) -> f64| set.iter().map(|other| share(other) * f(other)).sum::<f64>() / s0;
            value += risk(row).ln() - s0.ln();
            for i in 0..2 {
                score[i] += row.x[i] - mean(&|other| other.x[i]);
                for j in 0..2 {
                    let product = mean(&|other| other.x[i] * other.x[j]);
                    information[i][j] += product - mean(&|other| other.x[i]) * mean(&|other| other.x[j]);
                }
            }
        }
    }
    (value, score, information)
}

/// One row's score residual by the definition.
fn residual(rows: &[Row], at: usize, beta: [f64; 2], efron: bool) -> [f64; 2] {
    let risk = |row: &Row| (row.x[0] * beta[0] + row.x[1] * beta[1]).exp();
    let own = &rows[at];
    let mut sum = [0.0; 2];
    for time in times(rows).into_iter().filter(|time| at_risk(own, *time)) {
        let d = rows.iter().filter(|row| died(row, time)).count();
        for k in 0..d {
            let out = if efron { k as f64 / d as f64 } else { 0.0 };
            let share = |other: &Row| risk(other) * if died(other, time) { 1.0 - out } else { 1.0 };
            let set: Vec<&Row> = rows.iter().filter(|other| at_risk(other, time)).collect();
            let s0: f64 = set.iter().map(|other| share(other)).sum();
            for (j, sum) in sum.iter_mut().enumerate() {
                let mean = set.iter().map(|other| share(other) * other.x[j]).sum::<f64>() / s0;
                let met = if died(own, time) { (own.x[j] - mean) / d as f64 } else { 0.0 };
                *sum += met - share(own) / s0 * (own.x[j] - mean);
            }
        }
    }
    sum
}

fn concordance_by_definition(rows: &[Row], beta: [f64; 2]) -> [f64; 3] {
    let eta = |row: &Row| row.x[0] * beta[0] + row.x[1] * beta[1];
    let mut counts = [0.0; 3];
    for dead in rows.iter().filter(|row| row.event) {
        for other in rows.iter().filter(|other| at_risk(other, dead.stop) && !died(other, dead.stop)) {
            let apart = eta(dead) - eta(other);
            let place = if apart.abs() < 1e-9 {
                1
            } else if apart > 0.0 {
                0
            } else {
                2
            };
            counts[place] += 1.0;
        }
    }
    counts
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

    #[test]
    fn curve_and_hazard(rows in rows()) {
        let columns = Columns::of(&rows);
        let curve = KaplanMeier::of(&columns.spells(), &Interval::default());
        let hazard = nelson_aalen(&columns.spells(), HazardTies::Together);
        let (mut survival, mut sum) = (1.0, 0.0);
        for (at, time) in times(&rows).into_iter().enumerate() {
            let (n, d) = (count(&rows, |row| at_risk(row, time)), count(&rows, |row| died(row, time)));
            survival *= 1.0 - d / n;
            sum += d / n;
            prop_assert!(near(curve.points[at].survival, survival) && near(hazard[at].hazard, sum));
            prop_assert_eq!((curve.points[at].at_risk, curve.points[at].events), (n, d));
        }
        // The jackknife by the change of the curve when one cluster weighs slightly more.
        let grouped = KaplanMeier::clustered(&columns.spells(), &columns.cluster, &Interval::default()).unwrap();
        let last = grouped.points.iter().rposition(|point| point.survival > 0.05);
        if let Some(last) = last {
            let small = 1e-6;
            let mut squares = 0.0;
            for cluster in 0..8 {
                let bent = |sign: f64| {
                    let weight: Vec<f64> = rows.iter().map(|row| if row.cluster == cluster { 1.0 + sign * small } else { 1.0 }).collect();
                    KaplanMeier::of(&columns.spells().weighted(&weight).unwrap(), &Interval::default()).points[last].survival
                };
                squares += ((bent(1.0) - bent(-1.0)) / (2.0 * small)).powi(2);
            }
            // Central differences with a step of 1e-6 are good to about 1e-9.
            prop_assert!((grouped.points[last].std_err - squares.sqrt()).abs() < 1e-7);
        }
    }

    #[test]
    fn log_rank(rows in rows()) {
        let columns = Columns::of(&rows);
        let Ok(test) = logrank(&columns.spells(), &columns.group, 3, None, Weighting::Gehan) else { return Ok(()) };
        let mut difference = [0.0; 3];
        for time in times(&rows) {
            let (n, d) = (count(&rows, |row| at_risk(row, time)), count(&rows, |row| died(row, time)));
            for (group, difference) in difference.iter_mut().enumerate() {
                let own = |row: &Row| row.group == group as u32;
                let seen = count(&rows, |row| own(row) && died(row, time));
                *difference += n * (seen - d * count(&rows, |row| own(row) && at_risk(row, time)) / n);
            }
        }
        for (ours, theirs) in test.groups.iter().zip(difference) {
            prop_assert!(near(ours.observed - ours.expected, theirs));
        }
    }

    #[test]
    fn incidence(rows in rows()) {
        let columns = Columns::of(&rows);
        let data = CompetingRisks::new(&columns.stop, &columns.cause, 2).unwrap().entering(&columns.start).unwrap();
        let curve = &cumulative_incidence(&data, &Interval::default())[0];
        // The variance by its sum over times (Marubini and Valsecchi 1995, from memory), quadratic in them.
        let mut steps = Vec::new();
        let (mut survival, mut sum) = (1.0, 0.0);
        for time in times(&rows) {
            let (n, d) = (count(&rows, |row| at_risk(row, time)), count(&rows, |row| died(row, time)));
            let own = count(&rows, |row| died(row, time) && row.cause == 1);
            sum += survival * own / n;
            steps.push((n, d, own, survival, sum));
            survival *= 1.0 - d / n;
            let variance: f64 = steps.iter().map(|(n, d, own, before, at)| {
                let rest = sum - at;
                let tail = if n > d { rest * rest * d / (n * (n - d)) } else { 0.0 };
                tail + before * before * own * (n - own) / n.powi(3) - 2.0 * rest * before * own / (n * n)
            }).sum();
            let point = &curve.points[steps.len() - 1];
            prop_assert!(near(point.incidence, sum));
            prop_assert!((point.std_err.powi(2) - variance).abs() < ROUNDING, "{} {variance}", point.std_err.powi(2));
        }
    }

    #[test]
    fn regression(rows in rows(), efron in any::<bool>()) {
        let columns = Columns::of(&rows);
        let ties = if efron { Ties::Efron } else { Ties::Breslow };
        // Small random sets are often separated or collinear; those are for other tests.
        let Ok(fit) = columns.cox(ties).cluster(&columns.cluster).unwrap().fit() else { return Ok(()) };
        let beta = [fit.terms[0].coef, fit.terms[1].coef];
        prop_assume!(beta.iter().all(|beta| beta.abs() < 5.0));
        let (value, score, information) = cox_by_definition(&rows, beta, efron);
        prop_assert!(near(fit.loglik, value));
        for i in 0..2 {
            prop_assert!(score[i].abs() < 1e-7, "{score:?}");
            for j in 0..2 {
                let product: f64 = (0..2).map(|k| fit.variance.at(i, k) * information[k][j]).sum();
                prop_assert!((product - f64::from(u8::from(i == j))).abs() < 1e-6);
            }
        }
        let residuals = fit.score_residuals();
        for at in 0..rows.len() {
            let slow = residual(&rows, at, beta, efron);
            prop_assert!((0..2).all(|j| near(residuals[at][j], slow[j])), "{at} {:?} {slow:?}", residuals[at]);
        }
        if let Some(concordance) = fit.concordance() {
            let slow = concordance_by_definition(&rows, beta);
            let all = [concordance.concordant, concordance.tied_risk, concordance.discordant];
            // Rows of equal risk by different covariates may fall either way by rounding.
            prop_assert!(all == slow || (all.iter().sum::<f64>() - slow.iter().sum::<f64>()).abs() < 1e-9);
        }
    }

    #[test]
    fn order_scale_and_single_clusters(rows in rows(), seed in any::<u64>()) {
        let columns = Columns::of(&rows);
        let Ok(fit) = columns.cox(Ties::Efron).robust().fit() else { return Ok(()) };
        prop_assume!(fit.terms.iter().all(|term| term.coef.abs() < 5.0));
        let mut mixed = rows.clone();
        let mut state = seed;
        for at in (1..mixed.len()).rev() {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            mixed.swap(at, (state >> 33) as usize % (at + 1));
        }
        let shuffled = Columns::of(&mixed);
        let again = shuffled.cox(Ties::Efron).robust().fit().unwrap();
        let alone: Vec<u32> = (0..rows.len() as u32).rev().collect();
        let singles = columns.cox(Ties::Efron).cluster(&alone).unwrap().fit().unwrap();
        // Times in another unit, one that is not exact in binary.
        let scaled = Columns { start: columns.start.iter().map(|t| t * 0.1).collect(), stop: columns.stop.iter().map(|t| t * 0.1).collect(), ..Columns::of(&rows) };
        let tenth = scaled.cox(Ties::Efron).robust().fit().unwrap();
        for other in [again, singles, tenth] {
            for (one, two) in fit.terms.iter().zip(&other.terms) {
                prop_assert!(near(two.coef, one.coef) && near(two.robust_se.unwrap(), one.robust_se.unwrap()));
            }
        }
        let (plain, tenth) = (KaplanMeier::of(&columns.spells(), &Interval::default()), KaplanMeier::of(&scaled.spells(), &Interval::default()));
        prop_assert!(near(tenth.restricted_mean(0.8).mean, 0.1 * plain.restricted_mean(8.0).mean));
        let mixed = KaplanMeier::of(&shuffled.spells(), &Interval::default());
        prop_assert_eq!(plain.points, mixed.points);
    }
}
