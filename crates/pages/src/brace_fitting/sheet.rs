//! The printed sheet of settings for the family and the person who sets the bar: one page, every side in words.

use super::BraceFittingView;
use crate::{Frame, HelpTopic, frame, parts, words};
use maud::{Markup, html};
use record::{Boot, Side};

/// The sheet: the settings recorded for the present brace, or a notice that none are recorded.
#[must_use]
pub fn sheet(frame: &Frame, view: &BraceFittingView<'_>) -> Markup {
    let body = html! {
        (parts::band(&view.who, "brace settings", frame.today))
        @match view.course.brace_now() {
            Some(spell) => {
                p.lead { "Recorded by the clinic: " strong { (spell.regime.words()) } " since " (words::day(spell.from)) "." }
                (settings(|side| spell.brace.boots.iter().find(|boot| boot.side == side).cloned(), spell.brace.bar_mm))
                @if let Some(hours) = spell.hours_prescribed { p.sheet-hours { strong { (hours) " hours" } " in every 24." } }
            },
            None => p.message.warning role="status" { strong { "No brace is recorded. " } "Save the settings on the " a href={ (view.who.href()) "/brace" } { "brace fitting page" } " first: this sheet shows only settings that were recorded." },
        }
        section {
            h2 { "At every change" }
            ol.plain-list.numbered {
                li { "Look at the skin of both feet. Redness that lasts for half an hour, blisters, broken skin, swelling, dark, white or cold toes, or fever: take the brace off and have the child seen the same day." }
                li { "Right boot on the child’s right foot, left boot on the left." }
                li { "Bend the knee, push the heel down at the back of the boot, and fasten the ankle strap first and firmly." }
                li { "The toes must be free. If they curl over the edge, the boots are too short: call the clinic." }
            }
        }
        p.caution { "These settings are for this child only, until the clinic changes them. Nobody else should change the angles." }
        p.sheet-sign { "Set by: ______________________   Day: ______________" }
    };
    frame::page(frame, HelpTopic::BraceFitting, "Brace settings", &body)
}

fn settings(boot: impl Fn(Side) -> Option<Boot>, bar_mm: Option<u16>) -> Markup {
    let degrees = |deg: Option<i16>| deg.map_or_else(|| "not recorded".to_owned(), words::degrees);
    let rows: Vec<(Side, Option<Boot>)> = Side::BOTH.into_iter().map(|side| (side, boot(side))).collect();
    html! {
        div.scroll tabindex="0" role="group" aria-label="Table: settings of the brace" {
            table.sheet-table {
                thead { tr { th scope="col" { "Foot" } th scope="col" { "Turned out" } th scope="col" { "Bend up" } th scope="col" { "Boot, inside" } th scope="col" { "Size" } } }
                tbody { @for (side, boot) in &rows { tr {
                    th scope="row" { (side.title().to_uppercase()) }
                    td { (degrees(boot.as_ref().and_then(|boot| boot.abduction_deg))) }
                    td { (degrees(boot.as_ref().and_then(|boot| boot.dorsiflexion_deg))) }
                    td { @match boot.as_ref().and_then(|boot| boot.length_mm) { Some(mm) => { (mm) " mm" }, None => "not recorded" } }
                    td { (boot.as_ref().and_then(|boot| boot.size.clone()).unwrap_or_else(|| "not recorded".to_owned())) }
                } } }
            }
        }
        p.sheet-bar { "Bar, heel to heel: " strong { @match bar_mm { Some(mm) => { (mm) " mm" }, None => "not recorded" } } }
    }
}
