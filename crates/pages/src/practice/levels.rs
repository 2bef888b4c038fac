//! Every sign at every level, with the table of numbers behind the drawings.

use super::{
    LEARN_PATH,
    drawing::{amount, felt_note, level_alternative, source_note, svg},
    level_path, sign_path,
};
use crate::{Frame, HelpTopic, frame};
use maud::{Markup, html};
use practice::{ConfirmedLevels, FootDrawing, GeometryItem, LevelStanding, SignGeometry};
use record::{HalfPoint, Right, Side, Sign, SubScore};

/// Every level, with what the clinic has confirmed.
#[derive(Debug, Clone, Default)]
pub struct PracticeLevelsView {
    /// The levels that the clinic has confirmed.
    pub confirmed: ConfirmedLevels,
    /// Lines of the history of confirmations that cannot be read; nothing counts as confirmed then.
    pub unreadable: usize,
}

/// The page with the textbook drawings.
#[must_use]
pub fn practice_levels(frame: &Frame, view: &PracticeLevelsView) -> Markup {
    let body = html! {
        nav.back aria-label="Back" { a href=(LEARN_PATH) { "Learn to score" } }
        h1 { "Every sign at every level" }
        p.lead { "All drawings show a right foot, with what to look at marked in red." }
        (source_note(&view.confirmed, &Sign::ALL))
        @if view.unreadable > 0 { (unreadable(view.unreadable)) }
        @for part in [SubScore::Midfoot, SubScore::Hindfoot] {
            section aria-labelledby=(id(part)) {
                h2 id=(id(part)) { (part.name()) }
                @for sign in Sign::ALL.into_iter().filter(|sign| sign.part() == part) { (one(frame, view, sign)) }
            }
        }
        (numbers())
    };
    frame::page(frame, HelpTopic::LearnToScore, "Every sign at every level", &body)
}

const fn id(part: SubScore) -> &'static str {
    match part {
        SubScore::Midfoot => "midfoot",
        SubScore::Hindfoot => "hindfoot",
    }
}

/// That nothing counts as confirmed, because the history may hold a change that cannot be read.
pub(super) fn unreadable(lines: usize) -> Markup {
    html! { p.message.warning { strong { (lines) " lines of the history of confirmations cannot be read. " } "No level counts as confirmed until the file is restored from a backup." } }
}

/// Where the words and numbers of a level come from.
pub(super) fn standing(standing: LevelStanding<'_>) -> Markup {
    html! {
        @match standing {
            LevelStanding::FromMemory => span.rel { "From memory, not confirmed." },
            LevelStanding::Confirmed(by) => span.rel { "Confirmed: " (by.source) " (" (by.by) ", " (by.when) ")." },
            LevelStanding::ChangedSince(by) => span.rel { "From memory: other words or numbers were confirmed (" (by.source) "; " (by.by) ", " (by.when) "), and the table has changed since." },
        }
    }
}

fn one(frame: &Frame, view: &PracticeLevelsView, sign: Sign) -> Markup {
    html! {
        article.practice-sign {
            h3 { (sign.name()) }
            p { (sign.how()) "." }
            div.practice-levels { @for level in HalfPoint::ALL {
                figure {
                    (svg(&FootDrawing::of_level(sign, level, Side::Right), &level_alternative(sign, level), true))
                    figcaption {
                        strong { (level.text()) } " " (SignGeometry::of(sign).level(level).drawn) " "
                        (standing(view.confirmed.standing(sign, level)))
                        @if frame.may(Right::ChangeSettings) { " " a href=(level_path(sign, level)) { "Source" span.sr { ": " (sign.name()) ", " (level.text()) } } }
                    }
                }
            } }
            (felt_note(sign))
            p { a href=(sign_path(sign)) { "Practise this sign" span.sr { ": " (sign.name()) } } }
        }
    }
}

fn numbers() -> Markup {
    html! {
        section aria-labelledby="numbers" {
            h2 id="numbers" { "The numbers behind the drawings" }
            p { "Between the ranges of two levels nothing is asked. The numbers are choices for drawings (" (practice::GEOMETRY_SOURCE) ")." }
            div.scroll tabindex="0" role="group" aria-label="Table: how each level is drawn" {
                table.numbers {
                    thead { tr { th scope="col" { "Sign" } th scope="col" { "Measured in the drawing" } @for level in HalfPoint::ALL { th scope="col" { (level.text()) } } } }
                    tbody { @for sign in Sign::ALL {
                        @let table = SignGeometry::of(sign);
                        tr {
                            th scope="row" { (sign.name()) }
                            td { (table.item.words()) }
                            @for level in HalfPoint::ALL { td { (range(table.item, table.level(level).range)) } }
                        }
                    } }
                }
            }
        }
    }
}

/// "4.5 to 8.0 % of the foot’s length".
pub(super) fn range(item: GeometryItem, (a, b): (f64, f64)) -> String {
    let (low, high) = (a.min(b), a.max(b));
    let bare = amount(item, low);
    let bare = bare.strip_suffix(item.unit()).unwrap_or(&bare);
    format!("{bare} to {}", amount(item, high))
}
