//! A brace recorded with settings that do not fit.
//!
//! # What it finds
//! The brace worn now, if a boot is turned out or bent up further than the foot reached, a foot that is not
//! a clubfoot or is complex is turned out like a clubfoot, the two feet look exchanged, a boot is recorded
//! for one foot only, or the length of the bar differs much from the width of the shoulders. It applies from
//! the day of the setting, or of the measurement that shows it.
//!
//! # Why it matters
//! A boot set beyond what the foot reaches hurts and lets the heel slip; turning out a sound or complex foot
//! too far harms it; a clubfoot turned out too little relapses.
//!
//! # When it stays silent
//! Without a brace; if a value to compare with is not recorded; within the measuring error; once a later
//! measurement reaches the setting. Whether a bar can be set for each side is only asked as a question. A bar
//! that the rule on narrow bars calls is not called twice.
//!
//! # Example
//! Last cast of 3 May 2024 at 50°, the boot set to 60° on 17 May 2024: 10° beyond, more than the measuring
//! error of 8°, and the call applies from 17 May 2024.
//!
//! # Source
//! Settings: Gupta & Agarwal 2021, 10.5005/jp-journals-10040-1172 (read), and the other sources of the
//! protocol. Measuring error: 10.3233/BMR-170862 (read; children with cerebral palsy). Never further than
//! the foot goes: common practice, no source. A bar too wide: assumed.

use super::{Attention, AttentionRule, Finder, Ground, Urgency};
use crate::brace::{SettingDoubt, SettingDoubtKind};
use crate::{CallText, call_text::BraceCallText};

pub(super) const RULE: AttentionRule = AttentionRule {
    key: "brace-settings",
    words: "settings of the brace to check",
    urgency: Urgency::ThisWeek,
    when_lost: false,
    find: Finder::Several(add_calls),
};

fn add_calls(ground: &Ground<'_>, found: &mut Vec<Attention>) {
    let narrow_is_called = ground.outgrowing.and_then(|worn| worn.bar.as_ref()?.1.by_50).is_some();
    let called = ground.settings.iter().filter(|doubt| match doubt.what {
        SettingDoubtKind::WideOnUnaffectedBarUnknown => false,
        SettingDoubtKind::BarNarrow => !narrow_is_called,
        _ => true,
    });
    found.extend(called.map(call));
}

fn call(doubt: &SettingDoubt) -> Attention {
    let SettingDoubt { what, side, on, text, because, .. } = doubt.clone();
    let urgency = match what {
        SettingDoubtKind::BarNarrow | SettingDoubtKind::BarWide => Urgency::Soon,
        _ => RULE.urgency,
    };
    Attention { urgency, ..RULE.call(side, on, CallText::Brace(BraceCallText::Setting(text)), because) }
}
