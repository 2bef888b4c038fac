//! The sign-in page.

use crate::{
    Frame, HelpTopic,
    fields::{Field, Filled, What},
    frame, parts,
    second_factor::{PasskeySignIn, passkey_sign_in},
};
use maud::{Markup, html};

/// The sign-in form.
#[derive(Debug, Clone)]
pub struct SignInView {
    /// `sign_in_name`; the password is never sent back.
    pub filled: Filled,
    /// The page to open after signing in, a path on this server.
    pub then: String,
    /// Name and password of the invented account of a demonstration.
    pub demo_account: Option<(String, String)>,
    /// A form that was sent after its session had ended, and is kept.
    pub kept: Option<KeptForm>,
    /// Whether somebody can come back to a session on this device with a PIN.
    pub can_unlock: bool,
    /// Sign-in names and roles of the other people of a demonstration, who have the same password.
    pub demo_others: Vec<(String, String)>,
    /// What is offered to who has a passkey.
    pub passkeys: PasskeySignIn,
}

/// A form that was filled in by a person and sent after the session had ended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptForm {
    /// The name of the person who filled it in.
    pub name: String,
    /// The id of that person.
    pub person: String,
}

/// The sign-in page.
#[must_use]
pub fn sign_in(frame: &Frame, view: &SignInView) -> Markup {
    let fields = [
        Field::new("sign_in_name", "Sign-in name", What::SignInName).needed(),
        Field::new("password", "Password", What::Password("current-password")).needed(),
    ];
    let body = html! {
        div.narrow {
            h1 { "Sign in" }
            p.lead { (frame.clinic_name) }
            @if let Some((name, password)) = &view.demo_account {
                p.message.note { "Demonstration: sign in as " strong { (name) } " with the password " strong { (password) } "."
                    @if !view.demo_others.is_empty() {
                        " Others with the same password: "
                        @for (n, (other, role)) in view.demo_others.iter().enumerate() { @if n > 0 { ", " } strong { (other) } " (" (role) ")" }
                        "."
                    }
                }
            }
            @if let Some(kept) = &view.kept {
                div.message.warning role="status" {
                    p { strong { "Not saved yet: " } "the session had ended. The form that " (kept.name) " filled in is kept as a draft. Sign in as " (kept.name) ": the form is then shown as it was, and can be saved." }
                }
            }
            (summary(&view.filled))
            @if view.can_unlock { p.actions { a.button href={ "/unlock?then=" (parts::query_value(&view.then)) } { "Unlock with a PIN" } } }
            form.card method="post" action="/sign-in" {
                (parts::csrf(&frame.csrf))
                @if let Some(kept) = &view.kept { (parts::hidden("filled_by", &kept.person)) }
                (parts::hidden("then", &view.then))
                @for field in &fields { (parts::field(&view.filled, field)) }
                button.primary type="submit" { "Sign in" }
            }
            (passkey_sign_in(frame, &view.passkeys, &view.then))
        }
    };
    frame::page(frame, HelpTopic::SignIn, "Sign in", &body)
}

fn summary(filled: &Filled) -> Markup {
    html! {
        @if !filled.errors.is_empty() {
            div.errors role="alert" {
                h2 { "Not signed in" }
                ul { @for error in &filled.errors { li { (error.text) } } }
            }
        }
    }
}
