//! Small pictures of the signs for which a child is brought in at once, for those who do not read. Each stands beside
//! its sentence, so that it needs no text of its own.

use crate::document::SignPicture;
use maud::{Markup, html};

/// The picture, in a square of 48 units.
pub(super) fn picture(sign: SignPicture) -> Markup {
    html! { svg.sign viewBox="0 0 48 48" aria-hidden="true" focusable="false" { (shapes(sign)) } }
}

/// The shapes of a picture.
pub(crate) fn shapes(sign: SignPicture) -> Markup {
    match sign {
        SignPicture::Toes => toes(),
        SignPicture::HiddenToes => hidden_toes(),
        SignPicture::Fever => fever(),
        SignPicture::Blood => blood(),
        SignPicture::Crying => crying(),
        SignPicture::Skin => skin(),
    }
}

/// A cast from the side with five dark toes at its end.
fn toes() -> Markup {
    html! {
        path.cast d="M2 14 H26 Q30 14 30 18 V36 Q30 40 26 40 H2 Z" {}
        @for (cx, cy, r) in [(34.0, 17.0, 4.6), (37.0, 24.0, 3.8), (36.5, 30.0, 3.3), (35.0, 35.0, 2.9), (33.0, 39.0, 2.5)] {
            circle.dark cx=(cx) cy=(cy) r=(r) {}
        }
        path.line d="M40 8 l4 -4 M44 12 l4 -2 M43 18 h4" {}
    }
}

/// A cast whose end is empty: an arrow goes in where toes should be.
fn hidden_toes() -> Markup {
    html! {
        path.cast d="M2 12 H32 Q36 12 36 16 V34 Q36 38 32 38 H2 Z" {}
        ellipse.hole cx="34" cy="25" rx="5" ry="11" {}
        path.arrow d="M46 25 H24 M30 19 L23 25 L30 31" {}
    }
}

/// A thermometer that is full.
fn fever() -> Markup {
    html! {
        path.outline d="M20 6 a4 4 0 0 1 8 0 V28 a9 9 0 1 1 -8 0 Z" {}
        circle.full cx="24" cy="36" r="6" {}
        path.fill d="M22.4 10 h3.2 V34 h-3.2 Z" {}
        path.line d="M32 10 h5 M32 16 h5 M32 22 h5" {}
    }
}

/// A stain within a wider ring, with arrows outward.
fn blood() -> Markup {
    html! {
        path.cast d="M4 4 H44 V44 H4 Z" {}
        circle.full cx="24" cy="24" r="7" {}
        circle.ring cx="24" cy="24" r="14" {}
        path.line d="M24 15 V7 M24 33 V41 M15 24 H7 M33 24 H41" {}
    }
}

/// A face with an open mouth and tears.
fn crying() -> Markup {
    html! {
        circle.outline cx="24" cy="24" r="19" {}
        path.line d="M12 19 l7 3 M36 19 l-7 3" {}
        ellipse.full cx="24" cy="33" rx="6" ry="5" {}
        path.drop d="M14 25 q-4 7 0 8 q4 -1 0 -8 Z M34 25 q-4 7 0 8 q4 -1 0 -8 Z" {}
    }
}

/// The sole of a foot with an open place at the heel.
fn skin() -> Markup {
    html! {
        path.outline d="M17 6 Q30 2 32 14 Q33 22 31 30 Q31 43 24 44 Q16 44 16 34 Q15 26 14 18 Q12 8 17 6 Z" {}
        circle.full cx="24" cy="36" r="4.5" {}
        path.line d="M24 27 V24 M33 36 H37 M15 36 H11" {}
    }
}
