//! Calls that were put off.

use super::found;
use crate::story::{Story, day};
use guidance::{
    Protocol,
    attention::{
        CallPlace,
        put_off::{MOST_DAYS, PutOff},
        worst::leads,
    },
};
use record::{ContactAttempt, ContactWay};

/// Past the early reviews, last seen on 3 May 2023: review overdue from 2 October 2023.
fn overdue() -> Story {
    Story::rows(
        "2021-01-08 | | registered | born 2021-01-01
         2021-01-08 | right | cast | |
         2021-03-05 | | brace | full time
         2021-05-28 | | brace | nights and naps
         2023-05-03 | right | movement | dorsiflexion 20; abduction 70",
    )
}

fn noted(story: &Story, on: &str, note: &str) -> Story {
    let mut story = story.clone();
    let note = Some(note.to_owned());
    story.add(day(on), ContactAttempt { way: ContactWay::Phone, reached: true, whom: None, note });
    story
}

fn open(story: &Story, as_of: &str, place: CallPlace) -> bool {
    let calls = found(story, as_of, &Protocol::built_in());
    calls.iter().any(|call| call.rule == "review-overdue" && call.place == place && call.applies(day(as_of)))
}

#[test]
fn a_call_put_off_is_silent_until_its_day_and_is_shown_meanwhile() {
    let story =
        noted(&overdue(), "2023-10-05", "Not before 2023-10-20 (review overdue): the family is abroad.");
    for (as_of, in_list, waiting) in [
        ("2023-10-05", false, true),
        ("2023-10-19", false, true),
        ("2023-10-20", true, false),
        ("2023-10-21", true, false),
    ] {
        assert_eq!(
            (open(&story, as_of, CallPlace::List), open(&story, as_of, CallPlace::PutOff)),
            (in_list, waiting),
            "{as_of}"
        );
    }
    assert!(open(&overdue(), "2023-10-04", CallPlace::List));
}

#[test]
fn only_the_fixed_form_puts_a_call_off_and_only_what_it_names() {
    for (note, put_off) in [
        ("Not before 2023-10-20 (review overdue): the family is abroad.", true),
        ("Not before 2023-10-20 (no next appointment; review overdue): the family is abroad.", true),
        ("Not before 2023-10-20 (no next appointment): the family is abroad.", false),
        ("Not before 20 October (review overdue): the family is abroad.", false),
        ("Not before 2023-10-20: the family is abroad.", false),
        ("The family said: not before 2023-10-20 (review overdue): abroad.", false),
        ("Not before 2023-10-20 (review overdue): ", false),
        ("Not before 2023-10-20 (reviews): the family is abroad.", false),
        ("Not before 2023-10-05 (review overdue): today is not ahead.", false),
        ("Not before 2024-10-20 (review overdue): a year.", false),
    ] {
        let story = noted(&overdue(), "2023-10-05", note);
        assert_eq!(!open(&story, "2023-10-10", CallPlace::List), put_off, "{note}");
    }
    let far = (day("2023-10-05") + MOST_DAYS).to_string();
    for (until, put_off) in [(day(&far), true), (day(&far) + 1, false)] {
        let story = noted(&overdue(), "2023-10-05", &format!("Not before {until} (review overdue): abroad."));
        assert_eq!(!open(&story, "2023-10-10", CallPlace::List), put_off, "{until}");
    }
}

#[test]
fn what_begins_later_or_is_of_the_same_day_is_not_put_off() {
    let before =
        noted(&overdue(), "2023-09-20", "Not before 2023-11-20 (review overdue): the family is abroad.");
    assert!(open(&before, "2023-10-10", CallPlace::List), "it did not apply when it was put off");
    let cast = Story::rows("2024-04-12 | | registered | born 2024-04-01\n2024-04-26 | right | cast | |");
    let story = noted(&cast, "2024-05-12", "Not before 2024-05-20 (cast on too long): abroad.");
    let calls = found(&story, "2024-05-13", &Protocol::built_in());
    assert!(calls.iter().any(|call| call.rule == "cast-on-too-long" && call.is_listed(day("2024-05-13"))));
}

#[test]
fn a_note_is_parsed_exactly() {
    let put_off = PutOff {
        until: day("2024-06-03"),
        rules: vec!["review-overdue", "missed-appointment"],
        because: "the family is abroad".into(),
    };
    assert_eq!(
        put_off.note(),
        "Not before 2024-06-03 (review overdue; missed appointment): the family is abroad"
    );
    assert_eq!(PutOff::read(&put_off.note()), Some(put_off));
}

/// On every day the most urgent listed call leads the row of the child, and there is a row exactly if there is
/// a call.
#[test]
fn the_row_of_a_child_is_led_by_its_worst_call_on_every_day() {
    let mut stories = super::registry::much_to_say();
    stories.push(noted(&overdue(), "2023-10-05", "Not before 2023-10-20 (review overdue): abroad."));
    for story in stories {
        let calls = found(&story, "2026-01-01", &Protocol::built_in());
        let stretches = leads(&calls);
        assert!(stretches.windows(2).all(|pair| pair[0].until.is_some_and(|until| until <= pair[1].from)));
        for number in day("2020-01-01").number()..day("2027-01-01").number() {
            let day = record::Day::from_number(number);
            let worst =
                calls.iter().filter(|call| call.is_listed(day)).map(|call| (call.urgency, call.from)).min();
            let here = stretches
                .iter()
                .filter(|lead| lead.from <= day && lead.until.is_none_or(|until| day < until));
            let here: Vec<_> = here.map(|lead| (calls[lead.call].urgency, calls[lead.call].from)).collect();
            assert_eq!(here, worst.into_iter().collect::<Vec<_>>(), "{day}");
        }
    }
}
