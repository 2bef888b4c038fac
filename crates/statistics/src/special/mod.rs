//! Special functions and the distributions that intervals and tests rest on.

mod distributions;
mod gamma;

pub(crate) use distributions::z_of;
pub use distributions::{
    binomial_tails, chi2_upper, f_quantile, f_upper, normal_cdf, normal_density, normal_quantile,
    normal_two_sided, t_quantile, t_two_sided,
};
pub use gamma::{digamma, ln_gamma, trigamma};
