//! The end of treatment: calls about brace and boots have a last day.
//!
//! A call about wearing the brace ends with the days of grace after the age at which the protocol ends
//! bracing, because the brace is no longer worn then. It continues after that day if an episode was opened or
//! was still open at that age: a late start, casts again, a tendon transfer or other surgery, a cast that is
//! still on. Such a call ends when it is answered, by discharge, death or transfer, or on the lost list.
//!
//! Findings in the foot (dorsiflexion, signs of relapse, scores) and calls to see a child or to reach a family
//! (reviews, appointments) are not about the brace, and have no last day: the review at which bracing ends is
//! overdue only after that day, and a child who missed it still has to be seen.

use super::{Attention, Ground};
use course::{FootCourse, Phase};
use record::Day;

/// The rules whose calls are about wearing brace and boots.
pub const ABOUT_THE_BRACE: &[&str] = &[
    "early-brace-review-overdue",
    "night-time-due",
    "brace-problem",
    "boots-too-small",
    "boots-outgrown",
    "order-boots",
    "bar-too-narrow",
    "brace-settings",
    "bracing-stopped-early",
    "full-time-ended-early",
    "end-of-bracing",
    "wear-low",
    "wear-falling",
    "nights-missed",
    "logged-below-reported",
    "no-wear-record",
];

/// Gives every call about the brace its last day.
pub(super) fn at_end_of_treatment(ground: &Ground<'_>, found: Vec<Attention>) -> Vec<Attention> {
    let Some(after) = first_day_after(ground) else { return found };
    let about_brace = |call: &Attention| is_about_the_brace(ground, call);
    let ended =
        found.into_iter().filter_map(|call| if about_brace(&call) { call.before(after) } else { Some(call) });
    ended.collect()
}

/// A call about advice is about the brace if its problem is.
fn is_about_the_brace(ground: &Ground<'_>, call: &Attention) -> bool {
    match call.rule {
        "advice-not-helped" => super::advice_not_helped::is_about_the_brace(ground, call),
        rule => ABOUT_THE_BRACE.contains(&rule),
    }
}

/// The first day on which no call about the brace applies; `None` if age does not decide.
fn first_day_after(ground: &Ground<'_>) -> Option<Day> {
    let end = ground.protocol.bracing_ends(ground.course.about.born)?;
    let open = ground.course.feet.iter().any(|foot| open_at(foot, end));
    let late = ground.course.braces.last().is_some_and(|spell| spell.bracing_since >= end);
    (!open && !late).then(|| end + i32::from(ground.protocol.review_days_after) + 1)
}

/// Whether a foot has an episode that was opened on or after a day, or was still open then.
fn open_at(foot: &FootCourse, end: Day) -> bool {
    let treated = foot.phase.is_in_casts() || foot.phase == Phase::AfterSurgery;
    let episode =
        |episode: &course::Episode| episode.from >= end || episode.until.is_some_and(|until| until >= end);
    treated
        || foot.cast_on().is_some()
        || foot.episodes.last().is_some_and(episode)
        || foot.relapses.iter().any(|relapse| relapse.on >= end)
        || foot.surgery.iter().any(|surgery| surgery.on >= end)
}
