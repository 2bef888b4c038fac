//! Rules about the hours of wear.

use super::{begins, calls, found, one, silent, with};
use crate::story::{Story, day};
use guidance::Protocol;
use record::{Day, WearLogged, WearReported};

/// Born on 1 March 2024, in the brace at night from 3 May 2024 on, 12 hours prescribed.
fn at_night() -> Story {
    Story::rows(
        "2024-03-08 | | registered | born 2024-03-01
         2024-03-08 | right | cast | |
         2024-05-03 | | brace | nights and naps; hours 12",
    )
}

fn reported(story: &mut Story, on: Day, hours_per_day: f64) {
    story.add(on, WearReported { from: on, to: on, hours_per_day, days_without: None, reason: None });
}

fn logged(story: &mut Story, from: Day, to: Day, hours_per_day: f64) {
    let days_judged = u16::try_from(to - from + 1).unwrap();
    story.add(to, WearLogged { from, to, hours_per_day, days_judged, logger: None });
}

/// Logged week by week from Monday 6 May 2024 on, each recorded on its Sunday.
fn weeks(hours: &[f64]) -> Story {
    let mut story = at_night();
    for (week, hours) in hours.iter().enumerate() {
        let monday = day("2024-05-06") + 7 * i32::try_from(week).unwrap();
        logged(&mut story, monday, monday + 6, *hours);
    }
    story
}

#[test]
fn a_fall_is_called_two_weeks_after_it() {
    // Weeks from 6 May at 12, 11.5, 12, 12; from 3 June (6 May + 4 · 7 days) at 8. Two weeks later: 17 June.
    let fallen = weeks(&[12.0, 11.5, 12.0, 12.0, 8.0, 8.0, 7.5]);
    begins(&fallen, "wear-falling", "2024-06-17");
    let text = one(&fallen, "2024-07-01", "wear-falling").text.words();
    // Means: (12 + 11.5 + 12 + 12) / 4 = 11.875; (8 + 8 + 7.5) / 3 = 7.833.
    assert_eq!(text, "Wear logged fell from 11.9 to 7.8 hours a day in the week of 3 June 2024.");
}

#[test]
fn a_fall_is_called_until_the_child_was_seen_after_it_was_known() {
    // Weeks from 3 June at 8; known on 17 June from the weeks of 3 and 10 June.
    let fallen = weeks(&[12.0, 11.5, 12.0, 12.0, 8.0, 8.0, 7.5]);
    for (on, called) in [("2024-06-16", true), ("2024-06-17", true), ("2024-06-18", false)] {
        let seen = with(&fallen, &format!("{on} | right | movement | dorsiflexion 20"));
        assert_eq!(calls(&seen, "2024-07-01", "wear-falling").len(), usize::from(called), "seen on {on}");
    }
    // Reported at a visit on 30 June for weeks long past: that visit itself does not answer the fall.
    let mut recorded_late = at_night();
    for (week, hours) in [12.0, 12.0, 12.0, 12.0, 8.0, 8.0].into_iter().enumerate() {
        let from = day("2024-05-06") + 7 * i32::try_from(week).unwrap();
        let days_judged = 7;
        recorded_late.add(
            day("2024-06-30"),
            WearLogged { from, to: from + 6, hours_per_day: hours, days_judged, logger: None },
        );
    }
    let recorded_late = with(&recorded_late, "2024-06-30 | right | movement | dorsiflexion 20");
    begins(&recorded_late, "wear-falling", "2024-06-30");
    let later = with(&recorded_late, "2024-07-05 | right | movement | dorsiflexion 20");
    silent(&later, "2024-07-08", "wear-falling");
}

#[test]
fn a_small_fall_a_rise_and_a_fall_with_the_regime_are_not_called() {
    silent(&weeks(&[12.0, 11.5, 12.0, 12.0, 10.5, 10.5, 10.5]), "2024-07-01", "wear-falling");
    silent(&weeks(&[6.0, 6.5, 6.0, 12.0, 12.0, 11.5]), "2024-07-01", "wear-falling");
    silent(&weeks(&[12.0, 8.0]), "2024-07-01", "wear-falling");
    silent(&at_night(), "2024-07-01", "wear-falling");
    // Full time to nights: the fall in hours is intended.
    let mut story = Story::rows(
        "2024-03-08 | | registered | born 2024-03-01
         2024-03-08 | right | cast | |
         2024-05-06 | | brace | full time; hours 23
         2024-06-03 | | brace | nights and naps; hours 12",
    );
    for week in 0..8 {
        let monday = day("2024-05-06") + 7 * week;
        logged(&mut story, monday, monday + 6, if week < 4 { 21.0 } else { 12.0 });
    }
    silent(&story, "2024-07-01", "wear-falling");
}

#[test]
fn three_days_without_wear_are_called_from_the_third() {
    let mut story = at_night();
    for (on, hours) in [("2024-06-02", 11.0), ("2024-06-03", 0.0), ("2024-06-04", 0.0), ("2024-06-05", 0.0)] {
        reported(&mut story, day(on), hours);
    }
    begins(&story, "nights-missed", "2024-06-05");
    let text = one(&story, "2024-06-20", "nights-missed").text.words();
    assert_eq!(text, "Not worn on 3 days in a row, 3 June 2024 to 5 June 2024, reported by the family.");
    reported(&mut story, day("2024-06-06"), 9.0);
    silent(&story, "2024-06-20", "nights-missed");
}

#[test]
fn two_days_or_days_with_one_unknown_between_are_not_called() {
    let mut two = at_night();
    reported(&mut two, day("2024-06-03"), 0.0);
    reported(&mut two, day("2024-06-04"), 0.0);
    silent(&two, "2024-06-20", "nights-missed");
    let mut gap = two.clone();
    reported(&mut gap, day("2024-06-06"), 0.0);
    silent(&gap, "2024-06-20", "nights-missed");
}

#[test]
fn logged_hours_far_below_reported_are_called_the_day_after() {
    let both = |reported_hours: f64, days: i32| {
        let mut story = at_night();
        let from = day("2024-05-06");
        let to = from + (days - 1);
        story.add(
            to,
            WearReported { from, to, hours_per_day: reported_hours, days_without: None, reason: None },
        );
        logged(&mut story, from, to, 6.0);
        story
    };
    // 9 / 6 = 1.5; 6 May + 7 days.
    begins(&both(9.0, 7), "logged-below-reported", "2024-05-13");
    assert!(
        one(&both(12.0, 7), "2024-06-01", "logged-below-reported").text.words().contains("2.0 times as many")
    );
    // 8.9 / 6 = 1.48; and six days are too few.
    silent(&both(8.9, 7), "2024-06-01", "logged-below-reported");
    silent(&both(12.0, 6), "2024-06-01", "logged-below-reported");
    silent(&at_night(), "2024-06-01", "logged-below-reported");
}

#[test]
fn no_recorded_wear_for_a_quarter_is_called() {
    // 3 May + 92 days: 28 in May, 30 in June, 31 in July make 89; three more.
    begins(&at_night(), "no-wear-record", "2024-08-03");
    let mut recorded = at_night();
    reported(&mut recorded, day("2024-07-01"), 10.0);
    // 1 July + 92 days.
    begins(&recorded, "no-wear-record", "2024-10-01");
    let casts = Story::rows("2024-03-08 | right | cast | |");
    silent(&casts, "2024-12-31", "no-wear-record");
}

/// The first day of the only call of a rule under a protocol, if there is one.
fn first(story: &Story, rule: &str, protocol: &Protocol) -> Option<Day> {
    found(story, "2025-06-01", protocol).iter().find(|call| call.rule == rule).map(|call| call.from)
}

/// Every limit of this file comes from the protocol: the boundary moves with the value, in a clinic's own file too.
#[test]
fn the_limits_are_those_of_the_protocol() {
    let own = "[wear]\nfalling_hours = 3\nfalling_after_days = 21\nmissed_days = 5\nover_report_percent = 200\nshared_days = 10\nno_record_days = 40";
    for protocol in [Protocol::built_in(), Protocol::with_clinic_file(own).unwrap()] {
        let monday = day("2024-05-06");
        let fall = f64::from(protocol.wear_falling_hours);
        for (off, called) in [(-0.1, false), (0.0, true), (0.1, true)] {
            let after = 12.0 - fall - off;
            let story = weeks(&[12.0, 12.0, 12.0, 12.0, after, after, after]);
            // Four weeks of seven days before the change.
            let expected = monday + 28 + i32::from(protocol.wear_falling_after_days);
            assert_eq!(first(&story, "wear-falling", &protocol), called.then_some(expected), "{off}");
        }
        let missed = i32::from(protocol.wear_missed_days);
        for (off, called) in [(-1, false), (0, true), (1, true)] {
            let mut story = at_night();
            (0..missed + off).for_each(|after| reported(&mut story, monday + after, 0.0));
            assert_eq!(
                first(&story, "nights-missed", &protocol),
                called.then_some(monday + (missed - 1)),
                "{off}"
            );
        }
        let share = f64::from(protocol.wear_over_report_percent) / 100.0;
        let enough = i32::from(protocol.wear_shared_days);
        for (days, off, called) in
            [(-1, 0.0, false), (0, -0.01, false), (0, 0.0, true), (0, 0.01, true), (1, 0.0, true)]
        {
            let mut story = at_night();
            let to = monday + (enough + days - 1);
            let hours_per_day = 6.0 * (share + off);
            story.add(to, WearReported { from: monday, to, hours_per_day, days_without: None, reason: None });
            logged(&mut story, monday, to, 6.0);
            assert_eq!(
                first(&story, "logged-below-reported", &protocol),
                called.then_some(to + 1),
                "{days} {off}"
            );
        }
        let expected = day("2024-05-03") + i32::from(protocol.wear_no_record_days);
        assert_eq!(first(&at_night(), "no-wear-record", &protocol), Some(expected));
    }
}

/// Stories with calls of every rule of this file.
pub fn much_to_say() -> Vec<Story> {
    let mut missed = at_night();
    (0..3).for_each(|after| reported(&mut missed, day("2024-06-03") + after, 0.0));
    let mut both = at_night();
    let (from, to) = (day("2024-05-06"), day("2024-05-12"));
    both.add(to, WearReported { from, to, hours_per_day: 12.0, days_without: None, reason: None });
    logged(&mut both, from, to, 6.0);
    vec![weeks(&[12.0, 12.0, 11.5, 12.0, 7.0, 7.0, 7.0]), missed, both]
}
