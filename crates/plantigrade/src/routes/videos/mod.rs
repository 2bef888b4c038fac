//! Videos of a child's gait: the page, the consent, what is sent, naming it, and the videos themselves.

mod film;
mod names;
mod overview;
mod parts;
mod ranges;
mod sending;

pub use film::{kept, waiting};
pub use names::{form as names_form, save as save_names};
pub use overview::{answer, page};
pub use parts::{arrived, finish, take};
pub use sending::send;
