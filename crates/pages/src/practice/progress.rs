//! Agreement of a person with the drawn answers, over time.

use super::{
    LEARN_PATH, RECORD_PATH, answer_path,
    chart::{KappaPoint, kappa_chart, key},
    kappa_words, same_words, signed, two,
};
use crate::{Frame, HelpTopic, frame, words};
use maud::{Markup, html};
use practice::{
    BLOCK, FEWEST_FEET, PUBLISHED_LEARNING, PracticeAnswer, PracticeBlock, PracticeProgress, SignProgress,
};

/// The progress of a person.
#[derive(Debug, Clone)]
pub struct PracticeProgressView {
    /// The name of the person.
    pub name: String,
    /// The progress.
    pub progress: PracticeProgress,
    /// The last answers with the numbers under which they are stored, the latest first.
    pub last: Vec<(i64, PracticeAnswer)>,
}

/// The page.
#[must_use]
pub fn practice_progress(frame: &Frame, view: &PracticeProgressView) -> Markup {
    let progress = &view.progress;
    let body = html! {
        nav.back aria-label="Back" { a href=(LEARN_PATH) { "Learn to score" } }
        h1 { "Your progress" }
        p.tally { (view.name) " · as of " (words::day(progress.as_of)) " · " (words::count(progress.answered() as i64, "drawn foot", "drawn feet")) " scored · seen by you alone" }
        p { "Weighted kappa (linear weights) is the agreement with the drawn answer beyond chance: 1 is complete agreement, 0 none beyond chance. Below " (FEWEST_FEET) " feet it cannot be told." }
        p.actions { a.button href=(RECORD_PATH) { "Record of practice" } }
        @for sign in &progress.signs { (one(sign)) }
        (last(view))
        (published())
    };
    frame::page(frame, HelpTopic::LearnToScore, "Your progress", &body)
}

/// The last answers, each with the page that shows it again.
fn last(view: &PracticeProgressView) -> Markup {
    html! {
        @if !view.last.is_empty() {
            section aria-labelledby="last" {
                h2 id="last" { "Your last answers" }
                div.scroll tabindex="0" role="region" aria-label="Table: your last answers" {
                    table.stack role="table" {
                        thead role="rowgroup" { tr role="row" { @for head in ["Day", "Sign", "You gave", "Drawn", "Look again"] { th role="columnheader" scope="col" { (head) } } } }
                        tbody role="rowgroup" { @for (number, answer) in &view.last { tr role="row" {
                            th role="rowheader" scope="row" { (words::day(answer.on)) }
                            td role="cell" data-label="Sign" { (answer.sign.name()) }
                            td role="cell" data-label="You gave" { (answer.given.text()) }
                            td role="cell" data-label="Drawn" { (answer.reference.text()) }
                            td role="cell" data-label="Look again" { a href=(answer_path(*number)) { "Look again" span.sr { ": " (answer.sign.name()) ", " (answer.on.words()) } } }
                        } } }
                    }
                }
            }
        }
    }
}

fn one(sign: &SignProgress) -> Markup {
    let id = sign.sign.key().replace('_', "-");
    html! {
        section aria-labelledby=(id) {
            h2 id=(id) { (sign.sign.name()) }
            @if sign.blocks.is_empty() { p { "No foot scored yet." } } @else {
                p { "All feet: the same in " (same_words(&sign.all)) ". Weighted kappa: " (kappa_words(&sign.all.kappa)) "." (lean(sign)) }
                @if sign.blocks.iter().any(|block| block.agreement.kappa.is_ok()) { (figure(sign)) }
                (table(sign))
            }
        }
    }
}

fn lean(sign: &SignProgress) -> String {
    match sign.all.mean_difference {
        Some(by) if by.abs() >= 0.005 => {
            let way = if by > 0.0 { "higher" } else { "lower" };
            format!(" On average you gave {} points, which is {way} than drawn.", signed(by))
        }
        Some(_) => " On average you gave neither higher nor lower levels than drawn.".to_owned(),
        None => String::new(),
    }
}

fn feet(block: &PracticeBlock) -> String {
    format!("{}–{}", block.feet.0, block.feet.1)
}

fn figure(sign: &SignProgress) -> Markup {
    let told = |block: &PracticeBlock| block.agreement.kappa.ok().map(|kappa| (kappa.value, kappa.limits));
    let points: Vec<KappaPoint> =
        sign.blocks.iter().map(|block| KappaPoint { word: feet(block), kappa: told(block) }).collect();
    let values: Vec<String> = sign
        .blocks
        .iter()
        .filter_map(|block| told(block).map(|(value, _)| format!("feet {}: {}", feet(block), two(value))))
        .collect();
    let description = format!(
        "{}: weighted kappa in blocks of {BLOCK} feet. {}. The table below lists every value with its interval.",
        sign.sign.name(),
        values.join("; ")
    );
    html! {
        figure.plot-figure {
            (kappa_chart(&points, 1, &description))
            (key(Some("the first 15 feet, over which two raters agreed much less (Flynn 1998)")))
        }
    }
}

fn table(sign: &SignProgress) -> Markup {
    html! {
        div.scroll tabindex="0" role="group" aria-label={ "Table: blocks of feet, " (sign.sign.name().to_lowercase()) } {
            table.numbers {
                thead { tr { @for head in ["Feet", "From", "To", "The same (95 % interval)", "Weighted kappa (95 % interval)"] { th scope="col" { (head) } } } }
                tbody { @for block in &sign.blocks { tr {
                    th scope="row" { (feet(block)) }
                    td { (words::day(block.days.0)) } td { (words::day(block.days.1)) }
                    td { (same_words(&block.agreement)) } td { (kappa_words(&block.agreement.kappa)) }
                } } }
            }
        }
    }
}

/// What is published, beside the own figures.
pub(super) fn published() -> Markup {
    html! {
        section aria-labelledby="published" {
            h2 id="published" { "Published, on feet of children" }
            ul.plain-list { @for one in PUBLISHED_LEARNING { li { (one.found) " " span.rel { "(" (one.source) ")" } } } }
            p.hint { "None of these is a pass mark, and drawings are easier than feet." }
        }
    }
}
