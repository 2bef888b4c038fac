//! The fields of an entry, declared once with the kind.
//!
//! The file of a kind in [`crate::kinds`] has one `entry!` with a line for each field: its type, its label,
//! whether a form requires it, its bound. That line defines the field of the struct and its wire form, its
//! validation ([`crate::Entry::findings`]), the version that can hold it, the field of a form and how it is
//! read and filled in ([`PlacedField`], [`crate::Body::from_values`], [`crate::Body::values`]), the line in
//! the timeline ([`crate::Body::sentence`]), and the column of a spreadsheet ([`FieldSpec::columns`]).
//!
//! [`FieldSpec`] is the declared line as plain data; `FieldValue` is the trait of every type that a field
//! can have; `declare` has the macros that combine the two.

#[macro_use]
mod declare;
mod place;
mod read;
mod spec;
mod value;
mod words;

pub(crate) use place::FieldPlace;
pub use place::PlacedField;
pub use read::FieldFault;
pub(crate) use read::read_form;
pub use spec::{Answer, FieldSpec, FieldType, FormSpec, KindSpec, Presence};
pub(crate) use spec::{
    field, flag, kept, line, lines, long, per_foot, phone, points, several, taps, time, within,
};
pub(crate) use value::{FieldValue, KindHooks, KindOfEntry, ShownValues, part, version_of};
