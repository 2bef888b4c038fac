//! Who needs a second factor to sign in, and which kinds the clinic allows.

use crate::{
    Frame,
    fields::{
        Filled,
        settings::{BY_DEFAULT, SECOND_FACTOR, USE_CODES, USE_PASSKEYS},
    },
    parts::{self, field_error, field_id},
};
use maud::{Markup, html};

/// The setting.
#[derive(Debug, Clone, Default)]
pub struct SecondFactorSettings {
    /// The form.
    pub filled: Filled,
    /// What holds as long as the clinic does not decide, in words.
    pub default: &'static str,
    /// The answers: key and words.
    pub answers: Vec<(&'static str, &'static str)>,
    /// The names of those who would need one now and have none.
    pub without: Vec<String>,
}

/// The card of the settings page.
pub(super) fn form(frame: &Frame, view: &SecondFactorSettings) -> Markup {
    let described =
        view.filled.has_error(SECOND_FACTOR).then(|| format!("{}-error", field_id(SECOND_FACTOR)));
    html! {
        section.card aria-labelledby="second-factor-head" {
            h2 id="second-factor-head" { "Second factor at sign-in" }
            p { "Besides the password: a code from a telephone, or a passkey of a device. Everybody may have one, under “Your account”." }
            form method="post" action="/settings/second-factor" {
                (parts::csrf(&frame.csrf))
                fieldset.clinic-days.second-answers aria-describedby=[described.as_deref()] {
                    legend { "Who needs one " span.needed { "required" } }
                    (answer(view, BY_DEFAULT, &html! { "By default: " (view.default) span.hint { "Required for leads where other computers can reach the pages, otherwise optional." } }))
                    @for (key, words) in &view.answers { (answer(view, key, &html! { (crate::words::capital(words)) })) }
                    (field_error(&view.filled, SECOND_FACTOR))
                }
                fieldset.clinic-days {
                    legend { "What can be set up " span.hint { "Turned off, nobody can set up a new one. What people have keeps working until they or a lead remove it." } }
                    (allowed(view, USE_CODES, "Codes from a telephone"))
                    (allowed(view, USE_PASSKEYS, "Passkeys"))
                }
                @if !view.without.is_empty() { p.look { "Required now, and not set up yet: " (view.without.join(", ")) ". They are led to it when they sign in." } }
                button.primary type="submit" { "Save" span.sr { ": second factor" } }
            }
        }
    }
}

fn answer(view: &SecondFactorSettings, value: &str, label: &Markup) -> Markup {
    // The first of them has the id to which an error leads.
    let id = if value == BY_DEFAULT {
        field_id(SECOND_FACTOR)
    } else {
        format!("{}-{value}", field_id(SECOND_FACTOR))
    };
    let chosen = view.filled.value(SECOND_FACTOR) == value;
    html! {
        p.check { input type="radio" id=(id) name=(SECOND_FACTOR) value=(value) required checked[chosen]; label for=(id) { (label) } }
    }
}

fn allowed(view: &SecondFactorSettings, name: &str, label: &str) -> Markup {
    let id = field_id(name);
    html! {
        p.check { input type="checkbox" id=(id) name=(name) value="yes" checked[view.filled.value(name) == "yes"]; label for=(id) { (label) } }
    }
}
