//! The day by which the next boots are to be ordered.
//!
//! # What it finds
//! The boot that will be outgrown first, from `bracing.order_lead_days` before the first day of its 90 %
//! interval, or from the last measurement if that is later. Boots ordered by then are there before 19 of 20
//! children need them.
//!
//! # Why it matters
//! Weeks without a brace that fits are weeks without a brace.
//!
//! # When it stays silent
//! In the list of children who need attention: it is a forecast, shown with the stock and on the child's page.
//! Otherwise as the rule on boots about to be outgrown. There is one call for the pair.
//!
//! # Example
//! The window begins on 3 July 2024 and boots take 42 days to come: the call applies from 22 May 2024.
//!
//! # Source
//! Growth: Snyder 1977 (read), with the child's own measurements. The delivery time: common practice, no
//! source; it is the clinic's own.

use super::boots_outgrown::measured;
use super::{Attention, AttentionRule, CallPlace, Finder, Ground, Urgency};
use crate::{CallText, call_text::BraceCallText};

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "order-boots",
    words: "next boots to be ordered",
    urgency: Urgency::Soon,
    when_lost: false,
    find: Finder::Child(call),
};

fn call(ground: &Ground<'_>) -> Option<Attention> {
    let boot = ground.outgrowing.and_then(|outgrowing| outgrowing.first())?;
    let order_by = boot.days.by_5 - i32::from(ground.protocol.order_lead_days);
    let from = order_by.max(boot.measured.1);
    let text = CallText::Brace(BraceCallText::OrderBoots {
        by: from,
        side: boot.side,
        inner_mm: boot.inner_mm,
        window: boot.window(),
    });
    Some(Attention { place: CallPlace::Stock, ..RULE.call(None, from, text, measured(ground, boot)) })
}
