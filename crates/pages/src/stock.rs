//! Stock: the clinic's own list of boots and bars, and what it will need in the next quarter.

pub mod rows;

use crate::{
    Frame, HelpTopic,
    fields::{self, Filled},
    frame,
    in_language::PageLanguage,
    paper,
    parts::{self, Who, words_of},
    words,
};
use guidance::Attention;
use guidance::brace::{Bar, Need, Stock};
use maud::{Markup, html};
use messages::{ClinicPaper, PaperBlock, PaperCell, PaperRow, PaperText};
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

const TITLE: &str = "Stock";
const TALLY: &str = "Boots and bars in stock, and what the next quarter will need";
const NO_NEED: &str = "Nobody is expected to need a new size, and the clinic has no list yet.";
const ORDER_NOW: &str = "“Order now” brings the stock up to the upper end of the interval, so that it suffices in 19 of 20 cases. A pair counts as one.";
const NEED_HEADS: [&str; 6] =
    ["Boot", "Inside, mm", "In stock", "Needed", "Children who may need it", "Order now"];
const BAR_HEADS: [&str; 4] = ["Bar", "Set from, mm", "to, mm", "In stock"];
const NOT_COUNTED: &str = "not counted";
const BARS: &str = "Bars";
const FOR_WHOM: &str = "For whom";
const OVERDUE_FIRST: &str = "Forecasts of boots and bars, the longest overdue first.";

/// The page.
#[must_use]
pub fn stock(frame: &Frame, view: &StockView) -> Markup {
    let body = html! {
        header.page-head { div {
            h1 { (TITLE) }
            p.tally { (TALLY) }
        } p.actions.no-print { (parts::print_button()) " " (parts::pdf_link("/stock/pdf")) } }
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
    frame::page(frame, HelpTopic::Stock, TITLE, &body)
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
    html! {
        section aria-labelledby="needs-head" {
            h2 id="needs-head" { (needs_heading(view)) }
            p { (counted(view)) }
            @if view.boots.is_empty() {
                p { (NO_NEED) }
            } @else {
                div.scroll tabindex="0" role="group" aria-label="Table: boots needed by size" {
                    table.listed {
                        thead { tr { @for head in NEED_HEADS { th scope="col" { (head) } } } }
                        tbody { @for need in &view.boots { (row(frame, view, need)) } }
                    }
                }
                p.rel { (ORDER_NOW) }
            }
        }
    }
}

fn needs_heading(view: &StockView) -> String {
    format!("Boots from {} to {}", view.window.from.words(), view.window.to.words())
}

/// From how many children the needs are forecast, and how many are left out.
fn counted(view: &StockView) -> Markup {
    let (counted, unmeasured) = view.counted;
    html! {
        "Forecast from the growth of " (words::count(counted as i64, "child", "children")) " in the brace: the mean, with its 90 % interval. "
        @if unmeasured > 0 { strong { (unmeasured) " more in the brace " @if unmeasured == 1 { "is" } @else { "are" } " not counted" } ": the length of a foot, the inside length of its boot or the date of birth is not recorded." }
    }
}

/// Whether the list of the clinic has the boot: only then it is counted.
fn is_listed(view: &StockView, need: &Need) -> bool {
    view.stock.boots.iter().any(|boot| boot.label == need.label)
}

/// "3.4 (1–7)".
fn needed(need: &Need) -> String {
    format!("{:.1} ({}–{})", need.expected, need.ninety.0, need.ninety.1)
}

fn order(need: &Need) -> PaperText {
    match need.order {
        Some(0) => "nothing".into(),
        Some(count) => PaperText::default().strong(count.to_string()),
        None => "count first".into(),
    }
}

fn row(frame: &Frame, view: &StockView, need: &Need) -> Markup {
    html! {
        tr {
            th scope="row" { (need.label) }
            td { (need.inner_mm) }
            td { @if is_listed(view, need) { (rows::counter(frame, StockKind::Boot, &need.label, need.in_store)) } @else { (NOT_COUNTED) } }
            td.unbroken { (needed(need)) }
            td { (need.children) }
            td { (parts::paper_text(&order(need))) }
        }
    }
}

fn bars(frame: &Frame, view: &StockView) -> Markup {
    html! {
        section aria-labelledby="bars-head" {
            h2 id="bars-head" { (BARS) }
            p { (parts::paper_text(&narrow_bars(view))) }
            @if !view.stock.bars.is_empty() {
                div.scroll tabindex="0" role="group" aria-label="Table: bars of the list" {
                    table.listed {
                        thead { tr { @for head in BAR_HEADS { th scope="col" { (head) } } } }
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
            h2 id="children-head" { (FOR_WHOM) " " span.count { (total) } }
            p { (OVERDUE_FIRST) " Boots that are already too small are listed under " @if frame.may(Right::SeeClinical) { a href="/attention" { "Needs attention" } } @else { "“Needs attention” of those who treat" } "." }
            @if let Some(shown) = shown_of_all(view) { p.rel { (shown) } }
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

fn narrow_bars(view: &StockView) -> PaperText {
    let (mean, (low, high)) = view.bars;
    let text = PaperText::of("Bars that become too narrow in this period: ").strong(format!("{mean:.1}"));
    text.and(format!(" ({low}–{high}), for children whose bar length and shoulder width are recorded."))
}

/// That the list is longer than what is shown.
fn shown_of_all(view: &StockView) -> Option<String> {
    let (rows, total) = &view.children;
    (rows.len() < *total).then(|| format!("{} of {total} are shown.", rows.len()))
}

/// What to order on paper: boots, bars, and for whom.
#[must_use]
pub fn stock_paper(frame: &Frame, view: &StockView) -> ClinicPaper {
    let mut blocks = vec![PaperBlock::Paragraph(TALLY.into())];
    blocks.extend(
        view.warning
            .as_ref()
            .map(|warning| PaperBlock::Warning(vec![PaperText::default().strong("Warning: ").and(warning)])),
    );
    blocks.push(PaperBlock::Heading(needs_heading(view)));
    blocks.push(PaperBlock::Paragraph(words_of(&counted(view)).into()));
    if view.boots.is_empty() {
        blocks.push(PaperBlock::Paragraph(NO_NEED.into()));
    } else {
        let rows = view.boots.iter().map(|need| paper_need(view, need)).collect();
        let heads = NEED_HEADS.map(str::to_owned);
        blocks.push(paper::table(&heads, &[24, 12, 14, 18, 18, 14], 0, rows));
        blocks.push(PaperBlock::Small(ORDER_NOW.into()));
    }
    blocks.extend([PaperBlock::Heading(BARS.to_owned()), PaperBlock::Paragraph(narrow_bars(view))]);
    if !view.stock.bars.is_empty() {
        let row = |bar: &Bar| {
            let (from, to) = (bar.from_mm.to_string(), bar.to_mm.to_string());
            paper::row([PaperText::of(&bar.label), from.into(), to.into(), in_store(bar.in_store).into()])
        };
        let rows = view.stock.bars.iter().map(row).collect();
        blocks.push(paper::table(&BAR_HEADS.map(str::to_owned), &[40, 20, 20, 20], 0, rows));
    }
    blocks.extend(paper_children(frame, view));
    paper::paper(frame, TITLE, blocks)
}

fn in_store(count: Option<u16>) -> String {
    count.map_or_else(|| NOT_COUNTED.to_owned(), |count| count.to_string())
}

fn paper_need(view: &StockView, need: &Need) -> PaperRow {
    let stock = in_store(need.in_store.filter(|_| is_listed(view, need)));
    let (inside, children) = (need.inner_mm.to_string(), need.children.to_string());
    let label = PaperText::of(&need.label);
    paper::row([label, inside.into(), stock.into(), needed(need).into(), children.into(), order(need)])
}

fn paper_children(frame: &Frame, view: &StockView) -> Vec<PaperBlock> {
    let (children, total) = &view.children;
    let row = |child: &StockChild| {
        let who = parts::who_cell(PageLanguage::English, &child.who, frame.today);
        PaperRow::of([who, PaperCell::of(child.call.text.words())])
    };
    let mut blocks =
        vec![PaperBlock::Heading(format!("{FOR_WHOM} {total}")), PaperBlock::Paragraph(OVERDUE_FIRST.into())];
    blocks.extend(shown_of_all(view).map(|shown| PaperBlock::Small(shown.into())));
    if !children.is_empty() {
        let heads = ["Child", "Forecast"].map(str::to_owned);
        blocks.push(paper::table(&heads, &[40, 60], 0, children.iter().map(row).collect()));
    }
    blocks
}
