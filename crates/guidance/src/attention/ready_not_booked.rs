//! A foot ready for tenotomy with none booked.
//!
//! # What it finds
//! A foot in correction that is ready for tenotomy by the clinic's own rule, with no tenotomy booked and
//! none done since. It applies from the day of the assessment that shows it.
//!
//! # Why it matters
//! More casts do not bring the heel down once the forefoot is corrected; waiting costs casts and risks a
//! rocker-bottom foot, because the midfoot gives way instead (Yalcin 2024, J Clin Med 13:714).
//!
//! # When it stays silent
//! When readiness is not known because a value was not measured, when a tenotomy is booked by an entry or by
//! an appointment for one, and when it was done on that day or since.
//!
//! # Example
//! On 3 May 2024 the right foot scores hindfoot 2, midfoot 0.5, head of talus covered. The call applies
//! from 3 May 2024 until the tenotomy is booked.
//!
//! # Source
//! The clinic's rule of readiness with its own source: Lampasi 2017, Mengesha, or the Indian series
//! (read); see the protocol.

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{Reason, call_text::TreatmentCallText};
use course::{AppointmentState, AssessmentSeen, FootCourse, Phase};
use record::{Day, Purpose};

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "ready-not-booked",
    words: "ready for tenotomy, not booked",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find: Finder::EachFoot(call),
};

fn call(ground: &Ground<'_>, foot: &FootCourse) -> Option<Attention> {
    let ready = ground.status(foot)?.ready_for_tenotomy == Some(true);
    if !ready || foot.phase != Phase::InCorrection || foot.tenotomy_plan.is_some() {
        return None;
    }
    let shown = shown_by(foot)?;
    let done = foot.tenotomies_now().any(|tenotomy| tenotomy.on >= shown.on);
    if done || booked(ground, shown.on) {
        return None;
    }
    let (day, rule) = (shown.on.words(), ground.protocol.readiness_rule);
    let fact = format!("assessed on {day}: ready by the clinic's rule");
    let because =
        Reason::new(fact, shown.entry, format!("Ready for tenotomy: {}.", rule.words()), rule.source());
    Some(RULE.call_treatment(foot, shown.on, TreatmentCallText::ReadyForTenotomy(shown.on), because))
}

/// The assessment that shows readiness: the last with a sign of the score or a dorsiflexion.
fn shown_by(foot: &FootCourse) -> Option<&AssessmentSeen> {
    let measured = |scored: &&AssessmentSeen| !scored.pirani.is_empty() || scored.dorsiflexion_deg.is_some();
    foot.scores.iter().rfind(measured)
}

fn booked(ground: &Ground<'_>, from: Day) -> bool {
    ground.course.appointments.iter().any(|one| {
        one.state == AppointmentState::Expected
            && one.purpose == Some(Purpose::Tenotomy)
            && one.for_day >= from
    })
}
