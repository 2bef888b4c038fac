//! Wear that has fallen.
//!
//! # What it finds
//! A child in the brace whose weekly hours fell by `wear.falling_hours` or more a day at the last detected
//! change. Logged hours are used if there are any, otherwise reported hours. It applies from
//! `wear.falling_after_days` after the change, when two weeks of data follow it, or from the day on which those
//! weeks were recorded if that is later.
//!
//! # Why it matters
//! Wear falls before a family stops coming, and non-wear multiplies relapse about tenfold. Asking in the week
//! in which it begins is worth more than finding the relapsed foot.
//!
//! # When it stays silent
//! If the fall follows the change to nights, if the hours are still at or above those prescribed, if fewer
//! than four weeks are known, out of the brace, and once the hours rise again. Once the child was seen, or the
//! family reached, on a later day than the fall could be known: the agreement is in the notes, and a further
//! fall is called again. A fall reported at a visit was discussed there: the call lasts for
//! `wear.told_at_visit_days` after it.
//!
//! # Example
//! Logged hours are about 12 a day in April and about 8 from the week of 6 May 2024 on. The call applies
//! from 20 May 2024.
//!
//! # Source
//! Odds ratio 10 (5 to 21) of relapse without wear: meta-analysis (read). Change of mean: Scott & Knott
//! 1974, Yao 1988. The size of the fall and the wait are protocol values, by judgement.

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{
    CallText, Reason,
    call_text::{RoundedNumber, WearCallText, how_words},
};
use wear::adherence::{Change, WearAccount};

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "wear-falling",
    words: "wear has fallen",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find: Finder::Child(call),
};

fn call(ground: &Ground<'_>) -> Option<Attention> {
    let adherence = ground.adherence?;
    let account = adherence.leading()?;
    let change =
        account.change.filter(|change| is_fall(account, change, ground.protocol.wear_falling_hours))?;
    let span = ground.course.wear.iter().rfind(|span| span.kind == account.kind)?;
    let how = account.kind;
    let from = change.from + i32::from(ground.protocol.wear_falling_after_days);
    let recording = ground.course.wear.iter().filter(|span| span.kind == account.kind && span.to + 1 >= from);
    let recorded_on = recording.map(|span| span.recorded_on).min().unwrap_or(from);
    let known_on = recorded_on.max(from);
    if ground.asked_since(recorded_on, known_on) {
        return None;
    }
    let (before, after) = (RoundedNumber(change.before), RoundedNumber(change.after));
    let text = CallText::Wear(WearCallText::Fell { how, before, after, week: change.from });
    let fact = format!("{} hours a day {} before, {} since", before.tenths(), how_words(how), after.tenths());
    let rule = "Ask what has changed: skin, fit, sleep, the burden on the family. Non-wear multiplies relapse about tenfold.";
    let reason =
        Reason::new(fact, span.entry, rule, "meta-analysis of relapse, odds ratio 10 (5 to 21), read");
    let until = ground.called_after_visit_until(known_on);
    Some(Attention { until, ..RULE.call(None, known_on, text, reason) })
}

/// Whether a change is a fall in hours and in the share of the prescribed hours, below what is prescribed now.
fn is_fall(account: &WearAccount, change: &Change, least_hours: u16) -> bool {
    let side = |after: bool| {
        let weeks = account.weeks.iter().filter(|week| (week.monday >= change.from) == after);
        let (hours, prescribed) =
            weeks.fold((0.0, 0.0), |sum, week| (sum.0 + week.hours, sum.1 + week.prescribed));
        if prescribed > 0.0 { hours / prescribed } else { 1.0 }
    };
    change.before - change.after >= f64::from(least_hours) && side(true) < side(false) && side(true) < 1.0
}
