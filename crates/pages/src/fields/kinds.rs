//! The fields of the small form of every kind of entry, as the kind declares them.

use super::{Field, FieldError, Filled, What};
use record::{Body, FieldSpec, FieldType, Kind, PlacedField};

/// The fields of a kind, with room for two carers. Empty for a correction and a withdrawal, which have
/// forms of their own.
#[must_use]
pub fn of_kind(kind: Kind) -> Vec<Field> {
    with_room(kind, 2)
}

/// The fields of a kind, with room for a number of carers.
#[must_use]
pub fn with_room(kind: Kind, carers: usize) -> Vec<Field> {
    kind.form_fields(carers).into_iter().map(Field::from).collect()
}

impl From<PlacedField> for Field {
    fn from(PlacedField { name, label, spec }: PlacedField) -> Self {
        let FieldSpec { hint, needed, .. } = *spec;
        Self { name: name.into(), label: label.into(), hint, what: What::from(spec), needed }
    }
}

impl From<&FieldSpec> for What {
    fn from(spec: &FieldSpec) -> Self {
        let ((min, max), unit) = (spec.limits(), spec.unit());
        match (spec.takes, spec.answers()) {
            (_, Some(answers)) => Self::Choice(answers.to_vec()),
            (FieldType::Long, _) => Self::Long,
            (FieldType::Phone, _) => Self::Phone,
            (FieldType::Time, _) => Self::Time,
            (FieldType::Day, _) => Self::Day,
            (FieldType::Whole, _) => Self::Whole { min, max, unit },
            (FieldType::Decimal | FieldType::HalfSteps, _) => Self::Decimal { min, max, unit },
            (
                FieldType::Entry | FieldType::Entries | FieldType::Child | FieldType::Kept | FieldType::Taps,
                _,
            ) => Self::Entry,
            _ => Self::Text,
        }
    }
}

/// The form of an entry, filled from it.
#[must_use]
pub fn values_of(body: &Body) -> Filled {
    Filled { values: body.values(), errors: Vec::new() }
}

/// Reads a filled form as an entry of a kind.
///
/// # Errors
/// What cannot be read, field by field. Bounds are judged elsewhere, by `record::Entry::findings`.
pub fn body_of(kind: Kind, filled: &Filled) -> Result<Body, Vec<FieldError>> {
    body_below(kind, filled, "")
}

/// The same where the name of each field begins so.
///
/// # Errors
/// As [`body_of`].
pub fn body_below(kind: Kind, filled: &Filled, prefix: &str) -> Result<Body, Vec<FieldError>> {
    let given = |name: &str| filled.given(&format!("{prefix}{name}")).map(str::to_owned);
    let error = |fault: record::FieldFault| {
        let field = if fault.name.is_empty() { fault.name } else { format!("{prefix}{}", fault.name) };
        FieldError { field, text: fault.text }
    };
    Body::from_values(kind, &given).map_err(|faults| faults.into_iter().map(error).collect())
}
