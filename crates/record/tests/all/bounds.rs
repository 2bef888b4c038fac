//! Every bound at its edges, one step either side, with the words.

use record::{
    Bound, Finding, Severity,
    bounds::{self, LINE_CHARS, NOTE_CHARS, judge_text, number_words},
};
use rstest::rstest;

fn verdict(bound: &Bound, value: f64) -> Option<Severity> {
    bound.judge("field", value).map(|finding| finding.severity)
}

/// A bound, its step, the possible range and the usual one.
type Row = (&'static Bound, f64, (f64, f64), (f64, f64));

/// Bounds as stated in the design or judged here (common practice, no source, unless the bound's own
/// sentence names one): refused outside the first pair, questioned outside the second. One step is one
/// unit, half a point for a Pirani total, a tenth of an hour for wear.
const TABLE: [Row; 22] = [
    (&bounds::ABDUCTION, 1.0, (-60.0, 90.0), (-40.0, 80.0)),
    (&bounds::DORSIFLEXION, 1.0, (-90.0, 60.0), (-80.0, 60.0)),
    (&bounds::DIMEGLIO_ANGLE, 1.0, (-60.0, 110.0), (-45.0, 90.0)),
    (&bounds::FOOT_LENGTH, 1.0, (50.0, 260.0), (60.0, 220.0)),
    (&bounds::BAR_LENGTH, 1.0, (100.0, 450.0), (150.0, 350.0)),
    (&bounds::SHOULDER_WIDTH, 1.0, (80.0, 400.0), (100.0, 330.0)),
    (&bounds::BAR_ANGLE, 1.0, (0.0, 90.0), (20.0, 75.0)),
    (&bounds::BAR_BEND, 1.0, (-5.0, 30.0), (0.0, 20.0)),
    (&bounds::WEAR_HOURS, 0.1, (0.0, 24.0), (0.0, 24.0)),
    (&bounds::GESTATION, 1.0, (22.0, 44.0), (24.0, 42.0)),
    (&bounds::BIRTH_WEIGHT, 1.0, (300.0, 7000.0), (500.0, 5500.0)),
    (&bounds::WEIGHT, 1.0, (500.0, 60000.0), (500.0, 60000.0)),
    (&bounds::CAST_NUMBER, 1.0, (1.0, 40.0), (1.0, 15.0)),
    (&bounds::PIRANI_TOTAL, 0.5, (0.0, 6.0), (0.0, 6.0)),
    (&bounds::DIMEGLIO_TOTAL, 1.0, (0.0, 20.0), (0.0, 20.0)),
    (&bounds::WALKING_ITEM, 1.0, (0.0, 3.0), (0.0, 3.0)),
    (&bounds::ANGLE_POINTS, 1.0, (0.0, 4.0), (0.0, 4.0)),
    (&bounds::PHOTOGRAPH_ANGLE, 1.0, (-180.0, 180.0), (-90.0, 90.0)),
    (&bounds::PHOTOGRAPH_ANGLE_ERROR, 1.0, (0.0, 45.0), (0.0, 15.0)),
    (&bounds::PHOTOGRAPH_LENGTH, 1.0, (30.0, 300.0), (55.0, 220.0)),
    (&bounds::PHOTOGRAPH_LENGTH_ERROR, 1.0, (0.0, 10.0), (0.0, 5.0)),
    (&bounds::PHOTOGRAPH_POINT_ERROR, 1.0, (0.0, 20.0), (0.0, 5.0)),
];

#[test]
fn every_bound_is_in_the_table() {
    let listed: Vec<_> = TABLE.iter().map(|(bound, ..)| bound.name).collect();
    let all: Vec<_> = bounds::ALL.iter().map(|bound| bound.name).collect();
    assert_eq!(listed, all);
}

#[test]
fn outside_the_possible_is_refused_and_its_edge_is_not() {
    for (bound, step, (low, high), _) in TABLE {
        for (edge, outwards) in [(low, -step), (high, step)] {
            let name = bound.name;
            assert_eq!(verdict(bound, edge + outwards), Some(Severity::Refuse), "{name}");
            assert_ne!(verdict(bound, edge), Some(Severity::Refuse), "{name}");
            assert_ne!(verdict(bound, edge - outwards), Some(Severity::Refuse), "{name}");
        }
    }
}

#[test]
fn outside_the_usual_is_questioned_and_its_edge_is_not() {
    for (bound, step, possible, usual) in TABLE {
        for (edge, outer, outwards) in [(usual.0, possible.0, -step), (usual.1, possible.1, step)] {
            let expected = if edge == outer { Severity::Refuse } else { Severity::Ask };
            assert_eq!(verdict(bound, edge + outwards), Some(expected), "{}", bound.name);
            assert_eq!(verdict(bound, edge), None, "{}", bound.name);
            assert_eq!(verdict(bound, edge - outwards), None, "{}", bound.name);
        }
    }
}

#[rstest]
#[case(&bounds::DORSIFLEXION, 75.0, "dorsiflexion 75° cannot be right: −90 to 60° is expected. ")]
#[case(&bounds::DORSIFLEXION, -91.0, "dorsiflexion −91° cannot be right: −90 to 60° is expected. ")]
#[case(&bounds::DORSIFLEXION, -81.0, "dorsiflexion −81° is unusual: −80 to 60° is expected. ")]
#[case(&bounds::FOOT_LENGTH, 27.0, "foot length 27 mm cannot be right: 50 to 260 mm is expected. ")]
#[case(&bounds::WEAR_HOURS, 24.25, "hours of wear a day 24.25 h cannot be right: 0 to 24 h is expected. ")]
#[case(&bounds::CAST_NUMBER, 0.0, "cast number 0 cannot be right: 1 to 40 is expected. ")]
#[case(&bounds::PIRANI_TOTAL, 6.5, "Pirani total 6.5 cannot be right: 0 to 6 is expected. ")]
#[case(&bounds::GESTATION, 43.0, "gestation 43 weeks is unusual: 24 to 42 weeks is expected. ")]
#[case(&bounds::WALKING_ITEM, 4.0, "walking-age item 4 points cannot be right: 0 to 3 points is expected. ")]
fn the_sentence(#[case] bound: &Bound, #[case] value: f64, #[case] start: &str) {
    let Finding { text, field, .. } = bound.judge("field", value).expect("a finding");
    assert_eq!(text, format!("{start}{}", bound.why));
    assert_eq!(field, "field");
}

#[test]
fn a_value_that_is_no_number_is_refused_by_every_bound() {
    for bound in bounds::ALL {
        for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            let finding = bound.judge("field", value).expect("a finding");
            assert_eq!(finding.severity, Severity::Refuse);
            assert!(finding.text.starts_with(&format!("{} without a number cannot", bound.name)));
        }
    }
}

#[rstest]
#[case(0.0, "0")]
#[case(-0.0, "0")]
#[case(-27.0, "−27")]
#[case(7.25, "7.25")]
#[case(0.1 + 0.2, "0.30000000000000004")] // in full: rounded, 24.001 would read "24 cannot be right"
#[case(1e15, "1e15")]
#[case(-1e300, "−1e300")]
fn numbers_in_sentences(#[case] value: f64, #[case] words: &str) {
    assert_eq!(number_words(value), words);
}

#[rstest]
#[case(LINE_CHARS, 500)]
#[case(NOTE_CHARS, 20_000)]
fn a_text_one_character_too_long_is_refused(#[case] limit: usize, #[case] chars: usize) {
    assert_eq!(limit, chars);
    // Characters are counted, not bytes: "é" takes two bytes, "😀" four.
    for letter in ["x", "é", "😀"] {
        assert_eq!(judge_text("field", &letter.repeat(limit - 1), limit), None);
        assert_eq!(judge_text("field", &letter.repeat(limit), limit), None);
        let finding = judge_text("field", &letter.repeat(limit + 1), limit).expect("a refusal");
        assert_eq!(finding.severity, Severity::Refuse);
        let start =
            format!("This text has {} characters; at most {limit} are allowed. Shorten it", limit + 1);
        assert!(finding.text.starts_with(&start), "{}", finding.text);
    }
}
