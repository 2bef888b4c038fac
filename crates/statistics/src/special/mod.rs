//! Special functions, and the distributions that intervals and tests need.
//!
//! They are part of the crate because the tests need both tails to about the last digit, a quantile of F
//! with fractional degrees of freedom, and nothing else of a distribution; see the README.

mod distributions;
mod gamma;

pub(crate) use distributions::z_of;
pub use distributions::{
    binomial_tails, chi2_quantile, chi2_upper, f_quantile, f_upper, normal_cdf, normal_density,
    normal_quantile, normal_two_sided, t_quantile, t_two_sided,
};
pub use gamma::{digamma, ln_gamma, trigamma};
