//! The phases of a foot as a track of spells.
//!
//! Beneath the track runs the phase of treatment itself; an end of care (discharge, transfer, loss,
//! death) covers it without changing it, so that a child who comes back from a transfer or after being
//! declared lost is where treatment had left off. After a discharge the foot starts anew as referred.
//!
//! No spell is empty: a phase that began and ended on one day leaves no spell.

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

    /// Treatment moves to a phase.
    pub(crate) fn treat(&mut self, phase: Phase, step: Step) {
        self.treatment = phase;
        self.show(step);
    }

    /// Care ends, or is open again with `None`.
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

    /// What was left and taken up again on one day goes on unbroken.
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
