//! A low score at walking age.
//!
//! # What it finds
//! A foot whose last complete walking-age score is at or below `bracing.walking_refer_at_or_below` of 12
//! points. It applies from the day of the score.
//!
//! # Why it matters
//! At 8 or less the foot may need more treatment: the score finds nearly four in five such feet, and in the
//! study no foot with such a score was well.
//!
//! # When it stays silent
//! Above the limit; when an item was not assessed; when a relapse or other surgery was recorded after the
//! score, because the foot is then in treatment.
//!
//! # Example
//! Ankle 2, pain 2, shoes 2, carer 2 on 3 May 2024 make 8. The call applies from 3 May 2024.
//!
//! # Source
//! Smythe 2019, J Foot Ankle Res 12, 10.1186/s13047-019-0323-4 (read): sensitivity 79 %, specificity
//! 100 %, 68 children.

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{Reason, call_text::FindingCallText};
use course::FootCourse;

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "walking-score-low",
    words: "walking-age score low",
    urgency: Urgency::Soon,
    when_lost: false,
    find: Finder::EachFoot(call),
};

fn call(ground: &Ground<'_>, foot: &FootCourse) -> Option<Attention> {
    let (scored, total) =
        foot.scores.iter().rev().find_map(|scored| Some((scored, scored.walking.total()?)))?;
    let limit = ground.protocol.walking_refer_at_or_below;
    let treated =
        foot.relapse_noted_from(scored.on) || foot.surgery.iter().any(|surgery| surgery.on > scored.on);
    if u16::from(total) > limit || treated {
        return None;
    }
    let day = scored.on.words();
    let text = FindingCallText::WalkingScoreLow { total, on: scored.on };
    let rule = format!("At {limit} or less, more treatment may be needed: examine, or refer.");
    let source = ground.protocol.source("bracing.walking_refer_at_or_below");
    let reason = Reason::new(format!("{total} of 12 on {day}"), scored.entry, rule, source);
    Some(RULE.call_finding(foot, scored.on, text, reason))
}
