//! Nights missed in a row.
//!
//! # What it finds
//! At least `wear.missed_days` days in a row without any wear, reported or logged, and no later day on which
//! the brace is known to have been worn. It applies from the day that completes that number.
//!
//! # Why it matters
//! After a few days without the brace, putting it on gets harder every day: the foot stiffens, the child
//! protests, the family gives up. Published losses of movement begin within weeks.
//!
//! # When it stays silent
//! If the brace was worn again, if fewer days are missing, if a day between is not known, and out of the
//! brace. Once the child was seen, or the family reached, on a later day than the hours were recorded. Hours
//! reported at a visit were discussed there: the call lasts for `wear.told_at_visit_days` after it.
//!
//! # Example
//! The diary records 0 hours on 3, 4 and 5 May 2024 and nothing after. The call applies from 5 May 2024.
//!
//! # Source
//! Common practice, no source; the three days of the built-in protocol are judgement.

use super::wear_falling::how;
use super::{Attention, AttentionRule, Ground, Urgency};
use crate::Reason;

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "nights-missed",
    words: "nights missed in a row",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find,
};

fn find(ground: &Ground<'_>, found: &mut Vec<Attention>) {
    let Some(adherence) = ground.adherence else { return };
    let least_days = i32::from(ground.protocol.wear_missed_days);
    for account in [&adherence.logged, &adherence.reported] {
        let Some(missed) = account.missed.filter(|missed| !missed.ended) else { continue };
        let days = missed.to - missed.from + 1;
        let told = ground.course.wear.iter().rfind(|span| span.kind == account.kind && span.to >= missed.from);
        let Some(span) = told.filter(|_| days >= least_days) else { continue };
        let last = missed.from + (least_days - 1);
        let until = ground.called_after_visit_until(span.recorded_on);
        if ground.asked_since(span.recorded_on, last.max(span.recorded_on)) {
            continue;
        }
        let how = how(account.kind);
        let (from, to) = (missed.from.words(), missed.to.words());
        let text = format!("Not worn on {days} days in a row, {from} to {to}, {how}.");
        let rule = "Telephone the family, find out why, and have the child seen if boots or skin are the cause.";
        let reason =
            Reason::new(format!("0 hours a day {how}, {from} to {to}"), span.entry, rule, "common practice, no source");
        found.push(Attention { until, ..RULE.call(None, last, text, reason) });
        return;
    }
}
