//! Reads the values of a form into the wire form.

use super::{
    FieldSpec, FieldType, Presence,
    place::{FieldPlace, IN_PLACE},
};
use crate::{Day, Side, bounds::LIST_LENGTH, half_points::Halves};
use serde_json::{Map, Number, Value};

/// A field that cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FieldFault {
    /// Name of the field; empty if the fault is about the whole form.
    pub name: String,
    /// The reason, one sentence.
    pub text: String,
}

/// Reads the fields of one form and collects the faults.
struct FormReader<'f> {
    given: &'f dyn Fn(&str) -> Option<String>,
    faults: Vec<FieldFault>,
}

/// Reads the fields of a form as an object of the wire form. `given` returns what was entered in a field,
/// trimmed; `None` where nothing was.
pub(crate) fn read_form(
    fields: impl Iterator<Item = &'static FieldSpec>,
    given: &dyn Fn(&str) -> Option<String>,
) -> Result<Map<String, Value>, Vec<FieldFault>> {
    let mut reader = FormReader { given, faults: Vec::new() };
    let object = reader.group(&FieldPlace::default(), fields);
    if reader.faults.is_empty() { Ok(object) } else { Err(reader.faults) }
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

    /// The value of a field of any type; `None` if nothing was entered.
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

    /// A group without any entered field is absent; otherwise all of its fields are read.
    fn one_of_several(&mut self, at: &FieldPlace, list: &FieldSpec, n: usize) -> Option<Value> {
        let place = |part: &FieldSpec| at.of_several(list, n, part);
        list.parts().iter().find(|part| (self.given)(&place(part).name).is_some())?;
        let read = |part: &FieldSpec| Some((part.key.to_owned(), self.leaf(&place(part), part)?));
        Some(Value::Object(list.parts().iter().filter_map(read).collect()))
    }

    /// The first line and the others, which are separated by commas.
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
            None if spec.needed => fault(format!("{}: required.", at.label)),
            None if spec.presence == Presence::Always => return Some(Value::from("")),
            None => {}
        }
        None
    }
}

impl FieldSpec {
    /// The wire form of a value that was entered as text.
    ///
    /// # Errors
    /// The reason why it cannot be read: a clause without a full stop.
    pub fn read(&self, given: &str) -> Result<Value, String> {
        let short: String = crate::quoted(given);
        match self.takes {
            FieldType::Day => given
                .parse::<Day>()
                .map(|day| Value::from(day.to_string()))
                .map_err(|error| error.to_string()),
            FieldType::Kept if self.range == (0, 0) => Ok(given.into()),
            FieldType::Entries => Ok(given.split_whitespace().collect()),
            FieldType::Whole | FieldType::Kept => {
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

    /// Points become numbers, yes and no become true and false, other answers stay text.
    fn chosen(&self, key: &str) -> Value {
        match self.takes {
            FieldType::YesNo | FieldType::Flag(_) => Value::Bool(key == "yes"),
            FieldType::Points(_) => key.parse().map_or(Value::Null, Value::Number),
            _ => key.into(),
        }
    }
}

/// A whole number; a true minus sign and a plus sign are allowed.
fn whole(text: &str) -> Option<i64> {
    text.replacen('−', "-", 1).parse().ok()
}

/// A number; a decimal comma is allowed.
fn number(text: &str) -> Option<f64> {
    text.replacen(',', ".", 1).parse().ok().filter(|number: &f64| number.is_finite())
}

fn decimal(text: &str) -> Option<Value> {
    Number::from_f64(number(text)?).map(Value::Number)
}

/// A score in steps of half a point, at most 6.
fn half_steps(text: &str) -> Option<Value> {
    let number = number(text)?;
    Halves::from_value(number).filter(|score| score.0 <= 12)?;
    Number::from_f64(number).map(Value::Number)
}
