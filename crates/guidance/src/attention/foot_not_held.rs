//! A foot in treatment with neither cast nor brace.
//!
//! # What it finds
//! A foot in correction, waiting for its tenotomy or just out of the cast after it, whose last cast is off
//! and was followed by neither a cast nor a brace. It applies from the day after the cast came off.
//!
//! # Why it matters
//! The next cast, or the brace, follows on the same day; a foot without either loses correction within days.
//! Casts taken off the night before were followed by twice as many casts in one comparison.
//!
//! # When it stays silent
//! While a cast is on, once a brace is on, and if the cast came off because it slipped or because of the
//! circulation, which another rule calls the same day. For a foot that was never cast.
//!
//! # Example
//! The cast after a tenotomy comes off on 3 May 2024 and there is no brace. The call applies from 4 May 2024
//! until the brace is fitted.
//!
//! # Source
//! Brace on the day the last cast comes off: common practice, no source. Cast off the night before 10
//! casts, in the clinic 5 casts (63 and 66 feet, not randomised): Iowa Orthop J, PMC2150656.

use super::{Attention, AttentionRule, Finder, Ground, Urgency, cast_slipped};
use crate::{Reason, call_text::TreatmentCallText};
use course::FootCourse;

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "foot-not-held",
    words: "cast off and nothing on",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find: Finder::EachFoot(call),
};

fn call(ground: &Ground<'_>, foot: &FootCourse) -> Option<Attention> {
    if ground.course.brace_now().is_some() || cast_slipped::came_off(foot).is_some() {
        return None;
    }
    let cast = foot.last_cast().filter(|cast| foot.phase.is_in_casts() && cast.episode == foot.episode)?;
    let (off, _) = cast.off?;
    let day = off.words();
    let rule = "The next cast, or the brace, follows on the same day.";
    let source = "common practice, no source; cast removal timing, PMC2150656";
    let reason = Reason::new(format!("cast {} off on {day}", cast.number), cast.entry, rule, source);
    Some(RULE.call_treatment(foot, off + 1, TreatmentCallText::NotHeld(off), reason))
}
