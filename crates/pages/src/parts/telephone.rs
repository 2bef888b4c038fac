//! Carers, and their numbers as links that a telephone dials.

use maud::{Markup, html};
use record::Carer;

/// A number as a link. A text without a digit is no number and is shown as it is.
#[must_use]
pub fn telephone(number: &str) -> Markup {
    let dialled: String = number
        .chars()
        .enumerate()
        .filter(|(n, c)| c.is_ascii_digit() || (*n == 0 && *c == '+'))
        .map(|(_, c)| c)
        .collect();
    html! {
        @if dialled.chars().any(|c| c.is_ascii_digit()) { a.phone href={ "tel:" (dialled) } { (number) } }
        @else { span.phone { (number) } }
    }
}

/// A carer on one line: name, relation, number, language, whatever is known.
#[must_use]
pub fn carer_line(carer: &Carer) -> Markup {
    let known = |text: &str| !text.trim().is_empty();
    let mut parts: Vec<Markup> = Vec::new();
    if known(&carer.name) {
        parts.push(html! { (carer.name) });
    }
    if let Some(relation) = carer.relation.as_deref().filter(|text| known(text)) {
        parts.push(
            html! { (if parts.is_empty() { crate::words::capital(relation) } else { relation.to_owned() }) },
        );
    }
    if let Some(phone) = carer.phone.as_deref().filter(|text| known(text)) {
        parts.push(telephone(phone));
    }
    if let Some(language) = carer.language.as_deref().filter(|text| known(text)) {
        parts.push(html! { "speaks " (language) });
    }
    html! { @for (n, part) in parts.iter().enumerate() { @if n > 0 { ", " } (part) } }
}
