//! How well the service does: named measures with written definitions, over one compact row per child.
//!
//! [`Clinic`] holds a row for each child and its feet as known on a day, made from its log; [`results`]
//! and [`Answer::of`] give the measures of [`Measure::ALL`] for a [`Selection`], each with method,
//! numbers, as-of day and version, beside what published series report ([`Measure::published`]) and over
//! time. [`small`] holds the one rule for numbers that leave the clinic, [`report`] what a yearly report
//! says, [`raters`] whether two people score the same feet alike.
//!
//! Two feet of one child are never counted as independent: every interval, chart and funnel here allows
//! for them. A missing value leaves its foot out and is counted ([`Answer::left_out`]). This room never
//! prints a figure without method, n and as-of day, never reads a clock, and never sets a target.
//!
//! Start reading at [`Measure`], then [`FootHistory`], then [`Cases`].

mod answer;
mod basis;
mod brace;
mod cases;
mod curve;
mod definition;
mod fields;
mod funnel;
mod gaps;
mod history;
mod losses;
mod making;
mod pairs;
mod plan;
mod published;
pub mod raters;
mod ratio;
pub mod report;
mod resample;
mod selection;
pub mod small;
mod spread;
mod tables;
mod time;
mod verdict;
pub mod watch;
mod when;
pub mod words;

pub use answer::{Answer, Breakdown, Counted, Depth, Figure, Group, LeftOut, OtherLine, VERSION, results};
pub use basis::{KnownBy, ResultsBasis};
pub use cases::{Case, Cases, Reason};
pub use curve::{Curve, FEWEST_AT_RISK, Step};
pub use definition::{Definition, Kind, Measure, Scale, Unit};
pub use fields::Field;
pub use funnel::{Funnel, FunnelKind, FunnelLimit, FunnelPoint};
pub use history::{
    BraceBegan, ChildHistory, Clinic, Clinician, FootHistory, Gap, Leaving, Stage, WEAR_QUARTERS, Wear, Worn,
};
pub use losses::LossDefinition;
pub use making::Read;
pub use pairs::{ClinicAgreement, ScoredTwice};
pub use plan::{PlannedInterval, PlannedIntervals, PlannedReview};
pub use published::{LOGGED_BY_QUARTER, Published};
pub use ratio::{Difference, Middle, PairedSums, Ratio, difference, middle};
pub use selection::{Aetiology, By, Feet, Keys, Selection, Severity};
pub use tables::{FieldLine, WearLine};
pub use time::{Change, ChartKind, ControlChart, ControlPoint};
pub use verdict::Verdict;
pub use when::When;
