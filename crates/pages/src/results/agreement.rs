//! Do the raters agree? Feet scored by two people blind: sign by sign, the totals with their differences
//! drawn, and how each rater stands to the others.

use super::{
    filter,
    scale::{Plot, Scale, foot_words, nice, num, value_axis},
};
use crate::{Frame, frame, words::count};
use audit::{
    ClinicAgreement,
    raters::{Estimate, FEWEST_CHILDREN, ItemAgreement, RatedItem, RaterLine, USEFUL},
    small, words,
};
use maud::{Markup, html};

/// The page of agreement.
#[derive(Debug, Clone)]
pub struct AgreementView {
    /// As of which day, where not today, and which pairs.
    pub filter: super::ResultsFilter,
    /// What the pairs say.
    pub found: ClinicAgreement,
    /// Names of the raters, by their place.
    pub names: Vec<String>,
}

const METHOD: &str = "Kappa weighted linearly for signs and quadratically for sums, beside kappa without weights, which is what was mostly published; ICC(2,1); limits of agreement of Bland and Altman. 95 % limits by drawing children, not feet, again 1,000 times (percentile bootstrap, Efron and Tibshirani 1993).";

/// "0.62"; a true minus sign.
fn two(value: f64) -> String {
    let text = format!("{value:.2}");
    if text == "-0.00" { "0.00".to_owned() } else { text.replacen('-', "−", 1) }
}

/// "0.62 (0.41 to 0.78)".
fn with_limits(estimate: Option<&Estimate>) -> String {
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

/// What is still to be scored.
fn needed(item: &ItemAgreement) -> String {
    match item.still_needed {
        _ if item.n == 0 => "–".to_owned(),
        Some(0) => "none".to_owned(),
        Some(feet) => format!("about {feet} feet"),
        None if item.children < FEWEST_CHILDREN => {
            format!("at least {} children", FEWEST_CHILDREN - item.children)
        }
        None => "cannot be said".to_owned(),
    }
}

/// Method, n, day and version, in one line under a figure.
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
            h1 { "Do our raters agree?" }
            p.tally { "As known on " (crate::words::day(found.as_of)) ", " (view.found.known_by.words()) " · " (count(found.n as i64, "foot", "feet")) " of " (count(found.children as i64, "child", "children")) " scored by two people blind · Plantigrade " (found.version) }
        } }
        (filter::days(&view.filter, "/results/agreement", frame.today))
        @if found.n == 0 { (nothing()) } @else {
            (lead(view))
            p.actions { a.button href={ "/results/agreement.csv" (view.filter.query()) } { "Save as a table (CSV)" } span.hint { " Small numbers and names are withheld in it: " (small::RULE) } }
            (items(view, "signs", "Sign by sign", false))
            (items(view, "sums", "Sub-scores and totals", true))
            @for item in found.items.iter().filter(|item| matches!(item.item, RatedItem::Total | RatedItem::Dimeglio)) { (spread(view, item)) }
            (raters(view))
        }
        (reading(view))
    };
    frame::page(frame, "Do our raters agree?", &body)
}

fn nothing() -> Markup {
    html! {
        p.message.note { "No foot has been scored twice in these days. On the clinic’s day, and on the page of a child scored today, a colleague finds “second score”: it shows nothing of the first one. Ten children give a first interval; some fifty feet give a useful one." }
    }
}

/// The total in one sentence.
fn lead(view: &AgreementView) -> Markup {
    let Some(total) = view.found.agreement.items.iter().find(|item| item.item == RatedItem::Total) else {
        return html! {};
    };
    let limits = total.limits.as_ref().map(|(low, high)| {
        format!(" Of the differences, 95 % lie between {} and {} points.", two(low.value), two(high.value))
    });
    html! {
        @if total.n > 0 {
            p.lead { "Two people gave the same Pirani total in " (share(total.same)) " of " (count(total.n as i64, "foot", "feet")) "; weighted kappa " (with_limits(total.kappa.as_ref())) "." (limits.unwrap_or_default()) }
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
                        th scope="col" { (if sums { "Score" } else { "Sign" }) } th scope="col" { "Feet" } th scope="col" { "Same" }
                        th scope="col" { "Weighted kappa" } th scope="col" { "Kappa, no weights" }
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
            td { (with_limits(item.kappa.as_ref())) @if let (Some(why), true) = (&item.why_none, item.n > 0) { " " span.rel { (why) } } }
            td { (with_limits(item.plain_kappa.as_ref())) }
            @if sums { td { (with_limits(item.icc.as_ref())) } td { (limits.unwrap_or_else(|| "–".to_owned())) } }
            td { (needed(item)) }
        }
        tr.published-beside { th scope="row" { "Published, two raters" } td colspan=(if sums { 7 } else { 5 }) { (item.item.published()) } }
    }
}

/// Differences against means, with their limits (Bland and Altman 1986).
fn spread(view: &AgreementView, item: &ItemAgreement) -> Markup {
    let Some((low, high)) = &item.limits else { return html! {} };
    let bias = (low.value + high.value) / 2.0;
    let name = crate::words::capital(item.item.words());
    let says = format!(
        "{name}: difference of the two scores (first less second) against their mean, of {}. Mean difference {}; 95 % of differences between {} and {} points. The table below gives every value.",
        count(item.n as i64, "foot", "feet"),
        two(bias),
        two(low.value),
        two(high.value)
    );
    let id = format!("spread-{}", item.item.key());
    html! {
        section aria-labelledby=(id) {
            h2 id=(id) { (name) ": how far apart" }
            figure.plot-figure {
                @for plot in Plot::BOTH { (drawn(plot.low(), item, (low.value, bias, high.value), &says)) }
                figcaption.plot-legend { ul {
                    li { svg class="plot key" viewBox="0 0 34 12" aria-hidden="true" { circle class="dot" cx="17" cy="6" r="4.5" {} } " feet with that mean and difference; the larger, the more" }
                    li { svg class="plot key" viewBox="0 0 34 12" aria-hidden="true" { path class="middle" d="M1 6H33" {} } " mean difference" }
                    li { svg class="plot key" viewBox="0 0 34 12" aria-hidden="true" { path class="limit" d="M1 6H33" {} } " 95 % of differences" }
                } }
            }
            p { "Up: first score less second, in points. Across: mean of the two. Mean difference " strong { (two(bias)) } "; lower limit " (with_limits(Some(low))) ", upper limit " (with_limits(Some(high))) "." }
            (caption(view, "Limits of agreement, Bland and Altman 1986; limits by bootstrap over children", item.n, item.children))
            details.more {
                summary { "The differences as a table" }
                div.scroll tabindex="0" role="group" aria-label={ "Table: differences of " (name) } {
                    table.numbers {
                        thead { tr { @for head in ["Mean of the two", "First less second", "Feet", "Children"] { th scope="col" { (head) } } } }
                        tbody { @for point in &item.differences { tr { th scope="row" { (two(point.mean)) } td { (two(point.difference)) } td { (point.feet) } td { (point.children) } } } }
                    }
                }
            }
        }
    }
}

fn drawn(plot: Plot, item: &ItemAgreement, (low, bias, high): (f64, f64, f64), says: &str) -> Markup {
    let most = if item.item == RatedItem::Dimeglio { 20.0 } else { 6.0 };
    let far = item.differences.iter().map(|point| point.difference.abs());
    let top = nice(far.chain([low.abs(), high.abs()]).fold(0.5, f64::max));
    let scale = Scale { plot, x: (0.0, most), y: (-top, top) };
    let across: Vec<(f64, String)> =
        (0..=4).map(|part| most * f64::from(part) / 4.0).map(|at| (at, words::number(at))).collect();
    let line = |y: f64| scale.line([(0.0, y), (most, y)].into_iter());
    html! {
        svg class=(plot.class) viewBox=(format!("0 0 {} {}", plot.width, plot.height)) role="img" aria-label=(says) {
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
        view.names.get(usize::from(line.rater)).map_or("somebody no longer known", String::as_str).to_owned()
    };
    html! {
        section aria-labelledby="raters" {
            h2 id="raters" { "Who drifts" }
            p { "Own Pirani total less the other’s, over the feet each scored with a colleague; above 0 the rater scores higher. Then the last twelve months beside the time before. Several raters are looked at here, so more than chance is said only below one in a hundred." }
            div.scroll tabindex="0" role="group" aria-label="Table: each rater against the others" {
                table.told.drift {
                    thead { tr { @for head in ["Rater", "Feet", "Children", "Against the others, points", "Has it moved?"] { th scope="col" { (head) } } } }
                    tbody { @for line in &all.raters {
                        tr { th scope="row" { (name(line)) } td { (line.n) } td { (line.children) } td { (with_limits(Some(&line.bias))) } td { (line.sentence) } }
                    } }
                }
            }
            (caption(view, "Mean difference with variance clustered by child, Student’s t", all.n, all.children))
        }
    }
}

fn reading(view: &AgreementView) -> Markup {
    let found = &view.found;
    html! {
        section aria-labelledby="how" {
            h2 id="how" { "How to read this" }
            ul {
                li { "Kappa is the agreement beyond what chance would give: 1 is full, 0 none beyond chance. Where nearly all feet look alike it is low although the raters seldom differ; read it beside “same”." }
                li { "“Still to be scored”: feet until the limits of weighted kappa lie within " (two(USEFUL)) " to either side, if the feet to come are like those so far." }
                li { "Published pairs scored other feet under other rules; none of them is a target." }
                li { "Two feet of one child are scored by the same two people in the same minute; they never count as two independent pairs." }
                @if found.amended > 0 { li { (count(found.amended as i64, "pair", "pairs")) " had a score corrected after both were written. They count as they were made, blind." } }
                @if found.unpaired > 0 { li { (count(found.unpaired as i64, "second score belongs", "second scores belong")) " to no first score (withdrawn, or of another foot, day or person) and " (if found.unpaired == 1 { "does" } else { "do" }) " not count." } }
            }
            p.caution { "Agreement says that two people see the same, not that they see what is there. It does not replace training or the judgement of a qualified clinician." }
        }
    }
}
