//! The measurements of a foot since the last change of its cast: the basis of every decision on casts.

use crate::words::{degrees, score_words};
use course::{AssessmentSeen, FootCourse};
use record::{Day, EntryId, Pirani};

/// The latest of each measurement since the previous change of cast. An older value does not count: the foot
/// has changed since, and a missing value is never carried forward.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Measured<'a> {
    /// The day of the latest measurement.
    pub(crate) on: Option<Day>,
    /// The assessment with the latest signs of the score.
    pub(crate) scored: Option<&'a AssessmentSeen>,
    /// Dorsiflexion, its day and entry.
    pub(crate) dorsiflexion: Option<(i16, Day, EntryId)>,
    /// Abduction, its day and entry; measured, or as held in the cast of that day.
    pub(crate) abduction: Option<(i16, Day, EntryId)>,
    /// Whether abduction was measured, and not only taken from the cast.
    pub(crate) abduction_is_measured: bool,
}

impl<'a> Measured<'a> {
    /// The measurements of a foot in its current episode, from `since` on if the episode has a known first day.
    pub(crate) fn of(foot: &'a FootCourse, since: Option<Day>) -> Self {
        let is_useful = |s: &&AssessmentSeen| {
            let useful = !s.pirani.is_empty() || s.dorsiflexion_deg.is_some() || s.abduction_deg.is_some();
            useful && since.is_none_or(|since| s.on >= since)
        };
        let Some(latest) = foot.scores.iter().rev().find(is_useful).map(|scored| scored.on) else {
            return Self::default();
        };
        let changed = foot.casts.iter().rev().map(|cast| cast.on).find(|&on| on < latest);
        let fresh = |s: &&AssessmentSeen| is_useful(s) && changed.is_none_or(|changed| s.on > changed);
        let fresh = || foot.scores.iter().rev().filter(fresh);
        let abduction = fresh().find_map(|s| Some((s.abduction_deg?, s.on, s.entry)));
        let held = foot.casts.iter().rev().find(|cast| cast.on == latest);
        let held = held.and_then(|cast| Some((cast.abduction_deg?, cast.on, cast.entry)));
        Self {
            on: Some(latest),
            scored: fresh().find(|s| !s.pirani.is_empty()),
            dorsiflexion: fresh().find_map(|s| Some((s.dorsiflexion_deg?, s.on, s.entry))),
            abduction: abduction.or(held),
            abduction_is_measured: abduction.is_some(),
        }
    }

    /// The six signs.
    pub(crate) fn pirani(&self) -> Option<&'a Pirani> {
        self.scored.map(|scored| &scored.pirani)
    }

    /// Degrees of dorsiflexion.
    pub(crate) fn dorsiflexion_deg(&self) -> Option<i16> {
        self.dorsiflexion.map(|(deg, ..)| deg)
    }

    /// Degrees of abduction.
    pub(crate) fn abduction_deg(&self) -> Option<i16> {
        self.abduction.map(|(deg, ..)| deg)
    }

    /// In words, such as "Pirani 3 on 3 May 2024: hindfoot 2.5, midfoot 0.5.", naming the signs not assessed.
    pub(crate) fn score_fact(&self) -> (String, Option<EntryId>) {
        let Some(scored) = self.scored else { return ("No Pirani score is recorded.".to_owned(), None) };
        (score_words(&scored.pirani, scored.on), Some(scored.entry))
    }

    /// In words, such as "Dorsiflexion 5°, abduction 60° on 3 May 2024."
    pub(crate) fn movement_fact(&self) -> (String, Option<EntryId>) {
        match (self.dorsiflexion, self.abduction) {
            (Some((deg, on, entry)), Some((abduction, on2, _))) if on == on2 => (
                format!("Dorsiflexion {}, abduction {} on {}.", degrees(deg), degrees(abduction), on.words()),
                Some(entry),
            ),
            (Some((deg, on, entry)), Some((abduction, on2, _))) => (
                format!(
                    "Dorsiflexion {} on {}, abduction {} on {}.",
                    degrees(deg),
                    on.words(),
                    degrees(abduction),
                    on2.words()
                ),
                Some(entry),
            ),
            (Some((deg, on, entry)), None) => (
                format!("Dorsiflexion {} on {}; abduction not measured.", degrees(deg), on.words()),
                Some(entry),
            ),
            (None, Some((deg, on, entry))) => (
                format!("Abduction {} on {}; dorsiflexion not measured.", degrees(deg), on.words()),
                Some(entry),
            ),
            (None, None) => ("Neither dorsiflexion nor abduction was measured.".to_owned(), None),
        }
    }
}
