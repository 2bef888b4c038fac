//! `audit --year`: the year in figures. Small numbers are withheld, so that it may leave the clinic.

use super::{print, print_sorted};
use crate::exit::Failure;
use audit::report::{ReportLine, YearReport};
use pages::figure_words;
use serde::Serialize;
use std::fmt::Write as _;

/// Prints a year.
///
/// # Errors
/// When it cannot be printed.
pub fn year(report: &YearReport, selected: Option<&str>, as_json: bool) -> Result<(), Failure> {
    let result = YearResult { report, selected };
    if as_json { print_sorted(&result) } else { print(&text(&result)) }
}

/// The year of a selection.
#[derive(Debug, Serialize)]
struct YearResult<'a> {
    #[serde(flatten)]
    report: &'a YearReport,
    /// The selection in words; `None` for the whole clinic.
    selected: Option<&'a str>,
}

fn text(result: &YearResult<'_>) -> String {
    let YearResult { report, selected } = result;
    let mut text = format!(
        "The year {} in figures, as known on {}, {}. Plantigrade {}.\n",
        report.year,
        report.as_of.words(),
        report.known_by.words(),
        report.version
    );
    if let Some(selected) = selected {
        let _ = writeln!(text, "Selected: {selected}.");
    }
    let begun = report.begun.map_or_else(|| "withheld".to_owned(), |children| children.to_string());
    let _ = writeln!(text, "Children who began casting: {begun}");
    report.lines.iter().for_each(|line| one(&mut text, line));
    let _ = writeln!(text, "\n{}\n{}", report.rule, report.caution);
    text
}

fn one(text: &mut String, line: &ReportLine) {
    let definition = line.measure.definition();
    let _ = writeln!(text, "\n{} ({})", line.name, line.measure.key());
    let _ = writeln!(text, "  of {}", line.of_whom);
    if let Some((n, children)) = line.n.zip(line.children) {
        let events = line.events.map(|events| format!(", {events} events")).unwrap_or_default();
        let _ = writeln!(text, "  {} of {children} children{events}", definition.unit.count(n));
    }
    for figure in &line.figures {
        let (value, limits) = figure_words(definition, figure);
        let limits = if limits == "–" { String::new() } else { format!("  95 % limits {limits}") };
        let _ = writeln!(text, "  {:<34} {value:>10}{limits}", figure.label);
    }
    if let Some(why) = line.why_none.as_ref().filter(|_| line.figures.is_empty()) {
        let _ = writeln!(text, "  {why}");
    }
    for published in line.published {
        let _ = writeln!(text, "  published: {}, {} ({})", published.figure, published.of, published.source);
    }
    let _ = writeln!(text, "  {}", line.method);
}
