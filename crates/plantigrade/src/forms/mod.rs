//! Forms: from what was typed to entries. What was not filled in stays missing; what cannot be read is shown
//! at its field, and the form keeps everything that was typed.

mod brace_fitting;
mod capacity;
mod kinds;
mod person;
mod reader;
mod second_score;
mod settings;
mod stock;
mod visit;
pub mod wear;

pub use brace_fitting::{brace_measures, brace_settings, with_listed_lengths};
pub use capacity::{capacity, changes};
pub use kinds::{body_of, refused};
pub use person::{FilledPerson, person};
pub use reader::Reader;
pub use second_score::second_score;
pub use settings::{closure, read_second_factor, read_settings, second_factor_filled, settings_filled};
pub use stock::stock;
pub use visit::{Drafted, Visit, visit, visit_so_far};
