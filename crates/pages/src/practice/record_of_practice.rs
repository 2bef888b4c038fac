//! The record of practice of a person, to print: numbers and intervals, and no pass mark.

use super::{LEARN_PATH, kappa_words, photographs, progress::published, same_words, two};
use crate::{Frame, HelpTopic, frame, parts, words};
use audit::raters::{FEWEST_CHILDREN, ItemAgreement, RatedItem, RaterAgreement};
use maud::{Markup, html};
use practice::{ConfirmedLevels, PhotographProgress, PracticeProgress};
use record::Sign;

/// The record of practice of a person.
#[derive(Debug, Clone)]
pub struct PracticeRecordView {
    /// The name of the person.
    pub name: String,
    /// Practice on drawn feet.
    pub progress: PracticeProgress,
    /// Agreement with colleagues on feet scored twice, blind; `None` if the person scored none.
    pub with_colleagues: Option<RaterAgreement>,
    /// Practice on photographs.
    pub on_photographs: PhotographProgress,
    /// The levels that the clinic has confirmed.
    pub confirmed: ConfirmedLevels,
}

/// The page.
#[must_use]
pub fn practice_record(frame: &Frame, view: &PracticeRecordView) -> Markup {
    let progress = &view.progress;
    let period = progress.days.map_or_else(
        || "no drawn foot scored".to_owned(),
        |(from, to)| format!("drawn feet scored from {} to {}", from.words(), to.words()),
    );
    let body = html! {
        nav.back.no-print aria-label="Back" { a href=(LEARN_PATH) { "Learn to score" } }
        h1 { "Record of practice" }
        p.lead { strong { (view.name) } " · " (frame.clinic_name) }
        p.tally { "As of " (words::day(progress.as_of)) " · " (period) }
        p.no-print { (parts::print_button()) }
        (drawn(progress))
        @if view.on_photographs.answered() > 0 {
            section aria-labelledby="photographs" { h2 id="photographs" { "Photographs, against two people who examined the foot" } (photographs::table(&view.on_photographs)) }
        }
        (colleagues(view.with_colleagues.as_ref()))
        section aria-labelledby="meaning" {
            h2 id="meaning" { "What this record says" }
            ul.plain-list {
                li { "It states what was practised and how far the answers agreed. It is no certificate and has no pass mark: no published number of feet and no published kappa makes a rater." }
                li { "Drawn feet have a known answer; the drawings are our own. " (confirmed(&view.confirmed)) " Two of the six signs are felt, which no drawing teaches." }
                li { "Agreement with colleagues shows that two people score alike, not that either scores correctly." }
                li { "Weighted kappa has linear weights. Its interval is a large-sample one for drawn feet (Fleiss, Cohen and Everitt 1969), and for children from resampling children (Efron and Tibshirani 1993)." }
            }
        }
        (published())
    };
    frame::page(frame, HelpTopic::LearnToScore, "Record of practice", &body)
}

/// What was compared with a source, in a sentence.
fn confirmed(levels: &ConfirmedLevels) -> String {
    match levels.count() {
        0 => "Their levels are from memory and not confirmed by a named source.".to_owned(),
        n => format!(
            "Of their {} levels this clinic has compared {n} with a named source; the others are from memory.",
            ConfirmedLevels::ALL
        ),
    }
}

fn drawn(progress: &PracticeProgress) -> Markup {
    html! {
        section aria-labelledby="drawn" {
            h2 id="drawn" { "Drawn feet, against the known answer" }
            div.scroll tabindex="0" role="group" aria-label="Table: drawn feet" {
                table.numbers {
                    thead { tr { @for head in ["Sign", "Drawn feet", "The same (95 % interval)", "Weighted kappa (95 % interval)"] { th scope="col" { (head) } } } }
                    tbody { @for sign in &progress.signs { tr {
                        th scope="row" { (sign.sign.name()) }
                        td { (sign.all.n) } td { (same_words(&sign.all)) } td { (kappa_words(&sign.all.kappa)) }
                    } } }
                }
            }
        }
    }
}

fn colleagues(agreement: Option<&RaterAgreement>) -> Markup {
    html! {
        section aria-labelledby="colleagues" {
            h2 id="colleagues" { "Children’s feet, scored by two people blind" }
            @match agreement {
                None => p { "No foot scored together with a colleague." },
                Some(agreement) => {
                    div.scroll tabindex="0" role="group" aria-label="Table: feet scored by two people" {
                        table.numbers {
                            thead { tr { @for head in ["Sign", "Feet", "Children", "Weighted kappa (95 % interval)"] { th scope="col" { (head) } } } }
                            tbody { @for sign in Sign::ALL {
                                @let item = agreement.items.iter().find(|item| item.item == RatedItem::Sign(sign));
                                tr { th scope="row" { (sign.name()) } td { (item.map_or(0, |item| item.n)) } td { (item.map_or(0, |item| item.children)) } td { (item.map_or_else(|| "–".to_owned(), item_kappa)) } }
                            } }
                        }
                    }
                },
            }
        }
    }
}

/// Kappa of an item with its interval, or why it cannot be told.
pub(super) fn item_kappa(item: &ItemAgreement) -> String {
    match item.kappa {
        _ if item.children < FEWEST_CHILDREN => {
            format!(
                "cannot be told from {} of at least {}",
                item.children,
                words::count(FEWEST_CHILDREN as i64, "child", "children")
            )
        }
        Some(kappa) => match kappa.lower.zip(kappa.upper) {
            Some((low, high)) => format!("{} ({} to {})", two(kappa.value), two(low), two(high)),
            None => format!("{}; no interval", two(kappa.value)),
        },
        None => item.why_none.clone().unwrap_or_else(|| "cannot be told".to_owned()),
    }
}
