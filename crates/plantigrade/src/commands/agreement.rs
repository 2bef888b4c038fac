//! `agreement`: how far raters agree, from any table of ratings.
//!
//! The keys of the JSON are described in `docs/statistics-commands.md` and do not change.

use super::{print, print_json, survival::columns};
use crate::{
    cli::{AgreementArgs, WeightsChoice},
    columns::{Column, Kind, Table},
    exit::{Failure, sentence},
};
use serde_json::{Value, json};
use statistics::agreement::{
    AgreementCoefficient, ChanceAgreement, Icc, RatingTable, Weights, bland_altman, kappa,
};
use std::{collections::HashMap, fmt::Write as _};

/// A subject that both of two raters scored: its number, then code and score by each.
type ScoredTwice = (u32, (u32, f64), (u32, f64));

/// The ratings as they stand in the table.
struct Data {
    raters: Vec<String>,
    subjects: usize,
    categories: Vec<String>,
    /// The score as a number, where scores are numbers.
    numeric: bool,
    /// Subject, rater, category, score.
    ratings: Vec<(u32, u32, u32, f64)>,
    rows: usize,
    dropped: Value,
}

/// Prints what the ratings of one table say.
///
/// # Errors
/// A file, column or row that cannot be used, a subject rated twice by one rater, or weights for scores
/// that are no numbers.
pub fn agreement(args: &AgreementArgs) -> Result<(), Failure> {
    let data = Data::read(args)?;
    let weights = match args.weights {
        None => Weights::Identity,
        Some(WeightsChoice::Linear) => Weights::Linear,
        Some(WeightsChoice::Quadratic) => Weights::Quadratic,
    };
    if weights != Weights::Identity && !data.numeric {
        return Err(Failure::refused(format!(
            "Weights need scores that are numbers, so that their order and distance are known; column {} holds words.",
            args.score
        )));
    }
    let mut notes = Vec::new();
    let whole = data.whole(args, weights, &mut notes);
    if args.json { print_json(&whole) } else { print(&text(&whole)) }
}

impl Data {
    fn read(args: &AgreementArgs) -> Result<Self, Failure> {
        let wanted =
            [(args.subject.as_str(), Kind::Level), (&args.rater, Kind::Level), (&args.score, Kind::Level)];
        let table = Table::read(&args.file, &wanted)?;
        let (rows, lacking) = table.complete(&[&args.subject, &args.rater, &args.score])?;
        let column = |name: &str| match table.column(name)? {
            Column::Levels(levels, codes) => Ok((levels, codes)),
            Column::Numbers(_) => Err(Failure::usage("Subject, rater and score must be different columns.")),
        };
        let (subjects, subject) = column(&args.subject)?;
        let (raters, rater) = column(&args.rater)?;
        let (categories, score) = column(&args.score)?;
        if rows.is_empty() {
            return Err(Failure::refused("No row has a subject, a rater and a score."));
        }
        let values: Vec<Option<f64>> =
            categories.iter().map(|level| level.replace(',', ".").parse().ok()).collect();
        let numeric = values.iter().all(Option::is_some);
        let mut seen: HashMap<(u32, u32), usize> = HashMap::with_capacity(rows.len());
        let mut ratings = Vec::with_capacity(rows.len());
        for row in rows.each() {
            let (one, two, code) = (subject[row], rater[row], score[row]);
            if let Some(before) = seen.insert((one, two), row) {
                return Err(Failure::refused(format!(
                    "Rater {} scored subject {} twice: {} and {}.",
                    raters[two as usize],
                    subjects[one as usize],
                    table.place(before, &args.score),
                    table.place(row, &args.score)
                )));
            }
            ratings.push((one, two, code, values[code as usize].unwrap_or(f64::NAN)));
        }
        let counts: serde_json::Map<String, Value> =
            lacking.into_iter().map(|(name, count)| (name, json!(count))).collect();
        let dropped = json!({ "rows": table.rows - rows.len(), "missing_by_column": counts });
        Ok(Self {
            raters: raters.clone(),
            subjects: subjects.len(),
            categories: categories.clone(),
            numeric,
            ratings,
            rows: table.rows,
            dropped,
        })
    }

    fn whole(&self, args: &AgreementArgs, weights: Weights, notes: &mut Vec<String>) -> Value {
        let level = args.level;
        let several = self.several(weights, level, notes);
        let pairs = self.pairs(weights, level, notes);
        let (kappa, limits) = match pairs.as_slice() {
            [only] => (only["kappa"].clone(), only["bland_altman"].clone()),
            _ => (Value::Null, Value::Null),
        };
        json!({
            "program": "plantigrade",
            "version": env!("CARGO_PKG_VERSION"),
            "file": args.file.file_name().map(|name| name.to_string_lossy()),
            "columns": { "subject": args.subject, "rater": args.rater, "score": args.score },
            "level": level,
            "rows": self.rows,
            "used": self.ratings.len(),
            "dropped": self.dropped,
            "subjects": self.subjects,
            "raters": self.raters,
            "categories": self.categories,
            "weights": weights.word(),
            "kappa": kappa,
            "bland_altman": limits,
            "fleiss": several.0,
            "gwet": several.1,
            "icc": self.icc(level, notes),
            "pairs": pairs,
            "notes": notes,
        })
    }

    fn several(&self, weights: Weights, level: f64, notes: &mut Vec<String>) -> (Value, Value) {
        let plain: Vec<(usize, u32)> =
            self.ratings.iter().map(|(subject, _, code, _)| (*subject as usize, *code)).collect();
        let mut of = |chance: ChanceAgreement, method: &str| {
            let result = RatingTable::new(&plain, self.categories.len())
                .and_then(|table| table.agreement(chance, weights, level));
            match result {
                Ok(result) => with_method(method, &result),
                Err(error) => {
                    notes.push(format!("{method}: {}", sentence(&error.to_string())));
                    Value::Null
                }
            }
        };
        let gwet = if weights == Weights::Identity { "Gwet's AC1" } else { "Gwet's AC2" };
        (of(ChanceAgreement::Fleiss, "Fleiss's kappa"), of(ChanceAgreement::Gwet, gwet))
    }

    /// Every two raters over the subjects both have rated.
    fn pairs(&self, weights: Weights, level: f64, notes: &mut Vec<String>) -> Vec<Value> {
        let mut by_rater: Vec<HashMap<u32, (u32, f64)>> = vec![HashMap::new(); self.raters.len()];
        for (subject, rater, code, score) in &self.ratings {
            by_rater[*rater as usize].insert(*subject, (*code, *score));
        }
        let mut pairs = Vec::new();
        for one in 0..self.raters.len() {
            for two in one + 1..self.raters.len() {
                let mut both: Vec<ScoredTwice> = by_rater[one]
                    .iter()
                    .filter_map(|(subject, first)| Some((*subject, *first, *by_rater[two].get(subject)?)))
                    .collect();
                both.sort_by_key(|(subject, ..)| *subject);
                pairs.push(self.pair((one, two), &both, (weights, level), notes));
            }
        }
        pairs
    }

    fn pair(
        &self,
        (one, two): (usize, usize),
        both: &[ScoredTwice],
        (weights, level): (Weights, f64),
        notes: &mut Vec<String>,
    ) -> Value {
        let raters = [&self.raters[one], &self.raters[two]];
        let codes: (Vec<u32>, Vec<u32>) = both.iter().map(|(_, a, b)| (a.0, b.0)).unzip();
        let scores: (Vec<f64>, Vec<f64>) = both.iter().map(|(_, a, b)| (a.1, b.1)).unzip();
        let kappa = match kappa(&codes.0, &codes.1, self.categories.len(), weights, level) {
            Ok(result) => {
                let mut value = with_method("Cohen's kappa", &result.kappa);
                value["null_std_err"] = json!(result.null_std_err);
                value["z"] = json!(result.z);
                value["p"] = json!(result.p);
                value["n"] = json!(result.n);
                value
            }
            Err(error) => {
                notes.push(format!(
                    "Kappa of {} and {}: {}",
                    raters[0],
                    raters[1],
                    sentence(&error.to_string())
                ));
                Value::Null
            }
        };
        let limits = if self.numeric { bland_altman(&scores.0, &scores.1, 0.95, level).ok() } else { None };
        let limit = |limit: &statistics::agreement::IntervalEstimate| json!({ "value": limit.value, "std_err": limit.std_err, "lower": limit.lower, "upper": limit.upper });
        let limits = limits.map(|limits| {
            json!({
                "method": "Bland-Altman limits, bias less and plus 1.96 standard deviations, first rater less second",
                "n": limits.n, "bias": limit(&limits.bias), "sd": limits.sd,
                "lower_limit": limit(&limits.lower), "upper_limit": limit(&limits.upper),
            })
        });
        json!({ "raters": raters, "subjects": both.len(), "kappa": kappa, "bland_altman": limits })
    }

    /// Over the subjects that every rater has rated.
    fn icc(&self, level: f64, notes: &mut Vec<String>) -> Value {
        if !self.numeric {
            return Value::Null;
        }
        let raters = self.raters.len();
        let mut rows: Vec<Vec<f64>> = vec![vec![f64::NAN; raters]; self.subjects];
        for (subject, rater, _, score) in &self.ratings {
            rows[*subject as usize][*rater as usize] = *score;
        }
        let complete: Vec<f64> =
            rows.iter().filter(|row| row.iter().all(|score| !score.is_nan())).flatten().copied().collect();
        let icc = match Icc::of(&complete, raters, level) {
            Ok(icc) => icc,
            Err(error) => {
                notes.push(format!("Intraclass correlation: {}", sentence(&error.to_string())));
                return Value::Null;
            }
        };
        let form = |form: &statistics::agreement::IccForm| {
            json!({
                "form": form.kind.word(), "value": form.value, "lower": form.lower, "upper": form.upper,
                "f": form.f, "df1": form.df.0, "df2": form.df.1, "p": form.p,
            })
        };
        json!({
            "method": "intraclass correlation, Shrout and Fleiss", "subjects": icc.subjects, "raters": icc.raters,
            "forms": icc.forms.iter().map(form).collect::<Vec<_>>(),
        })
    }
}

fn with_method(method: &str, result: &AgreementCoefficient) -> Value {
    json!({
        "method": method, "value": result.value, "std_err": result.std_err, "lower": result.lower, "upper": result.upper,
        "observed": result.observed, "expected": result.expected,
    })
}

fn text(whole: &Value) -> String {
    let mut text = String::new();
    let percent = whole["level"].as_f64().unwrap_or(0.0) * 100.0;
    let raters = whole["raters"].as_array().map_or(0, Vec::len);
    // Writing to a string does not fail.
    let _ = writeln!(
        text,
        "Agreement of {raters} raters on {} subjects, {} of {} rows used, weights: {}, {percent}% limits.\n",
        whole["subjects"],
        whole["used"],
        whole["rows"],
        whole["weights"].as_str().unwrap_or_default()
    );
    let figure = |value: &Value| value.as_f64().map_or("-".to_owned(), |number| format!("{number:.4}"));
    let mut rows = Vec::new();
    let mut add = |name: String, value: &Value| {
        if !value.is_null() {
            rows.push(vec![
                name,
                figure(&value["value"]),
                figure(&value["std_err"]),
                figure(&value["lower"]),
                figure(&value["upper"]),
            ]);
        }
    };
    for pair in whole["pairs"].as_array().into_iter().flatten() {
        let names: Vec<&str> =
            pair["raters"].as_array().into_iter().flatten().filter_map(Value::as_str).collect();
        add(format!("Cohen's kappa, {} (n {})", names.join(" and "), pair["subjects"]), &pair["kappa"]);
        for (words, key) in [
            ("bias", "bias"),
            ("lower limit of agreement", "lower_limit"),
            ("upper limit of agreement", "upper_limit"),
        ] {
            add(format!("Bland-Altman {words}, {}", names.join(" less ")), &pair["bland_altman"][key]);
        }
    }
    for key in ["fleiss", "gwet"] {
        add(whole[key]["method"].as_str().unwrap_or_default().to_owned(), &whole[key]);
    }
    for form in whole["icc"]["forms"].as_array().into_iter().flatten() {
        add(form["form"].as_str().unwrap_or_default().to_owned(), form);
    }
    columns(&mut text, &["", "value", "std err", "lower", "upper"], &rows);
    for note in whole["notes"].as_array().into_iter().flatten() {
        let _ = writeln!(text, "\nNote: {}", note.as_str().unwrap_or_default());
    }
    let _ = writeln!(text, "\nplantigrade {}", whole["version"].as_str().unwrap_or_default());
    text
}
