//! The generative model of the course of a foot.
//!
//! A foot has a class: its initial severity and how fast it corrects ([`classes`]). Given its class its
//! six signs move independently from cast to cast, each down in quarter points, and are observed
//! with a rater's error ([`signs`]). At every visit the clinic ends casting, or not, by the written
//! midfoot score; then there is a tenotomy, or not, by the written hindfoot score and the habit of the
//! clinic; then cast, brace, wear, relapse and leaving care follow with hazards.
//!
//! Choices of the model:
//! - A visit without recorded signs was judged all the same, and the clinic acted on that.
//! - Pace: [`Parameters::pace_mean`]; a foot with another cause is as slow as a complex one.
//! - Two feet of one child share their visits and, by one draw a child, the wait for the tenotomy, the
//!   days in its cast and the wait for the brace; the brace comes when the later foot is ready.
//! - A foot that waits for its own tenotomy (or brace, without one) has holding casts: one at the decision
//!   and one every seven days ([`HOLDING_DAYS`]). A foot that could be braced and waits for the other has a
//!   holding cast for three weeks ([`HELD_DAYS`]), one for each three weeks begun.
//! - After the tenotomy and its cast each hindfoot sign is at most at a level near
//!   [`Parameters::left_after_tenotomy`]. One cast after the decision, with or without a tenotomy, still
//!   corrects the midfoot; nothing else changes.
//! - Dorsiflexion before tenotomy has a constant deviation of the foot and a new error of reading each time,
//!   so only the first measurement of a foot adds to what is known of its equinus.
//! - Wear is that of the quarter that contains the middle of a span; spans of one child in one quarter
//!   share their deviation.
//! - Casting ends at the fortieth visit for any signs, so that no course is endless.
//! - A child is declared lost three weeks (casts) or six months (brace) after its last visit.
//!
//! The values for feet are in [`Parameters`], those for a clinic in [`ClinicHabits`]; each value names its
//! source or states "assumed".

mod bracing;
mod casting;
mod chance;
mod check;
pub mod classes;
mod cohort;
pub mod entries;
mod growth;
mod habits;
mod notes;
mod parameters;
mod second_rater;
mod seeing;
pub mod signs;
mod simulate;
mod truth;

pub use bracing::{BRACING_ENDS_DAYS, LAST_AGE_DAYS, QUARTER_DAYS};
pub use casting::{HELD_DAYS, HOLDING_DAYS, LAST_VISIT, tenotomy_chance};
pub use check::ModelError;
pub use cohort::{Calendar, Cohort};
pub use growth::{AFFECTED_SHARE, FOOT_LENGTH_SD_SHARE, foot_length_mm};
pub use habits::HabitSpread;
pub use notes::{Note, ParameterBasis};
pub use parameters::{ClinicHabits, DAYS_PER_YEAR, OLDEST_YEARS, Parameters, TenotomyBy};
pub use second_rater::SecondRater;
pub use seeing::seen;
pub use simulate::simulate;
pub use truth::{Cast, CastFor, CastVisit, ChildTruth, FootTruth, SimulatedChild};
