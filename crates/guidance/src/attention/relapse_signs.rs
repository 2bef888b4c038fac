//! Signs of relapse seen in the brace or after it.
//!
//! # What it finds
//! A foot in the brace, or after it, for which the last examination of any of these signs found it: equinus,
//! the heel or the forefoot turned in, a high arch, supination in swing, an early heel rise, weak evertors. It
//! applies from the day of the first of the current signs, and names them in the published order of
//! appearance, with the grade that they make up. A fixed deformity is seen within days.
//!
//! # Why it matters
//! A relapse that is found while it is flexible is treated with a few casts; once fixed, it needs more.
//!
//! # When it stays silent
//! When a relapse has been noted on that day or since; before the brace; if nothing was examined; when a
//! later examination did not find the sign. Dorsiflexion alone has a rule of its own.
//!
//! # Example
//! On 3 May 2024 the forefoot supinates in swing. The call applies from 3 May 2024: grade IB.
//!
//! # Source
//! Order of signs (dorsiflexion, then heel and forefoot, an arch rarely): a review of relapse (read). Grades:
//! Bhaskar & Patni 2013, 10.4103/0019-5413.114921 (read). Supination in swing: a Delphi of 15 surgeons,
//! Baskar 2022, 10.1097/bpo.0000000000002119 (read). Weak evertors: van Schelven 2022,
//! 10.1080/17453674.2021.1982576 (read; few feet, no size of the risk is taken from it).

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{
    Reason,
    call_text::FindingCallText,
    relapse::{RelapseFindings, RelapseSign},
};
use course::FootCourse;

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "relapse-signs",
    words: "signs of relapse",
    urgency: Urgency::Soon,
    when_lost: false,
    find: Finder::EachFoot(call),
};

fn call(ground: &Ground<'_>, foot: &FootCourse) -> Option<Attention> {
    let since = ground.last_brace(foot)?.bracing_since;
    let seen = RelapseFindings::of(foot, since, ground.protocol);
    let first = seen.signs.iter().map(|sign| sign.on).min()?;
    if foot.relapse_noted_from(first) {
        return None;
    }
    let graded = seen.grade();
    let text = FindingCallText::RelapseSigns {
        signs: seen.signs.iter().map(|sign| sign.what).collect(),
        grade: graded.as_ref().map(|found| found.grade),
    };
    let because: Vec<Reason> =
        seen.signs.iter().map(RelapseSign::reason).chain(graded.map(|found| found.reason())).collect();
    let urgency = if seen.signs.iter().any(|sign| sign.fixed) { Urgency::ThisWeek } else { RULE.urgency };
    Some(Attention { urgency, ..RULE.call_finding(foot, first, text, because) })
}
