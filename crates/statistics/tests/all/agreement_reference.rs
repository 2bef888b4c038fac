//! Agreement, and the special functions, against R and Python.

use crate::reference::{Set, cases, list, number, same, same_all, text};
use statistics::{agreement::*, special};

/// Closed formulas; the references print 15 digits.
const EXACT: f64 = 1e-11;
/// Limits by quantiles of F and t whose own accuracy in R is about 1e-12, magnified near 1.
const LIMITS: f64 = 1e-9;

fn weights(word: &str) -> Weights {
    match word {
        "linear" => Weights::Linear,
        "quadratic" => Weights::Quadratic,
        _ => Weights::Identity,
    }
}

#[test]
fn two_raters() {
    let set = Set::read("two_raters");
    let codes = |name: &str| set.numbers(name).into_iter().map(|code| code as u32).collect::<Vec<_>>();
    for case in cases("agreement_py.json", "kappa") {
        let ours =
            kappa(&codes("one"), &codes("two"), 5, weights(text(&case, "weights").unwrap()), 0.95).unwrap();
        same("kappa", &case, ours.kappa.value, number(&case["value"]), EXACT);
        same("standard error", &case, ours.kappa.std_err, number(&case["se"]), EXACT);
        same("null standard error", &case, ours.null_std_err, number(&case["null_se"]), EXACT);
        same("lower", &case, ours.kappa.lower, number(&case["lower"]), EXACT);
        same("upper", &case, ours.kappa.upper, number(&case["upper"]), EXACT);
        same("z", &case, ours.z, number(&case["z"]), EXACT);
    }
}

#[test]
fn several_raters() {
    let set = Set::read("ratings");
    let mut ratings = Vec::new();
    for rater in 1..=5 {
        for (subject, category) in set.numbers(&format!("r{rater}")).into_iter().enumerate() {
            if category >= 0.0 {
                ratings.push((subject, category as u32));
            }
        }
    }
    let table = RatingTable::new(&ratings, 4).unwrap();
    for case in cases("agreement_py.json", "several") {
        let chance = if text(&case, "chance") == Some("gwet") {
            ChanceAgreement::Gwet
        } else {
            ChanceAgreement::Fleiss
        };
        let ours = table.agreement(chance, weights(text(&case, "weights").unwrap()), 0.95).unwrap();
        for (what, ours) in [
            ("value", ours.value),
            ("se", ours.std_err),
            ("lower", ours.lower),
            ("upper", ours.upper),
            ("observed", ours.observed),
            ("expected", ours.expected),
        ] {
            let tolerance = if matches!(what, "lower" | "upper") { LIMITS } else { EXACT };
            same(what, &case, ours, number(&case[what]), tolerance);
        }
    }
}

#[test]
fn intraclass_correlation() {
    for case in cases("agreement_r.json", "icc") {
        let set = Set::read(text(&case, "data").unwrap());
        let names: &[&str] =
            if text(&case, "data") == Some("measured") { &["a", "b", "c"] } else { &["a", "b", "c", "d"] };
        let columns: Vec<Vec<f64>> = names.iter().map(|name| set.numbers(name)).collect();
        let values: Vec<f64> =
            (0..columns[0].len()).flat_map(|row| columns.iter().map(move |c| c[row])).collect();
        let icc = Icc::of(&values, names.len(), 0.95).unwrap();
        let column = |value: fn(&IccForm) -> f64| icc.forms.iter().map(value).collect::<Vec<_>>();
        same_all("value", &case, &column(|form| form.value), &list(&case["value"]), EXACT);
        same_all("F", &case, &column(|form| form.f), &list(&case["f"]), EXACT);
        same_all("p", &case, &column(|form| form.p), &list(&case["p"]), LIMITS);
        same_all("lower", &case, &column(|form| form.lower), &list(&case["lower"]), LIMITS);
        same_all("upper", &case, &column(|form| form.upper), &list(&case["upper"]), LIMITS);
    }
}

#[test]
fn limits_of_agreement() {
    let set = Set::read("measured");
    for case in cases("agreement_r.json", "bland_altman") {
        let ours = bland_altman(&set.numbers("a"), &set.numbers("b"), 0.95, 0.95).unwrap();
        for (what, limit) in [("bias", ours.bias), ("lower", ours.lower), ("upper", ours.upper)] {
            same(what, &case, limit.value, number(&case[what]), EXACT);
            let key = format!("{what}_ci");
            same_all(&key, &case, &[limit.lower, limit.upper], &list(&case[&key]), EXACT);
        }
    }
}

#[test]
fn special_functions() {
    let case = &cases("agreement_r.json", "functions")[0];
    let q = list(&case["q"]);
    let over = |at: &[f64], f: &dyn Fn(f64) -> f64| at.iter().map(|x| f(*x)).collect::<Vec<_>>();
    let check =
        |key: &str, ours: Vec<f64>, tolerance: f64| same_all(key, case, &ours, &list(&case[key]), tolerance);
    check("qnorm", over(&q, &special::normal_quantile), 1e-12);
    check("pnorm", over(&[-30.0, -8.0, -1.96, -0.1, 0.0, 0.7, 3.0, 8.0], &special::normal_cdf), 1e-12);
    let x = [0.001, 0.5, 1.0, 3.84, 20.0, 100.0, 700.0];
    check("chi2", over(&x, &|x| special::chi2_upper(x, 1.0)), 1e-12);
    check("chi2_7", over(&x, &|x| special::chi2_upper(x, 7.0)), 1e-12);
    // R's own quantiles of t are good to about 1e-11 near the middle.
    check("qt_3", over(&q, &|p| special::t_quantile(p, 3.0)), 1e-9);
    check("qt_41", over(&q, &|p| special::t_quantile(p, 41.5)), 1e-9);
    check("pt", over(&[0.01, 0.5, 2.0, 9.0, 40.0], &|t| special::t_two_sided(t, 5.5)), 1e-11);
    check("qf", over(&q, &|p| special::f_quantile(p, 5.0, 12.25)), 1e-9);
    check("pf", over(&[0.01, 0.5, 1.0, 3.0, 30.0, 500.0], &|f| special::f_upper(f, 5.0, 12.25)), 1e-11);
    let binomial: Vec<f64> = (0..=12).map(|k| special::binomial_tails(k, 12, 0.37).0).collect();
    check("pbinom", binomial, 1e-11);
    let big = [400, 450, 500, 550, 600].map(|k| special::binomial_tails(k, 1000, 0.5).0);
    check("pbinom_big", big.to_vec(), 1e-10);
    check("lgamma", over(&[1e-8, 0.5, 1.5, 3.7, 14.9, 200.0, 1e6], &special::ln_gamma), 1e-13);
    check("digamma", over(&[1e-3, 0.5, 1.4616, 3.7, 14.9, 200.0, 1e6], &special::digamma), 1e-11);
    check("trigamma", over(&[1e-3, 0.5, 1.5, 3.7, 14.9, 200.0, 1e6], &special::trigamma), 1e-12);
}
