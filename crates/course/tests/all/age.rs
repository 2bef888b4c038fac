//! Ages and intervals, checked against another date library (chrono, a dev-dependency only).

use chrono::{Datelike, Duration, Months, NaiveDate};
use course::Age;
use proptest::prelude::*;
use record::Day;
use rstest::rstest;

fn day(text: &str) -> Day {
    text.parse().unwrap()
}

fn chrono(day: Day) -> NaiveDate {
    let (year, month, of_month) = day.parts();
    NaiveDate::from_ymd_opt(year, month, of_month).unwrap()
}

#[rstest]
#[case::born_at_term("2024-01-01", Some(39), "2024-03-01", None)]
#[case::born_at_37_weeks("2024-01-01", Some(37), "2024-03-01", None)]
// 40 − 36 = 4 weeks early; 2024-01-01 to 2024-03-01 is 31 + 29 = 60 days; 60 − 28 = 32.
#[case::born_at_36_weeks("2024-01-01", Some(36), "2024-03-01", Some(32))]
// 40 − 28 = 12 weeks = 84 days; 60 − 84 = −24: not yet at term.
#[case::born_at_28_weeks("2024-01-01", Some(28), "2024-03-01", Some(-24))]
#[case::gestation_not_known("2024-01-01", None, "2024-03-01", None)]
fn age_is_corrected_for_prematurity(
    #[case] born: &str,
    #[case] weeks: Option<u8>,
    #[case] on: &str,
    #[case] corrected: Option<i32>,
) {
    let age = Age::on(day(on), day(born), weeks);
    assert_eq!((age.days, age.corrected_days), (60, corrected));
}

#[rstest]
#[case("2024-01-01", "2023-12-31", "not yet born")]
#[case("2024-01-01", "2024-01-01", "0 days")]
#[case("2024-01-01", "2024-01-02", "1 day")]
#[case("2024-01-01", "2024-01-14", "13 days")]
#[case("2024-01-01", "2024-01-15", "2 weeks")]
#[case("2024-01-01", "2024-05-19", "19 weeks")] // 139 days, one short of 20 weeks
#[case("2024-01-01", "2024-05-20", "4 months")] // 140 days
#[case("2024-01-01", "2025-12-31", "23 months")]
#[case("2024-01-01", "2026-01-01", "2 years")]
#[case("2024-01-01", "2027-03-01", "3 years 2 months")]
#[case("2024-01-01", "2027-02-01", "3 years 1 month")]
fn age_in_words(#[case] born: &str, #[case] on: &str, #[case] words: &str) {
    assert_eq!(Age::on(day(on), day(born), None).words(), words);
}

proptest! {
    #[test]
    fn days_agree_with_another_library(born in 0..40_000i32, after in 0..3_000i32) {
        let born = Day::from_number(born);
        let on = born + after;
        let age = Age::on(on, born, None);
        prop_assert_eq!(i64::from(age.days), (chrono(on) - chrono(born)).num_days());
        prop_assert_eq!(chrono(on), chrono(born) + Duration::days(after.into()));
    }

    /// Whole months: the greatest number of months that, added to the day of birth (limited to the
    /// last day of a shorter month, as in the other library), does not pass the day.
    #[test]
    fn months_agree_with_another_library(born in 0..40_000i32, after in 0..3_000i32) {
        let born = Day::from_number(born);
        let on = born + after;
        let months = (0..=100u32)
            .take_while(|&months| chrono(born) + Months::new(months) <= chrono(on))
            .last()
            .unwrap();
        prop_assert_eq!(Age::on(on, born, None).months, i32::try_from(months).unwrap());
        prop_assert!(chrono(on).year() >= chrono(born).year());
    }
}
