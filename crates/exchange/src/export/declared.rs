//! Entries of the kinds that declare columns of their own. Those columns come after the plain ones, and
//! only in an export that holds such an entry.

use super::{Out, plain::kept};
use crate::meaning::FieldColumn;
use record::{Body, Entry, FieldSpec, FieldType, Kind};
use std::collections::BTreeMap;

/// The values of an entry for the columns of its kind.
pub(super) type Declared = (Kind, BTreeMap<String, String>);

/// The entry in its own columns; `None` where its kind has none or they would lose something of it.
pub(super) fn declared(body: &Body) -> Option<Declared> {
    let (kind, values) = (body.kind(), body.values());
    let columns: Vec<FieldColumn> = FieldColumn::of_kind(kind).collect();
    let whole = |(key, value): (&String, &String)| {
        let column = columns.iter().find(|column| column.key == key);
        let spec = column.and_then(|column| column.spec());
        spec.is_some_and(|spec| spec.answers().is_some() || kept(value))
    };
    (!columns.is_empty() && values.iter().all(whole)).then_some((kind, values))
}

/// The columns that an export of these entries needs.
pub(super) fn columns<'e>(entries: impl Iterator<Item = &'e Entry>) -> Vec<FieldColumn> {
    let declares = |kind: &Kind| FieldColumn::of_kind(*kind).next().is_some();
    let mut kinds: Vec<Kind> = Vec::new();
    for entry in entries {
        let kind = if let Body::Correction(body) = &entry.body { body.body.kind() } else { entry.kind() };
        if !kinds.contains(&kind) && declares(&kind) {
            kinds.push(kind);
        }
    }
    kinds.sort_unstable();
    kinds.into_iter().flat_map(FieldColumn::of_kind).collect()
}

/// The heading of a column.
pub(super) fn heading(column: FieldColumn) -> String {
    let heading = column.spec().and_then(|spec| spec.columns.first()).map_or("", |heading| heading);
    let mut chars = heading.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// The cell of a row in a column.
pub(super) fn cell(column: FieldColumn, row: Option<&Declared>) -> Out {
    let of_kind = row.filter(|(kind, _)| *kind == column.kind);
    let value = of_kind.and_then(|(_, values)| values.get(column.key));
    let (Some(value), Some(spec)) = (value, column.spec()) else { return Out::Blank };
    out(spec, value)
}

fn out(spec: &FieldSpec, value: &str) -> Out {
    match (spec.takes, value.parse(), value.parse()) {
        (FieldType::Day, Ok(day), _) => Out::Date(day),
        (FieldType::Whole | FieldType::Decimal | FieldType::HalfSteps, _, Ok(number)) => Out::Number(number),
        _ if spec.answers().is_some() => Out::Text(spec.words(value)),
        _ => Out::Text(value.to_owned()),
    }
}
