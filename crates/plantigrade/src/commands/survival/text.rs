//! The results as text. Only times with an event are listed; the JSON has all times.

use super::results::{
    CauseCurve, CoxResult, CoxTerm, DroppedRows, GroupCurve, LogRankResult, SurvivalResult,
};
use statistics::ChiSquaredTest;
use std::fmt::Write as _;

/// A number in a column: up to four decimal places, `-` if there is none.
pub(in crate::commands) fn figure(value: impl Into<Option<f64>>) -> String {
    match value.into().filter(|number| number.is_finite()) {
        None => "-".to_owned(),
        Some(number) if number.fract() == 0.0 && number.abs() < 1e9 => format!("{number:.0}"),
        Some(number) if number != 0.0 && number.abs() < 0.001 => format!("{number:.2e}"),
        Some(number) => format!("{number:.4}"),
    }
}

fn probability(p: f64) -> String {
    match p {
        p if !p.is_finite() => "-".to_owned(),
        p if p < 0.0001 => "< 0.0001".to_owned(),
        p => format!("{p:.4}"),
    }
}

/// Right-aligned columns of figures with their heads.
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

pub fn text(whole: &SurvivalResult) -> String {
    let mut text = String::new();
    let (out, curves) = (&mut text, &whole.curves);
    let percent = whole.confidence.level * 100.0;
    let _ = writeln!(
        out,
        "Kaplan-Meier, standard error by {}, {percent}% limits on the {} scale.",
        curves.method.std_err, whole.confidence.scale,
    );
    let _ = writeln!(out, "{} rows used of {}.{}", curves.used, whole.rows, lacking(&curves.dropped));
    curves.groups.iter().for_each(|group| curve(out, group));
    if let Some(test) = &curves.logrank {
        logrank(out, test);
    }
    curves.cumulative_incidence.iter().flatten().for_each(|curve| incidence(out, curve));
    for gray in curves.gray.iter().flatten() {
        let _ = writeln!(out, "Gray's test of cause {}: {}", gray.cause, tested(&gray.test));
    }
    if let Some(fit) = &whole.cox {
        cox(out, fit, percent);
    }
    for note in &whole.notes {
        let _ = writeln!(out, "\nNote: {note}");
    }
    let _ = writeln!(out, "\nplantigrade {}", whole.version);
    text
}

fn tested(test: &ChiSquaredTest) -> String {
    format!("chi-squared {} on {} df, p {}", figure(test.chi2), test.df, probability(test.p))
}

fn lacking(dropped: &DroppedRows) -> String {
    if dropped.missing_by_column.is_empty() {
        return String::new();
    }
    let words: Vec<String> =
        dropped.missing_by_column.iter().map(|(name, count)| format!("{name} {count}")).collect();
    format!(" Left out for missing values: {} ({}).", dropped.rows, words.join(", "))
}

fn titled(out: &mut String, title: &str, group: Option<&String>) {
    let _ = match group {
        Some(name) => write!(out, "\n{title}, group {name}"),
        None => write!(out, "\n{title}"),
    };
}

fn curve(out: &mut String, group: &GroupCurve) {
    titled(out, "Survival", group.group.as_ref());
    let _ = writeln!(
        out,
        ": n {}, events {}\n  median {} ({} to {}); mean up to {}: {} (standard error {})",
        group.n,
        group.events,
        figure(group.median),
        figure(group.median_lower),
        figure(group.median_upper),
        figure(group.rmst_until),
        figure(group.rmst),
        figure(group.rmst_std_err),
    );
    let seen = group.points.iter().filter(|point| point.events > 0.0);
    let cells = seen.map(|point| {
        let figures =
            [point.time, point.at_risk, point.events, point.censored, point.survival, point.std_err];
        let mut row: Vec<String> = figures.map(figure).into();
        row.extend([figure(point.lower), figure(point.upper)]);
        row
    });
    let rows: Vec<Vec<String>> = cells.collect();
    columns(out, &["time", "at risk", "events", "censored", "survival", "std err", "lower", "upper"], &rows);
}

fn incidence(out: &mut String, curve: &CauseCurve) {
    titled(out, "Cumulative incidence (Aalen-Johansen)", curve.group.as_ref());
    let _ = writeln!(out, ", cause {}: events {}", curve.cause, curve.events);
    let seen = curve.points.iter().filter(|point| point.events > 0.0);
    let cells = seen.map(|point| {
        let figures = [point.time, point.at_risk, point.events, point.incidence, point.std_err];
        let mut row: Vec<String> = figures.map(figure).into();
        row.extend([figure(point.lower), figure(point.upper)]);
        row
    });
    let rows: Vec<Vec<String>> = cells.collect();
    columns(out, &["time", "at risk", "events", "incidence", "std err", "lower", "upper"], &rows);
}

fn logrank(out: &mut String, test: &LogRankResult) {
    let how = if test.stratified { "Stratified log-rank test" } else { "Log-rank test" };
    let _ = writeln!(out, "\n{how}: {}", tested(&test.test));
    let row = |group: &super::results::GroupEvents| {
        let name = group.group.clone().unwrap_or_default();
        vec![name, figure(group.count.n as f64), figure(group.count.observed), figure(group.count.expected)]
    };
    let rows: Vec<Vec<String>> = test.groups.iter().map(row).collect();
    columns(out, &["group", "n", "observed", "expected"], &rows);
}

fn term(term: &CoxTerm) -> Vec<String> {
    vec![
        term.name.clone(),
        figure(term.coefficient.coef),
        figure(term.coefficient.se),
        figure(term.coefficient.robust_se),
        figure(term.coefficient.z),
        probability(term.coefficient.p),
        figure(term.hr),
        figure(term.lower),
        figure(term.upper),
    ]
}

fn cox(out: &mut String, cox: &CoxResult, percent: f64) {
    let cause = cox.cause.as_ref().map_or_else(String::new, |cause| format!(" of cause {cause}"));
    let _ = writeln!(
        out,
        "\nCox regression{cause}, {} ties: n {}, events {}, variance: {}, {percent}% limits.{}",
        cox.ties,
        cox.n,
        cox.events,
        cox.variance,
        lacking(&cox.dropped),
    );
    let rows: Vec<Vec<String>> = cox.terms.iter().map(term).collect();
    columns(out, &["", "coef", "se", "robust se", "z", "p", "hazard ratio", "lower", "upper"], &rows);
    for (words, test) in
        [("Likelihood ratio", &cox.likelihood_ratio), ("Wald", &cox.wald), ("Score", &cox.score)]
    {
        let _ = writeln!(out, "{words} test: {}", tested(test));
    }
    let _ = writeln!(out, "Proportional hazards, against one minus the Kaplan-Meier curve:");
    let row = |one: &super::results::TermTest| {
        let ChiSquaredTest { chi2, df, p, .. } = one.test;
        vec![one.term.clone(), figure(chi2), df.to_string(), probability(p)]
    };
    let rows: Vec<Vec<String>> = cox.ph_test.iter().map(row).collect();
    columns(out, &["", "chi-squared", "df", "p"], &rows);
    let (value, std_err) = cox.concordance.as_ref().map(|one| (one.value, one.std_err)).unzip();
    let _ = writeln!(out, "Concordance {} (standard error {})", figure(value), figure(std_err));
}
