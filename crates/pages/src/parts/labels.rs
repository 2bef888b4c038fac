//! The id, label and error messages of a form field.

use crate::fields::{Field, Filled};
use maud::{Markup, html};

/// The HTML id of a field, made from its name.
#[must_use]
pub fn field_id(name: &str) -> String {
    format!("f-{}", name.replace(['.', '_'], "-"))
}

/// The error messages of a field, if any.
#[must_use]
pub fn field_error(filled: &Filled, name: &str) -> Markup {
    let errors: Vec<&str> = filled.errors_of(name).collect();
    html! {
        @if !errors.is_empty() {
            p.field-error id={ (field_id(name)) "-error" } {
                span.error-word { "Not accepted: " }
                @for (n, error) in errors.iter().enumerate() { @if n > 0 { " " } (error) }
            }
        }
    }
}

/// A label with its unit; required fields are marked in words.
#[must_use]
pub fn label(field: &Field, id: &str) -> Markup {
    let unit = field.what.unit();
    html! {
        label for=(id) {
            (field.label)
            @if !unit.is_empty() { " " span.unit { "(" (unit) ")" } }
            @if field.needed { " " span.needed { "required" } }
        }
    }
}
