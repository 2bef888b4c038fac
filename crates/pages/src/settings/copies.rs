//! Copies of the records: when the last was made, how to make one, and how to go back to one.

use crate::{
    Frame, HelpTopic,
    fields::{Field, Filled, What, settings::FOLDER},
    frame, parts,
};
use maud::{Markup, html};

/// The state of copies.
#[derive(Debug, Clone, Default)]
pub struct CopiesView {
    /// The last copy that was made and checked here: when and by whom, folder, and what was checked.
    pub last: Option<(String, String, String)>,
    /// The folder of the records.
    pub records: String,
    /// The form.
    pub filled: Filled,
}

/// The page.
#[must_use]
pub fn copies(frame: &Frame, view: &CopiesView) -> Markup {
    let folder = Field::new(FOLDER, "Folder for the copy", What::Text)
        .needed()
        .hint("The whole path of a folder on the computer on which this program runs, best on another disk: a stick, or a folder of another computer.");
    let body = html! {
        h1 { "Copies of the records" }
        p.lead { "A copy holds every child, account and setting. Keep one outside this computer, where nobody else can read it: it is encrypted only if the records are." }
        (parts::error_summary(&view.filled))
        section.card aria-labelledby="last-head" {
            h2 id="last-head" { "The last copy" }
            @match &view.last {
                Some((when, folder, checked)) => { p { strong { (when) } ", in " code { (folder) } } p { "Checked after writing: " (checked) "." } },
                None => p { "None was made on this page." },
            }
        }
        section.card aria-labelledby="copy-head" {
            h2 id="copy-head" { "Make a copy now" }
            form method="post" action="/settings/copies" {
                (parts::csrf(&frame.csrf))
                (parts::field(&view.filled, &folder))
                p { "It is written into a new folder there and then read again from beginning to end, so that you know that it is whole. Others can go on working. A large clinic takes a minute or more." }
                button.primary type="submit" { "Make a copy" }
            }
        }
        section.card aria-labelledby="back-head" {
            h2 id="back-head" { "Go back to a copy" }
            ol.numbered {
                li { "Stop the program. Keep the folder " code { (view.records) } " under another name." }
                li { "Put the contents of the copy in its place." }
                li { "Run " code { "plantigrade verify --data \"" (view.records) "\"" } ": it reads every entry and says whether anything was changed or lost." }
                li { "Start the program. What was recorded after the copy is in the folder that you kept." }
            }
        }
        p.actions { a.button href="/records" { "How the records are checked" } a.button href="/settings" { "Settings" } }
    };
    frame::page(frame, HelpTopic::Backup, "Copies of the records", &body)
}
