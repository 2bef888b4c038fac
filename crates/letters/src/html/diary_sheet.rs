//! The sheet of the diary: a code, a mark in each corner, and a box for each hour of each day. Every place comes from
//! `diary::geometry`, from which the reader takes it too.

use crate::diary::{
    DiaryCode,
    geometry::{self, BOX_LINE, CODE, DAY_END, EXAMPLE, EXAMPLE_BOXES, EXAMPLE_HOURS, HOURS, Place},
};
use fast_qr::{ECL, QRBuilder};
use maud::{Markup, html};
use std::fmt::Write as _;

/// The words on the sheet.
pub(super) struct SheetWords {
    /// Names of the weeks.
    pub weeks: Vec<String>,
    /// Names of the days.
    pub days: Vec<String>,
    /// Above the hours.
    pub hours: String,
    /// Above the boxes for the skin.
    pub skin: String,
    /// Beside the example.
    pub example: String,
}

/// The sheet.
pub(super) fn diary_sheet(code: DiaryCode, words: &SheetWords) -> Markup {
    let height = geometry::height(code.weeks);
    html! {
        svg.diary-sheet viewBox={ "0 0 " (geometry::WIDTH) " " (height) } direction="ltr" role="img" aria-label="Sheet of the diary: a row of boxes for the hours of each day" {
            @for mark in geometry::marks(code.weeks) { rect x=(mark.x) y=(mark.y) width=(mark.side) height=(mark.side) {} }
            (qr(&code.text()))
            (example(words))
            @for (n, name) in (0..code.weeks).zip(&words.weeks) { (week(n, name, words)) }
            @for (n, name) in (0..code.weeks * 7).zip(&words.days) { (day(geometry::row(n), name)) }
        }
    }
}

fn qr(text: &str) -> Markup {
    let Ok(code) = QRBuilder::new(text).ecl(ECL::M).build() else { return html! {} };
    let module = CODE.side / code.size as f64;
    let dark = (0..code.size * code.size).filter(|n| code.data.get(*n).is_some_and(|module| module.value()));
    let path = dark.fold(String::new(), |mut path, n| {
        // Writing to a string does not fail.
        let _ = write!(path, "M{} {}h1v1h-1z", n % code.size, n / code.size);
        path
    });
    html! { path.code d=(path) transform=(format!("translate({} {}) scale({module:.5})", CODE.x, CODE.y)) {} }
}

fn example(words: &SheetWords) -> Markup {
    let ticked = geometry::hour_box(EXAMPLE, EXAMPLE_HOURS);
    let (x, y, end) = (ticked.x, ticked.y, ticked.side);
    html! {
        text x="9" y=(EXAMPLE - 6.2) font-size="3.4" { (words.example) }
        (numbers(EXAMPLE - 1.0, EXAMPLE_BOXES))
        @for hours in 0..EXAMPLE_BOXES { (square(geometry::hour_box(EXAMPLE, hours))) }
        path d=(format!("M{} {}L{} {}M{} {}L{} {}", x + 0.4, y + 0.4, x + end - 0.4, y + end - 0.4, x + end - 0.4, y + 0.4, x + 0.4, y + end - 0.4)) stroke="#000" stroke-width="0.5" fill="none" {}
    }
}

fn week(n: u8, name: &str, words: &SheetWords) -> Markup {
    let top = geometry::week(n);
    let skin = geometry::skin_box(top).middle().0;
    html! {
        text x="0" y=(top + 3.2) font-size="3.2" font-weight="700" { (name) }
        text x=(DAY_END) y=(top + 7.2) font-size="2.6" text-anchor="end" { (words.hours) }
        (numbers(top + 7.2, HOURS))
        text x=(skin) y=(top + 7.2) font-size="2.6" text-anchor="middle" { (words.skin) }
    }
}

/// The numbers above so many boxes, with their feet at this height.
fn numbers(y: f64, boxes: u8) -> Markup {
    html! {
        @for hours in 0..boxes {
            text x=(geometry::hour_box(0.0, hours).middle().0) y=(y) font-size="2.6" text-anchor="middle" { (hours) }
        }
    }
}

fn day(top: f64, name: &str) -> Markup {
    html! {
        text x=(DAY_END) y=(top + 3.1) font-size="3.1" text-anchor="end" { (name) }
        @for hours in 0..HOURS { (square(geometry::hour_box(top, hours))) }
        (square(geometry::skin_box(top)))
    }
}

fn square(place: Place) -> Markup {
    html! { rect.box x=(place.x) y=(place.y) width=(place.side) height=(place.side) fill="none" stroke="#000" stroke-width=(BOX_LINE) {} }
}
