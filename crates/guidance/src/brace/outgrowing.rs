//! When the boots and the bar that a child wears will have been outgrown.
//!
//! Two published rules say when a boot is outgrown, and the protocol names which holds ([`OutgrownRule`]).
//! Boots are called for on the day by which 15 of 100 such feet have outgrown them
//! ([`BootOutgrown::call_on`]).

use crate::Protocol;
use course::Course;
use growth::{Growing, Growth, Outgrown};
use record::{Day, EntryId, Side};

/// Which published rule says that a boot is outgrown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum OutgrownRule {
    /// Open boots of a brace: "when your child's toes can completely curl over the edge of the shoe", so
    /// that no room is left (a children's hospital's handout for foot abduction braces, read).
    ToesOverEdge,
    /// Closed shoes: when less than `bracing.toe_room_least_mm` is left (fitting page of a shoe maker, read,
    /// low grade).
    ClosedShoeRoom,
}

impl OutgrownRule {
    /// Both.
    pub const ALL: [Self; 2] = [Self::ToesOverEdge, Self::ClosedShoeRoom];

    /// The key in the file.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::ToesOverEdge => "toes-over-edge",
            Self::ClosedShoeRoom => "closed-shoe-room",
        }
    }

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::ToesOverEdge => "open boots: when no room is left and the toes reach over the edge",
            Self::ClosedShoeRoom => "closed shoes: when less than the least room is left before the toes",
        }
    }

    /// From its key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|rule| rule.key() == key)
    }
}

impl Protocol {
    /// A boot is outgrown where less room than this is left before the toes, mm.
    #[must_use]
    pub const fn least_room_mm(&self) -> i16 {
        match self.outgrown_rule {
            OutgrownRule::ToesOverEdge => 0,
            OutgrownRule::ClosedShoeRoom => self.toe_room_least_mm,
        }
    }
}

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

/// What the days are computed from: the child's measurements, and what it wears.
#[derive(Debug, Clone, PartialEq)]
pub struct Worn {
    /// The spell in the brace.
    pub spell: EntryId,
    /// Length of the bar, mm, where written.
    pub bar_mm: Option<u16>,
    /// Boots of known inside.
    pub boots: Vec<(Side, u16)>,
    /// The child's measurements.
    pub growing: Growing,
}

impl Worn {
    /// Of a course; `None` where no brace of known size runs, the day of birth is not known, or nothing
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
    /// The day on which boots are called for: by it 15 of 100 such feet have outgrown them. Earlier by the
    /// days of notice given, and not before the foot was measured. `None` where that lies beyond what is
    /// looked at.
    #[must_use]
    pub fn call_on(&self, notice_days: u16) -> Option<Day> {
        self.days.by_15.map(|day| (day - i32::from(notice_days)).max(self.measured.1))
    }

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
        Self::of_worn(Worn::of(course)?, protocol)
    }

    /// Of what is worn.
    #[must_use]
    pub fn of_worn(worn: Worn, protocol: &Protocol) -> Option<Self> {
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
