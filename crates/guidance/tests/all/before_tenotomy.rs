//! The list before a tenotomy: what the record has, what is missing, and what stops it.

use crate::story::{Story, day};
use guidance::Protocol;
use guidance::before_tenotomy::{CheckState, TenotomyChecklist, points};
use record::*;

const ON: &str = "2024-05-10";

/// Ten weeks old, four casts, ready, the left foot booked for 10 May.
fn booked() -> Story {
    Story::rows(
        "2024-03-08 | | registered | born 2024-03-01; gestation 40
         2024-03-08 | left | diagnosis | idiopathic
         2024-03-08 | left | score | 1 1 1 / 1 1 1
         2024-03-08 | left | cast | abduction 20
         2024-04-26 | left | cast | abduction 60
         2024-05-03 | left | score | 0 0 0 / 1 1 ½; abduction 65; dorsiflexion 0
         2024-05-03 | left | cast | abduction 65
         2024-05-03 | left | tenotomy booked | for 2024-05-10",
    )
}

fn given() -> Consent {
    Consent { relation: Some("mother".into()), ..Consent::of(ConsentMatter::Tenotomy, ConsentAnswer::Given) }
}

/// The same with everything recorded.
fn prepared() -> Story {
    let mut story = booked();
    story.add(day("2024-05-03"), given());
    story.add(day("2024-05-03"), Allergies::of(AllergyAnswer::NoneKnown));
    story.add(day("2024-05-03"), Medicines::of(MedicineAnswer::None));
    story.add(day("2024-05-03"), Weighed::grams(5200));
    story
}

fn list(story: &Story) -> TenotomyChecklist {
    TenotomyChecklist::of(&story.on("2024-05-09"), &Protocol::built_in(), day(ON))
}

fn open(list: &TenotomyChecklist) -> Vec<(&'static str, CheckState)> {
    list.open().map(|(_, item)| (item.what, item.state)).collect()
}

#[test]
fn with_everything_recorded_nothing_is_open() {
    let list = list(&prepared());
    assert_eq!(open(&list), []);
    assert!(list.is_complete());
    assert_eq!(list.feet.iter().map(|foot| foot.side).collect::<Vec<_>>(), [Side::Left]);
    assert_eq!(list.item("Which foot").unwrap().words, "LEFT foot only. The right foot: not affected.");
    assert_eq!(list.item(points::WEIGHT).unwrap().words, "5200 g on 3 May 2024");
    assert_eq!(list.feet[0].items[0].words, "0° on 3 May 2024");
    assert_eq!(TenotomyChecklist::day_for(&prepared().on("2024-05-09").course, day("2024-05-09")), day(ON));
}

#[test]
fn what_is_not_recorded_is_missing_and_never_fine() {
    let list = list(&booked());
    let missing = |what| (what, CheckState::Missing);
    assert_eq!(
        open(&list),
        [
            missing(points::CONSENT),
            missing(points::ALLERGIES),
            missing(points::MEDICINES),
            missing(points::WEIGHT)
        ]
    );
    assert!(!list.is_complete());
}

#[test]
fn without_birth_gestation_booking_or_angle_each_is_missing() {
    let mut story =
        Story::rows("2024-03-08 | | registered | name Any\n2024-03-08 | left | diagnosis | idiopathic");
    let names = |story: &Story| -> Vec<&str> { list(story).open().map(|(_, item)| item.what).collect() };
    assert!(names(&story).starts_with(&["Who the child is", "Which foot"]), "{:?}", names(&story));
    assert!(names(&story).contains(&"Weeks of gestation"));
    story.add(day("2024-05-03"), TenotomyBooked::of(Side::Left));
    assert!(names(&story).contains(&"Dorsiflexion before"));
    assert!(!names(&story).contains(&"Which foot"), "booked without a day counts for any");
}

#[test]
fn a_weight_of_eight_days_before_is_missing() {
    let mut story = booked();
    story.add(day("2024-05-02"), Weighed::grams(5200));
    let list = list(&story);
    let weight = list.item(points::WEIGHT).unwrap();
    assert_eq!(weight.state, CheckState::Missing);
    assert_eq!(
        weight.words,
        "5200 g on 2 May 2024: more than 7 days before 10 May 2024. Weigh the child again."
    );
}

#[test]
fn refused_or_ended_consent_is_no_consent() {
    let state = |consent: Consent| {
        let mut story = prepared();
        story.add(day("2024-05-04"), consent);
        list(&story).item(points::CONSENT).unwrap().state
    };
    let answer =
        |answer| Consent { relation: given().relation, ..Consent::of(ConsentMatter::Tenotomy, answer) };
    assert_eq!(state(answer(ConsentAnswer::Refused)), CheckState::Stops);
    assert_eq!(state(answer(ConsentAnswer::Withdrawn)), CheckState::Stops);
    assert_eq!(state(Consent { until: Some(day("2024-05-09")), ..given() }), CheckState::Missing);
    assert_eq!(state(Consent { until: Some(day(ON)), ..given() }), CheckState::Recorded);
    // Consent to something else says nothing about the tenotomy.
    let mut story = booked();
    story.add(day("2024-05-03"), Consent { matter: ConsentMatter::Treatment, ..given() });
    assert_eq!(list(&story).item(points::CONSENT).unwrap().state, CheckState::Missing);
}

#[test]
fn facts_in_doubt_stop_the_list() {
    // The right foot is not on record as a clubfoot.
    let mut wrong_side = prepared();
    wrong_side.add(
        day("2024-05-04"),
        TenotomyBooked { planned_on: Some(day(ON)), ..TenotomyBooked::of(Side::Right) },
    );
    assert!(open(&list(&wrong_side)).contains(&("In doubt", CheckState::Stops)), "{:?}", list(&wrong_side));
    let mut weight = prepared();
    weight.add(day("2024-05-08"), Weighed::grams(11_400));
    assert_eq!(open(&list(&weight)), [("In doubt", CheckState::Stops)]);
    let mut allergy = prepared();
    let named = Allergies { which: Some("latex".into()), ..Allergies::of(AllergyAnswer::Named) };
    allergy.add(day("2024-05-04"), named);
    assert!(list(&allergy).is_complete(), "an allergy that is known is known");
    allergy.add(day("2024-05-05"), Allergies::of(AllergyAnswer::NoneKnown));
    assert_eq!(open(&list(&allergy)), [("In doubt", CheckState::Stops)]);
}

#[test]
fn a_foot_that_needs_no_tenotomy_by_the_protocol_stops_the_list() {
    let mut story = prepared();
    let measured =
        Assessment { abduction_deg: Some(70), dorsiflexion_deg: Some(25), ..Assessment::of(Side::Left) };
    story.add(day("2024-05-08"), measured);
    let list = list(&story);
    assert_eq!(open(&list), [("What comes next for this foot", CheckState::Stops)]);
}

#[test]
fn a_child_whose_care_has_ended_is_not_on_the_way_to_theatre() {
    let mut story = prepared();
    story.add(day("2024-05-08"), Transfer { to: Some("Hill Clinic".into()) });
    assert!(list(&story).open().any(|(_, item)| item.what == "Care in this clinic"));
}

#[test]
fn a_foot_booked_for_another_day_is_named_and_not_on_the_list() {
    let mut story = prepared();
    story.add(day("2024-05-03"), Diagnosis::of(Side::Right));
    let later = TenotomyBooked { planned_on: Some(day("2024-05-17")), ..TenotomyBooked::of(Side::Right) };
    story.add(day("2024-05-03"), later);
    let list = list(&story);
    assert_eq!(list.feet.len(), 1);
    assert_eq!(list.other_days, ["Right foot: booked for 17 May 2024."]);
    assert_eq!(
        list.item("Which foot").unwrap().words,
        "LEFT foot only. The right foot: affected, not booked."
    );
}

#[test]
fn after_the_cut_the_list_shows_what_was_recorded_of_it() {
    let mut story = prepared();
    story.add(day(ON), TenotomyDone { dorsiflexion_after_deg: Some(20), ..TenotomyDone::on(Side::Left) });
    let outlook = story.on(ON);
    let list = TenotomyChecklist::of(&outlook, &Protocol::built_in(), day(ON));
    let foot = &list.feet[0];
    assert_eq!((foot.is_done, foot.dorsiflexion_after_deg, foot.is_cast_after), (true, Some(20), false));
}

#[test]
fn who_was_born_early_is_watched_and_no_hours_are_named() {
    let mut story = prepared();
    let about = Registration {
        given_name: "Ada".into(),
        born: Some(day("2024-03-01")),
        gestation_weeks: Some(33),
        ..Registration::default()
    };
    story.add(day("2024-05-03"), about);
    let list = list(&story);
    // 33 weeks and 10 weeks are 43 weeks from conception, under 44 (Parada 2009).
    assert!(list.breathing[0].starts_with("Under 44 weeks from conception"), "{:?}", list.breathing);
    assert!(
        list.breathing.iter().any(|text| text.contains("the anaesthetist and the local protocol decide"))
    );
}
