//! The course: what a child's entries add up to.
//!
//! [`Course::of`] takes the entries of one child and a day, and gives the phase, episodes, casts,
//! scores, tenotomies and brace spells of each foot, and what the log leaves open as [`Question`]s.
//! It is a pure function: the same entries and day give the same course, in whatever order the
//! entries come.
//!
//! It never decides what to do next, never reads a clock, and never fails on odd data: what is odd
//! becomes a question that names the entries it rests on.
//!
//! Start reading at [`Course`], then [`Reading`], which settles corrections and withdrawals.

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
mod foot;
mod loss;
mod model;
pub mod pairing;
mod phases;
mod problems;
mod question;
mod questions;
mod reading;
mod standing;
mod walk;

pub use age::Age;
pub use family::{Contact, WearKind, WearSpan};
pub use loss::LossStage;
pub use model::{
    AdviceSeen, Appointment, AppointmentState, BraceSpell, CastWorn, Cause, Course, Episode, FootCourse,
    FootLength, Phase, PhaseSpell, ProblemSeen, RelapseSeen, Scored, ShoulderMeasured, Standing, Surgery,
    TenotomyPlan, TenotomySeen,
};
pub use question::{Question, QuestionKind};
pub use reading::{Fate, Line, Loose, LooseWhy, Reading};
