//! Days, ages and intervals against two general date libraries, jiff and chrono.

use chrono::{Datelike, Months, NaiveDate};
use proptest::prelude::*;
use record::{Day, DayError, DayRange, Timestamp};
use rstest::rstest;

fn to_chrono(day: Day) -> NaiveDate {
    let (year, month, date) = day.parts();
    NaiveDate::from_ymd_opt(year, month, date).unwrap()
}

fn from_chrono(date: NaiveDate) -> Day {
    Day::new(date.year(), date.month(), date.day()).unwrap()
}

fn day(text: &str) -> Day {
    text.parse().unwrap()
}

/// Every day of 1900–2199: 300 years of 365 days and 73 leap days (75 years divisible by four, less
/// 1900 and 2100), 109,573 days.
#[test]
fn every_day_agrees_with_both_libraries() {
    let epoch = NaiveDate::from_ymd_opt(1970, 1, 1).unwrap();
    let (mut expected, mut civil) =
        (NaiveDate::from_ymd_opt(1900, 1, 1).unwrap(), jiff::civil::date(1900, 1, 1));
    let mut count = 0;
    for number in Day::FIRST.number()..=Day::LAST.number() {
        let day = Day::from_number(number);
        assert_eq!(i64::from(number), (expected - epoch).num_days());
        assert_eq!(day.parts(), (expected.year(), expected.month(), expected.day()));
        assert_eq!(day.date(), civil);
        assert_eq!(Day::from_date(civil), day);
        assert_eq!(from_chrono(expected), day);
        let text = day.to_string();
        assert_eq!(text, expected.to_string());
        assert_eq!(text, civil.to_string());
        assert_eq!(text.parse::<Day>(), Ok(day));
        assert_eq!(u32::from(day.weekday_from_monday()), expected.weekday().num_days_from_monday());
        (expected, civil) = (expected.succ_opt().unwrap(), civil.tomorrow().unwrap());
        count += 1;
    }
    assert_eq!(count, 300 * 365 + 73);
    assert_eq!(expected, NaiveDate::from_ymd_opt(2200, 1, 1).unwrap());
}

/// Every year, month 0–14 and day 0–33: accepted exactly where chrono has such a day.
#[test]
fn what_is_not_in_the_calendar_is_refused() {
    for year in 1890..=2210 {
        for month in 0..=14 {
            for date in 0..=33 {
                let ours = Day::new(year, month, date);
                if !(1900..=2199).contains(&year) {
                    assert_eq!(ours, Err(DayError::Year(year)));
                    continue;
                }
                let theirs = NaiveDate::from_ymd_opt(year, month, date);
                assert_eq!(ours.ok(), theirs.map(from_chrono), "{year}-{month}-{date}");
                let text = format!("{year:04}-{month:02}-{date:02}");
                assert_eq!(text.parse::<Day>().is_ok(), theirs.is_some());
            }
        }
    }
}

#[rstest]
#[case("0202-03-04", "the year 202 cannot be right: 1900 to 2199 is expected")]
#[case("2200-01-01", "the year 2200 cannot be right: 1900 to 2199 is expected")]
#[case("2023-02-29", "2023-02-29 is not in the calendar")]
#[case("2024-13-01", "2024-13-01 is not in the calendar")]
#[case("30/07/2024", "“30/07/2024” is not a day: year-month-day is expected, as in 2024-07-30")]
fn a_wrong_day_gets_its_sentence(#[case] text: &str, #[case] sentence: &str) {
    assert_eq!(text.parse::<Day>().unwrap_err().to_string(), sentence);
    let error = serde_json::from_value::<Day>(text.into()).unwrap_err().to_string();
    assert_eq!(error, sentence);
}

#[rstest]
#[case("")]
#[case("2024-7-30")]
#[case("2024-07-3")]
#[case("2024-07-300")]
#[case("2024-07-30 ")]
#[case("+024-07-30")]
#[case("2024-07-+1")]
#[case("2024/07/30")]
#[case("20240730")]
#[case("２０２４-07-30")]
#[case("2024-07-3é")]
#[case("2024-07-30T00:00:00Z")]
fn only_one_form_of_a_day_is_read(#[case] text: &str) {
    assert!(matches!(text.parse::<Day>(), Err(DayError::Form(_))));
}

#[test]
fn days_outside_the_years_are_held_at_the_ends() {
    use jiff::civil::Date;
    assert_eq!(Day::FIRST.to_string(), "1900-01-01");
    assert_eq!(Day::LAST.to_string(), "2199-12-31");
    for (date, end) in [
        (Date::MIN, Day::FIRST),
        (jiff::civil::date(0, 12, 31), Day::FIRST),
        (jiff::civil::date(1899, 12, 31), Day::FIRST),
        (jiff::civil::date(2200, 1, 1), Day::LAST),
        (Date::MAX, Day::LAST),
    ] {
        assert_eq!(Day::from_date(date), end);
    }
    for huge in [i32::MAX, i32::MAX / 2] {
        assert_eq!((Day::LAST + huge, Day::FIRST + -huge), (Day::LAST, Day::FIRST));
        assert_eq!((Day::LAST - -huge, Day::FIRST - huge), (Day::LAST, Day::FIRST));
        assert_eq!((Day::FIRST.plus_months(huge), Day::LAST.plus_months(-huge)), (Day::LAST, Day::FIRST));
        assert_eq!((Day::FIRST.plus_years(huge), Day::LAST.plus_years(-huge)), (Day::LAST, Day::FIRST));
    }
    assert_eq!((Day::LAST - i32::MIN, Day::LAST + i32::MIN), (Day::LAST, Day::FIRST));
    assert_eq!((Day::LAST.plus_years(i32::MIN), Day::from_number(i32::MIN)), (Day::FIRST, Day::FIRST));
}

/// Month ends worked by hand from the calendar: 2024 is a leap year, 2023 and 2100 are not.
#[rstest]
#[case("2024-01-31", "2024-02-29", 1)]
#[case("2024-01-31", "2024-02-28", 0)]
#[case("2023-01-31", "2023-02-28", 1)]
#[case("2023-01-30", "2023-02-28", 1)]
#[case("2024-01-30", "2024-02-28", 0)]
#[case("2100-01-31", "2100-02-28", 1)]
#[case("2024-02-29", "2025-02-28", 12)]
#[case("2024-02-29", "2025-02-27", 11)]
#[case("2024-02-29", "2029-02-28", 60)]
#[case("2024-03-31", "2024-04-30", 1)]
#[case("2024-05-15", "2024-06-14", 0)]
#[case("2024-05-15", "2024-06-15", 1)]
#[case("2024-05-15", "2024-05-14", -1)]
#[case("2024-03-31", "2024-02-29", -1)]
#[case("2199-11-30", "2199-12-31", 1)]
fn whole_months(#[case] from: &str, #[case] to: &str, #[case] months: i32) {
    assert_eq!(day(from).months_to(day(to)), months);
}

/// Every birthday of eight years, two of them leap years, at every age in months up to the sixth
/// birthday: chrono's month arithmetic reaches the same day, and our count of whole months turns over on
/// that day and not the day before.
#[test]
fn ages_in_months_turn_over_on_the_day_chrono_names() {
    for number in day("2019-01-01").number()..=day("2026-12-31").number() {
        let born = Day::from_number(number);
        for months in 1..=72_u32 {
            let date = to_chrono(born).checked_add_months(Months::new(months)).unwrap();
            let turned = from_chrono(date);
            let months = months as i32;
            assert_eq!(born.plus_months(months), turned);
            assert_eq!(born.months_to(turned), months, "{born} to {turned}");
            assert_eq!(born.months_to(turned - 1), months - 1, "{born} to the day before {turned}");
        }
    }
}

fn any_day() -> impl Strategy<Value = Day> {
    (Day::FIRST.number()..=Day::LAST.number()).prop_map(Day::from_number)
}

proptest! {
    #[test]
    fn intervals_agree_with_chrono(a in any_day(), b in any_day()) {
        let (first, second) = (to_chrono(a), to_chrono(b));
        prop_assert_eq!(i64::from(b - a), (second - first).num_days());
        prop_assert_eq!(a + (b - a), b);
        prop_assert_eq!(b - (b - a), a);
        prop_assert_eq!(a < b, first < second);
    }

    #[test]
    fn months_later_and_earlier_agree_with_chrono(a in any_day(), months in -3600..3600_i32) {
        let date = to_chrono(a);
        let count = Months::new(months.unsigned_abs());
        let theirs = if months < 0 { date.checked_sub_months(count) } else { date.checked_add_months(count) };
        let theirs = theirs.unwrap();
        let held = match theirs.year() {
            ..1900 => Day::FIRST,
            1900..2200 => from_chrono(theirs),
            _ => Day::LAST,
        };
        prop_assert_eq!(a.plus_months(months), held);
    }

    /// The definition, compared with chrono: this number of months does not pass the later day, one more does.
    #[test]
    fn whole_months_are_the_most_that_fit(a in any_day(), b in any_day()) {
        let (first, second) = (to_chrono(a), to_chrono(b));
        let months = a.months_to(b);
        let later = |months: i32| {
            let count = Months::new(months.unsigned_abs());
            if months < 0 { first.checked_sub_months(count) } else { first.checked_add_months(count) }.unwrap()
        };
        prop_assert!(later(months) <= second);
        prop_assert!(later(months + 1) > second);
        if a <= b {
            // chrono counts whole years by the birthday, which differs from ours only for 29 February,
            // where it waits for 1 March.
            let theirs = second.years_since(first).unwrap() as i32;
            let leap_birthday = (first.month(), first.day()) == (2, 29);
            let turned_early = leap_birthday && (second.month(), second.day()) == (2, 28);
            prop_assert_eq!(months.div_euclid(12) - i32::from(turned_early && months % 12 == 0 && months > 0), theirs);
        }
    }

    #[test]
    fn any_text_is_read_or_refused_as_chrono_does(text in "[0-9]{4}-[0-9]{2}-[0-9]{2}") {
        let theirs = NaiveDate::parse_from_str(&text, "%Y-%m-%d").ok();
        let ours = text.parse::<Day>().ok().map(to_chrono);
        prop_assert_eq!(ours, theirs.filter(|date| (1900..2200).contains(&date.year())));
    }

    #[test]
    fn instants_agree_with_jiff(seconds in -2_208_988_800_i64..=7_258_118_399) {
        let ours = Timestamp::from_seconds(seconds);
        let theirs = jiff::Timestamp::from_second(seconds).unwrap();
        prop_assert_eq!(ours.seconds(), seconds);
        prop_assert_eq!(ours.to_string(), theirs.to_string());
        prop_assert_eq!(ours.to_string().parse::<Timestamp>(), Ok(ours));
        prop_assert_eq!(ours.day().date(), jiff::tz::Offset::UTC.to_datetime(theirs).date());
        prop_assert_eq!(serde_json::to_string(&ours).unwrap(), format!("\"{theirs}\""));
    }

    #[test]
    fn no_text_brings_the_reading_down(text in "\\PC{0,30}") {
        let _ = text.parse::<Day>();
        let _ = text.parse::<Timestamp>();
    }
}

#[rstest]
#[case("2024-07-30T11:12:04+02:00", "2024-07-30T09:12:04Z")]
#[case("2024-07-30T09:12:04.987Z", "2024-07-30T09:12:04Z")]
#[case("1969-12-31T23:59:59.5Z", "1969-12-31T23:59:59Z")] // dropped, not rounded towards 1970
#[case("2024-07-30 09:12:04Z", "2024-07-30T09:12:04Z")]
fn other_ways_of_writing_an_instant(#[case] text: &str, #[case] own: &str) {
    assert_eq!(text.parse::<Timestamp>().unwrap().to_string(), own);
}

#[rstest]
#[case("2024-07-30T24:00:00Z")]
#[case("2024-07-30T09:60:00Z")]
#[case("2024-07-30T09:12:04")]
#[case("2024-07-30")]
#[case("2024-02-30T09:12:04Z")]
#[case("yesterday")]
fn what_is_no_instant_is_refused(#[case] text: &str) {
    assert!(text.parse::<Timestamp>().is_err());
}

#[test]
fn instants_outside_the_years_are_refused_or_held() {
    for (text, year) in [("0202-01-01T00:00:00Z", 202), ("2200-01-01T00:30:00+00:00", 2200)] {
        assert_eq!(text.parse::<Timestamp>(), Err(DayError::Year(year)));
    }
    assert_eq!(Timestamp::from_seconds(i64::MAX).to_string(), "2199-12-31T23:59:59Z");
    assert_eq!(Timestamp::from_seconds(i64::MIN).to_string(), "1900-01-01T00:00:00Z");
}

#[test]
fn words_and_windows() {
    assert_eq!(day("2023-10-05").words(), "5 October 2023");
    assert_eq!(day("2023-10-05").weekday_word(), "Thursday");
    assert_eq!(format!("{:>12}", day("2023-10-05")), "  2023-10-05");
    let (a, b) = (day("2024-07-30"), day("2024-08-02"));
    assert_eq!(DayRange::new(b, a), DayRange { from: a, to: b });
    let window = DayRange::new(a, b);
    assert_eq!(
        [a - 1, a, a + 1, b - 1, b, b + 1].map(|day| window.contains(day)),
        [false, true, true, true, true, false]
    );
    let json = r#"{"from":"2024-07-30","to":"2024-08-02"}"#;
    assert_eq!(serde_json::from_str::<DayRange>(json).unwrap(), window);
    let reversed = r#"{"from":"2024-08-02","to":"2024-07-30"}"#;
    let error = serde_json::from_str::<DayRange>(reversed).unwrap_err().to_string();
    assert!(error.contains("ends before it begins"), "{error}");
}
