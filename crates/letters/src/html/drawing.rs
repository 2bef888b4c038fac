//! The drawings of the sheets. The numbers in them are those of the list beside them.

use crate::document::FamilyDrawing;
use maud::{Markup, html};

/// A drawing with what it shows in words.
pub(super) fn picture(drawing: FamilyDrawing, shows: &str) -> Markup {
    let (view_box, shapes) = shapes(drawing);
    html! { svg.drawing viewBox=(view_box) role="img" aria-label=(shows) { (shapes) } }
}

/// The shapes of a drawing, and the part of the plane that holds them.
pub(crate) fn shapes(drawing: FamilyDrawing) -> (&'static str, Markup) {
    match drawing {
        FamilyDrawing::LegInCast => ("0 0 320 210", leg_in_cast()),
        FamilyDrawing::HeelAndStraps => ("0 0 320 230", heel_and_straps()),
    }
}

fn number(n: u8, x: f64, y: f64) -> Markup {
    html! {
        circle.number cx=(x) cy=(y) r="11" {}
        text.digit x=(x) y=(y + 5.0) text-anchor="middle" { (n) }
    }
}

/// A child's leg in its cast from the side, lying: thigh to the left, knee bent, foot up to the right, a rolled
/// towel under the calf and the heel free.
fn leg_in_cast() -> Markup {
    html! {
        path.bed d="M0 190 H320" {}
        path.cast d="M12 118 Q14 96 36 88 L118 46 Q142 36 158 54 L232 120 Q246 126 250 116 L262 74 Q268 62 282 66 L292 70 Q302 75 299 86 L284 144 Q278 166 254 164 L214 160 Q202 158 192 148 L134 98 L52 146 Q30 156 18 140 Z" {}
        path.seam d="M150 52 Q140 70 132 98" {}
        @for (cx, cy, r) in [(293.0, 60.0, 9.0), (302.0, 66.0, 6.5), (307.0, 73.0, 5.6), (308.5, 80.0, 4.8), (307.5, 87.0, 4.2)] {
            circle.skin cx=(cx) cy=(cy) r=(r) {}
        }
        circle.towel cx="186" cy="172" r="18" {}
        path.roll d="M186 172 m-11 0 a11 11 0 1 1 11 11 a6 6 0 1 1 0 -12" {}
        path.pointer d="M266 182 V168" {}
        (number(1, 268.0, 30.0))
        path.pointer d="M278 38 L290 50" {}
        (number(2, 140.0, 20.0))
        (number(3, 232.0, 186.0))
    }
}

/// A boot from the side with a foot in it: the heel down at the back, a window at the heel, three straps of which
/// the middle one is the first.
fn heel_and_straps() -> Markup {
    html! {
        path.bar d="M40 212 H280 V222 H40 Z" {}
        path.skin d="M84 6 Q80 60 78 96 Q66 120 66 150 Q66 186 92 188 L212 190 Q252 192 256 176 Q256 162 236 154 L166 122 Q152 110 152 84 L150 6 Z" {}
        path.boot d="M70 60 Q62 110 58 150 Q56 200 86 202 L214 204 L214 188 L98 186 Q74 184 76 150 Q78 112 88 60 Z" {}
        ellipse.window cx="74" cy="166" rx="7" ry="13" {}
        @for (cx, cy, r) in [(252.0, 172.0, 9.0), (258.0, 181.0, 6.0)] { circle.skin cx=(cx) cy=(cy) r=(r) {} }
        path.strap d="M82 66 L154 70 L154 86 L80 82 Z" {}
        path.strap.first d="M72 128 L152 104 L164 122 L70 150 Z" {}
        path.strap d="M150 196 L196 138 L212 146 L170 200 Z" {}
        path.pointer d="M60 24 Q44 30 40 44" {}
        (number(1, 66.0, 20.0))
        path.pointer d="M36 176 L64 168" {}
        (number(2, 26.0, 180.0))
        (number(3, 186.0, 98.0))
        (number(4, 176.0, 62.0))
        (number(4, 222.0, 122.0))
    }
}
