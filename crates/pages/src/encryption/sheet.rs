//! The recovery sheet: shown once, to be printed, and confirmed from paper.

use super::{BACKED_UP, LAST_GROUP, SHEET_PATH};
use crate::{
    Frame, HelpTopic,
    fields::{Field, Filled, What, settings::DO},
    frame, parts, words,
};
use maud::{Markup, html};

/// What is done once the sheet is on paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SheetPurpose {
    /// The records are encrypted.
    Encrypt,
    /// The code takes the place of the earlier one.
    NewSheet,
}

/// The sheet.
#[derive(Debug, Clone)]
pub struct RecoverySheetView {
    /// What it is for.
    pub purpose: SheetPurpose,
    /// The groups of each sheet: one sheet, or two halves.
    pub sheets: Vec<Vec<String>>,
    /// The folder of the records.
    pub folder: String,
    /// Whether the person is asked for a backup: not where there is nothing to lose yet.
    pub asks_for_backup: bool,
    /// When the last copy was made, in words.
    pub last_copy: Option<String>,
    /// The form.
    pub filled: Filled,
}

/// The page. On paper each sheet is a page of its own.
#[must_use]
pub fn recovery_sheet(frame: &Frame, view: &RecoverySheetView) -> Markup {
    let body = html! {
        div.narrow.recovery {
            div.no-print {
                h1 { "Print the recovery sheet" }
                p.lead { "It is shown this once. Print it with the browser, or copy the groups by hand onto paper. Do not save it on this computer." }
                (parts::error_summary(&view.filled))
            }
            @for (groups, number) in view.sheets.iter().zip(1..) { (sheet(frame, view, groups, number)) }
            div.no-print { (confirm(frame, view)) }
        }
    };
    frame::page(frame, HelpTopic::Encryption, "Recovery sheet", &body)
}

fn sheet(frame: &Frame, view: &RecoverySheetView, groups: &[String], number: usize) -> Markup {
    let many = view.sheets.len();
    html! {
        section.card.recovery-sheet aria-label={ "Sheet " (number) } {
            h2 { @if many == 1 { "Recovery code of the records" } @else { "Recovery code of the records, half " (number) " of " (many) } }
            dl.sheet-facts {
                dt { "Clinic" } dd { (frame.clinic_name) }
                dt { "Folder" } dd { (view.folder) }
                dt { "Printed" } dd { (words::weekday(frame.today)) }
            }
            (parts::code_groups(groups))
            @if many == 1 { p { "Whoever has this sheet and the records can read them." } }
            @else { p { "This half opens nothing without the other. Two people keep them in two places." } }
            p { "Keep it where the records are not: in a sealed envelope in a safe. It is for the day on which the passphrase is lost. Start the program, type the code in place of the passphrase, and choose a new passphrase." }
            p { "The fifth letter of each group finds typing errors. Capitals, spaces and dashes do not matter; the letters l and o and the digits 0 and 1 are in no code." }
        }
    }
}

fn confirm(frame: &Frame, view: &RecoverySheetView) -> Markup {
    let group = Field::new(LAST_GROUP, "Last group, typed from the paper", What::Text)
        .needed()
        .hint("The last five letters, of the second half where there are two.");
    let button = match view.purpose {
        SheetPurpose::Encrypt => "Encrypt the records now",
        SheetPurpose::NewSheet => "Use this code from now on",
    };
    html! {
        form.card method="post" action=(SHEET_PATH) {
            (parts::csrf(&frame.csrf))
            (parts::field(&view.filled, &group))
            @if view.asks_for_backup {
                p.check {
                    input type="checkbox" id="backed-up" name=(BACKED_UP) value="yes";
                    label for="backed-up" { "There is a copy of the records of today" }
                }
                p.hint { @match &view.last_copy { Some(when) => { "The last copy made here: " (when) "." } None => "No copy was made on the page Copies of the records." } }
            }
            @if view.purpose == SheetPurpose::Encrypt {
                p { "Nobody can work meanwhile: some seconds, or some minutes in a large clinic. The new files are compared with the old ones before those are overwritten." }
            }
            div.actions {
                button.primary type="submit" name=(DO) value="confirm" { (button) }
                button type="submit" name=(DO) value="leave" formnovalidate { "Leave it as it is" }
            }
        }
    }
}
