//! The built-in values with their descriptions, read once from the embedded file.

use super::value::{Shape, Value, with_unit};
use super::{KEYS, Protocol, ProtocolSetting, SettingControl, SourceMark};
use std::sync::LazyLock;
use toml_edit::{Document, Item, Table};

/// One value of the embedded file.
#[derive(Debug)]
pub(crate) struct Row {
    pub(crate) key: String,
    pub(crate) shape: Shape,
    pub(crate) value: Value,
    pub(crate) unit: String,
    pub(crate) permitted: Permitted,
    pub(crate) label: String,
    published: String,
    source: String,
    mark: SourceMark,
}

/// The values that a clinic's own file may set.
#[derive(Debug)]
pub(crate) enum Permitted {
    /// Numbers between two ends (points in halves).
    Between(i16, i16),
    /// One of these names.
    Names(Vec<String>),
}

/// The parsed embedded file, and the protocol it makes, with an empty list of settings.
pub(crate) struct BuiltIn {
    pub(crate) rows: Vec<Row>,
    pub(crate) protocol: Protocol,
}

impl BuiltIn {
    /// The built-in values in the order of the rows.
    pub(crate) fn values(&self) -> Vec<Value> {
        self.rows.iter().map(|row| row.value.clone()).collect()
    }

    /// The list of settings for values in the order of the rows.
    pub(crate) fn settings(&'static self, values: &[Value]) -> Vec<ProtocolSetting> {
        self.rows.iter().zip(values).map(|(row, value)| row.setting(value)).collect()
    }
}

const TEXT: &str = include_str!("built_in.toml");

// The only place in this crate that can stop the program: it must not run without its own protocol. The
// file is part of the program and a test reads it, so this cannot happen in a program that passed its tests.
pub(crate) static BUILT_IN: LazyLock<BuiltIn> = LazyLock::new(|| match read(TEXT) {
    Ok(built_in) => built_in,
    Err(reason) => unreachable!("the built-in protocol cannot be read: {reason}"),
});

fn read(text: &'static str) -> Result<BuiltIn, String> {
    let document = Document::parse(text).map_err(|error| error.to_string())?;
    let mut rows = Vec::new();
    for (section, item) in document.iter() {
        let table = item.as_table().ok_or_else(|| format!("{section} is not a section"))?;
        for (name, item) in table.iter() {
            let key = format!("{section}.{name}");
            let table = item.as_table().ok_or_else(|| format!("{key} is not a table"))?;
            if !KEYS.contains(&key.as_str()) {
                return Err(format!("{key} has no field"));
            }
            rows.push(read_row(&key, table).ok_or_else(|| format!("{key} is not complete"))?);
        }
    }
    let values: Vec<Value> = rows.iter().map(|row| row.value.clone()).collect();
    let protocol = Protocol::from_values(&rows, &values)?;
    Ok(BuiltIn { rows, protocol })
}

fn read_row(key: &str, table: &Table) -> Option<Row> {
    let text = |name: &str| table.get(name)?.as_str().map(str::to_owned);
    let shape = Shape::from_key(table.get("shape")?.as_str()?)?;
    Some(Row {
        key: key.to_owned(),
        shape,
        value: Value::read(shape, table.get("value")?)?,
        unit: text("unit")?,
        permitted: read_permitted(shape, table.get("permitted")?)?,
        label: text("label")?,
        published: text("published")?,
        source: text("source")?,
        mark: SourceMark::from_words(table.get("mark")?.as_str()?)?,
    })
}

fn read_permitted(shape: Shape, item: &Item) -> Option<Permitted> {
    let array = item.as_array()?;
    if shape == Shape::Name {
        return Some(Permitted::Names(
            array.iter().filter_map(|name| Some(name.as_str()?.to_owned())).collect(),
        ));
    }
    let ends: Option<Vec<Value>> = array
        .iter()
        .map(|end| {
            let kind = if shape == Shape::Points { Shape::Points } else { Shape::Number };
            Value::read(kind, &Item::Value(end.clone()))
        })
        .collect();
    match ends?.iter().flat_map(Value::numbers).collect::<Vec<_>>().as_slice() {
        &[low, high] if low <= high => Some(Permitted::Between(low, high)),
        _ => None,
    }
}

impl Row {
    /// In words: "3–14 days", or the names.
    pub(crate) fn permitted_words(&self) -> String {
        match &self.permitted {
            Permitted::Between(low, high) if self.shape == Shape::Points => {
                with_unit(&format!("{}–{}", f64::from(*low) / 2.0, f64::from(*high) / 2.0), &self.unit)
            }
            Permitted::Between(low, high) => with_unit(&format!("{low}–{high}"), &self.unit),
            Permitted::Names(names) => names.join(", "),
        }
    }

    /// Whether a value is permitted.
    pub(crate) fn permits(&self, value: &Value) -> bool {
        match (&self.permitted, value) {
            (Permitted::Names(names), Value::Name(name)) => names.contains(name),
            (Permitted::Between(low, high), value) => {
                value.numbers().iter().all(|number| (low..=high).contains(&number))
            }
            (Permitted::Names(_), _) => false,
        }
    }

    /// The setting as shown on a page.
    pub(crate) fn setting(&'static self, value: &Value) -> ProtocolSetting {
        ProtocolSetting {
            key: &self.key,
            label: &self.label,
            value: value.words(&self.unit),
            built_in: self.value.words(&self.unit),
            changed: *value != self.value,
            permitted: self.permitted_words(),
            published: &self.published,
            source: &self.source,
            mark: self.mark,
            unit: &self.unit,
            parts: value.parts(),
            toml: value.to_toml().to_string(),
            control: self.control(),
        }
    }

    fn control(&self) -> SettingControl {
        match (&self.permitted, self.shape) {
            (Permitted::Names(names), _) => {
                let words = |name: &String| (name.clone(), Value::Name(name.clone()).words(""));
                SettingControl::Names(names.iter().map(words).collect())
            }
            (&Permitted::Between(low, high), Shape::Points) => SettingControl::Points { low, high },
            (&Permitted::Between(low, high), Shape::Range) => SettingControl::TwoEnds { low, high },
            (&Permitted::Between(low, high), Shape::List) => SettingControl::Ascending { low, high },
            (&Permitted::Between(low, high), _) => SettingControl::Whole { low, high },
        }
    }
}
