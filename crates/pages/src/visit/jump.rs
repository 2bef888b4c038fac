//! Links for the keyboard within the form.

use maud::{Markup, html};

/// A link for the keyboard, seen only while it has the focus, that leads past what is seldom filled in.
pub(super) fn jump(target: &str, words: &str) -> Markup {
    html! { a.jump href={ "#" (target) } { (words) } }
}
