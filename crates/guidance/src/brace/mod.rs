//! Fitting the brace: from the measurements to bar, boots, angles and hours, each with its reason.
//!
//! [`BraceFit::of`] reads the measurements of a course. Missing measurements are listed, never guessed.
//! [`sizes`] gives a length in standard shoe sizes; [`Stock`] is the clinic's own list of its stock, by the
//! clinic's own labels, and [`StockWish`] what a fitting takes out of it. [`Outgrowing`] estimates when boots and bar will be outgrown, and [`Needs`] what the
//! stock will need. [`settings_check`] checks a recorded brace against the same limits.

mod fit;
mod needs;
mod outgrowing;
mod reached;
mod settings;
pub mod sizes;
mod stock;
mod stock_taking;

pub use fit::{AngleSetting, BarFit, BootFit, BraceFit, FootFit, FootKind, Hours};
pub use needs::{ChildNeed, Need, Needs};
pub(crate) use outgrowing::longest_foot_mm;
pub use outgrowing::{BootOutgrown, Outgrowing, WornBrace};
pub use settings::{SettingDoubt, SettingDoubtKind, settings_check, settings_doubts};
pub use stock::{Bar, BootSize, Matched, Stock, StockError, TakenItems, TakenState};
pub use stock_taking::StockWish;
