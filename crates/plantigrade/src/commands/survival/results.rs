//! What `survival` answers, as its JSON has it. The keys are described in `docs/statistics-commands.md` and
//! do not change; the text is printed from the same values.

use serde::Serialize;
use statistics::{
    ChiSquaredTest, Coefficient,
    survival::{IncidencePoint, SurvivalPoint},
};
use std::collections::BTreeMap;

/// The whole answer.
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

/// Scale and level of the limits of curves.
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
    pub points: Vec<CurvePoint>,
}

/// One step of a curve.
#[derive(Debug, Serialize)]
pub struct CurvePoint {
    pub time: f64,
    pub at_risk: f64,
    pub events: f64,
    pub censored: f64,
    pub survival: f64,
    pub std_err: f64,
    pub lower: Option<f64>,
    pub upper: Option<f64>,
}

impl From<&SurvivalPoint> for CurvePoint {
    fn from(point: &SurvivalPoint) -> Self {
        let SurvivalPoint { time, at_risk, events, censored, survival, std_err, lower, upper, .. } = *point;
        Self { time, at_risk, events, censored, survival, std_err, lower, upper }
    }
}

/// The log-rank test.
#[derive(Debug, Serialize)]
pub struct LogRankResult {
    pub method: &'static str,
    pub stratified: bool,
    #[serde(flatten)]
    pub test: TestResult,
    pub groups: Vec<GroupEvents>,
}

/// Events of a group, observed and expected.
#[derive(Debug, Serialize)]
pub struct GroupEvents {
    pub group: Option<String>,
    pub n: usize,
    pub observed: f64,
    pub expected: f64,
}

/// A chi-squared test.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct TestResult {
    pub chi2: f64,
    pub df: usize,
    pub p: f64,
}

impl From<&ChiSquaredTest> for TestResult {
    fn from(test: &ChiSquaredTest) -> Self {
        Self { chi2: test.chi2, df: test.df, p: test.p }
    }
}

/// The cumulative incidence of one cause in one group.
#[derive(Debug, Serialize)]
pub struct CauseCurve {
    pub group: Option<String>,
    pub cause: String,
    pub method: &'static str,
    pub events: usize,
    pub points: Vec<CausePoint>,
}

/// One step of a cumulative incidence.
#[derive(Debug, Serialize)]
pub struct CausePoint {
    pub time: f64,
    pub at_risk: f64,
    pub events: f64,
    pub incidence: f64,
    pub std_err: f64,
    pub lower: Option<f64>,
    pub upper: Option<f64>,
}

impl From<&IncidencePoint> for CausePoint {
    fn from(point: &IncidencePoint) -> Self {
        let IncidencePoint { time, at_risk, events, incidence, std_err, lower, upper, .. } = *point;
        Self { time, at_risk, events, incidence, std_err, lower, upper }
    }
}

/// Gray's test of one cause.
#[derive(Debug, Serialize)]
pub struct GrayResult {
    pub cause: String,
    #[serde(flatten)]
    pub test: TestResult,
}

/// The regression.
#[derive(Debug, Serialize)]
pub struct CoxResult {
    pub method: &'static str,
    pub variance: &'static str,
    /// The cause whose hazard it is, where there are several.
    pub cause: Option<String>,
    pub n: usize,
    pub events: usize,
    pub ties: &'static str,
    pub clusters: Option<usize>,
    pub dropped: DroppedRows,
    pub terms: Vec<CoxTerm>,
    pub loglik_null: f64,
    pub loglik: f64,
    pub likelihood_ratio: TestResult,
    pub wald: TestResult,
    pub score: TestResult,
    pub ph_test: Vec<TermTest>,
    pub concordance: Option<ConcordanceResult>,
}

/// A coefficient with its hazard ratio.
#[derive(Debug, Serialize)]
pub struct CoxTerm {
    pub name: String,
    pub coef: f64,
    pub se: f64,
    pub robust_se: Option<f64>,
    pub z: f64,
    pub p: f64,
    pub hr: f64,
    pub lower: f64,
    pub upper: f64,
}

impl CoxTerm {
    /// A named coefficient with limits of its ratio at a level.
    pub fn of(name: &str, term: &Coefficient, level: f64) -> Self {
        let (hr, lower, upper) = term.ratio(level);
        let Coefficient { coef, se, robust_se, z, p, .. } = *term;
        Self { name: name.to_owned(), coef, se, robust_se, z, p, hr, lower, upper }
    }
}

/// A test of proportional hazards for one column, or for all.
#[derive(Debug, Serialize)]
pub struct TermTest {
    pub term: String,
    #[serde(flatten)]
    pub test: TestResult,
}

/// How often the model ranks two rows as their times do.
#[derive(Debug, Serialize)]
pub struct ConcordanceResult {
    pub value: f64,
    pub std_err: f64,
}
