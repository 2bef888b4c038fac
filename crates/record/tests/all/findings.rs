//! What an entry is refused or questioned for by itself: here what holds for every kind, below kind by kind.

mod amended;
mod family_answers;
mod media;
mod registered;
mod scored;
mod sides;

use crate::{
    examples::{day, entry, full, full_entry, minimal},
    golden::latest,
};
use record::{bounds::NOTE_CHARS, *};
use rstest::rstest;
use serde_json::{Value, json};

fn only_refusal(body: impl Into<Body>) -> (&'static str, String) {
    let findings = entry(body).findings();
    assert_eq!(findings.len(), 1, "{findings:?}");
    assert_eq!(findings[0].severity, Severity::Refuse, "{findings:?}");
    (findings[0].field, findings[0].text.clone())
}

fn named(given_name: String) -> Registration {
    Registration { given_name, ..Registration::default() }
}

#[test]
fn the_examples_are_not_refused() {
    for &kind in Kind::ALL {
        assert_eq!(full_entry(kind).refusal(), None);
        assert_eq!(entry(minimal(kind)).findings(), [], "{}", kind.wire());
    }
}

/// Every free text of every kind, found from the wire form: at the limit it passes, one character more
/// is refused under its own field. A list of answers, a day or an id is no free text.
#[test]
fn no_free_text_is_without_a_limit() {
    let mut texts = 0;
    for &kind in Kind::ALL {
        let whole = serde_json::to_value(&latest(kind)[0].body).unwrap()["body"].clone();
        for (key, value) in whole.as_object().unwrap() {
            let Some(text) = value.as_str() else { continue };
            if with(kind, &whole, key, &format!("{text}x")).is_none() {
                continue; // not a free text: it cannot even be read
            }
            texts += 1;
            let too_long = with(kind, &whole, key, &"x".repeat(NOTE_CHARS + 1)).unwrap();
            let refusal = entry(too_long).refusal().unwrap_or_else(|| panic!("{} {key}", kind.wire()));
            assert!(refusal.text.contains("at most"), "{}", refusal.text);
            assert_eq!(refusal.field, key, "{}", kind.wire());
        }
    }
    let is_text = |spec: &&FieldSpec| {
        matches!(spec.takes, FieldType::Line | FieldType::Long | FieldType::Phone | FieldType::Time)
    };
    let declared = Kind::ALL.iter().flat_map(|kind| kind.spec().fields).filter(is_text).count();
    assert!(declared >= 38, "{declared}");
    assert_eq!(texts, declared);
}

fn with(kind: Kind, whole: &Value, key: &str, text: &str) -> Option<Body> {
    let mut changed = whole.clone();
    changed[key] = json!(text);
    Body::from_value(kind, changed).ok()
}

#[test]
fn a_note_of_20001_characters_is_refused() {
    assert_eq!(entry(Note { text: "x".repeat(20_000) }).findings(), []);
    let (field, text) = only_refusal(Note { text: "x".repeat(20_001) });
    assert_eq!(field, "text");
    assert_eq!(
        text,
        "This text has 20001 characters; at most 20000 are allowed. Shorten it, or split it into several notes."
    );
    let (_, text) = only_refusal(Note { text: "x".repeat(1_000_000) });
    assert!(text.starts_with("This text has 1000000 characters"));
}

/// One out-of-bounds value at a time, and the field it is found under.
#[rstest]
#[case(Kind::Assessment, "abduction_deg", json!(91))]
#[case(Kind::Assessment, "dorsiflexion_deg", json!(-91))]
#[case(Kind::Assessment, "foot_length_mm", json!(49))]
#[case(Kind::CastApplied, "number", json!(0))]
#[case(Kind::CastApplied, "abduction_deg", json!(-61))]
#[case(Kind::CastApplied, "dorsiflexion_deg", json!(61))]
#[case(Kind::TenotomyDone, "dorsiflexion_after_deg", json!(61))]
#[case(Kind::BraceFitted, "hours_prescribed", json!(25))]
#[case(Kind::BraceChanged, "hours_prescribed", json!(25))]
#[case(Kind::WearReported, "hours_per_day", json!(24.1))]
#[case(Kind::WearReported, "days_without", json!(29))]
#[case(Kind::WearLogged, "hours_per_day", json!(-0.1))]
#[case(Kind::WearLogged, "days_judged", json!(29))]
#[case(Kind::WearLogged, "days_judged", json!(0))]
#[case(Kind::Registration, "gestation_weeks", json!(21))]
#[case(Kind::Registration, "birth_weight_g", json!(299))]
fn a_value_out_of_bounds_is_refused(#[case] kind: Kind, #[case] field: &str, #[case] value: Value) {
    let mut body = serde_json::to_value(full(kind)).unwrap()["body"].clone();
    body[field] = value;
    let (found, _) = only_refusal(Body::from_value(kind, body).unwrap());
    assert_eq!(found, field);
}

#[test]
fn an_appointment_before_it_was_made_is_questioned() {
    let made = |text| entry(AppointmentMade { for_day: day(text), time: None, purpose: None }).findings();
    assert_eq!(made("2024-07-30"), []);
    assert_eq!(made("2024-07-29")[0].severity, Severity::Ask);
}

#[test]
fn two_boots_for_one_foot_are_refused() {
    let Body::BraceFitted(mut body) = full(Kind::BraceFitted) else { panic!("a brace") };
    body.brace.boots[1].side = Side::Right;
    let (field, text) = only_refusal(body);
    assert_eq!((field, text.as_str()), ("boots", "Two boots are recorded for the right foot."));
}

#[test]
fn a_span_the_wrong_way_round_is_refused_once() {
    let (from, to) = (day("2024-07-02"), day("2024-07-01"));
    let body = WearReported { from, to, hours_per_day: 20.0, days_without: Some(0), reason: None };
    assert_eq!(only_refusal(body), ("to", "The last day lies before the first.".to_owned()));
}
