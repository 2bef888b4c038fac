//! Stock: the clinic's own list of boots and bars, and what it will need in the next quarter.

pub mod rows;

use crate::{
    Frame, HelpTopic,
    fields::{self, Filled},
    frame,
    parts::{self, Who},
    words,
};
use guidance::Attention;
use guidance::brace::{Need, Stock};
use maud::{Markup, html};
use record::{DayRange, Right};
use rows::StockKind;

/// The form field that holds the list as text.
pub const LIST: &str = "list";

/// The page of the stock.
#[derive(Debug, Clone)]
pub struct StockView {
    /// The saved list.
    pub stock: Stock,
    /// The list as text in the form, with its errors.
    pub filled: Filled,
    /// The list as rows in the form, with its errors.
    pub rows: Filled,
    /// The row just added; it receives the cursor.
    pub new_row: Option<(StockKind, usize)>,
    /// Identifies the version of the list from which the forms were made.
    pub seen: String,
    /// Who changed the list last, and when.
    pub changed: Option<String>,
    /// Where the saved list differs from the form, if somebody changed it in the meantime.
    pub clash: Option<Vec<String>>,
    /// Why the saved list could not be read, if it could not.
    pub warning: Option<String>,
    /// The period covered.
    pub window: DayRange,
    /// Boots needed in the period, by size.
    pub boots: Vec<Need>,
    /// Number of bars that become too narrow: mean and 90 % interval.
    pub bars: (f64, (u16, u16)),
    /// Children whose boots or bar must be ordered or are about to be outgrown, and their total number.
    pub children: (Vec<StockChild>, usize),
    /// Number of children counted, and of children in the brace for whom no forecast is possible.
    pub counted: (usize, usize),
    /// Fittings that were withdrawn or corrected while what they took is still out of stock.
    pub returns: Vec<StockReturn>,
}

/// A fitting that was withdrawn or corrected while what it took is still out of stock.
#[derive(Debug, Clone)]
pub struct StockReturn {
    /// The child.
    pub who: Who,
    /// The fitting.
    pub entry: record::EntryId,
    /// What it took, in one sentence for each size and bar.
    pub lines: Vec<String>,
}

/// A child whose boots or bar need to be ordered.
#[derive(Debug, Clone)]
pub struct StockChild {
    /// The child.
    pub who: Who,
    /// The forecast as a call for attention.
    pub call: Attention,
}

/// An invented example of a list.
const EXAMPLE: &str = "[[boots]]
label = \"boot A\"
inner_mm = 90
in_store = 3

[[bars]]
label = \"short bar\"
from_mm = 150
to_mm = 220
in_store = 2";

/// The page.
#[must_use]
pub fn stock(frame: &Frame, view: &StockView) -> Markup {
    let body = html! {
        header.page-head { div {
            h1 { "Stock" }
            p.tally { "Boots and bars in stock, and what the next quarter will need" }
        } (parts::print_button()) }
        (parts::error_summary(&view.rows))
        (parts::error_summary(&view.filled))
        (clash(view))
        @if let Some(warning) = &view.warning { p.message.warning role="status" { strong { "Warning: " } (warning) } }
        (returns(frame, &view.returns))
        (needs(frame, view))
        (bars(frame, view))
        (children(frame, view))
        (form(frame, view))
        (parts::caution())
    };
    frame::page(frame, HelpTopic::Stock, "Stock", &body)
}

/// Shown when somebody else changed the list while this form was open: nothing is lost, and nothing is
/// overwritten without being shown.
fn clash(view: &StockView) -> Markup {
    let Some(differences) = &view.clash else { return html! {} };
    html! {
        div.errors role="alert" {
            h2 { "Nothing was saved yet: the list was changed after you opened it" }
            @if let Some(changed) = &view.changed { p { (changed) } }
            @if !differences.is_empty() {
                p { "The saved list differs from what you typed:" }
                ul { @for line in differences { li { (line) } } }
            }
            p { "Your version is shown below. Where the other person’s value is right, enter it, then save the list again." }
        }
    }
}

/// What can be put back, each with the way to its entry, where one tap does it.
fn returns(frame: &Frame, returns: &[StockReturn]) -> Markup {
    html! {
        @if !returns.is_empty() {
            section.card aria-labelledby="returns-head" {
                h2 id="returns-head" { "To be put back? " span.count { (returns.len()) } }
                p { "These fittings were withdrawn or corrected, and what they took is still out of stock." }
                ul.plain-list { @for one in returns { li {
                    strong { (one.who.shown_name()) } ", " (one.who.number()) ": " (one.lines.join(" ")) " "
                    @if frame.may(Right::SeeClinical) { a href={ (one.who.href()) "/entry/" (one.entry) "#stock" } { "Look at this fitting" span.sr { " of " (one.who.shown_name()) } } }
                } } }
            }
        }
    }
}

fn needs(frame: &Frame, view: &StockView) -> Markup {
    let (counted, unmeasured) = view.counted;
    html! {
        section aria-labelledby="needs-head" {
            h2 id="needs-head" { "Boots from " (view.window.from.words()) " to " (view.window.to.words()) }
            p { "Forecast from the growth of " (words::count(counted as i64, "child", "children")) " in the brace: the mean, with its 90 % interval. "
                @if unmeasured > 0 { strong { (unmeasured) " more in the brace " @if unmeasured == 1 { "is" } @else { "are" } " not counted" } ": the length of a foot, the inside length of its boot or the date of birth is not recorded." } }
            @if view.boots.is_empty() {
                p { "Nobody is expected to need a new size, and the clinic has no list yet." }
            } @else {
                div.scroll tabindex="0" role="group" aria-label="Table: boots needed by size" {
                    table.listed {
                        thead { tr { th scope="col" { "Boot" } th scope="col" { "Inside, mm" } th scope="col" { "In stock" } th scope="col" { "Needed" } th scope="col" { "Children who may need it" } th scope="col" { "Order now" } } }
                        tbody { @for need in &view.boots { (row(frame, view, need)) } }
                    }
                }
                p.rel { "“Order now” brings the stock up to the upper end of the interval, so that it suffices in 19 of 20 cases. A pair counts as one." }
            }
        }
    }
}

fn row(frame: &Frame, view: &StockView, need: &Need) -> Markup {
    html! {
        tr {
            th scope="row" { (need.label) }
            td { (need.inner_mm) }
            td { @if view.stock.boots.iter().any(|boot| boot.label == need.label) { (rows::counter(frame, StockKind::Boot, &need.label, need.in_store)) } @else { "not counted" } }
            td.unbroken { (format!("{:.1}", need.expected)) " (" (need.ninety.0) "–" (need.ninety.1) ")" }
            td { (need.children) }
            td { @match need.order { Some(0) => "nothing", Some(count) => strong { (count) }, None => "count first" } }
        }
    }
}

fn bars(frame: &Frame, view: &StockView) -> Markup {
    let (mean, (low, high)) = view.bars;
    html! {
        section aria-labelledby="bars-head" {
            h2 id="bars-head" { "Bars" }
            p { "Bars that become too narrow in this period: " strong { (format!("{mean:.1}")) } " (" (low) "–" (high) "), for children whose bar length and shoulder width are recorded." }
            @if !view.stock.bars.is_empty() {
                div.scroll tabindex="0" role="group" aria-label="Table: bars of the list" {
                    table.listed {
                        thead { tr { th scope="col" { "Bar" } th scope="col" { "Set from, mm" } th scope="col" { "to, mm" } th scope="col" { "In stock" } } }
                        tbody { @for bar in &view.stock.bars { tr {
                            th scope="row" { (bar.label) } td { (bar.from_mm) } td { (bar.to_mm) }
                            td { (rows::counter(frame, StockKind::Bar, &bar.label, bar.in_store)) }
                        } } }
                    }
                }
            }
        }
    }
}

/// Forecasts, child by child. A boot that is already too small is in the list of children who need attention.
fn children(frame: &Frame, view: &StockView) -> Markup {
    let (rows, total) = &view.children;
    html! {
        section aria-labelledby="children-head" {
            h2 id="children-head" { "For whom " span.count { (total) } }
            p { "Forecasts of boots and bars, the longest overdue first. Boots that are already too small are listed under " @if frame.may(Right::SeeClinical) { a href="/attention" { "Needs attention" } } @else { "“Needs attention” of those who treat" } "." }
            @if rows.len() < *total { p.rel { (rows.len()) " of " (total) " are shown." } }
            details { summary { "Children and forecasts" }
                @if frame.may(Right::SeeClinical) {
                    ul.call-list { @for row in rows { (parts::attention_row(row.who.id, &row.call, Some(&row.who), frame.today)) } }
                } @else {
                    ul.call-list { @for row in rows { li.call { div.call-who { (parts::who_line(&row.who, frame.today)) } div.call-what { p.call-text { (row.call.text.words()) } } } } }
                }
            }
        }
    }
}

fn form(frame: &Frame, view: &StockView) -> Markup {
    let id = parts::field_id(LIST);
    let bad = view.filled.has_error(LIST);
    let described = if bad { format!("{id}-error list-example") } else { "list-example".to_owned() };
    html! {
        section.stock-form aria-labelledby="list-head" {
            h2 id="list-head" { "The clinic’s own list" }
            p { "Your own labels, the inside length of each boot, the shortest and longest setting of each bar, and the number in stock. Leave the number empty if you do not count them. No maker’s sizes are built in: measure the inside." }
            @if let Some(changed) = &view.changed { p.rel { (changed) } }
            details.more open[list_is_open(view)] { summary { "Sizes and bars (" (view.stock.boots.len()) " and " (view.stock.bars.len()) "): change the list" } (rows::form(frame, view)) }
            details.more open[bad] { summary { "The same list as text, to copy and paste" }
            form method="post" action="/stock/text" {
                (parts::csrf(&frame.csrf))
                (parts::hidden(fields::SEEN, &view.seen))
                div.field {
                    label for=(id) { "The list as text" }
                    (parts::field_error(&view.filled, LIST))
                    textarea id=(id) name=(LIST) rows="18" spellcheck="false" aria-describedby=(described) aria-invalid=[bad.then_some("true")] { (view.filled.value(LIST)) }
                }
                button type="submit" { "Save the list as text" }
            }
            div id="list-example" { h3 { "An example" } p { "Leave out " code { "in_store" } " if you do not count them." } pre { code { (EXAMPLE) } } }
            }
        }
    }
}

/// The rows are folded unless somebody is changing them or there are none yet.
fn list_is_open(view: &StockView) -> bool {
    view.stock.is_empty()
        || view.clash.is_some()
        || view.new_row.is_some()
        || view.rows != rows::of_list(&view.stock)
}

/// The text form filled from a list.
#[must_use]
pub fn filled(stock: &Stock) -> Filled {
    let text = if stock.is_empty() { String::new() } else { stock.to_toml() };
    Filled::default().with(LIST, text).with(fields::CSRF, "")
}
