//! The cupboard: the clinic's own list of boots and bars, and what the next quarter will need.

use crate::{
    Frame,
    fields::{self, Filled},
    frame, parts,
};
use guidance::brace::{Need, Stock};
use maud::{Markup, html};
use record::DayRange;

/// The field that holds the list.
pub const LIST: &str = "list";

/// The cupboard.
#[derive(Debug, Clone)]
pub struct StockView {
    /// The list in force.
    pub stock: Stock,
    /// The list as it stands in the form, with what is wrong with it.
    pub filled: Filled,
    /// Why the list in force could not be read, where it could not.
    pub trouble: Option<String>,
    /// The days looked at.
    pub window: DayRange,
    /// Boots needed, by size.
    pub boots: Vec<Need>,
    /// Bars that become too narrow: mean, and the ends of nine cases of ten.
    pub bars: (f64, (u16, u16)),
    /// Children counted, and children in the brace of whom nothing can be said.
    pub counted: (usize, usize),
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
        (parts::error_summary(&view.filled))
        @if let Some(trouble) = &view.trouble { p.message.warning role="status" { strong { "Look at this: " } (trouble) } }
        (needs(view))
        (bars(view))
        (form(frame, view))
        (parts::caution())
    };
    frame::page(frame, "Stock", &body)
}

fn needs(view: &StockView) -> Markup {
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
                        tbody { @for need in &view.boots { (row(need)) } }
                    }
                }
                p.rel { "“Order now” is what is missing for the upper end, so that nineteen times of twenty there are enough. A pair counts as one." }
            }
        }
    }
}

fn row(need: &Need) -> Markup {
    html! {
        tr {
            th scope="row" { (need.label) }
            td { (need.inner_mm) }
            td { @match need.in_store { Some(count) => (count), None => "not counted" } }
            td.unbroken { (format!("{:.1}", need.expected)) " (" (need.ninety.0) "–" (need.ninety.1) ")" }
            td { (need.children) }
            td { @match need.order { Some(0) => "nothing", Some(count) => strong { (count) }, None => "count first" } }
        }
    }
}

fn bars(view: &StockView) -> Markup {
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
                            td { @match bar.in_store { Some(count) => (count), None => "not counted" } }
                        } } }
                    }
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
            p { "Your own labels, the length inside each boot, the shortest and longest setting of each bar, and how many there are. Leave " code { "in_store" } " out where nobody counts. No maker’s sizes are built in: measure the inside." }
            form method="post" action="/stock" {
                (parts::csrf(&frame.csrf))
                div.field {
                    label for=(id) { "The list" }
                    (parts::field_error(&view.filled, LIST))
                    textarea id=(id) name=(LIST) rows="18" spellcheck="false" aria-describedby=(described) aria-invalid=[bad.then_some("true")] { (view.filled.value(LIST)) }
                }
                button.primary type="submit" { "Keep this list" }
            }
            details.more id="list-example" { summary { "An example" } pre { code { (EXAMPLE) } } }
        }
    }
}

/// The form filled from a list.
#[must_use]
pub fn filled(stock: &Stock) -> Filled {
    let text = if stock.is_empty() { String::new() } else { stock.to_toml() };
    Filled::default().with(LIST, text).with(fields::CSRF, "")
}
