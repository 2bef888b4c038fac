//! Chart of wear by week, compared with the hours prescribed, with its table.

use crate::ChartFile;
use maud::{Markup, html};
use record::Day;
use std::collections::BTreeMap;
use wear::adherence::{Adherence, WearAccount, WeekWorn};

/// Number of weeks drawn, up to the last one.
const DRAWN: usize = 26;
const LEFT: f64 = 34.0;
const TOP: f64 = 10.0;
const WIDTH: f64 = 760.0;
const HEIGHT: f64 = 200.0;
const FOOT: f64 = 26.0;

/// One week with both kinds of hours.
#[derive(Default, Clone, Copy)]
struct Both {
    reported: Option<WeekWorn>,
    logged: Option<WeekWorn>,
}

impl Both {
    fn prescribed(self) -> f64 {
        self.logged.or(self.reported).map_or(0.0, |week| week.prescribed)
    }
}

fn by_week(adherence: &Adherence) -> BTreeMap<Day, Both> {
    let mut weeks: BTreeMap<Day, Both> = BTreeMap::new();
    let put = |account: &WearAccount, weeks: &mut BTreeMap<Day, Both>, logged: bool| {
        for week in &account.weeks {
            let both = weeks.entry(week.monday).or_default();
            *(if logged { &mut both.logged } else { &mut both.reported }) = Some(*week);
        }
    };
    put(&adherence.reported, &mut weeks, false);
    put(&adherence.logged, &mut weeks, true);
    weeks
}

/// The figure, its legend and its table.
pub(super) fn chart(adherence: &Adherence) -> Markup {
    let weeks = by_week(adherence);
    let Some((first, last)) = weeks.keys().next().zip(weeks.keys().next_back()) else {
        return html! { p { "No data yet." } };
    };
    let from = (*first).max(*last - 7 * (DRAWN as i32 - 1));
    html! {
        figure.wear-figure tabindex="0" {
            (drawing(&weeks, from, *last))
            figcaption {
                span.wear-key { svg.wear-chart.key viewBox="0 0 14 14" aria-hidden="true" { rect.reported x="2" y="1" width="10" height="12" {} } " reported by the family" }
                span.wear-key { svg.wear-chart.key viewBox="0 0 14 14" aria-hidden="true" { rect.logged x="2" y="1" width="10" height="12" {} } " logged" }
                span.wear-key { svg.wear-chart.key viewBox="0 0 14 14" aria-hidden="true" { line.prescribed x1="0" y1="7" x2="14" y2="7" {} } " prescribed" }
            }
        }
        details.wear-table {
            summary { "Data as a table" }
            (table(&weeks))
        }
    }
}

/// The chart by itself, as a file.
#[must_use]
pub fn wear_chart(adherence: &Adherence, who: Option<&str>, clinic: &str, as_of: Day) -> ChartFile {
    let of_whom = who.map_or_else(String::new, |who| format!(", {who}"));
    ChartFile {
        title: format!("Hours in the brace, week by week{of_whom}"),
        notes: vec![
            "Mean hours a day of each week with data; reported and logged hours are never mixed.".to_owned(),
            format!(
                "One child, the last {DRAWN} weeks at most. Source: records of {clinic}, {}.",
                as_of.words()
            ),
        ],
        figure: chart(adherence),
    }
}

fn y(hours: f64) -> f64 {
    TOP + (HEIGHT - TOP - FOOT) * (1.0 - hours / 24.0)
}

fn drawing(weeks: &BTreeMap<Day, Both>, from: Day, last: Day) -> Markup {
    let count = (last - from) / 7 + 1;
    let step = (WIDTH - LEFT - 8.0) / f64::from(count.max(8));
    let x = |monday: Day| LEFT + step * f64::from((monday - from) / 7);
    let shown: Vec<(Day, Both)> = weeks.range(from..).map(|(monday, both)| (*monday, *both)).collect();
    let every = (count / 6).max(1);
    let description = summary(&shown);
    html! {
        svg.wear-chart viewBox=(format!("0 0 {WIDTH} {HEIGHT}")) role="img" aria-label=(description) {
            @for hours in [0.0, 6.0, 12.0, 18.0, 24.0] {
                line.grid x1=(LEFT) y1=(y(hours)) x2=(WIDTH) y2=(y(hours)) {}
                text.tick x=(LEFT - 6.0) y=(y(hours) + 4.0) text-anchor="end" { (hours) }
            }
            @for (monday, both) in &shown {
                @if let Some(week) = both.reported { (bar("reported", x(*monday) + 0.10 * step, 0.36 * step, week.hours)) }
                @if let Some(week) = both.logged { (bar("logged", x(*monday) + 0.52 * step, 0.36 * step, week.hours)) }
                line.prescribed x1=(x(*monday)) y1=(y(both.prescribed())) x2=(x(*monday) + step) y2=(y(both.prescribed())) {}
                @if (*monday - from) / 7 % every == 0 {
                    text.tick x=(x(*monday) + 0.5 * step) y=(HEIGHT - 8.0) text-anchor="middle" { (short(*monday)) }
                }
            }
        }
    }
}

/// "6 May".
fn short(day: Day) -> String {
    let (_, month, date) = day.parts();
    let name: String = Day::month_word(month).chars().take(3).collect();
    format!("{date} {name}")
}

fn bar(class: &str, x: f64, width: f64, hours: f64) -> Markup {
    // A week without any wear still has a visible bar.
    let top = y(hours).min(y(0.0) - 1.5);
    html! { rect class=(class) x=(format!("{x:.1}")) y=(format!("{top:.1}")) width=(format!("{width:.1}")) height=(format!("{:.1}", y(0.0) - top)) {} }
}

fn summary(shown: &[(Day, Both)]) -> String {
    let mean = |pick: fn(&Both) -> Option<WeekWorn>| {
        let hours: Vec<f64> =
            shown.iter().filter_map(|(_, both)| pick(both)).map(|week| week.hours).collect();
        (!hours.is_empty()).then(|| (hours.len(), hours.iter().sum::<f64>() / hours.len() as f64))
    };
    let words = |what: &str, found: Option<(usize, f64)>| match found {
        Some((weeks, hours)) => format!("{what} in {weeks} weeks, {hours:.1} hours a day on average"),
        None => format!("{what} in no weeks"),
    };
    format!(
        "Hours of wear a day, week by week: {}; {}. The table below lists every week.",
        words("logged", mean(|both| both.logged)),
        words("reported", mean(|both| both.reported))
    )
}

fn table(weeks: &BTreeMap<Day, Both>) -> Markup {
    let cell = |week: Option<WeekWorn>| match week {
        Some(week) if week.days < 7 => format!("{:.1} ({} of 7 days)", week.hours, week.days),
        Some(week) => format!("{:.1}", week.hours),
        None => "–".to_owned(),
    };
    let without = |both: &Both| {
        let days = [both.logged, both.reported].into_iter().flatten().map(|week| week.days_without).max();
        days.unwrap_or(0)
    };
    html! {
        div.scroll tabindex="0" role="region" aria-label="Hours of wear by week" {
            table.figures {
                caption { "Hours of wear a day by week" }
                thead { tr { th scope="col" { "Week of" } th scope="col" { "Prescribed" } th scope="col" { "Reported" } th scope="col" { "Logged" } th scope="col" { "Days without wear" } } }
                tbody {
                    @for (monday, both) in weeks.iter().rev() {
                        tr {
                            th scope="row" { (monday.words()) }
                            td { (format!("{:.0}", both.prescribed())) }
                            td { (cell(both.reported)) }
                            td { (cell(both.logged)) }
                            td { (without(both)) }
                        }
                    }
                }
            }
        }
    }
}
