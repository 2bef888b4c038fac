//! `survival` and `agreement` on the tables of `reference/data`, by running the program: every printed number is
//! compared with the result of R and of the Python libraries for the same call. The reference files contain the
//! provenance of every result.

use crate::commands::{PROGRAM, code, err, out};
use serde_json::Value;
use std::{fs, path::PathBuf, process::Command};

/// The program and the references compute the same formulas in double precision; sums over some hundred
/// rows in another order differ in the last few digits.
const RELATIVE: f64 = 1e-8;
/// Below this both count as zero.
const ABSOLUTE: f64 = 1e-10;

fn reference(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../reference").join(name)
}

fn cases(file: &str, kind: &str) -> Vec<Value> {
    let whole: Value = serde_json::from_str(&fs::read_to_string(reference(file)).unwrap()).unwrap();
    assert!(whole["provenance"]["date"].is_string());
    let found: Vec<Value> =
        whole["cases"].as_array().unwrap().iter().filter(|case| case["kind"] == kind).cloned().collect();
    assert!(!found.is_empty(), "no case of kind {kind} in {file}");
    found
}

/// Options that the command needs for a case; `None` where it has no such option (weights, offsets, rho).
struct Call {
    args: Vec<String>,
    name: String,
}

impl Call {
    fn survival(case: &Value) -> Self {
        let name = format!("{} {}", case["data"], case["call"]);
        let mut call = Self { args: vec!["survival".into()], name };
        call.args.push(reference(&format!("data/{}.csv", text(&case["data"]))).to_str().unwrap().into());
        call.column("--time", &case["time"]);
        for (option, key) in [
            ("--event", "event"),
            ("--event", "cause"),
            ("--start", "start"),
            ("--cluster", "cluster"),
            ("--strata", "strata"),
        ] {
            call.column(option, &case[key]);
        }
        call
    }

    fn column(&mut self, option: &str, value: &Value) {
        if let Some(value) = value.as_str() {
            self.with(&[option, value]);
        }
    }

    fn with(&mut self, args: &[&str]) -> &mut Self {
        self.args.extend(args.iter().map(|arg| (*arg).to_owned()));
        self
    }

    fn answer(&self) -> Value {
        let output = Command::new(PROGRAM).args(&self.args).arg("--json").output().unwrap();
        assert_eq!(code(&output), 0, "{}: {}{}", self.name, out(&output), err(&output));
        serde_json::from_str(&out(&output)).unwrap()
    }

    /// Compares one number; an answer of null only where the reference has none either.
    fn same(&self, what: &str, ours: &Value, theirs: &Value) {
        let (Some(ours), Some(theirs)) = (ours.as_f64(), theirs.as_f64()) else {
            assert!(no_number(ours) && no_number(theirs), "{} {what}: {ours} against {theirs}", self.name);
            return;
        };
        let apart = (ours - theirs).abs();
        let close = apart <= ABSOLUTE || apart <= RELATIVE * theirs.abs();
        assert!(close, "{} {what}: {ours} against {theirs}", self.name);
    }
}

fn no_number(value: &Value) -> bool {
    value.is_null() || value.is_string()
}

fn text(value: &Value) -> &str {
    value.as_str().unwrap()
}

fn list(value: &Value) -> Vec<Value> {
    value.as_array().cloned().unwrap_or_else(|| vec![value.clone()])
}

fn has(case: &Value, key: &str) -> bool {
    !case[key].is_null()
}

#[test]
fn curves_are_those_of_r_survfit() {
    let mut points = 0;
    for case in cases("survival.json", "km").iter().filter(|case| !has(case, "weight")) {
        let mut call = Call::survival(case);
        call.with(&["--conf", text(&case["conf"])]);
        call.with(&["--tau", &case["rmean_to"].to_string()]);
        let group = call.answer()["groups"][0].clone();
        for key in ["median", "median_lower", "median_upper"] {
            call.same(key, &group[key], &case[key]);
        }
        call.same("rmst", &group["rmst"], &case["rmean"]);
        if !has(case, "cluster") {
            call.same("rmst_std_err", &group["rmst_std_err"], &case["rmean_se"]);
        }
        let ours = group["points"].as_array().unwrap();
        assert_eq!(ours.len(), list(&case["times"]).len(), "{}", call.name);
        for (index, point) in ours.iter().enumerate() {
            for (key, theirs) in
                [("time", "times"), ("at_risk", "at_risk"), ("events", "events"), ("survival", "surv")]
            {
                call.same(key, &point[key], &case[theirs][index]);
            }
            let survival = point["survival"].as_f64().unwrap();
            if survival > 0.0 {
                call.same("std_err", &point["std_err"], &case["std_err"][index]);
            }
            // At 1 and 0 the transformed scales give no limits; R prints 1 or NA there.
            if survival > 0.0 && survival < 1.0 {
                call.same("lower", &point["lower"], &case["lower"][index]);
                call.same("upper", &point["upper"], &case["upper"][index]);
            }
            points += 1;
        }
    }
    assert!(points > 500, "only {points} points were compared");
}

#[test]
fn tests_of_groups_are_those_of_r_survdiff() {
    let mut compared = 0;
    for case in cases("survival.json", "logrank").iter().filter(|case| case["rho"] == 0) {
        let mut call = Call::survival(case);
        call.column("--by", &case["by"]);
        let answer = call.answer()["logrank"].clone();
        for key in ["chi2", "df", "p"] {
            call.same(key, &answer[key], &case[key]);
        }
        for (index, group) in list(&answer["groups"]).iter().enumerate() {
            call.same("observed", &group["observed"], &case["observed"][index]);
            call.same("expected", &group["expected"], &case["expected"][index]);
        }
        compared += 1;
    }
    assert!(compared >= 5, "only {compared} calls were compared");
}

#[test]
fn cumulative_incidence_is_that_of_r_survfit_with_states() {
    let mut points = 0;
    for case in cases("survival.json", "aj") {
        let mut call = Call::survival(&case);
        call.with(&["--censored-code", "0", "--causes", "1,2", "--conf", text(&case["conf"])]);
        let answer = call.answer();
        for (cause, curve) in list(&answer["cumulative_incidence"]).iter().enumerate() {
            for point in list(&curve["points"]) {
                let index = position(&case["times"], &point["time"], &call);
                call.same("at_risk", &point["at_risk"], &case["at_risk"][index]);
                call.same("incidence", &point["incidence"], &case["incidence"][cause][index]);
                points += 1;
                // With late entry R's infinitesimal jackknife is another estimator than the Greenwood-type
                // variance, which is ours and that of etm: the next test.
                if has(&case, "start") {
                    continue;
                }
                call.same("std_err", &point["std_err"], &case["std_err"][cause][index]);
                if point["incidence"].as_f64().unwrap() > 0.0 {
                    call.same("lower", &point["lower"], &case["lower"][cause][index]);
                    call.same("upper", &point["upper"], &case["upper"][cause][index]);
                }
            }
        }
    }
    assert!(points > 500, "only {points} points were compared");
}

#[test]
fn cumulative_incidence_with_late_entry_is_that_of_etm() {
    let mut points = 0;
    for case in cases("survival.json", "aj_etm") {
        let mut call = Call::survival(&case);
        call.with(&["--censored-code", "0", "--causes", "1,2"]);
        for (cause, curve) in list(&call.answer()["cumulative_incidence"]).iter().enumerate() {
            for point in list(&curve["points"]).iter().filter(|point| point["events"] != 0.0) {
                let index = position(&case["times"], &point["time"], &call);
                call.same("incidence", &point["incidence"], &case["incidence"][cause][index]);
                call.same("std_err", &point["std_err"], &case["std_err"][cause][index]);
                points += 1;
            }
        }
    }
    assert!(points > 50, "only {points} points were compared");
}

fn position(times: &Value, time: &Value, call: &Call) -> usize {
    let time = time.as_f64().unwrap();
    list(times)
        .iter()
        .position(|other| (other.as_f64().unwrap() - time).abs() < 1e-9)
        .unwrap_or_else(|| panic!("{}: no time {time} in the reference", call.name))
}

/// On times without ties; with ties the program follows a rule of its own (README of `statistics`).
#[test]
fn grays_test_is_that_of_cmprsk_without_ties() {
    let mut compared = 0;
    for case in cases("gray.json", "gray").iter().filter(|case| case["rho"] == 0) {
        let mut call = Call::survival(case);
        call.column("--by", &case["by"]);
        call.with(&["--censored-code", "0", "--causes", "1,2"]);
        for (index, cause) in list(&call.answer()["gray"]).iter().enumerate() {
            for key in ["chi2", "df", "p"] {
                call.same(key, &cause[key], &case[key][index]);
            }
            compared += 1;
        }
    }
    assert_eq!(compared, 8, "two groupings, each with and without strata, and two causes");
}

#[test]
fn regressions_are_those_of_r_coxph() {
    let mut terms = 0;
    let without = |case: &&Value| !has(case, "weight") && !has(case, "offset");
    for case in cases("survival.json", "cox").iter().filter(without) {
        let names: Vec<String> = list(&case["x"]).iter().map(|name| text(name).to_owned()).collect();
        let mut call = Call::survival(case);
        call.with(&["--cox", &names.join(","), "--ties", text(&case["ties"])]);
        let cox = call.answer()["cox"].clone();
        for (ours, theirs) in
            [("n", "n"), ("events", "events"), ("loglik", "loglik"), ("loglik_null", "loglik_null")]
        {
            call.same(ours, &cox[ours], &case[theirs]);
        }
        call.same("concordance", &cox["concordance"]["value"], &case["concordance"]);
        for (index, term) in list(&cox["terms"]).iter().enumerate() {
            assert_eq!(term["name"], Value::from(names[index].clone()));
            call.same("coef", &term["coef"], &list(&case["coef"])[index]);
            call.same("se", &term["se"], &root(&case["naive"], index));
            let robust = if has(case, "cluster") { root(&case["variance"], index) } else { Value::Null };
            call.same("robust_se", &term["robust_se"], &robust);
            terms += 1;
        }
    }
    assert!(terms >= 40, "only {terms} terms were compared");
}

/// The root of a variance on the diagonal of a matrix, which for one term is a plain number.
fn root(matrix: &Value, index: usize) -> Value {
    let row = list(matrix)[index].clone();
    Value::from(list(&row)[index].as_f64().unwrap().sqrt())
}

/// The ratings of a wide table, one column for each rater, as the long table that the command reads; scores below
/// zero mean missing.
fn long(name: &str) -> (tempfile::TempDir, String) {
    let wide = fs::read_to_string(reference(&format!("data/{name}.csv"))).unwrap();
    let mut lines = wide.lines();
    let raters: Vec<&str> = lines.next().unwrap().split(',').collect();
    let mut text = "subject,rater,score\n".to_owned();
    for (subject, line) in lines.enumerate() {
        for (rater, score) in raters.iter().zip(line.split(',')).filter(|(_, score)| !score.starts_with('-'))
        {
            text.push_str(&format!("{subject},{rater},{score}\n"));
        }
    }
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("long.csv");
    fs::write(&path, text).unwrap();
    let path = path.to_str().unwrap().to_owned();
    (dir, path)
}

fn agreement(name: &str, weights: Option<&str>) -> (Call, Value) {
    let (_dir, path) = long(name);
    let mut call = Call { args: vec!["agreement".into(), path], name: format!("{name} {weights:?}") };
    call.with(&["--subject", "subject", "--rater", "rater", "--score", "score"]);
    if let Some(weights) = weights {
        call.with(&["--weights", weights]);
    }
    let answer = call.answer();
    (call, answer)
}

#[test]
fn intraclass_correlations_are_those_of_psych() {
    for case in cases("agreement_r.json", "icc") {
        let (call, answer) = agreement(text(&case["data"]), None);
        let forms = list(&answer["icc"]["forms"]);
        assert_eq!(forms.len(), 6);
        for (index, form) in forms.iter().enumerate() {
            for key in ["value", "f", "df1", "df2", "p"] {
                call.same(key, &form[key], &case[key][index]);
            }
        }
    }
}

#[test]
fn kappas_are_those_of_statsmodels() {
    for case in cases("agreement_py.json", "kappa") {
        let weights = Some(text(&case["weights"])).filter(|weights| *weights != "none");
        let (call, answer) = agreement(text(&case["data"]), weights);
        let kappa = &answer["kappa"];
        for (ours, theirs) in [
            ("value", "value"),
            ("std_err", "se"),
            ("null_std_err", "null_se"),
            ("z", "z"),
            ("p", "p"),
            ("lower", "lower"),
            ("upper", "upper"),
        ] {
            call.same(ours, &kappa[ours], &case[theirs]);
        }
    }
}

#[test]
fn agreement_of_several_raters_with_missing_ratings_is_that_of_irrcac() {
    for case in cases("agreement_py.json", "several") {
        let weights = Some(text(&case["weights"])).filter(|weights| *weights != "identity");
        let (call, answer) = agreement(text(&case["data"]), weights);
        let ours = &answer[text(&case["chance"])];
        for (key, theirs) in
            [("value", "value"), ("std_err", "se"), ("observed", "observed"), ("expected", "expected")]
        {
            call.same(key, &ours[key], &case[theirs]);
        }
    }
}
