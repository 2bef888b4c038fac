//! Gray's test against cmprsk, against its definition computed slowly, and by simulation.

// Plainly: indices as in the formulas.
#![allow(clippy::needless_range_loop)]

use crate::reference::{Set, cases, list, number, same, text};
use proptest::prelude::*;
use serde_json::Value;
use statistics::{StatError, survival::*};

struct Rows {
    stop: Vec<f64>,
    cause: Vec<u32>,
    group: Vec<u32>,
    groups: usize,
    strata: Option<Vec<u32>>,
}

impl Rows {
    fn of(case: &Value) -> Self {
        let set = Set::read(text(case, "data").unwrap());
        let (group, groups) = set.codes(text(case, "by").unwrap());
        Self {
            stop: set.numbers(text(case, "time").unwrap()),
            cause: set.numbers(text(case, "cause").unwrap()).into_iter().map(|code| code as u32).collect(),
            group,
            groups,
            strata: text(case, "strata").map(|name| set.codes(name).0),
        }
    }

    fn test(&self, cause: u32, rho: f64) -> GrayTest {
        let data = CompetingRisks::new(&self.stop, &self.cause, 2).unwrap();
        gray_test(&data, cause, &self.group, self.groups, self.strata.as_deref(), rho).unwrap()
    }
}

#[test]
fn as_cmprsk_without_ties() {
    let mut compared = 0;
    for case in cases("gray.json", "gray") {
        let rows = Rows::of(&case);
        for (at, cause) in list(&case["causes"]).into_iter().enumerate() {
            let test = rows.test(cause as u32, number(&case["rho"]));
            // Measured: 1e-13. The reference prints 15 digits.
            same("chi-squared", &case, test.chi2, list(&case["chi2"])[at], 1e-11);
            same("p", &case, test.p, list(&case["p"])[at], 1e-11);
            assert_eq!(test.df as f64, list(&case["df"])[at]);
            compared += 1;
        }
    }
    assert_eq!(compared, 32, "16 calls, 2 causes each");
}

/// With ties cmprsk follows a rule of its own. The README shows both values; this holds the table to the
/// results.
#[test]
fn with_ties_the_readme_shows_the_difference_from_cmprsk() {
    let readme = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/README.md")).unwrap();
    let mut rows = Vec::new();
    for case in cases("survival.json", "gray") {
        let by = text(&case, "by").unwrap();
        let strata = text(&case, "strata").unwrap_or("–");
        for (at, cause) in list(&case["causes"]).into_iter().enumerate() {
            let (rho, theirs) = (number(&case["rho"]), list(&case["chi2"])[at]);
            let test = Rows::of(&case).test(cause as u32, rho);
            assert_eq!(test.df as f64, list(&case["df"])[at]);
            let apart = 100.0 * (test.chi2 - theirs) / theirs;
            assert!((-3.0..0.0).contains(&apart), "{apart} % at {}", case["call"]);
            let data = text(&case, "data").unwrap();
            rows.push(format!(
                "| `{data}` | {by} | {strata} | {rho} | {cause} | {theirs:.4} | {:.4} | {apart:.1} % |",
                test.chi2
            ));
        }
    }
    let missing: Vec<&String> = rows.iter().filter(|row| !readme.contains(row.as_str())).collect();
    assert!(missing.is_empty(), "the table in README.md should be:\n{}", rows.join("\n"));
}

#[derive(Debug, Clone)]
struct Row {
    start: f64,
    stop: f64,
    cause: u32,
    group: u32,
}

/// Whole times in a short range, so ties are heavy; some rows enter late.
fn rows() -> impl Strategy<Value = Vec<Row>> {
    let row = (1_u32..14, 0_u32..20, 0_u32..3, 0_u32..3).prop_map(|(stop, start, cause, group)| Row {
        start: if start < stop { f64::from(start) - 1.0 } else { -1.0 },
        stop: f64::from(stop),
        cause,
        group,
    });
    proptest::collection::vec(row, 20..60)
}

fn count(rows: &[Row], keep: impl Fn(&Row) -> bool) -> f64 {
    rows.iter().filter(|row| keep(row)).count() as f64
}

fn at_risk(row: &Row, time: f64) -> bool {
    row.start < time && time <= row.stop
}

/// The curves of one group: S and G just before each of the times, and after the last.
fn curves(rows: &[Row], times: &[f64], group: u32) -> Vec<(f64, f64)> {
    let mut curves = vec![(1.0, 0.0)];
    let own = |row: &Row| row.group == group;
    for time in times {
        let (survival, incidence) = curves[curves.len() - 1];
        let n = count(rows, |row| own(row) && at_risk(row, *time));
        let ended = |cause: u32| count(rows, |row| own(row) && row.stop == *time && row.cause == cause);
        let (d, all) = (ended(1), ended(1) + ended(2));
        let step = if n > 0.0 { (d / n, all / n) } else { (0.0, 0.0) };
        curves.push((survival * (1.0 - step.1), incidence + survival * step.0));
    }
    curves
}

/// Scores and covariance with the sums over later times written out, before they are joined into one.
fn by_definition(rows: &[Row], rho: f64) -> ([f64; 3], [[f64; 3]; 3]) {
    let mut times: Vec<f64> = rows.iter().map(|row| row.stop).collect();
    times.sort_by(f64::total_cmp);
    times.dedup();
    let last = times.len();
    let curves: Vec<Vec<(f64, f64)>> = (0..3).map(|group| curves(rows, &times, group)).collect();
    let takes_part = |j: usize, t: usize| curves[j][t].0 > 1e-12;
    let n = |j: usize, t: usize| count(rows, |row| row.group == j as u32 && at_risk(row, times[t]));
    let h = |j: usize, t: usize| if takes_part(j, t) { n(j, t) / curves[j][t].0 } else { 0.0 };
    let r = |j: usize, t: usize| h(j, t) * (1.0 - curves[j][t].1);
    let ended = |j: usize, t: usize, cause: u32| {
        let own = |row: &Row| row.group == j as u32 && row.stop == times[t] && row.cause == cause;
        if takes_part(j, t) { count(rows, own) } else { 0.0 }
    };
    let all = |t: usize, value: &dyn Fn(usize, usize) -> f64| (0..3).map(|j| value(j, t)).sum::<f64>();
    let events = |t: usize| all(t, &|j, t| ended(j, t, 1));
    let mut pooled = vec![0.0];
    for t in 0..last {
        let step = if events(t) > 0.0 { events(t) / all(t, &h) } else { 0.0 };
        pooled.push(pooled[t] + step);
    }
    let step = |t: usize| pooled[t + 1] - pooled[t];
    let hazard = |t: usize| if pooled[t] < 1.0 { step(t) / (1.0 - pooled[t]) } else { 0.0 };
    let weight = |t: usize| f64::max(1.0 - pooled[t], 0.0).powf(rho);
    let same = |k: usize, j: usize| f64::from(u8::from(k == j));
    let d = |k: usize, j: usize, t: usize| {
        if h(j, t) == 0.0 { 0.0 } else { weight(t) * h(j, t) * (same(k, j) - h(k, t) / all(t, &h)) }
    };
    let d: Vec<Vec<Vec<f64>>> =
        (0..3).map(|k| (0..3).map(|j| (0..last).map(|t| d(k, j, t)).collect()).collect()).collect();
    let (mut scores, mut variance) = ([0.0; 3], [[0.0; 3]; 3]);
    for u in 0..last {
        if events(u) > 0.0 {
            for k in 0..3 {
                scores[k] += weight(u) * (ended(k, u, 1) - r(k, u) * events(u) / all(u, &r));
            }
        }
        for j in (0..3).filter(|j| h(*j, u) > 0.0) {
            let (own, mut of_cause, mut of_others) = (h(j, u), [0.0; 3], [0.0; 3]);
            let after = curves[j][u + 1].0;
            for k in 0..3 {
                // d dX(t) and d X(t−) dΓ, one after the other.
                let mut later = 0.0;
                let mut alone = 0.0;
                for t in (u + 1..last).filter(|_| after > 1e-12) {
                    let risen = f64::min(pooled[t], 1.0) - f64::min(pooled[u + 1], 1.0);
                    let free = f64::max(1.0 - pooled[t], 0.0);
                    later -= d[k][j][t] * (free * hazard(t) / after + hazard(t) * risen / after);
                    alone += d[k][j][t] * hazard(t);
                }
                of_cause[k] = d[k][j][u] + alone + later;
                of_others[k] = later;
            }
            for k in 0..3 {
                for l in 0..3 {
                    variance[k][l] += of_cause[k] * of_cause[l] * step(u) / own
                        + of_others[k] * of_others[l] * ended(j, u, 2) / (own * own);
                }
            }
        }
    }
    (scores, variance)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

    #[test]
    fn as_by_definition(rows in rows(), rho in 0_u8..3) {
        let rho = f64::from(rho) * 0.5;
        let stop: Vec<f64> = rows.iter().map(|row| row.stop).collect();
        let start: Vec<f64> = rows.iter().map(|row| row.start).collect();
        let cause: Vec<u32> = rows.iter().map(|row| row.cause).collect();
        let group: Vec<u32> = rows.iter().map(|row| row.group).collect();
        let data = CompetingRisks::new(&stop, &cause, 2).unwrap().entering(&start).unwrap();
        let Ok(test) = gray_test(&data, 1, &group, 3, None, rho) else { return Ok(()) };
        let (scores, variance) = by_definition(&rows, rho);
        for k in 0..3 {
            prop_assert!((test.scores[k] - scores[k]).abs() < 1e-9, "{:?} {scores:?}", test.scores);
            for l in 0..3 {
                let (ours, slow) = (test.variance.at(k, l), variance[k][l]);
                prop_assert!((ours - slow).abs() < 1e-8 * (1.0 + slow.abs()), "{k} {l} {ours} {slow}");
            }
        }
    }

    #[test]
    fn without_other_causes_the_scores_are_those_of_the_logrank_test(rows in rows()) {
        let stop: Vec<f64> = rows.iter().map(|row| row.stop).collect();
        let cause: Vec<u32> = rows.iter().map(|row| row.cause.min(1)).collect();
        let event: Vec<bool> = cause.iter().map(|cause| *cause == 1).collect();
        let group: Vec<u32> = rows.iter().map(|row| row.group).collect();
        let data = CompetingRisks::new(&stop, &cause, 1).unwrap();
        let Ok(test) = gray_test(&data, 1, &group, 3, None, 0.0) else { return Ok(()) };
        let logrank = logrank(&Spells::new(&stop, &event).unwrap(), &group, 3, None, Weighting::LogRank).unwrap();
        for (score, count) in test.scores.iter().zip(&logrank.groups) {
            prop_assert!((score - (count.observed - count.expected)).abs() < 1e-10);
        }
    }

    /// Rows in another order, groups under other numbers, and strata that are tested apart and added.
    #[test]
    fn order_numbers_and_strata(rows in rows()) {
        let columns = |rows: &[Row]| -> (Vec<f64>, Vec<u32>, Vec<u32>) {
            (rows.iter().map(|row| row.stop).collect(), rows.iter().map(|row| row.cause).collect(), rows.iter().map(|row| row.group).collect())
        };
        let run = |rows: &[Row], strata: Option<&[u32]>| {
            let (stop, cause, group) = columns(rows);
            gray_test(&CompetingRisks::new(&stop, &cause, 2).unwrap(), 1, &group, 3, strata, 1.0)
        };
        let half = rows.len() / 2;
        let (Ok(whole), Ok(one), Ok(two)) = (run(&rows, None), run(&rows[..half], None), run(&rows[half..], None)) else { return Ok(()) };
        let mut turned = rows.clone();
        turned.reverse();
        turned.iter_mut().for_each(|row| row.group = (row.group + 1) % 3);
        let other = run(&turned, None).unwrap();
        prop_assert_eq!(other.df, whole.df);
        prop_assert!((other.chi2 - whole.chi2).abs() < 1e-8 * (1.0 + whole.chi2));
        let strata: Vec<u32> = (0..rows.len()).map(|row| if row < half { 7 } else { 3 }).collect();
        let both = run(&rows, Some(&strata)).unwrap();
        for k in 0..3 {
            prop_assert!((both.scores[k] - one.scores[k] - two.scores[k]).abs() < 1e-10);
            for l in 0..3 {
                let sum = one.variance.at(k, l) + two.variance.at(k, l);
                prop_assert!((both.variance.at(k, l) - sum).abs() < 1e-10 * (1.0 + sum.abs()));
            }
        }
    }
}

/// Numbers between 0 and 1 (Steele, Lea and Flood 2014, splitmix64).
struct Random(u64);

impl Random {
    fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn exponential(&mut self, rate: f64) -> f64 {
        -(1.0 - self.share()).ln() / rate
    }
}

/// Two groups with one cumulative incidence, 0.4 (1 − e^(−t)), of the cause under test; the other cause
/// comes three times as fast in the second group, and the second group is followed for a shorter time.
fn equal_incidence(random: &mut Random, rows: usize) -> Rows {
    let mut data = Rows { stop: Vec::new(), cause: Vec::new(), group: Vec::new(), groups: 2, strata: None };
    for row in 0..rows {
        let group = (row % 2) as u32;
        let other = 1.0 + 2.0 * f64::from(group);
        let (time, cause) =
            if random.share() < 0.4 { (random.exponential(1.0), 1) } else { (random.exponential(other), 2) };
        let until = random.share() * if group == 0 { 4.0 } else { 2.0 };
        data.stop.push(time.min(until));
        data.cause.push(if time < until { cause } else { 0 });
        data.group.push(group);
    }
    data
}

/// Share of data sets in which p is below 0.05, and the variance of the score over the mean of its
/// estimates.
fn size(seed: u64, sets: usize, change: impl Fn(&mut Rows)) -> (f64, f64) {
    let mut random = Random(seed);
    let (mut below, mut squares, mut estimates) = (0, 0.0, 0.0);
    for _ in 0..sets {
        let mut rows = equal_incidence(&mut random, 100);
        change(&mut rows);
        let test = rows.test(1, 0.0);
        below += usize::from(test.p < 0.05);
        squares += test.scores[0] * test.scores[0];
        estimates += test.variance.at(0, 0);
    }
    (below as f64 / sets as f64, squares / estimates)
}

/// 3000 sets: the standard error of a share of 5 % is 0.4 %, that of the ratio √(2/3000) = 2.6 %. Bounds
/// at about four of them.
#[test]
fn rejects_an_equal_incidence_as_often_as_its_level() {
    let (share, ratio) = size(1988, 3000, |_| ());
    assert!((0.034..0.066).contains(&share), "{share}");
    assert!((0.9..1.1).contains(&ratio), "{ratio}");
}

/// With ten distinct times the variance is too large by some per cent. 12,000 sets: the standard error of
/// the ratio is √(2/12,000) = 1.3 %, that of the share 0.2 %; measured on 20,000 others 0.93 and 4.1 %.
#[test]
fn is_cautious_with_many_ties() {
    let (share, ratio) =
        size(1141, 12_000, |rows| rows.stop.iter_mut().for_each(|stop| *stop = (*stop * 2.5).ceil()));
    assert!((0.033..0.05).contains(&share), "{share}");
    assert!((0.88..0.98).contains(&ratio), "{ratio}");
}

#[test]
fn finds_a_difference() {
    let mut random = Random(7);
    let found = (0..200).filter(|_| {
        let mut rows = equal_incidence(&mut random, 200);
        // In the second group half of the events of the cause become events of the other cause.
        for row in 0..rows.cause.len() {
            if rows.group[row] == 1 && rows.cause[row] == 1 && random.share() < 0.5 {
                rows.cause[row] = 2;
            }
        }
        rows.test(1, 0.0).p < 0.05
    });
    let found = found.count();
    assert!(found > 100, "{found} of 200");
}

/// Group 0 has the other cause at 1, so S = 1/2 from there. At 2, with the event in group 1,
/// h = (1/(1/2), 2/1) = (2, 2) and R = h, so the score of group 0 is −2/4. d = ±2 (1 − 2/4) = ±1,
/// dG₀ = 1/4 = dΓ₀; the cause adds 1² · 1/4 · (1/2 + 1/2) = 1/4. At 1, C = 1/4, q = 1/(1/2) = 2 and
/// dM/h² = 1/4; the other cause adds (1/4 · 2)² / 4 = 1/16. Chi-squared is (1/4)/(5/16) = 4/5.
#[test]
fn by_hand() {
    let data = CompetingRisks::new(&[1.0, 2.0, 3.0, 4.0], &[2, 1, 0, 0], 2).unwrap();
    let test = gray_test(&data, 1, &[0, 1, 0, 1], 2, None, 0.0).unwrap();
    assert!((test.scores[0] + 0.5).abs() < 1e-15 && (test.scores[1] - 0.5).abs() < 1e-15);
    assert!((test.variance.at(0, 0) - 5.0 / 16.0).abs() < 1e-15);
    assert!((test.chi2 - 0.8).abs() < 1e-14 && test.df == 1);
}

/// In group 0 the incidence reaches 0.9 before it ends; the pooled estimate then passes 1 with the two of
/// group 1. The numbers stay finite.
#[test]
fn a_pooled_incidence_beyond_one() {
    let stop: Vec<f64> = (1..=12).map(f64::from).collect();
    let cause = [1, 1, 1, 1, 1, 1, 1, 1, 1, 0, 1, 1];
    let group = [0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 1];
    let data = CompetingRisks::new(&stop, &cause, 1).unwrap();
    for rho in [0.0, 0.5, 1.0] {
        let test = gray_test(&data, 1, &group, 2, None, rho).unwrap();
        assert!(test.chi2.is_finite() && test.chi2 > 0.0 && test.p > 0.0, "{test:?}");
    }
    // cmprsk 2.2.11 gives this for ρ = 1/2.
    let half = gray_test(&data, 1, &group, 2, None, 0.5).unwrap();
    assert!((half.chi2 - 3.427_002_801_098_218_3).abs() < 1e-10, "{half:?}");
}

#[test]
fn what_cannot_be_tested_is_an_error() {
    let stop = [1.0, 2.0, 3.0, 4.0];
    let data = CompetingRisks::new(&stop, &[2, 1, 0, 0], 2).unwrap();
    let run = |cause, group: &[u32], groups, rho| gray_test(&data, cause, group, groups, None, rho);
    assert_eq!(run(1, &[0; 4], 2, 0.0), Err(StatError::OneGroup));
    assert!(matches!(run(0, &[0, 1, 0, 1], 2, 0.0), Err(StatError::Setting { what: "the cause", .. })));
    assert!(matches!(run(3, &[0, 1, 0, 1], 2, 0.0), Err(StatError::Setting { what: "the cause", .. })));
    assert!(matches!(run(1, &[0, 1, 0, 1], 2, f64::NAN), Err(StatError::Setting { what: "rho", .. })));
    assert!(matches!(run(1, &[0, 1, 0, 2], 2, 0.0), Err(StatError::Value { row: 3, .. })));
    assert!(matches!(run(1, &[0, 1, 0], 2, 0.0), Err(StatError::Lengths { .. })));
    let strata = gray_test(&data, 1, &[0, 1, 0, 1], 2, Some(&[0; 3]), 0.0);
    assert!(matches!(strata, Err(StatError::Lengths { what: "the stratum", .. })));
    let none = CompetingRisks::new(&stop, &[2, 0, 0, 0], 2).unwrap();
    assert_eq!(gray_test(&none, 1, &[0, 1, 0, 1], 2, None, 0.0), Err(StatError::NoEvents));
}
