//! The results as a person reads them. Only times with an event are listed; the JSON has all.

use serde_json::Value;
use std::fmt::Write as _;

/// A number in a column: up to four figures behind the point, `-` where there is none.
fn figure(value: &Value) -> String {
    match value.as_f64() {
        None => "-".to_owned(),
        Some(number) if number.fract() == 0.0 && number.abs() < 1e9 => format!("{number:.0}"),
        Some(number) if number != 0.0 && number.abs() < 0.001 => format!("{number:.2e}"),
        Some(number) => format!("{number:.4}"),
    }
}

fn probability(value: &Value) -> String {
    match value.as_f64() {
        None => "-".to_owned(),
        Some(p) if p < 0.0001 => "< 0.0001".to_owned(),
        Some(p) => format!("{p:.4}"),
    }
}

/// Columns of figures under their heads, right-aligned.
pub(in crate::commands) fn columns(text: &mut String, heads: &[&str], rows: &[Vec<String>]) {
    let width = |at: usize| {
        let cells = rows.iter().map(|row| row[at].chars().count());
        cells.chain([heads[at].chars().count()]).max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..heads.len()).map(width).collect();
    let mut line = |cells: &mut dyn Iterator<Item = &str>| {
        for (cell, width) in cells.zip(&widths) {
            // Writing to a string does not fail.
            let _ = write!(text, "  {cell:>width$}");
        }
        text.push('\n');
    };
    line(&mut heads.iter().copied());
    for row in rows {
        line(&mut row.iter().map(String::as_str));
    }
}

fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

fn cells(value: &Value, keys: &[&str]) -> Vec<String> {
    keys.iter().map(|key| figure(&value[*key])).collect()
}

pub fn text(whole: &Value) -> String {
    let mut text = String::new();
    let out = &mut text;
    let confidence = &whole["confidence"];
    let percent = confidence["level"].as_f64().unwrap_or(0.0) * 100.0;
    let _ = writeln!(
        out,
        "Kaplan-Meier, standard error by {}, {percent}% limits on the {} scale.",
        whole["method"]["std_err"].as_str().unwrap_or("Greenwood"),
        confidence["scale"].as_str().unwrap_or_default(),
    );
    let _ = writeln!(out, "{} rows used of {}.{}", whole["used"], whole["rows"], lacking(&whole["dropped"]));
    for group in list(&whole["groups"]) {
        curve(out, group);
    }
    logrank(out, &whole["logrank"]);
    for curve in list(&whole["cumulative_incidence"]) {
        incidence(out, curve);
    }
    for test in list(&whole["gray"]) {
        let _ = writeln!(
            out,
            "Gray's test of cause {}: chi-squared {} on {} df, p {}",
            test["cause"].as_str().unwrap_or_default(),
            figure(&test["chi2"]),
            test["df"],
            probability(&test["p"])
        );
    }
    cox(out, &whole["cox"], percent);
    for note in list(&whole["notes"]) {
        let _ = writeln!(out, "\nNote: {}", note.as_str().unwrap_or_default());
    }
    let _ = writeln!(out, "\nplantigrade {}", whole["version"].as_str().unwrap_or_default());
    text
}

fn lacking(dropped: &Value) -> String {
    let Some(counts) = dropped["missing_by_column"].as_object().filter(|counts| !counts.is_empty()) else {
        return String::new();
    };
    let words: Vec<String> = counts.iter().map(|(name, count)| format!("{name} {count}")).collect();
    format!(" Left out for missing values: {} ({}).", dropped["rows"], words.join(", "))
}

fn titled(out: &mut String, title: &str, group: &Value) {
    let _ = match group.as_str() {
        Some(name) => write!(out, "\n{title}, group {name}"),
        None => write!(out, "\n{title}"),
    };
}

fn curve(out: &mut String, group: &Value) {
    titled(out, "Survival", &group["group"]);
    let _ = writeln!(
        out,
        ": n {}, events {}\n  median {} ({} to {}); mean up to {}: {} (standard error {})",
        group["n"],
        group["events"],
        figure(&group["median"]),
        figure(&group["median_lower"]),
        figure(&group["median_upper"]),
        figure(&group["rmst_until"]),
        figure(&group["rmst"]),
        figure(&group["rmst_std_err"]),
    );
    let keys = ["time", "at_risk", "events", "censored", "survival", "std_err", "lower", "upper"];
    let seen = list(&group["points"]).iter().filter(|point| point["events"].as_f64() > Some(0.0));
    let rows: Vec<Vec<String>> = seen.map(|point| cells(point, &keys)).collect();
    columns(out, &["time", "at risk", "events", "censored", "survival", "std err", "lower", "upper"], &rows);
}

fn incidence(out: &mut String, curve: &Value) {
    titled(out, "Cumulative incidence (Aalen-Johansen)", &curve["group"]);
    let _ =
        writeln!(out, ", cause {}: events {}", curve["cause"].as_str().unwrap_or_default(), curve["events"]);
    let keys = ["time", "at_risk", "events", "incidence", "std_err", "lower", "upper"];
    let seen = list(&curve["points"]).iter().filter(|point| point["events"].as_f64() > Some(0.0));
    let rows: Vec<Vec<String>> = seen.map(|point| cells(point, &keys)).collect();
    columns(out, &["time", "at risk", "events", "incidence", "std err", "lower", "upper"], &rows);
}

fn logrank(out: &mut String, test: &Value) {
    if test.is_null() {
        return;
    }
    let how = if test["stratified"] == true { "Stratified log-rank test" } else { "Log-rank test" };
    let _ = writeln!(
        out,
        "\n{how}: chi-squared {} on {} df, p {}",
        figure(&test["chi2"]),
        test["df"],
        probability(&test["p"])
    );
    let rows: Vec<Vec<String>> = list(&test["groups"])
        .iter()
        .map(|group| {
            let mut row = vec![group["group"].as_str().unwrap_or_default().to_owned()];
            row.extend(cells(group, &["n", "observed", "expected"]));
            row
        })
        .collect();
    columns(out, &["group", "n", "observed", "expected"], &rows);
}

fn cox(out: &mut String, cox: &Value, percent: f64) {
    if cox.is_null() {
        return;
    }
    let cause = cox["cause"].as_str().map_or_else(String::new, |cause| format!(" of cause {cause}"));
    let _ = writeln!(
        out,
        "\nCox regression{cause}, {} ties: n {}, events {}, variance: {}, {percent}% limits.{}",
        cox["ties"].as_str().unwrap_or_default(),
        cox["n"],
        cox["events"],
        cox["variance"].as_str().unwrap_or_default(),
        lacking(&cox["dropped"]),
    );
    let rows: Vec<Vec<String>> = list(&cox["terms"])
        .iter()
        .map(|term| {
            let mut row = vec![term["name"].as_str().unwrap_or_default().to_owned()];
            row.extend(cells(term, &["coef", "se", "robust_se", "z"]));
            row.push(probability(&term["p"]));
            row.extend(cells(term, &["hr", "lower", "upper"]));
            row
        })
        .collect();
    columns(out, &["", "coef", "se", "robust se", "z", "p", "hazard ratio", "lower", "upper"], &rows);
    for (words, key) in [("Likelihood ratio", "likelihood_ratio"), ("Wald", "wald"), ("Score", "score")] {
        let test = &cox[key];
        let _ = writeln!(
            out,
            "{words} test: chi-squared {} on {} df, p {}",
            figure(&test["chi2"]),
            test["df"],
            probability(&test["p"])
        );
    }
    let _ = writeln!(out, "Proportional hazards, against one minus the Kaplan-Meier curve:");
    let rows: Vec<Vec<String>> = list(&cox["ph_test"])
        .iter()
        .map(|test| {
            vec![
                test["term"].as_str().unwrap_or_default().to_owned(),
                figure(&test["chi2"]),
                test["df"].to_string(),
                probability(&test["p"]),
            ]
        })
        .collect();
    columns(out, &["", "chi-squared", "df", "p"], &rows);
    let _ = writeln!(
        out,
        "Concordance {} (standard error {})",
        figure(&cox["concordance"]["value"]),
        figure(&cox["concordance"]["std_err"])
    );
}
