//! The contents of an entry, field by field.

use crate::fields;
use maud::{Markup, html};
use record::{Body, ChildId, FieldSpec, FieldType};

/// Every field that is filled, with its label; for a complete score its sums as well.
#[must_use]
pub fn entry_body(child: ChildId, body: &Body) -> Markup {
    let facts = entry_facts(body);
    html! {
        @match body {
            Body::Correction(correction) => p { "Corrects " a href={ "/child/" (child) "/entry/" (correction.entry) } { "another entry" } ": " (correction.reason) },
            Body::Withdrawal(withdrawal) => p { "Withdraws " a href={ "/child/" (child) "/entry/" (withdrawal.entry) } { "another entry" } ": " (withdrawal.reason) },
            Body::Sibling(link) => {
                p { "The record of the " (link.relation.words()) ": " a href={ "/child/" (link.other) } { "open it" } ". The link holds while both records have it; to end it, withdraw this entry or the other." }
                dl.facts { @for (label, value) in &facts { div { dt { (label) } dd { (value) } } } }
            },
            Body::VisitAmended(_) | Body::RecordsJoined(_) => p { (body.sentence()) "." },
            Body::SecondScore(second) => {
                p { strong { "A second clinician’s score, made without seeing the first." } " It shows how well two raters agree; it is not part of the course of the foot."
                    @if let Some(first) = second.first { " Paired with " a href={ "/child/" (child) "/entry/" (first) } { "the first score" } "." } }
                dl.facts { @for (label, value) in &facts { div { dt { (label) } dd { (value) } } } }
            },
            _ if facts.is_empty() => p { "Nothing more was recorded." },
            _ => dl.facts { @for (label, value) in &facts { div { dt { (label) } dd { (value) } } } },
        }
    }
}

/// Every field of an entry that is filled, with its label, and the sums of a complete score; without links to other
/// entries and children.
#[must_use]
pub fn entry_facts(body: &Body) -> Vec<(String, String)> {
    let (filled, room) =
        (fields::values_of(body), if let Body::Registration(about) = body { about.carers.len() } else { 1 });
    let sums = body.sums().into_iter().map(|(label, value)| (label.to_owned(), value));
    body.kind()
        .form_fields(room)
        .iter()
        .filter(|field| !is_hidden(field.spec.takes))
        .filter_map(|field| Some((field.label.clone(), field_words(field.spec, filled.given(&field.name)?))))
        .chain(sums)
        .collect()
}

/// Whether a value is never shown: links to other entries and children, and what the program notes of a picture.
const fn is_hidden(takes: FieldType) -> bool {
    matches!(
        takes,
        FieldType::Entry | FieldType::Entries | FieldType::Child | FieldType::Kept | FieldType::Taps
    )
}

fn field_words(spec: &FieldSpec, value: &str) -> String {
    let words = spec.words(value);
    // A score's points are shown with their meaning.
    if matches!(spec.takes, FieldType::Points(_)) { format!("{value}, {words}") } else { words }
}
