//! Brace wear of one child: hours worn compared with those prescribed, the family's diary, and logger files.

mod chart;
mod diary;
mod logger;
pub mod scan;

pub use chart::wear_chart;
pub use diary::{ASKED, HOURS, REASON, WEEKS_AT_MOST};
pub use logger::{LoggedDay, LoggerPreview, logger_preview};
pub use scan::{DiaryScanView, diary_scan};

use crate::{
    Frame, HelpTopic, chart_links,
    fields::Filled,
    frame,
    parts::{self, Who},
    words,
};
use course::WearKind;
use forecast::relapse::RelapseByWear;
use maud::{Markup, html};
use record::Day;
use wear::adherence::{Adherence, PUBLISHED_OVER_REPORT, WearAccount};

/// The wear page of one child.
#[derive(Debug, Clone)]
pub struct WearView {
    /// The child.
    pub who: Who,
    /// Hours worn, compared with those prescribed.
    pub adherence: Adherence,
    /// Hours prescribed today; `None` if the child has no brace.
    pub prescribed: Option<f64>,
    /// The chance of a relapse given the hours worn.
    pub risk: Option<RelapseByWear>,
    /// Number of finished feet of this clinic on which the chance is based; 0 if it rests on published figures only.
    pub finished_feet: usize,
    /// First Monday of the diary shown, and its number of weeks.
    pub weeks: (Day, u16),
    /// The values in the diary, with their errors.
    pub filled: Filled,
    /// Why the logger file just sent was refused.
    pub file_error: Option<String>,
    /// Token that makes a double submit harmless.
    pub once: String,
}

/// Number of weeks that the summary of recent wear covers.
const LATELY_WEEKS: usize = 4;
/// A change smaller than this is not shown, hours a day.
const LEAST_CHANGE_HOURS: f64 = 1.0;

/// The page.
#[must_use]
pub fn wear(frame: &Frame, view: &WearView) -> Markup {
    let body = html! {
        (parts::band(&view.who, "brace wear", frame.today))
        (parts::error_summary(&view.filled))
        (diary::asked(view))
        section.card.wear-summary aria-labelledby="summary-head" {
            h2 id="summary-head" { "Summary" }
            (summary(view))
        }
        section.card.no-print aria-labelledby="weeks-head" {
            h2 id="weeks-head" { "Week by week" }
            (chart::chart(&view.adherence))
            (chart_links(&format!("{}/chart/wear", view.who.href()), "", "hours week by week"))
        }
        section.card.wear-diary aria-labelledby="diary-head" { (diary::diary(frame, view)) }
        section.card.no-print aria-labelledby="logger-head" { (logger::upload(frame, view)) }
    };
    frame::page(frame, HelpTopic::Wear, "Wear", &body)
}

fn summary(view: &WearView) -> Markup {
    let sentences = sentences(view);
    html! {
        @match view.prescribed {
            Some(hours) => p { "Prescribed now: " strong { (format!("{hours:.0} hours a day")) } "." },
            None => p { "The child has no brace today." },
        }
        @if sentences.is_empty() { p { "No hours are recorded yet. Ask the family for the diary, or import a logger file below." } }
        ul.plain-list { @for sentence in &sentences { li { (sentence) } } }
        @if let Some(risk) = &view.risk { (risk_words(risk, view.finished_feet)) }
    }
}

const fn source(kind: WearKind) -> &'static str {
    match kind {
        WearKind::Reported => "Reported by the family",
        WearKind::Logged => "Logged",
    }
}

/// The summary of reported and of logged hours, and their comparison; the two are never mixed.
fn sentences(view: &WearView) -> Vec<String> {
    let mut all = Vec::new();
    for account in [&view.adherence.logged, &view.adherence.reported] {
        of_account(account, &mut all);
    }
    if let Some(both) = view.adherence.both {
        let ratio = both.ratio().map_or_else(
            || "nothing was logged".to_owned(),
            |ratio| format!("ratio {ratio:.2}; {PUBLISHED_OVER_REPORT:.2} is usual (Sangiorgio 2016)"),
        );
        all.push(format!(
            "On {} days with both: reported {:.1}, logged {:.1} hours a day, {ratio}.",
            both.days, both.reported, both.logged
        ));
    }
    all
}

fn of_account(account: &WearAccount, all: &mut Vec<String>) {
    let Some((hours, prescribed)) = account.lately(LATELY_WEEKS) else { return };
    let source = source(account.kind);
    let share =
        if prescribed > 0.0 { format!(", {:.0} %", 100.0 * hours / prescribed) } else { String::new() };
    all.push(format!(
        "{source}: {hours:.1} of {prescribed:.0} prescribed hours a day{share}, over the last {} with data, up to {}.",
        crate::words::count(account.weeks.len().min(LATELY_WEEKS) as i64, "week", "weeks"),
        account.days.keys().next_back().map_or_else(String::new, |day| day.words())
    ));
    if let Some(change) =
        account.change.filter(|change| (change.before - change.after).abs() >= LEAST_CHANGE_HOURS)
    {
        all.push(format!(
            "{source}: changed from {:.1} to {:.1} hours a day in the week of {}.",
            change.before,
            change.after,
            change.from.words()
        ));
    }
    if let Some(trend) = account.trend.filter(|trend| trend.abs() >= 0.5) {
        let way = if trend > 0.0 { "rising" } else { "falling" };
        all.push(format!("{source}: {way} by {:.1} hours a day per month.", trend.abs()));
    }
    let without = account.days_without();
    if without > 0 {
        let known = account.days.len();
        all.push(format!("{source}: no wear on {without} of {known} days with data."));
    }
    if let Some(missed) = account.missed.filter(|missed| !missed.ended) {
        all.push(format!(
            "{source}: not worn from {} to {}; no data since.",
            missed.from.words(),
            missed.to.words()
        ));
    }
}

fn risk_words(risk: &RelapseByWear, finished_feet: usize) -> Markup {
    let percent = |chance: f64| format!("{:.0} %", 100.0 * chance);
    let basis = match finished_feet {
        0 => "published figures only".to_owned(),
        feet => format!(
            "published figures and this clinic’s {}",
            words::count(feet as i64, "finished foot", "finished feet")
        ),
    };
    html! {
        p.wear-risk {
            "Chance that a foot relapses within a year in the brace, given these hours (" (basis) "): about "
            strong { (percent(risk.now)) } ", " (risk.grade().words()) ". It is about " (percent(risk.keeping))
            " if the brace is worn as prescribed and " (percent(risk.not_keeping)) " if it is not."
        }
        p.hint {
            "A graded risk, not a threshold: nearly half of 124 children still well corrected at two years wore the brace less than 8 hours a day at 18 months (Richards and others, J Pediatr Orthop). Local protocol and the treating clinician take precedence."
        }
    }
}
