//! The page that creates the first account, opened by the one-time link.

use crate::{
    Frame, HelpTopic,
    fields::{Field, Filled, What},
    frame, parts,
};
use maud::{Markup, html};

/// The form of the first account.
#[derive(Debug, Clone)]
pub struct StartView {
    /// The token of the one-time link.
    pub token: String,
    /// What is required of a password, a sentence.
    pub password_hint: &'static str,
    /// Whether a backup can be restored instead.
    pub may_restore: bool,
    /// `name`, `sign_in_name`; passwords are never sent back.
    pub filled: Filled,
}

/// The page of the first start: name and password of the first user.
#[must_use]
pub fn start(frame: &Frame, view: &StartView) -> Markup {
    let fields = [
        Field::new("name", "Your name", What::Text).needed().hint("Shown with everything you record."),
        Field::new("sign_in_name", "Sign-in name", What::SignInName).needed(),
        Field::new("password", "Password", What::Password("new-password")).needed().hint(view.password_hint),
        Field::new("password_again", "Repeat the password", What::Password("new-password")).needed(),
    ];
    let body = html! {
        div.narrow {
            p.step-of { "Step 1 of 4" }
            h1 { "The first account" }
            p.lead { "This clinic's records have no users yet. The person who creates this account can sign in from now on; this link then stops working." }
            (parts::error_summary(&view.filled))
            form.card method="post" action={ "/start/" (view.token) } {
                (parts::csrf(&frame.csrf))
                @for field in &fields { (parts::field(&view.filled, field)) }
                button.primary type="submit" { "Create this account" }
            }
            @if view.may_restore {
                p.quiet { "Is this the new computer of a clinic that has a backup? Then create nothing here. " a href={ "/start/" (view.token) "/restore" } { "Restore the backup" } "." }
            }
        }
    };
    frame::page(frame, HelpTopic::FirstAccount, "The first account", &body)
}
