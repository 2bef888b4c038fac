//! From an entry to its form and back.
//!
//! Both ways go through the wire form of the entry, by the names in [`super::of_kind`]; whatever a form
//! cannot show would be lost by a correction, so a test fills every kind to the brim and compares.

use super::{Field, FieldError, Filled, What, kinds::carer_name, of_kind};
use record::{Body, Carer, Day, Kind, Registration, Sex, Side};
use serde_json::{Map, Number, Value};

/// The form of an entry, filled from it.
#[must_use]
pub fn values_of(body: &Body) -> Filled {
    if let Body::Registration(about) = body {
        return values_of_registration(about);
    }
    Filled { values: super::flat::values_by_path(&body.contents()), errors: Vec::new() }
}

fn values_of_registration(about: &Registration) -> Filled {
    let mut filled = Filled::default();
    let mut put = |name: &str, value: String| filled.values.insert(name.to_owned(), value);
    put("family_name", about.family_name.clone());
    put("given_name", about.given_name.clone());
    put("number", about.numbers.first().cloned().unwrap_or_default());
    put("other_numbers", about.numbers.get(1..).unwrap_or_default().join(", "));
    put("born", about.born.map_or_else(String::new, |day| day.to_string()));
    put("sex", about.sex.map_or("", record::Sex::key).to_owned());
    put("gestation_weeks", about.gestation_weeks.map_or_else(String::new, |weeks| weeks.to_string()));
    put("birth_weight_g", about.birth_weight_g.map_or_else(String::new, |grams| grams.to_string()));
    put("address", about.address.clone().unwrap_or_default());
    for (n, carer) in about.carers.iter().enumerate() {
        put(&carer_name(n + 1, "name"), carer.name.clone());
        put(&carer_name(n + 1, "relation"), carer.relation.clone().unwrap_or_default());
        put(&carer_name(n + 1, "phone"), carer.phone.clone().unwrap_or_default());
        put(&carer_name(n + 1, "language"), carer.language.clone().unwrap_or_default());
    }
    filled
}

/// Reads a filled form as an entry of a kind.
///
/// # Errors
/// What cannot be read, field by field. Bounds are judged elsewhere, by `record::Entry::findings`.
pub fn body_of(kind: Kind, filled: &Filled) -> Result<Body, Vec<FieldError>> {
    if kind == Kind::Registration {
        return registration(filled).map(Body::from);
    }
    let (mut json, mut errors) = (Map::new(), Vec::new());
    for field in of_kind(kind) {
        match value(&field, filled) {
            Ok(Some(value)) => place(&mut json, &field.name, value),
            Ok(None) => {}
            Err(text) => errors.push(FieldError { field: field.name.into_owned(), text }),
        }
    }
    gather_boots(&mut json);
    if !errors.is_empty() {
        return Err(errors);
    }
    Body::from_json(kind, &Value::Object(json).to_string()).map_err(|_| {
        let text = format!("This form cannot be read as “{}”: fill it in once more.", kind.words());
        vec![FieldError { field: String::new(), text }]
    })
}

fn value(field: &Field, filled: &Filled) -> Result<Option<Value>, String> {
    let Some(given) = filled.given(&field.name) else {
        return if field.needed { Err(format!("{}: this is needed.", field.label)) } else { Ok(None) };
    };
    read(field, given).map(Some)
}

fn read(field: &Field, given: &str) -> Result<Value, String> {
    let label = &field.label;
    match &field.what {
        What::Day => given
            .parse::<Day>()
            .map(|day| Value::String(day.to_string()))
            .map_err(|error| format!("{label}: {error}.")),
        What::Whole { .. } => whole(given)
            .map(|number| Value::Number(number.into()))
            .ok_or_else(|| format!("{label}: “{}” is not a whole number.", shorten(given))),
        What::Decimal { .. } => decimal(given, field.name == "stated_total")
            .ok_or_else(|| format!("{label}: “{}” is not a number.", shorten(given))),
        What::Choice(answers) if answers.iter().any(|(key, _)| *key == given) => Ok(chosen(given)),
        What::Choice(_) => Err(format!("{label}: “{}” is not one of the answers.", shorten(given))),
        _ => Ok(Value::String(given.to_owned())),
    }
}

fn shorten(text: &str) -> String {
    text.chars().take(40).collect()
}

/// A whole number; a true minus sign and a plus sign are read too.
#[must_use]
pub(crate) fn whole(text: &str) -> Option<i64> {
    text.replacen('−', "-", 1).parse().ok()
}

/// A number; a comma is read too. A score moves by half points and anything else is not one.
fn decimal(text: &str, is_score: bool) -> Option<Value> {
    let number: f64 = text.replacen(',', ".", 1).parse().ok().filter(|number: &f64| number.is_finite())?;
    if is_score && record::Halves::from_value(number).is_none_or(|score| score.0 > 12) {
        return None;
    }
    Number::from_f64(number).map(Value::Number)
}

/// An answer that is a number is a number, yes and no are true and false, the rest are words.
fn chosen(key: &str) -> Value {
    match key {
        "yes" => Value::Bool(true),
        "no" => Value::Bool(false),
        "0" | "1" | "2" | "3" => key.parse::<u8>().map_or(Value::Null, |number| Value::Number(number.into())),
        "0.5" => Number::from_f64(0.5).map_or(Value::Null, Value::Number),
        key => Value::String(key.to_owned()),
    }
}

fn place(json: &mut Map<String, Value>, path: &str, value: Value) {
    let Some((first, rest)) = path.split_once('.') else {
        json.insert(path.to_owned(), value);
        return;
    };
    let below = json.entry(first).or_insert_with(|| Value::Object(Map::new()));
    if let Value::Object(below) = below {
        place(below, rest, value);
    }
}

/// Turns `brace.right` and `brace.left` into the list of boots, right before left.
fn gather_boots(json: &mut Map<String, Value>) {
    let Some(Value::Object(brace)) = json.get_mut("brace") else { return };
    let mut boots = Vec::new();
    for side in Side::BOTH {
        if let Some(Value::Object(mut boot)) = brace.remove(side.word()) {
            boot.remove("boot");
            boot.insert("side".to_owned(), Value::String(side.word().to_owned()));
            boots.push(Value::Object(boot));
        }
    }
    if !boots.is_empty() {
        brace.insert("boots".to_owned(), Value::Array(boots));
    }
}

fn registration(filled: &Filled) -> Result<Registration, Vec<FieldError>> {
    let mut errors = Vec::new();
    let line = |name: &str| filled.given(name).map(str::to_owned);
    let about = Registration {
        family_name: line("family_name").unwrap_or_default(),
        given_name: line("given_name").unwrap_or_default(),
        numbers: numbers(filled),
        born: taken(filled, "born", &mut errors, |text| {
            text.parse().map_err(|error| format!("Day of birth: {error}."))
        }),
        sex: taken(filled, "sex", &mut errors, |text| {
            Sex::from_key(text).ok_or_else(|| format!("Sex: “{}” is not one of the answers.", shorten(text)))
        }),
        gestation_weeks: taken(filled, "gestation_weeks", &mut errors, small),
        birth_weight_g: taken(filled, "birth_weight_g", &mut errors, small),
        carers: carers(filled),
        address: line("address"),
    };
    if errors.is_empty() { Ok(about) } else { Err(errors) }
}

/// A field that may be empty; what cannot be read is an error of that field.
fn taken<T>(
    filled: &Filled,
    name: &str,
    errors: &mut Vec<FieldError>,
    read: impl Fn(&str) -> Result<T, String>,
) -> Option<T> {
    let read = read(filled.given(name)?);
    read.map_err(|text| errors.push(FieldError { field: name.to_owned(), text })).ok()
}

fn small<T: TryFrom<i64>>(text: &str) -> Result<T, String> {
    let number = whole(text).and_then(|number| T::try_from(number).ok());
    number.ok_or_else(|| format!("“{}” cannot be right: a whole number is expected.", shorten(text)))
}

/// The current number first, then the others.
fn numbers(filled: &Filled) -> Vec<String> {
    let others = filled.value("other_numbers").split(',').map(str::trim);
    let all = filled.given("number").into_iter().chain(others);
    all.filter(|number| !number.is_empty()).map(str::to_owned).collect()
}

/// Carers in order, those without any word left out.
fn carers(filled: &Filled) -> Vec<Carer> {
    // A form never shows more carers than were recorded plus one; fifty is a bound against nonsense.
    let carer = |n: usize| {
        let line = |what: &str| filled.given(&carer_name(n, what)).map(str::to_owned);
        let carer = Carer {
            name: line("name").unwrap_or_default(),
            relation: line("relation"),
            phone: line("phone"),
            language: line("language"),
        };
        Some(carer).filter(|carer| *carer != Carer::default())
    };
    (1..=50).filter_map(carer).collect()
}
