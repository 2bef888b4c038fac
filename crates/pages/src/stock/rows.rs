//! The clinic's stock list as rows to fill in, one for each size, and the buttons that change a count.

use super::StockView;
use crate::{
    Frame,
    fields::{self, Filled},
    parts,
};
use guidance::brace::Stock;
use maud::{Markup, html};
use std::collections::BTreeSet;

/// The form field with the button that was pressed; empty when the list is saved.
pub const DO: &str = "do";
/// The form field with the kind that is counted: a [`StockKind`] key.
pub const KIND: &str = "kind";
/// The form field with the label of the boot or bar that is counted.
pub const LABEL: &str = "label";
/// The form field with the change of the count.
pub const BY: &str = "by";

/// What is in stock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StockKind {
    /// A size of boot.
    Boot,
    /// A bar.
    Bar,
}

impl StockKind {
    /// Both kinds.
    pub const ALL: [Self; 2] = [Self::Boot, Self::Bar];

    /// Its key in the names of fields.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Boot => "boot",
            Self::Bar => "bar",
        }
    }

    /// From its key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.key() == key)
    }

    /// The fields of a row with their labels, the clinic's own label first.
    #[must_use]
    pub const fn columns(self) -> &'static [(&'static str, &'static str)] {
        match self {
            Self::Boot => {
                &[("label", "Your label"), ("inner_mm", "Inside, mm"), ("in_store", "In stock (pairs)")]
            }
            Self::Bar => &[
                ("label", "Your label"),
                ("from_mm", "Set from, mm"),
                ("to_mm", "to, mm"),
                ("in_store", "In stock"),
            ],
        }
    }

    /// The name of a field of a row.
    #[must_use]
    pub fn name(self, row: usize, what: &str) -> String {
        format!("{}.{row}.{what}", self.key())
    }

    /// The rows of a form, in order.
    #[must_use]
    pub fn rows(self, filled: &Filled) -> Vec<usize> {
        let number =
            |name: &String| name.strip_prefix(self.key())?.strip_prefix('.')?.split('.').next()?.parse().ok();
        filled.values.keys().filter_map(number).collect::<BTreeSet<usize>>().into_iter().collect()
    }

    /// The form with one more empty row.
    #[must_use]
    pub fn with_row(self, filled: Filled) -> Filled {
        let next = self.rows(&filled).last().map_or(0, |last| last.saturating_add(1));
        filled.with(self.name(next, "label"), "")
    }

    /// The form without one row.
    #[must_use]
    pub fn without_row(self, mut filled: Filled, row: usize) -> Filled {
        let prefix = self.name(row, "");
        filled.values.retain(|name, _| !name.starts_with(&prefix));
        filled
    }
}

/// The rows of a list. Each kind has at least one row, which is empty where the list has none.
#[must_use]
pub fn of_list(stock: &Stock) -> Filled {
    let count = |count: Option<u16>| count.map_or_else(String::new, |count| count.to_string());
    let mut filled = Filled::default();
    let mut put = |kind: StockKind, row: usize, what: &str, value: String| {
        filled.values.insert(kind.name(row, what), value);
    };
    for (row, boot) in stock.boots.iter().enumerate() {
        put(StockKind::Boot, row, "label", boot.label.clone());
        put(StockKind::Boot, row, "inner_mm", boot.inner_mm.to_string());
        put(StockKind::Boot, row, "in_store", count(boot.in_store));
    }
    for (row, bar) in stock.bars.iter().enumerate() {
        put(StockKind::Bar, row, "label", bar.label.clone());
        put(StockKind::Bar, row, "from_mm", bar.from_mm.to_string());
        put(StockKind::Bar, row, "to_mm", bar.to_mm.to_string());
        put(StockKind::Bar, row, "in_store", count(bar.in_store));
    }
    StockKind::ALL.into_iter().fold(filled, |filled, kind| match kind.rows(&filled).is_empty() {
        true => kind.with_row(filled),
        false => filled,
    })
}

/// The rows as a form.
pub(super) fn form(frame: &Frame, view: &StockView) -> Markup {
    html! {
        form.stock-rows method="post" action="/stock" {
            (parts::csrf(&frame.csrf))
            (parts::hidden(fields::SEEN, &view.seen))
            // Enter presses the first button of a form: it must save the list and not remove a row.
            button.sr type="submit" tabindex="-1" aria-hidden="true" { "Save this list" }
            @for kind in StockKind::ALL { (of_kind(view, kind)) }
            p.actions { button.primary type="submit" { "Save this list" } }
        }
    }
}

fn of_kind(view: &StockView, kind: StockKind) -> Markup {
    let (title, add) = match kind {
        StockKind::Boot => ("Boots", "Add a size of boot"),
        StockKind::Bar => ("Bars", "Add a bar"),
    };
    html! {
        fieldset {
            legend { (title) }
            @for (place, row) in kind.rows(&view.rows).into_iter().enumerate() { (one(view, kind, row, place + 1)) }
            button type="submit" name=(DO) value={ "add." (kind.key()) } { (add) }
        }
    }
}

fn one(view: &StockView, kind: StockKind, row: usize, place: usize) -> Markup {
    let label =
        view.rows.given(&kind.name(row, "label")).map_or_else(|| format!("row {place}"), str::to_owned);
    let focus = view.new_row == Some((kind, row));
    html! {
        div.stock-row role="group" aria-label={ (kind.key()) ", " (label) } {
            @for (what, words) in kind.columns() { (field(&view.rows, &kind.name(row, what), what, words, focus)) }
            button type="submit" name=(DO) value={ "without." (kind.key()) "." (row) } { "Remove" span.sr { " " (label) } }
        }
    }
}

fn field(filled: &Filled, name: &str, what: &str, words: &str, focus: bool) -> Markup {
    let (id, bad, is_label) = (parts::field_id(name), filled.has_error(name), what == "label");
    html! {
        div.field.stock-label[is_label] {
            label for=(id) { (words) }
            input id=(id) name=(name) type="text" value=(filled.value(name)) autocomplete="off" inputmode=[(!is_label).then_some("numeric")]
                autofocus[focus && is_label] aria-invalid=[bad.then_some("true")] aria-describedby=[bad.then(|| format!("{id}-error"))];
            (parts::field_error(filled, name))
        }
    }
}

/// The number in stock, with a button for one given out and one for one received. A button changes the
/// current count by one, so that no change is lost when two people count at once.
pub(super) fn counter(frame: &Frame, kind: StockKind, label: &str, in_store: Option<u16>) -> Markup {
    let Some(count) = in_store else { return html! { "not counted" } };
    let button = |by: &str, sign: &str, words: &str, off: bool| {
        html! { button type="submit" name=(BY) value=(by) disabled[off] { span aria-hidden="true" { (sign) } span.sr { (words) ": " (label) } } }
    };
    html! {
        form.count method="post" action="/stock/count" {
            (parts::csrf(&frame.csrf))
            (parts::hidden(KIND, kind.key()))
            (parts::hidden(LABEL, label))
            (button("-1", "−", "One given out", count == 0))
            strong { (count) }
            (button("1", "+", "One received", false))
        }
    }
}
