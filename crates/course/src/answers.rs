//! Questions that a course answers: the latest value of each kind, what is on now, what is in doubt.

use crate::{
    Appointment, AppointmentState, AssessmentSeen, BraceSpell, CastWorn, Course, Episode, FootCourse, Phase,
    Question, QuestionKind, RelapseSeen, TenotomyPlan, TenotomySeen,
};
use record::{CastPurpose, Day, EntryId, Halves, Purpose, Side, Sides};

impl Phase {
    /// Whether the foot is in casts: in correction, waiting for its tenotomy or in the cast after it.
    #[must_use]
    pub const fn is_in_casts(self) -> bool {
        matches!(self, Self::InCorrection | Self::WaitingForTenotomy | Self::TenotomyCast)
    }

    /// Whether the foot is in the brace, full time or at night.
    #[must_use]
    pub const fn is_in_brace(self) -> bool {
        matches!(self, Self::FullTimeBracing | Self::NightTimeBracing)
    }
}

impl AssessmentSeen {
    /// The Pirani total: of its six signs or, if those are incomplete, as recorded.
    #[must_use]
    pub fn pirani_total(&self) -> Option<Halves> {
        self.pirani.total().or(self.stated_total)
    }
}

impl FootCourse {
    /// The last cast, on or off.
    #[must_use]
    pub fn last_cast(&self) -> Option<&CastWorn> {
        self.casts.last()
    }

    /// The cast that is on, according to the entries.
    #[must_use]
    pub fn cast_on(&self) -> Option<&CastWorn> {
        self.casts.last().filter(|cast| cast.off.is_none())
    }

    /// The last assessment with at least one sign of the Pirani score.
    #[must_use]
    pub fn last_pirani(&self) -> Option<&AssessmentSeen> {
        self.scores.iter().rev().find(|scored| !scored.pirani.is_empty())
    }

    /// The last measured dorsiflexion, with its assessment.
    #[must_use]
    pub fn last_dorsiflexion(&self) -> Option<(&AssessmentSeen, i16)> {
        self.scores.iter().rev().find_map(|scored| Some((scored, scored.dorsiflexion_deg?)))
    }

    /// The last measured abduction, with its assessment.
    #[must_use]
    pub fn last_abduction(&self) -> Option<(&AssessmentSeen, i16)> {
        self.scores.iter().rev().find_map(|scored| Some((scored, scored.abduction_deg?)))
    }

    /// The tenotomies of the current episode.
    pub fn tenotomies_now(&self) -> impl Iterator<Item = &TenotomySeen> {
        self.tenotomies.iter().filter(|tenotomy| tenotomy.episode == self.episode)
    }

    /// The phase of treatment on a day. A phase of loss to follow-up hides the treatment, so the one before it
    /// is taken.
    #[must_use]
    pub fn phase_on(&self, day: Day) -> Option<Phase> {
        let after = self.phases.partition_point(|spell| spell.from <= day);
        let mut before = self.phases.iter().take(after).rev();
        before.find(|spell| spell.phase != Phase::LostToFollowUp).map(|spell| spell.phase)
    }

    /// The current episode of correction.
    #[must_use]
    pub fn episode_now(&self) -> Option<&Episode> {
        self.episodes.last().filter(|episode| episode.number == self.episode)
    }

    /// The correcting casts of the current episode, in order.
    pub fn correcting_casts_now(&self) -> impl Iterator<Item = &CastWorn> {
        let here = self.casts.iter().filter(|cast| cast.episode == self.episode);
        here.filter(|cast| cast.purpose == CastPurpose::Correction)
    }

    /// Whether the foot was treated here: cast, booked for a tenotomy, cut, operated on or noted as relapsed.
    /// Bracing belongs to the child and does not count.
    #[must_use]
    pub fn is_treated(&self) -> bool {
        !self.casts.is_empty()
            || !self.tenotomies.is_empty()
            || !self.surgery.is_empty()
            || !self.relapses.is_empty()
            || self.tenotomy_plan.is_some()
    }

    /// Whether a relapse was noted on or after a day.
    #[must_use]
    pub fn relapse_noted_from(&self, day: Day) -> bool {
        self.relapses.iter().any(|relapse| relapse.on >= day)
    }
}

impl Course {
    /// The affected feet. A foot that was treated although no entry records it as a clubfoot is left out
    /// until that is settled.
    #[must_use]
    pub fn affected(&self) -> Option<Sides> {
        let unsettled = |side: Side| {
            self.in_doubt(side).is_some_and(|question| question.kind == QuestionKind::FootNotOnRecord)
        };
        let has = |side: Side| self.foot(side).filter(|_| !unsettled(side)).map(|_| ());
        Sides::of(has(Side::Right), has(Side::Left))
    }

    /// One foot, if it is affected.
    #[must_use]
    pub fn foot(&self, side: Side) -> Option<&FootCourse> {
        self.feet.iter().find(|foot| foot.side == side)
    }

    /// The day from which care counts: the referral or registration that opened it or, where care ended and
    /// was opened again, the last one.
    #[must_use]
    pub fn known_since(&self) -> Option<Day> {
        self.reopened.map(|(day, _)| day).or(self.referred_on)
    }

    /// The day on which care was opened again, with its entry, if the child has not been seen since.
    #[must_use]
    pub fn reopened_unseen(&self) -> Option<(Day, EntryId)> {
        self.reopened.filter(|&(day, _)| self.last_seen().is_none_or(|seen| seen < day))
    }

    /// The open question that puts the latest entries of a foot in doubt (their side, or whether they make
    /// sense). While there is one, the only advice for that foot is to settle it.
    #[must_use]
    pub fn in_doubt(&self, side: Side) -> Option<&Question> {
        let foot = self.foot(side)?;
        self.questions.iter().rfind(|question| question.is_about(side) && casts_doubt(question, foot))
    }

    /// The last relapse noted for a foot, if it has not been treated since: no cast, tenotomy, surgery or
    /// booking on that day or later, and no brace on a later day.
    #[must_use]
    pub fn untreated_relapse<'a>(&self, foot: &'a FootCourse) -> Option<&'a RelapseSeen> {
        let relapse = foot.relapses.last()?;
        let since = |day: Day| day >= relapse.on;
        let treated = foot.casts.iter().any(|cast| since(cast.on))
            || foot.tenotomies.iter().any(|tenotomy| since(tenotomy.on))
            || foot.surgery.iter().any(|surgery| since(surgery.on))
            || foot.tenotomy_plan.is_some_and(|plan| since(plan.booked_on))
            || self.braces.iter().any(|spell| spell.from > relapse.on);
        (!treated).then_some(relapse)
    }

    /// The day for which a tenotomy is booked: that of the booking or, if it names none, that of the first
    /// expected appointment for a tenotomy since.
    #[must_use]
    pub fn tenotomy_day(&self, plan: &TenotomyPlan) -> Option<Day> {
        let meant = |made: &&Appointment| {
            made.purpose == Some(Purpose::Tenotomy)
                && made.state == AppointmentState::Expected
                && made.for_day >= plan.booked_on
        };
        plan.planned_on.or_else(|| self.appointments.iter().find(meant).map(|made| made.for_day))
    }

    /// The day the child was last seen.
    #[must_use]
    pub fn last_seen(&self) -> Option<Day> {
        self.seen_on.last().copied()
    }

    /// The current brace spell.
    #[must_use]
    pub fn brace_now(&self) -> Option<&BraceSpell> {
        self.braces.last().filter(|spell| spell.until.is_none())
    }

    /// The brace spell on a day.
    #[must_use]
    pub fn brace_on(&self, day: Day) -> Option<&BraceSpell> {
        let holds =
            |spell: &&BraceSpell| spell.from <= day && spell.until.is_none_or(|(until, _)| day < until);
        self.braces.iter().rev().find(holds)
    }

    /// Adds questions that need more than the entries, such as a value of the clinic's protocol.
    pub fn ask(&mut self, more: Vec<Question>) {
        self.questions.extend(more);
        crate::questions::in_order(&mut self.questions);
    }

    /// Age on a day, if the day of birth is known.
    #[must_use]
    pub fn age_on(&self, day: Day) -> Option<crate::Age> {
        self.about.born.map(|born| crate::Age::on(day, born, self.about.gestation_weeks))
    }

    /// The first appointment still expected on or after a day.
    #[must_use]
    pub fn next_appointment(&self, day: Day) -> Option<&Appointment> {
        self.appointments
            .iter()
            .filter(|appointment| {
                appointment.state == AppointmentState::Expected && appointment.for_day >= day
            })
            .min_by_key(|appointment| appointment.for_day)
    }
}

/// Whether a question concerns the entries that the next step rests on, and not only the past.
fn casts_doubt(question: &Question, foot: &FootCourse) -> bool {
    match question.kind {
        QuestionKind::FootNotOnRecord | QuestionKind::RelapseOtherFoot => true,
        QuestionKind::AlreadyCut => {
            foot.tenotomy_plan.is_some_and(|plan| question.entries.contains(&plan.entry))
        }
        QuestionKind::SidesSwapped => {
            let scored = foot.scores.last().map(|scored| scored.on);
            let cast = foot.casts.last().map(|cast| cast.on);
            scored.max(cast).is_some_and(|last| last <= question.on)
        }
        _ => false,
    }
}
