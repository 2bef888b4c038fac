//! Spreadsheets of invented clinics with other habits, each with the truth behind it.
//!
//! Nothing may come in wrong, invented or missing without a word, and with the answers of a person of the
//! clinic nearly everything comes in. What does not yet hold is listed in `NOT_YET`, which can only shrink.

mod clinic;
mod evaluate;
mod fact;
mod files;
mod layouts;
mod not_yet;
pub mod sheet;

use crate::common::import_table;
use evaluate::{Fate, Tally, evaluate};
use exchange::{Nothing, read_table};
use files::InventedFile;
use not_yet::{NOT_YET, judge};

/// With the answers of the clinic, this much of a file is right.
const RIGHT_WITH_ANSWERS_PERCENT: f64 = 99.0;

fn evaluated(file: &InventedFile) -> Tally {
    match read_table(&file.bytes, file.name, None) {
        Ok(table) => evaluate(&import_table(&table, None, &Nothing), &file.truth),
        Err(error) => panic!("{} is not read: {error}", file.name),
    }
}

/// One line of the table.
fn line(file: &InventedFile, answered: bool, tally: &Tally) -> String {
    format!(
        "{:26} {:8} {:6} {:6} {:7} {:7} {:6} {:6} {:6} {:6} {:6.1}  {}",
        file.name,
        if answered { "answers" } else { "" },
        tally.facts(),
        tally.of(Fate::Right),
        tally.of(Fate::Partial),
        tally.of(Fate::Refused),
        tally.of(Fate::Asked),
        tally.of(Fate::Silent),
        tally.of(Fate::Wrong),
        tally.of(Fate::Extra),
        tally.right_percent(),
        file.habit,
    )
}

const HEADS: &str = "file                       with      facts  right partial refused  asked silent  WRONG  EXTRA      %  habit";

#[test]
fn invented_clinics_come_in_without_a_silent_fault() {
    let (mut table, mut faults) = (vec![HEADS.to_owned()], Vec::new());
    for file in files::all() {
        let tally = evaluated(&file);
        table.push(line(&file, false, &tally));
        if std::env::var_os("CORPUS_EXAMPLES").is_some() {
            table.extend(tally.grave_examples().take(12).map(|example| format!("    {example}")));
        }
        faults.extend(judge(file.name, false, &tally));
    }
    println!("{}", table.join("\n"));
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// The list names files that there are, each once.
#[test]
fn the_list_of_what_does_not_yet_hold_names_files() {
    let files: Vec<&str> = files::all().iter().map(|file| file.name).collect();
    assert!(files.len() >= 12, "only {} files", files.len());
    let mut listed = std::collections::BTreeSet::new();
    for entry in NOT_YET {
        assert!(files.contains(&entry.file), "there is no file {}", entry.file);
        assert!(listed.insert((entry.file, entry.answered)), "{} is listed twice", entry.file);
    }
}
