//! The simulated caseload: what a clinic needs in places, boots and bars, and how long children wait.
//!
//! A [`Setting`] describes how the clinic works, a [`PathPool`] the new children, a list of [`CurrentChild`] those in
//! treatment today. [`ReadyClinic`] combines them, [`simulate`] runs it as often as requested, [`CaseloadSummary`]
//! summarises the runs and [`Comparison`] compares two settings on the same children. It supports planning and never
//! makes a statement about a single child; it never reads a clock or a file.
//!
//! Start reading at `engine/mod.rs`, which begins with the rules. `docs/capacity.md` lists every value with its source.

mod calendar;
mod check;
mod closure;
mod compare;
mod current;
pub mod draws;
mod engine;
mod error;
pub mod growth;
pub mod learned;
mod pool;
pub mod published;
mod queue;
mod ready;
mod runs;
mod service;
mod setting;
mod sources;
mod summary;
mod tally;
mod words;

pub use calendar::{CastWindow, ClinicCalendar, left_over};
pub use closure::{Closure, ClosureError};
pub use compare::{ComparedMeasure, Comparison, Difference};
pub use current::{CurrentChild, CurrentPhase};
pub use engine::{Workspace, run};
pub use error::SettingError;
pub use growth::BootGrowth;
pub use pool::{ChildPath, PathPool};
pub use ready::ReadyClinic;
pub use runs::simulate;
pub use service::Service;
pub use setting::{
    AgeBand, Boots, Bracing, Casting, Clinic, CourseOfNew, Order, Referrals, Setting, Taken, Visits,
};
pub use sources::{SettingValue, setting_values};
pub use summary::{CaseloadSummary, RunBand, ServiceWeek, Share, SizeNeed, WaitSummary};
pub use tally::{
    BARS, Casts, Children, LONGEST_WAIT, SIZES, SMALLEST_BAR_MM, SMALLEST_BOOT_MM, Tally, WaitKind, Waits,
    Week,
};
pub use words::{CAUTION, difference_sentence, lead_sentences};
