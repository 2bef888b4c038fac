//! The first start after the first account: name and days of the clinic, and what to begin with.

use crate::{Frame, HelpTopic, fields::Filled, frame, parts, settings::clinic_form};
use maud::{Markup, html};

/// The form of the clinic's name and days.
#[must_use]
pub fn first_clinic(frame: &Frame, filled: &Filled) -> Markup {
    let body = html! {
        div.narrow {
            p.step-of { "Step 3 of 4" }
            h1 { "Your clinic" }
            p.lead { "Both can be changed later, on the page Settings." }
            (parts::error_summary(filled))
            form.card method="post" action="/first-steps/clinic" {
                (parts::csrf(&frame.csrf))
                (clinic_form::name_and_days(filled))
                div.actions { button.primary type="submit" { "Save and go on" } a.button href="/first-steps" { "Later" } }
            }
        }
    };
    frame::page(frame, HelpTopic::Settings, "Your clinic", &body)
}

/// The three ways to begin.
#[must_use]
pub fn first_steps(frame: &Frame, new: bool) -> Markup {
    let body = html! {
        div.first-steps {
            @if new { p.step-of { "Step 4 of 4" } }
            h1 { "How do you want to begin?" }
            p.lead { "Nothing is final: you can come back here from the page Settings." }
            ol.ways {
                li.card {
                    h2 { "Import a spreadsheet" }
                    p { "You have a list of children. The program shows how it reads each row before anything is saved, asks where it is in doubt, and the import can be undone." }
                    a.button.primary href="/import" { "Import a spreadsheet" }
                }
                li.card {
                    h2 { "New child" }
                    p { "You begin with the next child who comes. Register the child, then record the first visit." }
                    a.button.primary href="/register" { "New child" }
                }
                li.card {
                    h2 { "Look round an invented clinic" }
                    p { "You want to try everything without consequences. No child there is real, and nothing is saved. It runs beside your own clinic. Open a second window for commands and run" }
                    p { code.command { "plantigrade demo" } }
                    p { "It opens the invented clinic in your browser and shows how to sign in." }
                }
            }
            p.actions { a.button href="/day" { "Go to the day" } a.button href="/settings" { "Settings" } }
        }
    };
    frame::page(frame, HelpTopic::Settings, "First steps", &body)
}
