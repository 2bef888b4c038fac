//! Radio buttons as large tiles, and number fields with buttons.

use super::{field_error, field_id};
use crate::fields::Filled;
use maud::{Markup, html};

/// One answer.
#[derive(Debug, Clone)]
pub struct Tile<'a> {
    /// The value sent.
    pub value: &'a str,
    /// The large text.
    pub word: &'a str,
    /// Its meaning, shown below.
    pub meaning: &'a str,
    /// Whether this was the answer at the last visit.
    pub last: bool,
    /// Whether the next step suggests it. It is then marked, but never selected.
    pub proposed: bool,
    /// Whether it means that nothing was done or assessed; drawn smaller.
    pub none: bool,
}

impl<'a> Tile<'a> {
    /// An answer without a meaning.
    #[must_use]
    pub const fn new(value: &'a str, word: &'a str) -> Self {
        Self { value, word, meaning: "", last: false, proposed: false, none: false }
    }

    /// The answer that nothing was done or assessed.
    #[must_use]
    pub const fn none(word: &'a str) -> Self {
        Self { none: true, ..Self::new("", word) }
    }

    /// The same with its meaning.
    #[must_use]
    pub const fn meaning(self, meaning: &'a str) -> Self {
        Self { meaning, ..self }
    }

    /// The same, marked as suggested by the next step.
    #[must_use]
    pub const fn proposed(self, proposed: bool) -> Self {
        Self { proposed, ..self }
    }

    /// The same, marked as the answer of the last visit.
    #[must_use]
    pub const fn last(self, last: bool) -> Self {
        Self { last, ..self }
    }
}

/// Radio buttons as tiles. `legend` is the question and `class` the layout. The answer in `filled` is selected,
/// otherwise the one with an empty value.
#[must_use]
pub fn tiles(filled: &Filled, name: &str, class: &str, legend: &Markup, tiles: &[Tile<'_>]) -> Markup {
    tiles_with_more(filled, name, class, legend, tiles, tiles.len(), "")
}

/// The same, with the answers after the first `shown` folded under `more`; unfolded where one of them is
/// selected or suggested.
#[must_use]
pub fn tiles_with_more(
    filled: &Filled,
    name: &str,
    class: &str,
    legend: &Markup,
    tiles: &[Tile<'_>],
    shown: usize,
    more: &str,
) -> Markup {
    let id = field_id(name);
    let current = filled.value(name);
    let described = filled.has_error(name).then(|| format!("{id}-error"));
    let (first, rest) = tiles.split_at(shown.min(tiles.len()));
    let open = rest.iter().any(|tile| tile.proposed || (!current.is_empty() && tile.value == current));
    let row = |tiles: &[Tile<'_>], from: usize| {
        html! {
            div.tile-row {
                @for (n, tile) in tiles.iter().enumerate() {
                    (one(name, &format!("{id}-{}", from + n), tile, current == tile.value))
                }
            }
        }
    };
    html! {
        fieldset class={ "tiles " (class) } id=(id) aria-describedby=[described] {
            legend { (legend) }
            (field_error(filled, name))
            (row(first, 0))
            @if !rest.is_empty() { details.tiles-more open[open] { summary { (more) } (row(rest, first.len())) } }
        }
    }
}

fn one(name: &str, id: &str, tile: &Tile<'_>, selected: bool) -> Markup {
    let mut class = String::from("tile");
    for (on, word) in [(tile.last, " last-time"), (tile.proposed, " proposed"), (tile.none, " none")] {
        if on {
            class.push_str(word);
        }
    }
    html! {
        span class=(class) {
            input type="radio" name=(name) id=(id) value=(tile.value) checked[selected];
            label for=(id) {
                span.tile-word { (tile.word) }
                @if !tile.meaning.is_empty() { " " span.tile-meaning { (tile.meaning) } }
                @if tile.last { " " span.tile-mark { "last time" } }
                @if tile.proposed { " " span.tile-mark { "next step" } }
            }
        }
    }
}

/// A number field with − and + buttons and, where it may be negative, a button that changes the sign. The buttons
/// need the script and are hidden without it; the field itself works everywhere. An empty field was not measured.
/// `last` is the last measured value; it is shown, and the first press of a button takes it.
#[derive(Debug, Clone, Copy)]
pub struct Stepper<'a> {
    /// Name of the field.
    pub name: &'a str,
    /// The quantity.
    pub label: &'a str,
    /// "°", "mm".
    pub unit: &'a str,
    /// Change by one press of a button.
    pub step: u16,
    /// Smallest and largest value accepted.
    pub bounds: (i32, i32),
    /// Value of the last visit.
    pub last: Option<i32>,
}

/// Draws a [`Stepper`].
#[must_use]
pub fn stepper(filled: &Filled, of: Stepper<'_>) -> Markup {
    let Stepper { name, label, unit, step, bounds: (min, max), last } = of;
    let id = field_id(name);
    let described = filled.has_error(name).then(|| format!("{id}-error"));
    html! {
        div.stepper data-step=(step) data-last=[last] {
            label for=(id) { (label) " " span.unit { "(" (unit) ")" } @if let Some(last) = last { " " span.last-value { "last " (words_of(last, unit)) } } }
            div.stepper-row {
                // The arrow keys do the same in the field, so the buttons are no stops of the tab key.
                button.step-less type="button" hidden tabindex="-1" aria-label={ (label) ": " (step) " less" } { "−" (step) }
                // The digits-only keypad of some phones has no minus.
                input type="number" inputmode=[(min >= 0).then_some("numeric")] name=(name) id=(id) value=(filled.value(name)) min=(min) max=(max) step="1"
                    autocomplete="off" aria-describedby=[described.as_deref()] aria-invalid=[described.as_ref().map(|_| "true")];
                @if min < 0 { button.step-sign type="button" hidden tabindex="-1" aria-label={ (label) ": change the sign" } { "±" } }
                button.step-more type="button" hidden tabindex="-1" aria-label={ (label) ": " (step) " more" } { "+" (step) }
            }
            (field_error(filled, name))
        }
    }
}

/// "−15°", "82 mm".
fn words_of(value: i32, unit: &str) -> String {
    let sign = if value < 0 { "−" } else { "" };
    let gap = if unit == "°" { "" } else { " " };
    format!("{sign}{}{gap}{unit}", value.unsigned_abs())
}
