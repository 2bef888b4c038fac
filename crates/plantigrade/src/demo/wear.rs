//! Stories about hours of wear.

use super::bracing::braced;
use super::story::{Story, StoryWriter};
use record::{Purpose, WearLogged, WearReported};

/// The stories of this file.
pub const STORIES: &[Story] = &[falling, nights_missed, two_accounts, never_asked];

fn logged(t: &mut StoryWriter<'_>, from: record::Day, days: i32, hours_per_day: f64) {
    let to = from + (days - 1);
    let days_judged = u16::try_from(days).unwrap_or(1);
    let logger = Some("S-17".to_owned());
    t.write(to, WearLogged { from, to, hours_per_day, days_judged, logger });
}

/// In the brace for 250 days, reviewed, with an appointment ahead.
fn followed(t: &mut StoryWriter<'_>) {
    let fitted_on = braced(t, 250);
    t.reviews_until(fitted_on, t.today - 75);
    t.appoint(t.today - 75, t.today + 20, Purpose::BraceReview);
}

/// Logged wear that is good for weeks and then falls.
fn falling(t: &mut StoryWriter<'_>) {
    followed(t);
    for week in 0..10 {
        let hours = [12.0, 11.5, 12.0, 11.0, 12.0, 11.5, 7.5, 7.0, 7.5, 6.5][week as usize];
        logged(t, t.today - 70 + 7 * week, 7, hours);
    }
}

/// A diary that ends in days without the brace.
fn nights_missed(t: &mut StoryWriter<'_>) {
    followed(t);
    for (day, hours) in [11.0, 10.5, 11.0, 9.0, 0.0, 0.0, 0.0, 0.0].into_iter().enumerate() {
        let on = t.today - 9 + i32::try_from(day).unwrap_or(0);
        let reason = (hours == 0.0).then(|| "A cold; crying at night.".to_owned());
        t.write(on, WearReported { from: on, to: on, hours_per_day: hours, days_without: None, reason });
    }
}

/// The family reports other hours than the logger.
fn two_accounts(t: &mut StoryWriter<'_>) {
    followed(t);
    t.wear(t.today - 40, t.today - 12, 12.0);
    for week in 0..4 {
        logged(t, t.today - 40 + 7 * week, 7, [6.5, 7.0, 6.0, 6.5][week as usize]);
    }
}

/// Hours of wear were never asked about.
fn never_asked(t: &mut StoryWriter<'_>) {
    let fitted_on = t.today - 130;
    t.born(fitted_on - 100, record::Sides::Left, None);
    t.through_to_brace(5, fitted_on);
    t.appoint(fitted_on, t.today + 12, Purpose::BraceReview);
}
