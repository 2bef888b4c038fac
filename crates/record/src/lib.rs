//! The record: what was seen and done, recorded once and never changed.
//!
//! A child's record is an append-only list of [`Entry`] values. The crates above this one compute
//! everything else about a child from that list. This crate holds the entries, their ids, [`Day`] and
//! [`Side`], the scores as measured, and the bounds of each measured value with its name in words.
//!
//! It never reads a clock, a file or SQL; it never decides anything; it never turns a missing value
//! into a number. The total of an incomplete score is `None` ([`Pirani::total`]).
//!
//! Start reading at [`entry`], then [`field`] and [`kinds`].

#![warn(missing_docs)]
#![cfg_attr(not(test), warn(clippy::indexing_slicing, clippy::string_slice))]

#[macro_use]
pub mod field;

pub mod bounds;
mod corrected_log;
mod day;
mod dimeglio;
pub mod entry;
mod form;
mod half_points;
mod id;
mod kept_hash;
#[macro_use]
pub mod kinds;
mod other_foot;
mod photograph_view;
mod picture_taps;
mod pirani;
mod quoted;
mod rights;
mod side;
mod text;
mod timestamp;
mod walking;
mod weekday;
mod wire;

pub use bounds::{Bound, Finding, Severity};
pub use corrected_log::{CorrectedLog, Fate, IneffectiveAmendment, IneffectiveWhy, Line};
pub use day::{Day, DayError, DayRange};
pub use dimeglio::{Angle, AngleItem, Dimeglio, DimeglioSign, Grade};
pub use entry::{Entry, WireError};
pub use field::{FieldFault, FieldSpec, FieldType, FormSpec, KindSpec, PlacedField};
pub use half_points::{HalfPoint, Halves};
pub use id::{ChildId, DeviceId, EntryId, IdError, ImportId, SiteId, UserId};
pub use kept_hash::{PictureHash, PictureHashError, VideoHash, VideoHashError};
pub use kinds::*;
pub use photograph_view::{PhotographAngle, PhotographView, ViewFeet, ViewStage};
pub use picture_taps::{PictureTaps, PictureTapsError};
pub use pirani::{Pirani, Sign, SubScore};
pub use quoted::{QUOTED_CHARS, is_invisible, quoted};
pub use rights::{Right, Rights, Role, Roles};
pub use side::{Side, Sides};
pub use text::sentence;
pub use timestamp::Timestamp;
pub use walking::{Walking, WalkingItem};
pub use weekday::Weekday;
pub use wire::Contents;
