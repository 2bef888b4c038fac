//! Scores and measurements of a foot.

use super::only_refusal;
use crate::examples::{entry, full};
use record::*;
use rstest::rstest;
use serde_json::{Value, json};

#[test]
fn a_second_score_without_a_sign_is_refused_and_its_angles_are_judged() {
    let (field, text) = only_refusal(SecondScore::of(Side::Left));
    assert_eq!((field, text.as_str()), ("pirani", "No sign was scored."));
    let mut wild = SecondScore::of(Side::Left);
    wild.dimeglio.set_angle(AngleItem::Equinus, Some(Angle::Points(5)));
    assert_eq!(only_refusal(wild).0, "equinus");
}

#[test]
fn an_assessment_without_a_measurement_is_refused() {
    let (field, text) = only_refusal(Assessment::of(Side::Left));
    assert_eq!((field, text.as_str()), ("pirani", "Nothing was measured."));
    let noted = Assessment { note: Some("asleep, not disturbed".into()), ..Assessment::of(Side::Left) };
    assert_eq!(entry(noted).findings(), []);
    let (field, text) = only_refusal(Screening::default());
    assert_eq!((field, text.as_str()), ("hips", "Nothing was examined."));
}

fn scored(change: impl FnOnce(&mut Assessment)) -> Vec<Finding> {
    let Body::Assessment(mut body) = full(Kind::Assessment) else { panic!("an assessment") };
    change(&mut body);
    entry(body).findings()
}

/// The full example's signs: 0 + 0.5 + 1 + 1 + 1 + 0.5 = 4. Its Dimeglio items: 50° 4, −5° 1, points 3,
/// 0° 2, and two signs: 12.
#[test]
fn a_total_on_the_sheet_is_held_against_its_items() {
    assert_eq!(scored(|_| ()), []);
    let wrong = scored(|body| body.stated_total = Some(Halves(9)));
    assert_eq!(wrong.len(), 1);
    assert_eq!((wrong[0].severity, wrong[0].field), (Severity::Ask, "stated_total"));
    assert_eq!(wrong[0].text, "The total written is 4.5, the six signs add up to 4.");
    let wrong = scored(|body| body.stated_dimeglio_total = Some(13));
    assert_eq!(wrong.len(), 1);
    assert_eq!(wrong[0].text, "The Dimeglio total written is 13, its eight items add up to 12.");
    // With a sign missing there is nothing to hold the total against.
    assert_eq!(scored(|body| (body.stated_total, body.pirani.empty_heel) = (Some(Halves(9)), None)), []);
}

#[test]
fn a_total_above_the_scale_is_refused_before_it_is_questioned() {
    let findings = scored(|body| body.stated_total = Some(Halves(13)));
    assert_eq!(
        findings.iter().map(|finding| finding.severity).collect::<Vec<_>>(),
        [Severity::Refuse, Severity::Ask]
    );
    assert!(findings[0].text.starts_with("Pirani total 6.5 cannot be right: 0 to 6 is expected."));
    let findings = scored(|body| body.stated_dimeglio_total = Some(21));
    assert!(findings[0].text.starts_with("Dimeglio total 21 cannot be right: 0 to 20 is expected."));
}

#[rstest]
#[case("equinus", json!({"dimeglio": {"equinus": {"deg": 111}}}))]
#[case("adduction", json!({"dimeglio": {"adduction": {"points": 5}}}))]
#[case("pain", json!({"walking": {"pain": 4}}))]
fn an_item_out_of_bounds_is_refused(#[case] field: &str, #[case] mut body: Value) {
    body["side"] = json!("left");
    let (found, _) = only_refusal(Body::from_value(Kind::Assessment, body).unwrap());
    assert_eq!(found, field);
}
