//! What the observed signs show about a foot: the filter of each class, and the chance of each class.
//!
//! It rests on the natural history alone. What the habits of the clinic add is in [`crate::learning`], the forecast
//! made from both in [`crate::foot`].

mod chains;
mod hindfoot;
mod kernel;
mod weights;

pub(crate) use chains::Chains;
pub(crate) use hindfoot::{Cells, cells, hindfoot};
pub(crate) use kernel::{Kernel, MIDFOOT_STATES, Midfoot};
pub(crate) use weights::{
    ClassPrior, ageing, likelihood_under, marginals, posterior, posterior_of_one, posterior_of_two,
};
