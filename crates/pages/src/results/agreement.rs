//! Agreement of raters on feet scored twice, blind: sign by sign, a chart of the differences of the totals, and
//! each rater compared with the others.

use super::{
    filter,
    scale::{Plot, Scale, foot_words, nice, num, value_axis},
};
use crate::{
    Frame, HelpTopic, chart_links,
    frame::{self, TOGETHER_PATH},
    words::count,
};
use audit::{
    ClinicAgreement, Estimate,
    raters::{FEWEST_CHILDREN, ItemAgreement, RatedItem, RaterLine, USEFUL},
    small, words,
};
use maud::{Markup, html};
use record::Right;

/// The page of rater agreement.
#[derive(Debug, Clone)]
pub struct AgreementView {
    /// The day, if not today, and the period of the pairs.
    pub filter: super::ResultsFilter,
    /// The result of the analysis.
    pub found: ClinicAgreement,
    /// Names of the raters, by their index.
    pub names: Vec<String>,
}

const METHOD: &str = "Kappa with linear weights for signs and quadratic weights for sums; unweighted kappa as well, because most published values are unweighted; ICC(2,1); limits of agreement of Bland and Altman. 95 % confidence intervals by resampling children, not feet, 1,000 times (percentile bootstrap, Efron and Tibshirani 1993).";

/// "0.62"; a true minus sign.
fn two(value: f64) -> String {
    let text = format!("{value:.2}");
    if text == "-0.00" { "0.00".to_owned() } else { text.replacen('-', "−", 1) }
}

/// "0.62 (0.41 to 0.78)".
fn with_interval(estimate: Option<&Estimate>) -> String {
    match estimate {
        None => "–".to_owned(),
        Some(Estimate { value, lower: Some(lower), upper: Some(upper) }) => {
            format!("{} ({} to {})", two(*value), two(*lower), two(*upper))
        }
        Some(estimate) => two(estimate.value),
    }
}

fn share(value: Option<f64>) -> String {
    value.map_or_else(|| "–".to_owned(), |value| format!("{:.0} %", 100.0 * value))
}

/// The number of feet still to be scored.
fn needed(item: &ItemAgreement) -> String {
    match item.still_needed {
        _ if item.n == 0 => "–".to_owned(),
        Some(0) => "none".to_owned(),
        Some(feet) => format!("about {feet} feet"),
        None if item.children < FEWEST_CHILDREN => {
            format!("at least {} children", FEWEST_CHILDREN - item.children)
        }
        None => "cannot be estimated".to_owned(),
    }
}

/// Method, n, day and version in one line below a figure.
fn caption(view: &AgreementView, what: &str, n: usize, children: usize) -> Markup {
    let of =
        format!("{} of {}", count(n as i64, "foot", "feet"), count(children as i64, "child", "children"));
    html! {
        p.result-caption { (what) " · " (of) " scored twice · as known on " (view.found.agreement.as_of.words()) ", " (view.found.known_by.words()) " · Plantigrade " (view.found.agreement.version) }
    }
}

/// The page.
#[must_use]
pub fn agreement(frame: &Frame, view: &AgreementView) -> Markup {
    let found = &view.found.agreement;
    let body = html! {
        nav.back aria-label="Back" { a href="/results" { "All results" } }
        header.page-head { div {
            h1 { "Agreement of raters" }
            p.tally { "As known on " (crate::words::day(found.as_of)) ", " (view.found.known_by.words()) " · " (count(found.n as i64, "foot", "feet")) " of " (count(found.children as i64, "child", "children")) " scored by two people blind · Plantigrade " (found.version) }
        } }
        (filter::days(&view.filter, "/results/agreement", frame.today))
        @if found.n == 0 { (no_pairs()) } @else {
            (lead(view))
            p.actions { a.button href={ "/results/agreement.csv" (view.filter.query()) } { "Save as a table (CSV)" } span.hint { " Small numbers and names are withheld in it: " (small::RULE) } }
            (items(view, "signs", "Sign by sign", false))
            (items(view, "sums", "Sub-scores and totals", true))
            @for item in found.items.iter().filter(|item| matches!(item.item, RatedItem::Total | RatedItem::Dimeglio)) { (spread(view, item)) }
            (raters(view))
        }
        @if frame.may(Right::SeeClinical) { p { a href=(TOGETHER_PATH) { "Scoring together: which feet this month, and by whom" } } }
        (explanation(view))
    };
    frame::page(frame, HelpTopic::Agreement, "Agreement of raters", &body)
}

fn no_pairs() -> Markup {
    html! {
        p.message.note { "No foot has been scored twice in this period. A colleague can use “second score” on the page of the day and on the page of a child scored today: it shows nothing of the first score. Ten children give a first interval; about fifty feet give a useful one." }
    }
}

/// The agreement on the total in one sentence.
fn lead(view: &AgreementView) -> Markup {
    let Some(total) = view.found.agreement.items.iter().find(|item| item.item == RatedItem::Total) else {
        return html! {};
    };
    let limits = total.limits.as_ref().map(|(low, high)| {
        format!(" 95 % of the differences are between {} and {} points.", two(low.value), two(high.value))
    });
    html! {
        @if total.n > 0 {
            p.lead { "Two people gave the same Pirani total in " (share(total.same)) " of " (count(total.n as i64, "foot", "feet")) "; weighted kappa " (with_interval(total.kappa.as_ref())) "." (limits.unwrap_or_default()) }
        }
    }
}

fn items(view: &AgreementView, id: &str, title: &str, sums: bool) -> Markup {
    let all = &view.found.agreement;
    let items: Vec<&ItemAgreement> = all.items.iter().filter(|item| item.item.is_total() == sums).collect();
    html! {
        section aria-labelledby=(id) {
            h2 id=(id) { (title) }
            div.scroll tabindex="0" role="group" aria-label={ "Table: agreement, " (title.to_lowercase()) } {
                table.numbers.agreement {
                    thead { tr {
                        th scope="col" { (if sums { "Score" } else { "Sign" }) } th scope="col" { "Feet" } th scope="col" { "Identical" }
                        th scope="col" { "Weighted kappa" } th scope="col" { "Unweighted kappa" }
                        @if sums { th scope="col" { "ICC(2,1)" } th scope="col" { "95 % of differences, points" } }
                        th scope="col" { "Still to be scored" }
                    } }
                    @for item in items { tbody { (row(item, sums)) } }
                }
            }
            (caption(view, METHOD, all.n, all.children))
        }
    }
}

fn row(item: &ItemAgreement, sums: bool) -> Markup {
    let limits = item.limits.as_ref().map(|(low, high)| format!("{} to {}", two(low.value), two(high.value)));
    html! {
        tr {
            th scope="row" { (crate::words::capital(item.item.words())) }
            td { (item.n) }
            td { (share(item.same)) }
            td { (with_interval(item.kappa.as_ref())) @if let (Some(why), true) = (&item.why_none, item.n > 0) { " " span.rel { (why) } } }
            td { (with_interval(item.plain_kappa.as_ref())) }
            @if sums { td { (with_interval(item.icc.as_ref())) } td { (limits.unwrap_or_else(|| "–".to_owned())) } }
            td { (needed(item)) }
        }
        tr.published-beside { th scope="row" { "Published, two raters" } td colspan=(if sums { 7 } else { 5 }) { (item.item.published()) } }
    }
}

/// The chart of differences against means, with the limits of agreement (Bland and Altman 1986).
fn spread(view: &AgreementView, item: &ItemAgreement) -> Markup {
    let Some((low, high)) = &item.limits else { return html! {} };
    let bias = (low.value + high.value) / 2.0;
    let name = crate::words::capital(item.item.words());
    let id = spread_key(item.item);
    html! {
        section aria-labelledby=(id) {
            h2 id=(id) { (name) ": differences" }
            (spread_figure(item, low.value, high.value))
            (chart_links(&format!("/results/agreement/chart/{id}"), &view.filter.query(), &format!("differences of {name}")))
            p { "y-axis: first score minus second, in points. x-axis: mean of the two. Mean difference " strong { (two(bias)) } "; lower limit " (with_interval(Some(low))) ", upper limit " (with_interval(Some(high))) "." }
            (caption(view, SPREAD_METHOD, item.n, item.children))
            details.more {
                summary { "Differences as a table" }
                div.scroll tabindex="0" role="group" aria-label={ "Table: differences of " (name) } {
                    table.numbers {
                        thead { tr { @for head in ["Mean of the two", "First minus second", "Feet", "Children"] { th scope="col" { (head) } } } }
                        tbody { @for point in &item.differences { tr { th scope="row" { (two(point.mean)) } td { (two(point.difference)) } td { (point.feet) } td { (point.children) } } } }
                    }
                }
            }
        }
    }
}

const SPREAD_METHOD: &str =
    "Limits of agreement, Bland and Altman 1986; confidence intervals by bootstrap over children";

/// The name of the chart of an item.
fn spread_key(item: RatedItem) -> String {
    format!("spread-{}", item.key())
}

fn spread_figure(item: &ItemAgreement, low: f64, high: f64) -> Markup {
    let bias = (low + high) / 2.0;
    let description = format!(
        "{}: difference of the two scores (first minus second) against their mean, {}. Mean difference {}; 95 % of differences between {} and {} points. The table below lists every value.",
        crate::words::capital(item.item.words()),
        count(item.n as i64, "foot", "feet"),
        two(bias),
        two(low),
        two(high)
    );
    html! {
        figure.plot-figure {
            @for plot in Plot::BOTH { (drawn(plot.low(), item, (low, bias, high), &description)) }
            figcaption.plot-legend { ul {
                li { svg class="plot key" viewBox="0 0 34 12" aria-hidden="true" { circle class="dot" cx="17" cy="6" r="4.5" {} } " feet with this mean and difference; the larger, the more feet" }
                li { svg class="plot key" viewBox="0 0 34 12" aria-hidden="true" { path class="middle" d="M1 6H33" {} } " mean difference" }
                li { svg class="plot key" viewBox="0 0 34 12" aria-hidden="true" { path class="limit" d="M1 6H33" {} } " 95 % of differences" }
            } }
        }
    }
}

/// The chart of an item by its key: title, method with numbers and day, and the figure.
pub(super) fn chart(view: &AgreementView, key: &str) -> Option<(String, String, Markup)> {
    let all = &view.found.agreement;
    let item = all.items.iter().find(|item| spread_key(item.item) == key)?;
    let (low, high) = item.limits.as_ref()?;
    let method = format!(
        "{SPREAD_METHOD}. {} of {}, as known on {}. y-axis: first score minus second, in points; x-axis: mean of the two.",
        count(item.n as i64, "foot", "feet"),
        count(item.children as i64, "child", "children"),
        all.as_of.words()
    );
    let title = format!("{}: differences of two raters", crate::words::capital(item.item.words()));
    Some((title, method, spread_figure(item, low.value, high.value)))
}

fn drawn(plot: Plot, item: &ItemAgreement, (low, bias, high): (f64, f64, f64), description: &str) -> Markup {
    let most = if item.item == RatedItem::Dimeglio { 20.0 } else { 6.0 };
    let far = item.differences.iter().map(|point| point.difference.abs());
    let top = nice(far.chain([low.abs(), high.abs()]).fold(0.5, f64::max));
    let scale = Scale { plot, x: (0.0, most), y: (-top, top) };
    let across: Vec<(f64, String)> =
        (0..=4).map(|part| most * f64::from(part) / 4.0).map(|at| (at, words::number(at))).collect();
    let line = |y: f64| scale.line([(0.0, y), (most, y)].into_iter());
    html! {
        svg class=(plot.class) viewBox=(format!("0 0 {} {}", plot.width, plot.height)) role="img" aria-label=(description) {
            (value_axis(&scale, words::number))
            (foot_words(&scale, &across))
            path class="limit" d=(line(high)) {}
            path class="limit" d=(line(low)) {}
            path class="middle" d=(line(bias)) {}
            @for point in &item.differences {
                circle class="dot" cx=(num(scale.x(point.mean))) cy=(num(scale.y(point.difference))) r=(num((2.6 * (point.feet as f64).sqrt()).clamp(3.0, 14.0))) {}
            }
        }
    }
}

fn raters(view: &AgreementView) -> Markup {
    let all = &view.found.agreement;
    let name = |line: &RaterLine| {
        view.names.get(usize::from(line.rater)).map_or("unknown user", String::as_str).to_owned()
    };
    html! {
        section aria-labelledby="raters" {
            h2 id="raters" { "Drift of each rater" }
            p { "Pirani total of the rater minus that of the colleague, over the feet that both scored; above 0 the rater scores higher. The last column compares the last twelve months with the time before. Because several raters are compared, a change is called more than chance only if p is below 0.01." }
            div.scroll tabindex="0" role="group" aria-label="Table: each rater against the others" {
                table.listed.drift {
                    thead { tr { @for head in ["Rater", "Feet", "Children", "Difference from the others, points", "Change"] { th scope="col" { (head) } } } }
                    tbody { @for line in &all.raters {
                        tr { th scope="row" { (name(line)) } td { (line.n) } td { (line.children) } td { (with_interval(Some(&line.bias))) } td { (line.sentence) } }
                    } }
                }
            }
            (caption(view, "Mean difference with variance clustered by child, Student’s t", all.n, all.children))
        }
    }
}

fn explanation(view: &AgreementView) -> Markup {
    let found = &view.found;
    html! {
        section aria-labelledby="how" {
            h2 id="how" { "How to read this page" }
            ul {
                li { "Kappa is the agreement beyond chance: 1 is complete agreement, 0 none beyond chance. If nearly all feet look alike, kappa is low although the raters seldom differ; read it together with the share of identical scores." }
                li { "“Still to be scored”: the number of feet until the confidence interval of weighted kappa is within " (two(USEFUL)) " on either side, if future feet are like those so far." }
                li { "Published pairs of raters scored other feet under other rules; none of them is a target." }
                li { "The two feet of a child are scored by the same two people at the same time; they never count as two independent pairs." }
                @if found.amended > 0 { li { (count(found.amended as i64, "pair", "pairs")) " had a score corrected after both were saved. The original blind scores count." } }
                @if found.unpaired > 0 { li { (count(found.unpaired as i64, "second score belongs", "second scores belong")) " to no valid first score (withdrawn, or of another foot, day or person) and " (if found.unpaired == 1 { "does" } else { "do" }) " not count." } }
            }
            p.caution { "Agreement shows that two people score alike, not that they score correctly. It does not replace training or the judgement of a qualified clinician." }
        }
    }
}
