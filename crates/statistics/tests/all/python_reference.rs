//! Survival, regression and kappa against lifelines, scikit-survival and scikit-learn, on data sets that R
//! answers too. Where these differ from R, `reference/README.md` says how and whom ours follows.

use crate::reference::{Set, cases, list, maybe, number, same, same_all, text};
use serde_json::Value;
use statistics::{agreement, regression, survival::*};

const FILE: &str = "survival_py.json";
/// Closed formulas.
const EXACT: f64 = 1e-11;
/// Both sides search for a maximum; scikit-survival and scikit-learn stop within about 1e-12 of it.
const FITTED: f64 = 1e-9;
/// lifelines stops its search earlier on small data: 4e-8 from R's end on the ovarian trial, which is
/// found here as well and says nothing about ours.
const LIFELINES: f64 = 1e-7;

struct Rows {
    start: Option<Vec<f64>>,
    stop: Vec<f64>,
    event: Vec<bool>,
}

impl Rows {
    fn of(case: &Value, set: &Set) -> Self {
        let flags = text(case, "event").map(|name| set.flags(name)).unwrap_or_default();
        let stop = set.numbers(text(case, "time").unwrap());
        Self { start: text(case, "start").map(|name| set.numbers(name)), stop, event: flags }
    }

    fn spells(&self) -> Spells<'_> {
        let spells = Spells::new(&self.stop, &self.event).unwrap();
        match &self.start {
            Some(start) => spells.entering(start).unwrap(),
            None => spells,
        }
    }
}

fn set(case: &Value) -> Set {
    Set::read(text(case, "data").unwrap())
}

fn names(case: &Value) -> Vec<String> {
    case["x"].as_array().unwrap().iter().map(|name| name.as_str().unwrap().to_owned()).collect()
}

#[test]
fn curves_and_hazards_are_those_of_lifelines() {
    let log_log = Interval::new(IntervalScale::LogLog, 0.95).unwrap();
    for case in cases(FILE, "km") {
        let rows = Rows::of(&case, &set(&case));
        let points = KaplanMeier::of(&rows.spells(), &log_log).points;
        let survival: Vec<f64> = points.iter().map(|point| point.survival).collect();
        same_all("survival", &case, &survival, &list(&case["surv"]), EXACT);
        // At 1 and 0 the log-log scale has no limits; lifelines prints 1 and 0 there.
        let (lower, upper) = (maybe(&case["lower"]), maybe(&case["upper"]));
        let within = points.iter().enumerate().filter(|(_, p)| p.survival > 0.0 && p.survival < 1.0);
        for (at, point) in within {
            same("lower", &case, point.lower.unwrap(), lower[at].unwrap(), EXACT);
            same("upper", &case, point.upper.unwrap(), upper[at].unwrap(), EXACT);
        }
    }
    for case in cases(FILE, "hazard") {
        let rows = Rows::of(&case, &set(&case));
        for (ties, key) in [(HazardTies::Together, "together"), (HazardTies::OneByOne, "one_by_one")] {
            let values: Vec<f64> =
                nelson_aalen(&rows.spells(), ties).iter().map(|point| point.hazard).collect();
            same_all(key, &case, &values, &list(&case[key]), EXACT);
        }
    }
    for case in cases(FILE, "rmst") {
        let rows = Rows::of(&case, &set(&case));
        let mean = KaplanMeier::of(&rows.spells(), &log_log).restricted_mean(number(&case["until"])).mean;
        same("restricted mean", &case, mean, number(&case["rmst"]), EXACT);
    }
}

#[test]
fn tests_of_groups_are_those_of_lifelines() {
    for case in cases(FILE, "logrank") {
        let set = set(&case);
        let (rows, (group, groups)) = (Rows::of(&case, &set), set.codes(text(&case, "by").unwrap()));
        let plain = Weighting::FlemingHarrington { rho: 0.0, gamma: 0.0 };
        let test = logrank(&rows.spells(), &group, groups, None, plain).unwrap();
        same("chi-squared", &case, test.chi2, number(&case["chi2"]), 1e-10);
        same("p", &case, test.p, number(&case["p"]), 1e-9);
    }
}

#[test]
fn regressions_are_those_of_lifelines() {
    for case in cases(FILE, "cox") {
        let fit = cox(&case);
        let coef: Vec<f64> = fit.terms.iter().map(|term| term.coef).collect();
        same_all("coefficient", &case, &coef, &list(&case["coef"]), LIFELINES);
        same("likelihood", &case, fit.loglik, number(&case["loglik"]), LIFELINES);
        if text(&case, "cluster").is_none() {
            let se: Vec<f64> = (0..coef.len()).map(|at| fit.variance.at(at, at).sqrt()).collect();
            same_all("standard error", &case, &se, &list(&case["se"]), LIFELINES);
        }
    }
}

#[test]
fn coefficients_are_those_of_scikit_survival_with_either_rule_for_ties() {
    for case in cases(FILE, "cox_coef") {
        let coef: Vec<f64> = cox(&case).terms.iter().map(|term| term.coef).collect();
        same_all("coefficient", &case, &coef, &list(&case["coef"]), FITTED);
    }
}

fn cox(case: &Value) -> CoxFit {
    let names = names(case);
    let set = set(case).complete(&names);
    let rows = Rows::of(case, &set);
    let columns: Vec<Vec<f64>> = names.iter().map(|name| set.numbers(name)).collect();
    let codes = |key: &str| text(case, key).map(|name| set.codes(name).0);
    let (strata, cluster) = (codes("strata"), codes("cluster"));
    let mut cox = Cox::new(rows.spells(), columns.iter().map(Vec::as_slice).collect()).unwrap();
    cox = cox.ties(if text(case, "ties") == Some("breslow") { Ties::Breslow } else { Ties::Efron });
    if let Some(strata) = &strata {
        cox = cox.strata(strata).unwrap();
    }
    if let Some(cluster) = &cluster {
        cox = cox.cluster(cluster).unwrap();
    }
    cox.fit().unwrap()
}

#[test]
fn cumulative_incidence_is_that_of_scikit_survival() {
    for case in cases(FILE, "aj") {
        let set = set(&case);
        let rows = Rows::of(&case, &set);
        let cause = set.numbers(text(&case, "cause").unwrap()).into_iter().map(|code| code as u32);
        let cause: Vec<u32> = cause.collect();
        let most = cause.iter().copied().max().unwrap() as usize;
        let data = CompetingRisks::new(&rows.stop, &cause, most).unwrap();
        let curves = cumulative_incidence(&data, &Interval::new(IntervalScale::LogLog, 0.95).unwrap());
        for (at, curve) in curves.iter().enumerate() {
            let incidence: Vec<f64> = curve.points.iter().map(|point| point.incidence).collect();
            same_all("incidence", &case, &incidence, &list(&case["incidence"][at]), EXACT);
        }
    }
}

#[test]
fn logistic_regression_is_that_of_scikit_learn() {
    for case in cases(FILE, "logistic") {
        let (set, names) = (set(&case), names(&case));
        let columns: Vec<Vec<f64>> = names.iter().map(|name| set.numbers(name)).collect();
        let rows = columns[0].len();
        let data = regression::Covariates::new(rows, columns.iter().map(Vec::as_slice).collect()).unwrap();
        let fit = regression::logistic(&data, &set.flags(text(&case, "y").unwrap())).unwrap();
        let coef: Vec<f64> = fit.terms.iter().map(|term| term.coef).collect();
        same_all("coefficient", &case, &coef, &list(&case["coef"]), FITTED);
    }
}

#[test]
fn kappa_is_that_of_scikit_learn() {
    let set = Set::read("two_raters");
    let codes = |name: &str| set.numbers(name).into_iter().map(|code| code as u32).collect::<Vec<_>>();
    for case in cases(FILE, "kappa") {
        let weights = match text(&case, "weights") {
            Some("linear") => agreement::Weights::Linear,
            Some("quadratic") => agreement::Weights::Quadratic,
            _ => agreement::Weights::Identity,
        };
        let ours = agreement::kappa(&codes("one"), &codes("two"), 5, weights, 0.95).unwrap();
        same("kappa", &case, ours.kappa.value, number(&case["value"]), EXACT);
    }
}
