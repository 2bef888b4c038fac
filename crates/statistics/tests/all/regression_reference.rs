//! Every regression against R.

use crate::reference::{Set, cases, list, number, same, same_all, text};
use serde_json::Value;
use statistics::regression::*;

/// Both sides search for a maximum and stop within a step of about 1e-10 of it.
const FITTED: f64 = 1e-9;

fn fit<T>(case: &Value, run: impl Fn(&Set, Covariates) -> T) -> T {
    let set = Set::read(text(case, "data").unwrap());
    let names: Vec<&str> = case["x"].as_array().unwrap().iter().map(|x| x.as_str().unwrap()).collect();
    let columns: Vec<Vec<f64>> = names.iter().map(|name| set.numbers(name)).collect();
    let rows = columns[0].len();
    let offset = text(case, "offset").map(|name| set.numbers(name));
    let cluster = text(case, "cluster").map(|name| set.codes(name).0);
    let mut data = Covariates::new(rows, columns.iter().map(Vec::as_slice).collect()).unwrap().robust();
    if let Some(offset) = &offset {
        data = data.offset(offset).unwrap();
    }
    if let Some(cluster) = &cluster {
        data = data.cluster(cluster).unwrap();
    }
    run(&set, data)
}

fn check(case: &Value, fit: &RegressionFit) {
    let coef: Vec<f64> = fit.terms.iter().map(|term| term.coef).collect();
    same_all("coefficient", case, &coef, &list(&case["coef"]), FITTED);
    same_all("variance", case, fit.variance.values(), &list(&case["variance"]), FITTED);
    same_all("robust", case, fit.robust_variance.as_ref().unwrap().values(), &list(&case["robust"]), FITTED);
    same("likelihood", case, fit.loglik, number(&case["loglik"]), FITTED);
    if !case["loglik_null"].is_null() {
        same("null likelihood", case, fit.loglik_null, number(&case["loglik_null"]), FITTED);
    }
}

#[test]
fn yes_or_no() {
    for case in cases("regression.json", "logistic") {
        let y = text(&case, "y").unwrap();
        check(&case, &fit(&case, |set, data| logistic(&data, &set.flags(y)).unwrap()));
    }
}

#[test]
fn ordered_levels() {
    for case in cases("regression.json", "ordinal") {
        let y = text(&case, "y").unwrap();
        let model = fit(&case, |set, data| {
            let (level, levels) = set.codes(y);
            ordinal(&data, &level, levels).unwrap()
        });
        let thresholds: Vec<f64> = model.thresholds.iter().map(|term| term.coef).collect();
        same_all("threshold", &case, &thresholds, &list(&case["thresholds"]), FITTED);
        check(&case, &model.fit);
    }
}

#[test]
fn counts() {
    for case in cases("regression.json", "negbin") {
        let y = text(&case, "y").unwrap();
        let model = fit(&case, |set, data| negative_binomial(&data, &set.numbers(y)).unwrap());
        same("theta", &case, model.theta, number(&case["theta"]), FITTED);
        same("its standard error", &case, model.theta_se, number(&case["theta_se"]), FITTED);
        check(&case, &model.fit);
    }
}
