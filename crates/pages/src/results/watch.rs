//! A share monitored child by child: the choices as plain links, the cumulative sum with its limit, and a table.

use super::{
    ResultsView,
    scale::{Plot, Scale, foot_words, nice, num, value_axis},
};
use crate::words::count;
use audit::{
    MeasureResult,
    watch::{EVERY, ODDS, Watch, WatchDesign},
    words,
};
use maud::{Markup, html};

/// The choice in the URL: acceptable share in per cent, odds ratio to detect in tenths, children between two
/// false alarms.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct WatchChoice {
    /// Acceptable share, per cent.
    pub acceptable: Option<u32>,
    /// Odds ratio to detect, in tenths.
    pub odds: Option<u32>,
    /// Mean number of children between two false alarms.
    pub every: Option<u32>,
}

impl WatchChoice {
    /// The choice from the query parameters; values that are not offered are ignored.
    #[must_use]
    pub fn from_pairs(pairs: &[(String, String)]) -> Self {
        let number = |name: &str| {
            pairs.iter().find(|(key, _)| key == name).and_then(|(_, value)| value.trim().parse::<u32>().ok())
        };
        Self {
            acceptable: number("acceptable").filter(|share| (1..100).contains(share)),
            odds: number("odds").filter(|odds| ODDS.iter().any(|one| tenths(*one) == *odds)),
            every: number("every").filter(|every| EVERY.contains(every)),
        }
    }

    /// The design for this choice, given the clinic's own share.
    #[must_use]
    pub fn design(self, own: Option<f64>, offered: &[u32]) -> WatchDesign {
        let whole = |share: f64| (100.0 * share).round().clamp(1.0, 99.0) / 100.0;
        let first = f64::from(offered.first().copied().unwrap_or(10)) / 100.0;
        let chosen = self.acceptable.map(|share| f64::from(share) / 100.0);
        WatchDesign {
            acceptable: chosen.or(own.map(whole)).unwrap_or(first),
            odds_ratio: self.odds.map_or(2.0, |odds| f64::from(odds) / 10.0),
            every: self.every.unwrap_or(200),
        }
    }
}

fn tenths(odds: f64) -> u32 {
    (10.0 * odds).round() as u32
}

/// The monitoring of a measure.
#[derive(Debug, Clone)]
pub struct WatchView {
    /// The design chosen.
    pub design: WatchDesign,
    /// The clinic's own share, if known.
    pub own: Option<f64>,
    /// The cumulative sum, or why there is none.
    pub watch: Result<Watch, String>,
}

/// Number of children in the table, the last ones.
const ROWS: usize = 200;
/// Largest number of points along the chart.
const PLACES: usize = 600;

/// The section of a measure's page. `links` is how the chart is saved.
pub(super) fn section(view: &ResultsView, answer: &MeasureResult, links: &Markup) -> Markup {
    let (Some(shown), Some(what)) = (&view.watch, answer.measure.watched()) else { return html! {} };
    html! {
        section aria-labelledby="watch" {
            h2 id="watch" { "Monitoring child by child" }
            p { "A cumulative sum (CUSUM) of " (what) ". It rises with each child who had the event and falls with each who did not. Above the limit the share has probably risen, and the last children should be reviewed one by one." }
            (choices(view, answer, shown))
            @match &shown.watch {
                Err(why) => p.message.note { (why) },
                Ok(watch) => {
                    (figure(answer, watch))
                    (links)
                    (table(watch))
                },
            }
        }
    }
}

fn percent(share: f64) -> String {
    format!("{:.0} %", 100.0 * share)
}

fn odds_words(odds: f64) -> String {
    if odds == 2.0 { "doubled".to_owned() } else { format!("times {}", words::number(odds)) }
}

/// The query of a URL with the filter and a design.
pub(super) fn query(view: &ResultsView, design: WatchDesign) -> String {
    let query = view.filter.query();
    let joint = if query.is_empty() { "?" } else { "&" };
    let (share, odds) = (100.0 * design.acceptable, tenths(design.odds_ratio));
    format!("{query}{joint}acceptable={share:.0}&odds={odds}&every={}", design.every)
}

/// The figure by itself; `None` where there is no sum.
pub(super) fn chart(answer: &MeasureResult, shown: &WatchView) -> Option<Markup> {
    shown.watch.as_ref().ok().map(|watch| figure(answer, watch))
}

/// The choices as links, so that nothing has to be typed; the current one is marked.
fn choices(view: &ResultsView, answer: &MeasureResult, shown: &WatchView) -> Markup {
    let design = shown.design;
    let link = |acceptable: f64, odds_ratio: f64, every: u32| {
        let design = WatchDesign { acceptable, odds_ratio, every };
        format!("/results/{}{}#watch", answer.measure.key(), query(view, design))
    };
    let mut shares: Vec<(f64, String)> = answer
        .measure
        .acceptable_choices()
        .iter()
        .map(|share| (f64::from(*share) / 100.0, format!("{share} %")))
        .collect();
    if let Some(own) = shown.own {
        let own = (100.0 * own).round().clamp(1.0, 99.0) / 100.0;
        shares.insert(0, (own, format!("{} (this clinic so far)", percent(own))));
    }
    let one = |current: bool, href: String, words: &str| {
        html! { li { @if current { strong aria-current="true" { "● " (words) } } @else { a href=(href) { (words) } } } }
    };
    html! {
        div.watch-choices {
            div { h3 { "Acceptable share" } ul {
                @for (share, words) in &shares { (one((share - design.acceptable).abs() < 0.005, link(*share, design.odds_ratio, design.every), words)) }
            } }
            div { h3 { "Odds to detect" } ul {
                @for odds in ODDS { (one(tenths(odds) == tenths(design.odds_ratio), link(design.acceptable, odds, design.every), &odds_words(odds))) }
            } }
            div { h3 { "One false alarm about every" } ul {
                @for every in EVERY { (one(every == design.every, link(design.acceptable, design.odds_ratio, every), &format!("{every} children"))) }
            } }
        }
    }
}

/// The state of the cumulative sum in a sentence.
fn state_words(watch: &Watch) -> String {
    let alarms = watch.alarms();
    match alarms.last() {
        None => "The sum has never been above its limit.".to_owned(),
        Some(last) if watch.points.last().is_some_and(|point| point.alarm) => format!(
            "The sum has been above its limit since {}: review the children before that day.",
            last.on.words()
        ),
        Some(last) => format!(
            "The sum was above its limit {}, last from {} on; it is not now.",
            count(alarms.len() as i64, "time", "times"),
            last.on.words()
        ),
    }
}

fn figure(answer: &MeasureResult, watch: &Watch) -> Markup {
    let design = watch.design;
    let text = format!(
        "CUSUM of {}: {}, acceptable {}, to detect {}; limit {}. {} The table below lists the last children.",
        answer.definition.name,
        count(watch.points.len() as i64, "child", "children"),
        percent(design.acceptable),
        percent(design.to_find()),
        words::number(watch.limit),
        state_words(watch)
    );
    html! {
        p { strong { (state_words(watch)) } " While the share is " (percent(design.acceptable)) ", a false alarm comes about every " (design.every) " children. Once the odds are " (odds_words(design.odds_ratio)) " (" (percent(design.to_find())) "), an alarm comes after about " (format!("{:.0}", watch.found_after)) " children." }
        figure.plot-figure {
            @for plot in Plot::BOTH { (drawn(plot.low(), watch, &text)) }
            figcaption.plot-legend { ul {
                li { svg class="plot key" viewBox="0 0 34 12" aria-hidden="true" { path class="thread" d="M1 6H33" {} } " sum, child by child" }
                li { svg class="plot key" viewBox="0 0 34 12" aria-hidden="true" { path class="limit" d="M1 6H33" {} } " limit" }
                li { svg class="plot key" viewBox="0 0 34 12" aria-hidden="true" { path class="out" d="M17 0L23 6L17 12L11 6Z" {} } " alarm" }
            } }
        }
        p.result-caption { "Bernoulli CUSUM, Steiner and others 2000; limit by average run length · " (count(watch.points.len() as i64, "child", "children")) ", " (count(watch.events as i64, "event", "events")) ", " (watch.left_out) " without a known outcome left out · as known on " (watch.as_of.words()) " · Plantigrade " (watch.version) }
    }
}

fn drawn(plot: Plot, watch: &Watch, text: &str) -> Markup {
    let most = watch.points.iter().map(|point| point.sum).fold(watch.limit, f64::max);
    let end = watch.points.len().max(2) as f64;
    let scale = Scale { plot, x: (1.0, end), y: (0.0, nice(most * 1.05)) };
    // If there are many children, the highest sum of each stretch is drawn.
    let every = watch.points.len().div_ceil(PLACES).max(1);
    let sums = watch.points.chunks(every).enumerate().map(|(place, points)| {
        ((place * every + 1) as f64, points.iter().map(|point| point.sum).fold(0.0, f64::max))
    });
    let days: Vec<(f64, String)> = (0..4_usize)
        .filter_map(|part| {
            // Away from both ends, so that no label is cut off.
            let place = (watch.points.len().saturating_sub(1)) * (2 * part + 1) / 8;
            let (year, month, _) = watch.points.get(place)?.on.parts();
            Some(((place + 1) as f64, format!("{} {year}", record::Day::month_word(month).get(..3)?)))
        })
        .collect();
    let mut above = false;
    let mut alarms = Vec::new();
    for (place, point) in (1..).zip(&watch.points) {
        if point.alarm && !above {
            alarms.push((f64::from(place), point.sum));
        }
        above = point.alarm;
    }
    html! {
        svg class=(plot.class) viewBox=(format!("0 0 {} {}", plot.width, plot.height)) role="img" aria-label=(text) {
            (value_axis(&scale, words::number))
            (foot_words(&scale, &days))
            path class="limit" d=(scale.line([(1.0, watch.limit), (end, watch.limit)].into_iter())) {}
            path class="thread strong" d=(scale.line(sums)) {}
            @for (x, y) in alarms { @let (x, y) = (scale.x(x), scale.y(y)); path class="out" d=(format!("M{} {}l6.5 6.5l-6.5 6.5l-6.5 -6.5Z", num(x), num(y - 6.5))) {} }
        }
    }
}

fn table(watch: &Watch) -> Markup {
    let from = watch.points.len().saturating_sub(ROWS);
    html! {
        details.more {
            summary { "Sum as a table" @if from > 0 { " (the last " (ROWS) " children)" } }
            div.scroll tabindex="0" role="group" aria-label="Table: the cumulative sum" {
                table.numbers {
                    thead { tr { @for head in ["Child, in order", "Outcome known on", "Event", "Sum", "Above the limit"] { th scope="col" { (head) } } } }
                    tbody { @for (n, point) in watch.points.iter().enumerate().skip(from) {
                        tr { th scope="row" { (n + 1) } td { (point.on.words()) } td { (if point.event { "yes" } else { "no" }) } td { (format!("{:.2}", point.sum)) } td { (if point.alarm { "◆ above" } else { "no" }) } }
                    } }
                }
            }
            p.rel { "The limit is " (format!("{:.2}", watch.limit)) "." }
        }
    }
}
