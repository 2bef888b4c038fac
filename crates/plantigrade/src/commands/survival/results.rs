//! The result of `survival` as its JSON has it; the text is printed from the same values. Points, tests and
//! coefficients are those of `statistics`, so their fields are keys as well. The keys are described in
//! `docs/statistics-commands.md` and do not change.

use serde::Serialize;
use statistics::{
    ChiSquaredTest, Coefficient,
    survival::{GroupCount, IncidencePoint, SurvivalPoint},
};
use std::collections::BTreeMap;

/// The whole result.
#[derive(Debug, Serialize)]
pub struct SurvivalResult {
    pub program: &'static str,
    pub version: &'static str,
    pub file: Option<String>,
    pub columns: SurvivalColumns,
    pub confidence: ConfidenceResult,
    /// Rows of the table.
    pub rows: usize,
    pub cox: Option<CoxResult>,
    pub notes: Vec<String>,
    #[serde(flatten)]
    pub curves: CurvesResult,
}

/// The columns that were named.
#[derive(Debug, Serialize)]
pub struct SurvivalColumns {
    pub time: String,
    pub event: String,
    pub start: Option<String>,
    pub by: Option<String>,
    pub strata: Option<String>,
    pub cluster: Option<String>,
}

/// Scale and level of the confidence limits of curves.
#[derive(Debug, Serialize)]
pub struct ConfidenceResult {
    pub scale: &'static str,
    pub level: f64,
}

/// Rows that were left out because a value is missing.
#[derive(Debug, Clone, Serialize)]
pub struct DroppedRows {
    pub rows: usize,
    pub missing_by_column: BTreeMap<String, usize>,
}

/// Everything but the regression.
#[derive(Debug, Serialize)]
pub struct CurvesResult {
    pub method: CurveMethods,
    /// Rows used.
    pub used: usize,
    pub dropped: DroppedRows,
    pub groups: Vec<GroupCurve>,
    pub logrank: Option<LogRankResult>,
    /// Only with several causes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cumulative_incidence: Option<Vec<CauseCurve>>,
    /// Only with several causes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gray: Option<Vec<GrayResult>>,
}

/// How the figures of a curve are made.
#[derive(Debug, Serialize)]
pub struct CurveMethods {
    pub curve: &'static str,
    pub std_err: &'static str,
    pub median: &'static str,
    pub rmst: &'static str,
}

/// The curve of one group.
#[derive(Debug, Serialize)]
pub struct GroupCurve {
    pub group: Option<String>,
    pub n: usize,
    pub events: usize,
    pub median: Option<f64>,
    pub median_lower: Option<f64>,
    pub median_upper: Option<f64>,
    pub rmst: f64,
    pub rmst_std_err: f64,
    pub rmst_until: f64,
    pub points: Vec<SurvivalPoint>,
}

/// The log-rank test.
#[derive(Debug, Serialize)]
pub struct LogRankResult {
    pub method: &'static str,
    pub stratified: bool,
    #[serde(flatten)]
    pub test: ChiSquaredTest,
    pub groups: Vec<GroupEvents>,
}

/// Events of a group, observed and expected.
#[derive(Debug, Serialize)]
pub struct GroupEvents {
    pub group: Option<String>,
    #[serde(flatten)]
    pub count: GroupCount,
}

/// The cumulative incidence of one cause in one group.
#[derive(Debug, Serialize)]
pub struct CauseCurve {
    pub group: Option<String>,
    pub cause: String,
    pub method: &'static str,
    pub events: usize,
    pub points: Vec<IncidencePoint>,
}

/// Gray's test of one cause.
#[derive(Debug, Serialize)]
pub struct GrayResult {
    pub cause: String,
    #[serde(flatten)]
    pub test: ChiSquaredTest,
}

/// The regression.
#[derive(Debug, Serialize)]
pub struct CoxResult {
    pub method: &'static str,
    pub variance: &'static str,
    /// The cause that is modelled, if there are several.
    pub cause: Option<String>,
    pub n: usize,
    pub events: usize,
    pub ties: &'static str,
    pub clusters: Option<usize>,
    pub dropped: DroppedRows,
    pub terms: Vec<CoxTerm>,
    pub loglik_null: f64,
    pub loglik: f64,
    pub likelihood_ratio: ChiSquaredTest,
    pub wald: ChiSquaredTest,
    pub score: ChiSquaredTest,
    pub ph_test: Vec<TermTest>,
    pub concordance: Option<ConcordanceResult>,
}

/// A coefficient with its hazard ratio.
#[derive(Debug, Serialize)]
pub struct CoxTerm {
    pub name: String,
    #[serde(flatten)]
    pub coefficient: Coefficient,
    pub hr: f64,
    pub lower: f64,
    pub upper: f64,
}

impl CoxTerm {
    /// A named coefficient with its hazard ratio and the limits at a confidence level.
    pub fn of(name: &str, coefficient: Coefficient, level: f64) -> Self {
        let (hr, lower, upper) = coefficient.ratio(level);
        Self { name: name.to_owned(), coefficient, hr, lower, upper }
    }
}

/// A test of proportional hazards for one column, or for all.
#[derive(Debug, Serialize)]
pub struct TermTest {
    pub term: String,
    #[serde(flatten)]
    pub test: ChiSquaredTest,
}

/// How often the model ranks two rows as their times do.
#[derive(Debug, Serialize)]
pub struct ConcordanceResult {
    pub value: f64,
    pub std_err: f64,
}
