//! The yearly report of a clinic, for the screen and for paper.

use super::{Choice, Names, PARTS, ResultsFilter, figure_words, filter};
use crate::{Frame, HelpTopic, frame, words::count};
use audit::{
    Figure, Measure, Unit,
    report::{ReportLine, YearReport},
};
use maud::{Markup, html};

/// The yearly report of a clinic, or of one site or clinician.
#[derive(Debug, Clone)]
pub struct YearView {
    /// The day, site and clinician.
    pub filter: ResultsFilter,
    /// The report.
    pub report: YearReport,
    /// Names of sites and clinicians.
    pub names: Names,
    /// Name of the clinic.
    pub clinic: String,
}

/// Number of years offered for choice.
const OFFERED: i32 = 5;

/// The page.
#[must_use]
pub fn year(frame: &Frame, view: &YearView) -> Markup {
    let report = &view.report;
    let title = format!("The year {} in figures", report.year);
    let selected = view.filter.words(&view.names.sites, &view.names.clinicians);
    let find = |measure: &Measure| report.lines.iter().find(|line| line.measure == *measure);
    let body = html! {
        nav.back aria-label="Back" { a href="/results" { "All results" } }
        header.page-head { div {
            h1 { (title) }
            p.tally { (view.clinic) " · as known on " (crate::words::day(report.as_of)) ", " (report.known_by.words()) " · Plantigrade " (report.version) }
        } (crate::parts::print_button()) }
        @if let Some(selected) = &selected { p.message.note role="status" { strong { "Shown: " } (selected) } }
        (choose(frame, view))
        p.lead {
            @match report.begun {
                Some(children) => { (count(children as i64, "child", "children")) " began casting in " (report.year) "." },
                None => { "How many children began casting in " (report.year) " is withheld because the number is small." },
            }
        }
        @for (id, part, measures) in PARTS {
            section.year-part aria-labelledby=(id) {
                h2 id=(id) { (part) }
                @for line in measures.iter().filter_map(find) { (one(report, line)) }
            }
        }
        section { h2 { "How to read this report" }
            p { "Shares, numbers and rates are of " (report.lines.first().map_or("the year", |line| line.of_whom)) "; outcomes that take longer are of all children known by the end of the year. Each line states which." }
            p { "Small numbers. " (report.rule) }
            p.caution { (report.caution) " They do not replace the judgement of a qualified clinician." }
        }
    };
    frame::page(frame, HelpTopic::Year, &title, &body)
}

fn choose(frame: &Frame, view: &YearView) -> Markup {
    let (this, _, _) = frame.today.parts();
    let years: Vec<Choice> = (0..OFFERED)
        .map(|back| (this - back).to_string())
        .chain([view.report.year.to_string()])
        .map(|year| Choice { key: year.clone(), words: year })
        .collect();
    let mut years = years;
    years.sort_by(|a, b| b.key.cmp(&a.key));
    years.dedup();
    html! {
        details.more.results-filter {
            summary { "Choose the year, the site and the day" }
            form method="get" action="/results/year" {
                div.grid {
                    (filter::choose_needed("year", "Year", &view.report.year.to_string(), &years))
                    (filter::day("as_of", "As known on", view.filter.as_of, frame.today))
                    (filter::known_by(&view.filter))
                    (filter::choose("site", "Site", view.filter.site.as_deref(), &view.names.sites))
                    (filter::choose("clinician", "First cast by", view.filter.clinician.as_deref(), &view.names.clinicians))
                }
                div.actions { button.primary type="submit" { "Show" } }
            }
        }
    }
}

/// "120 feet of 84 children, 30 events".
fn basis(line: &ReportLine) -> String {
    let Some((n, children)) = line.n.zip(line.children) else { return "numbers withheld".to_owned() };
    let unit = line.measure.definition().unit;
    let mut text = unit.count(n);
    if unit == Unit::Foot {
        text.push_str(&format!(" of {}", count(children as i64, "child", "children")));
    }
    if let Some(events) = line.events {
        text.push_str(&format!(", {}", count(events as i64, "event", "events")));
    }
    text
}

fn figure(line: &ReportLine, figure: &Figure, is_first: bool) -> Markup {
    let (value, interval) = figure_words(line.measure.definition(), figure);
    html! {
        div { dt { (figure.label) } dd { @if is_first { strong { (value) } } @else { (value) } @if interval != "–" { " " span.rel { "(95 % confidence interval " (interval) ")" } } } }
    }
}

fn one(report: &YearReport, line: &ReportLine) -> Markup {
    html! {
        article.year-line {
            div {
                h3 { (line.name) }
                p.rel { (line.question) }
                @if line.figures.is_empty() { p { (line.why_none.as_deref().unwrap_or("Nothing to compute from.")) } }
                @else { dl.year-figures { @for (n, one) in line.figures.iter().enumerate() { (figure(line, one, n == 0)) } } }
                p.result-caption { (crate::words::capital(line.measure.method_short())) " · " (basis(line)) " · " (line.of_whom) " · as known on " (report.as_of.words()) ", " (report.known_by.words()) " · Plantigrade " (report.version) }
            }
            @if !line.published.is_empty() {
                div.year-published {
                    h4 { "Published" }
                    ul { @for published in line.published { li { (published.figure) span.rel { ": " (published.of) ". " cite { (published.source) } } } } }
                }
            }
        }
    }
}
