//! The shape of a course.

use crate::{Contact, Question, WearSpan};
use record::{
    BraceChange, CastPurpose, ChildId, Day, Dimeglio, EntryId, Halves, Helped, Nature, Pirani, ProblemKind,
    Procedure, Purpose, Regime, Registration, RelapseGrade, RelapseSigns, RemovalReason, Screening,
    ShoulderWidth, Side, Walking,
};

/// Everything the entries of one child add up to, as known on a day.
#[derive(Debug, Clone)]
pub struct Course {
    /// The child.
    pub child: ChildId,
    /// The day as of which this was computed: entries with a later day are not seen.
    pub as_of: Day,
    /// The registration that holds; empty where there is none.
    pub about: Registration,
    /// The entry of that registration.
    pub registered: Option<EntryId>,
    /// Day of the first registration or referral.
    pub referred_on: Option<Day>,
    /// The last registration or referral that opened care again after discharge, transfer or loss.
    pub reopened: Option<(Day, EntryId)>,
    /// Whether the clinic still follows the child.
    pub standing: Standing,
    /// The affected feet, right before left. A foot is affected when a diagnosis says so or when it
    /// was scored, cast, cut or noted as relapsed; a diagnosis of "not a clubfoot" takes it out.
    pub feet: Vec<FootCourse>,
    /// Spells in the brace, in order. They belong to the child: one bar holds both feet.
    pub braces: Vec<BraceSpell>,
    /// Days on which the boot of a foot was fitted anew, in order: by a fitting, or by a change of size that
    /// names that boot or names none.
    pub new_boots: Vec<(Day, Side)>,
    /// Appointments by the day for which they are or were.
    pub appointments: Vec<Appointment>,
    /// Problems in order of day.
    pub problems: Vec<ProblemSeen>,
    /// Attempts to reach the family.
    pub contacts: Vec<Contact>,
    /// Spans of wear, reported and logged apart.
    pub wear: Vec<WearSpan>,
    /// Lengths of either foot, affected or not, in order of day.
    pub foot_lengths: Vec<FootLength>,
    /// Widths of the shoulders, in order of day.
    pub shoulders: Vec<ShoulderMeasured>,
    /// What was screened, the last that holds.
    pub screening: Option<Screening>,
    /// Days on which the child was seen, each once, in order: assessed, cast, cut or braced, or attended
    /// with anything recorded.
    pub seen_on: Vec<Day>,
    /// Days on which the child attended and nothing else is recorded, each once, in order.
    pub only_attended_on: Vec<Day>,
    /// Entries that somebody confirmed in words, by a note that follows them.
    pub confirmed: Vec<EntryId>,
    /// What is open.
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
    /// Declared lost to follow-up by the clinic; being seen again undoes it.
    Lost(Day),
}

/// The phase of a foot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Phase {
    /// Known, not yet cast.
    Referred,
    /// Casts under way, first or later episode.
    InCorrection,
    /// A tenotomy is booked and not yet done.
    WaitingForTenotomy,
    /// In, or just out of, the cast after a tenotomy; no brace yet.
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

/// A stretch of one phase.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PhaseSpell {
    /// Which phase.
    pub phase: Phase,
    /// Number of the episode of correction it belongs to, 1 for the first; a relapse begins the next.
    pub episode: u8,
    /// First day.
    pub from: Day,
    /// First day of the next phase; `None` while it lasts.
    pub until: Option<Day>,
    /// The entry that began it.
    pub entry: Option<EntryId>,
}

/// The course of one foot.
#[derive(Debug, Clone)]
pub struct FootCourse {
    /// Which foot.
    pub side: Side,
    /// Where the clubfoot comes from, where somebody said.
    pub nature: Option<Nature>,
    /// Whether a clinician called it complex; `None` when nobody has said.
    pub complex: Option<bool>,
    /// Treatment before this clinic.
    pub earlier_treatment: Option<String>,
    /// The phase now.
    pub phase: Phase,
    /// Since when.
    pub phase_since: Option<Day>,
    /// The episode of correction now, from 1. A relapse noted, or casts after a brace, begin the next.
    pub episode: u8,
    /// Phases in order.
    pub phases: Vec<PhaseSpell>,
    /// Episodes in order.
    pub episodes: Vec<Episode>,
    /// Casts in order, every episode.
    pub casts: Vec<CastWorn>,
    /// Assessments in order.
    pub scores: Vec<Scored>,
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
    /// Day the brace went on.
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
    /// Number as the clinic wrote it.
    pub stated_number: Option<u8>,
    /// Day it went on.
    pub on: Day,
    /// Day it came off: a removal entry, the next cast, the brace, or the visit that shows it off; and
    /// why, where an entry says. `None` while it is on, as far as the entries tell.
    pub off: Option<(Day, Option<RemovalReason>)>,
    /// What for: as written, or, where not written, after tenotomy when a tenotomy was done that day,
    /// else correction.
    pub purpose: CastPurpose,
    /// Abduction in which it held the foot.
    pub abduction_deg: Option<i16>,
}

/// An assessment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Scored {
    /// The entry.
    pub entry: EntryId,
    /// The day.
    pub on: Day,
    /// Days since the last cast went on, that day's own not counted; `None` without one.
    pub days_since_cast: Option<i32>,
    /// The six signs.
    pub pirani: Pirani,
    /// Total as written on a sheet.
    pub stated_total: Option<Halves>,
    /// Dimeglio's items.
    pub dimeglio: Dimeglio,
    /// Dimeglio total as written on a sheet.
    pub stated_dimeglio_total: Option<u8>,
    /// Walking-age items.
    pub walking: Walking,
    /// Signs of relapse.
    pub signs: RelapseSigns,
    /// Abduction.
    pub abduction_deg: Option<i16>,
    /// Dorsiflexion.
    pub dorsiflexion_deg: Option<i16>,
    /// Foot length.
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
    /// Dorsiflexion just after.
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
    /// Grade, where given.
    pub grade: Option<RelapseGrade>,
    /// The episode that it began.
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
    /// The regime changed and the next spell follows.
    Changed,
    /// Bracing was stopped.
    Stopped,
    /// Casts began again.
    Recast,
    /// Another fitting replaced it.
    Refitted,
}

/// A stretch of bracing under one regime.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BraceSpell {
    /// The entry that began it.
    pub entry: EntryId,
    /// First day.
    pub from: Day,
    /// First day after it, and why it ended; `None` while it lasts.
    pub until: Option<(Day, Cause)>,
    /// Full time, or nights and naps.
    pub regime: Regime,
    /// Whether the regime was written; otherwise it was taken from the place in the course.
    pub regime_stated: bool,
    /// Hours a day prescribed, where written.
    pub hours_prescribed: Option<u8>,
    /// First day of the unbroken run of bracing this spell belongs to: reviews count from here.
    pub bracing_since: Day,
    /// The brace as set, the last that holds in this spell.
    pub brace: record::Brace,
    /// Changes of size, settings and repairs within the spell.
    pub changes: Vec<(Day, BraceChange, EntryId)>,
}

/// What became of an appointment.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum AppointmentState {
    /// Still to come, or passed without a word.
    Expected,
    /// The child came and nothing clinical is written yet.
    Here,
    /// The child came and was seen.
    Seen,
    /// The child did not come.
    Missed,
    /// Called off.
    Cancelled,
    /// Ended with the child's care: death, discharge or transfer on or before its day.
    Ended,
}

/// An appointment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Appointment {
    /// The entry that made it, or the missed or attended entry where no making was written.
    pub entry: EntryId,
    /// The day it was made, where written.
    pub made_on: Option<Day>,
    /// The day it is for.
    pub for_day: Day,
    /// Time of day.
    pub time: Option<String>,
    /// What for.
    pub purpose: Option<Purpose>,
    /// What became of it.
    pub state: AppointmentState,
}

/// A problem.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProblemSeen {
    /// The entry.
    pub entry: EntryId,
    /// The day.
    pub on: Day,
    /// Which foot, where it is about one.
    pub side: Option<Side>,
    /// What.
    pub what: ProblemKind,
    /// In words.
    pub note: Option<String>,
    /// What was advised, in order of day, and whether it helped.
    pub advice: Vec<AdviceSeen>,
    /// When it was settled: by word of a later entry, or (for a cast problem) by a new cast or the
    /// removal of the cast.
    pub settled_on: Option<Day>,
}

/// What was advised on a problem.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AdviceSeen {
    /// The entry that said so.
    pub entry: EntryId,
    /// The day.
    pub on: Day,
    /// The key of an advice in the list of problems, or own words.
    pub advised: String,
    /// Whether it helped, by the last word on it; `None` where nobody has said.
    pub helped: Option<Helped>,
    /// The day of that last word.
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
    /// Which width; where nobody said, it is not used.
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

    /// The human words.
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
