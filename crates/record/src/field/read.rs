//! From the values of a form to the contents of an entry, by way of the wire form.

use super::{
    FieldSpec, FieldType, Presence,
    place::{FieldPlace, IN_PLACE},
};
use crate::{Body, Day, Halves, Kind, Side, bounds::LIST_LENGTH};
use serde_json::{Map, Number, Value};

/// What cannot be read of a field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FieldFault {
    /// Name of the field; empty when it is about the form as a whole.
    pub name: String,
    /// One sentence.
    pub text: String,
}

/// Reads the fields of one form and gathers what cannot be read.
struct FormReader<'f> {
    given: &'f dyn Fn(&str) -> Option<String>,
    faults: Vec<FieldFault>,
}

impl Body {
    /// Its values as they stand in its form, by the name of each field: yes and no for true and false,
    /// numbers as short as they can be written, nothing for what is absent.
    #[must_use]
    pub fn values(&self) -> std::collections::BTreeMap<String, String> {
        let mut shown = super::ShownValues::default();
        self.show(&mut shown);
        shown.values
    }

    /// Reads the values of a form as the contents of an entry. `given` answers what stands in a field,
    /// without spaces around it; `None` where nothing does. Bounds are judged by [`crate::Entry::findings`].
    ///
    /// # Errors
    /// What cannot be read, field by field.
    pub fn from_values(kind: Kind, given: &dyn Fn(&str) -> Option<String>) -> Result<Self, Vec<FieldFault>> {
        let mut reader = FormReader { given, faults: Vec::new() };
        let fields = reader.group(&FieldPlace::default(), kind.spec().form_order());
        if !reader.faults.is_empty() {
            return Err(reader.faults);
        }
        Self::from_value(kind, Value::Object(fields)).map_err(|_| {
            let text = format!("This form cannot be read as “{}”: fill it in once more.", kind.words());
            vec![FieldFault { name: String::new(), text }]
        })
    }
}

impl FormReader<'_> {
    fn group<'s>(
        &mut self,
        at: &FieldPlace,
        fields: impl Iterator<Item = &'s FieldSpec>,
    ) -> Map<String, Value> {
        let read = |spec: &FieldSpec| Some((spec.key.to_owned(), self.field(at, spec)?));
        fields.filter_map(read).collect()
    }

    /// The value of a field of any type; `None` where nothing is given.
    fn field(&mut self, at: &FieldPlace, spec: &FieldSpec) -> Option<Value> {
        let list = match spec.takes {
            FieldType::Group(parts) | FieldType::OneOf(parts) => {
                let fields = self.group(&at.below(spec), parts.iter());
                let there = !fields.is_empty() || spec.presence == Presence::Always;
                return there.then_some(Value::Object(fields));
            }
            FieldType::PerFoot(..) => {
                Side::BOTH.into_iter().filter_map(|side| self.foot(at, spec, side)).collect()
            }
            FieldType::Several(..) => {
                (1..=LIST_LENGTH).filter_map(|n| self.one_of_several(at, spec, n)).collect()
            }
            FieldType::Lines(parts) => self.lines(at, parts),
            _ => return self.leaf(&at.below(spec), spec),
        };
        let list: Vec<Value> = list;
        (!list.is_empty()).then_some(Value::Array(list))
    }

    fn foot(&mut self, at: &FieldPlace, list: &FieldSpec, side: Side) -> Option<Value> {
        let foot = at.of_foot(side);
        let there = self.leaf(&foot.of_item(list), &IN_PLACE);
        let mut fields = self.group(&foot, list.parts().iter().filter(|part| part.key != "side"));
        if fields.is_empty() && there.is_none() {
            return None;
        }
        fields.insert("side".to_owned(), side.word().into());
        Some(Value::Object(fields))
    }

    /// A group of which nothing is given is not there; one of which anything is given is read whole.
    fn one_of_several(&mut self, at: &FieldPlace, list: &FieldSpec, n: usize) -> Option<Value> {
        let place = |part: &FieldSpec| at.of_several(list, n, part);
        list.parts().iter().find(|part| (self.given)(&place(part).name).is_some())?;
        let read = |part: &FieldSpec| Some((part.key.to_owned(), self.leaf(&place(part), part)?));
        Some(Value::Object(list.parts().iter().filter_map(read).collect()))
    }

    /// The first line, then the others.
    fn lines(&self, at: &FieldPlace, [first, rest]: &[FieldSpec; 2]) -> Vec<Value> {
        let given = |spec: &FieldSpec| (self.given)(&at.below(spec).name).unwrap_or_default();
        let (first, rest) = (given(first), given(rest));
        let all = std::iter::once(first.as_str()).chain(rest.split(',').map(str::trim));
        all.filter(|line| !line.is_empty()).map(Value::from).collect()
    }

    fn leaf(&mut self, at: &FieldPlace, spec: &FieldSpec) -> Option<Value> {
        let mut fault = |text: String| self.faults.push(FieldFault { name: at.name.clone(), text });
        match (self.given)(&at.name) {
            Some(given) => match spec.read(&given) {
                Ok(value) => return Some(value),
                Err(why) => fault(format!("{}: {why}.", at.label)),
            },
            None if spec.needed => fault(format!("{}: this is needed.", at.label)),
            None if spec.presence == Presence::Always => return Some(Value::from("")),
            None => {}
        }
        None
    }
}

impl FieldSpec {
    /// A value as somebody wrote it, as it stands in the wire form.
    ///
    /// # Errors
    /// A clause that says why it cannot be read, without a full stop.
    pub fn read(&self, given: &str) -> Result<Value, String> {
        let short: String = given.chars().take(40).collect();
        match self.takes {
            FieldType::Day => given
                .parse::<Day>()
                .map(|day| Value::from(day.to_string()))
                .map_err(|error| error.to_string()),
            FieldType::Whole => {
                let number = whole(given).ok_or_else(|| format!("“{short}” is not a whole number"))?;
                let (least, most) = self.range;
                let fits = (least..=most).contains(&number);
                fits.then(|| number.into()).ok_or_else(|| format!("“{short}” cannot be right"))
            }
            FieldType::Decimal => decimal(given).ok_or_else(|| format!("“{short}” is not a number")),
            FieldType::HalfSteps => half_steps(given).ok_or_else(|| format!("“{short}” is not a number")),
            _ => match self.answers() {
                None => Ok(given.into()),
                Some(answers) if answers.iter().any(|(key, _)| *key == given) => Ok(self.chosen(given)),
                Some(_) => Err(format!("“{short}” is not one of the answers")),
            },
        }
    }

    /// Points are numbers, yes and no are true and false, the other answers are words.
    fn chosen(&self, key: &str) -> Value {
        match self.takes {
            FieldType::YesNo | FieldType::Flag(_) => Value::Bool(key == "yes"),
            FieldType::Points(_) => key.parse().map_or(Value::Null, Value::Number),
            _ => key.into(),
        }
    }
}

/// A whole number; a true minus sign and a plus sign are read too.
fn whole(text: &str) -> Option<i64> {
    text.replacen('−', "-", 1).parse().ok()
}

/// A number; a comma is read too.
fn number(text: &str) -> Option<f64> {
    text.replacen(',', ".", 1).parse().ok().filter(|number: &f64| number.is_finite())
}

fn decimal(text: &str) -> Option<Value> {
    Number::from_f64(number(text)?).map(Value::Number)
}

/// A score moves by half points and anything else is not one; 6 is the most any such score can be.
fn half_steps(text: &str) -> Option<Value> {
    let number = number(text)?;
    Halves::from_value(number).filter(|score| score.0 <= 12)?;
    Number::from_f64(number).map(Value::Number)
}
