//! The button that prints a page, and the link to the same as a file.

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

/// The link to the paper of the page as a PDF, beside the button that prints the page.
#[must_use]
pub fn pdf_link(href: &str) -> Markup {
    pdf_link_in(PageLanguage::English, href)
}

/// The same on a page in a language.
#[must_use]
pub fn pdf_link_in(language: PageLanguage, href: &str) -> Markup {
    html! { a.button.no-print href=(href) { (language.named("as-pdf")) } }
}
