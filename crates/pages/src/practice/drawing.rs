//! A drawn foot as an SVG, with its text alternative.

use super::LEVELS_PATH;
use crate::ink::{self, Ink};
use maud::{Markup, html};
use practice::{
    ConfirmedLevels, DrawnCase, DrawnLayer, DrawnShape, FRAME, FillClass, FootDrawing, GeometryItem,
    LabelAnchor, LevelStanding, SignGeometry, SkinShade, StrokeWeight, is_felt,
};
use record::{HalfPoint, Side, Sign};
use std::fmt::Write;

/// A drawing with its text alternative; with the answer marked in it, or without.
pub(super) fn svg(drawing: &FootDrawing, alternative: &str, with_answer: bool) -> Markup {
    let shade = match drawing.shade {
        SkinShade::Light => "drawn-foot skin-light",
        SkinShade::Middle => "drawn-foot skin-middle",
        SkinShade::Dark => "drawn-foot skin-dark",
    };
    let shown = |layer: DrawnLayer| with_answer || layer == DrawnLayer::Foot;
    html! {
        svg class=(shade) viewBox=(format!("0 0 {FRAME} {FRAME}")) role="img" aria-label=(alternative) xmlns="http://www.w3.org/2000/svg" {
            (ink::markup(|ink| drawing.shapes.iter().filter(|shape| shown(shape.layer)).for_each(|shape| path(ink, shape))))
            @for label in drawing.labels.iter().filter(|label| shown(label.layer)) {
                text x=(format!("{:.1}", label.at.0)) y=(format!("{:.1}", label.at.1)) text-anchor=(anchor(label.anchor)) { (label.text) }
            }
        }
    }
}

const fn anchor(anchor: LabelAnchor) -> &'static str {
    match anchor {
        LabelAnchor::Start => "start",
        LabelAnchor::Middle => "middle",
        LabelAnchor::End => "end",
    }
}

fn path(ink: &mut Ink<'_>, shape: &DrawnShape) {
    let stroke = match shape.stroke {
        StrokeWeight::None => "line-none",
        StrokeWeight::Fine => "line-fine",
        StrokeWeight::Outline => "line-outline",
        StrokeWeight::Deep => "line-deep",
        StrokeWeight::Shade => "line-shade",
        StrokeWeight::Dashed => "line-dashed",
        StrokeWeight::Mark => "line-mark",
    };
    let fill = match shape.fill {
        FillClass::None => " fill-none",
        FillClass::Skin => " fill-skin",
        FillClass::Bone => " fill-bone",
        FillClass::TalarHead => " fill-head",
        FillClass::Hand => " fill-hand",
    };
    let mut points = String::with_capacity(shape.points.len() * 10);
    for (place, (x, y)) in shape.points.iter().enumerate() {
        // Writing to a string cannot fail.
        let _ = write!(points, "{}{x:.1} {y:.1}", if place == 0 { "M" } else { "L" });
    }
    ink.tag("<path class=\"").text(stroke).text(fill).tag("\" d=\"").text(&points);
    ink.tag(if shape.closed { "Z\"></path>" } else { "\"></path>" });
}

/// "the right foot".
pub(super) fn foot(side: Side) -> String {
    format!("{side} foot")
}

/// A value of the table with its unit; a true minus sign.
pub(super) fn amount(item: GeometryItem, value: f64) -> String {
    let number = match item {
        GeometryItem::BorderDeviation | GeometryItem::BoneDepth | GeometryItem::GapUnderFinger => {
            format!("{value:.1}")
        }
        _ => format!("{value:.0}"),
    };
    let number = if matches!(number.as_str(), "-0" | "-0.0") {
        number.replace('-', "")
    } else {
        number.replace('-', "−")
    };
    format!("{number}{}", item.unit())
}

/// What an unanswered drawing shows, for those who do not see it: what can be measured in it, and no level.
pub(super) fn blind_alternative(case: &DrawnCase, sign: Sign) -> String {
    let drawing = case.drawing(sign);
    let table = SignGeometry::of(sign);
    format!(
        "Drawing of a {} {}. Measured in it: {}, {}.",
        foot(case.side),
        drawing.view.words(),
        table.item.words(),
        amount(table.item, case.value(sign))
    )
}

/// What a textbook drawing of a level shows.
pub(super) fn level_alternative(sign: Sign, level: HalfPoint) -> String {
    format!(
        "Drawing, {}, {}: {}",
        sign.name().to_lowercase(),
        level.text(),
        SignGeometry::of(sign).level(level).drawn
    )
}

/// Under a drawing of what a finger feels.
pub(super) fn felt_note(sign: Sign) -> Markup {
    let what = match sign {
        Sign::TalarHead => {
            "The orange bone is the head of the talus, the shell about it the navicular; the thumb lies at the outer side."
        }
        _ => "The bones are drawn through the skin; the dashed line is the skin while nothing presses on it.",
    };
    html! {
        @if is_felt(sign) {
            p.hint { strong { "Felt, not seen. " } (what) " A drawing shows what the finger would meet and cannot teach the finger: learn this sign on feet, beside somebody who knows it." }
        }
    }
}

/// Where the drawings of these signs come from, on every page that has one.
pub(super) fn source_note(confirmed: &ConfirmedLevels, signs: &[Sign]) -> Markup {
    let drawn = |sign: &Sign| HalfPoint::ALL.into_iter().map(|level| (*sign, level)).collect::<Vec<_>>();
    let levels: Vec<(Sign, HalfPoint)> = signs.iter().flat_map(drawn).collect();
    let is_confirmed = |(sign, level): &&(Sign, HalfPoint)| {
        matches!(confirmed.standing(*sign, *level), LevelStanding::Confirmed(_))
    };
    let known = levels.iter().filter(is_confirmed).count();
    html! {
        p.hint.drawing-source {
            @if known == levels.len() {
                strong { "The drawings are our own. " } "Somebody of this clinic has compared the words and numbers behind them with a named source: " a href=(LEVELS_PATH) { "every sign at every level" } ". "
            } @else {
                strong { "The drawings are our own, from memory. " } "No text that could be read gives the exact look of each level, and "
                @if known == 0 { "nobody has confirmed these drawings yet. " }
                @else { "of the levels drawn here " (known) " of " (levels.len()) " are confirmed with a source: " a href=(LEVELS_PATH) { "every sign at every level" } ". " }
            }
            "Where your training differs, your training counts. Nothing here is about a real child."
        }
    }
}
