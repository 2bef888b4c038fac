//! The fields of an entry, declared once with the kind.
//!
//! A kind's file in [`crate::kinds`] holds one `entry!` with a line for every field: its type, its label,
//! whether the form needs it, its bound. From that line follow the field of the struct and its wire form,
//! its validation ([`crate::Entry::findings`]), the version that can hold it, the field of a form and how
//! it is read and filled in ([`PlacedField`], [`crate::Body::from_values`], [`crate::Body::values`]), the
//! line in the timeline ([`crate::Body::sentence`]), and the column of a spreadsheet ([`FieldSpec::columns`]).
//!
//! [`FieldSpec`] is the declared line, as plain data; `FieldValue` is what every type that can stand in a
//! field knows of itself; `declare` holds the macros that join the two.

#[macro_use]
mod declare;
mod place;
mod read;
mod sentence;
mod spec;
mod value;

pub use place::PlacedField;
pub use read::FieldFault;
pub use spec::{Answer, FieldSpec, FieldType, FormSpec, KindSpec, Presence};
pub(crate) use spec::{field, flag, line, lines, long, part, per_foot, phone, points, several, time, within};
pub(crate) use value::{FieldValue, KindHooks, KindOfEntry, ShownValues, version_of};
