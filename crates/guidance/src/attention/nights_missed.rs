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

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{
    CallText, Reason,
    call_text::{WearCallText, how_words},
    source,
};
use course::WearSpan;
use wear::adherence::WearAccount;

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "nights-missed",
    words: "nights missed in a row",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find: Finder::Child(call),
};

fn call(ground: &Ground<'_>) -> Option<Attention> {
    let adherence = ground.adherence?;
    // Logged nights take precedence.
    [&adherence.logged, &adherence.reported].into_iter().find_map(|account| missed(ground, account))
}

fn missed(ground: &Ground<'_>, account: &WearAccount) -> Option<Attention> {
    let least_days = i32::from(ground.protocol.wear_missed_days);
    let missed = account.missed.filter(|missed| !missed.ended)?;
    let days = missed.to - missed.from + 1;
    let recorded = |span: &&WearSpan| span.kind == account.kind && span.to >= missed.from;
    let span = ground.course.wear.iter().rfind(recorded).filter(|_| days >= least_days)?;
    let last = missed.from + (least_days - 1);
    if ground.asked_since(span.recorded_on, last.max(span.recorded_on)) {
        return None;
    }
    let (how, from, to) = (account.kind, missed.from, missed.to);
    let text = CallText::Wear(WearCallText::NotWorn { days, from, to, how });
    let rule = "Telephone the family, find out why, and have the child seen if boots or skin are the cause.";
    let fact = format!("0 hours a day {}, {} to {}", how_words(how), from.words(), to.words());
    let reason = Reason::new(fact, span.entry, rule, source::COMMON);
    let until = ground.called_after_visit_until(span.recorded_on);
    Some(Attention { until, ..RULE.call(None, last, text, reason) })
}
