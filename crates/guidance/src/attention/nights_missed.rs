//! Nights missed in a row.
//!
//! # What it finds
//! Three and more days in a row without any wear, reported or logged, with no later day known on which it
//! was worn. It applies from the third such day.
//!
//! # Why it matters
//! A brace left off for some days goes on worse every day: the foot stiffens, the child protests, the
//! family gives up. Published losses of movement begin within weeks.
//!
//! # When it stays silent
//! Where it was worn again, where two days only are missing, where a day between is not known, and out of
//! the brace.
//!
//! # Example
//! The diary says 0 hours on 3, 4 and 5 May 2024 and holds nothing after. The call applies from 5 May 2024.
//!
//! # Source
//! Common practice, no source; three days are judgement.

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

/// Days in a row from which it is called.
const LEAST_DAYS: i32 = 3;

fn find(ground: &Ground<'_>, found: &mut Vec<Attention>) {
    let Some(adherence) = ground.adherence() else { return };
    for account in [&adherence.logged, &adherence.reported] {
        let Some(missed) = account.missed.filter(|missed| !missed.ended) else { continue };
        let days = missed.to - missed.from + 1;
        let told = ground.course.wear.iter().rfind(|span| span.kind == account.kind && span.to >= missed.from);
        let Some(span) = told.filter(|_| days >= LEAST_DAYS) else { continue };
        let how = how(account.kind);
        let (from, to) = (missed.from.words(), missed.to.words());
        let text = format!("Not worn on {days} days in a row, {from} to {to}, {how}.");
        let rule = "Telephone the family, find out why, and have the child seen if boots or skin are the cause.";
        let reason =
            Reason::new(format!("0 hours a day {how}, {from} to {to}"), span.entry, rule, "common practice, no source");
        found.push(RULE.call(None, missed.from + (LEAST_DAYS - 1), text, reason));
        return;
    }
}
