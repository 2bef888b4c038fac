//! The contents of a form: its values and errors.

use std::{borrow::Cow, collections::BTreeMap};

/// One error of a field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FieldError {
    /// Name of the field; empty when it is about the form as a whole.
    pub field: String,
    /// One sentence.
    pub text: String,
}

/// The values of a form by field name, and its errors.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Filled {
    /// The value of each field.
    pub values: BTreeMap<String, String>,
    /// The errors.
    pub errors: Vec<FieldError>,
}

impl Filled {
    /// The value of a field; empty if it has none.
    #[must_use]
    pub fn value(&self, name: &str) -> &str {
        self.values.get(name).map_or("", String::as_str)
    }

    /// The value of a field without surrounding spaces; `None` if it is empty.
    #[must_use]
    pub fn given(&self, name: &str) -> Option<&str> {
        Some(self.value(name).trim()).filter(|value| !value.is_empty())
    }

    /// The same form with one more value.
    #[must_use]
    pub fn with(mut self, name: impl Into<String>, value: impl Into<String>) -> Self {
        self.values.insert(name.into(), value.into());
        self
    }

    /// The same form with one more error.
    #[must_use]
    pub fn wrong(mut self, field: impl Into<String>, text: impl Into<String>) -> Self {
        self.errors.push(FieldError { field: field.into(), text: text.into() });
        self
    }

    /// Whether nobody has filled it in yet; the name of its draft is no answer.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        self.values.keys().all(|name| name == super::DRAFT)
    }

    /// The errors of a field.
    pub fn errors_of<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a str> {
        self.errors.iter().filter(move |error| error.field == name).map(|error| error.text.as_str())
    }

    /// Whether a field has an error.
    #[must_use]
    pub fn has_error(&self, name: &str) -> bool {
        self.errors.iter().any(|error| error.field == name)
    }

    /// Whether any field whose name begins with `prefix` has a value or an error.
    #[must_use]
    pub fn any_under(&self, prefix: &str) -> bool {
        self.values.iter().any(|(name, value)| name.starts_with(prefix) && !value.trim().is_empty())
            || self.errors.iter().any(|error| error.field.starts_with(prefix))
    }
}

impl FromIterator<(String, String)> for Filled {
    fn from_iter<I: IntoIterator<Item = (String, String)>>(pairs: I) -> Self {
        Self { values: pairs.into_iter().collect(), errors: Vec::new() }
    }
}

/// The type of a field.
#[derive(Debug, Clone, PartialEq)]
pub enum What {
    /// A line.
    Text,
    /// Several lines.
    Long,
    /// A telephone number.
    Phone,
    /// A sign-in name.
    SignInName,
    /// A password, with the browser's keyword for a current or a new one.
    Password(&'static str),
    /// A day.
    Day,
    /// A time of day.
    Time,
    /// A whole number.
    Whole {
        /// Smallest value accepted.
        min: i32,
        /// Largest value accepted.
        max: i32,
        /// "°", "mm"; empty for none.
        unit: &'static str,
    },
    /// A number that may have a fraction.
    Decimal {
        /// Smallest value accepted.
        min: i32,
        /// Largest value accepted.
        max: i32,
        /// Unit.
        unit: &'static str,
    },
    /// The id of another entry, in a hidden field.
    Entry,
    /// One answer of a fixed list, key and words.
    Choice(Vec<(&'static str, &'static str)>),
}

impl What {
    /// For the style sheet.
    #[must_use]
    pub const fn class(&self) -> &'static str {
        match self {
            Self::Long => "long",
            Self::Day | Self::Time => "short",
            Self::Whole { .. } | Self::Decimal { .. } => "number",
            _ => "line",
        }
    }

    /// The input's type.
    #[must_use]
    pub const fn input_type(&self) -> &'static str {
        match self {
            Self::Day => "date",
            Self::Time => "time",
            Self::Phone => "tel",
            Self::Password(_) => "password",
            _ => "text",
        }
    }

    /// What the browser may fill in: never anything about a child.
    #[must_use]
    pub const fn autocomplete(&self) -> &'static str {
        match self {
            Self::Password(which) => which,
            Self::SignInName => "username",
            _ => "off",
        }
    }

    /// The unit, empty for none.
    #[must_use]
    pub const fn unit(&self) -> &'static str {
        match self {
            Self::Whole { unit, .. } | Self::Decimal { unit, .. } => unit,
            _ => "",
        }
    }
}

/// One field of a form.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// Its name.
    pub name: Cow<'static, str>,
    /// Its label.
    pub label: Cow<'static, str>,
    /// What to know before filling it in; empty for nothing.
    pub hint: &'static str,
    /// What it takes.
    pub what: What,
    /// Whether the form cannot do without it.
    pub needed: bool,
}

impl Field {
    /// A field that may stay empty.
    #[must_use]
    pub fn new(name: impl Into<Cow<'static, str>>, label: impl Into<Cow<'static, str>>, what: What) -> Self {
        Self { name: name.into(), label: label.into(), hint: "", what, needed: false }
    }

    /// The same, needed.
    #[must_use]
    pub fn needed(self) -> Self {
        Self { needed: true, ..self }
    }

    /// The same with a hint.
    #[must_use]
    pub fn hint(self, hint: &'static str) -> Self {
        Self { hint, ..self }
    }
}
