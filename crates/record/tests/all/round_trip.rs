//! Whatever is written is read back the same, for every kind.

use crate::strategies;
use proptest::{prelude::*, strategy::ValueTree, test_runner::TestRunner};
use record::*;
use std::collections::BTreeSet;

proptest! {
    #![proptest_config(ProptestConfig { cases: 2_000, ..ProptestConfig::default() })]

    #[test]
    fn an_entry_is_read_back_as_it_was_written(entry in strategies::entry()) {
        let line = entry.to_json().unwrap();
        prop_assert!(!line.contains('\n'));
        let read = Entry::from_json(&line).unwrap();
        prop_assert_eq!(&read, &entry);
        prop_assert_eq!(read.to_json().unwrap(), line);
    }

    #[test]
    fn a_body_is_read_back_by_every_way_of_reading(body in strategies::body()) {
        let json = body.to_json().unwrap();
        prop_assert_eq!(&Body::from_json(body.kind(), &json).unwrap(), &body);
        let value: serde_json::Value = serde_json::from_str(&json).unwrap();
        prop_assert_eq!(&Body::from_value(body.kind(), value).unwrap(), &body);
        let tagged = serde_json::to_string(&body).unwrap();
        prop_assert_eq!(&serde_json::from_str::<Body>(&tagged).unwrap(), &body);
        let value = serde_json::to_value(&body).unwrap();
        prop_assert_eq!(&serde_json::from_value::<Body>(value).unwrap(), &body);
    }

    /// Findings are worst first, and judging never fails whatever the values are.
    #[test]
    fn any_entry_can_be_judged(entry in strategies::entry()) {
        let findings = entry.findings();
        prop_assert!(findings.windows(2).all(|pair| pair[0].severity >= pair[1].severity));
        let refused = findings.iter().any(|finding| finding.severity == Severity::Refuse);
        prop_assert_eq!(entry.refusal().is_some(), refused);
        prop_assert!(findings.iter().all(|finding| !finding.field.is_empty() && !finding.text.is_empty()));
    }

    /// One byte changed somewhere: read as something else or refused with a sentence, never a crash.
    #[test]
    fn a_damaged_line_brings_nothing_down(
        entry in strategies::entry(),
        place in any::<prop::sample::Index>(),
        byte in 0..128_u8,
    ) {
        let mut bytes = entry.to_json().unwrap().into_bytes();
        let place = place.index(bytes.len());
        bytes[place] = byte;
        if let Err(error) = Entry::from_json(&String::from_utf8_lossy(&bytes)) {
            prop_assert!(!error.to_string().is_empty());
        }
    }
}

/// The checks above say "every kind": 2,000 draws from the same strategy must in fact hold every kind.
#[test]
fn the_strategy_holds_every_kind() {
    let mut runner = TestRunner::deterministic();
    let kinds: BTreeSet<Kind> =
        (0..2_000).map(|_| strategies::body().new_tree(&mut runner).unwrap().current().kind()).collect();
    assert_eq!(kinds, Kind::ALL.iter().copied().collect());
}
