//! The sheet of settings for the family and whoever sets the bar: one page to print, every side in words.

use super::BenchView;
use crate::{Frame, frame, parts, words};
use maud::{Markup, html};
use record::{Boot, Side};

/// The sheet: what is written as worn now or, where nothing is, the fit as worked out, and which of the two.
#[must_use]
pub fn sheet(frame: &Frame, view: &BenchView<'_>) -> Markup {
    let name = view.who.shown_name();
    let body = html! {
        (parts::band(&view.who, "brace settings", frame.today))
        @match view.course.brace_now() {
            Some(spell) => {
                p.lead { "As written by the clinic, " strong { (spell.regime.words()) } " since " (words::day(spell.from)) "." }
                (settings(|side| spell.brace.boots.iter().find(|boot| boot.side == side).cloned(), spell.brace.bar_mm))
                @if let Some(hours) = spell.hours_prescribed { p.sheet-hours { strong { (hours) " hours" } " in every 24." } }
            },
            None => p.message.warning role="status" { strong { "No brace is written down as worn. " } "Save the settings on the " a href={ (view.who.href()) "/brace" } { "brace bench" } " first: this sheet shows only what was set." },
        }
        section {
            h2 { "At every change" }
            ol.plain-list.numbered {
                li { "Look at the skin of both feet. Red that stays for half an hour, blisters, broken skin, swelling, toes dark, white or cold, or fever: take the brace off and have the child seen the same day." }
                li { "Right boot on the child’s right foot, left boot on the left." }
                li { "Knee bent, heel down at the back of the boot, the strap over the ankle first and firmly." }
                li { "The toes stay free. When they curl over the edge, the boots are too short: ring the clinic." }
            }
        }
        p.caution { "These settings hold for this child only, until the clinic changes them. Nobody else should change the angles." }
        p.sheet-sign { "Set by: ______________________   Day: ______________" }
    };
    frame::page(frame, &format!("Brace settings: {name}"), &body)
}

fn settings(boot: impl Fn(Side) -> Option<Boot>, bar_mm: Option<u16>) -> Markup {
    let degrees = |deg: Option<i16>| deg.map_or_else(|| "not written".to_owned(), words::degrees);
    let rows: Vec<(Side, Option<Boot>)> = Side::BOTH.into_iter().map(|side| (side, boot(side))).collect();
    html! {
        div.scroll tabindex="0" role="group" aria-label="Table: settings of the brace" {
            table.sheet-table {
                thead { tr { th scope="col" { "Foot" } th scope="col" { "Turned out" } th scope="col" { "Bend up" } th scope="col" { "Inside of the boot" } th scope="col" { "Size" } } }
                tbody { @for (side, boot) in &rows { tr {
                    th scope="row" { (side.title().to_uppercase()) }
                    td { (degrees(boot.as_ref().and_then(|boot| boot.abduction_deg))) }
                    td { (degrees(boot.as_ref().and_then(|boot| boot.dorsiflexion_deg))) }
                    td { @match boot.as_ref().and_then(|boot| boot.length_mm) { Some(mm) => { (mm) " mm" }, None => "not written" } }
                    td { (boot.as_ref().and_then(|boot| boot.size.clone()).unwrap_or_else(|| "not written".to_owned())) }
                } } }
            }
        }
        p.sheet-bar { "Bar, heel to heel: " strong { @match bar_mm { Some(mm) => { (mm) " mm" }, None => "not written" } } }
    }
}
