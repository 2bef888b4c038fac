//! Prints every sign at every level as one sheet, to be looked at: `cargo run -p practice --example levels > sheet.html`.
//!
//! Three rows for each sign: the textbook drawings of a right foot without and with the answer, and drawings of a left
//! foot with a look of its own.

use practice::{
    DrawnLayer, FRAME, FillClass, FootDrawing, FootLook, LabelAnchor, SignGeometry, SkinShade, StrokeWeight,
};
use record::{HalfPoint, Side, Sign};

const STYLE: &str = "body{font:14px sans-serif;margin:8px;background:#fffdf9}svg{width:230px;height:230px;border:1px solid #ccc;margin:2px}\
text{font:600 11px sans-serif}h2{margin:4px 0 0;font-size:15px}.row{white-space:nowrap}";

fn stroke(weight: StrokeWeight) -> &'static str {
    match weight {
        StrokeWeight::None => "stroke='none'",
        StrokeWeight::Fine => "stroke='#3a2a20' stroke-opacity='.55' stroke-width='1.1'",
        StrokeWeight::Outline => "stroke='#29231f' stroke-width='1.8'",
        StrokeWeight::Deep => "stroke='#29231f' stroke-width='3.4'",
        StrokeWeight::Shade => "stroke='#3a2a20' stroke-opacity='.18' stroke-width='10'",
        StrokeWeight::Dashed => "stroke='#62584e' stroke-width='1.3' stroke-dasharray='5 3'",
        StrokeWeight::Mark => "stroke='#8a2a1b' stroke-width='2.2'",
    }
}

fn fill(class: FillClass, shade: SkinShade) -> &'static str {
    match (class, shade) {
        (FillClass::None, _) => "none",
        (FillClass::Skin, SkinShade::Light) => "#f3dcc4",
        (FillClass::Skin, SkinShade::Middle) => "#cf9f77",
        (FillClass::Skin, SkinShade::Dark) => "#9a6a49",
        (FillClass::Bone, _) => "#fffdf9",
        (FillClass::TalarHead, _) => "#e0a05a",
        (FillClass::Hand, _) => "#dbe7e5",
    }
}

fn drawn(drawing: &FootDrawing, answer: bool) -> String {
    let shown = |layer: DrawnLayer| answer || layer == DrawnLayer::Foot;
    let shapes = drawing.shapes.iter().filter(|shape| shown(shape.layer)).map(|shape| {
        let points: Vec<String> = shape.points.iter().map(|(x, y)| format!("{x:.1} {y:.1}")).collect();
        let end = if shape.closed { "Z" } else { "" };
        format!(
            "<path d='M{}{end}' {} fill='{}' stroke-linecap='round' stroke-linejoin='round'/>",
            points.join("L"),
            stroke(shape.stroke),
            fill(shape.fill, drawing.shade)
        )
    });
    let labels = drawing.labels.iter().filter(|label| shown(label.layer)).map(|label| {
        let anchor = match label.anchor {
            LabelAnchor::Start => "start",
            LabelAnchor::Middle => "middle",
            LabelAnchor::End => "end",
        };
        format!(
            "<text x='{:.1}' y='{:.1}' text-anchor='{anchor}'>{}</text>",
            label.at.0, label.at.1, label.text
        )
    });
    format!(
        "<svg viewBox='0 0 {FRAME} {FRAME}'>{}{}</svg>",
        shapes.collect::<String>(),
        labels.collect::<String>()
    )
}

fn main() {
    println!("<!doctype html><meta charset='utf-8'><style>{STYLE}</style>");
    for sign in Sign::ALL {
        println!("<h2>{}</h2><div class='row'>", sign.name());
        for answer in [false, true] {
            for level in HalfPoint::ALL {
                println!("{}", drawn(&FootDrawing::of_level(sign, level, Side::Right), answer));
            }
        }
        println!("</div><div class='row'>");
        for (number, level) in HalfPoint::ALL.into_iter().chain(HalfPoint::ALL).enumerate() {
            let table = SignGeometry::of(sign);
            let (from, to) = table.level(level).range;
            let value = if number < 3 { from } else { to };
            let look = FootLook::of(number as u64 * 77 + sign as u64);
            println!("{}", drawn(&FootDrawing::of_value(sign, value, Side::Left, &look), number >= 3));
        }
        println!("</div>");
    }
}
