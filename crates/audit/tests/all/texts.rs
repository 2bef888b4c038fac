//! Definitions are complete, keys are unique, and the manual's table matches the program.

use audit::{Estimate, Figure, LossDefinition, Measure, MeasureKind};
use std::collections::BTreeSet;

#[test]
fn every_measure_has_a_complete_definition() {
    let mut keys = BTreeSet::new();
    for measure in Measure::ALL {
        let one = measure.definition();
        assert!(keys.insert(one.key), "{} twice", one.key);
        assert_eq!(Measure::of_key(one.key), Some(*measure));
        for text in [
            one.name,
            one.question,
            one.who,
            one.time_zero,
            one.event,
            one.censoring,
            one.competing,
            one.method,
            one.source,
        ] {
            assert!(!text.trim().is_empty(), "{}", one.key);
        }
        assert!(one.question.ends_with('?'), "{}", one.key);
        let timed = matches!(one.kind, MeasureKind::FreeOf | MeasureKind::Incidence);
        assert_eq!(timed, !one.horizons_days.is_empty(), "{}", one.key);
        assert_eq!(one.kind == MeasureKind::Incidence, !measure.causes().is_empty(), "{}", one.key);
        for published in measure.published() {
            assert!(!published.source.is_empty() && !published.of.is_empty(), "{}", one.key);
            assert!(published.range.is_none_or(|(low, high)| low <= high), "{published:?}");
        }
    }
    assert!(keys.len() >= 20);
}

/// Drop-out is never named without its definition.
#[test]
fn both_measures_of_drop_out_are_named_by_their_definition() {
    let measures = [Measure::DropOut, Measure::DropOutPublished];
    for (measure, definition) in measures.into_iter().zip(LossDefinition::ALL) {
        assert_eq!(measure.definition().name, format!("Drop-out, {}", definition.words()));
        assert!(measures.contains(&measure.other().unwrap()) && measure.other() != Some(measure));
    }
}

/// The table of definitions as the manual prints it.
fn table() -> String {
    let mut text = String::from(
        "| key | measure | unit | who is included | time zero | event | observed until | competing events |\n|---|---|---|---|---|---|---|---|\n",
    );
    for measure in Measure::ALL {
        let one = measure.definition();
        text.push_str(&format!(
            "| `{}` | {} | {} | {} | {} | {} | {} | {} |\n",
            one.key,
            one.name,
            one.unit.words(),
            one.who,
            one.time_zero,
            one.event,
            one.censoring,
            one.competing
        ));
    }
    text
}

/// `PRINT_DEFINITIONS=1` prints the table for the manual.
#[test]
fn the_manual_contains_the_definitions_of_the_program() {
    let table = table();
    if std::env::var_os("PRINT_DEFINITIONS").is_some() {
        println!("{table}");
    }
    let manual =
        std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/results.md")).unwrap();
    assert!(manual.contains(&table), "docs/results.md does not contain this table:\n{table}");
    assert!(
        manual.contains(audit::small::RULE),
        "docs/results.md does not contain the rule for small numbers"
    );
}

/// The figure and its estimate are one object, with the keys in this order.
#[test]
fn a_figure_is_one_flat_object_in_json() {
    let estimate = Estimate::new(0.5, Some((0.25, 0.75)));
    let figure = Figure { label: "share".to_owned(), estimate };
    let json = serde_json::to_string(&figure).unwrap();
    assert_eq!(json, r#"{"label":"share","value":0.5,"lower":0.25,"upper":0.75}"#);
    let figure = Figure { estimate: Estimate::new(1.0, None), ..figure };
    let json = serde_json::to_string(&figure).unwrap();
    assert_eq!(json, r#"{"label":"share","value":1.0,"lower":null,"upper":null}"#);
}
