//! The forecast, right of today: the fan of the future score, and the windows of tenotomy and brace.
//!
//! The fan ends where fewer than one in ten similar feet are still in casts; beyond that it would show the
//! course of a few slow feet as if it were that of this one.

use super::{
    lanes::{EVENTS, Lanes, MARKS, SCORE_HEIGHT, SCORE_TOP},
    marks::{self, Held, Series},
    plot::{Position, words},
};
use crate::{ink::Ink, likely::sentences::coverage_words, words::range};
use forecast::foot::{DateForecast, FootForecast, PathPoint};
use record::Day;

/// Share of feet still in casts below which the fan ends.
const STILL_IN_CASTS: f64 = 0.1;
/// Days ahead of today after which nothing is drawn.
const AHEAD_DAYS: i32 = 400;

/// The last day that the drawing of the forecast needs.
pub fn last_day(forecast: &FootForecast, as_of: Day) -> Day {
    let dates = [&forecast.tenotomy_day, &forecast.brace];
    let ends = dates.into_iter().flatten().map(|date| date.window90.to_day);
    let last = ends.chain(ahead(forecast).map(|point| point.day)).map(Day::from_number);
    last.filter(|&day| day - as_of < AHEAD_DAYS).max().unwrap_or(as_of)
}

/// The future visits that are drawn.
fn ahead(forecast: &FootForecast) -> impl Iterator<Item = &PathPoint> {
    forecast.path.iter().take_while(|point| point.reached >= STILL_IN_CASTS)
}

fn y(points: f64) -> f64 {
    SCORE_TOP + SCORE_HEIGHT * (1.0 - points.clamp(0.0, 6.0) / 6.0)
}

impl Lanes<'_> {
    /// The future Pirani total: two bands and a dashed line, starting at the last recorded total.
    pub(super) fn fan(&self, ink: &mut Ink<'_>) {
        let Some(forecast) = self.forecast else { return };
        let ahead: Vec<&PathPoint> = ahead(forecast).collect();
        let Some(next) = ahead.first() else { return };
        let start = self.foot.last_pirani().and_then(|scored| {
            Some((self.x(scored.on.max(self.outlook.course.as_of)), scored.pirani.total()?.value()))
        });
        let band = |from: fn(&PathPoint) -> f64, to: fn(&PathPoint) -> f64| -> Vec<Position> {
            let upper = ahead.iter().map(|point| (self.day_x(point), y(to(point))));
            let lower = ahead.iter().rev().map(|point| (self.day_x(point), y(from(point))));
            let begin = start.iter().map(|&(x, points)| (x, y(points)));
            begin.chain(upper).chain(lower).collect()
        };
        ink.tag("<g role=\"img\" aria-label=\"Forecast of the Pirani score, ")
            .text(&description(next))
            .tag("\"><title>");
        ink.text(&format!("Forecast, {}", description(next))).tag("</title>");
        marks::fan(ink, Held::NineInTen, &band(|point| point.total.from90, |point| point.total.to90));
        marks::fan(ink, Held::Half, &band(|point| point.total.from50, |point| point.total.to50));
        let begin = start.iter().map(|&(x, points)| (x, y(points)));
        let mean: Vec<Position> =
            begin.chain(ahead.iter().map(|point| (self.day_x(point), y(point.total.mean)))).collect();
        marks::series(ink, Series::Ahead, &mean);
        ink.tag("</g>");
    }

    fn day_x(&self, point: &PathPoint) -> f64 {
        self.x(Day::from_number(point.day))
    }

    /// The likely windows of the tenotomy and of the brace.
    pub(super) fn windows(&self, ink: &mut Ink<'_>) {
        let Some(forecast) = self.forecast else { return };
        if let Some(date) = &forecast.tenotomy_day {
            let name = if forecast.tenotomy.is_some() { "tenotomy, if needed" } else { "tenotomy" };
            self.whisker(ink, MARKS, name, date);
        }
        if let Some(date) = &forecast.brace {
            self.whisker(ink, EVENTS, "brace", date);
        }
    }

    /// A thick line for the 50 % window and a thin dashed line for the 90 % window.
    fn whisker(&self, ink: &mut Ink<'_>, y: f64, name: &str, date: &DateForecast) {
        let (half, most) = (date.window50.days(), date.window90.days());
        if date.chances.len() < 2 || most.from - self.outlook.course.as_of >= AHEAD_DAYS {
            return;
        }
        let coverage = coverage_words(date.here);
        let description =
            format!("Likely, {name}: {}; 90 % interval: {}. {coverage}", range(half), range(most));
        ink.tag("<g role=\"img\" aria-label=\"")
            .text(&description)
            .tag("\"><title>")
            .text(&description)
            .tag("</title>");
        marks::likely(ink, Held::NineInTen, (self.x(most.from), y), (self.x(most.to), y));
        let end = self.x(half.to).max(self.x(half.from) + 2.0);
        marks::likely(ink, Held::Half, (self.x(half.from), y), (end, y));
        ink.tag("</g>");
        self.whisker_words(ink, y, name, (self.x(most.from), self.x(most.to)));
    }

    /// The name of a window: right of it, left of it, or above it and as far right of today as there is room,
    /// where it would cover the marks of the past.
    fn whisker_words(&self, ink: &mut Ink<'_>, y: f64, name: &str, (from, to): (f64, f64)) {
        let today = self.x(self.outlook.course.as_of);
        let (at, anchor) = if self.fits(name, self.size.width - to) {
            ((to + 6.0, y + 4.0), "start")
        } else if self.fits(name, from - today) {
            ((from - 6.0, y + 4.0), "end")
        } else {
            let last = self.size.width - 2.0 - name.chars().count() as f64 * self.size.letter;
            (((today + 4.0).min(last), y - 5.0), "start")
        };
        words(ink, ("likely-words", ""), at, anchor, name);
    }
}

fn description(next: &PathPoint) -> String {
    let total = next.total;
    format!(
        "next visit about {}: {:.1} of 6, 90 % interval {:.1} to {:.1}",
        Day::from_number(next.day).words(),
        total.mean,
        total.from90,
        total.to90
    )
}
