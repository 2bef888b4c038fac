//! Rules on boots, bar, advice and signs of relapse.

use super::{begins, calls, one, silent, with};
use crate::story::{Story, day};
use guidance::{Protocol, Urgency, brace::Outgrowing};
use record::{
    Assessment, BodyMeasured, Boot, Brace, BraceFitted, Deformity, Helped, Problem, ProblemKind,
    RelapseSigns, ShoulderWidth, Side,
};

/// Braced on 3 May 2024 in boots of 105 mm on a right foot of 92 mm, bar 200 mm.
fn booted(registered: &str) -> Story {
    booted_on(registered, 92)
}

fn booted_on(registered: &str, length_mm: u16) -> Story {
    let mut story = Story::rows(&format!(
        "2024-03-08 | | registered | {registered}
         2024-03-08 | right | cast | |
         2024-05-03 | right | movement | length {length_mm}"
    ));
    let boots = vec![Boot { length_mm: Some(105), ..Boot::of(Side::Right) }];
    let brace = Brace { boots, bar_mm: Some(200), ..Brace::default() };
    story.add(day("2024-05-03"), BraceFitted { brace, ..BraceFitted::default() });
    story
}

fn outgrowing(story: &Story) -> Outgrowing {
    Outgrowing::of(&story.on("2024-12-31").course, &Protocol::built_in()).expect("boots and a length")
}

#[test]
fn boots_are_announced_on_the_day_by_which_fifteen_of_a_hundred_have_outgrown_them() {
    let story = booted("born 2024-01-01");
    let days = outgrowing(&story).boots[0].days;
    // 92 mm at four months, and 105 is the limit of an open boot: 13 mm. Growth there is between 2.1 and
    // 3.7 mm a month, from six months on 3.0: 13 / 3.5 to 13 / 2.1, 3.7 to 6.2 months.
    let likely = days.by_50.unwrap();
    assert!((113..189).contains(&(likely - day("2024-05-03"))), "{likely}");
    assert!(days.by_5 < days.by_15.unwrap() && days.by_15 < days.by_25, "{days:?}");
    begins(&story, "boots-outgrown", &days.by_15.unwrap().to_string());
    let call = one(&story, "2024-05-03", "boots-outgrown");
    assert!(
        call.text.words().starts_with("Right boot, 105 mm inside: most likely by ")
            && call.side == Some(Side::Right)
    );
}

#[test]
fn when_boots_are_outgrown_is_a_named_choice_with_both_sources() {
    let story = booted("born 2024-01-01");
    let limit = |file: &str| {
        let protocol = Protocol::with_clinic_file(file).unwrap();
        let course = story.on("2024-12-31").course;
        Outgrowing::of(&course, &protocol).unwrap().boots[0].limit_mm
    };
    assert_eq!(limit(""), 105, "open boots: no room left");
    assert_eq!(limit("[bracing]\noutgrown_rule = \"toes-over-edge\""), 105);
    assert_eq!(limit("[bracing]\noutgrown_rule = \"closed-shoe-room\""), 105 - 5);
    assert_eq!(limit("[bracing]\noutgrown_rule = \"closed-shoe-room\"\ntoe_room_least_mm = 3"), 105 - 3);
    let protocol = Protocol::built_in();
    let setting = protocol.setting("bracing.outgrown_rule").unwrap();
    assert!(setting.published.contains("toes can completely curl over the edge"), "{setting:?}");
    assert!(setting.published.contains("less than 5 mm left"), "{setting:?}");
}

#[test]
fn boots_are_silent_where_something_needed_is_not_known() {
    silent(&booted("name Kaz"), "2024-12-31", "boots-outgrown");
    silent(&Story::rows("2024-05-03 | | brace | full time"), "2024-12-31", "boots-outgrown");
    let stopped = with(&booted("born 2024-01-01"), "2024-06-01 | | brace changed | bracing stopped");
    silent(&stopped, "2024-12-31", "boots-outgrown");
}

#[test]
fn the_next_boots_are_ordered_six_weeks_before_the_window_begins() {
    let mut story = booted("born 2024-01-01");
    let roomy = vec![Boot { length_mm: Some(120), ..Boot::of(Side::Right) }];
    let brace = Brace { boots: roomy, ..Brace::default() };
    story.add(day("2024-05-04"), BraceFitted { brace, ..BraceFitted::default() });
    let window = outgrowing(&story).boots[0].days;
    begins(&story, "order-boots", &(window.by_5 - 42).to_string());
    silent(&booted("name Kaz"), "2024-12-31", "order-boots");
}

#[test]
fn boots_too_short_already_are_ordered_from_the_day_of_the_measurement() {
    // No room left is the limit, 105 mm: 106 is beyond it, 105 is not.
    let short = booted_on("born 2024-01-01", 106);
    begins(&short, "order-boots", "2024-05-03");
    begins(&short, "boots-outgrown", "2024-05-03");
    let text = one(&short, "2024-05-03", "boots-outgrown").text.words();
    assert_eq!(text, "Right boot, 105 mm inside: already outgrown on 3 May 2024.");
    let just = booted_on("born 2024-01-01", 105);
    assert!(one(&just, "2024-05-03", "boots-outgrown").text.words().contains("most likely by "));
}

#[test]
fn a_bar_is_too_narrow_from_the_day_the_shoulders_pass_it() {
    let mut wide = booted("born 2024-01-01");
    let measured = |mm| BodyMeasured {
        shoulder_mm: Some(mm),
        shoulder_width: Some(ShoulderWidth::Bideltoid),
        note: None,
    };
    // 200 + 15 = 215 mm is the limit.
    wide.add(day("2024-05-03"), measured(216));
    begins(&wide, "bar-too-narrow", "2024-05-03");
    let mut fits = booted("born 2024-01-01");
    fits.add(day("2024-05-03"), measured(185));
    let likely = outgrowing(&fits).bar.unwrap().1.by_50.unwrap();
    assert!(likely > day("2024-05-03") + 60, "{likely}");
    begins(&fits, "bar-too-narrow", &likely.to_string());
    let mut other = booted("born 2024-01-01");
    other.add(
        day("2024-05-03"),
        BodyMeasured { shoulder_width: Some(ShoulderWidth::Biacromial), ..measured(230) },
    );
    silent(&other, "2024-12-31", "bar-too-narrow");
}

#[test]
fn advice_that_did_not_help_is_called() {
    let heel = |helped| Problem {
        side: Some(Side::Right),
        advised: Some("heel-strap-first".into()),
        helped,
        ..Problem::of(ProblemKind::HeelSlipsOut)
    };
    let mut story = booted("born 2024-01-01");
    let first = story.add(day("2024-05-10"), heel(None));
    silent(&story, "2024-12-31", "advice-not-helped");
    story.answer(day("2024-05-10"), heel(Some(Helped::No)), Some(first));
    begins(&story, "advice-not-helped", "2024-05-10");
    let call = one(&story, "2024-05-10", "advice-not-helped");
    assert!(call.because[0].fact.contains("push the heel down"), "{call:?}");
    story.answer(day("2024-05-20"), Problem { settled: true, ..heel(Some(Helped::Yes)) }, Some(first));
    silent(&story, "2024-12-31", "advice-not-helped");
}

fn seen(signs: RelapseSigns) -> Story {
    let mut story = booted("born 2022-01-01");
    story.add(day("2024-08-03"), Assessment { signs, ..Assessment::of(Side::Right) });
    story
}

#[test]
fn signs_of_relapse_are_called_with_their_grade() {
    let signs = RelapseSigns {
        dynamic_supination: Some(true),
        heel_varus: Some(Deformity::Absent),
        ..RelapseSigns::default()
    };
    let story = seen(signs);
    begins(&story, "relapse-signs", "2024-08-03");
    let call = one(&story, "2024-08-03", "relapse-signs");
    assert!(
        call.text.words()
            == "Right foot: supination in swing. Together: grade IB: dynamic adduction or supination, flexible."
            && call.urgency == Urgency::Soon,
        "{call:?}"
    );
    let fixed = RelapseSigns { heel_varus: Some(Deformity::Fixed), ..signs };
    assert_eq!(one(&seen(fixed), "2024-08-03", "relapse-signs").urgency, Urgency::ThisWeek);
}

#[test]
fn signs_of_relapse_are_silent_when_gone_or_treated_or_not_examined() {
    let there = seen(RelapseSigns { early_heel_rise: Some(true), ..RelapseSigns::default() });
    assert_eq!(calls(&there, "2024-12-31", "relapse-signs").len(), 1);
    let mut gone = there.clone();
    let signs = RelapseSigns { early_heel_rise: Some(false), ..RelapseSigns::default() };
    gone.add(day("2024-09-03"), Assessment { signs, ..Assessment::of(Side::Right) });
    silent(&gone, "2024-12-31", "relapse-signs");
    silent(&with(&there, "2024-08-03 | right | relapse | grade IB"), "2024-12-31", "relapse-signs");
    silent(&booted("born 2022-01-01"), "2024-12-31", "relapse-signs");
}
