//! The kinds of value a protocol holds.

use super::{InfantCutRule, OutgrownRule, ReadinessRule};
use record::{Halves, ShoulderWidth};
use std::fmt;

/// Two ends, both included: days or degrees.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Span {
    /// The lower end.
    pub low: i16,
    /// The upper end; never below `low`.
    pub high: i16,
}

impl Span {
    /// Whether a value is within the range.
    #[must_use]
    pub fn contains(self, value: i16) -> bool {
        (self.low..=self.high).contains(&value)
    }
}

impl fmt::Display for Span {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}–{}", self.low, self.high)
    }
}

/// The kind of value of a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Shape {
    Number,
    Range,
    List,
    Points,
    Name,
}

impl Shape {
    pub(crate) fn from_key(key: &str) -> Option<Self> {
        Some(match key {
            "number" => Self::Number,
            "range" => Self::Range,
            "list" => Self::List,
            "points" => Self::Points,
            "name" => Self::Name,
            _ => return None,
        })
    }

    /// The expected form, for an error message.
    pub(crate) const fn expected(self) -> &'static str {
        match self {
            Self::Number => "expected a whole number, such as 7",
            Self::Range => {
                "expected two whole numbers in square brackets, the smaller first, such as [14, 21]"
            }
            Self::List => {
                "expected whole numbers in square brackets, each larger than the last, such as [1, 6, 12]"
            }
            Self::Points => "expected points in steps of a half, such as 0.5",
            Self::Name => "expected one of the named rules in quotation marks",
        }
    }
}

/// A value as read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Value {
    Number(i16),
    Range(Span),
    List(Vec<i16>),
    Points(Halves),
    Name(String),
}

impl Value {
    /// Reads an item of a file as a shape; `None` if it is of another kind.
    pub(crate) fn read(shape: Shape, item: &toml_edit::Item) -> Option<Self> {
        match shape {
            Shape::Number => whole(item.as_integer()?).map(Self::Number),
            Shape::Points => halves(item).map(Self::Points),
            Shape::Name => item.as_str().map(|text| Self::Name(text.to_owned())),
            Shape::List => {
                let list = wholes(item)?;
                let ascends = list.windows(2).all(|pair| matches!(pair, [a, b] if a < b));
                (ascends && !list.is_empty()).then_some(Self::List(list))
            }
            Shape::Range => match wholes(item)?.as_slice() {
                &[low, high] if low <= high => Some(Self::Range(Span { low, high })),
                _ => None,
            },
        }
    }

    /// In words, with its unit, as shown on a page.
    pub(crate) fn words(&self, unit: &str) -> String {
        let bare = match self {
            Self::Number(number) => number.to_string(),
            Self::Range(span) => span.to_string(),
            Self::List(list) => list.iter().map(i16::to_string).collect::<Vec<_>>().join(", "),
            Self::Points(halves) => halves.to_string(),
            Self::Name(name) => {
                let rule = ReadinessRule::from_key(name).map(ReadinessRule::words);
                let outgrown = OutgrownRule::from_key(name).map(OutgrownRule::words);
                let width = ShoulderWidth::from_key(name).map(ShoulderWidth::words);
                let cut = InfantCutRule::from_key(name).map(InfantCutRule::words);
                let words = rule.or(outgrown).or(width).or(cut);
                return words.map_or_else(|| name.clone(), str::to_owned);
            }
        };
        with_unit(&bare, unit)
    }

    /// The parts of which it is entered in a form: one, two ends, or the numbers of a list.
    pub(crate) fn parts(&self) -> Vec<String> {
        match self {
            Self::Number(number) => vec![number.to_string()],
            Self::Range(span) => vec![span.low.to_string(), span.high.to_string()],
            Self::List(list) => list.iter().map(i16::to_string).collect(),
            Self::Points(halves) => vec![halves.to_string()],
            Self::Name(name) => vec![name.clone()],
        }
    }

    /// As a value of a TOML file.
    pub(crate) fn to_toml(&self) -> toml_edit::Value {
        let whole = |number: &i16| i64::from(*number);
        match self {
            Self::Number(number) => whole(number).into(),
            Self::Range(span) => [span.low, span.high].iter().map(whole).collect(),
            Self::List(list) => list.iter().map(whole).collect(),
            Self::Points(halves) => (f64::from(halves.0) / 2.0).into(),
            Self::Name(name) => name.as_str().into(),
        }
    }

    /// Every number in it, in halves for points, to compare with the permitted range.
    pub(crate) fn numbers(&self) -> Vec<i16> {
        match self {
            Self::Number(number) => vec![*number],
            Self::Range(span) => vec![span.low, span.high],
            Self::List(list) => list.clone(),
            Self::Points(halves) => vec![halves.0.into()],
            Self::Name(_) => Vec::new(),
        }
    }
}

/// A value with its unit, such as "7 days" or "15°".
pub(crate) fn with_unit(bare: &str, unit: &str) -> String {
    let space = if unit.is_empty() || unit.starts_with('°') { "" } else { " " };
    format!("{bare}{space}{unit}")
}

fn whole(number: i64) -> Option<i16> {
    // No setting is negative, and none is larger than some hundreds of days.
    i16::try_from(number).ok().filter(|&number| number >= 0)
}

fn wholes(item: &toml_edit::Item) -> Option<Vec<i16>> {
    item.as_array()?.iter().map(|value| value.as_integer().and_then(whole)).collect()
}

fn halves(item: &toml_edit::Item) -> Option<Halves> {
    let points = item.as_float().or_else(|| item.as_integer().map(|whole| whole as f64))?;
    let doubled = points * 2.0;
    let sound = (0.0..=12.0).contains(&doubled) && doubled.fract() == 0.0;
    sound.then_some(Halves(doubled as u8))
}

/// Converts a value to the type of its field.
pub(crate) trait Take: Sized {
    fn take(value: &Value) -> Option<Self>;
}

impl Take for u16 {
    fn take(value: &Value) -> Option<Self> {
        match value {
            Value::Number(number) => Self::try_from(*number).ok(),
            _ => None,
        }
    }
}

impl Take for i16 {
    fn take(value: &Value) -> Option<Self> {
        match value {
            Value::Number(number) => Some(*number),
            _ => None,
        }
    }
}

impl Take for Span {
    fn take(value: &Value) -> Option<Self> {
        match value {
            Value::Range(span) => Some(*span),
            _ => None,
        }
    }
}

impl Take for Vec<u16> {
    fn take(value: &Value) -> Option<Self> {
        match value {
            Value::List(list) => list.iter().map(|&number| u16::try_from(number).ok()).collect(),
            _ => None,
        }
    }
}

impl Take for Halves {
    fn take(value: &Value) -> Option<Self> {
        match value {
            Value::Points(halves) => Some(*halves),
            _ => None,
        }
    }
}

impl Take for ShoulderWidth {
    fn take(value: &Value) -> Option<Self> {
        match value {
            Value::Name(name) => Self::from_key(name),
            _ => None,
        }
    }
}

impl Take for ReadinessRule {
    fn take(value: &Value) -> Option<Self> {
        match value {
            Value::Name(name) => Self::from_key(name),
            _ => None,
        }
    }
}

impl Take for OutgrownRule {
    fn take(value: &Value) -> Option<Self> {
        match value {
            Value::Name(name) => Self::from_key(name),
            _ => None,
        }
    }
}

impl Take for InfantCutRule {
    fn take(value: &Value) -> Option<Self> {
        match value {
            Value::Name(name) => Self::from_key(name),
            _ => None,
        }
    }
}
