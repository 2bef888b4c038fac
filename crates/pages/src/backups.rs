//! Backups: whether there is a good recent one, where they are, what the drill found, and how to set them up.

use crate::{
    Frame, HelpTopic,
    fields::{Field, Filled, What, backups as names},
    frame, parts,
};
use maud::{Markup, html};

/// The state of backups.
#[derive(Debug, Clone, Default)]
pub struct BackupsView {
    /// Whether there is a key, that is whether a passphrase was chosen.
    pub has_key: bool,
    /// Why the key cannot be used, one sentence.
    pub key_trouble: Option<String>,
    /// Why everybody is told about backups, one sentence; `None` while there is a recent one.
    pub trouble: Option<String>,
    /// The folders with what is in them.
    pub places: Vec<BackupPlace>,
    /// "every 24 hours", in words.
    pub rule: String,
    /// Backups from before the last erasure, which still have what was erased.
    pub holding_erased: Vec<ErasedHolder>,
    /// The folder of the records.
    pub records: String,
    /// Whether the clinic is invented, and no backup is made by itself.
    pub invented: bool,
    /// The form of the passphrase.
    pub passphrase: Filled,
    /// The form of folders and rule.
    pub settings: Filled,
}

/// A folder of backups.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct BackupPlace {
    /// Its path.
    pub folder: String,
    /// Why it cannot be used now; one sentence.
    pub away: Option<String>,
    /// What speaks against it; one sentence.
    pub warning: Option<String>,
    /// When a backup failed after the last good one, and why.
    pub failed: Option<(String, String)>,
    /// The last drill: when, whether nothing was wrong, and its words.
    pub drill: Option<(String, bool, String)>,
    /// The backups that are there, the newest first.
    pub backups: Vec<BackupRow>,
    /// What the last backup lists of photographs and videos beside it: how many pieces, and their size. `None` where
    /// there are none.
    pub pieces: Option<(usize, String)>,
}

/// A backup.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct BackupRow {
    /// When it was made.
    pub when: String,
    /// Entries in it; `None` where it cannot be read.
    pub entries: Option<usize>,
    /// The end of its log and the head of the witness, where known here.
    pub receipt: Option<String>,
    /// Its size.
    pub size: String,
    /// The name of the file.
    pub file: String,
    /// "made and read back", "damaged: …", "not made on this computer".
    pub state: String,
    /// Whether it is good.
    pub good: bool,
    /// The drill of it: when and what came of it.
    pub drill: Option<String>,
}

/// A backup that still has what was erased.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ErasedHolder {
    /// The file with its folder.
    pub file: String,
    /// The last day on which it is kept by the rule.
    pub until: String,
}

/// The page.
#[must_use]
pub fn backups(frame: &Frame, view: &BackupsView) -> Markup {
    let body = html! {
        h1 { "Backups" }
        p.lead { "A backup is an encrypted file with every child, account and setting. Photographs and videos are sealed once for all backups, in the folder beside them whose name ends in .pictures. With both, and the passphrase or the recovery code, the clinic can be restored on any computer." }
        (parts::error_summary(&view.passphrase))
        (parts::error_summary(&view.settings))
        @if let Some(trouble) = &view.trouble { p.message.warning role="status" { (trouble) } }
        @if let Some(trouble) = &view.key_trouble {
            p.message.warning role="status" { "The key of the backups cannot be used, so that none is made: " (trouble) " Enter the present passphrase below twice: the key is then put back." }
        }
        @if view.invented { p.message.note { "This clinic is invented: no backup is made by itself here." } }
        @if !view.has_key { (passphrase_card(frame, view)) }
        @else {
            @if !view.places.is_empty() { (now_card(frame, view)) }
            @for (number, place) in (1..).zip(&view.places) { (place_card(number, place)) }
        }
        (settings_card(frame, view))
        @if view.has_key { (key_card(frame, view)) }
        (erased_card(&view.holding_erased))
        (restore_card(view))
        p.actions { a.button href="/records" { "How the records are checked" } a.button href="/settings" { "Settings" } }
    };
    frame::page(frame, HelpTopic::Backups, "Backups", &body)
}

fn passphrase_fields(filled: &Filled) -> Markup {
    let first = Field::new(names::PASSPHRASE, "Passphrase of the backups", What::Password("new-password"))
        .needed()
        .hint("At least 12 characters; four words that do not belong together are good. Not your own password: several people should be able to restore.");
    let again =
        Field::new(names::PASSPHRASE_AGAIN, "The passphrase again", What::Password("new-password")).needed();
    html! { (parts::field(filled, &first)) (parts::field(filled, &again)) }
}

fn passphrase_card(frame: &Frame, view: &BackupsView) -> Markup {
    html! {
        section.card aria-labelledby="begin-head" {
            h2 id="begin-head" { "First: a passphrase" }
            p { "Every backup is encrypted, so that a lost stick shows nothing. After this step a recovery code is shown once, to be printed. Whoever has neither passphrase nor code cannot restore." }
            form method="post" action="/backups/passphrase" {
                (parts::csrf(&frame.csrf))
                (passphrase_fields(&view.passphrase))
                button.primary type="submit" { "Set up backups" }
            }
        }
    }
}

fn now_card(frame: &Frame, view: &BackupsView) -> Markup {
    html! {
        section.card aria-labelledby="now-head" {
            h2 id="now-head" { "Now" }
            p { "By itself: " (view.rule) ", while the program is open. Others can go on working meanwhile; a large clinic takes a minute or more." }
            div.backup-actions {
                form method="post" action="/backups/make" {
                    (parts::csrf(&frame.csrf))
                    button.primary type="submit" { "Make a backup now" }
                }
                form method="post" action="/backups/drill" {
                    (parts::csrf(&frame.csrf))
                    button type="submit" { "Try the newest backup now" }
                }
            }
        }
    }
}

fn place_card(number: usize, place: &BackupPlace) -> Markup {
    let id = format!("place-{number}");
    html! {
        section.card aria-labelledby=(id) {
            h2 id=(id) { "In " code { (place.folder) } }
            @if let Some(away) = &place.away { p.message.warning { (away) " It is tried again every minute." } }
            @if let Some(warning) = &place.warning { p.message.warning { (warning) } }
            @if let Some((when, why)) = &place.failed { p.message.warning { "The last attempt, on " (when) ", failed. " (why) } }
            h3 { "Drill" }
            @match &place.drill {
                None => p { "None yet. The newest backup is tried once a week: opened, checked entry by entry, and compared with the records." },
                Some((when, true, words)) => p { strong { "Passed on " (when) "." } " " (words) },
                Some((when, false, words)) => p.message.warning { strong { "Failed on " (when) "." } " " (words) },
            }
            @if place.backups.is_empty() { @if place.away.is_none() { p { "There is no backup here yet." } } }
            @else { (rows(&place.backups)) }
            @if let Some((count, size)) = &place.pieces {
                p { "The last backup made here has " (count) @if *count == 1 { " photograph or piece of a video" } @else { " photographs and pieces of videos" } " beside it, " (size) "." }
            }
        }
    }
}

fn rows(rows: &[BackupRow]) -> Markup {
    html! {
        h3 { "Backups here" }
        ul.plain.backup-list {
            @for row in rows {
                li {
                    p { strong { (row.when) } @if let Some(entries) = row.entries { ", " (entries) " entries" } ", " (row.size) }
                    @if row.good { p { (row.state) } } @else { p.message.warning { (row.state) } }
                    @if let Some(receipt) = &row.receipt { p.quiet { "The log ends with " code { (receipt) } } }
                    @if let Some(drill) = &row.drill { p.quiet { (drill) } }
                    p.quiet { code { (row.file) } }
                }
            }
        }
    }
}

fn settings_card(frame: &Frame, view: &BackupsView) -> Markup {
    let labels = ["Folder for backups", "Second folder"];
    let hints = [
        "The whole path of a folder on the computer on which this program runs, best on another disk: a stick, or a folder of another computer.",
        "A stick that is taken home on other days, for instance. It may be away: it gets its backup when it comes back.",
    ];
    let folders = names::FOLDERS.iter().zip(labels).zip(hints);
    let whole = |name, label, min, max, unit| Field::new(name, label, What::Whole { min, max, unit });
    let rule = [
        whole(names::EVERY_HOURS, "Hours between two backups", 1, 168, "hours").needed(),
        whole(names::NOT_BEFORE, "Not before this hour of the day", 0, 23, "o’clock")
            .hint("Leave empty for any hour. The program has to be open then."),
        whole(names::KEEP_DAYS, "Keep all backups of the last", 0, 1_200, "days").needed(),
        whole(names::KEEP_WEEKS, "Then the last one of each week for", 0, 1_200, "weeks").needed(),
        whole(names::KEEP_MONTHS, "Then the last one of each month for", 0, 1_200, "months").needed(),
    ];
    html! {
        section.card aria-labelledby="where-head" {
            h2 id="where-head" { "Where, when and for how long" }
            form method="post" action="/backups/settings" {
                (parts::csrf(&frame.csrf))
                @for ((name, label), hint) in folders {
                    (parts::field(&view.settings, &Field::new(*name, label, What::Text).hint(hint)))
                }
                @for field in &rule { (parts::field(&view.settings, field)) }
                p { "The newest backup is never deleted, and nothing that is not a backup of this clinic. Photographs and videos are deleted with the last backup that has them." }
                button type="submit" { "Save" }
            }
        }
    }
}

fn key_card(frame: &Frame, view: &BackupsView) -> Markup {
    html! {
        section.card aria-labelledby="key-head" {
            h2 id="key-head" { "Passphrase and recovery code" }
            p { "Backups that were made before a change still open with the earlier passphrase and the earlier code." }
            details {
                summary { "Change the passphrase" }
                form method="post" action="/backups/passphrase" {
                    (parts::csrf(&frame.csrf))
                    (passphrase_fields(&view.passphrase))
                    button type="submit" { "Change the passphrase" }
                }
            }
            details {
                summary { "Make a new recovery code" }
                p { "For backups from now on the earlier code is then worthless. The new one is shown once, to be printed." }
                form method="post" action="/backups/recovery-code" {
                    (parts::csrf(&frame.csrf))
                    button type="submit" { "Make a new recovery code" }
                }
            }
        }
    }
}

fn erased_card(holders: &[ErasedHolder]) -> Markup {
    html! {
        @if !holders.is_empty() {
            section.card aria-labelledby="erased-head" {
                h2 id="erased-head" { "Backups that still have what was erased" }
                p { "They were made before the last erasure. When one is restored, what was erased is erased again; the list for that is beside the backups, encrypted. To be rid of it sooner, delete these files by hand: the next backup then deletes the photographs and videos that only they had." }
                ul.plain { @for holder in holders { li { code { (holder.file) } ", kept until at the latest " (holder.until) } } }
            }
        }
    }
}

fn restore_card(view: &BackupsView) -> Markup {
    html! {
        section.card aria-labelledby="restore-head" {
            h2 id="restore-head" { "Restore" }
            p { "On this computer or a new one, with the program installed and not open:" }
            ol.numbered {
                li { "Connect the disk with the backups. If you copied a backup from there, copy the folder beside it whose name ends in .pictures too, and the lists that begin with the same name: without the folder no photograph and no video is restored." }
                li { "Run " code { "plantigrade restore BACKUP --to \"" (view.records) "\" --reason \"…\"" } " with the path of the newest backup. It asks for the passphrase or the recovery code." }
                li { "If that folder has something in it, add " code { "--move-aside" } ": it is kept under another name. Nothing is ever deleted or written over." }
                li { "Read what it says: how many entries were saved after the backup, and are missing, and whether photographs or videos are." }
                li { "Start the program. The restore stands among the decisions on the page " a href="/records" { "The records" } "." }
            }
            p { "For the records as they were at a moment, add " code { "--until \"2026-03-01 14:00\"" } ": entries saved later are left out and listed." }
        }
    }
}

/// The recovery code, shown once to be printed.
#[must_use]
pub fn backup_code(frame: &Frame, clinic: &str, groups: &[String], made: &str) -> Markup {
    let body = html! {
        h1 { "Recovery code of the backups" }
        p.message.warning { "Print this page now, or write the code down. It is shown this once. Keep it where the backups are not: whoever has both can read every record." }
        section.card.backup-sheet aria-labelledby="code-head" {
            h2 id="code-head" { (clinic) }
            p { "Made on " (made) ". It opens every backup made from then on, until a new code is made." }
            (parts::code_groups(groups))
            p.quiet { "The letters a to z without l and o, and the digits 2 to 9. The last of each group finds typing errors." }
            p { "To restore on a new computer: install the program and start it, connect the disk with the backups, and choose " em { "Restore the backup" } " behind the link that it shows. Or run " code { "plantigrade restore BACKUP --to FOLDER --reason \"…\"" } ". Type the code when it asks." }
        }
        p.actions.no-print { a.button.primary href="/backups" { "The code is printed: go on" } }
    };
    frame::page(frame, HelpTopic::Backups, "Recovery code", &body)
}
