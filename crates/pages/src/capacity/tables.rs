//! Tables of waits, of sizes, and of two settings compared.

use caseload::{CaseloadSummary, Comparison, RunBand, Share, SizeNeed};
use maud::{Markup, html};
use record::Day;
use std::collections::BTreeSet;

/// Shown where there is nothing to average.
const NONE: &str = "none";

/// A number with one decimal below ten and none above.
fn number(value: f64) -> String {
    let text = if value.abs() < 10.0 { format!("{value:.1}") } else { format!("{value:.0}") };
    let text = text.strip_suffix(".0").unwrap_or(&text);
    if text == "-0" { "0".to_owned() } else { text.replacen('-', "−", 1) }
}

fn band(band: Option<RunBand>) -> Markup {
    html! {
        @match band {
            None => (NONE),
            Some(band) => { (number(band.middle)) " " span.rel { "(" (number(band.low90)) " to " (number(band.high90)) ")" } },
        }
    }
}

fn percent(share: Share) -> Option<RunBand> {
    let scaled = |value: f64| 100.0 * value;
    share.band.map(|band| RunBand {
        low90: scaled(band.low90),
        low50: scaled(band.low50),
        middle: scaled(band.middle),
        high50: scaled(band.high50),
        high90: scaled(band.high90),
    })
}

/// How long children wait.
pub fn waits(summary: &CaseloadSummary) -> Markup {
    html! {
        p { "The median of the runs, with the 90 % interval in brackets." }
        div.scroll tabindex="0" role="group" aria-label="Table: waits" {
            table.numbers {
                thead { tr { th scope="col" { "From … to" } th scope="col" { "Mean, days" } th scope="col" { "90th percentile, days" } th scope="col" { "Children still waiting at the end" } } }
                tbody { @for wait in &summary.waits {
                    tr {
                        th scope="row" { (crate::words::capital(wait.words)) }
                        td { (band(wait.mean_days)) }
                        td { (band(wait.nine_in_ten_days)) }
                        td { (band(Some(wait.still_waiting))) }
                    }
                } }
            }
        }
        dl.counts.capacity-counts {
            div { dt { "casts per 100 overdue for a change: no place found" } dd { (band(percent(summary.past_window))) } }
            div { dt { "casts per 100 overdue for a change: child did not come" } dd { (band(percent(summary.past_window_not_come))) } }
            div { dt { "holding casts because there was no place" } dd { (band(summary.holding_casts)) } }
            div { dt { "tenotomies" } dd { (band(summary.tenotomies)) } }
            div { dt { "relapses" } dd { (band(summary.relapses)) } }
        }
    }
}

/// A table of sizes in rows and quarters in columns.
pub fn sizes(title: &str, head: &str, start: Day, quarters: &[Vec<SizeNeed>]) -> Markup {
    let sizes: BTreeSet<u32> = quarters.iter().flatten().map(|need| need.size_mm).collect();
    let shown = quarters.len().min(8);
    html! {
        @if sizes.is_empty() { p { (title) ": none needed." } }
        @else {
            div.scroll tabindex="0" role="group" aria-label={ "Table: " (title) } {
                table.numbers.sizes {
                    caption { (title) }
                    thead { tr { th scope="col" { (head) } @for n in 0..shown { th scope="col" { "from " ((start + 91 * n as i32).words()) } } } }
                    tbody { @for &size in &sizes {
                        tr { th scope="row" { (size) } @for quarter in &quarters[..shown] { td { (need(quarter, size)) } } }
                    } }
                }
            }
        }
    }
}

fn need(quarter: &[SizeNeed], size: u32) -> Markup {
    html! {
        @match quarter.iter().find(|need| need.size_mm == size) {
            Some(need) => (band(Some(need.needed))),
            None => span.rel { "0" },
        }
    }
}

/// The comparison of two settings.
pub fn compared(comparison: &Comparison) -> Markup {
    html! {
        div.scroll tabindex="0" role="group" aria-label="Table: two settings side by side" {
            table.numbers {
                thead { tr { th scope="col" { "What" } th scope="col" { "Present setting" } th scope="col" { "Other setting" } th scope="col" { "Difference, run by run" } } }
                tbody { @for one in &comparison.differences {
                    tr {
                        th scope="row" { (one.measure.words()) }
                        td { (band(one.first)) }
                        td { (band(one.other)) }
                        td { (change(one.change)) }
                    }
                } }
            }
        }
        p.rel { "Both settings are simulated with the same children and the same random draws, so the difference comes from the setting alone. In brackets: 90 % interval." }
    }
}

fn change(change: Option<RunBand>) -> Markup {
    let signed = |value: f64| if value > 0.049 { format!("+{}", number(value)) } else { number(value) };
    html! {
        @match change {
            None => (NONE),
            Some(change) => { strong { (signed(change.middle)) } " " span.rel { "(" (signed(change.low90)) " to " (signed(change.high90)) ")" } },
        }
    }
}
