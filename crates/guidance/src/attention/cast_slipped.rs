//! A cast that slipped, or toes no longer visible in it.
//!
//! # What it finds
//! A problem "cast slipped" or "toes not seen" that is not settled, from the day it was seen; and a foot in
//! correction whose last cast came off because it slipped or because of the circulation, with no cast since,
//! from the day it came off.
//!
//! # Why it matters
//! A slipped cast no longer holds the foot and presses where it is narrow. It has to come off, and the foot
//! loses correction until the next one is applied.
//!
//! # When it stays silent
//! When a later entry settles it, or a new cast is on, or a brace was fitted.
//!
//! # Example
//! On 3 May 2024 the toes of the right foot cannot be seen. The call applies from 3 May 2024, the same
//! day, until the cast is off or changed.
//!
//! # Source
//! Leaflets for parents of several clinics (read): toes slipping out of sight, call at once; one lets
//! the family take the cast off at home in warm water.

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{
    Reason,
    call_text::{ProblemStanding, TreatmentCallText},
    source,
};
use course::{CastWorn, FootCourse, ProblemSeen};
use record::{Day, ProblemKind, RemovalReason};

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "cast-slipped",
    words: "cast slipped or toes not seen",
    urgency: Urgency::Today,
    when_lost: true,
    find: Finder::Several(add_calls),
};

fn add_calls(ground: &Ground<'_>, found: &mut Vec<Attention>) {
    let open = ground.course.problems.iter().filter(|problem| problem.settled_on.is_none());
    let of_cast = |what| matches!(what, ProblemKind::CastSlipped | ProblemKind::ToesNotSeen);
    found.extend(open.filter(|problem| of_cast(problem.what)).map(noted));
    if ground.course.brace_now().is_none() {
        found.extend(ground.course.feet.iter().filter_map(no_cast_since));
    }
}

fn noted(problem: &ProblemSeen) -> Attention {
    let (what, day) = (problem.what.words(), problem.on.words());
    let rule = "A slipped cast has to come off the same day, under the clinic's own policy.";
    let reason = Reason::new(format!("{what} on {day}"), problem.entry, rule, source::LEAFLETS);
    RULE.call_problem(problem, ProblemStanding::Noted, reason)
}

/// A foot in treatment whose last cast came off unplanned: the cast, the day and the reason.
pub(crate) fn came_off(foot: &FootCourse) -> Option<(&CastWorn, Day, RemovalReason)> {
    let cast = foot.last_cast()?;
    let (day, why) = cast.off?;
    let unplanned = matches!(why?, RemovalReason::Slipped | RemovalReason::Circulation);
    (unplanned && foot.phase.is_in_casts() && cast.episode == foot.episode).then_some((cast, day, why?))
}

fn no_cast_since(foot: &FootCourse) -> Option<Attention> {
    let (cast, day, why) = came_off(foot)?;
    let text = TreatmentCallText::NoCastSince { off: day, why };
    let rule = "Apply the next cast without delay: a foot that is not held loses correction.";
    let reason = Reason::new(
        format!("cast off on {}: {}", day.words(), why.words()),
        cast.entry,
        rule,
        source::COMMON,
    );
    Some(RULE.call_treatment(foot, day, text, reason))
}
