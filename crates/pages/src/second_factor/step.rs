//! The second step of signing in.

use super::{CodeKind, code_field, passkey_parts};
use crate::{Frame, HelpTopic, fields::Filled, frame, parts};
use maud::{Markup, html};

/// What the sign-in page offers to who has a passkey.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub enum PasskeySignIn {
    /// Nothing: nobody has one.
    #[default]
    None,
    /// The button.
    Here,
    /// The address at which passkeys work.
    At(String),
}

/// The second step, after a right password.
#[derive(Debug, Clone)]
pub struct SecondStepView {
    /// What names the sign-in in the address.
    pub token: String,
    /// The name of the person.
    pub name: String,
    /// Whether a code of a telephone can be typed; otherwise only a recovery code.
    pub codes: bool,
    /// Whether a passkey of the person can be used here.
    pub passkey: bool,
    /// The address at which a passkey of the person can be used, where that is not here.
    pub passkey_at: Option<String>,
    /// What is wrong; codes are never sent back.
    pub filled: Filled,
}

/// The part of the sign-in page about passkeys.
pub(crate) fn passkey_sign_in(frame: &Frame, offer: &PasskeySignIn, then: &str) -> Markup {
    html! {
        @match offer {
            PasskeySignIn::None => {},
            PasskeySignIn::Here => {
                form.card method="post" action="/sign-in/passkey" {
                    h2 { "With a passkey" }
                    (parts::csrf(&frame.csrf))
                    (parts::hidden("then", then))
                    (passkey_parts("sign-in", "Sign in with a passkey", false))
                }
            },
            PasskeySignIn::At(address) => p { "Passkeys work when this page is opened as " a.own-address href={ (address) "/sign-in" } { (address) } "." },
        }
    }
}

/// The page of the second step.
#[must_use]
pub fn second_step(frame: &Frame, view: &SecondStepView) -> Markup {
    let action = format!("/sign-in/second/{}", view.token);
    let body = html! {
        div.narrow {
            h1 { "Second step" }
            p.lead { (view.name) ", your password is right." @if view.codes { " Now the code." } @else { " Now your passkey." } }
            @if !view.filled.errors.is_empty() {
                div.errors role="alert" { h2 { "Not signed in" } ul { @for error in &view.filled.errors { li {
                    @if error.field.is_empty() { (error.text) } @else { a href={ "#" (parts::field_id(&error.field)) } { (error.text) } }
                } } } }
            }
            @if view.passkey { (with_passkey(frame, view, &action)) }
            @else if let Some(address) = &view.passkey_at { p { "Your passkey works when the page is opened as " a.own-address href={ (address) "/sign-in" } { (address) } "." } }
            form.card method="post" action=(action) {
                @if !view.codes { h2 { "With a recovery code" } }
                (parts::csrf(&frame.csrf))
                (code_field(&view.filled, if view.codes { CodeKind::Both } else { CodeKind::Recovery }))
                button.primary type="submit" { "Sign in" }
            }
            p { "Neither at hand? A lead of your clinic can reset your second factor. " a href="/sign-in" { "Back to the sign-in" } }
        }
    };
    frame::page(frame, HelpTopic::SecondStep, "Second step", &body)
}

fn with_passkey(frame: &Frame, view: &SecondStepView, action: &str) -> Markup {
    html! {
        form.card method="post" action=(action) {
            h2 { "With your passkey" }
            (parts::csrf(&frame.csrf))
            (parts::hidden("token", &view.token))
            (passkey_parts("second", "Use your passkey", !view.codes))
        }
    }
}
