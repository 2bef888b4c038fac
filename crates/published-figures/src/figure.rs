//! The published figures as data: `figures.toml`.

use super::clinics::Clinic;
use super::measures::{Condition, FeetMeasure, Measure, Over};
use forecast::natural_history::ModelError;
use serde::Deserialize;
use std::collections::BTreeMap;

/// Why no comparison could be made.
#[derive(Debug, thiserror::Error)]
pub enum FiguresError {
    /// The data file cannot be read.
    #[error("figures.toml: {0}")]
    Data(#[from] toml::de::Error),
    /// A figure names a reason that the data file does not have.
    #[error("figures.toml: {figure} names the reason {reason:?}, which is not there")]
    Reason {
        /// The figure.
        figure: String,
        /// The key of the reason.
        reason: String,
    },
    /// A figure does not say how it is worked out, or in two ways.
    #[error("figures.toml: {0} needs one of `feet`, `children`, `centre` and `centres`")]
    Measure(String),
    /// A clinic cannot be simulated.
    #[error(transparent)]
    Model(#[from] ModelError),
    /// The page cannot be written.
    #[error("the page could not be written: {0}")]
    Page(#[from] std::io::Error),
}

/// What a paper printed.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(untagged)]
pub enum Published {
    /// One value.
    Value(f64),
    /// A range, from several papers or a confidence interval: the simulated mean should lie within.
    Range(f64, f64),
}

/// What a figure was used for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum FigureRole {
    /// The parameters were fitted to it.
    Fitted,
    /// A setting of the simulated clinic was taken from it, or it is a part of a figure that was fitted.
    Used,
    /// Nothing was set by it.
    Check,
}

/// One figure to compare.
#[derive(Debug, Clone)]
pub(super) struct Figure {
    pub(super) group: String,
    pub(super) figure: String,
    pub(super) unit: String,
    pub(super) published: Published,
    pub(super) n: usize,
    pub(super) source: String,
    pub(super) note: String,
    pub(super) why: String,
    pub(super) role: FigureRole,
    pub(super) named: bool,
    pub(super) clinic: Clinic,
    pub(super) measure: Measure,
}

/// A figure as the data file has it.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    group: String,
    figure: String,
    #[serde(default)]
    unit: String,
    published: Published,
    n: usize,
    source: String,
    role: FigureRole,
    #[serde(default)]
    named: bool,
    #[serde(default)]
    clinic: Clinic,
    /// Worked out over the feet of the clinic, those of which `among` holds.
    feet: Option<FeetMeasure>,
    among: Option<Condition>,
    /// Worked out over the children of the clinic.
    children: Option<super::measures::ChildrenMeasure>,
    /// Worked out over the feet of one clinic drawn from the spread of habits.
    centre: Option<FeetMeasure>,
    /// Worked out in each of many drawn clinics, then over these.
    centres: Option<FeetMeasure>,
    over: Option<Over>,
    #[serde(default)]
    note: String,
    /// Key of the reason why the model may miss it.
    #[serde(default)]
    why: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Data {
    reasons: BTreeMap<String, String>,
    figure: Vec<Row>,
}

/// Every figure, in the order of the page.
pub(super) fn figures() -> Result<Vec<Figure>, FiguresError> {
    let data: Data = toml::from_str(include_str!("../figures.toml"))?;
    data.figure.into_iter().map(|row| row.figure(&data.reasons)).collect()
}

impl Row {
    fn measure(&self) -> Option<Measure> {
        match (self.feet, self.children, self.centre, self.centres, self.over) {
            (Some(measure), None, None, None, None) => Some(Measure::Feet(self.among, measure)),
            (None, Some(measure), None, None, None) => Some(Measure::Children(measure)),
            (None, None, Some(measure), None, None) => Some(Measure::Centre(measure)),
            (None, None, None, Some(measure), Some(over)) => Some(Measure::Centres(measure, over)),
            _ => None,
        }
    }

    fn figure(self, reasons: &BTreeMap<String, String>) -> Result<Figure, FiguresError> {
        let Some(measure) = self.measure() else { return Err(FiguresError::Measure(self.figure)) };
        let why = match (self.why.is_empty(), reasons.get(&self.why)) {
            (true, _) => String::new(),
            (false, Some(why)) => why.clone(),
            (false, None) => return Err(FiguresError::Reason { figure: self.figure, reason: self.why }),
        };
        let Self { group, figure, unit, published, n, source, role, named, clinic, note, .. } = self;
        Ok(Figure { group, figure, unit, published, n, source, note, why, role, named, clinic, measure })
    }
}
