//! Hours compared with those prescribed: published figures and values worked out by hand.

use super::story::{PUBLISHED, Story, day};
use record::Day;
use wear::adherence::{Adherence, PUBLISHED_OVER_REPORT, Prescribed};

const PRESCRIBED: Prescribed = Prescribed { full_time_hours: 23.0, night_hours: 14.0 };

impl Story {
    fn adherence(&self, as_of: Day) -> Adherence {
        Adherence::of(&self.course(as_of), PRESCRIBED)
    }
}

#[test]
fn the_published_hours_by_quarter_are_reproduced() {
    let mut story = Story::braced();
    // Quarters of 13 weeks from Monday 1 April 2024 on.
    for (quarter, hours) in PUBLISHED.into_iter().enumerate() {
        let from = day(2024, 4, 1) + 91 * quarter as i32;
        story.logged(from, from + 90, hours);
    }
    let adherence = story.adherence(day(2025, 10, 1));
    let weeks = &adherence.logged.weeks;
    assert_eq!(weeks.len(), 6 * 13);
    for (quarter, hours) in PUBLISHED.into_iter().enumerate() {
        for week in &weeks[quarter * 13..(quarter + 1) * 13] {
            assert!((week.hours - hours).abs() < 1e-9 && week.days == 7, "{week:?}");
            // Full time is prescribed until 1 July, 13 weeks after 1 April.
            assert_eq!(week.prescribed, if quarter == 0 { 23.0 } else { 14.0 });
        }
    }
    // From 8.6 to 7.9 and 7.7: the last two differ by less than the resolution of an account, a quarter of an hour.
    let change = adherence.logged.change.unwrap();
    assert_eq!(change.from, day(2024, 4, 1) + 91 * 4);
    assert!((change.before - 8.6).abs() < 1e-9 && (change.after - 7.8).abs() < 1e-9, "{change:?}");
}

#[test]
fn the_published_over_report_comes_out_where_both_are_known() {
    let mut story = Story::braced();
    let (from, to) = (day(2024, 7, 8), day(2024, 8, 4));
    story.logged(from, to, 7.7);
    // Logged hours were 77 % of those reported (Sangiorgio 2016): 7.7 of 10.
    story.reported(from - 14, to, 10.0);
    let both = story.adherence(day(2024, 9, 1)).both.unwrap();
    assert_eq!((both.days, both.to), (28, to));
    let ratio = both.ratio().unwrap();
    assert!((ratio - 1.0 / 0.77).abs() < 1e-9);
    assert!((ratio - PUBLISHED_OVER_REPORT).abs() < 0.005, "{ratio}");
}

#[test]
fn reported_and_logged_are_never_mixed() {
    let mut story = Story::braced();
    story.logged(day(2024, 7, 8), day(2024, 7, 14), 5.0);
    story.reported(day(2024, 7, 8), day(2024, 7, 14), 13.0);
    story.reported(day(2024, 7, 15), day(2024, 7, 21), 13.0);
    let adherence = story.adherence(day(2024, 9, 1));
    assert_eq!(adherence.logged.weeks.iter().map(|week| week.hours).collect::<Vec<_>>(), [5.0]);
    assert_eq!(adherence.reported.weeks.iter().map(|week| week.hours).collect::<Vec<_>>(), [13.0, 13.0]);
    assert_eq!(adherence.leading().unwrap().kind, course::WearKind::Logged);
}

#[test]
fn a_shorter_span_counts_before_a_longer_one_and_days_without_a_brace_do_not_count() {
    let mut story = Story::braced();
    story.reported(day(2024, 7, 8), day(2024, 7, 14), 12.0);
    story.reported(day(2024, 7, 10), day(2024, 7, 10), 0.0);
    // Before the brace.
    story.reported(day(2024, 3, 20), day(2024, 3, 26), 5.0);
    let reported = story.adherence(day(2024, 9, 1)).reported;
    assert_eq!(reported.weeks.len(), 1);
    let week = reported.weeks[0];
    // Six days of 12 hours and one of none: 72 / 7.
    assert!((week.hours - 72.0 / 7.0).abs() < 1e-12);
    assert_eq!((week.days, week.days_without, reported.days_without()), (7, 1, 1));
    assert_eq!(reported.missed, None);
}

#[test]
fn days_missed_in_a_row_are_found_and_end_when_it_is_worn_again() {
    let mut story = Story::braced();
    for (at, hours) in [11.0, 0.0, 0.0, 0.0].into_iter().enumerate() {
        let on = day(2024, 7, 8) + at as i32;
        story.reported(on, on, hours);
    }
    let missed = story.adherence(day(2024, 9, 1)).reported.missed.unwrap();
    assert_eq!((missed.from, missed.to, missed.ended), (day(2024, 7, 9), day(2024, 7, 11), false));
    story.reported(day(2024, 7, 12), day(2024, 7, 12), 8.0);
    assert!(story.adherence(day(2024, 9, 1)).reported.missed.unwrap().ended);
}

#[test]
fn a_change_is_found_where_it_is_and_none_where_there_is_none() {
    let weeks = |hours: &[f64]| {
        let mut story = Story::braced();
        for (week, hours) in hours.iter().enumerate() {
            let monday = day(2024, 7, 8) + 7 * week as i32;
            story.logged(monday, monday + 6, *hours);
        }
        story.adherence(day(2025, 6, 1)).logged
    };
    let fallen = weeks(&[12.0, 11.4, 12.3, 11.8, 12.1, 8.2, 7.9, 8.4]);
    let change = fallen.change.unwrap();
    assert_eq!(change.from, day(2024, 7, 8) + 35);
    // (12 + 11.4 + 12.3 + 11.8 + 12.1) / 5 and (8.2 + 7.9 + 8.4) / 3.
    assert!((change.before - 11.92).abs() < 1e-9 && (change.after - 24.5 / 3.0).abs() < 1e-9);
    assert_eq!(weeks(&[12.0, 11.4, 12.3, 11.8, 12.1, 11.7, 12.2]).change, None);
    assert_eq!(weeks(&[12.0, 8.0]).change, None);
    // Half an hour less every week, over four weeks: 0.5 · 30 / 7 hours a month.
    let sinking = weeks(&[12.0, 11.5, 11.0, 10.5]);
    let slope = sinking.trend.filter(|_| sinking.change.is_none());
    assert!(slope.is_none_or(|slope| (slope + 0.5 * 30.0 / 7.0).abs() < 1e-9), "{sinking:?}");
}
