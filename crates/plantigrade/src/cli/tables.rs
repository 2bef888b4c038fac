//! The commands that read any table: survival analysis and agreement of raters.

use clap::Args;
use std::path::PathBuf;

/// `survival`.
#[derive(Debug, Clone, Args)]
pub struct SurvivalArgs {
    /// Table with a header row; columns separated by comma, semicolon, tab or vertical bar
    pub file: PathBuf,
    /// Column with the time to the event, or to the end of observation
    #[arg(long, value_name = "COL")]
    pub time: String,
    /// Column that shows whether the time ended with the event
    #[arg(long, value_name = "COL")]
    pub event: String,
    /// Column with the time at which observation of the row began (late entry)
    #[arg(long, value_name = "COL")]
    pub start: Option<String>,
    /// Column with the groups to compare
    #[arg(long, value_name = "COL")]
    pub by: Option<String>,
    /// Column with the strata within which groups are compared and hazards modelled
    #[arg(long, value_name = "COL")]
    pub strata: Option<String>,
    /// Columns with the covariates of a Cox regression
    #[arg(long, value_name = "COL,COL", value_delimiter = ',')]
    pub cox: Vec<String>,
    /// Column that identifies rows belonging together, such as the two feet of a child
    #[arg(long, value_name = "COL")]
    pub cluster: Option<String>,
    /// Codes of competing events; the regression models the first
    #[arg(long, value_name = "CODE,CODE", value_delimiter = ',')]
    pub causes: Vec<String>,
    /// How the regression handles tied event times
    #[arg(long, value_enum, default_value_t = TiesChoice::Efron)]
    pub ties: TiesChoice,
    /// Scale of the confidence intervals of curves
    #[arg(long, value_enum, default_value_t = Confidence::LogLog)]
    pub conf: Confidence,
    /// Confidence level
    #[arg(long, value_name = "SHARE", default_value_t = 0.95)]
    pub level: f64,
    /// Time limit of the restricted mean [default: the shortest of the groups' last times]
    #[arg(long, value_name = "TIME")]
    pub tau: Option<f64>,
    /// Code of the event, if there is only one kind
    #[arg(long, value_name = "CODE", default_value = "1", conflicts_with = "causes")]
    pub event_code: String,
    /// Code of a censored row
    #[arg(long, value_name = "CODE", default_value = "0")]
    pub censored_code: String,
    /// What to do with rows in which a value is missing; dropped rows are counted
    #[arg(long, value_enum, default_value_t = Missing::Drop)]
    pub missing: Missing,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
}

/// How a regression handles tied event times.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum TiesChoice {
    /// Efron's likelihood.
    Efron,
    /// Breslow's likelihood.
    Breslow,
}

/// Scale of a confidence interval.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Confidence {
    /// Log of minus the log.
    LogLog,
    /// Log.
    Log,
    /// The share itself.
    Plain,
}

/// Rows in which a value is missing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Missing {
    /// Dropped and counted.
    Drop,
    /// The command stops.
    Refuse,
}

/// `agreement`.
#[derive(Debug, Clone, Args)]
pub struct AgreementArgs {
    /// Table with a header row and one rating in each row below
    pub file: PathBuf,
    /// Column with the subject that was rated
    #[arg(long, value_name = "COL")]
    pub subject: String,
    /// Column with the rater
    #[arg(long, value_name = "COL")]
    pub rater: String,
    /// Column with the score
    #[arg(long, value_name = "COL")]
    pub score: String,
    /// Partial credit for scores that are close to each other
    #[arg(long, value_enum)]
    pub weights: Option<WeightsChoice>,
    /// Confidence level
    #[arg(long, value_name = "SHARE", default_value_t = 0.95)]
    pub level: f64,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
}

/// Partial credit for scores that are close to each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum WeightsChoice {
    /// Decreases with the distance.
    Linear,
    /// Decreases with the square of the distance.
    Quadratic,
}
