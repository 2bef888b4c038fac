//! The angles that a foot reached before the bar was set: the limits for the angles of the brace.

use crate::call_text::{AngleKnownBy, ReachedAngle};
use course::FootCourse;
use record::{Day, EntryId};

/// An angle that a foot reached.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct AngleReached {
    /// Degrees.
    pub(super) deg: i16,
    /// The day.
    pub(super) on: Day,
    /// The entry.
    pub(super) entry: EntryId,
    /// How it is known.
    pub(super) how: AngleKnownBy,
}

impl AngleReached {
    /// Without the entry.
    pub(super) const fn said(self) -> ReachedAngle {
        ReachedAngle { deg: self.deg, how: self.how, on: self.on }
    }
}

/// Abduction that the foot reached by a day: in its last cast with a recorded abduction or, if there is none
/// or it was measured since, as last measured.
pub(super) fn abduction(foot: &FootCourse, until: Day) -> Option<AngleReached> {
    let cast = foot.casts.iter().rev().filter(|cast| cast.on <= until).find_map(|cast| {
        let deg = cast.abduction_deg?;
        Some(AngleReached { deg, on: cast.on, entry: cast.entry, how: AngleKnownBy::Cast })
    });
    let seen = foot.scores.iter().rev().filter(|seen| seen.on <= until).find_map(|seen| {
        let deg = seen.abduction_deg?;
        Some(AngleReached { deg, on: seen.on, entry: seen.entry, how: AngleKnownBy::Measured })
    });
    match (cast, seen) {
        (Some(cast), Some(seen)) => Some(if seen.on > cast.on { seen } else { cast }),
        (cast, seen) => cast.or(seen),
    }
}

/// Dorsiflexion that the foot reached by a day, as last measured. A measurement before the last tenotomy, or
/// on its day and not marked as after it, does not describe the foot since.
pub(super) fn dorsiflexion(foot: &FootCourse, until: Day) -> Option<AngleReached> {
    let cut = foot.tenotomies.iter().rev().find(|cut| cut.on <= until);
    let after_cut = cut.and_then(|cut| {
        let deg = cut.dorsiflexion_after_deg?;
        Some(AngleReached { deg, on: cut.on, entry: cut.entry, how: AngleKnownBy::Tenotomy })
    });
    let since = |on: Day| on <= until && cut.is_none_or(|cut| on > cut.on);
    let seen = foot.scores.iter().rev().filter(|seen| since(seen.on)).find_map(|seen| {
        let deg = seen.dorsiflexion_deg?;
        Some(AngleReached { deg, on: seen.on, entry: seen.entry, how: AngleKnownBy::Measured })
    });
    seen.or(after_cut)
}
