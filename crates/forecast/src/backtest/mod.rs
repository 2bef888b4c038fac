//! Back-testing: how good the forecasts would have been.
//!
//! [`backtest`] goes through a clinic's past in order of day. For each day on which a foot that has since
//! finished was seen, the forecast is made as it would have been made then: from what was recorded by
//! then ([`Followed::then`]), with a clinic that had learned only from what was known before that
//! day. The forecast and two plain baselines (`baselines`) are scored by the outcome.
//!
//! A foot with many visits counts many times, as in practice. The clinic's posterior is updated whenever
//! two in a hundred more feet are decided or children finished, or an eighth more observations are known,
//! never with anything later than the day before the forecast.

mod baselines;
mod followed;
mod logistic;
mod replay;
mod report;
mod score;

pub use followed::Followed;
pub use logistic::{Recalibrated, recalibrate};
pub use replay::backtest;
pub use report::{
    BacktestReport, CastScores, CastsBaseline, Decile, FIRST, MANY, Reliability, Tenotomy, TenotomyBaseline,
    WindowScore, Windows,
};
