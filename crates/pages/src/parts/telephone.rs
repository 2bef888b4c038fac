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

/// A carer on one line: the number first, then name, relation and language, whatever is known.
#[must_use]
pub fn carer_line(carer: &Carer) -> Markup {
    let known = |text: &Option<String>| text.clone().filter(|text| !text.trim().is_empty());
    let language = known(&carer.language).map(|language| format!("speaks {language}"));
    let name = known(&Some(carer.name.clone()));
    let who: Vec<String> = [name, known(&carer.relation), language].into_iter().flatten().collect();
    html! {
        @if let Some(phone) = known(&carer.phone) { (telephone(&phone)) " " }
        (crate::words::capital(&who.join(", ")))
    }
}
