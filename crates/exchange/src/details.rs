//! An entry written out in one cell as `kind; field: value; field: value`, whole, for what the plain
//! columns of a sheet cannot carry: settings of a brace, spans of wear, contacts, further carers.
//!
//! A person can read it and mend it. Fields within fields are joined by points and numbered from 1
//! (`brace.boots.1.side`); a text that could be taken for something else is written in double quotes.

use record::{Body, Kind, quoted};
use serde_json::{Map, Number, Value};

/// The deepest a field may lie; the record has three levels.
const DEEPEST: usize = 6;

/// The cell for an entry.
pub(crate) fn write(body: &Body) -> Option<String> {
    let value: Value = serde_json::from_str(&body.to_json().ok()?).ok()?;
    let mut out = body.kind().wire().to_owned();
    put(&value, "", &mut out);
    Some(out)
}

fn put(value: &Value, path: &str, out: &mut String) {
    let below = |name: &str| if path.is_empty() { name.to_owned() } else { format!("{path}.{name}") };
    match value {
        Value::Object(fields) => fields.iter().for_each(|(name, value)| put(value, &below(name), out)),
        Value::Array(items) => {
            (1..).zip(items).for_each(|(at, value)| put(value, &below(&format!("{at}")), out));
        }
        Value::Null => {}
        plain => out.push_str(&format!("; {path}: {}", words(plain))),
    }
}

fn words(value: &Value) -> String {
    match value {
        Value::Bool(true) => "yes".to_owned(),
        Value::Bool(false) => "no".to_owned(),
        Value::String(text) if is_plain(text) => text.clone(),
        other => other.to_string(),
    }
}

/// Whether a text is read back as itself without quotation marks.
fn is_plain(text: &str) -> bool {
    let clear = !text.is_empty() && text.trim() == text && !text.contains([';', '"', '\\', '\n', '\r', '\t']);
    clear && matches!(scalar(text), Ok(Value::String(_)))
}

/// The entry in a cell.
///
/// # Errors
/// One sentence that says what cannot be read.
pub(crate) fn read(text: &str) -> Result<Body, String> {
    let mut parts = split(text)?.into_iter();
    let name = parts.next().unwrap_or_default();
    let kind = Kind::from_wire(name.trim())
        .filter(|kind| !kind.spec().amends)
        .ok_or_else(|| format!("“{}” is no kind of entry.", quoted(name)))?;
    let mut root = Value::Object(Map::new());
    for part in parts.filter(|part| !part.trim().is_empty()) {
        let (path, value) = part
            .split_once(':')
            .ok_or_else(|| format!("“{}” has no colon after its field.", quoted(part)))?;
        let path: Vec<&str> = path.trim().split('.').collect();
        set(&mut root, &path, scalar(value.trim())?).ok_or_else(|| {
            format!("The field “{}” is there twice, or not in its order.", quoted(&path.join(".")))
        })?;
    }
    Body::from_value(kind, root).map_err(|error| format!("{}: {error}.", kind.words()))
}

/// Split at semicolons outside quotation marks.
fn split(text: &str) -> Result<Vec<&str>, String> {
    let (mut out, mut from, mut quoted, mut escaped) = (Vec::new(), 0, false, false);
    for (at, c) in text.char_indices() {
        match c {
            _ if escaped => escaped = false,
            '\\' if quoted => escaped = true,
            '"' => quoted = !quoted,
            ';' if !quoted => {
                out.extend(text.get(from..at));
                from = at + 1;
            }
            _ => {}
        }
    }
    if quoted {
        return Err("A quotation mark does not close.".to_owned());
    }
    out.extend(text.get(from..));
    Ok(out)
}

fn scalar(text: &str) -> Result<Value, String> {
    if text.starts_with('"') {
        let quoted: Result<String, _> = serde_json::from_str(text);
        return quoted.map(Value::String).map_err(|_| format!("{text} is not closed as it was opened."));
    }
    Ok(match text {
        "yes" => Value::Bool(true),
        "no" => Value::Bool(false),
        _ => match serde_json::from_str::<Number>(text) {
            Ok(number) => Value::Number(number),
            Err(_) => Value::String(text.to_owned()),
        },
    })
}

/// Puts a value at its place; `None` where there is something already or the numbers leave a gap.
fn set(at: &mut Value, path: &[&str], value: Value) -> Option<()> {
    let (first, rest) = path.split_first().filter(|_| path.len() <= DEEPEST)?;
    if at.is_null() {
        let list = first.bytes().all(|b| b.is_ascii_digit());
        *at = if list { Value::Array(Vec::new()) } else { Value::Object(Map::new()) };
    }
    let slot = match at {
        Value::Object(fields) => fields.entry(*first).or_insert(Value::Null),
        Value::Array(items) => {
            let index = first.parse::<usize>().ok()?.checked_sub(1)?;
            if index == items.len() {
                items.push(Value::Null);
            }
            items.get_mut(index)?
        }
        _ => return None,
    };
    if !rest.is_empty() {
        return set(slot, rest, value);
    }
    if !slot.is_null() {
        return None;
    }
    *slot = value;
    Some(())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use record::{Boot, Brace, BraceFitted, ContactAttempt, ContactWay, Side};

    #[test]
    fn an_entry_reads_as_words_and_comes_back_whole() {
        let boot = Boot { abduction_deg: Some(60), length_mm: Some(90), ..Boot::of(Side::Left) };
        let brace = Brace {
            boots: vec![boot],
            bar_mm: Some(220),
            label: Some("blue; \"B\"".to_owned()),
            ..Brace::default()
        };
        let body: Body = BraceFitted { brace, ..BraceFitted::default() }.into();
        let text = write(&body).unwrap();
        assert!(
            text.starts_with("brace_fitted; brace.bar_mm: 220; brace.boots.1.abduction_deg: 60; "),
            "{text}"
        );
        assert_eq!(read(&text).unwrap(), body);
    }

    #[test]
    fn texts_that_look_like_something_else_stay_texts() {
        for note in ["yes", "no", "12", "1e5", " a", "a: b", "\"", "", "; ;", "line\nbreak", "\\", "ناظر; 5"]
        {
            let body: Body = ContactAttempt {
                way: ContactWay::Phone,
                reached: false,
                whom: None,
                note: Some(note.to_owned()),
            }
            .into();
            let text = write(&body).unwrap();
            assert_eq!(read(&text).unwrap(), body, "{text}");
        }
    }

    #[test]
    fn what_is_no_entry_is_refused_in_words() {
        for (text, said) in [
            ("", "“” is no kind"),
            ("party", "“party” is no kind"),
            ("correction; reason: x", "“correction” is no kind"),
            ("note; text", "no colon"),
            ("note; text: \"x", "does not close"),
            ("note; text: a; text: b", "there twice"),
            ("note; text.x: a; text.1: b", "note:"),
            ("brace_fitted; brace.boots.2.side: left", "not in its order"),
            ("note; colour: blue; text: a", "unknown field"),
        ] {
            let error = read(text).unwrap_err();
            assert!(error.contains(said), "{text}: {error}");
        }
    }

    proptest::proptest! {
        #[test]
        fn no_text_makes_it_fail_otherwise(text in ".{0,80}", path in "[a-z.0-9]{0,12}") {
            let _ = read(&text);
            let _ = read(&format!("brace_fitted; {path}: {text}"));
        }
    }
}
