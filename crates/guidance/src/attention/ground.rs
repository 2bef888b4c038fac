//! The input of every rule, and the questions that several rules ask about it.

use crate::{
    FootStatus, Protocol,
    brace::{Outgrowing, SettingDoubt},
};
use course::{Appointment, AppointmentState, BraceSpell, Course, FootCourse, Phase};
use record::Day;
use wear::adherence::Adherence;

/// The input of a rule. It contains no clock.
#[derive(Debug, Clone, Copy)]
pub struct Ground<'a> {
    /// The course.
    pub course: &'a Course,
    /// Readiness and correction of each foot, by score and movement.
    pub feet: &'a [FootStatus],
    /// What is doubtful about the settings of the brace worn now.
    pub settings: &'a [SettingDoubt],
    /// The protocol in force.
    pub protocol: &'a Protocol,
    /// When boots and bar will be outgrown, if that can be estimated.
    pub outgrowing: Option<&'a Outgrowing>,
    /// Hours of wear compared with those prescribed, of a child now in the brace with any hours recorded.
    pub adherence: Option<&'a Adherence>,
}

impl<'a> Ground<'a> {
    /// Readiness and correction of a foot, if known.
    pub(crate) fn status(&self, foot: &FootCourse) -> Option<&'a FootStatus> {
        self.feet.iter().find(|status| status.side == foot.side)
    }

    /// Whether the child was seen on or after a day.
    pub(crate) fn seen_from(&self, day: Day) -> bool {
        self.course.last_seen().is_some_and(|seen| seen >= day)
    }

    /// Whether the family could be asked about hours of wear after they were known: the child was seen on a later
    /// day, or the family was reached, but not on the day on which the family itself reported the hours.
    pub(crate) fn asked_since(&self, recorded_on: Day, known_on: Day) -> bool {
        let reached =
            |contact: &course::Contact| contact.reached && contact.on >= known_on && contact.on > recorded_on;
        self.seen_from(known_on + 1) || self.course.contacts.iter().any(reached)
    }

    /// The first day on which hours reported at a visit are no longer called; `None` if they were not reported at
    /// a visit.
    pub(crate) fn called_after_visit_until(&self, recorded_on: Day) -> Option<Day> {
        let at_visit = self.course.seen_on.binary_search(&recorded_on).is_ok();
        at_visit.then(|| recorded_on + i32::from(self.protocol.wear_told_at_visit_days))
    }

    /// Whether any foot is in a cast.
    pub(crate) fn any_cast_on(&self) -> bool {
        self.course.feet.iter().any(|foot| foot.cast_on().is_some())
    }

    /// The first day of the current run of bracing.
    pub(crate) fn bracing_since(&self) -> Option<Day> {
        self.course.brace_now().map(|spell| spell.bracing_since)
    }

    /// The last brace spell of a foot that is out of casts.
    pub(crate) fn last_brace(&self, foot: &FootCourse) -> Option<&'a BraceSpell> {
        let braced = foot.phase.is_in_brace() || foot.phase == Phase::AfterBracing;
        self.course.braces.last().filter(|_| braced)
    }

    /// The appointment at which the child was not seen.
    ///
    /// It is one marked as missed, unless another is expected after it or the family was reached since; with a
    /// cast on, neither of these is enough. Otherwise it is the earliest one still expected after the child was
    /// last seen, unless a later one was made once it had passed.
    pub(crate) fn absence(&self) -> Option<&'a Appointment> {
        let unseen = self.course.appointments.iter().filter(|one| !self.seen_from(one.for_day));
        let open = unseen.filter(|one| match one.state {
            AppointmentState::Expected => !self.made_again(one),
            AppointmentState::Missed => self.any_cast_on() || !self.followed_up(one.for_day),
            AppointmentState::Here
            | AppointmentState::Seen
            | AppointmentState::Cancelled
            | AppointmentState::Ended => false,
        });
        open.min_by_key(|one| (one.state == AppointmentState::Expected, one.for_day))
    }

    /// Whether another appointment is booked after a missed one, or the family was reached since.
    fn followed_up(&self, missed: Day) -> bool {
        self.expected_after(missed).is_some() || self.reached_from(missed)
    }

    fn made_again(&self, passed: &Appointment) -> bool {
        self.course.appointments.iter().any(|other| {
            other.for_day > passed.for_day
                && other.state != AppointmentState::Cancelled
                && other.made_on.is_some_and(|made| made >= passed.for_day)
        })
    }

    /// The first appointment expected after a day.
    pub(crate) fn expected_after(&self, day: Day) -> Option<&'a Appointment> {
        self.course.next_appointment(day + 1)
    }

    fn reached_from(&self, day: Day) -> bool {
        self.course.contacts.iter().any(|contact| contact.reached && contact.on >= day)
    }
}
