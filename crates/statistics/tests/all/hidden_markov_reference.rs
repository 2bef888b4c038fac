//! Hidden Markov models against hmmlearn, and against every path written out.

use crate::reference::{Set, cases, list, number, same, same_all, text};
use statistics::hidden_markov::{Covariances, FitSettings, GaussianModel, StepWeights, TwoStates};

/// Both sides add the same logarithms in another order: twelve digits are left of some fifteen.
const LIKELIHOOD: f64 = 1e-10;
/// Rounds of fitting hand rounding on from one to the next.
const PARAMETERS: f64 = 1e-7;

fn series(columns: usize) -> Vec<Vec<f64>> {
    let set = Set::read("hidden_markov");
    let (which, one, two) = (set.numbers("series"), set.numbers("temperature_c"), set.numbers("change_c"));
    let of = |wanted: f64| {
        let rows = (0..which.len()).filter(|row| which[*row] == wanted);
        rows.flat_map(|row| [one[row], two[row]].into_iter().take(columns)).collect()
    };
    vec![of(1.0), of(2.0)]
}

fn covariances(kind: &str, values: Vec<f64>) -> Covariances {
    if kind == "full" { Covariances::Full(values) } else { Covariances::Diagonal(values) }
}

#[test]
fn likelihood_fit_and_path_are_those_of_the_reference() {
    let all = cases("hidden_markov.json", "gaussian");
    assert_eq!(all.len(), 4);
    for case in all {
        let rows = series(case["columns"].as_u64().unwrap() as usize);
        let borrowed: Vec<&[f64]> = rows.iter().map(Vec::as_slice).collect();
        let start = GaussianModel {
            start: list(&case["start"]["start"]),
            transitions: list(&case["start"]["transitions"]),
            means: list(&case["start"]["means"]),
            covariances: covariances(text(&case, "covariance").unwrap(), list(&case["start"]["covariances"])),
        };
        let total = |model: &GaussianModel| -> f64 {
            rows.iter().map(|rows| model.smoothed(rows).unwrap().log_likelihood).sum()
        };
        same("likelihood at the start", &case, total(&start), number(&case["score_at_start"]), LIKELIHOOD);
        let rounds = case["rounds"].as_u64().unwrap() as usize;
        let fit = FitSettings { max_iterations: rounds, tolerance: f64::NEG_INFINITY, min_variance: 0.0 };
        let fitted = start.fitted(&borrowed, fit).unwrap();
        same_all("history", &case, &fitted.log_likelihoods, &list(&case["history"]), LIKELIHOOD);
        let model = &fitted.model;
        same("likelihood", &case, total(model), number(&case["score"]), LIKELIHOOD);
        same_all("start", &case, &model.start, &list(&case["fitted_start"]), PARAMETERS);
        same_all("transitions", &case, &model.transitions, &list(&case["fitted_transitions"]), PARAMETERS);
        same_all("means", &case, &model.means, &list(&case["fitted_means"]), PARAMETERS);
        let (Covariances::Diagonal(spread) | Covariances::Full(spread)) = &model.covariances;
        same_all("covariances", &case, spread, &list(&case["fitted_covariances"]), PARAMETERS);
        let decoded: Vec<_> = rows.iter().map(|rows| model.decoded(rows).unwrap()).collect();
        let path: String = decoded.iter().flat_map(|one| &one.states).map(usize::to_string).collect();
        assert_eq!(path, text(&case, "path").unwrap(), "{}", case["name"]);
        let log_path = decoded.iter().map(|one| one.log_likelihood).sum();
        same("path", &case, log_path, number(&case["path_log_likelihood"]), LIKELIHOOD);
        let states = model.states();
        let probabilities: Vec<f64> =
            rows.iter().flat_map(|rows| model.smoothed(rows).unwrap().probabilities).collect();
        let every: Vec<f64> = probabilities.chunks(states).step_by(50).flatten().copied().collect();
        for (ours, theirs) in every.iter().zip(list(&case["chances_every_50th_row"])) {
            assert!((ours - theirs).abs() < PARAMETERS, "{ours} {theirs} {}", case["name"]);
        }
    }
}

fn small() -> GaussianModel {
    GaussianModel {
        start: vec![0.2, 0.5, 0.3],
        transitions: vec![0.7, 0.2, 0.1, 0.3, 0.3, 0.4, 0.0, 0.5, 0.5],
        means: vec![0.0, 0.0, 1.0, 2.0, -1.0, 1.0],
        covariances: Covariances::Full(vec![1.0, 0.2, 0.2, 0.5, 0.8, -0.3, -0.3, 1.2, 2.0, 0.0, 0.0, 0.7]),
    }
}

/// The density of a row by the textbook formula for two columns; 1 where it was not observed.
fn density(model: &GaussianModel, state: usize, row: &[f64]) -> f64 {
    if row.iter().any(|value| value.is_nan()) {
        return 1.0;
    }
    let Covariances::Full(all) = &model.covariances else { unreachable!() };
    let [a, b, _, d] = all[state * 4..][..4] else { unreachable!() };
    let (x, y) = (row[0] - model.means[state * 2], row[1] - model.means[state * 2 + 1]);
    let determinant = a * d - b * b;
    let form = (d * x * x - 2.0 * b * x * y + a * y * y) / determinant;
    (-0.5 * form).exp() / (std::f64::consts::TAU * determinant.sqrt())
}

#[test]
fn with_rows_missing_the_passes_agree_with_every_path_written_out() {
    let model = small();
    let rows = [0.1, 0.3, f64::NAN, 1.0, 1.2, 2.2, f64::NAN, f64::NAN, -0.7, 0.9];
    let (mut total, mut best) = (0.0, (0.0, Vec::new()));
    let mut probabilities = vec![0.0; 15];
    for number in 0..3_usize.pow(5) {
        let path: Vec<usize> = (0..5).map(|row| number / 3_usize.pow(row) % 3).collect();
        let steps = path.windows(2).map(|pair| model.transitions[pair[0] * 3 + pair[1]]);
        let seen = path.iter().zip(rows.chunks(2)).map(|(state, row)| density(&model, *state, row));
        let weight = model.start[path[0]] * steps.product::<f64>() * seen.product::<f64>();
        total += weight;
        path.iter().enumerate().for_each(|(row, state)| probabilities[row * 3 + state] += weight);
        if weight > best.0 {
            best = (weight, path);
        }
    }
    let smoothed = model.smoothed(&rows).unwrap();
    assert!((smoothed.log_likelihood - total.ln()).abs() < 1e-12);
    for (ours, weight) in smoothed.probabilities.iter().zip(&probabilities) {
        assert!((ours - weight / total).abs() < 1e-12);
    }
    let decoded = model.decoded(&rows).unwrap();
    assert_eq!(decoded.states, best.1);
    assert!((decoded.log_likelihood - best.0.ln()).abs() < 1e-12);
}

#[test]
fn every_round_of_fitting_raises_the_likelihood_with_rows_missing_too() {
    let mut rows = series(2).remove(0);
    for row in (0..rows.len()).step_by(14) {
        rows[row] = f64::NAN;
    }
    let start = GaussianModel {
        start: vec![0.5, 0.5],
        transitions: vec![0.8, 0.2, 0.2, 0.8],
        means: vec![18.0, 0.0, 30.0, 0.0],
        covariances: Covariances::Diagonal(vec![9.0, 2.0, 9.0, 2.0]),
    };
    let fitted = start.fitted(&[&rows], FitSettings::default()).unwrap();
    assert!(fitted.converged);
    assert!(fitted.log_likelihoods.windows(2).all(|pair| pair[1] >= pair[0] - 1e-9));
    // The series was drawn around 20.5 and 33 °C.
    assert!((fitted.model.means[0] - 20.5).abs() < 1.0 && (fitted.model.means[2] - 33.0).abs() < 1.0);
}

#[test]
fn the_chain_of_two_states_agrees_with_the_general_passes() {
    let rows = series(1).remove(1);
    let model = GaussianModel {
        start: vec![0.7, 0.3],
        transitions: vec![0.95, 0.05, 0.1, 0.9],
        means: vec![21.0, 33.0],
        covariances: Covariances::Diagonal(vec![3.0, 2.0]),
    };
    let density = |state: usize, value: f64| {
        let variance = [3.0, 2.0][state];
        (-0.5 * (value - model.means[state]).powi(2) / variance).exp()
            / (std::f64::consts::TAU * variance).sqrt()
    };
    let start = [0.7 * density(0, rows[0]), 0.3 * density(1, rows[0])];
    let step = |value: &f64| -> StepWeights {
        [0, 1].map(|from| [0, 1].map(|to| model.transitions[from * 2 + to] * density(to, *value)))
    };
    let steps: Vec<StepWeights> = rows[1..].iter().map(step).collect();
    let ours = TwoStates::smooth(start, &steps).unwrap();
    let general = model.smoothed(&rows).unwrap();
    assert!((ours.log_likelihood - general.log_likelihood).abs() < 1e-8 * general.log_likelihood.abs());
    for (row, pair) in ours.pairs.iter().enumerate() {
        let end = pair[0][1] + pair[1][1];
        assert!((end - general.probabilities[(row + 1) * 2 + 1]).abs() < 1e-10, "row {row}");
    }
}

#[test]
fn what_is_no_model_or_no_series_is_refused_in_words() {
    let words = |model: &GaussianModel, rows: &[f64]| model.smoothed(rows).unwrap_err().to_string();
    let good = small();
    assert_eq!(words(&good, &[]), "there are no rows");
    assert_eq!(words(&good, &[1.0]), "the last row has 1 values where 2 are expected, one for each row");
    assert_eq!(words(&good, &[1.0, 2.0, f64::INFINITY, 0.0]), "row 2: a value is not a number");
    let unsure = GaussianModel { start: vec![0.2, 0.2, 0.3], ..small() };
    assert!(words(&unsure, &[1.0, 2.0]).contains("at 1, not at 0.7"), "{}", words(&unsure, &[1.0, 2.0]));
    let flat = GaussianModel { covariances: Covariances::Full(vec![1.0; 12]), ..small() };
    assert!(words(&flat, &[1.0, 2.0]).contains("do not spread"));
    let never = GaussianModel {
        start: vec![1.0, 0.0],
        transitions: vec![1.0, 0.0, 0.0, 1.0],
        means: vec![0.0, 5.0],
        covariances: Covariances::Diagonal(vec![1.0, 1.0]),
    };
    let lonely = never.fitted(&[&[0.1, 0.2, 0.3]], FitSettings::default()).unwrap_err();
    assert!(lonely.to_string().contains("left without rows"), "{lonely}");
    assert!(TwoStates::smooth([0.5, 0.5], &[]).is_err());
    assert!(TwoStates::smooth([0.5, 0.5], &[[[0.0, 0.0], [0.0, 0.0]]]).is_err());
}
