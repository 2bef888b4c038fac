//! How long backups are kept.

use backups::RetentionOfBackups;
use proptest::prelude::*;
use record::Timestamp;

const DAY: i64 = 24 * 3600;
/// 3 March 2025, noon.
const NOW: i64 = 1_741_003_200;

fn kept(rule: RetentionOfBackups, ages: &[i64]) -> Vec<i64> {
    let made: Vec<Timestamp> = ages.iter().map(|age| Timestamp::from_seconds(NOW - age)).collect();
    let gone = rule.superfluous(&made, Timestamp::from_seconds(NOW));
    ages.iter().enumerate().filter(|(place, _)| !gone.contains(place)).map(|(_, age)| *age).collect()
}

#[test]
fn all_of_a_week_then_one_a_week_then_one_a_month() {
    let daily: Vec<i64> = (0..1_000).map(|days| days * DAY).collect();
    let kept = kept(RetentionOfBackups::default(), &daily);
    let within = |from: i64, to: i64| kept.iter().filter(|age| (from * DAY..to * DAY).contains(*age)).count();
    assert_eq!(within(0, 7), 7, "all of seven days");
    // Besides the last of a week, months end within these weeks.
    assert!((6..=10).contains(&within(7, 56)), "{kept:?}");
    assert!((21..=24).contains(&within(56, 24 * 31)), "{kept:?}");
    assert_eq!(within(24 * 31, 1_000), 0, "{kept:?}");
}

#[test]
fn the_newest_is_kept_however_old_and_what_is_from_the_future_too() {
    let rule = RetentionOfBackups::default();
    assert_eq!(kept(rule, &[4_000 * DAY, 5_000 * DAY]), [4_000 * DAY]);
    assert_eq!(kept(rule, &[-30 * DAY, 0]), [-30 * DAY, 0]);
    assert_eq!(kept(RetentionOfBackups { days: 0, weeks: 0, months: 0 }, &[0, DAY]), [0]);
}

proptest! {
    /// What is kept today was kept yesterday: no backup that was deleted would be wanted later.
    #[test]
    fn a_backup_that_is_superfluous_stays_so(ages in prop::collection::btree_set(0i64..900, 1..60), later in 1i64..60) {
        let rule = RetentionOfBackups::default();
        let ages: Vec<i64> = ages.into_iter().map(|days| days * DAY).collect();
        let made: Vec<Timestamp> = ages.iter().map(|age| Timestamp::from_seconds(NOW - age)).collect();
        let gone = rule.superfluous(&made, Timestamp::from_seconds(NOW));
        let gone_later = rule.superfluous(&made, Timestamp::from_seconds(NOW + later * DAY));
        prop_assert!(gone.iter().all(|place| gone_later.contains(place)));
        prop_assert!(gone_later.len() < made.len());
    }
}
