//! Boots about to be outgrown.
//!
//! # What it finds
//! A boot of known inside length on a foot that was measured, from the day by which 15 of 100 such feet have
//! outgrown it (`bracing.outgrown_notice_days` earlier if a clinic sets any), or from the last measurement if
//! that is later. `bracing.outgrown_rule` defines how little room is too little.
//!
//! # Why it matters
//! Toes that curl over the edge and a heel that does not sit hurt; a brace that hurts is not worn.
//!
//! # When it stays silent
//! In the list of children who need attention: it is a forecast, shown with the stock and on the child's page.
//! Without a brace; if the inside length of the boot, the length of that foot or the day of birth is not
//! known; if the boot will fit for three more years. Each foot is checked separately.
//!
//! # Example
//! Inside 105 mm on a foot of 92 mm on 3 May 2024. It may grow to 105 mm, which 15 of 100 such feet have
//! done by a day in August, and the call applies from that day.
//!
//! # Source
//! Growth: Snyder 1977 and Gould 1990 (read), with the child's own measurements. When boots are outgrown:
//! a children's hospital's handout on foot abduction braces, or the fitting page of a shoe maker (both
//! read; the protocol says which). 15 of 100: judgement, no source.

use super::{Attention, AttentionRule, CallPlace, Finder, Ground, Urgency};
use crate::brace::BootOutgrown;
use crate::{CallText, Reason, call_text::BraceCallText};

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "boots-outgrown",
    words: "boots about to be outgrown",
    urgency: Urgency::Soon,
    when_lost: false,
    find: Finder::Several(add_calls),
};

fn add_calls(ground: &Ground<'_>, found: &mut Vec<Attention>) {
    let boots = ground.outgrowing.into_iter().flat_map(|outgrowing| &outgrowing.boots);
    found.extend(boots.filter_map(|boot| call(ground, boot)));
}

fn call(ground: &Ground<'_>, boot: &BootOutgrown) -> Option<Attention> {
    let from = boot.call_on(ground.protocol.outgrown_notice_days)?;
    let (side, inner_mm, window) = (boot.side, boot.inner_mm, boot.window());
    let text = CallText::Brace(BraceCallText::BootOutgrown { side, inner_mm, window });
    let call = RULE.call(Some(side), from, text, measured(ground, boot));
    Some(Attention { place: CallPlace::Stock, ..call })
}

/// The length that the window is based on.
pub(super) fn measured(ground: &Ground<'_>, boot: &BootOutgrown) -> Reason {
    let (mm, on, entry) = boot.measured;
    let fact =
        format!("{} foot {mm} mm on {}; the boot {} mm inside", boot.side.word(), on.words(), boot.inner_mm);
    let rule = format!(
        "Outgrown if the foot is longer than {} mm ({}); growth between both published ends, with the child's own lengths.",
        boot.limit_mm,
        ground.protocol.outgrown_rule.words()
    );
    let source = format!("Snyder 1977; Gould 1990; {}", ground.protocol.source("bracing.outgrown_rule"));
    Reason::new(fact, entry, rule, source)
}
