//! A form filled from an entry reads back as that entry: a correction must lose nothing.

use crate::{examples::full_entry, golden};
use record::*;
use std::collections::{BTreeMap, BTreeSet};

fn read(kind: Kind, values: &BTreeMap<String, String>) -> Result<Body, Vec<FieldFault>> {
    let given = |name: &str| values.get(name).filter(|value| !value.is_empty()).cloned();
    Body::from_values(kind, &given)
}

fn pairs(pairs: &[(&str, &str)]) -> BTreeMap<String, String> {
    pairs.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())).collect()
}

fn kinds() -> impl Iterator<Item = Kind> {
    Kind::ALL.iter().copied().filter(|kind| !kind.spec().amends)
}

#[test]
fn every_kind_filled_to_the_brim_or_barely_reads_back_as_it_was() {
    for kind in kinds() {
        for Entry { body, .. } in golden::latest(kind) {
            let back = read(kind, &body.values()).unwrap_or_else(|faults| panic!("{kind:?}: {faults:?}"));
            assert_eq!(back, body, "{kind:?}");
        }
    }
}

#[test]
fn every_value_has_a_field_to_stand_in_and_every_field_a_label() {
    for kind in kinds() {
        let fields = kind.form_fields(1);
        let names: BTreeSet<&str> = fields.iter().map(|field| field.name.as_str()).collect();
        assert_eq!(names.len(), fields.len(), "{kind:?}");
        assert!(fields.iter().all(|field| !field.label.trim().is_empty()), "{kind:?}");
        for name in golden::latest(kind)[0].body.values().keys() {
            assert!(names.contains(name.as_str()), "{kind:?}: {name} has no field");
        }
    }
}

/// What a full example says in one line holds the words of every answer in it.
#[test]
fn every_kind_has_a_sentence() {
    for &kind in Kind::ALL {
        let sentence = golden::latest(kind)[0].body.sentence();
        assert!(sentence.chars().count() > kind.words().len(), "{kind:?}: {sentence}");
    }
    assert_eq!(
        full_entry(Kind::ContactAttempt).body.sentence(),
        "Contact attempt: home visit, was the family reached? yes, grandmother, will come on Tuesday"
    );
}

#[test]
fn values_stand_under_their_paths() {
    let seen = r#"{"side":"left","pirani":{"talar_head":0.5,"empty_heel":1.0},"stated_total":4.0,
        "dimeglio":{"equinus":{"deg":-10},"cavus":true},"dorsiflexion_deg":-15}"#;
    let expected = [
        ("dimeglio.cavus", "yes"),
        ("dimeglio.equinus.deg", "-10"),
        ("dorsiflexion_deg", "-15"),
        ("pirani.empty_heel", "1"),
        ("pirani.talar_head", "0.5"),
        ("side", "left"),
        ("stated_total", "4"),
    ];
    assert_eq!(Body::from_json(Kind::Assessment, seen).unwrap().values(), pairs(&expected));
}

#[test]
fn boots_are_told_apart_by_their_side() {
    let fitted = r#"{"brace":{"boots":[{"side":"right","abduction_deg":70},{"side":"left"}],"bar_mm":210},
        "regime":"full_time"}"#;
    let expected = [
        ("brace.bar_mm", "210"),
        ("brace.left.boot", "yes"),
        ("brace.right.abduction_deg", "70"),
        ("brace.right.boot", "yes"),
        ("regime", "full_time"),
    ];
    assert_eq!(Body::from_json(Kind::BraceFitted, fitted).unwrap().values(), pairs(&expected));
}

#[test]
fn carers_and_numbers_stand_in_fields_of_their_own() {
    let about = r#"{"family_name":"","given_name":"Ada","numbers":["1","2","3"],
        "carers":[{"name":"Grace"},{"name":"Peter","relation":"uncle"}]}"#;
    let body = Body::from_json(Kind::Registration, about).unwrap();
    let values = body.values();
    let shown = ["number", "other_numbers", "carer_name", "carer_2_name", "carer_2_relation"];
    assert_eq!(shown.map(|name| values[name].as_str()), ["1", "2, 3", "Grace", "Peter", "uncle"]);
    assert_eq!(read(Kind::Registration, &values).unwrap(), body);
}
