//! A backup is restored at the first start, by who has the one-time link.

use crate::{
    Frame, HelpTopic,
    fields::{Field, Filled, What},
    frame, parts,
};
use maud::{Markup, html};

/// The form field for the file of the backup, chosen from those found.
pub const BACKUP_FILE: &str = "backup_file";
/// The form field for the path of another file.
pub const OTHER_FILE: &str = "other_file";
/// The form field for the passphrase or the recovery code.
pub const SECRET: &str = "secret";
/// The form field for why.
pub const RESTORE_REASON: &str = "reason";

/// A backup that was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BackupOnDisk {
    /// The path of its file.
    pub path: String,
    /// When it was made and how many entries it has.
    pub words: String,
}

/// The form.
#[derive(Debug, Clone)]
pub struct RestoreView {
    /// The token of the one-time link.
    pub token: String,
    /// The newest backups on the disks that are connected.
    pub found: Vec<BackupOnDisk>,
    /// What was filled in, without the secret.
    pub filled: Filled,
}

/// The page: which backup, what opens it, and why.
#[must_use]
pub fn restore(frame: &Frame, view: &RestoreView) -> Markup {
    let other = if view.found.is_empty() { "Path of the backup" } else { "Path of another backup" };
    let fields = [
        Field::new(OTHER_FILE, other, What::Text).hint("Such as /media/stick/plantigrade-….backup. The folder beside it whose name ends in .pictures has the photographs and videos: leave it there, or copy it along."),
        Field::new(SECRET, "Passphrase or recovery code of the backup", What::Password("off"))
            .needed()
            .hint("Two halves of a code are typed one behind the other, with a space between them."),
        Field::new(RESTORE_REASON, "Why it is restored", What::Text)
            .needed()
            .hint("It stays with the records."),
    ];
    let body = html! {
        div.narrow {
            h1 { "Restore a backup" }
            p.lead { "The whole clinic of the backup comes to this computer: children, accounts, settings, photographs and videos. Everybody then signs in as before. The backup itself is not changed." }
            (parts::error_summary(&view.filled))
            form.card method="post" action={ "/start/" (view.token) "/restore" } {
                (parts::csrf(&frame.csrf))
                (found(view))
                @for field in &fields { (parts::field(&view.filled, field)) }
                button.primary type="submit" { "Restore it" }
            }
            p.quiet { "Is this a new clinic? " a href={ "/start/" (view.token) } { "Create the first account" } "." }
        }
    };
    frame::page(frame, HelpTopic::FirstAccount, "Restore a backup", &body)
}

fn found(view: &RestoreView) -> Markup {
    let chosen = view.filled.given(BACKUP_FILE);
    let checked = |at: usize, path: &str| chosen.map_or(at == 0, |chosen| chosen == path);
    html! {
        @if view.found.is_empty() {
            p { "No backup was found on the disks that are connected. Connect the disk or the stick and "
                a href={ "/start/" (view.token) "/restore" } { "look again" } ", or type the path of the file." }
        } @else {
            fieldset.field {
                legend { "Which backup" }
                @for (at, backup) in view.found.iter().enumerate() {
                    p.check {
                        input type="radio" name=(BACKUP_FILE) id={ "backup-" (at) } value=(backup.path) checked[checked(at, &backup.path)];
                        label for={ "backup-" (at) } { (backup.words) " " span.hint { (backup.path) } }
                    }
                }
                p.check {
                    input type="radio" name=(BACKUP_FILE) id="backup-other" value="" checked[chosen.is_none() && view.filled.given(OTHER_FILE).is_some()];
                    label for="backup-other" { "Another file, named below" }
                }
            }
        }
    }
}
