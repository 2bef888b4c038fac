//! What is served while the records are locked, or are being encrypted: these pages and nothing else.

use super::{PASSPHRASE, PASSPHRASE_AGAIN};
use crate::{
    fields::{Field, Filled, What},
    frame, parts,
};
use maud::{Markup, html};

/// The form field for what unlocks.
pub const KEY: &str = "key";
/// The form field for the second half of a code.
pub const OTHER_HALF: &str = "other_half";
/// The name under which an error of a recovery code is shown.
pub const RECOVERY: &str = "recovery";
/// The form field that names the step.
pub const STEP: &str = "step";

/// The page of locked records.
#[derive(Debug, Clone, Default)]
pub struct LockedView {
    /// The clinic's name.
    pub clinic: String,
    /// What did not work: a key file, the opening after unlocking.
    pub troubles: Vec<String>,
    /// What is wrong. What was typed is never sent back.
    pub filled: Filled,
}

/// The page: one field, and the sheet for the day on which the passphrase is lost.
#[must_use]
pub fn locked(view: &LockedView) -> Markup {
    let field = Field::new(KEY, "Passphrase", What::Password("current-password")).needed();
    let code = Field::new(KEY, "Recovery code, or its first half", What::Text).needed();
    let half = Field::new(OTHER_HALF, "Second half, where the sheet is in two", What::Text);
    let body = html! {
        div.narrow {
            h1 { "Unlock the records" }
            @for trouble in &view.troubles { p.message.warning role="alert" { (trouble) } }
            p.lead { "They are encrypted. Nothing can be seen or saved until somebody has typed the passphrase." }
            @for error in view.filled.errors_of("") { p.message.warning role="alert" { (error) } }
            form.card method="post" action="/unlock-records" {
                (parts::field(&view.filled, &field))
                button.primary type="submit" { "Unlock" }
            }
            details.card.lost-passphrase open[view.filled.has_error(RECOVERY)] {
                summary { "The passphrase is lost" }
                form method="post" action="/unlock-records" {
                    (labelled(&code, "recovery-code", view.filled.has_error(RECOVERY)))
                    @for error in view.filled.errors_of(RECOVERY) { p.field-error id="recovery-error" role="alert" { span.error-word { "Not accepted: " } (error) } }
                    (labelled(&half, "other-half", false))
                    button type="submit" { "Unlock with the recovery sheet" }
                }
                p.hint { "Then choose a new passphrase. Without passphrase, sheet and key file nobody can read these records, nor can who made the program." }
            }
        }
    };
    frame::bare("Unlock the records", &view.clinic, None, &body)
}

/// A field under an id of its own, because two forms have one of that name.
fn labelled(field: &Field, id: &str, wrong: bool) -> Markup {
    html! {
        div.field.line {
            label for=(id) { (field.label) }
            input id=(id) name=(field.name) type="text" autocomplete="off" autocapitalize="off" spellcheck="false" aria-describedby=[(field.needed && wrong).then_some("recovery-error")] required[field.needed];
        }
    }
}

/// The page after a recovery code: a new passphrase.
#[must_use]
pub fn new_passphrase(clinic: &str, step: &str, hint: &'static str, filled: &Filled) -> Markup {
    let fields = [
        Field::new(PASSPHRASE, "New passphrase", What::Password("new-password")).needed().hint(hint),
        Field::new(PASSPHRASE_AGAIN, "Repeat the passphrase", What::Password("new-password")).needed(),
    ];
    let body = html! {
        div.narrow {
            h1 { "Choose a new passphrase" }
            p.lead { "The recovery code is right. The new passphrase takes the place of the lost one; the code on the sheet stays as it is." }
            (parts::error_summary(filled))
            form.card method="post" action="/unlock-records" {
                (parts::hidden(STEP, step))
                @for field in &fields { (parts::field(filled, field)) }
                button.primary type="submit" { "Save it and unlock" }
            }
        }
    };
    frame::bare("Choose a new passphrase", clinic, None, &body)
}

/// What is done with closed records.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WorkOnRecords {
    /// All files are written anew with another key.
    Encryption,
    /// A backup is restored.
    Restore,
}

impl WorkOnRecords {
    const fn title(self) -> &'static str {
        match self {
            Self::Encryption => "The records are being encrypted",
            Self::Restore => "The backup is being restored",
        }
    }

    const fn if_switched_off(self) -> &'static str {
        match self {
            Self::Encryption => {
                "If the computer is switched off now, nothing is lost: the next start goes back to where it was, or finishes."
            }
            Self::Restore => {
                "If the computer is switched off now, nothing is lost: the backup stays as it is, and can be restored again."
            }
        }
    }
}

/// The page while the records are closed for that. It is loaded again by itself.
#[must_use]
pub fn working(clinic: &str, on: WorkOnRecords, trouble: Option<&str>) -> Markup {
    let body = html! {
        div.narrow {
            @match trouble {
                None => {
                    h1 { (on.title()) }
                    p.lead { "Nobody can work meanwhile. This takes some seconds, or some minutes in a large clinic; this page then goes on by itself." }
                    p { (on.if_switched_off()) }
                },
                Some(trouble) => {
                    h1 { "Start the program again" }
                    p.lead role="alert" { (trouble) }
                },
            }
        }
    };
    frame::bare(on.title(), clinic, trouble.is_none().then_some(3), &body)
}
