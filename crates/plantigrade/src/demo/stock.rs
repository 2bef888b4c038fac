//! The stock of the invented clinic.

use guidance::brace::{Bar, BootSize, Stock};

/// Inside length, mm, and pairs in stock; the labels are the clinic's own.
const BOOTS: [(u16, u16); 11] = [
    (85, 2),
    (95, 3),
    (105, 1),
    (115, 1),
    (125, 0),
    (135, 3),
    (145, 2),
    (155, 2),
    (165, 5),
    (175, 1),
    (185, 4),
];

/// Label, shortest and longest setting, mm, and number in stock.
const BARS: [(&str, u16, u16, u16); 3] =
    [("short bar", 150, 220, 3), ("middle bar", 200, 280, 4), ("long bar", 260, 340, 2)];

/// The clinic's stock list.
#[must_use]
pub fn stock() -> Stock {
    let boot =
        |(inner_mm, pairs)| BootSize { label: format!("shelf {inner_mm}"), inner_mm, in_store: Some(pairs) };
    let bar = |(label, from_mm, to_mm, in_store)| Bar {
        label: String::from(label),
        from_mm,
        to_mm,
        in_store: Some(in_store),
    };
    Stock::of(BOOTS.map(boot).to_vec(), BARS.map(bar).to_vec())
}
