//! Wear that is low, even if it was never better.
//!
//! # What it finds
//! A child in the brace whose hours over the last `wear.low_over_days` known days, at least
//! `wear.low_least_days` of them, are at or below `wear.low_percent` of those prescribed for logged hours, or at
//! or below `wear.low_reported_percent` for reported hours. It applies from the first day on which such hours
//! were recorded after the family was last seen or reached.
//!
//! # Why it matters
//! A brace worn half the time from the start never shows a fall. Children with a relapse wore it for 5 hours of
//! 12.6 prescribed, the others for 8, and non-wear multiplies relapse about tenfold.
//!
//! # When it stays silent
//! Above those shares; with fewer known days; out of the brace; once the family was seen on a later day, or
//! reached after the hours were recorded, until further hours are recorded. Hours reported at a visit were
//! discussed there: the call lasts for `wear.told_at_visit_days` after it, so that the next review is brought
//! forward, and returns when the next hours are recorded.
//!
//! # Example
//! Twelve hours are prescribed, and the logger, read on 12 May 2024 away from a visit, finds 5 a day from 6
//! May on: 42 %. The call applies from 12 May 2024.
//!
//! # Source
//! 5 of 12.6 hours with a relapse (40 %), 8 without (63 %), reported 1.30 times logged: Sangiorgio 2016, J
//! Bone Joint Surg, n = 44 (read). Half lies between the two; the limit is judgement. A share is no pass
//! mark: nearly half of well corrected children wore less than 8 hours at 18 months (Richards 2020, read).

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{
    CallText, Reason,
    call_text::{RoundedNumber, WearCallText, how_words},
};
use course::{WearKind, WearSpan};
use record::Day;
use wear::adherence::WearAccount;

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "wear-low",
    words: "wear is low",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find: Finder::Child(call),
};

/// Rounding error allowed in a product of hours.
const ROUNDING: f64 = 1e-9;

/// Mean hours and mean prescribed hours over the days of the average.
struct Level {
    hours: f64,
    prescribed: f64,
    from: Day,
    to: Day,
}

fn call(ground: &Ground<'_>) -> Option<Attention> {
    let adherence = ground.adherence?;
    // Logged hours take precedence for the days they cover.
    let last = |account: &WearAccount| account.days.last_key_value().map(|(day, _)| *day);
    let reported_later = last(&adherence.reported) > last(&adherence.logged);
    let reported = || of_account(ground, &adherence.reported).filter(|_| reported_later);
    of_account(ground, &adherence.logged).or_else(reported)
}

fn of_account(ground: &Ground<'_>, account: &WearAccount) -> Option<Attention> {
    let percent = match account.kind {
        WearKind::Logged => ground.protocol.wear_low_percent,
        WearKind::Reported => ground.protocol.wear_low_reported_percent,
    };
    let (level, since) = low(ground, account, f64::from(percent))?;
    let (from, until, span) = known(ground, account.kind, since)?;
    let how = account.kind;
    let (hours, prescribed) = (RoundedNumber(level.hours), RoundedNumber(level.prescribed));
    let text = CallText::Wear(WearCallText::Low {
        how,
        hours,
        prescribed,
        percent: RoundedNumber(100.0 * level.hours / level.prescribed),
        from: level.from,
        to: level.to,
    });
    let fact =
        format!("{} hours a day {}, {} prescribed", hours.tenths(), how_words(how), prescribed.tenths());
    let rule = format!(
        "At {percent} % or less: ask what prevents wear, check boots and skin, and see the child soon."
    );
    let reason = Reason::new(
        fact,
        span.entry,
        rule,
        "hours with and without relapse: Sangiorgio 2016, read; the limit is judgement",
    );
    Some(Attention { until, ..RULE.call(None, from, text, reason) })
}

/// The level up to the last known day, if it is low, and the first day of the run of days on which it was low.
fn low(ground: &Ground<'_>, account: &WearAccount, percent: f64) -> Option<(Level, Day)> {
    let (over, least) =
        (usize::from(ground.protocol.wear_low_over_days), usize::from(ground.protocol.wear_low_least_days));
    let prescribed = ground.protocol.prescribed();
    let since = ground.bracing_since()?;
    let days: Vec<(Day, f64, f64)> = account
        .days
        .range(since..)
        .filter_map(|(day, hours)| Some((*day, *hours, prescribed.on(&ground.course.braces, *day)?)))
        .collect();
    let level = |last: usize| {
        let window = &days[(last + 1).saturating_sub(over)..=last];
        let mean =
            |value: fn(&(Day, f64, f64)) -> f64| window.iter().map(value).sum::<f64>() / window.len() as f64;
        let level = Level {
            hours: mean(|day| day.1),
            prescribed: mean(|day| day.2),
            from: window[0].0,
            to: days[last].0,
        };
        (window.len() >= least && 100.0 * level.hours <= percent * level.prescribed + ROUNDING)
            .then_some(level)
    };
    let last = days.len().checked_sub(1)?;
    let now = level(last)?;
    let first = (0..last).rev().take_while(|&day| level(day).is_some()).last().unwrap_or(last);
    Some((now, days[first].0))
}

/// The first day and the end of the call for hours that were known to be low from a day on, and one of their
/// spans: those recorded since the family was last seen or reached.
fn known<'a>(ground: &Ground<'a>, kind: WearKind, since: Day) -> Option<(Day, Option<Day>, &'a WearSpan)> {
    let mut recorded: Vec<&WearSpan> =
        ground.course.wear.iter().filter(|span| span.kind == kind && span.to >= since).collect();
    recorded.sort_by_key(|span| (span.recorded_on, span.to));
    let unanswered = |span: &&&WearSpan| !ground.asked_since(span.recorded_on, span.recorded_on);
    let first = recorded.iter().find(unanswered)?;
    let from = first.recorded_on.max(since);
    let visit_over = ground.called_after_visit_until(first.recorded_on);
    // Hours reported in another way after the visit keep the call open, or open it again.
    let Some(next) =
        recorded.iter().find(|span| span.recorded_on > first.recorded_on).filter(|_| visit_over.is_some())
    else {
        return Some((from, visit_over, first));
    };
    let again = if visit_over.is_some_and(|over| next.recorded_on >= over) { next.recorded_on } else { from };
    Some((again, None, next))
}
