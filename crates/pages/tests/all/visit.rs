//! The form of a visit: preselected answers, and incomplete scores.

use crate::sample::{every_page, half_entered};
use pages::fields::visit as names;
use record::{AngleItem, DimeglioSign, Side, Sign, WalkingItem};
use scraper::{Html, Selector};
use std::collections::HashSet;

fn page(name: &str) -> Html {
    let (_, markup) = every_page().into_iter().find(|(each, _)| *each == name).unwrap();
    Html::parse_document(&markup.0)
}

fn text(html: &Html, selector: &str) -> Vec<String> {
    let selector = Selector::parse(selector).unwrap();
    let found = html.select(&selector);
    found
        .map(|element| element.text().collect::<String>().split_whitespace().collect::<Vec<_>>().join(" "))
        .collect()
}

fn values(html: &Html, selector: &str) -> Vec<String> {
    html.select(&Selector::parse(selector).unwrap())
        .map(|input| input.attr("value").unwrap_or_default().to_owned())
        .collect()
}

#[test]
fn every_expected_field_is_present() {
    let html = page("visit");
    let there: HashSet<String> = html
        .select(&Selector::parse("[name]").unwrap())
        .filter_map(|field| field.attr("name"))
        .map(str::to_owned)
        .collect();
    let mut wanted: Vec<String> = [
        "on",
        "seen",
        "once",
        "csrf",
        "brace",
        "brace.regime",
        "brace.hours",
        "brace.bar_mm",
        "brace.bar_per_side",
        "problem",
        "problem.side",
        "problem.note",
        "next.day",
        "next.time",
        "next.purpose",
        "note",
    ]
    .map(str::to_owned)
    .to_vec();
    for side in ["right", "left"] {
        wanted.extend(Sign::ALL.map(|sign| format!("{side}.{}", sign.key())));
        wanted.extend(AngleItem::ALL.map(|item| format!("{side}.dimeglio.{}", item.key())));
        wanted.extend(DimeglioSign::ALL.map(|sign| format!("{side}.dimeglio.{}", sign.key())));
        wanted.extend(WalkingItem::ALL.map(|item| format!("{side}.walking.{}", item.key())));
        wanted.extend(
            [
                "abduction_deg",
                "dorsiflexion_deg",
                "foot_length_mm",
                "cast_off",
                "tenotomy",
                "tenotomy_on",
                "cast",
                "cast_abduction_deg",
                "cast_material",
                "anaesthesia",
                "tenotomy_by",
                "tenotomy_complication",
                "relapse",
            ]
            .map(|field| format!("{side}.{field}")),
        );
        wanted.extend(
            ["abduction_deg", "dorsiflexion_deg", "length_mm"].map(|field| format!("brace.{side}.{field}")),
        );
    }
    let missing: Vec<_> = wanted.iter().filter(|name| !there.contains(*name)).collect();
    assert!(missing.is_empty(), "missing: {missing:?}");
}

#[test]
fn a_new_visit_has_no_answer_selected() {
    for name in ["visit", "visit-brace", "visit-first"] {
        let html = page(name);
        let selected = values(&html, "form.visit input[type=radio][checked]");
        assert!(selected.len() > 40, "{name}: {} groups", selected.len());
        assert!(selected.iter().all(String::is_empty), "{name}: {selected:?}");
        let numbers = values(&html, "form.visit input[type=number]");
        assert!(numbers.iter().all(String::is_empty), "{name}: {numbers:?}");
    }
}

#[test]
fn every_group_of_tiles_has_exactly_one_answer_selected() {
    for name in ["visit", "visit-half", "visit-brace", "visit-first"] {
        let html = page(name);
        for group in html.select(&Selector::parse("fieldset.tiles").unwrap()) {
            let selected = group.select(&Selector::parse("input[checked]").unwrap()).count();
            assert_eq!(selected, 1, "{name}: {:?}", group.attr("id"));
        }
    }
}

#[test]
fn each_sign_offers_three_answers_with_their_meaning_and_not_assessed() {
    let html = page("visit");
    for side in Side::BOTH {
        for sign in Sign::ALL {
            let name = names::sign(side, sign);
            assert_eq!(values(&html, &format!("input[name='{name}']")), ["0", "0.5", "1", ""], "{name}");
            let id = pages::parts::field_id(&name);
            let labels = text(&html, &format!("#{id} label"));
            for (label, point) in labels.iter().zip(record::HalfPoint::ALL) {
                assert!(label.contains(sign.meaning(point)), "{name}: {label}");
            }
            assert_eq!(labels[3], "not assessed");
        }
    }
}

#[test]
fn the_answer_of_the_last_visit_is_marked_in_words() {
    let html = page("visit");
    // On 7 May the right foot had lateral border 1, medial crease 0.5, talar head 0.5 (sample.rs).
    for (sign, value) in [(Sign::LateralBorder, "1"), (Sign::MedialCrease, "0.5"), (Sign::TalarHead, "0.5")] {
        let id = pages::parts::field_id(&names::sign(Side::Right, sign));
        assert_eq!(values(&html, &format!("#{id} .last-time input")), [value], "{sign:?}");
        assert!(text(&html, &format!("#{id} .last-time label"))[0].ends_with("last time"), "{sign:?}");
    }
}

#[test]
fn an_incomplete_score_has_no_total_and_a_complete_one_has() {
    let html = page("visit-half");
    // Right: 0.5 + 0.5 + 0.5 = 1.5 midfoot, 1 + 1 + 0.5 = 2.5 hindfoot, 4 in all (sample::half_entered).
    assert_eq!(text(&html, "#right-foot + output"), ["4 of 6"]);
    // Left: three midfoot signs of 0 and one hindfoot sign of 1: four of six signs.
    assert_eq!(text(&html, "#left-foot + output"), ["incomplete, 4 of 6 signs"]);
    assert_eq!(text(&html, ".signs-head output.score-midfoot"), ["1.5 of 3", "0 of 3"]);
    assert_eq!(text(&html, ".signs-head output.score-hindfoot"), ["2.5 of 3", "incomplete, 1 of 3 signs"]);
    assert_eq!(text(&page("visit"), "#right-foot + output"), ["not scored"]);
}

#[test]
fn entered_values_are_shown_again_when_the_form_is_returned() {
    let html = page("visit-half");
    for (name, value) in &half_entered().values {
        let radio = values(&html, &format!("input[type=radio][name='{name}'][checked]"));
        let plain = values(&html, &format!("input[name='{name}']:not([type=radio])"));
        assert!(radio.first().or(plain.first()) == Some(value), "{name}={value}: {radio:?} {plain:?}");
    }
}

#[test]
fn a_foot_that_is_not_affected_is_present_but_closed() {
    let html = page("visit-brace");
    assert_eq!(html.select(&Selector::parse("section.foot").unwrap()).count(), 1);
    let closed = html.select(&Selector::parse("details.foot").unwrap()).next().unwrap();
    assert!(closed.attr("open").is_none());
    assert!(closed.text().collect::<String>().starts_with("Right foot"));
    // The affected foot is not recorded: both are open.
    assert_eq!(page("visit-first").select(&Selector::parse("section.foot").unwrap()).count(), 2);
}

#[test]
fn the_walking_age_score_is_open_only_at_walking_age() {
    let open = |name: &str| {
        let html = page(name);
        let fold = Selector::parse("details.more").unwrap();
        html.select(&fold)
            .filter(|fold| {
                fold.text().collect::<String>().starts_with("Score at walking age")
                    && fold.attr("open").is_some()
            })
            .count()
    };
    assert_eq!((open("visit"), open("visit-brace")), (0, 2));
}

#[test]
fn appointments_are_proposed_with_their_reason_and_none_is_selected() {
    let html = page("visit");
    assert_eq!(values(&html, "input[name='next.day']"), ["", "2024-05-21", "2024-05-17", "other"]);
    assert!(text(&html, "#f-next-day label")[1].contains("the next cast is due 19–23 May"));
    assert_eq!(values(&html, "input[name='next.day'][checked]"), [""]);
}

#[test]
fn the_fragment_is_not_a_whole_page_and_names_each_foot() {
    let (_, markup) = every_page().into_iter().find(|(name, _)| *name == "preview-fragment").unwrap();
    assert!(!markup.0.contains("<html") && !markup.0.contains("<main"));
    let html = Html::parse_fragment(&markup.0);
    let steps = text(&html, ".preview-steps li");
    assert!(steps[0].starts_with("Right foot: ") && steps[1].starts_with("Left foot: "), "{steps:?}");
}

#[test]
fn a_day_says_what_it_is_for_and_how_full_it_is() {
    let html = page("visit");
    let labels = text(&html, "#f-next-day label");
    assert!(
        labels[1].contains("in 7 days, cast: ") && labels[1].ends_with("7 of 12 cast places booked"),
        "{labels:?}"
    );
    assert!(labels[2].ends_with("3 booked"), "without places of the clinic none is made up: {labels:?}");
    assert_eq!(values(&html, "input[name='next.purpose.2024-05-21']"), ["cast"]);
}

/// −20° must be typed on a phone: its keypad of digits alone has no minus.
#[test]
fn a_number_that_may_be_negative_does_not_ask_for_a_keypad_of_digits() {
    for name in ["visit", "visit-brace", "brace-fitting"] {
        let html = page(name);
        let all = html.select(&Selector::parse("input[type=number]").unwrap()).collect::<Vec<_>>();
        assert!(!all.is_empty(), "{name}");
        for input in all {
            let signed = input.attr("min").is_some_and(|min| min.starts_with('-'));
            assert_eq!(input.attr("inputmode").is_none(), signed, "{name}: {:?}", input.attr("name"));
        }
    }
    let html = page("visit");
    let row = html.select(&Selector::parse("#f-right-dorsiflexion-deg").unwrap()).next().unwrap();
    let row = scraper::ElementRef::wrap(row.parent().unwrap()).unwrap();
    assert_eq!(row.select(&Selector::parse("button.step-sign").unwrap()).count(), 1);
}

#[test]
fn worn_hours_are_asked_in_the_brace_years_only() {
    let asked = |name: &str| values(&page(name), "input[name='wear.hours']");
    assert_eq!((asked("visit"), asked("visit-first")), (vec![], vec![]));
    assert_eq!(asked("visit-brace"), [""], "nothing is filled in beforehand");
}

#[test]
fn the_signs_come_first_in_each_foot() {
    let html = page("visit");
    for side in ["right", "left"] {
        let section = format!(
            "section[aria-labelledby='{side}-foot'] input, section[aria-labelledby='{side}-foot'] summary, section[aria-labelledby='{side}-foot'] a"
        );
        let first = html.select(&Selector::parse(&section).unwrap()).next().unwrap();
        assert_eq!(first.attr("name"), Some(format!("{side}.{}", Sign::ALL[0].key()).as_str()));
    }
}
