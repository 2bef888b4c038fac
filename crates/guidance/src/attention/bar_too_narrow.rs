//! A bar that has become too narrow.
//!
//! # What it finds
//! A bar of known length where the shoulders, in the width that the protocol goes by, are as likely as not
//! wider than it by more than `bracing.bar_narrow_mm`: from that day, or from the measurement where it was
//! so already.
//!
//! # Why it matters
//! On a bar narrower than the shoulders the child lies badly and takes the brace off; too wide it cannot
//! turn.
//!
//! # When it stays silent
//! In the list of children who need attention while the shoulders were not measured wider than that: then it is
//! a forecast, shown with the stock and on the child's page.
//! Without a brace; where the length of the bar, the day of birth or that width of the shoulders is not
//! known (another width is not converted); where the bar lasts for three years.
//!
//! # Example
//! A bar of 200 mm, shoulders of 216 mm over the arms on 3 May 2024: 16 mm wider, and the call applies from
//! 3 May 2024. At 190 mm the day lies in the months to come.
//!
//! # Source
//! Bar as long as the shoulders are wide: Gupta & Agarwal 2021, 10.5005/jp-journals-10040-1172 (read). From
//! how much it is too narrow: common practice, no source. Growth of the shoulders: estimated from ratios to
//! height; under two years from memory.

use super::{Attention, Ground, Place, Rule, Urgency};
use crate::Reason;
use crate::brace::window_words;

pub(super) const RULE: Rule = Rule {
    key: "bar-too-narrow",
    words: "bar too narrow",
    urgency: Urgency::Soon,
    when_lost: false,
    find,
};

fn find(ground: &Ground<'_>, found: &mut Vec<Attention>) {
    let Some(outgrowing) = ground.outgrowing else { return };
    let Some((bar, days)) = &outgrowing.bar else { return };
    let width = ground.protocol.bar_width;
    let seen = ground.course.shoulders.iter().rev().find(|seen| seen.width == Some(width));
    let (Some(from), Some(seen)) = (days.by_50, seen) else { return };
    // Wider already when they were last measured: that is no forecast.
    let limit = i32::from(*bar) + i32::from(ground.protocol.bar_narrow_mm);
    let (from, place) = match i32::from(seen.mm) > limit {
        true => (from.min(seen.on), Place::List),
        false => (from, Place::Stock),
    };
    let text = format!("The bar of {bar} mm is too narrow: {}.", window_words(days));
    let fact = format!("shoulders {} mm on {}, {}; the bar {bar} mm", seen.mm, seen.on.words(), width.words());
    let rule = format!(
        "The bar is as long as the shoulders are wide; {} mm less is too narrow.",
        ground.protocol.bar_narrow_mm
    );
    let reason = Reason::new(fact, seen.entry, rule, ground.protocol.source("bracing.bar_narrow_mm"));
    found.push(Attention { place, ..RULE.call(None, from, text, reason) });
}
