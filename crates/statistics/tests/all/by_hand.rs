//! Answers worked by hand as fractions, and figures from books.

use statistics::{StatError, control::*, regression::*, survival::*};

/// Six subjects: times 1, 1+, 6, 6, 8+, 9 with x = 1, 1, 1, 0, 0, 0, in the manner of the small test data
/// of the R survival package.
const TIME: [f64; 6] = [1.0, 1.0, 6.0, 6.0, 8.0, 9.0];
const EVENT: [bool; 6] = [true, false, true, true, false, true];
const X: [f64; 6] = [1.0, 1.0, 1.0, 0.0, 0.0, 0.0];

fn near(ours: f64, theirs: f64) -> bool {
    (ours - theirs).abs() <= 1e-13 * theirs.abs().max(1.0)
}

#[test]
fn curve_of_six() {
    let curve = KaplanMeier::of(&Spells::new(&TIME, &EVENT).unwrap(), &Interval::default());
    // 6 at risk at 1, 4 at 6, 1 at 9: 5/6, 5/6 · 2/4 = 5/12, 0.
    let survival: Vec<f64> = curve.points.iter().map(|point| point.survival).collect();
    for (ours, theirs) in survival.iter().zip([5.0 / 6.0, 5.0 / 12.0, 5.0 / 12.0, 0.0]) {
        assert!(near(*ours, theirs), "{survival:?}");
    }
    // Greenwood at 6: 1/(6·5) + 2/(4·2) = 17/60.
    assert!(near(curve.points[1].std_err, 5.0 / 12.0 * (17.0_f64 / 60.0).sqrt()));
    assert_eq!(curve.median().time, Some(6.0));
    // Area up to 9: 1 + 5 · 5/6 + 3 · 5/12 = 77/12.
    assert!(near(curve.restricted_mean(9.0).mean, 77.0 / 12.0));
    assert!(near(curve.restricted_mean(0.5).mean, 0.5));
}

#[test]
fn log_rank_of_six() {
    let group = [1, 1, 1, 0, 0, 0];
    let test = logrank(&Spells::new(&TIME, &EVENT).unwrap(), &group, 2, None, Weighting::LogRank).unwrap();
    // x = 1: observed 2; expected 3/6 + 2 · 1/4 = 1. Variance 1/4 + 2 · (2/3) · (1/4) · (3/4) = 1/2.
    assert!(near(test.groups[1].observed, 2.0) && near(test.groups[1].expected, 1.0));
    assert!(near(test.variance.at(0, 0), 0.5) && near(test.chi2, 2.0));
}

#[test]
fn regression_of_six() {
    let cox =
        |ties| Cox::new(Spells::new(&TIME, &EVENT).unwrap(), vec![&X]).unwrap().ties(ties).fit().unwrap();
    // With r = e^β. Breslow: log L = 2β − log(3r + 3) − 2 log(r + 3), whose derivative
    // 2 − 3r/(3r + 3) − 2r/(r + 3) is 0 at r² − r ... : 2 (r + 1)(r + 3) − r (r + 3) − 2r (r + 1) = 0
    // ⇔ 6 + 3r − r² = 0 ⇔ r = (3 + √33)/2.
    let breslow = cox(Ties::Breslow);
    let r = (3.0 + 33.0_f64.sqrt()) / 2.0;
    assert!(near(breslow.terms[0].coef, r.ln()));
    assert!(near(breslow.loglik, 2.0 * r.ln() - (3.0 * r + 3.0).ln() - 2.0 * (r + 3.0).ln()));
    assert!(near(breslow.loglik_null, -(6.0_f64.ln() + 2.0 * 4.0_f64.ln())));
    // Information r/(r + 1)² + 6r/(r + 3)².
    let information = r / (r + 1.0).powi(2) + 6.0 * r / (r + 3.0).powi(2);
    assert!((breslow.variance.at(0, 0) * information - 1.0).abs() < 1e-9);
    // Efron: the second of the two events at 6 has the denominator (r + 3) − (r + 1)/2 = (r + 5)/2, so
    // 2 − r/(r + 1) − r/(r + 3) − r/(r + 5) = 0, a cubic whose root is found here by halving.
    let slope = |r: f64| 2.0 - r / (r + 1.0) - r / (r + 3.0) - r / (r + 5.0);
    let (mut low, mut high) = (1.0, 100.0);
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        if slope(middle) > 0.0 { low = middle } else { high = middle }
    }
    assert!(near(cox(Ties::Efron).terms[0].coef, f64::ln(low)));
    // At β = 0: 2 − (1/2 + 1/4 + 1/4) = 1 in the first, 2 − (1/2 + 1/4 + 1/6) = 13/12 in the second;
    // information 1/4 + 2 · 3/16 = 5/8, and 1/4 + 3/16 + (1/6)(5/6) = 83/144.
    assert!(near(breslow.score.chi2, 1.0 / 0.625));
    assert!(near(cox(Ties::Efron).score.chi2, (13.0_f64 / 12.0).powi(2) / (83.0 / 144.0)));
}

#[test]
fn incidence_of_six() {
    // Causes 1, 0, 2, 1, 0, 2 at the six times: F1 = 1/6, then + 5/6 · 1/4 = 3/8; F2 = 5/24, then + 5/12.
    let data = CompetingRisks::new(&TIME, &[1, 0, 2, 1, 0, 2], 2).unwrap();
    let curves = cumulative_incidence(&data, &Interval::default());
    assert!(near(curves[0].at(1.0), 1.0 / 6.0) && near(curves[0].at(6.0), 3.0 / 8.0));
    assert!(near(curves[1].at(6.0), 5.0 / 24.0) && near(curves[1].at(9.0), 5.0 / 8.0));
    // Variance of F1 at 1: (1/6)(5/6)/6.
    assert!(near(curves[0].points[0].std_err, (5.0_f64 / 216.0).sqrt()));
}

#[test]
fn regressions_in_closed_form() {
    // One yes-or-no covariate: the odds are those of the table 30/10 against 12/28.
    let x: Vec<f64> = (0..80).map(|row| f64::from(u8::from(row < 40))).collect();
    let yes: Vec<bool> = (0..80).map(|row| row < 30 || (40..52).contains(&row)).collect();
    let fit = logistic(&Covariates::new(80, vec![&x]).unwrap(), &yes).unwrap();
    assert!(near(fit.terms[1].coef, (30.0 / 10.0 / (12.0 / 28.0_f64)).ln()));
    // Woolf's variance: the sum of the four reciprocals.
    assert!((fit.terms[1].se.powi(2) - (1.0 / 30.0 + 0.1 + 1.0 / 12.0 + 1.0 / 28.0)).abs() < 1e-10);
    // Without covariates the thresholds are the logits of the cumulative shares.
    let bare = ordinal(&Covariates::new(10, vec![]).unwrap(), &[0, 0, 1, 1, 1, 2, 2, 2, 2, 2], 3).unwrap();
    assert!(near(bare.thresholds[0].coef, (0.2_f64 / 0.8).ln()) && near(bare.thresholds[1].coef, 0.0));
}

#[test]
fn charts_from_books() {
    // Montgomery 2009, table 9.3 (from memory): two-sided, k 1/2: h 4 gives 168 and 8.38; h 5 gives 465
    // and 10.4.
    for (h, still, shifted) in [(4.0, 168.0, 8.38), (5.0, 465.0, 10.4)] {
        let design = Cusum::new(0.5, h).unwrap();
        assert!((design.two_sided_run_length(0.0) / still - 1.0).abs() < 0.005, "{design:?}");
        assert!((design.two_sided_run_length(1.0) / shifted - 1.0).abs() < 0.005, "{design:?}");
    }
    // Swed and Eisenhart 1943 (from memory): ten above and ten below, 2.5 % on each side: below 7 and
    // above 15 runs are unusual.
    let values: Vec<f64> = (0..20).map(|at| f64::from(at % 2)).collect();
    let chart = run_chart(&values).unwrap();
    assert_eq!((chart.expected_runs, chart.runs, chart.unusual_runs), ((7, 15), 20, true));
    let moving = xmr_chart(&[1.0, 2.0]).unwrap();
    // The familiar 2.66 (which is 2.6587 rounded up) and 3.267.
    assert!((moving.values.points[0].upper - 1.5 - 2.66).abs() < 0.002);
    assert!((moving.ranges.points[0].upper - 3.267).abs() < 0.001);
    let shares = p_chart(&[5.0, 5.0], &[50.0, 50.0]).unwrap();
    assert!(
        near(shares.points[0].upper, 0.1 + 3.0 * (0.09_f64 / 50.0).sqrt()) && shares.points[0].lower == 0.0
    );
    assert!(near(u_chart(&[4.0, 4.0], &[2.0, 2.0]).unwrap().points[0].upper, 5.0));
}

/// Draws for the simulations below.
fn dice(seed: u64) -> impl FnMut() -> f64 {
    let mut state = seed;
    move || {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((state >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }
}

#[test]
fn run_length_of_outcomes_is_what_simulation_finds() {
    let design = BernoulliCusum::new(2.0, 2.0).unwrap();
    let computed = design.average_run_length(0.1, 0.2).unwrap();
    let mut unit = dice(7);
    let (mut total, chains) = (0.0, 4_000);
    for _ in 0..chains {
        let mut sum = 0.0_f64;
        while sum <= design.h {
            let yes = unit() < 0.2;
            sum = (sum + if yes { 2.0_f64.ln() } else { 0.0 } - 1.1_f64.ln()).max(0.0);
            total += 1.0;
        }
    }
    // The mean of 4,000 run lengths has a standard error of about 1.6 %.
    assert!(
        (total / f64::from(chains) / computed - 1.0).abs() < 0.05,
        "{} {computed}",
        total / f64::from(chains)
    );
    let limit = BernoulliCusum::limit_for(2.0, 0.1, 1_000.0).unwrap();
    assert!((limit.average_run_length(0.1, 0.1).unwrap() / 1_000.0 - 1.0).abs() < 0.02);
}

#[test]
fn funnel_limits_leave_the_tails_they_promise() {
    for n in [10, 57, 400] {
        let limits = exact_binomial_limits(n, 0.3, 0.025).unwrap();
        let below = (limits.lower * n as f64).ceil() as u64;
        let tail = statistics::special::binomial_tails(below, n, 0.3).0;
        assert!(
            tail >= 0.025 && (below == 0 || statistics::special::binomial_tails(below - 1, n, 0.3).0 < 0.025),
            "{n} {limits:?}"
        );
    }
    // Units far apart: overdispersed, with wider limits; units alike: neither.
    let far = funnel(&[5, 50, 10, 80, 30], &[100, 100, 100, 100, 100], None).unwrap();
    assert!(far.overdispersion > 5.0 && far.between_sd > 0.1);
    assert!(far.units[0].outer_spread.lower < far.units[0].outer.lower);
    let alike = funnel(&[30, 31, 29], &[100, 100, 100], None).unwrap();
    assert!(alike.between_sd == 0.0 && alike.units[0].outer_spread == alike.units[0].outer);
}

#[test]
fn what_cannot_be_computed_is_an_error_with_a_reason() {
    let spells = |stop: &'static [f64], event: &'static [bool]| Spells::new(stop, event);
    assert_eq!(spells(&[], &[]).unwrap_err(), StatError::NoRows);
    assert!(matches!(spells(&[1.0, -2.0], &[true, true]), Err(StatError::NegativeTime { row: 1, .. })));
    assert!(matches!(spells(&[f64::NAN], &[true]), Err(StatError::NotFinite { row: 0, .. })));
    assert!(matches!(spells(&[1.0], &[true, true]), Err(StatError::Lengths { .. })));
    let three = spells(&[1.0, 2.0, 3.0], &[false; 3]).unwrap();
    assert!(matches!(three.entering(&[0.0, 2.0, 0.0]), Err(StatError::EmptySpell { row: 1, .. })));
    assert_eq!(logrank(&three, &[0, 0, 1], 2, None, Weighting::LogRank).unwrap_err(), StatError::NoEvents);
    assert_eq!(Cox::new(three, vec![&[1.0, 2.0, 3.0]]).unwrap_err(), StatError::NoEvents);
    let curve = KaplanMeier::of(&three, &Interval::default());
    assert!(
        curve
            .points
            .iter()
            .all(|point| point.survival == 1.0 && point.std_err == 0.0 && point.lower.is_none())
    );
    assert_eq!(curve.median().time, None);
    let day_zero = Spells::new(&[0.0, 0.0], &[false, false]).unwrap();
    assert_eq!(KaplanMeier::of(&day_zero, &Interval::default()).restricted_mean(0.0).mean, 0.0);
    let one = spells(&[5.0], &[true]).unwrap();
    assert_eq!(KaplanMeier::of(&one, &Interval::default()).survival_at(5.0), 0.0);
    assert!(matches!(logrank(&one, &[0], 2, None, Weighting::LogRank), Err(StatError::OneGroup)));
}

#[test]
fn covariates_without_an_estimate_are_named() {
    let stop = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0];
    let event = [true, true, true, true, false, true, false, true];
    let spells = Spells::new(&stop, &event).unwrap();
    let x = [3.0, 1.0, 4.0, 1.0, 5.0, 9.0, 2.0, 6.0];
    let fit = |columns: Vec<&[f64]>| Cox::new(spells, columns).unwrap().fit().err();
    assert_eq!(fit(vec![&x, &[7.0; 8]]), Some(StatError::Constant { column: 1 }));
    let double: Vec<f64> = x.iter().map(|x| 2.0 * x - 1.0).collect();
    assert_eq!(fit(vec![&x, &double]), Some(StatError::Collinear { column: 1 }));
    // Everyone with the higher value has the event before anyone with the lower one.
    let early = [1.0, 1.0, 1.0, 1.0, 0.0, 0.0, 0.0, 0.0];
    assert_eq!(fit(vec![&x, &early]), Some(StatError::Separated { columns: vec![1] }));
    let words = fit(vec![&x, &early]).unwrap().to_string();
    assert!(words.contains("covariate 2 separates the outcome perfectly"), "{words}");
    // Constant within each stratum.
    let strata = [0, 0, 0, 0, 1, 1, 1, 1];
    let within = Cox::new(spells, vec![&early]).unwrap().strata(&strata).unwrap().fit().err();
    assert_eq!(within, Some(StatError::Uninformative { column: 0 }));
    let yes = [true, true, true, true, false, false, false, false];
    let data = |columns| Covariates::new(8, columns).unwrap();
    assert_eq!(
        logistic(&data(vec![&x, &early]), &yes).err(),
        Some(StatError::Separated { columns: vec![1] })
    );
    assert_eq!(logistic(&data(vec![&x]), &[true; 8]).err(), Some(StatError::OneOutcome));
    assert_eq!(
        ordinal(&data(vec![&stop]), &[0, 0, 0, 1, 1, 1, 2, 2], 3).err(),
        Some(StatError::Separated { columns: vec![0] })
    );
    assert_eq!(negative_binomial(&data(vec![&x]), &[4.0; 8]).err(), Some(StatError::NotOverdispersed));
    assert!(negative_binomial(&data(vec![&x]), &[4.5; 8]).is_err());
}
