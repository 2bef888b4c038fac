//! What a fitting takes out of the clinic's stock: the size of each boot, the bar, and whether it is taken at all.

use super::{Tile, tiles_with_more};
use crate::{
    fields::{Filled, visit as names},
    words,
};
use guidance::brace::{Bar, BootSize, Stock};
use maud::{Markup, html};
use record::Side;

/// The most sizes that are offered for one boot, the nearest to the wanted length first. Further ones are typed.
const MOST_OFFERED: usize = 40;

/// The name of the field for a size that is not offered.
#[must_use]
pub fn other_size(side: Side) -> String {
    names::boot(side, "size_other")
}

fn in_stock(count: Option<u16>, one: &str, many: &str) -> String {
    match count {
        None => "not counted".to_owned(),
        Some(0) => "none in stock".to_owned(),
        Some(count) => format!("{} in stock", words::count(count.into(), one, many)),
    }
}

/// The size of a boot: those that suit the foot in sight, the other sizes of the list folded.
#[must_use]
pub fn size_choice(filled: &Filled, stock: &Stock, side: Side, inside_mm: Option<(u16, u16)>) -> Markup {
    let name = names::boot(side, "size");
    let matched = inside_mm.and_then(|inside| stock.boot_for(inside)).map(|found| found.boot.label);
    let suits = |boot: &BootSize| {
        let within = inside_mm.is_some_and(|(low, high)| (low..=high).contains(&boot.inner_mm));
        within || matched.as_ref() == Some(&boot.label)
    };
    let wanted = inside_mm.map_or(0, |(low, _)| low);
    let mut boots: Vec<&BootSize> = stock.boots.iter().collect();
    boots.sort_by_key(|boot| (!suits(boot), boot.inner_mm.abs_diff(wanted)));
    boots.truncate(MOST_OFFERED);
    let suited = boots.iter().filter(|boot| suits(boot)).count();
    if let Some(rest) = boots.get_mut(suited..) {
        rest.sort_by_key(|boot| boot.inner_mm);
    }
    let meaning = |boot: &&BootSize| {
        format!("{} mm inside, {}", boot.inner_mm, in_stock(boot.in_store, "pair", "pairs"))
    };
    let meanings: Vec<String> = boots.iter().map(meaning).collect();
    let offered = boots
        .iter()
        .zip(&meanings)
        .map(|(boot, meaning)| Tile::new(&boot.label, &boot.label).meaning(meaning));
    let tiles: Vec<Tile<'_>> = std::iter::once(Tile::none("none of the list")).chain(offered).collect();
    let more = format!("Other sizes of the list ({})", boots.len() - suited);
    tiles_with_more(
        filled,
        &name,
        "words",
        &html! { "Size, as the clinic labels it" },
        &tiles,
        1 + suited,
        &more,
    )
}

/// The bar: those that reach the length in sight, the others folded.
#[must_use]
pub fn bar_choice(filled: &Filled, stock: &Stock, length_mm: Option<u16>) -> Markup {
    let reaches = |bar: &Bar| length_mm.is_some_and(|mm| (bar.from_mm..=bar.to_mm).contains(&mm));
    let mut bars: Vec<&Bar> = stock.bars.iter().collect();
    bars.sort_by_key(|bar| (!reaches(bar), std::cmp::Reverse(bar.to_mm)));
    bars.truncate(MOST_OFFERED);
    let reaching = bars.iter().filter(|bar| reaches(bar)).count();
    let meaning =
        |bar: &&Bar| format!("{}–{} mm, {}", bar.from_mm, bar.to_mm, in_stock(bar.in_store, "bar", "bars"));
    let meanings: Vec<String> = bars.iter().map(meaning).collect();
    let offered =
        bars.iter().zip(&meanings).map(|(bar, meaning)| Tile::new(&bar.label, &bar.label).meaning(meaning));
    let tiles: Vec<Tile<'_>> = std::iter::once(Tile::none("no bar handed out")).chain(offered).collect();
    let more = format!("Other bars of the list ({})", bars.len() - reaching);
    html! {
        @if !bars.is_empty() {
            (tiles_with_more(filled, names::STOCK_BAR, "words", &html! { "Bar handed out today" }, &tiles, 1 + reaching, &more))
        }
    }
}

/// Whether the boots and the bar are taken out of stock.
#[must_use]
pub fn take_choice(ticked: bool) -> Markup {
    let id = super::field_id(names::STOCK_TAKE);
    html! {
        p.check {
            input type="checkbox" id=(id) name=(names::STOCK_TAKE) value="yes" checked[ticked] aria-describedby={ (id) "-hint" };
            label for=(id) { "Take the boots and the bar out of stock" }
        }
        p.hint id={ (id) "-hint" } { "One pair for each size chosen, for a brace that is fitted or a new size. Nothing is taken when only angles or hours change, nor for a size that the child wears already. Untick it if the family brought its own." }
    }
}
