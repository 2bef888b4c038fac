//! Nights missed in a row.
//!
//! # What it finds
//! `wear.missed_days` and more days in a row without any wear, reported or logged, with no later day known on which it
//! was worn. It applies from the last day of that many.
//!
//! # Why it matters
//! A brace left off for some days goes on worse every day: the foot stiffens, the child protests, the
//! family gives up. Published losses of movement begin within weeks.
//!
//! # When it stays silent
//! Where it was worn again, where fewer days are missing, where a day between is not known, and out of
//! the brace. Once the child was seen, or the family reached, on a day after the one on which it was told.
//! Told at a visit it was heard there: it is called for `wear.told_at_visit_days` after it.
//!
//! # Example
//! The diary says 0 hours on 3, 4 and 5 May 2024 and holds nothing after. The call applies from 5 May 2024.
//!
//! # Source
//! Common practice, no source; the three days of the built-in protocol are judgement.

use super::wear_falling::how;
use super::{Attention, Ground, Rule, Urgency};
use crate::Reason;

pub(super) const RULE: Rule = Rule {
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
        let until = ground.heard_at_visit_until(span.told_on);
        if ground.asked_since(span.told_on, last.max(span.told_on)) {
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
