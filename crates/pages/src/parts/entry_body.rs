//! What an entry says, field by field and in one line.

use crate::{fields, words};
use maud::{Markup, html};
use record::{Body, ChildId};

/// Every field that holds something, with its label; where a score is complete, its sums too.
#[must_use]
pub fn entry_body(child: ChildId, body: &Body) -> Markup {
    let filled = fields::values_of(body);
    let fields = match body {
        Body::Registration(about) => fields::registration_fields(about.carers.len()),
        _ => fields::of_kind(body.kind()),
    };
    let facts: Vec<(&str, String)> = fields
        .iter()
        .filter(|field| field.what != fields::What::Entry)
        .filter_map(|field| Some((field.label.as_ref(), field_words(field, filled.given(&field.name)?))))
        .chain(sums(body))
        .collect();
    html! {
        @match body {
            Body::Correction(correction) => p { "Corrects " a href={ "/child/" (child) "/entry/" (correction.entry) } { "another entry" } ": " (correction.reason) },
            Body::Withdrawal(withdrawal) => p { "Withdraws " a href={ "/child/" (child) "/entry/" (withdrawal.entry) } { "another entry" } ": " (withdrawal.reason) },
            Body::SecondScore(second) => {
                p { strong { "A second clinician’s score, made without seeing the first." } " It tells how well two people agree; the course of the foot does not read it."
                    @if let Some(first) = second.first { " Paired with " a href={ "/child/" (child) "/entry/" (first) } { "the first score" } "." } }
                dl.facts { @for (label, value) in &facts { div { dt { (label) } dd { (value) } } } }
            },
            _ if facts.is_empty() => p { "Nothing more was written." },
            _ => dl.facts { @for (label, value) in &facts { div { dt { (label) } dd { (value) } } } },
        }
    }
}

fn field_words(field: &fields::Field, value: &str) -> String {
    let words = field.words(value);
    // A score's points stand beside their meaning.
    if matches!(field.what, fields::What::Choice(_)) && value.starts_with(|c: char| c.is_ascii_digit()) {
        return format!("{value}, {words}");
    }
    words
}

fn sums(body: &Body) -> Vec<(&'static str, String)> {
    let (pirani, dimeglio, walking) = match body {
        Body::Assessment(seen) => (&seen.pirani, &seen.dimeglio, seen.walking.total()),
        Body::SecondScore(seen) => (&seen.pirani, &seen.dimeglio, None),
        _ => return Vec::new(),
    };
    let mut sums = Vec::new();
    if !pirani.is_empty() {
        let of = |sum: Option<record::Halves>, most: u8| {
            sum.map_or_else(|| "incomplete".to_owned(), |sum| format!("{sum} of {most}"))
        };
        sums.push(("Midfoot contracture score", of(pirani.midfoot(), 3)));
        sums.push(("Hindfoot contracture score", of(pirani.hindfoot(), 3)));
        sums.push(("Pirani total", of(pirani.total(), 6)));
    }
    if let (Some(total), Some(grade)) = (dimeglio.total(), dimeglio.grade()) {
        sums.push(("Dimeglio total", format!("{total} of 20, {}", grade.words())));
    }
    if let Some(total) = walking {
        sums.push(("Walking-age total", format!("{total} of 12")));
    }
    sums
}

/// The entry on one line, for a timeline: "Right foot: Pirani 4.5, abduction 20°".
#[must_use]
pub fn entry_line(body: &Body) -> String {
    let what = what_line(body);
    match body.side() {
        Some(side) => format!("{} foot: {what}", side.title()),
        None => words::capital(&what),
    }
}

fn what_line(body: &Body) -> String {
    match body {
        Body::Assessment(seen) => assessed(seen),
        Body::SecondScore(second) => {
            let seen = record::Assessment {
                pirani: second.pirani,
                dimeglio: second.dimeglio,
                note: second.note.clone(),
                ..record::Assessment::of(second.side)
            };
            format!("second score, blind: {}", assessed(&seen))
        }
        Body::Correction(correction) => {
            format!("correction of {}: {}", correction.body.kind().words(), correction.reason)
        }
        Body::Withdrawal(withdrawal) => format!("withdrawal: {}", withdrawal.reason),
        Body::Note(note) => note.text.clone(),
        Body::Registration(about) => format!("registered as {}", about.full_name()),
        _ => listed(body),
    }
}

/// The kind and every value that needs no label to be understood.
fn listed(body: &Body) -> String {
    let filled = fields::values_of(body);
    let said: Vec<String> = fields::fields_of(body.kind())
        .iter()
        .filter(|field| field.name != "side")
        .filter_map(|field| {
            let words = field.words(filled.given(&field.name)?);
            let plain =
                matches!(field.what, fields::What::Choice(_)) && !matches!(words.as_str(), "yes" | "no");
            let text = matches!(field.what, fields::What::Text | fields::What::Long);
            Some(if plain || text { words } else { format!("{} {words}", field.label.to_lowercase()) })
        })
        .collect();
    let kind = body.kind().words();
    if said.is_empty() { kind.to_owned() } else { format!("{kind}: {}", said.join(", ")) }
}

fn assessed(seen: &record::Assessment) -> String {
    let mut said = Vec::new();
    match seen.pirani.total() {
        Some(total) => said.push(format!(
            "Pirani {total} of 6 (midfoot {}, hindfoot {})",
            half(seen.pirani.midfoot()),
            half(seen.pirani.hindfoot())
        )),
        None if !seen.pirani.is_empty() => {
            said.push(format!("Pirani incomplete, {} of 6 signs", 6 - seen.pirani.missing().count()))
        }
        None => {}
    }
    said.extend(seen.stated_total.map(|total| format!("total on the sheet {total}")));
    said.extend(seen.abduction_deg.map(|deg| format!("abduction {}", words::degrees(deg))));
    said.extend(seen.dorsiflexion_deg.map(|deg| format!("dorsiflexion {}", words::degrees(deg))));
    said.extend(seen.foot_length_mm.map(|mm| format!("length {mm} mm")));
    said.extend(seen.dimeglio.total().map(|total| format!("Dimeglio {total} of 20")));
    said.extend(seen.stated_dimeglio_total.map(|total| format!("Dimeglio on the sheet {total}")));
    said.extend(seen.walking.total().map(|total| format!("walking age {total} of 12")));
    said.extend(relapse_signs(&seen.signs));
    said.extend(seen.note.clone());
    if said.is_empty() { "assessed".to_owned() } else { said.join(", ") }
}

/// The signs of relapse that are there; those looked for and not there are on the entry's own page.
fn relapse_signs(signs: &record::RelapseSigns) -> Vec<String> {
    let deformities = [
        ("equinus", signs.equinus),
        ("heel turned in", signs.heel_varus),
        ("forefoot turned in", signs.adductus),
        ("high arch", signs.cavus),
    ];
    let there = deformities.into_iter().filter_map(|(name, seen)| match seen? {
        record::Deformity::Absent => None,
        record::Deformity::Flexible => Some(format!("{name}, corrects by hand")),
        record::Deformity::Fixed => Some(format!("{name}, fixed")),
    });
    let signs = [
        ("supination in swing", signs.dynamic_supination == Some(true)),
        ("early heel rise", signs.early_heel_rise == Some(true)),
        ("evertors weak", matches!(signs.evertors, Some(record::Evertors::Weak | record::Evertors::None))),
    ];
    there.chain(signs.into_iter().filter(|sign| sign.1).map(|sign| sign.0.to_owned())).collect()
}

fn half(score: Option<record::Halves>) -> String {
    score.map_or_else(|| "incomplete".to_owned(), |score| score.to_string())
}
