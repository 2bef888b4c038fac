//! Control charts: whether a process has changed, and whether a unit differs from others by more than
//! chance.
//!
//! Start at [`run_chart`] if there are few points, at [`p_chart`], [`u_chart`], [`xmr_chart`] and
//! [`g_chart`] for the four kinds of data, at [`Cusum`] for small lasting changes, and at [`funnel`] to
//! compare units; at [`p_prime_chart`] and [`u_prime_chart`] if points differ by more than binomial or
//! Poisson chance. Limits are at three standard deviations (Shewhart 1931) unless a function states
//! otherwise.

mod charts;
mod cusum;
mod funnel;
mod laney;
mod run;

pub use charts::{Chart, ChartPoint, XmrChart, g_chart, p_chart, u_chart, xmr_chart};
pub use cusum::{BernoulliCusum, Cusum, CusumPoint};
pub use funnel::{FunnelLimits, FunnelPlot, FunnelUnit, exact_binomial_limits, funnel};
pub use laney::{LaneyChart, p_prime_chart, u_prime_chart};
pub use run::{RunChart, run_chart};
