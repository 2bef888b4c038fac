//! A bar that has become too narrow.
//!
//! # What it finds
//! A bar of known length, if the shoulders, in the width that the protocol uses, are as likely as not wider
//! than it by more than `bracing.bar_narrow_mm`: from that day, or from the measurement if they were so
//! already.
//!
//! # Why it matters
//! On a bar narrower than the shoulders the child lies badly and takes the brace off; on one that is too
//! wide it cannot turn.
//!
//! # When it stays silent
//! In the list of children who need attention, as long as the measured shoulders were not wider than that:
//! then it is a forecast, shown with the stock and on the child's page. Without a brace; if the length of the
//! bar, the day of birth or that width of the shoulders is not known (another width is not converted); if the
//! bar will fit for three more years.
//!
//! # Example
//! A bar of 200 mm, shoulders of 216 mm over the arms on 3 May 2024: 16 mm wider, and the call applies from
//! 3 May 2024. At 190 mm the day is in the following months.
//!
//! # Source
//! Bar as long as the shoulders are wide: Gupta & Agarwal 2021, 10.5005/jp-journals-10040-1172 (read). From
//! how much it is too narrow: common practice, no source. Growth of the shoulders: estimated from ratios to
//! height; under two years from memory.

use super::{Attention, AttentionRule, CallPlace, Finder, Ground, Urgency};
use crate::{
    CallText, Reason,
    call_text::{BraceCallText, OutgrownWindow},
};

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "bar-too-narrow",
    words: "bar too narrow",
    urgency: Urgency::Soon,
    when_lost: false,
    find: Finder::Child(call),
};

fn call(ground: &Ground<'_>) -> Option<Attention> {
    let (bar, days) = ground.outgrowing?.bar.as_ref()?;
    let width = ground.protocol.bar_width;
    let seen = ground.course.shoulders.iter().rev().find(|seen| seen.width == Some(width))?;
    let from = days.by_50?;
    // Already wider at the last measurement: not a forecast.
    let limit = i32::from(*bar) + i32::from(ground.protocol.bar_narrow_mm);
    let (from, place) = match i32::from(seen.mm) > limit {
        true => (from.min(seen.on), CallPlace::List),
        false => (from, CallPlace::Stock),
    };
    let window = OutgrownWindow::of(days);
    let text = CallText::Brace(BraceCallText::BarTooNarrow { bar_mm: *bar, window });
    let fact =
        format!("shoulders {} mm on {}, {}; the bar {bar} mm", seen.mm, seen.on.words(), width.words());
    let rule = format!(
        "The bar should be as long as the shoulders are wide; {} mm less is too narrow.",
        ground.protocol.bar_narrow_mm
    );
    let reason = Reason::new(fact, seen.entry, rule, ground.protocol.source("bracing.bar_narrow_mm"));
    Some(Attention { place, ..RULE.call(None, from, text, reason) })
}
