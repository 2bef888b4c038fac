//! Encryption of the records: its state and what changes it, the recovery sheet, and the page of locked records.

mod locked;
mod sheet;

pub use locked::{
    KEY, LockedView, OTHER_HALF, RECOVERY, STEP, WorkOnRecords, locked, new_passphrase, working,
};
pub use sheet::{RecoverySheetView, SheetPurpose, recovery_sheet};

pub use crate::frame::ENCRYPTION_PATH;

use crate::{
    Frame, HelpTopic,
    fields::{Field, Filled, What, settings::DO},
    frame, parts,
};
use maud::{Markup, html};

/// A new passphrase.
pub const PASSPHRASE: &str = "passphrase";
/// The same again.
pub const PASSPHRASE_AGAIN: &str = "passphrase_again";
/// The password of the person who changes something.
pub const OWN_PASSWORD: &str = "own_password";
/// The same in the form for a new sheet, which is on one page with another.
pub const SHEET_PASSWORD: &str = "sheet_password";
/// Whether the recovery code is printed in two halves.
pub const SPLIT: &str = "split";
/// The last group of the sheet, typed from paper.
pub const LAST_GROUP: &str = "last_group";
/// That there is a backup.
pub const BACKED_UP: &str = "backed_up";
/// The page of the sheet.
pub const SHEET_PATH: &str = "/settings/encryption/sheet";
/// The page of the first start.
pub const FIRST_PATH: &str = "/first-steps/encryption";

/// Whether the records are encrypted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum EncryptionState {
    /// They are not, and this build of the program cannot encrypt.
    NoCipher,
    /// They are not, and cannot be from here: why.
    NotHere(&'static str),
    /// They are not, and can be.
    Plain,
    /// They are; what unlocks them, in words.
    Encrypted(Vec<String>),
}

/// The page.
#[derive(Debug, Clone)]
pub struct EncryptionView {
    /// Whether they are encrypted.
    pub state: EncryptionState,
    /// What is required of a passphrase.
    pub hint: &'static str,
    /// The form that was sent.
    pub filled: Filled,
    /// Why the last attempt failed.
    pub trouble: Option<String>,
}

/// What is not protected, on every page that offers encryption.
const PROTECTS: &str = "Encrypted records cannot be read by whoever gets this computer, its disk or a copy while the program is not running. They can be read while it is: lock the screen when you leave.";

/// The page.
#[must_use]
pub fn encryption(frame: &Frame, view: &EncryptionView) -> Markup {
    let body = html! {
        div.narrow {
            h1 { "Encryption" }
            @if let Some(trouble) = &view.trouble { p.message.warning role="alert" { strong { "Nothing was changed. " } (trouble) } }
            (parts::error_summary(&view.filled))
            @match &view.state {
                EncryptionState::NoCipher => (no_cipher()),
                EncryptionState::NotHere(why) => p.lead { (why) },
                EncryptionState::Plain => {
                    p.lead { "The records on this computer are not encrypted: whoever can read its disk can read them." }
                    p { (PROTECTS) }
                    (offer(frame, view, ENCRYPTION_PATH))
                },
                EncryptionState::Encrypted(ways) => (encrypted(frame, view, ways)),
            }
            p.actions { a.button href="/settings/copies" { "Copies of the records" } a.button href="/settings" { "Settings" } }
        }
    };
    frame::page(frame, HelpTopic::Encryption, "Encryption", &body)
}

/// The page of the first start: the offer, and a way on without it.
#[must_use]
pub fn first_encryption(frame: &Frame, view: &EncryptionView) -> Markup {
    let body = html! {
        div.narrow {
            p.step-of { "Step 2 of 4" }
            h1 { "Encrypt the records?" }
            @if let Some(trouble) = &view.trouble { p.message.warning role="alert" { strong { "Nothing was changed. " } (trouble) } }
            (parts::error_summary(&view.filled))
            @if view.state == EncryptionState::Plain {
                p.lead { (PROTECTS) " Whoever starts the program then types a passphrase." }
                (offer(frame, view, FIRST_PATH))
            } @else if view.state == EncryptionState::NoCipher { (no_cipher()) }
            @else if let EncryptionState::NotHere(why) = &view.state { p.lead { (why) } }
            @else { p.lead { "The records are encrypted." } }
            section.card aria-labelledby="without-head" {
                h2 id="without-head" { @if matches!(view.state, EncryptionState::Encrypted(_)) { "Go on" } @else { "Without encryption" } }
                @if !matches!(view.state, EncryptionState::Encrypted(_)) {
                    p { "Whoever can read the disk of this computer, or a lost copy of it, can then read every child’s record. It can be encrypted later, under Settings." }
                }
                a.button href="/first-steps/clinic" { @if matches!(view.state, EncryptionState::Encrypted(_)) { "Go on" } @else { "Go on without encryption" } }
            }
        }
    };
    frame::page(frame, HelpTopic::Encryption, "Encrypt the records?", &body)
}

fn no_cipher() -> Markup {
    html! { p.lead { "This build of the program cannot encrypt: the records on this computer are not encrypted. The program as it is shipped can." } }
}

fn passphrase_fields(view: &EncryptionView) -> Markup {
    let fields = [
        Field::new(PASSPHRASE, "New passphrase", What::Password("new-password")).needed().hint(view.hint),
        Field::new(PASSPHRASE_AGAIN, "Repeat the passphrase", What::Password("new-password")).needed(),
    ];
    html! { @for field in &fields { (parts::field(&view.filled, field)) } }
}

fn own_password(view: &EncryptionView, name: &'static str) -> Markup {
    let field = Field::new(name, "Your own password", What::Password("current-password")).needed();
    parts::field(&view.filled, &field)
}

fn split_choice(id: &str) -> Markup {
    html! {
        p.check { input type="checkbox" id=(id) name=(SPLIT) value="yes"; label for=(id) { "Two halves for two people, each useless without the other" } }
    }
}

fn offer(frame: &Frame, view: &EncryptionView, path: &str) -> Markup {
    html! {
        section.card aria-labelledby="offer-head" {
            h2 id="offer-head" { "Encrypt the records" }
            form method="post" action=(path) {
                (parts::csrf(&frame.csrf))
                (passphrase_fields(view))
                (own_password(view, OWN_PASSWORD))
                (split_choice("offer-split"))
                p { "Next comes the recovery sheet, to be printed: the only way in when the passphrase is lost. Nothing is encrypted before it is on paper." }
                button.primary type="submit" name=(DO) value="encrypt" { "Show the recovery sheet" }
            }
        }
    }
}

fn encrypted(frame: &Frame, view: &EncryptionView, ways: &[String]) -> Markup {
    html! {
        p.lead { "The records on this computer are encrypted." }
        section.card aria-labelledby="ways-head" {
            h2 id="ways-head" { "What unlocks them" }
            ul { @for way in ways { li { (way) } } }
            p.hint { "Key files and the keyring of the system are added and removed with " code { "plantigrade change-key" } "." }
        }
        section.card aria-labelledby="new-head" {
            h2 id="new-head" { "Change the passphrase" }
            form method="post" action=(ENCRYPTION_PATH) {
                (parts::csrf(&frame.csrf))
                (passphrase_fields(view))
                (own_password(view, OWN_PASSWORD))
                button.primary type="submit" name=(DO) value="passphrase" { "Change the passphrase" }
            }
            p.hint { "The earlier passphrase still opens backups that were made before." }
        }
        section.card aria-labelledby="sheet-head" {
            h2 id="sheet-head" { "A new recovery sheet" }
            p { "The code on the earlier sheet then no longer opens these records. It still opens backups made before: keep it as long as those." }
            form method="post" action=(ENCRYPTION_PATH) {
                (parts::csrf(&frame.csrf))
                (own_password(view, SHEET_PASSWORD))
                (split_choice("sheet-split"))
                button type="submit" name=(DO) value="sheet" { "Show a new recovery sheet" }
            }
        }
        p.hint { "If a key may have become known, end the program and run " code { "plantigrade change-key --records-key" } ": all records are written anew with a new key." }
    }
}
