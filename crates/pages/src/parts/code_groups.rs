//! A recovery code on a page that is printed.

use maud::{Markup, html};

/// The groups of a recovery code in their order, numbered by the style sheet, so that they are easy to copy by hand.
#[must_use]
pub fn code_groups(groups: &[String]) -> Markup {
    html! { ol.code-groups { @for group in groups { li { (group) } } } }
}
