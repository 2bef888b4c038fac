//! The error of one measurement, and the quantile that its limits need, against statsmodels and scipy.

use crate::reference::{Set, cases, number, same};
use statistics::{agreement::WithinSubject, special::chi2_quantile};

const FILE: &str = "within_subject.json";

#[test]
fn the_error_of_one_measurement_is_that_of_statsmodels() {
    let set = Set::read("repeated");
    let (codes, subjects) = set.codes("subject");
    let mut readings = vec![Vec::new(); subjects];
    for (subject, value) in codes.iter().zip(set.numbers("value")) {
        readings[*subject as usize].push(value);
    }
    for case in cases(FILE, "within") {
        let ours = WithinSubject::of(&readings, number(&case["confidence"])).unwrap();
        assert_eq!((ours.subjects as f64, ours.df as f64), (number(&case["subjects"]), number(&case["df"])));
        same("sd", &case, ours.sd, number(&case["sd"]), 1e-11);
        same("lower", &case, ours.lower, number(&case["lower"]), 1e-10);
        same("upper", &case, ours.upper, number(&case["upper"]), 1e-10);
    }
}

#[test]
fn quantiles_of_chi_squared_are_those_of_scipy() {
    for case in cases(FILE, "chi2_quantile") {
        let ours = chi2_quantile(number(&case["p"]), number(&case["df"]));
        same("quantile", &case, ours, number(&case["value"]), 1e-10);
    }
    assert!(chi2_quantile(f64::NAN, 3.0).is_nan());
    assert_eq!((chi2_quantile(0.0, 3.0), chi2_quantile(1.0, 3.0)), (0.0, f64::INFINITY));
}
