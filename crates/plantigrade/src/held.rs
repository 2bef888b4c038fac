//! Records with which something is wrong are served for reading only, from a copy: nothing is changed in the files
//! themselves until a person has decided, and what is shown is whole.
//!
//! Where the records are not those that their witness knows, the copy is of all of them. Where they are damaged it
//! holds what could be read, without the children of whom an entry is missing: a course without some of its entries
//! would be taken for the whole.

use crate::clock::local_words;
use clinic::{ClinicRecords, Salvaged, WitnessFinding};
use course::Course;
use pages::parts::Who;
use record::{ChildId, Day, Entry};
use tempfile::TempDir;

/// Why the records are served for reading only.
pub struct HeldRecords {
    /// What is wrong.
    pub why: HoldReason,
    /// The folder of the copy, removed when the server stops: it holds names.
    pub copy: TempDir,
}

/// What is wrong with the records.
pub enum HoldReason {
    /// They are not those that the witness knows. The handle keeps other processes from writing, and takes the
    /// decision of a person.
    NotThoseSaved(ClinicRecords, WitnessFinding),
    /// They are damaged: what was found, and what could be read.
    Damaged(String, Box<Salvaged>),
}

/// Children named in the sentence about damage; the page on the records names all.
const NAMED: usize = 5;

impl HeldRecords {
    /// What is wrong and what that means.
    #[must_use]
    pub fn sentence(&self) -> String {
        match &self.why {
            HoldReason::NotThoseSaved(_, finding) => finding.sentence(&local_words),
            HoldReason::Damaged(_, salvaged) => damage_sentence(salvaged),
        }
    }

    /// The children that cannot be shown, because an entry of theirs is missing: by name and number as far as those
    /// could be read, otherwise by their id.
    #[must_use]
    pub fn hidden_children(&self) -> Vec<String> {
        match &self.why {
            HoldReason::NotThoseSaved(..) => Vec::new(),
            HoldReason::Damaged(_, salvaged) => hidden(salvaged),
        }
    }
}

fn hidden(salvaged: &Salvaged) -> Vec<String> {
    salvaged.left_out.iter().map(|(child, entries)| name_of(*child, entries)).collect()
}

fn name_of(child: ChildId, entries: &[Entry]) -> String {
    let course = Course::of(child, entries, Day::LAST);
    let who = Who::of(&course);
    match course.registered {
        Some(_) => format!("{}, {}", who.shown_name(), who.number()),
        None => child.to_string(),
    }
}

fn damage_sentence(salvaged: &Salvaged) -> String {
    let hidden = hidden(salvaged);
    let mut text = match (salvaged.missing.len(), hidden.len()) {
        (0, _) if salvaged.length_is_known => {
            "The records file is damaged. Every entry could be read.".to_owned()
        }
        (0, _) => "The records file is damaged. Whether entries are missing cannot be told.".to_owned(),
        (entries, 0) => {
            format!("The records file is damaged: {} cannot be read.", counted(entries, "entry", "entries"))
        }
        (entries, children) => {
            let names: Vec<&str> = hidden.iter().take(NAMED).map(String::as_str).collect();
            let more =
                if children > NAMED { format!(" and {} more", children - NAMED) } else { String::new() };
            format!(
                "The records file is damaged: {} cannot be read, and {} not shown because something of theirs is missing: {}{more}.",
                counted(entries, "entry", "entries"),
                counted(children, "child is", "children are"),
                names.join("; ")
            )
        }
    };
    if salvaged.of_unknown_children > 0 {
        text.push_str(&format!(
            " Of {} of these entries it is not known whom they are about: any child may have lost one.",
            salvaged.of_unknown_children
        ));
    }
    if salvaged.incomplete.contains(&"accounts") {
        text.push_str(" Some accounts could not be read.");
    }
    text
}

fn counted(number: usize, one: &str, many: &str) -> String {
    if number == 1 { format!("1 {one}") } else { format!("{number} {many}") }
}
