//! Logged hours far below those reported.
//!
//! # What it finds
//! At least `wear.shared_days` days with both reported and logged hours, on which the reported hours are
//! `wear.over_report_percent` of the logged ones or more. It applies from the day after the last of them.
//!
//! # Why it matters
//! Both describe the same days. Some over-report is usual; a large one means that the family cannot say how
//! hard it is, or that the logger is not in the boot that is worn. Either is worth a friendly question, and
//! neither is an accusation.
//!
//! # When it stays silent
//! Below that ratio, with fewer shared days, and out of the brace. Once the child was seen, or the family
//! reached, on a later day than the hours were recorded, until further hours are recorded.
//!
//! # Example
//! From 6 to 12 May 2024 the family reports 12 hours a day and the logger finds 6, twice as many. The call
//! applies from 13 May 2024.
//!
//! # Source
//! Ratio 1.30 usual: Sangiorgio and others, J Bone Joint Surg 2016, n = 44 (read). The limit of
//! 150 % is judgement.

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{
    CallText, Reason,
    call_text::{RoundedNumber, WearCallText},
};
use course::WearKind;

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "logged-below-reported",
    words: "logged hours far below reported",
    urgency: Urgency::Soon,
    when_lost: false,
    find: Finder::Child(call),
};

/// Rounding error allowed in a product of hours.
const ROUNDING: f64 = 1e-9;

fn call(ground: &Ground<'_>) -> Option<Attention> {
    let protocol = ground.protocol;
    let both = ground.adherence.and_then(|adherence| adherence.both);
    let both = both.filter(|both| both.days >= usize::from(protocol.wear_shared_days))?;
    // If nothing is logged but something is reported, the ratio is infinite.
    let ratio = both.ratio().or((both.reported > 0.0).then_some(f64::INFINITY));
    let ratio =
        ratio.filter(|ratio| 100.0 * *ratio >= f64::from(protocol.wear_over_report_percent) - ROUNDING)?;
    let span = ground.course.wear.iter().rfind(|span| span.kind == WearKind::Logged)?;
    let recorded_on =
        ground.course.wear.iter().filter(|span| span.to >= both.to).map(|span| span.recorded_on).max();
    let recorded_on = recorded_on.unwrap_or(both.to);
    if ground.asked_since(recorded_on, recorded_on.max(both.to + 1)) {
        return None;
    }
    let text = CallText::Wear(WearCallText::BelowReported {
        days: both.days,
        reported: RoundedNumber(both.reported),
        logged: RoundedNumber(both.logged),
        times: ratio.is_finite().then_some(RoundedNumber(ratio)),
    });
    let fact = format!("reported {:.1}, logged {:.1} hours a day", both.reported, both.logged);
    let rule = "Ask without blame, and check that the logger is in the boot that is worn.";
    let source = "usual ratio 1.30: Sangiorgio 2016, read; the limit is judgement";
    Some(RULE.call(None, both.to + 1, text, Reason::new(fact, span.entry, rule, source)))
}
