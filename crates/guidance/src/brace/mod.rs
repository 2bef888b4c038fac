//! Fitting the brace: from what was measured to bar, boots, angles and hours, each with its reason.
//!
//! [`Fit::of`] reads the measurements of a course. What was not measured is named and asked for, never
//! guessed. [`sizes`] writes a length in the shoe standards' sizes; [`Stock`] is the clinic's own list of
//! what lies in its cupboard, by the clinic's own labels. [`Outgrowing`] says when boots and bar will have
//! been outgrown, and [`Needs`] what the cupboard will need. [`settings_check`] holds the brace that was
//! recorded to the same limits.

mod fit;
mod needs;
mod outgrowing;
mod reached;
mod settings;
pub mod sizes;
mod stock;

pub use fit::{BarFit, BootFit, Fit, FootFit, FootKind, Hours, Setting};
pub use needs::{Need, Needs, Share};
pub use outgrowing::{BootOutgrown, Outgrowing, OutgrownRule, Worn};
pub(crate) use outgrowing::{longest_foot_mm, window_words};
pub use settings::{SettingDoubt, SettingDoubtKind, settings_check, settings_doubts};
pub use stock::{Bar, BootSize, Matched, Stock, StockError};
