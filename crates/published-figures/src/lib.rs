//! Published figures against the simulated natural history: a development tool, not part of the program.
//!
//! `figures.toml` has every published figure that the model can answer, each with its source and with what it was used
//! for: fitted, used for a setting, or a check. [`compare`] simulates the papers' clinics and works each figure out as
//! the paper did; [`page`] writes `docs/published-and-simulated.md`. It never changes a parameter, and nothing that is
//! shipped uses it.
//!
//! Start reading at [`compare`].

mod clinics;
mod comparison;
mod figure;
mod measures;
mod page;
mod rows;
mod sums;

pub use comparison::{CHILDREN, COHORTS, FigureComparison, compare, compare_fitted, misfit};
pub use figure::{FigureRole, FiguresError, Published};
pub use page::page;
