//! Boots that are already too small.
//!
//! # What it finds
//! A boot of known inside length that was worn when the last measurement of the foot left less room than
//! `bracing.outgrown_rule` requires, from the day of that measurement, or of the fitting if that is later.
//!
//! # Why it matters
//! Toes that curl over the edge and a heel that does not sit hurt; a brace that hurts is not worn. This is
//! not a forecast: the boot does not fit now.
//!
//! # When it stays silent
//! Without a brace; if the inside length of the boot or the length of that foot is not known; once new boots
//! are fitted; if the foot has the least room. Boots that will be outgrown are shown with the stock.
//!
//! # Example
//! Inside 105 mm, an open boot, the foot 106 mm on 3 May 2024: the toes reach over the edge. The call applies
//! from 3 May 2024. At 105 mm it is silent.
//!
//! # Source
//! When boots are outgrown: a children's hospital's handout on foot abduction braces, or the fitting page of
//! a shoe maker (both read; the protocol says which). Within days: common practice, no source.

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::brace::longest_foot_mm;
use crate::{CallText, Reason, call_text::BraceCallText};
use record::{Boot, Side};

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "boots-too-small",
    words: "boots too small",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find: Finder::Several(add_calls),
};

fn add_calls(ground: &Ground<'_>, found: &mut Vec<Attention>) {
    let Some(spell) = ground.course.brace_now() else { return };
    found.extend(spell.brace.boots.iter().filter_map(|boot| call(ground, boot)));
}

fn call(ground: &Ground<'_>, boot: &Boot) -> Option<Attention> {
    let (side, inner_mm) = (boot.side, boot.length_mm?);
    let last = ground.course.foot_lengths.iter().rfind(|length| length.side == side)?;
    let longest = longest_foot_mm(inner_mm, ground.protocol);
    if last.mm <= longest {
        return None;
    }
    let fitted = fitted_on(ground, side);
    let (foot_mm, on) = (last.mm, last.on);
    let text = CallText::Brace(BraceCallText::BootTooSmall { side, inner_mm, foot_mm, on });
    let fact = format!("{} foot {foot_mm} mm on {}; the boot {inner_mm} mm inside", side.word(), on.words());
    let rule = format!(
        "Outgrown if the foot is longer than {longest} mm ({}): fit new boots within days.",
        ground.protocol.outgrown_rule.words()
    );
    let reason = Reason::new(fact, last.entry, rule, ground.protocol.source("bracing.outgrown_rule"));
    Some(RULE.call(Some(side), fitted.map_or(last.on, |fitted| fitted.max(last.on)), text, reason))
}

/// The day on which the boot of a foot was fitted.
fn fitted_on(ground: &Ground<'_>, side: Side) -> Option<record::Day> {
    ground.course.new_boots.iter().rfind(|&&(_, of)| of == side).map(|&(on, _)| on)
}
