//! The cupboard: the clinic's own list of boots and bars, and what the next quarter will need.

pub mod rows;

use crate::{
    Frame,
    fields::{self, Filled},
    frame,
    parts::{self, Who},
};
use guidance::Attention;
use guidance::brace::{Need, Stock};
use maud::{Markup, html};
use record::DayRange;
use rows::Kind;

/// The field that holds the list.
pub const LIST: &str = "list";

/// The cupboard.
#[derive(Debug, Clone)]
pub struct StockView {
    /// The list in force.
    pub stock: Stock,
    /// The list as text as it stands in the form, with what is wrong with it.
    pub filled: Filled,
    /// The list as rows as it stands in the form, with what is wrong with it.
    pub rows: Filled,
    /// The row just added, where the cursor goes.
    pub new_row: Option<(Kind, usize)>,
    /// The mark of the list that the forms were made from.
    pub seen: String,
    /// Who changed the list last, and when.
    pub changed: Option<String>,
    /// Where the list in force says otherwise than the form, when somebody changed it meanwhile.
    pub clash: Option<Vec<String>>,
    /// Why the list in force could not be read, where it could not.
    pub trouble: Option<String>,
    /// The days looked at.
    pub window: DayRange,
    /// Boots needed, by size.
    pub boots: Vec<Need>,
    /// Bars that become too narrow: mean, and the ends of nine cases of ten.
    pub bars: (f64, (u16, u16)),
    /// Children whose boots or bar are to be ordered or are about to be outgrown, and how many there are.
    pub children: (Vec<StockChild>, usize),
    /// Children counted, and children in the brace of whom nothing can be said.
    pub counted: (usize, usize),
}

/// A child whose boots or bar need to be ordered.
#[derive(Debug, Clone)]
pub struct StockChild {
    /// Who.
    pub who: Who,
    /// What is forecast.
    pub call: Attention,
}

/// An example of a list. Invented.
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
            p.tally { "What lies in the cupboard, and what the next quarter will need" }
        } }
        (parts::error_summary(&view.rows))
        (parts::error_summary(&view.filled))
        (clash(view))
        @if let Some(trouble) = &view.trouble { p.message.warning role="status" { strong { "Look at this: " } (trouble) } }
        (needs(frame, view))
        (bars(frame, view))
        (children(frame, view))
        (form(frame, view))
        (parts::caution())
    };
    frame::page(frame, "Stock", &body)
}

/// Somebody else changed the list while this form was open: nothing is lost, and nothing is overwritten
/// unseen.
fn clash(view: &StockView) -> Markup {
    let Some(otherwise) = &view.clash else { return html! {} };
    html! {
        div.errors role="alert" {
            h2 { "Nothing was saved yet: the list was changed after you opened it" }
            @if let Some(changed) = &view.changed { p { (changed) } }
            @if !otherwise.is_empty() {
                p { "What is in force now, where it differs from what you typed:" }
                ul { @for line in otherwise { li { (line) } } }
            }
            p { "What you typed stands below. Put right what should be as the other person had it, then keep the list once more." }
        }
    }
}

fn needs(frame: &Frame, view: &StockView) -> Markup {
    let (counted, unmeasured) = view.counted;
    html! {
        section aria-labelledby="needs-head" {
            h2 id="needs-head" { "Boots from " (view.window.from.words()) " to " (view.window.to.words()) }
            p { "From the growth of " (counted) " children in the brace: the mean, and between what the number lies in nine cases of ten. "
                @if unmeasured > 0 { strong { (unmeasured) " more in the brace " @if unmeasured == 1 { "is" } @else { "are" } " not counted" } ": the length of a foot, the inside of its boot or the day of birth is not written." } }
            @if view.boots.is_empty() {
                p { "Nobody is expected to need a new size, and the clinic has no list yet." }
            } @else {
                div.scroll tabindex="0" role="group" aria-label="Table: boots needed by size" {
                    table.told {
                        thead { tr { th scope="col" { "Boot" } th scope="col" { "Inside, mm" } th scope="col" { "In the cupboard" } th scope="col" { "Needed" } th scope="col" { "Children who may" } th scope="col" { "Order now" } } }
                        tbody { @for need in &view.boots { (row(frame, view, need)) } }
                    }
                }
                p.rel { "“Order now” is what is missing for the upper end, so that nineteen times of twenty there are enough. A pair counts as one." }
            }
        }
    }
}

fn row(frame: &Frame, view: &StockView, need: &Need) -> Markup {
    html! {
        tr {
            th scope="row" { (need.label) }
            td { (need.inner_mm) }
            td { @if view.stock.boots.iter().any(|boot| boot.label == need.label) { (rows::counter(frame, Kind::Boot, &need.label, need.in_store)) } @else { "not counted" } }
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
            p { "Bars that become too narrow in these days: " strong { (format!("{mean:.1}")) } " (" (low) "–" (high) "), of children whose bar and shoulders are written." }
            @if !view.stock.bars.is_empty() {
                div.scroll tabindex="0" role="group" aria-label="Table: bars of the list" {
                    table.told {
                        thead { tr { th scope="col" { "Bar" } th scope="col" { "Set from, mm" } th scope="col" { "to, mm" } th scope="col" { "In the cupboard" } } }
                        tbody { @for bar in &view.stock.bars { tr {
                            th scope="row" { (bar.label) } td { (bar.from_mm) } td { (bar.to_mm) }
                            td { (rows::counter(frame, Kind::Bar, &bar.label, bar.in_store)) }
                        } } }
                    }
                }
            }
        }
    }
}

/// Forecasts, child by child; a boot that is too small already is in the list of children who need attention.
fn children(frame: &Frame, view: &StockView) -> Markup {
    let (rows, total) = &view.children;
    html! {
        section aria-labelledby="children-head" {
            h2 id="children-head" { "For whom " span.count { (total) } }
            p { "Forecasts of boots and bars, those due for longest first. Boots that are too small already are in " a href="/attention" { "Needs attention" } "." }
            @if rows.len() < *total { p.rel { (rows.len()) " of " (total) " are shown." } }
            details { summary { "Children and forecasts" }
                ul.call-list { @for row in rows { (parts::attention_row(row.who.id, &row.call, Some(&row.who), frame.today)) } }
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
            p { "Your own labels, the length inside each boot, the shortest and longest setting of each bar, and how many there are. Leave the count empty where nobody counts. No maker’s sizes are built in: measure the inside." }
            @if let Some(changed) = &view.changed { p.rel { (changed) } }
            (rows::form(frame, view))
            details.more open[bad] { summary { "The same list as text, to copy in or out" }
            form method="post" action="/stock/text" {
                (parts::csrf(&frame.csrf))
                (parts::hidden(fields::SEEN, &view.seen))
                div.field {
                    label for=(id) { "The list as text" }
                    (parts::field_error(&view.filled, LIST))
                    textarea id=(id) name=(LIST) rows="18" spellcheck="false" aria-describedby=(described) aria-invalid=[bad.then_some("true")] { (view.filled.value(LIST)) }
                }
                button type="submit" { "Keep the list as text" }
            }
            div id="list-example" { h3 { "An example" } p { "Leave " code { "in_store" } " out where nobody counts." } pre { code { (EXAMPLE) } } }
            }
        }
    }
}

/// The form filled from a list.
#[must_use]
pub fn filled(stock: &Stock) -> Filled {
    let text = if stock.is_empty() { String::new() } else { stock.to_toml() };
    Filled::default().with(LIST, text).with(fields::CSRF, "")
}
