//! Every sign at every level, with the table of numbers behind the drawings.

use super::{
    LEARN_PATH,
    drawing::{amount, felt_note, level_alternative, source_note, svg},
    sign_path,
};
use crate::{Frame, HelpTopic, frame};
use maud::{Markup, html};
use practice::{FootDrawing, GeometryItem, SignGeometry};
use record::{HalfPoint, Side, Sign, SubScore};

/// The page with the textbook drawings.
#[must_use]
pub fn practice_levels(frame: &Frame) -> Markup {
    let body = html! {
        nav.back aria-label="Back" { a href=(LEARN_PATH) { "Learn to score" } }
        h1 { "Every sign at every level" }
        p.lead { "All drawings show a right foot, with what to look at marked in red." }
        (source_note())
        @for part in [SubScore::Midfoot, SubScore::Hindfoot] {
            section aria-labelledby=(id(part)) {
                h2 id=(id(part)) { (part.name()) }
                @for sign in Sign::ALL.into_iter().filter(|sign| sign.part() == part) { (one(sign)) }
            }
        }
        (numbers())
    };
    frame::page(frame, HelpTopic::Results, "Every sign at every level", &body)
}

const fn id(part: SubScore) -> &'static str {
    match part {
        SubScore::Midfoot => "midfoot",
        SubScore::Hindfoot => "hindfoot",
    }
}

fn one(sign: Sign) -> Markup {
    html! {
        article.practice-sign {
            h3 { (sign.name()) }
            p { (sign.how()) "." }
            div.practice-levels { @for level in HalfPoint::ALL {
                figure {
                    (svg(&FootDrawing::of_level(sign, level, Side::Right), &level_alternative(sign, level), true))
                    figcaption { strong { (level.text()) } " " (SignGeometry::of(sign).level(level).drawn) }
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
