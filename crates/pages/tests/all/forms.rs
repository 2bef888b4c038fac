//! A form filled from an entry reads back as that entry, so that a correction loses nothing.

use pages::{
    AddKind,
    fields::{Filled, body_of, of_kind, values_of, visit as names},
};
use record::{Body, Kind, Side};
use rstest::rstest;

/// One entry of every kind that has a form, with every field filled, in its wire form.
const FULL: &[(&str, &str)] = &[
    (
        "registration",
        r#"{"family_name":"Okello","given_name":"Amina","numbers":["4133","219"],"born":"2024-05-02","sex":"female","gestation_weeks":35,"birth_weight_g":2310,"carers":[{"name":"Grace","relation":"mother","phone":"070 1","language":"Acholi"},{"name":"Peter","relation":"uncle"}],"address":"by the mill"}"#,
    ),
    ("referral", r#"{"from":"midwife","reason":"both feet turned in"}"#),
    (
        "diagnosis",
        r#"{"side":"left","nature":"syndromic","complex":true,"earlier_treatment":"three casts elsewhere"}"#,
    ),
    ("screening", r#"{"hips":"normal","spine":"abnormal","nerve_and_muscle":"awaited","note":"dimple"}"#),
    (
        "assessment",
        r#"{"side":"right","pirani":{"lateral_border":0.5,"medial_crease":1.0,"talar_head":0.0,"posterior_crease":0.5,"rigid_equinus":1.0,"empty_heel":0.0},"stated_total":3.5,"dimeglio":{"equinus":{"deg":-20},"varus":{"points":3},"derotation":{"deg":45},"adduction":{"deg":0},"posterior_crease":true,"medial_crease":false,"cavus":true,"poor_muscle":false},"stated_dimeglio_total":12,"walking":{"ankle":0,"pain":3,"shoes":2,"carer":1},"signs":{"equinus":"fixed","heel_varus":"flexible","adductus":"absent","cavus":"flexible","dynamic_supination":true,"early_heel_rise":false,"evertors":"none","lateral_cuneiform_ossified":false},"abduction_deg":-10,"dorsiflexion_deg":15,"foot_length_mm":82,"scored_by":"HK","note":"sleepy"}"#,
    ),
    (
        "second_score",
        r#"{"side":"left","first":"01907e2a-0000-7000-8000-0000000000e7","pirani":{"lateral_border":0.5,"medial_crease":1.0,"talar_head":0.0,"posterior_crease":0.5,"rigid_equinus":1.0,"empty_heel":0.0},"dimeglio":{"equinus":{"deg":-20},"varus":{"points":3},"derotation":{"deg":45},"adduction":{"deg":0},"posterior_crease":true,"medial_crease":false,"cavus":true,"poor_muscle":false},"scored_by":"HK","note":"sleepy"}"#,
    ),
    ("body_measured", r#"{"shoulder_mm":212,"shoulder_width":"bideltoid","note":"in a vest"}"#),
    (
        "cast_applied",
        r#"{"side":"left","purpose":"holding","number":4,"material":"semirigid","abduction_deg":50,"dorsiflexion_deg":-5,"cast_by":"HK"}"#,
    ),
    ("cast_removed", r#"{"side":"right","why":"by_family","note":"skin whole"}"#),
    ("tenotomy_booked", r#"{"side":"right","planned_on":"2024-05-28","place":"theatre"}"#),
    (
        "tenotomy_done",
        r#"{"side":"left","anaesthesia":"local","dorsiflexion_after_deg":20,"complication":"none","done_by":"MA"}"#,
    ),
    (
        "brace_fitted",
        r#"{"brace":{"boots":[{"side":"right","abduction_deg":70,"dorsiflexion_deg":10,"length_mm":80,"size":"2 wide"},{"side":"left"}],"bar_mm":200,"bar_per_side":true,"label":"B12"},"regime":"full_time","hours_prescribed":23,"fitted_by":"OT"}"#,
    ),
    (
        "brace_changed",
        r#"{"change":"size","brace":{"boots":[{"side":"left","length_mm":90}],"bar_mm":220,"bar_per_side":false},"regime":"night_time","hours_prescribed":12,"note":"outgrown"}"#,
    ),
    (
        "wear_reported",
        r#"{"from":"2024-04-01","to":"2024-04-30","hours_per_day":21.5,"days_without":2,"reason":"fever"}"#,
    ),
    (
        "wear_logged",
        r#"{"from":"2024-04-01","to":"2024-04-30","hours_per_day":18.25,"days_judged":28,"logger":"L3"}"#,
    ),
    (
        "problem",
        r#"{"side":"left","what":"heel_slips_out","settled":true,"advised":"lower the buckle","helped":"partly","note":"new insole"}"#,
    ),
    ("appointment_made", r#"{"for_day":"2024-05-21","time":"09:30","purpose":"cast"}"#),
    ("appointment_attended", r#"{"time":"09:42"}"#),
    ("appointment_missed", r#"{"reason":"no bus"}"#),
    ("appointment_cancelled", r#"{"for_day":"2024-05-21","by":"family","reason":"harvest"}"#),
    ("contact_attempt", r#"{"way":"phone","reached":false,"whom":"mother","note":"no answer"}"#),
    ("relapse_noted", r#"{"side":"right","grade":"IIA","note":"walks on the toes"}"#),
    ("other_surgery", r#"{"side":"left","procedure":"tendon_transfer","note":"whole tendon"}"#),
    ("transfer", r#"{"to":"the upland clinic"}"#),
    ("death", r#"{"cause":"malaria"}"#),
    ("lost_declared", r#"{"reason":"three calls, one visit"}"#),
    ("discharge", r#"{"reason":"declined","note":"moved"}"#),
    ("note", r#"{"text":"first line\nsecond line"}"#),
];

#[test]
fn the_list_contains_every_kind_except_corrections_and_withdrawals() {
    let listed: Vec<Kind> = FULL.iter().map(|(wire, _)| Kind::from_wire(wire).unwrap()).collect();
    let missing: Vec<_> = Kind::ALL.iter().filter(|kind| !listed.contains(kind)).collect();
    assert_eq!(missing, [&Kind::Correction, &Kind::Withdrawal]);
}

#[test]
fn every_kind_with_all_fields_filled_reads_back_unchanged() {
    for (wire, json) in FULL {
        let kind = Kind::from_wire(wire).unwrap();
        let body = Body::from_json(kind, json).unwrap();
        let back = body_of(kind, &values_of(&body)).unwrap_or_else(|errors| panic!("{wire}: {errors:?}"));
        assert_eq!(back, body, "{wire}");
    }
}

#[test]
fn the_form_shows_the_values_of_the_entry() {
    let (_, json) = FULL.iter().find(|(wire, _)| *wire == "assessment").unwrap();
    let filled = values_of(&Body::from_json(Kind::Assessment, json).unwrap());
    let shown = [
        "stated_total",
        "pirani.lateral_border",
        "pirani.medial_crease",
        "abduction_deg",
        "dimeglio.equinus.deg",
        "dimeglio.cavus",
    ]
    .map(|name| filled.value(name));
    assert_eq!(shown, ["3.5", "0.5", "1", "-10", "-20", "yes"]);
}

#[test]
fn every_value_has_a_form_field() {
    for (wire, json) in FULL.iter().filter(|(wire, _)| *wire != "registration") {
        let kind = Kind::from_wire(wire).unwrap();
        let fields: Vec<String> = of_kind(kind).into_iter().map(|field| field.name.into_owned()).collect();
        for name in values_of(&Body::from_json(kind, json).unwrap()).values.keys() {
            assert!(fields.contains(name), "{wire}: {name} has no field");
        }
    }
}

#[test]
fn a_value_left_empty_stays_empty_and_is_never_zero() {
    let filled =
        Filled::default().with("side", "right").with("pirani.talar_head", "0.5").with("abduction_deg", " ");
    let Body::Assessment(seen) = body_of(Kind::Assessment, &filled).unwrap() else {
        panic!("not an assessment")
    };
    assert_eq!((seen.abduction_deg, seen.pirani.empty_heel, seen.pirani.total()), (None, None, None));
}

#[rstest]
#[case("abduction_deg", "12.5", "not a whole number")]
#[case("abduction_deg", "wide", "not a whole number")]
#[case("pirani.talar_head", "0.7", "not one of the answers")]
#[case("stated_total", "3.2", "not a number")]
#[case("side", "middle", "not one of the answers")]
fn an_unreadable_value_is_reported_with_its_field(
    #[case] field: &str,
    #[case] value: &str,
    #[case] words: &str,
) {
    let filled = Filled::default().with("side", "right").with(field, value);
    let errors = body_of(Kind::Assessment, &filled).unwrap_err();
    assert_eq!(errors.len(), 1, "{errors:?}");
    assert!(errors[0].field == field && errors[0].text.contains(words), "{errors:?}");
}

#[test]
fn a_day_that_does_not_exist_and_a_missing_answer_are_refused() {
    let errors =
        body_of(Kind::AppointmentMade, &Filled::default().with("for_day", "2023-02-29")).unwrap_err();
    assert!(errors[0].text.contains("not in the calendar"), "{errors:?}");
    let errors = body_of(Kind::Note, &Filled::default()).unwrap_err();
    assert_eq!((errors[0].field.as_str(), errors[0].text.as_str()), ("text", "Note: this is needed."));
    let errors = body_of(Kind::Registration, &Filled::default().with("gestation_weeks", "300")).unwrap_err();
    assert_eq!(errors[0].field, "gestation_weeks");
}

#[test]
fn minus_signs_and_decimal_commas_are_accepted() {
    let filled =
        Filled::default().with("side", "left").with("dorsiflexion_deg", "−15").with("stated_total", "2,5");
    let Body::Assessment(seen) = body_of(Kind::Assessment, &filled).unwrap() else {
        panic!("not an assessment")
    };
    assert_eq!((seen.dorsiflexion_deg, seen.stated_total), (Some(-15), Some(record::Halves(5))));
}

#[test]
fn a_huge_number_is_an_error_and_does_not_panic() {
    for value in ["99999999999999999999", "40000", "-40000"] {
        let filled = Filled::default().with("side", "left").with("abduction_deg", value);
        assert!(body_of(Kind::Assessment, &filled).is_err(), "{value}");
    }
}

#[test]
fn the_small_forms_are_those_expected() {
    let mut keys: Vec<String> = AddKind::ALL.iter().map(|kind| kind.key()).collect();
    let mut wanted = [
        "appointment-made",
        "appointment-cancelled",
        "contact-attempt",
        "body-measured",
        "problem",
        "referral",
        "diagnosis",
        "screening",
        "wear-reported",
        "tenotomy-booked",
        "relapse-noted",
        "other-surgery",
        "transfer",
        "death",
        "lost-declared",
        "discharge",
        "note",
        "registration",
    ];
    keys.sort();
    wanted.sort_unstable();
    assert_eq!(keys, wanted);
    assert!(AddKind::ALL.iter().all(|kind| AddKind::from_key(&kind.key()) == Some(*kind)));
    assert_eq!(AddKind::from_key("assessment"), None);
}

#[test]
fn the_next_day_is_the_selected_or_typed_one() {
    let day = |pairs: &[(&str, &str)]| {
        let filled: Filled =
            pairs.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())).collect();
        names::next_day(&filled).map(str::to_owned)
    };
    assert_eq!(day(&[]), None);
    assert_eq!(
        day(&[("next.day", "2024-05-21"), ("next.other_day", "2024-06-01")]).as_deref(),
        Some("2024-05-21")
    );
    assert_eq!(
        day(&[("next.day", "other"), ("next.other_day", "2024-06-01")]).as_deref(),
        Some("2024-06-01")
    );
    assert_eq!(day(&[("next.day", ""), ("next.other_day", "2024-06-01")]).as_deref(), Some("2024-06-01"));
    assert_eq!(day(&[("next.day", "other")]), None);
}

#[test]
fn values_that_would_be_lost_silently_are_reported() {
    assert_eq!(names::loose_ends(&Filled::default()), []);
    let ends = |name: String, value: &str| {
        names::loose_ends(&Filled::default().with(name, value))
            .into_iter()
            .map(|end| end.field)
            .collect::<Vec<_>>()
    };
    assert_eq!(ends(names::cast_abduction_deg(Side::Right), "40"), ["right.cast"]);
    assert_eq!(ends(names::tenotomy_on(Side::Left), "2024-05-28"), ["left.tenotomy"]);
    assert_eq!(ends(names::boot(Side::Left, "length_mm"), "80"), ["brace"]);
    assert_eq!(ends(names::PROBLEM_NOTE.to_owned(), "sore"), ["problem"]);
    assert_eq!(ends(names::NEXT_TIME.to_owned(), "09:30"), ["next.other_day"]);
    let whole = Filled::default()
        .with(names::cast(Side::Right), "correction")
        .with(names::cast_abduction_deg(Side::Right), "40");
    assert_eq!(names::loose_ends(&whole), []);
}
