//! Results of the service: named measures with written definitions, over one compact row per child.
//!
//! [`ClinicHistory`] holds a row for each child and its feet as known on a day, made from its log; [`results`]
//! and [`MeasureResult::of`] give the measures of [`Measure::ALL`] for a [`Selection`], each with method,
//! numbers, as-of day and version, with the results of published series ([`Measure::published`]) and over
//! time. [`small`] holds the one rule for small numbers that leave the clinic, [`report`] the yearly
//! report, [`raters`] the agreement of two people who score the same feet, [`calibration`] what the people of a clinic do
//! to score alike.
//!
//! Two feet of one child are never counted as independent: every interval, chart and funnel here allows
//! for the clustering. A foot with a missing value is left out and counted ([`MeasureResult::left_out`]). This room never
//! prints a figure without method, n and as-of day, never reads a clock, and never sets a target.
//!
//! Start reading at [`Measure`], then [`FootHistory`], then [`Cases`].

mod answer;
mod basis;
mod brace;
pub mod calibration;
mod cases;
mod chart;
mod classes;
mod curve;
mod definition;
mod dropout;
mod fields;
mod figure;
mod funnel;
mod gaps;
mod history;
mod losses;
mod making;
mod pairs;
mod plain;
mod plan;
mod published;
pub mod raters;
mod ratio;
pub mod report;
mod resample;
mod selection;
mod sentences;
pub mod small;
mod spread;
mod tables;
mod time;
mod verdict;
pub mod watch;
mod when;
pub mod words;

pub use answer::{AlternativeResult, Breakdown, DetailLevel, Exclusion, Group, MeasureResult, results};
pub use basis::{KnownBy, ResultsBasis};
pub use cases::{Case, Cases, ExclusionReason};
pub use chart::{ChartKind, ControlChart, ControlPoint};
pub use curve::{Curve, CurveStep, FEWEST_AT_RISK};
pub use definition::{Definition, Measure, MeasureKind, MeasureScale, Unit};
pub use dropout::{CareStage, Gap, LossDefinition};
pub use fields::ExpectedField;
pub use figure::{CaseCounts, Estimate, Figure, VERSION};
pub use funnel::{FunnelChart, FunnelKind, FunnelLimit, FunnelPoint};
pub use history::{
    BraceBegan, ChildHistory, ClinicHistory, Clinician, EndOfCare, FootHistory, MeanWear, ScoredTwice,
    WEAR_QUARTERS, Wear,
};
pub use making::UnnumberedHistory;
pub use pairs::ClinicAgreement;
pub use published::{LOGGED_BY_QUARTER, PublishedResult};
pub use ratio::{MedianAndQuartiles, Ratio, RatioDifference, RatioPair, difference, middle};
pub use selection::{Aetiology, CaseKeys, Feet, GroupBy, Selection, Severity};
pub use tables::{FieldLine, WearLine};
pub use time::YearChange;
pub use verdict::Verdict;
pub use when::OptionalDay;
