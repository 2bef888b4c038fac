//! The record: what was seen and done, written down once and never changed.
//!
//! A child's record is an append-only list of [`Entry`] values. Everything the program says about a
//! child is computed from that list by the rooms above this one. This room holds the entries, their
//! ids, [`Day`] and [`Side`], the scores as measured, and the bounds within which a value is believed,
//! each with its human word.
//!
//! It never reads a clock, a file or SQL; it never decides anything; it never turns a missing value
//! into a number. A half-entered score stays half-entered ([`Pirani::total`] is then `None`).
//!
//! Start reading at [`entry`], then [`field`] and [`kinds`].

#![warn(missing_docs)]
#![cfg_attr(not(test), warn(clippy::indexing_slicing, clippy::string_slice))]

#[macro_use]
pub mod field;
#[macro_use]
pub mod kinds;

pub mod bounds;
mod day;
mod dimeglio;
pub mod entry;
mod id;
mod pirani;
mod side;
mod text;
mod timestamp;
mod walking;
mod weekday;
mod wire;

pub use bounds::{Bound, Finding, Severity};
pub use day::{Day, DayError, DayRange};
pub use dimeglio::{Angle, AngleItem, Dimeglio, DimeglioSign, Grade};
pub use entry::{Body, Entry, Kind, WireError};
pub use field::{FieldFault, FieldSpec, FieldType, FormSpec, KindSpec, PlacedField};
pub use id::{ChildId, EntryId, IdError, ImportId, SiteId, UserId};
pub use kinds::*;
pub use pirani::{HalfPoint, Halves, Pirani, Sign, SubScore};
pub use side::{Side, Sides};
pub use text::sentence;
pub use timestamp::Timestamp;
pub use walking::{Walking, WalkingItem};
pub use weekday::Weekday;
pub use wire::Contents;
