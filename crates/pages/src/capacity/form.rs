//! The form that changes, compares and saves a setting.

use super::CapacityView;
use crate::{
    Frame,
    fields::{Field, Filled, What},
    parts,
};
use caseload::{Clinic, Setting};
use maud::{Markup, html};
use record::Weekday;

/// Prefixes of the form fields of each service.
pub const SERVICE_KEYS: [&str; 3] = ["cast", "theatre", "brace"];
/// Weekdays in the names of form fields, Monday first.
pub const WEEKDAY_KEYS: [&str; 7] =
    ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"];
const TITLES: [&str; 3] = ["Cast clinic", "Tenotomy lists", "Brace clinic"];

/// The form of a setting.
#[derive(Debug, Clone, Copy)]
pub struct CapacityForm;

impl CapacityForm {
    /// The values of a setting in the form. Shares are shown in per cent.
    #[must_use]
    pub fn filled(setting: &Setting) -> Filled {
        let mut filled = Filled::default();
        for (key, clinic) in SERVICE_KEYS.iter().zip(clinics(setting)) {
            for (day, places) in WEEKDAY_KEYS.iter().zip(clinic.by_weekday()) {
                filled = filled.with(format!("{key}.{day}"), places.to_string());
            }
            filled = filled.with(format!("{key}.absence"), percent_text(clinic.absence));
        }
        let closures: Vec<String> = setting.closures.iter().map(ToString::to_string).collect();
        filled
            .with("per_year", setting.referrals.per_year.map(|number| number.to_string()).unwrap_or_default())
            .with("no_show", percent_text(setting.visits.no_show))
            .with("tenotomy", setting.course.tenotomy.map(percent_text).unwrap_or_default())
            .with("weeks", setting.horizon_weeks.to_string())
            .with("closures", closures.join("\n"))
    }
}

fn percent_text(share: f64) -> String {
    ((share * 1000.0).round() / 10.0).to_string()
}

fn clinics(setting: &Setting) -> [&Clinic; 3] {
    [&setting.cast_clinic, &setting.theatre, &setting.brace_clinic]
}

/// The form with its two buttons: compare and save.
pub(super) fn form(frame: &Frame, view: &CapacityView) -> Markup {
    html! {
        section aria-labelledby="change" {
            form.card.capacity-form method="post" action="/capacity/compare" {
                h2 id="change" { "What if the clinic were run differently?" }
                p { "Change any values and compare. Nothing is saved unless you choose to save." }
                (parts::csrf(&frame.csrf))
                @for (key, title) in SERVICE_KEYS.iter().zip(TITLES) { (places(&view.filled, key, title)) }
                div.grid {
                    @for field in fields() { (parts::field(&view.filled, &field)) }
                }
                (parts::field(&view.filled, &closures()))
                div.actions {
                    button.primary type="submit" { "Compare with the present setting" }
                    @if frame.may(record::Right::ChangeSettings) { button type="submit" formaction="/capacity/keep" { "Save as the clinic's setting" } }
                }
            }
            @if view.has_previous && frame.may(record::Right::ChangeSettings) {
                form method="post" action="/capacity/undo" {
                    (parts::csrf(&frame.csrf))
                    p { "There is an earlier setting. Restoring it keeps the present one as the earlier setting. " button type="submit" { "Restore the earlier setting" } }
                }
            }
        }
    }
}

fn fields() -> Vec<Field> {
    let percent = || What::Decimal { min: 0, max: 100, unit: "%" };
    vec![
        Field::new("per_year", "New children per year", What::Decimal { min: 0, max: 20_000, unit: "" })
            .hint("Empty: the number referred here in the last year."),
        Field::new("no_show", "Children who miss their place", percent()),
        Field::new("tenotomy", "Feet that have a tenotomy", percent())
            .hint("Empty: drawn from published centres, 22 to 86 %."),
        Field::new("weeks", "Weeks to look ahead", What::Whole { min: 1, max: 520, unit: "" }),
    ]
}

fn closures() -> Field {
    Field::new("closures", "Closed days and public holidays", What::Long)
        .hint("One per line: 2026-12-25 Christmas, or 2026-12-24 to 2027-01-01 closed for the holidays. Change them here only to compare: the clinic’s closed days are saved on the page Settings.")
}

/// Places of a service by weekday, and the share of days lost.
fn places(filled: &Filled, key: &str, title: &str) -> Markup {
    html! {
        fieldset.week-places {
            legend { (title) span.hint { "places on each day" } }
            div.week-row {
                @for (day, word) in WEEKDAY_KEYS.iter().zip(Weekday::ALL) {
                    (one(filled, &format!("{key}.{day}"), &html! { (&word.word()[..3]) span.sr { ": " (title) ", places on " (word.word()) } }, "1", "120"))
                }
                (one(filled, &format!("{key}.absence"), &html! { "Days lost to absence " span.unit { "(%)" } span.sr { ": " (title) } }, "any", "100"))
            }
        }
    }
}

fn one(filled: &Filled, name: &str, label: &Markup, step: &str, max: &str) -> Markup {
    let id = parts::field_id(name);
    let bad = filled.has_error(name).then_some("true");
    let described = filled.has_error(name).then(|| format!("{id}-error"));
    html! {
        div.week-place {
            label for=(id) { (label) }
            input id=(id) name=(name) type="number" inputmode="decimal" min="0" max=(max) step=(step) value=(filled.value(name)) autocomplete="off" aria-invalid=[bad] aria-describedby=[described];
            (parts::field_error(filled, name))
        }
    }
}
