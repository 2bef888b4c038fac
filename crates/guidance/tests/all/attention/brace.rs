//! Rules about the brace and its reviews.

use super::{begins, found, one, silent, with};
use crate::story::{Story, day};
use guidance::{Protocol, Urgency};

/// Born on 1 March 2024, brace fitted on 3 May 2024.
fn fitted() -> Story {
    Story::rows(
        "2024-03-08 | | registered | born 2024-03-01
         2024-03-08 | right | cast | |
         2024-05-03 | | brace | full time",
    )
}

fn seen(story: &Story, days: &[&str]) -> Story {
    let rows: String = days
        .iter()
        .map(|day| format!("{day} | right | movement | dorsiflexion 20; abduction 70\n"))
        .collect();
    with(story, &rows)
}

// 1 + 5 + 6 weeks (common practice, no source), each with 7 days of grace.
#[test]
fn each_early_review_is_overdue_from_the_day_after_its_window() {
    begins(&fitted(), "early-brace-review-overdue", "2024-05-18"); // 3 May + 7 + 7 + 1
    let one_week = seen(&fitted(), &["2024-05-10"]);
    begins(&one_week, "early-brace-review-overdue", "2024-06-22"); // 3 May + 42 + 7 + 1
    let six_weeks = seen(&one_week, &["2024-06-14"]);
    begins(&six_weeks, "early-brace-review-overdue", "2024-08-03"); // 3 May + 84 + 7 + 1
    let twelve_weeks = seen(&six_weeks, &["2024-07-26"]);
    silent(&twelve_weeks, "2024-12-31", "early-brace-review-overdue");
}

#[test]
fn each_early_review_is_called_by_its_name() {
    assert_eq!(Protocol::built_in().early_reviews_weeks, [1, 1 + 5, 1 + 5 + 6]);
    let held: [&[&str]; 3] = [&[], &["2024-05-10"], &["2024-05-10", "2024-06-14"]];
    let names = [
        "1 week was due on 10 May 2024",
        "6 weeks was due on 14 June 2024",
        "12 weeks was due on 26 July 2024",
    ];
    for (held, name) in held.into_iter().zip(names) {
        let text = one(&seen(&fitted(), held), "2024-06-30", "early-brace-review-overdue").text.words();
        assert!(text.starts_with(&format!("Brace review at {name}")), "{text}");
    }
}

#[test]
fn a_visit_before_the_window_does_not_count_and_a_late_one_counts_for_all_before_it() {
    // The 6-week window opens on day 39 (42 − 3), 11 June; a visit on 10 June is not that review.
    begins(&seen(&fitted(), &["2024-06-10"]), "early-brace-review-overdue", "2024-06-22");
    begins(&seen(&fitted(), &["2024-06-11"]), "early-brace-review-overdue", "2024-08-03");
}

#[test]
fn no_early_reviews_without_a_brace_and_the_same_ones_where_it_began_at_night() {
    let casts = Story::rows("2024-03-08 | right | cast | |");
    silent(&casts, "2024-12-31", "early-brace-review-overdue");
    let night = Story::rows("2024-03-08 | right | cast | |\n 2024-05-03 | | brace | nights and naps");
    begins(&night, "early-brace-review-overdue", "2024-05-18");
    silent(&with(&night, "2024-05-10 | right | cast | |"), "2024-12-31", "early-brace-review-overdue");
}

#[test]
fn the_change_to_night_time_is_due_twelve_weeks_after_the_fitting() {
    begins(&fitted(), "night-time-due", "2024-07-26"); // 3 May + 84
    let changed = with(&fitted(), "2024-07-26 | | brace changed | hours changed; nights and naps");
    silent(&changed, "2024-08-30", "night-time-due");
    let casts = Story::rows("2024-03-08 | right | cast | |");
    silent(&casts, "2024-12-31", "night-time-due");
    let protocol = Protocol::with_clinic_file("[bracing]\nfull_time_weeks = 16").unwrap();
    let calls = found(&fitted(), "2024-05-03", &protocol);
    let from = calls.iter().find(|call| call.rule == "night-time-due").map(|call| call.from);
    assert_eq!(from, Some(day("2024-05-03") + 16 * 7));
}

/// Past the early reviews, at night, last seen on the day given.
fn at_night(born: &str, last: &str) -> Story {
    let rows = format!(
        "2021-01-08 | | registered | {born}
         2021-01-08 | right | cast | |
         2021-03-05 | | brace | full time
         2021-05-28 | | brace | nights and naps"
    );
    seen(&Story::rows(&rows), &[last])
}

// Every 4 months to 3 years, every 6 months to 4 years, then yearly: handbook (from memory). 28 days of
// grace: common practice, no source.
#[test]
fn later_reviews_are_overdue_by_the_interval_of_the_age() {
    // Age 2 on 3 May 2023: 4 months to 3 September, + 28 = 1 October.
    begins(&at_night("born 2021-01-01", "2023-05-03"), "review-overdue", "2023-10-02");
    // Third birthday on 3 May 2023: 6 months to 3 November, + 28 = 1 December.
    begins(&at_night("born 2020-05-03", "2023-05-03"), "review-overdue", "2023-12-02");
    // A day short of it: 4 months.
    begins(&at_night("born 2020-05-04", "2023-05-03"), "review-overdue", "2023-10-02");
    // Fourth birthday on 3 May 2023: 12 months to 3 May 2024, + 28 = 31 May; five years old on that day.
    begins(&at_night("born 2019-05-03", "2023-05-03"), "review-overdue", "2024-06-01");
}

#[test]
fn where_bracing_ends_on_the_days_of_a_review_the_end_counts() {
    // Born 1 October 2018, seen at four on 20 October 2022: due yearly, on 20 October 2023; but bracing
    // ends at five on 1 October 2023. 1 October + 28 = 29 October.
    begins(&at_night("born 2018-10-01", "2022-10-20"), "review-overdue", "2023-10-30");
    // Five on 25 October 2023, within the days of the review due on 20 October: 25 October + 28 = 22
    // November.
    begins(&at_night("born 2018-10-25", "2022-10-26"), "review-overdue", "2023-11-23");
}

#[test]
fn an_unknown_age_takes_the_shortest_interval() {
    begins(&at_night("name Unknown", "2023-05-03"), "review-overdue", "2023-10-02");
}

#[test]
fn no_later_review_in_casts_or_while_early_ones_are_outstanding() {
    silent(&fitted(), "2025-12-31", "review-overdue");
    silent(&Story::rows("2024-03-08 | right | cast | |"), "2025-12-31", "review-overdue");
}

#[test]
fn a_brace_problem_calls_until_it_is_settled() {
    for what in ["heel slips out of the boot", "boots or bar outgrown", "brace broken", "brace not tolerated"]
    {
        let story = with(&fitted(), &format!("2024-05-06 | right | problem | {what}"));
        begins(&story, "brace-problem", "2024-05-06");
        let settled = with(&story, &format!("2024-05-08 | right | problem | {what}; settled"));
        silent(&settled, "2024-05-08", "brace-problem");
    }
    silent(&fitted(), "2024-05-06", "brace-problem");
    silent(
        &with(&fitted(), "2024-05-06 | right | problem | fever or signs of infection"),
        "2024-05-06",
        "brace-problem",
    );
}

#[test]
fn bracing_stopped_before_its_end_calls_from_that_day() {
    let stopped = with(&fitted(), "2025-05-03 | | brace changed | bracing stopped");
    begins(&stopped, "bracing-stopped-early", "2025-05-03");
    let call = one(&stopped, "2025-05-03", "bracing-stopped-early");
    assert_eq!(call.urgency, Urgency::ThisWeek);
    assert_eq!(call.text.words(), "Bracing was stopped on 3 May 2025; it was planned until 1 March 2029.");
    let resumed = with(&stopped, "2025-05-10 | | brace changed | bracing taken up again");
    silent(&resumed, "2025-05-10", "bracing-stopped-early");
    let recast = with(&stopped, "2025-05-10 | right | cast | |");
    silent(&recast, "2025-05-10", "bracing-stopped-early");
    silent(&fitted(), "2025-05-10", "bracing-stopped-early");
}

#[test]
fn the_end_by_age_is_not_early_and_the_day_before_is() {
    let stopped = |day: &str| with(&fitted(), &format!("{day} | | brace changed | bracing stopped"));
    silent(&stopped("2029-03-01"), "2029-03-01", "bracing-stopped-early"); // the fifth birthday
    begins(&stopped("2029-02-28"), "bracing-stopped-early", "2029-02-28");
}

#[test]
fn without_a_day_of_birth_a_stop_is_called_as_less_urgent() {
    let story = Story::rows(
        "2024-03-08 | right | cast | |
         2024-05-03 | | brace | full time
         2025-05-03 | | brace changed | bracing stopped",
    );
    let call = one(&story, "2025-05-03", "bracing-stopped-early");
    assert_eq!(call.urgency, Urgency::Soon);
    assert!(call.text.words().contains("it is not known whether that was early"), "{}", call.text.words());
}

#[test]
fn the_end_of_bracing_is_announced_ninety_one_days_before_the_fifth_birthday() {
    // Born 1 March 2024: five on 1 March 2029; 91 days before is 30 November 2028 (31 + 31 + 28 + 1).
    begins(&fitted(), "end-of-bracing", "2028-11-30");
    assert_eq!(day("2029-03-01") - day("2028-11-30"), 91);
    let protocol = Protocol::with_clinic_file("[bracing]\nends_years = 4").unwrap();
    let calls = found(&fitted(), "2024-05-03", &protocol);
    let from = calls.iter().find(|call| call.rule == "end-of-bracing").map(|call| call.from);
    assert_eq!(from, Some(day("2028-03-01") - 91));
}

#[test]
fn an_end_near_at_the_fitting_is_announced_from_the_fitting_and_none_from_the_birthday_on() {
    let fitted_on = |day: &str| {
        Story::rows(&format!(
            "2024-03-08 | | registered | born 2019-06-07
             2024-03-08 | right | cast | |
             {day} | | brace | full time"
        ))
    };
    // Five on 7 June 2024; 91 days before is 8 March, the fitting is later.
    begins(&fitted_on("2024-05-03"), "end-of-bracing", "2024-05-03");
    begins(&fitted_on("2024-06-06"), "end-of-bracing", "2024-06-06");
    silent(&fitted_on("2024-06-07"), "2024-06-07", "end-of-bracing");
}

#[test]
fn the_end_is_not_announced_without_brace_or_birth_date_or_where_age_does_not_settle_it() {
    silent(&Story::rows("2024-03-08 | right | cast | |"), "2029-01-01", "end-of-bracing");
    let unknown = Story::rows("2024-03-08 | right | cast | |\n 2024-05-03 | | brace | full time");
    silent(&unknown, "2029-01-01", "end-of-bracing");
    let late = Story::rows(
        "2024-03-08 | | registered | born 2018-03-01
         2024-03-08 | right | cast | |
         2024-05-03 | | brace | full time",
    );
    silent(&late, "2024-05-03", "end-of-bracing"); // six years old at the fitting
}
