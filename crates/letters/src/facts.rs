//! What a family is to know, taken from the outlook of their child.

use crate::{letterhead::Letterhead, stage::FamilyStage};
use course::{AppointmentState, BraceSpell, Course, Standing};
use forecast::foot::FootForecast;
use guidance::{Action, Outlook, Protocol};
use record::{Day, DayRange, Purpose, Regime, Side};

/// How the clinic is reached.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ClinicContact {
    /// The name of the clinic.
    pub name: String,
    /// The telephone number for families.
    pub telephone: Option<String>,
    /// What it prints at the head and the foot of its documents.
    pub letterhead: Letterhead,
}

/// Why no document can be made. Nothing that could reach the family of a child that has died is ever made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NoDocument {
    /// The child died.
    #[error("The record says that this child has died. Documents for the family are not made.")]
    Died,
    /// The clinic no longer follows the child.
    #[error("The clinic no longer follows this child: there is no next step to write down.")]
    NotFollowed,
    /// No affected foot is recorded.
    #[error("No affected foot is recorded yet. Record the diagnosis or the first visit first.")]
    NoFoot,
    /// Something in the record is in doubt.
    #[error(
        "A fact in the record is in doubt, and the advice about it is on hold. Settle it first, so that the family is told nothing that may be wrong."
    )]
    InDoubt,
    /// No foot is in a cast or about to be.
    #[error("No foot is in a cast, and none is about to be.")]
    NoCast,
    /// No visit is planned.
    #[error("No visit is planned. Make the appointment first.")]
    NoVisit,
    /// The last visit was not missed.
    #[error("The last planned visit was not recorded as missed.")]
    NoneMissed,
    /// No brace is worn.
    #[error("No brace is recorded as worn.")]
    NoBrace,
}

/// A visit that is planned.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Planned {
    /// The day.
    pub day: Day,
    /// The time, as the clinic wrote it.
    pub time: Option<String>,
    /// What for, if recorded.
    pub purpose: Option<Purpose>,
}

/// What a family is to know, on a day.
#[derive(Debug, Clone)]
pub struct FamilyFacts<'a> {
    /// The day on which the document is made.
    pub today: Day,
    /// The course.
    pub course: &'a Course,
    /// How the clinic is reached.
    pub clinic: &'a ClinicContact,
    /// Where each affected foot is, right before left; `None` where the way does not say.
    pub feet: Vec<(Side, Option<FamilyStage>)>,
    /// Visits that are planned from today on, soonest first.
    pub planned: Vec<Planned>,
    /// What is to be done next at a visit, and the days within which it is due.
    pub next: Option<(Action, DayRange)>,
    /// Hours a day in the brace now, with whether they were prescribed for this child, where the brace is worn.
    pub hours_now: Option<(u16, bool)>,
    /// Hours a day of bracing at night, and the day from which they are planned where that is known.
    pub hours_later: Option<(u16, Option<Day>)>,
    /// The day on which the plan of the clinic ends the brace.
    pub brace_until: Option<Day>,
    /// What is likely for each foot.
    pub forecasts: &'a [FootForecast],
}

impl<'a> FamilyFacts<'a> {
    /// The facts of a child.
    ///
    /// # Errors
    /// When the child died, is no longer followed, has no affected foot, or something is in doubt.
    pub fn of(
        outlook: &'a Outlook,
        protocol: &Protocol,
        clinic: &'a ClinicContact,
        forecasts: &'a [FootForecast],
        today: Day,
    ) -> Result<Self, NoDocument> {
        let course = &outlook.course;
        match course.standing {
            Standing::Died(_) => return Err(NoDocument::Died),
            Standing::Discharged(_) | Standing::Transferred(_) => return Err(NoDocument::NotFollowed),
            Standing::Active | Standing::Lost(_) => {}
        }
        if course.feet.is_empty() {
            return Err(NoDocument::NoFoot);
        }
        if is_in_doubt(outlook) {
            return Err(NoDocument::InDoubt);
        }
        let step = outlook.child_step_on(today);
        let next = step.and_then(|step| step.window.map(|window| (step.action, window)));
        Ok(Self {
            today,
            course,
            clinic,
            feet: course.feet.iter().map(|foot| (foot.side, FamilyStage::of(foot))).collect(),
            planned: planned(course, today),
            next,
            hours_now: course.brace_now().map(|spell| hours_now(spell, protocol)),
            hours_later: hours_later(outlook, protocol),
            brace_until: course.brace_now().and_then(|_| protocol.bracing_ends(course.about.born)),
            forecasts,
        })
    }

    /// The name by which the family knows the child: the given name, otherwise the whole name.
    #[must_use]
    pub fn name(&self) -> String {
        let about = &self.course.about;
        let given = about.given_name.trim();
        if given.is_empty() { about.full_name() } else { given.to_owned() }
    }

    /// The feet that are in a stage of which something is true.
    #[must_use]
    pub fn feet_where(&self, is: impl Fn(FamilyStage) -> bool) -> Vec<Side> {
        let there = self.feet.iter().filter(|(_, stage)| stage.is_some_and(&is));
        there.map(|(side, _)| *side).collect()
    }

    /// Whether a tenotomy cast is on, in which blood can show.
    #[must_use]
    pub fn after_cut(&self) -> bool {
        !self.feet_where(|stage| stage == FamilyStage::LastCast).is_empty()
    }

    /// Whether the child must be seen at once.
    #[must_use]
    pub fn is_urgent(&self) -> bool {
        self.next.is_some_and(|(action, _)| action == Action::SeeUrgently)
    }
}

/// Advice that is on hold because facts contradict each other is never printed for a family.
fn is_in_doubt(outlook: &Outlook) -> bool {
    let held = [Action::CheckRecord, Action::LookAgain, Action::AssessAfterTenotomy];
    outlook.steps.iter().any(|step| held.contains(&step.action))
}

/// The visits that are planned from a day on, soonest first.
pub(crate) fn planned(course: &Course, today: Day) -> Vec<Planned> {
    let expected = course.appointments.iter().filter(|appointment| {
        appointment.state == AppointmentState::Expected && appointment.for_day >= today
    });
    let of = |appointment: &course::Appointment| Planned {
        day: appointment.for_day,
        time: appointment.time.clone(),
        purpose: appointment.purpose,
    };
    expected.map(of).collect()
}

fn hours_now(spell: &BraceSpell, protocol: &Protocol) -> (u16, bool) {
    match (spell.hours_prescribed, spell.regime) {
        (Some(hours), _) => (hours.into(), true),
        (None, Regime::FullTime) => (protocol.full_time_hours, false),
        (None, Regime::NightTime) => (protocol.night_hours, false),
    }
}

/// While the brace is worn day and night: the hours afterwards, and from when.
fn hours_later(outlook: &Outlook, protocol: &Protocol) -> Option<(u16, Option<Day>)> {
    let spell = outlook.course.brace_now()?;
    if spell.regime != Regime::FullTime {
        return None;
    }
    let change = outlook.steps.iter().find(|step| step.action == Action::ChangeToNightTime);
    let from = change.and_then(|step| step.window).map(|window| window.from);
    Some((protocol.night_hours, from))
}
