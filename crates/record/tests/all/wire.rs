//! What the wire form refuses, and with which sentence.

use crate::{
    examples::{entry, full_entry, minimal},
    golden::lines,
};
use record::{entry::VERSION, *};
use rstest::rstest;
use serde_json::{Value, json};

fn changed(kind: Kind, change: impl Fn(&mut Value)) -> String {
    let mut value: Value = serde_json::from_str(&lines(kind)[0]).unwrap();
    change(&mut value);
    value.to_string()
}

fn refused(text: &str) -> String {
    Entry::from_json(text).expect_err(text).to_string()
}

#[test]
fn an_unknown_field_is_refused_by_name_not_dropped() {
    for &kind in Kind::ALL {
        let outside = refused(&changed(kind, |entry| entry["surprise"] = json!(1)));
        let inside = refused(&changed(kind, |entry| entry["body"]["surprise"] = json!(1)));
        for sentence in [outside, inside] {
            assert!(sentence.starts_with("this entry cannot be read: "), "{sentence}");
            assert!(sentence.contains("unknown field `surprise`"), "{sentence}");
        }
    }
}

#[rstest]
#[case::pirani("pirani")]
#[case::dimeglio("dimeglio")]
#[case::walking("walking")]
fn an_unknown_sign_is_refused(#[case] score: &str) {
    let text = changed(Kind::Assessment, |entry| entry["body"][score]["surprise"] = json!(1));
    assert!(refused(&text).contains("unknown field `surprise`"));
}

#[test]
fn a_later_version_is_refused_with_its_sentence() {
    for &kind in Kind::ALL {
        let next = VERSION + 1;
        let text = changed(kind, |entry| entry["v"] = json!(next));
        assert!(matches!(Entry::from_json(&text), Err(WireError::Newer(v)) if v == next));
        let expected = format!(
            "this entry has version {next}; this program reads up to version {VERSION}: update the program"
        );
        assert_eq!(refused(&text), expected);
    }
}

#[rstest]
#[case::of_another_shape(r#"{"v":99,"who":{"child":1},"kind":7,"body":[]}"#, "version 99")]
#[case::of_an_unknown_kind(r#"{"v":99,"kind":"foot_printed","body":{}}"#, "version 99")]
#[case::written_last(r#"{"kind":"note","body":{"words":"x"},"v":98}"#, "version 98")]
#[case::enormous(r#"{"v":18446744073709551615}"#, "version 65535")]
fn a_later_version_is_known_by_its_number_alone(#[case] text: &str, #[case] sentence: &str) {
    assert!(refused(text).contains(sentence), "{}", refused(text));
}

#[test]
fn there_is_no_version_nought() {
    let text = changed(Kind::Note, |entry| entry["v"] = json!(0));
    assert_eq!(refused(&text), "this entry cannot be read: there is no version 0");
}

#[test]
fn an_unknown_kind_is_refused_with_its_name() {
    let text = changed(Kind::Note, |entry| entry["kind"] = json!("foot_printed"));
    assert_eq!(refused(&text), "“foot_printed” is not a kind of entry this program knows");
}

#[test]
fn the_order_of_the_keys_does_not_matter() {
    for &kind in Kind::ALL {
        let entry = full_entry(kind);
        // A JSON value sorts its keys, so that the body comes before the kind.
        let sorted = serde_json::from_str::<Value>(&entry.to_json().unwrap()).unwrap().to_string();
        assert!(sorted.find("\"body\"") < sorted.find("\"kind\""));
        assert_eq!(Entry::from_json(&sorted).unwrap(), entry);
    }
}

#[test]
fn a_key_written_twice_is_refused() {
    let line = entry(minimal(Kind::Note)).to_json().unwrap();
    for key in ["v", "id", "child", "kind", "body", "on", "at", "by", "site"] {
        let value: Value = serde_json::from_str(&line).unwrap();
        let twice = format!("{},\"{key}\":{}}}", line.strip_suffix('}').unwrap(), value[key]);
        assert!(refused(&twice).contains(&format!("duplicate field `{key}`")), "{}", refused(&twice));
    }
}

#[rstest]
#[case::seven_tenths(json!(0.7))]
#[case::two(json!(2))]
#[case::below_nought(json!(-0.5))]
#[case::nearly_half(json!(0.500_000_000_1))]
#[case::as_text(json!("0.5"))]
#[case::yes(json!(true))]
fn an_answer_that_is_none_of_the_three_is_refused(#[case] answer: Value) {
    let text = changed(Kind::Assessment, |entry| entry["body"]["pirani"]["empty_heel"] = answer.clone());
    assert!(Entry::from_json(&text).is_err(), "{text}");
}

#[rstest]
#[case(json!(0), HalfPoint::Zero)]
#[case(json!(0.5), HalfPoint::Half)]
#[case(json!(1), HalfPoint::One)]
#[case(json!(1.0), HalfPoint::One)]
fn the_three_answers_are_read(#[case] answer: Value, #[case] point: HalfPoint) {
    assert_eq!(serde_json::from_value::<HalfPoint>(answer).unwrap(), point);
}

#[test]
fn a_score_on_the_wire_is_the_score_itself() {
    assert_eq!(serde_json::to_string(&Halves(9)).unwrap(), "4.5");
    assert_eq!(serde_json::from_str::<Halves>("6").unwrap(), Halves(12));
    for wrong in ["4.7", "-0.5", "128", "1e300", "null", "\"4.5\""] {
        assert!(serde_json::from_str::<Halves>(wrong).is_err(), "{wrong}");
    }
}

fn logged(hours: f64) -> Entry {
    let (from, to) = (Day::FIRST, Day::FIRST);
    entry(WearLogged { from, to, hours_per_day: hours, days_judged: 1, logger: None })
}

fn reported(hours: f64) -> Entry {
    let (from, to) = (Day::FIRST, Day::FIRST);
    entry(WearReported { from, to, hours_per_day: hours, days_without: None, reason: None })
}

#[rstest]
#[case(f64::NAN)]
#[case(f64::INFINITY)]
#[case(f64::NEG_INFINITY)]
fn hours_that_are_no_number_are_refused_and_cannot_be_written(#[case] hours: f64) {
    for entry in [logged(hours), reported(hours)] {
        assert_eq!(
            entry.refusal().expect("a refusal").text,
            "hours of wear a day without a number cannot be right: 0 to 24 h is expected. A day has 24 hours."
        );
        let error = entry.to_json().expect_err("would be written as null").to_string();
        assert_eq!(error, "this entry cannot be written: a value is not a number");
    }
}

#[rstest]
#[case("null")]
#[case("1e999")]
#[case("NaN")]
#[case("\"12\"")]
fn hours_that_are_no_number_cannot_be_read(#[case] hours: &str) {
    let line = logged(12.25).to_json().unwrap();
    assert!(Entry::from_json(&line).is_ok());
    let wrong = line.replace("12.25", hours);
    assert!(wrong != line && Entry::from_json(&wrong).is_err());
}

#[test]
fn a_correction_keeps_its_numbers_through_every_way_of_reading() {
    let inner = logged(7.1).body;
    let reason = "r".to_owned();
    let whole =
        entry(Correction { entry: entry(minimal(Kind::Note)).id, body: Box::new(inner), on: None, reason });
    let line = whole.to_json().unwrap();
    assert!(line.contains(r#""body":{"kind":"wear_logged","body":{"from""#), "{line}");
    let value = serde_json::to_value(&whole.body).unwrap();
    assert_eq!(serde_json::from_value::<Body>(value).unwrap(), whole.body);
    assert_eq!(Entry::from_json(&line).unwrap(), whole);
}

#[test]
fn nothing_read_can_bring_the_program_down() {
    let deep = |count| {
        let mut body = minimal(Kind::Note);
        for _ in 0..count {
            let entry = entry(minimal(Kind::Note)).id;
            body = Correction { entry, body: Box::new(body), on: None, reason: "r".into() }.into();
        }
        entry(body).to_json().unwrap()
    };
    assert!(Entry::from_json(&deep(60)).unwrap().refusal().is_some());
    assert!(refused(&deep(200)).contains("recursion limit"));
    for text in ["", "null", "[]", "{}", "{\"v\":1}", "\u{0}", "{\"v\":-1}", "💥", &"[".repeat(100_000)] {
        assert!(Entry::from_json(text).is_err());
    }
}
