//! The phases of a foot as a sequence of spells.
//!
//! The phase of treatment is tracked separately: an end of care (discharge, transfer, loss, death) hides it
//! without changing it, so that a child who returns after a transfer or after being declared lost continues
//! where treatment stopped. After a discharge the foot starts again as referred.
//!
//! No spell is empty: a phase that began and ended on the same day leaves no spell.

use crate::{Phase, PhaseSpell};
use record::{Day, EntryId};

/// When and by which entry a phase changes, and in which episode.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Step {
    pub(crate) on: Day,
    pub(crate) episode: u8,
    pub(crate) entry: EntryId,
}

#[derive(Debug)]
pub(crate) struct PhaseTrack {
    /// The phase of treatment, whether or not care has ended.
    pub(crate) treatment: Phase,
    ended: Option<Phase>,
    pub(crate) spells: Vec<PhaseSpell>,
}

impl PhaseTrack {
    pub(crate) fn begin(on: Day, entry: Option<EntryId>) -> Self {
        let first = PhaseSpell { phase: Phase::Referred, episode: 1, from: on, until: None, entry };
        let mut spells = Vec::with_capacity(8);
        spells.push(first);
        Self { treatment: Phase::Referred, ended: None, spells }
    }

    /// Treatment enters a phase.
    pub(crate) fn treat(&mut self, phase: Phase, step: Step) {
        self.treatment = phase;
        self.show(step);
    }

    /// Care ends; with `None` it is open again.
    pub(crate) fn end(&mut self, ended: Option<Phase>, step: Step) {
        if ended == Some(Phase::Discharged) {
            self.treatment = Phase::Referred;
        }
        self.ended = ended;
        self.show(step);
    }

    fn show(&mut self, step: Step) {
        let phase = self.ended.unwrap_or(self.treatment);
        let Some(last) = self.spells.last_mut() else { return };
        if (last.phase, last.episode) == (phase, step.episode) {
            return;
        }
        let on = step.on.max(last.from);
        if last.from < on {
            last.until = Some(on);
        } else {
            self.spells.pop();
        }
        self.resume_or_push(phase, on, step);
    }

    /// A phase that was left and resumed on the same day continues without a gap.
    fn resume_or_push(&mut self, phase: Phase, on: Day, step: Step) {
        match self.spells.last_mut() {
            Some(last) if (last.phase, last.episode) == (phase, step.episode) => last.until = None,
            _ => self.spells.push(PhaseSpell {
                phase,
                episode: step.episode,
                from: on,
                until: None,
                entry: Some(step.entry),
            }),
        }
    }
}
