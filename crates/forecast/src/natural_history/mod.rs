//! The generative model of the course of a foot.
//!
//! A foot has a class: how severe it begins and how fast it yields ([`classes`]). Given its class its
//! six signs move independently from cast to cast, each down a ladder of quarter points, and are seen
//! with a rater's error ([`signs`]). At every sitting the clinic goes on from casting, or not, by the
//! midfoot score as written; then the tendon is cut, or not, by the hindfoot as written and the habit
//! of the clinic; then cast, brace, wear, relapse and leaving care follow with hazards.
//!
//! Where the model has to choose, it chooses so:
//! - A sitting whose signs were not written was judged all the same, and the clinic acted on that.
//! - Pace: [`Parameters::pace_mean`]; a foot with another cause is as slow as a complex one.
//! - Two feet of one child share their sittings and, by one draw a child, the wait for the tenotomy, the
//!   days in its cast and the wait for the brace; the brace comes when the later foot is ready.
//! - A foot that waits for its own tenotomy (or brace, without one) is held: a cast at the decision and
//!   every seven days ([`HOLDING_DAYS`]). A foot that could be braced and waits for the other is held in a
//!   cast that stays on for three weeks ([`HELD_DAYS`]), one for each three weeks begun.
//! - The tenotomy and its cast leave of each hindfoot sign at most a level near
//!   [`Parameters::left_after_tenotomy`]. One cast after the decision, after a tenotomy or without, still
//!   corrects the midfoot; nothing else moves.
//! - Dorsiflexion before tenotomy carries a deviation that a foot keeps, and a fresh error of reading:
//!   only a foot's first measurement is fresh news of its equinus.
//! - Wear is that of the quarter in which the middle of a span lies; spans of one child in one quarter
//!   share their deviation.
//! - A foot goes on from casting at the fortieth sitting whatever its signs, so that no course is endless.
//! - A child is declared lost three weeks (casts) or six months (brace) after its last visit.
//!
//! What describes feet is in [`Parameters`], what describes a clinic in [`ClinicHabits`]; each value
//! names its source or says "assumed".

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
pub use casting::{HELD_DAYS, HOLDING_DAYS, LAST_SITTING, tenotomy_chance};
pub use check::ModelError;
pub use cohort::{Calendar, Cohort};
pub use growth::{AFFECTED_SHARE, FOOT_LENGTH_SD_SHARE, foot_length_mm};
pub use habits::HabitSpread;
pub use notes::{Note, ParameterBasis};
pub use parameters::{ClinicHabits, DAYS_PER_YEAR, OLDEST_YEARS, Parameters, TenotomyBy};
pub use second_rater::SecondRater;
pub use seeing::seen;
pub use simulate::simulate;
pub use truth::{Cast, CastFor, ChildTruth, FootTruth, SimulatedChild, Sitting};
