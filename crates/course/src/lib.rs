//! The course of a child: everything that follows from the child's entries.
//!
//! [`Course::of`] takes the entries of one child and a day, and gives the phase, episodes, casts, scores,
//! tenotomies and brace spells of each foot, and the open points of the log as [`Question`]s. It is a pure
//! function: the same entries and day give the same course, in any order of the entries.
//!
//! It never decides what to do next, never reads a clock, and never fails on odd data: odd data become a
//! question that names the entries concerned.
//!
//! Start reading at [`Course`], then [`CorrectedLog`], in which `record` applies corrections and withdrawals.

mod age;
mod answers;
mod appointments;
mod braces;
mod casts;
mod child;
mod course;
mod events;
mod family;
mod feet;
mod follow_up;
mod foot;
mod loss;
mod model;
pub mod pairing;
mod phases;
mod preparation;
mod problems;
mod question;
mod questions;
mod standing;
mod twins;
mod visits;
mod walk;

pub use age::{Age, AgeSaid, TERM_WEEKS};
pub use family::{Contact, SiblingLink, WearKind, WearSpan};
pub use follow_up::{
    PlanReading, PlannedInterval, PlannedIntervals, PlannedReview, PlannedVisit, ReviewIntervals, UnknownAge,
};
pub use loss::LossStage;
pub use model::{
    AdviceSeen, Appointment, AppointmentState, AssessmentSeen, BraceSpell, CastWorn, Cause, Course, Episode,
    FootCourse, FootLength, Phase, PhaseSpell, ProblemSeen, RelapseSeen, ShoulderMeasured, Standing, Surgery,
    TenotomyPlan, TenotomySeen,
};
pub use preparation::{AllergiesSeen, ConsentSeen, MedicinesSeen, Preparation, WeightSeen};
pub use question::{Question, QuestionKind};
pub use twins::twins_contradict;
// The course is read from what `record` says holds.
pub use record::{CorrectedLog, Fate, IneffectiveAmendment, IneffectiveWhy, Line};
pub use visits::{VisitPart, joined_into, visit_lines, visit_misfits, visit_part, written_in_steps};
