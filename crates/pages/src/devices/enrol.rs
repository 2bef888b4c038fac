//! The page on which a device's one-time code is typed, and the page for devices without one.

use crate::{Frame, HelpTopic, fields::Filled, frame, parts};
use maud::{Markup, html};

/// The form for a one-time code.
#[derive(Debug, Clone)]
pub struct EnrolView {
    /// The name of the device, if it is enrolled already.
    pub device: Option<String>,
    /// Whether the page is opened on the computer of the records itself.
    pub here: bool,
    /// The errors; the code is never sent back.
    pub filled: Filled,
}

/// The page on which a one-time code is typed.
#[must_use]
pub fn enrol(frame: &Frame, view: &EnrolView) -> Markup {
    let body = html! {
        div.narrow {
            h1 { "Enrol this device" }
            p.lead { (frame.clinic_name) }
            @match (&view.device, view.here) {
                (_, true) => p { "This computer needs no enrolment: only tablets and phones of the clinic’s network do. A lead makes their codes on the page “Devices”." },
                (Some(name), false) => {
                    p.message.done { "This device is enrolled as " strong { (name) } "." }
                    p.actions { a.button.primary href="/" { "Open the pages" } }
                },
                (None, false) => (form(frame, view)),
            }
        }
    };
    frame::page(frame, HelpTopic::EnrolDevice, "Enrol this device", &body)
}

fn form(frame: &Frame, view: &EnrolView) -> Markup {
    let error = view.filled.has_error("code");
    let described = if error { "f-code-hint f-code-error" } else { "f-code-hint" };
    html! {
        p.message.warning { strong { "Look first: " } "if the browser warns about this address or calls it not secure, type nothing here. First " a href="/trust" { "let the device trust the computer" } "." }
        form.card method="post" action="/enrol" {
            (parts::csrf(&frame.csrf))
            div.field.line {
                label for="f-code" { "One-time code " span.needed { "required" } }
                input.code-input id="f-code" name="code" type="text" inputmode="numeric" autocomplete="one-time-code" maxlength="20" required aria-describedby=(described) aria-invalid=[error.then_some("true")];
                p.hint id="f-code-hint" { "Eight digits, which a lead of the clinic makes on the page “Devices”." }
                (parts::field_error(&view.filled, "code"))
            }
            button.primary type="submit" { "Enrol this device" }
        }
    }
}

/// The page for every other address, as long as a device is not enrolled. Send it with status 403.
#[must_use]
pub fn not_enrolled(frame: &Frame) -> Markup {
    let body = html! {
        div.narrow {
            h1 { "This device is not enrolled" }
            p.lead { "Only devices enrolled by a lead of the clinic can open these pages. Nothing was shown or saved." }
            p { "If this device was enrolled before, it was removed, was not used for a long time, or its browser has forgotten it." }
            p.actions {
                a.button.primary href="/enrol" { "I have a one-time code" }
                a.button href="/trust" { "The browser warns about this address" }
            }
        }
    };
    frame::page(frame, HelpTopic::EnrolDevice, "This device is not enrolled", &body)
}
