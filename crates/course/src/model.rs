//! The data types of a course.

use crate::{Contact, Preparation, Question, SiblingLink, WearSpan};
use record::{
    BraceChange, CastPurpose, ChildId, Day, Dimeglio, EntryId, Halves, Helped, Nature, Pirani, ProblemKind,
    Procedure, Purpose, Regime, Registration, RelapseGrade, RelapseSigns, RemovalReason, Screening,
    ShoulderWidth, Side, Walking,
};

/// The complete course of one child, as known on a day.
#[derive(Debug, Clone)]
pub struct Course {
    /// The child.
    pub child: ChildId,
    /// The day as of which this was computed: entries with a later day are not visible.
    pub as_of: Day,
    /// The current registration; empty if there is none.
    pub about: Registration,
    /// The entry of that registration.
    pub registered: Option<EntryId>,
    /// The day of the first registration or referral.
    pub referred_on: Option<Day>,
    /// The last registration or referral that opened care again after discharge, transfer or loss.
    pub reopened: Option<(Day, EntryId)>,
    /// Whether the clinic still follows the child.
    pub standing: Standing,
    /// The affected feet, right before left. A foot is affected if a diagnosis says so or if it was scored,
    /// cast, cut or noted as relapsed; a diagnosis of "not a clubfoot" excludes it.
    pub feet: Vec<FootCourse>,
    /// Spells in the brace, in order. They belong to the child: one bar holds both feet.
    pub braces: Vec<BraceSpell>,
    /// Days on which a foot got a new boot, in order: by a fitting, or by a change of size that names that boot
    /// or names none.
    pub new_boots: Vec<(Day, Side)>,
    /// Appointments, ordered by the day they are for.
    pub appointments: Vec<Appointment>,
    /// Problems in order of day.
    pub problems: Vec<ProblemSeen>,
    /// Links to the records of brothers, sisters and twins.
    pub siblings: Vec<SiblingLink>,
    /// Attempts to contact the family.
    pub contacts: Vec<Contact>,
    /// Spans of wear; reported and logged spans are kept apart.
    pub wear: Vec<WearSpan>,
    /// Lengths of either foot, affected or not, in order of day.
    pub foot_lengths: Vec<FootLength>,
    /// Widths of the shoulders, in order of day.
    pub shoulders: Vec<ShoulderMeasured>,
    /// What has to be known before an operation: weights, allergies, medicines, consent.
    pub preparation: Preparation,
    /// The latest screening results.
    pub screening: Option<Screening>,
    /// Days on which the child was seen, each once, in order: assessed, cast, cut or braced, or attended with
    /// anything else recorded.
    pub seen_on: Vec<Day>,
    /// Days on which the child attended and nothing else is recorded, each once, in order.
    pub only_attended_on: Vec<Day>,
    /// Entries that were confirmed by a note that follows them.
    pub confirmed: Vec<EntryId>,
    /// The open questions.
    pub questions: Vec<Question>,
}

/// Whether the clinic still follows the child.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// Followed here.
    Active,
    /// Discharged on a day.
    Discharged(Day),
    /// Passed to another clinic.
    Transferred(Day),
    /// Died.
    Died(Day),
    /// Declared lost to follow-up by the clinic; a later visit cancels it.
    Lost(Day),
}

/// The phase of a foot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Phase {
    /// Referred, not yet cast.
    Referred,
    /// Casts under way, first or later episode.
    InCorrection,
    /// A tenotomy is booked and not yet done.
    WaitingForTenotomy,
    /// In the cast after a tenotomy, or just out of it; no brace yet.
    TenotomyCast,
    /// Brace, full time.
    FullTimeBracing,
    /// Brace, nights and naps.
    NightTimeBracing,
    /// Bracing stopped; followed without a brace.
    AfterBracing,
    /// After surgery other than a tenotomy, until the next cast or brace.
    AfterSurgery,
    /// Discharged.
    Discharged,
    /// Passed to another clinic.
    Transferred,
    /// Declared lost to follow-up.
    LostToFollowUp,
    /// The child died.
    Died,
}

/// A period in one phase.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PhaseSpell {
    /// Which phase.
    pub phase: Phase,
    /// Number of the episode of correction it belongs to, 1 for the first; a relapse begins the next.
    pub episode: u8,
    /// First day.
    pub from: Day,
    /// First day of the next phase; `None` for the current phase.
    pub until: Option<Day>,
    /// The entry that began it.
    pub entry: Option<EntryId>,
}

/// The course of one foot.
#[derive(Debug, Clone)]
pub struct FootCourse {
    /// Which foot.
    pub side: Side,
    /// The nature of the clubfoot, if recorded.
    pub nature: Option<Nature>,
    /// Whether a clinician called it complex; `None` if not recorded.
    pub complex: Option<bool>,
    /// Treatment before this clinic.
    pub earlier_treatment: Option<String>,
    /// The current phase.
    pub phase: Phase,
    /// First day of the current phase.
    pub phase_since: Option<Day>,
    /// The current episode of correction, from 1. A relapse noted, or casts after a brace, begin the next.
    pub episode: u8,
    /// Phases in order.
    pub phases: Vec<PhaseSpell>,
    /// Episodes in order.
    pub episodes: Vec<Episode>,
    /// Casts in order, of every episode.
    pub casts: Vec<CastWorn>,
    /// Assessments in order.
    pub scores: Vec<AssessmentSeen>,
    /// Tenotomies in order.
    pub tenotomies: Vec<TenotomySeen>,
    /// A tenotomy booked and not yet done.
    pub tenotomy_plan: Option<TenotomyPlan>,
    /// Relapses noted, in order.
    pub relapses: Vec<RelapseSeen>,
    /// Other surgery, in order.
    pub surgery: Vec<Surgery>,
}

/// One episode of correction: from its first cast (or the relapse) to the brace.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Episode {
    /// From 1.
    pub number: u8,
    /// Day of its first cast, or of the relapse that began it.
    pub from: Day,
    /// Day on which the brace was fitted.
    pub until: Option<Day>,
    /// Casts so far, the one after tenotomy included.
    pub casts: u16,
    /// Casts for correction alone.
    pub correcting_casts: u16,
}

/// A cast worn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CastWorn {
    /// The entry.
    pub entry: EntryId,
    /// Episode, from 1.
    pub episode: u8,
    /// Number in the episode, from 1, as counted from the entries.
    pub number: u16,
    /// Number as recorded by the clinic.
    pub stated_number: Option<u8>,
    /// Day it was applied.
    pub on: Day,
    /// Day it came off: a removal entry, the next cast, the brace, or the visit that shows it off; and the
    /// reason, if recorded. `None` while it is on, according to the entries.
    pub off: Option<(Day, Option<RemovalReason>)>,
    /// Purpose: as recorded, otherwise after tenotomy if a tenotomy was done that day, otherwise correction.
    pub purpose: CastPurpose,
    /// Abduction in which it held the foot, degrees.
    pub abduction_deg: Option<i16>,
}

/// An assessment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AssessmentSeen {
    /// The entry.
    pub entry: EntryId,
    /// The day.
    pub on: Day,
    /// Days since the last cast was applied, not counting a cast of the same day; `None` without one.
    pub days_since_cast: Option<i32>,
    /// The six signs.
    pub pirani: Pirani,
    /// Total as recorded on a paper sheet.
    pub stated_total: Option<Halves>,
    /// Items of the Dimeglio score.
    pub dimeglio: Dimeglio,
    /// Dimeglio total as recorded on a paper sheet.
    pub stated_dimeglio_total: Option<u8>,
    /// Walking-age items.
    pub walking: Walking,
    /// Signs of relapse.
    pub signs: RelapseSigns,
    /// Abduction, degrees.
    pub abduction_deg: Option<i16>,
    /// Dorsiflexion, degrees.
    pub dorsiflexion_deg: Option<i16>,
    /// Foot length, mm.
    pub foot_length_mm: Option<u16>,
}

/// A tenotomy done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TenotomySeen {
    /// The entry.
    pub entry: EntryId,
    /// The day.
    pub on: Day,
    /// Episode, from 1.
    pub episode: u8,
    /// Dorsiflexion just after, degrees.
    pub dorsiflexion_after_deg: Option<i16>,
}

/// A tenotomy booked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TenotomyPlan {
    /// The entry.
    pub entry: EntryId,
    /// The day it was booked.
    pub booked_on: Day,
    /// The day it is booked for.
    pub planned_on: Option<Day>,
}

/// A relapse noted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RelapseSeen {
    /// The entry.
    pub entry: EntryId,
    /// The day.
    pub on: Day,
    /// Grade, if recorded.
    pub grade: Option<RelapseGrade>,
    /// The episode that the relapse began.
    pub episode: u8,
}

/// Surgery other than a tenotomy.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Surgery {
    /// The entry.
    pub entry: EntryId,
    /// The day.
    pub on: Day,
    /// What.
    pub procedure: Procedure,
}

/// Why a brace spell ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// The regime changed; the next spell follows.
    Changed,
    /// Bracing was stopped.
    Stopped,
    /// Casting began again.
    Recast,
    /// Another fitting replaced it.
    Refitted,
}

/// A period of bracing under one regime.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BraceSpell {
    /// The entry that began it.
    pub entry: EntryId,
    /// First day.
    pub from: Day,
    /// First day after it, and why it ended; `None` for the current spell.
    pub until: Option<(Day, Cause)>,
    /// Full time, or nights and naps.
    pub regime: Regime,
    /// Whether the regime was recorded; otherwise it was inferred from the position in the course.
    pub regime_stated: bool,
    /// Hours a day prescribed, if recorded.
    pub hours_prescribed: Option<u8>,
    /// First day of the continuous run of bracing that this spell belongs to: reviews count from here.
    pub bracing_since: Day,
    /// The brace as last set in this spell.
    pub brace: record::Brace,
    /// Changes of size, settings and repairs within the spell.
    pub changes: Vec<(Day, BraceChange, EntryId)>,
}

/// The outcome of an appointment.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum AppointmentState {
    /// Still to come, or passed with nothing recorded.
    Expected,
    /// The child came and no clinical entry exists yet.
    Here,
    /// The child came and was seen.
    Seen,
    /// The child did not come.
    Missed,
    /// Cancelled.
    Cancelled,
    /// Ended together with the child's care: death, discharge or transfer on or before its day.
    Ended,
}

/// An appointment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Appointment {
    /// The entry that made it, or the missed or attended entry if no booking was recorded.
    pub entry: EntryId,
    /// The day it was made, if recorded.
    pub made_on: Option<Day>,
    /// The day it is for.
    pub for_day: Day,
    /// Time of day.
    pub time: Option<String>,
    /// What for.
    pub purpose: Option<Purpose>,
    /// The outcome.
    pub state: AppointmentState,
    /// The entry that marks the child as here or as missed: withdrawing it takes the mark back.
    pub marked_by: Option<EntryId>,
}

/// A problem.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProblemSeen {
    /// The entry.
    pub entry: EntryId,
    /// The day.
    pub on: Day,
    /// Which foot, if it is about one.
    pub side: Option<Side>,
    /// What.
    pub what: ProblemKind,
    /// In words.
    pub note: Option<String>,
    /// The advice given, in order of day, and whether it helped.
    pub advice: Vec<AdviceSeen>,
    /// When it was settled: by a later entry, or (for a cast problem) by a new cast or the removal of the
    /// cast.
    pub settled_on: Option<Day>,
}

/// Advice given on a problem.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AdviceSeen {
    /// The entry that records it.
    pub entry: EntryId,
    /// The day.
    pub on: Day,
    /// The key of an advice in the list of problems, or free text.
    pub advised: String,
    /// Whether it helped, by the latest entry about it; `None` if not recorded.
    pub helped: Option<Helped>,
    /// The day of that entry.
    pub helped_on: Option<Day>,
}

/// The length of a foot, affected or not.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FootLength {
    /// The entry.
    pub entry: EntryId,
    /// The day.
    pub on: Day,
    /// Which foot.
    pub side: Side,
    /// Heel to longest toe.
    pub mm: u16,
}

/// The width of the shoulders.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ShoulderMeasured {
    /// The entry.
    pub entry: EntryId,
    /// The day.
    pub on: Day,
    /// In millimetres.
    pub mm: u16,
    /// Which width; a width of unknown kind is not used.
    pub width: Option<ShoulderWidth>,
}

impl Phase {
    /// Every phase.
    pub const ALL: [Self; 12] = [
        Self::Referred,
        Self::InCorrection,
        Self::WaitingForTenotomy,
        Self::TenotomyCast,
        Self::FullTimeBracing,
        Self::NightTimeBracing,
        Self::AfterBracing,
        Self::AfterSurgery,
        Self::Discharged,
        Self::Transferred,
        Self::LostToFollowUp,
        Self::Died,
    ];

    /// A key for files and filters.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Referred => "referred",
            Self::InCorrection => "in-correction",
            Self::WaitingForTenotomy => "waiting-for-tenotomy",
            Self::TenotomyCast => "tenotomy-cast",
            Self::FullTimeBracing => "full-time-bracing",
            Self::NightTimeBracing => "night-time-bracing",
            Self::AfterBracing => "after-bracing",
            Self::AfterSurgery => "after-surgery",
            Self::Discharged => "discharged",
            Self::Transferred => "transferred",
            Self::LostToFollowUp => "lost-to-follow-up",
            Self::Died => "died",
        }
    }

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Referred => "referred",
            Self::InCorrection => "in correction",
            Self::WaitingForTenotomy => "waiting for tenotomy",
            Self::TenotomyCast => "in the tenotomy cast",
            Self::FullTimeBracing => "full-time bracing",
            Self::NightTimeBracing => "night-time bracing",
            Self::AfterBracing => "after bracing",
            Self::AfterSurgery => "after surgery",
            Self::Discharged => "discharged",
            Self::Transferred => "transferred",
            Self::LostToFollowUp => "lost to follow-up",
            Self::Died => "died",
        }
    }
}
