//! The button that prints a page.

use maud::{Markup, html};

/// Prints the page. Without the script it is not shown: the browser prints the page too.
#[must_use]
pub fn print_button() -> Markup {
    html! { button.no-print type="button" data-print="" hidden { "Print" } }
}
