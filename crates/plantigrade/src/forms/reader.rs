//! Reads fields one by one and collects what cannot be read.

use pages::fields::{FieldError, Filled};
use record::{Day, HalfPoint};

/// Reads the fields of one form.
#[derive(Debug)]
pub struct Reader<'a> {
    fields: &'a Filled,
    /// Errors so far.
    pub errors: Vec<FieldError>,
}

impl<'a> Reader<'a> {
    /// A reader of these fields.
    #[must_use]
    pub const fn of(fields: &'a Filled) -> Self {
        Self { fields, errors: Vec::new() }
    }

    /// Adds an error to a field.
    pub fn wrong(&mut self, field: &str, text: impl Into<String>) {
        self.errors.push(wrong(field, text));
    }

    /// Whether a field holds anything.
    #[must_use]
    pub fn has(&self, field: &str) -> bool {
        self.fields.given(field).is_some()
    }

    /// The field with the day of the next appointment: one of the proposed days, or another day.
    #[must_use]
    pub fn next_day_field(&self) -> &'static str {
        use pages::fields::visit::{NEXT_DAY, NEXT_OTHER, NEXT_OTHER_DAY};
        match self.fields.given(NEXT_DAY) {
            Some(NEXT_OTHER) | None => NEXT_OTHER_DAY,
            Some(_) => NEXT_DAY,
        }
    }

    /// A text.
    #[must_use]
    pub fn text(&self, field: &str) -> Option<String> {
        self.fields.given(field).map(str::to_owned)
    }

    /// A required text.
    pub fn needed(&mut self, field: &str, sentence: &str) -> String {
        let text = self.text(field);
        if text.is_none() {
            self.wrong(field, sentence);
        }
        text.unwrap_or_default()
    }

    /// A day, year-month-day.
    pub fn day(&mut self, field: &str) -> Option<Day> {
        let text = self.fields.given(field)?;
        match text.parse() {
            Ok(day) => Some(day),
            Err(error) => {
                self.wrong(field, crate::exit::sentence(&format!("{error}")));
                None
            }
        }
    }

    /// A required day.
    pub fn needed_day(&mut self, field: &str, sentence: &str) -> Option<Day> {
        if !self.has(field) {
            self.wrong(field, sentence);
        }
        self.day(field)
    }

    /// The clinical day of an entry: required, and never later than today.
    pub fn clinical_day(&mut self, field: &str, today: Day) -> Option<Day> {
        let day = self.needed_day(field, "The day is missing: year-month-day is expected.")?;
        if day > today {
            let text = format!("{} is in the future: record only what has already happened.", day.words());
            self.wrong(field, text);
            return None;
        }
        Some(day)
    }

    /// A whole number with an optional sign.
    pub fn whole<T: TryFrom<i64>>(&mut self, field: &str) -> Option<T> {
        let text = self.fields.given(field)?;
        let shown = record::quoted(text);
        let Ok(number) = text.replace('−', "-").parse::<i64>() else {
            self.wrong(field, format!("“{shown}” is not a whole number."));
            return None;
        };
        let fits = T::try_from(number).ok();
        if fits.is_none() {
            self.wrong(field, format!("{shown} is out of range."));
        }
        fits
    }

    /// A number that may have a fraction, with a point or a comma.
    pub fn decimal(&mut self, field: &str) -> Option<f64> {
        let text = self.fields.given(field)?;
        let number = text.replace(',', ".").parse::<f64>().ok().filter(|number| number.is_finite());
        if number.is_none() {
            let shown = record::quoted(text);
            self.wrong(field, format!("“{shown}” is not a number."));
        }
        number
    }

    /// One answer of a fixed list.
    pub fn choice<T>(&mut self, field: &str, from_key: impl Fn(&str) -> Option<T>) -> Option<T> {
        let text = self.fields.given(field)?;
        let answer = from_key(text);
        if answer.is_none() {
            let text = record::quoted(text);
            self.wrong(field, format!("“{text}” is not one of the answers."));
        }
        answer
    }

    /// Yes or no; `None` if not answered.
    pub fn yes_no(&mut self, field: &str) -> Option<bool> {
        self.choice(field, |key| match key {
            "yes" => Some(true),
            "no" => Some(false),
            _ => None,
        })
    }

    /// A sign of the Pirani score; `None` if not assessed.
    pub fn half(&mut self, field: &str) -> Option<HalfPoint> {
        self.choice(field, HalfPoint::from_text)
    }
}

/// One sentence about one field.
pub(super) fn wrong(field: impl Into<String>, text: impl Into<String>) -> FieldError {
    FieldError { field: field.into(), text: text.into() }
}
