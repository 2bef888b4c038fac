//! Estimates when the boots and the bar that a child wears will be outgrown.
//!
//! Two published rules define when a boot is outgrown, and the protocol chooses one ([`crate::OutgrownRule`]). Boots
//! are called for on the day by which 15 of 100 such feet have outgrown them ([`BootOutgrown::call_on`]).

use crate::{Protocol, call_text::OutgrownWindow};
use course::Course;
use growth::{Growing, Growth, Outgrown};
use record::{Day, EntryId, Side};

/// A boot and the days on which it will be outgrown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BootOutgrown {
    /// Which foot.
    pub side: Side,
    /// Length inside, mm.
    pub inner_mm: u16,
    /// The longest foot that it fits, mm.
    pub limit_mm: u16,
    /// The estimated days.
    pub days: Outgrown,
    /// The last length of that foot: mm, day, entry.
    pub measured: (u16, Day, EntryId),
}

/// Boots and bar worn now, with the days from which they no longer fit.
#[derive(Debug, Clone)]
pub struct Outgrowing {
    /// The spell in the brace.
    pub spell: EntryId,
    /// Each boot of known inside length, if the foot was measured.
    pub boots: Vec<BootOutgrown>,
    /// The length of the bar and its days, if the shoulders were measured.
    pub bar: Option<(u16, Outgrown)>,
    /// The estimated growth.
    pub growth: Growth,
}

/// The input of the estimate: the child's measurements and the brace worn.
#[derive(Debug, Clone, PartialEq)]
pub struct WornBrace {
    /// The spell in the brace.
    pub spell: EntryId,
    /// Length of the bar, mm, if recorded.
    pub bar_mm: Option<u16>,
    /// Boots of known inside length, mm.
    pub boots: Vec<(Side, u16)>,
    /// The child's measurements.
    pub growing: Growing,
}

impl WornBrace {
    /// Of a course; `None` if no brace of known size is worn, the day of birth is not known, or nothing
    /// was measured.
    #[must_use]
    pub fn of(course: &Course) -> Option<Self> {
        let spell = course.brace_now()?;
        let inside = |boot: &record::Boot| Some((boot.side, boot.length_mm?));
        let boots: Vec<_> = spell.brace.boots.iter().filter_map(inside).collect();
        let sized = spell.brace.bar_mm.is_some() || !boots.is_empty();
        if !sized || (course.foot_lengths.is_empty() && course.shoulders.is_empty()) {
            return None;
        }
        let growing = Growing::of(course)?;
        Some(Self { spell: spell.entry, bar_mm: spell.brace.bar_mm, boots, growing })
    }
}

impl BootOutgrown {
    /// The day on which boots are called for: by then 15 of 100 such feet have outgrown them. The notice given
    /// makes it earlier, but not before the foot was measured. `None` if that is beyond the period of the
    /// estimate.
    #[must_use]
    pub fn call_on(&self, notice_days: u16) -> Option<Day> {
        self.days.by_15.map(|day| (day - i32::from(notice_days)).max(self.measured.1))
    }

    /// The window of the estimated days.
    pub(crate) fn window(&self) -> OutgrownWindow {
        OutgrownWindow::of(&self.days)
    }

    /// In words, such as "most likely by 3 May 2024 (90 % interval 1 March 2024 to 9 August 2024)".
    #[must_use]
    pub fn words(&self) -> String {
        self.window().words()
    }
}

impl Outgrowing {
    /// When the bar will be too narrow, in words.
    #[must_use]
    pub fn bar_words(&self) -> Option<String> {
        self.bar.as_ref().map(|(_, days)| OutgrownWindow::of(days).words())
    }

    /// Of a course; `None` if no brace of known size is worn, the day of birth is not known, or nothing
    /// was measured.
    #[must_use]
    pub fn of(course: &Course, protocol: &Protocol) -> Option<Self> {
        Self::of_worn(WornBrace::of(course)?, protocol)
    }

    /// From the input of the estimate.
    #[must_use]
    pub fn of_worn(worn: WornBrace, protocol: &Protocol) -> Option<Self> {
        let measured = worn.growing.shoulders.iter().any(|&(_, _, _, width)| width == protocol.bar_width);
        let growth = Growth::of(worn.growing);
        let boots = boots(&worn.boots, protocol, &growth);
        let bar = worn.bar_mm.and_then(|bar| {
            let limit = f64::from(bar) + f64::from(protocol.bar_narrow_mm);
            let days = measured.then(|| growth.shoulders_beyond(protocol.bar_width, limit)).flatten()?;
            Some((bar, days))
        });
        (!boots.is_empty() || bar.is_some()).then_some(Self { spell: worn.spell, boots, bar, growth })
    }

    /// The boot that will be outgrown first.
    #[must_use]
    pub fn first(&self) -> Option<&BootOutgrown> {
        self.boots.iter().min_by_key(|boot| (boot.days.by_5, boot.side))
    }
}

/// The longest foot that a boot still fits, mm.
pub(crate) const fn longest_foot_mm(inner_mm: u16, protocol: &Protocol) -> u16 {
    inner_mm.saturating_add_signed(-protocol.least_room_mm())
}

fn boots(worn: &[(Side, u16)], protocol: &Protocol, growth: &Growth) -> Vec<BootOutgrown> {
    let outgrown = |&(side, inner_mm): &(Side, u16)| {
        let limit_mm = longest_foot_mm(inner_mm, protocol);
        let last = growth.last_foot(side)?;
        let days = growth.foot_beyond(side, limit_mm.into())?;
        let measured = (last.mm as u16, last.on, last.entry);
        Some(BootOutgrown { side, inner_mm, limit_mm, days, measured })
    };
    worn.iter().filter_map(outgrown).collect()
}
