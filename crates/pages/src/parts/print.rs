//! The button that prints a page.

use crate::in_language::PageLanguage;
use maud::{Markup, html};

/// Prints the page. Without the script it is not shown: the browser prints the page too.
#[must_use]
pub fn print_button() -> Markup {
    print_button_in(PageLanguage::English)
}

/// The same on a page in a language.
#[must_use]
pub fn print_button_in(language: PageLanguage) -> Markup {
    html! { button.no-print type="button" data-print="" hidden { (language.named("print")) } }
}
