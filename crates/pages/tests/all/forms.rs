//! A form filled from an entry reads back as that entry, so that a correction loses nothing.

use pages::{
    AddKind,
    fields::{Filled, body_of, values_of, visit as names},
};
use record::{Body, Kind, Side};
use rstest::rstest;
use std::collections::BTreeSet;

/// An assessment with every field filled, in its wire form.
const FULL: &str = r#"{"side":"right","pirani":{"lateral_border":0.5,"medial_crease":1.0,"talar_head":0.0,"posterior_crease":0.5,"rigid_equinus":1.0,"empty_heel":0.0},"stated_total":3.5,"dimeglio":{"equinus":{"deg":-20},"varus":{"points":3},"derotation":{"deg":45},"adduction":{"deg":0},"posterior_crease":true,"medial_crease":false,"cavus":true,"poor_muscle":false},"stated_dimeglio_total":12,"walking":{"ankle":0,"pain":3,"shoes":2,"carer":1},"signs":{"equinus":"fixed","heel_varus":"flexible","adductus":"absent","cavus":"flexible","dynamic_supination":true,"early_heel_rise":false,"evertors":"none","lateral_cuneiform_ossified":false},"abduction_deg":-10,"dorsiflexion_deg":15,"foot_length_mm":82,"scored_by":"HK","note":"sleepy"}"#;

#[test]
fn the_form_shows_the_values_of_the_entry() {
    let body = Body::from_json(Kind::Assessment, FULL).unwrap();
    let filled = values_of(&body);
    assert_eq!(body_of(Kind::Assessment, &filled), Ok(body));
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
    assert_eq!((errors[0].field.as_str(), errors[0].text.as_str()), ("text", "Note: required."));
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
fn every_small_form_has_an_address_and_those_used_most_come_first() {
    let forms = AddKind::all();
    let first: Vec<String> = forms.iter().take(4).map(|kind| kind.key()).collect();
    assert_eq!(first, ["appointment-made", "appointment-cancelled", "contact-attempt", "problem"]);
    assert_eq!(forms.last().map(|kind| kind.key()).as_deref(), Some("death"));
    let addresses: BTreeSet<String> = forms.iter().map(|kind| kind.key()).collect();
    assert!(forms.len() >= 18 && addresses.len() == forms.len(), "{addresses:?}");
    assert!(forms.iter().all(|kind| AddKind::from_key(&kind.key()) == Some(*kind)));
    for kind in ["assessment", "correction", "second-score"] {
        assert_eq!(AddKind::from_key(kind), None);
    }
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

/// Of eight odd lines, one about days and seven notes, four are shown and the fifth line opens the rest.
#[test]
fn what_is_odd_about_a_loggers_file_takes_at_most_five_lines() {
    let pages = crate::sample::every_page();
    let page = |name: &str| {
        let (_, markup) = pages.iter().find(|(page, _)| *page == name).unwrap();
        scraper::Html::parse_document(&markup.0)
    };
    let lines = |html: &scraper::Html, selector: &str| -> Vec<String> {
        let selector = scraper::Selector::parse(selector).unwrap();
        html.select(&selector).map(|line| line.text().collect::<String>()).collect()
    };
    let many = page("wear-logger-odd");
    let shown = lines(&many, "ul.odd > li");
    assert_eq!(shown.len(), 4);
    assert_eq!(shown[0], "1 day will not be saved: 1 undecided.");
    assert_eq!(lines(&many, "ul.odd + details > summary"), ["4 more notes on the file"]);
    assert_eq!(lines(&many, "ul.odd + details li").len(), 4);
    let few = page("wear-logger");
    assert_eq!((lines(&few, "ul.odd > li").len(), lines(&few, "ul.odd + details").len()), (2, 0));
}
