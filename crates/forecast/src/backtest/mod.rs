//! Back-testing: how well the forecasts would have done.
//!
//! [`backtest`] goes through a clinic's past in order of day. On each day on which a foot that has since
//! finished was seen, the forecast is made as it would have been made then: from what was written by
//! then ([`Followed::then`]), with a clinic that had learned only from what was known before that
//! day. What happened then scores it, beside two plain baselines (`baselines`).
//!
//! A foot with many sittings counts many times, as it would on the ward. The clinic's posterior is
//! brought up to date each time two in a hundred more feet are decided or children finished, or an eighth more
//! has been seen, never with anything later than the day before the forecast.

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
