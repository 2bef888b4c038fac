//! When the boots and the bar that a child wears will have been outgrown.

use crate::Protocol;
use course::{BraceSpell, Course};
use forecast::growth::{Growing, Growth, Outgrown};
use record::{Day, EntryId, Side};

/// A boot and its days.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BootOutgrown {
    /// Which foot.
    pub side: Side,
    /// Length inside.
    pub inner_mm: u16,
    /// The foot may be this long.
    pub limit_mm: u16,
    /// The days.
    pub days: Outgrown,
    /// The last length of that foot: mm, day, entry.
    pub measured: (u16, Day, EntryId),
}

/// Boots and bar worn now, with the days from which they no longer fit.
#[derive(Debug, Clone)]
pub struct Outgrowing {
    /// The spell in the brace.
    pub spell: EntryId,
    /// Each boot of known inside on a foot that was measured.
    pub boots: Vec<BootOutgrown>,
    /// The bar: its length, and its days, where the shoulders were measured.
    pub bar: Option<(u16, Outgrown)>,
    /// The day of birth is known and growth could be asked.
    pub growth: Growth,
}

impl BootOutgrown {
    /// "most likely by 3 May 2024, in nine cases of ten between …".
    #[must_use]
    pub fn words(&self) -> String {
        window_words(&self.days)
    }
}

impl Outgrowing {
    /// When the bar will be too narrow, in words.
    #[must_use]
    pub fn bar_words(&self) -> Option<String> {
        self.bar.as_ref().map(|(_, days)| window_words(days))
    }

    /// Of a course; `None` where no brace of known size runs, the day of birth is not known, or nothing
    /// was measured.
    #[must_use]
    pub fn of(course: &Course, protocol: &Protocol) -> Option<Self> {
        let spell = course.brace_now()?;
        let sized =
            spell.brace.bar_mm.is_some() || spell.brace.boots.iter().any(|boot| boot.length_mm.is_some());
        if !sized || (course.foot_lengths.is_empty() && course.shoulders.is_empty()) {
            return None;
        }
        let growth = Growth::of(Growing::of(course)?);
        let boots = boots(spell, protocol, &growth);
        let bar = spell.brace.bar_mm.and_then(|bar| {
            let limit = f64::from(bar) + f64::from(protocol.bar_narrow_mm);
            let measured = course.shoulders.iter().any(|seen| seen.width == Some(protocol.bar_width));
            let days = measured.then(|| growth.shoulders_beyond(protocol.bar_width, limit)).flatten()?;
            Some((bar, days))
        });
        (!boots.is_empty() || bar.is_some()).then_some(Self { spell: spell.entry, boots, bar, growth })
    }

    /// The boot that will be outgrown first.
    #[must_use]
    pub fn first(&self) -> Option<&BootOutgrown> {
        self.boots.iter().min_by_key(|boot| (boot.days.by_5, boot.side))
    }
}

fn boots(spell: &BraceSpell, protocol: &Protocol, growth: &Growth) -> Vec<BootOutgrown> {
    let least = protocol.toe_room_least_mm;
    let outgrown = |boot: &record::Boot| {
        let inner_mm = boot.length_mm?;
        let limit_mm = inner_mm.saturating_add_signed(-least);
        let last = growth.last_foot(boot.side)?;
        let days = growth.foot_beyond(boot.side, limit_mm.into())?;
        Some(BootOutgrown {
            side: boot.side,
            inner_mm,
            limit_mm,
            days,
            measured: (last.mm as u16, last.on, last.entry),
        })
    };
    spell.brace.boots.iter().filter_map(outgrown).collect()
}

/// "most likely on 3 May 2024, between 1 March and 9 August 2024 in nine cases of ten".
pub(crate) fn window_words(days: &Outgrown) -> String {
    let likely = days.by_50.map(|day| format!("most likely by {}, ", day.words())).unwrap_or_default();
    match days.by_95 {
        Some(last) if last == days.by_5 => format!("outgrown already on {}", last.words()),
        Some(last) => {
            format!("{likely}in nine cases of ten between {} and {}", days.by_5.words(), last.words())
        }
        None => format!("{likely}hardly before {}", days.by_5.words()),
    }
}
