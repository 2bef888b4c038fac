//! A foot that waits longer for its tenotomy than the protocol allows.
//!
//! # What it finds
//! A foot with a tenotomy booked for a day more than `tenotomy.within_days` after the foot was found ready (or
//! after the booking, if no score shows readiness). It applies from the day after those days.
//!
//! # Why it matters
//! Holding casts do not bring the heel down: they cost skin, visits and the family's patience, and a foot
//! pushed up in them may bend in the midfoot.
//!
//! # When it stays silent
//! When the tenotomy is done, when no tenotomy is booked or its day has passed (both have rules of their
//! own), and in the brace.
//!
//! # Example
//! Ready on 3 May 2024 and booked for 7 June 2024. The call applies from 11 May 2024 (3 + 7 + 1).
//!
//! # Source
//! Common practice, no source; the days are those of the protocol.

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{
    Reason,
    call_text::TreatmentCallText,
    step::readiness::{RuleAnswer, by_score},
};
use course::{FootCourse, Phase, TenotomyPlan};
use record::Day;

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "tenotomy-waits",
    words: "long wait for the tenotomy",
    urgency: Urgency::Soon,
    when_lost: false,
    find: Finder::EachFoot(call),
};

fn call(ground: &Ground<'_>, foot: &FootCourse) -> Option<Attention> {
    let plan = foot.tenotomy_plan.filter(|_| foot.phase == Phase::WaitingForTenotomy)?;
    let planned = ground.course.tenotomy_day(&plan)?;
    let (since, ready) = waits_since(ground, foot, &plan);
    let last = since + i32::from(ground.protocol.tenotomy_within_days);
    if planned <= last {
        return None;
    }
    let casts = foot.casts.iter().filter(|cast| cast.on > since).count();
    let text = TreatmentCallText::TenotomyWaits { ready, since, planned, casts };
    let rule = format!(
        "Once the foot is ready, the tenotomy is due within {} days: look for an earlier day, and examine skin and midfoot at each cast.",
        ground.protocol.tenotomy_within_days
    );
    let fact = format!("booked on {} for {}", plan.booked_on.words(), planned.words());
    let source = ground.protocol.source("tenotomy.within_days");
    Some(RULE.call_treatment(foot, last + 1, text, Reason::new(fact, plan.entry, rule, source)))
}

/// The first score of the episode that shows the foot as ready, with no correcting cast since; otherwise the
/// booking.
fn waits_since(ground: &Ground<'_>, foot: &FootCourse, plan: &TenotomyPlan) -> (Day, bool) {
    let from = foot.correcting_casts_now().next().map(|cast| cast.on);
    let ready = foot.scores.iter().find(|scored| {
        from.is_some_and(|from| scored.on > from)
            && by_score(ground.protocol.readiness_rule, &scored.pirani) == Some(RuleAnswer::Tenotomy)
    });
    match ready {
        Some(scored) if scored.on <= plan.booked_on => (scored.on, true),
        _ => (plan.booked_on, false),
    }
}
