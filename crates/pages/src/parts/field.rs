//! Form fields with their label, hint and error.

use super::{
    field_error, field_id, label,
    tiles::{Tile, tiles},
};
use crate::fields::{CLOSED_SEEN, CONFIRM, DRAFT, Field, Filled, SAVED_BEFORE, What};
use maud::{Markup, html};

/// The hidden CSRF token of every form that changes data.
#[must_use]
pub fn csrf(token: &str) -> Markup {
    hidden("csrf", token)
}

/// Names the form for its draft, if it is one that is kept as a draft.
#[must_use]
pub fn draft(filled: &Filled) -> Markup {
    html! { @if let Some(name) = filled.given(DRAFT) { (hidden(DRAFT, name)) } }
}

/// A path encoded as a value of a query.
#[must_use]
pub fn query_value(path: &str) -> String {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"/-_.".contains(&byte);
    path.bytes()
        .map(|byte| if plain(byte) { char::from(byte).to_string() } else { format!("%{byte:02X}") })
        .collect()
}

/// A hidden field.
#[must_use]
pub fn hidden(name: &str, value: &str) -> Markup {
    html! { input type="hidden" name=(name) value=(value); }
}

/// Remembers the closed day about which the person was asked, so that the same form, sent again, is saved.
#[must_use]
pub fn closed_seen(filled: &Filled) -> Markup {
    html! { @if let Some(day) = filled.given(CLOSED_SEEN) { (hidden(CLOSED_SEEN, day)) } }
}

/// A summary of all errors, with a link to each field.
#[must_use]
pub fn error_summary(filled: &Filled) -> Markup {
    html! {
        @if filled.has_error(SAVED_BEFORE) {
            div.errors role="alert" {
                @for error in filled.errors_of(SAVED_BEFORE) { p { (error) } }
                p { a href=(filled.value(SAVED_BEFORE)) { "See what was saved" } }
            }
        } @else if !filled.errors.is_empty() {
            div.errors role="alert" {
                h2 { @if filled.has_error(SAVED_BEFORE) { "Saved before; nothing was added" } @else { "Nothing was saved yet" } }
                ul {
                    @for error in &filled.errors {
                        li {
                            @if error.field.is_empty() || error.field == SAVED_BEFORE { (error.text) }
                            @else { a href={ "#" (field_id(&error.field)) } { (error.text) } }
                        }
                    }
                }
            }
        }
    }
}

/// Doubts that must be confirmed before the form is saved, one sentence each, with a field for the reason in
/// free text. Empty where nothing is in doubt.
#[must_use]
pub fn confirmation(filled: &Filled) -> Markup {
    let id = field_id(CONFIRM);
    html! {
        @if filled.has_error(CONFIRM) {
            section.card.confirm aria-labelledby="confirm-head" {
                h2 id="confirm-head" { "Please check before saving" }
                ul { @for doubt in filled.errors_of(CONFIRM) { li { (doubt) } } }
                div.field.line {
                    label for=(id) { "If it is correct, explain why" }
                    input id=(id) name=(CONFIRM) type="text" autocomplete="off" value=(filled.value(CONFIRM)) aria-describedby={ (id) "-hint" };
                    p.hint id={ (id) "-hint" } { "Your explanation is saved as a note with the entry. If it is not correct, change the form: nothing is saved yet." }
                }
            }
        }
    }
}

/// One form field, drawn by its type.
#[must_use]
pub fn field(filled: &Filled, field: &Field) -> Markup {
    let id = field_id(&field.name);
    html! {
        @match &field.what {
            What::Choice(answers) => (choice(filled, field, answers)),
            What::Entry => (hidden(&field.name, filled.value(&field.name))),
            _ => div class={ "field " (field.what.class()) } {
                (label(field, &id))
                (control(filled, field, &id))
                @if !field.hint.is_empty() { p.hint id={ (id) "-hint" } { (field.hint) } }
                (field_error(filled, &field.name))
            },
        }
    }
}

fn choice(filled: &Filled, field: &Field, answers: &[(&'static str, &'static str)]) -> Markup {
    let mut shown: Vec<Tile<'_>> = Vec::with_capacity(answers.len() + 1);
    if !field.needed {
        shown.push(Tile::none("not recorded"));
    }
    // Points are shown large with their meaning below; other answers are words alone.
    shown.extend(answers.iter().map(|(key, words)| {
        if key.starts_with(|c: char| c.is_ascii_digit()) {
            Tile::new(key, key).meaning(words)
        } else {
            Tile::new(key, words)
        }
    }));
    let legend = html! {
        (field.label) @if field.needed { " " span.needed { "required" } }
        @if !field.hint.is_empty() { span.hint { (field.hint) } }
    };
    tiles(filled, &field.name, "plain", &legend, &shown)
}

fn control(filled: &Filled, field: &Field, id: &str) -> Markup {
    let (name, value) = (field.name.as_ref(), filled.value(&field.name));
    let bad = filled.has_error(name);
    let hint = (!field.hint.is_empty()).then(|| format!("{id}-hint"));
    let error = bad.then(|| format!("{id}-error"));
    let described: Vec<String> = hint.into_iter().chain(error).collect();
    let described = (!described.is_empty()).then(|| described.join(" "));
    let invalid = bad.then_some("true");
    html! {
        @match &field.what {
            What::Long => textarea id=(id) name=(name) rows="4" required[field.needed] aria-describedby=[described] aria-invalid=[invalid] { (value) },
            What::Whole { min, max, .. } => input id=(id) name=(name) type="number" inputmode=[(*min >= 0).then_some("numeric")] step="1" min=(min) max=(max) value=(value) required[field.needed] aria-describedby=[described] aria-invalid=[invalid];,
            What::Decimal { min, max, .. } => input id=(id) name=(name) type="number" inputmode=[(*min >= 0).then_some("decimal")] step="any" min=(min) max=(max) value=(value) required[field.needed] aria-describedby=[described] aria-invalid=[invalid];,
            _ => input id=(id) name=(name) type=(field.what.input_type()) value=(value) autocomplete=(field.what.autocomplete()) required[field.needed] aria-describedby=[described] aria-invalid=[invalid];,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::query_value;

    #[test]
    fn a_path_is_encoded_as_the_value_of_a_query() {
        assert_eq!(query_value("/day?on=2024-01-01&x=ü"), "/day%3Fon%3D2024-01-01%26x%3D%C3%BC");
    }
}
