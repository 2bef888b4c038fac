//! Boots about to be outgrown.
//!
//! # What it finds
//! A boot of known inside on a foot that was measured, from `bracing.outgrown_notice_days` before the day
//! by which it is as likely outgrown as not, or from the last measurement where that is later. A boot is
//! outgrown where less than `bracing.toe_room_least_mm` is left before the toes.
//!
//! # Why it matters
//! Toes that curl over the edge and a heel that does not sit hurt; a brace that hurts is not worn.
//!
//! # When it stays silent
//! In the list of children who need attention: it is a forecast, shown with the stock and on the child's page.
//! Without a brace; where the inside of the boot, the length of that foot or the day of birth is not
//! known; where the boot lasts for three years. The two feet are asked each for itself.
//!
//! # Example
//! Inside 105 mm on a foot of 92 mm on 3 May 2024. It may grow to 100 mm, which is likely by a day in
//! July; with 28 days of notice the call applies from a day in June.
//!
//! # Source
//! Growth: Snyder 1977 (read), with the child's own measurements. Toe room: fitting page of a shoe maker
//! (read, low grade). Days of notice: common practice, no source.

use super::{Attention, Ground, Place, Rule, Urgency};
use crate::Reason;
use crate::brace::{BootOutgrown, window_words};

pub(super) const RULE: Rule = Rule {
    key: "boots-outgrown",
    words: "boots about to be outgrown",
    urgency: Urgency::Soon,
    when_lost: false,
    find,
};

fn find(ground: &Ground<'_>, found: &mut Vec<Attention>) {
    let boots = ground.outgrowing.into_iter().flat_map(|outgrowing| &outgrowing.boots);
    found.extend(boots.filter_map(|boot| call(ground, boot)));
}

fn call(ground: &Ground<'_>, boot: &BootOutgrown) -> Option<Attention> {
    let likely = boot.days.by_50?;
    let notice = i32::from(ground.protocol.outgrown_notice_days);
    let from = (likely - notice).max(boot.measured.1);
    let side = boot.side.title();
    let text = format!("{side} boot, {} mm inside: {}.", boot.inner_mm, window_words(&boot.days));
    let call = RULE.call(Some(boot.side), from, text, measured(ground, boot));
    Some(Attention { place: Place::Stock, ..call })
}

/// The length that the window rests on.
pub(super) fn measured(ground: &Ground<'_>, boot: &BootOutgrown) -> Reason {
    let (mm, on, entry) = boot.measured;
    let fact = format!("{} foot {mm} mm on {}; the boot {} mm inside", boot.side.word(), on.words(), boot.inner_mm);
    let rule = format!(
        "Outgrown where less than {} mm is left, a foot of {} mm; growth as published, with the child's own lengths.",
        ground.protocol.toe_room_least_mm, boot.limit_mm
    );
    let source = format!("Snyder 1977; {}", ground.protocol.source("bracing.toe_room_least_mm"));
    Reason::new(fact, entry, rule, source)
}
