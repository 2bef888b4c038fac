//! A cast on for longer than the protocol allows.
//!
//! # What it finds
//! A cast that, according to the entries, is still on after the last day the protocol allows: for a
//! correcting or holding cast `casting.max_days`, for the cast after a tenotomy the end of
//! `tenotomy.cast_range_days`, counted from the tenotomy (the longer cast in an older child). It applies
//! from the day after that.
//!
//! # Why it matters
//! A baby grows; a cast that stays on too long becomes too tight, hides the skin and stops correcting. A
//! family that does not come back most needs a call while a cast is on.
//!
//! # When it stays silent
//! When an entry shows the cast off: its removal, the next cast, the brace.
//!
//! # Example
//! A correcting cast is applied on 3 May 2024; 14 days are allowed. If nothing more is recorded the call
//! applies from 18 May 2024 (3 + 14 + 1).
//!
//! # Source
//! Casts are changed about weekly; no source gives a longest time: common practice, no source. Two to
//! three weeks after a tenotomy; six over two years of age (Bone Joint J proceedings 92-B supp III 369).

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::{Reason, call_text::TreatmentCallText};
use course::{CastWorn, FootCourse};
use record::{CastPurpose, Day};

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "cast-on-too-long",
    words: "cast on too long",
    urgency: Urgency::Today,
    when_lost: true,
    find: Finder::EachFoot(call),
};

fn call(ground: &Ground<'_>, foot: &FootCourse) -> Option<Attention> {
    let cast = foot.cast_on()?;
    let (last, key) = last_day(ground, foot, cast);
    let (on, last_words) = (cast.on.words(), last.words());
    let text = TreatmentCallText::CastOnTooLong { number: cast.number, since: cast.on, due_off: last };
    let rule = format!("This cast should be off by {last_words}. Call the family the same day.");
    let fact = format!("cast {} applied on {on}, removal not recorded", cast.number);
    let reason = Reason::new(fact, cast.entry, rule, ground.protocol.source(key));
    Some(RULE.call_treatment(foot, last + 1, text, reason))
}

/// The last day on which a cast may be on, and the setting that defines it.
fn last_day(ground: &Ground<'_>, foot: &FootCourse, cast: &CastWorn) -> (Day, &'static str) {
    let protocol = ground.protocol;
    if cast.purpose != CastPurpose::AfterTenotomy {
        return (cast.on + i32::from(protocol.cast_max_days), "casting.max_days");
    }
    // The days count from the tenotomy, even if the cast was renewed meanwhile.
    let done = foot.tenotomies_now().map(|tenotomy| tenotomy.on).filter(|&day| day <= cast.on).last();
    let from = done.unwrap_or(cast.on);
    let born = ground.course.about.born;
    let span = protocol.tenotomy_cast(from, born);
    (from + i32::from(span.high), protocol.tenotomy_cast_key(from, born))
}
