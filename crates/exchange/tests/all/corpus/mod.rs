//! Spreadsheets of invented clinics with other habits, each with the truth behind it.
//!
//! Nothing may come in wrong, invented or missing without a word, and with the answers of a person of the
//! clinic nearly everything comes in. What does not yet hold is listed in `NOT_YET`, which can only shrink.

mod answers;
mod clinic;
mod evaluate;
mod fact;
mod files;
mod layouts;
mod not_yet;
mod samples;
pub mod sheet;

use crate::common::import_table;
use answers::import_with_answers;
use evaluate::{Fate, Tally, evaluate};
use exchange::{MapFile, Nothing, Table, read_mapped};
use files::InventedFile;
use not_yet::{NOT_YET, judge};

/// With the answers of the clinic, this much of a file is right.
const RIGHT_WITH_ANSWERS_PERCENT: f64 = 99.0;

/// Most questions that settle a file.
const MOST_QUESTIONS: usize = 12;

/// The file as the program reads it, with what a map says of its sheets and rows.
fn table(file: &InventedFile, map: Option<&MapFile>) -> Table {
    read_mapped(&file.bytes, file.name, map)
        .unwrap_or_else(|error| panic!("{} is not read: {error}", file.name))
}

/// One line of the table.
fn line(file: &InventedFile, with: &str, tally: &Tally) -> String {
    format!(
        "{:26} {:10} {:6} {:6} {:7} {:7} {:6} {:6} {:6} {:6} {:6.1}  {}",
        file.name,
        with,
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

const HEADS: &str = "file                       with        facts  right partial refused  asked silent  WRONG  EXTRA      %  habit";

#[test]
fn invented_clinics_come_in_without_a_silent_fault() {
    let (mut lines, mut faults) = (vec![HEADS.to_owned()], Vec::new());
    let wanted = std::env::var("CORPUS_FILE").unwrap_or_default();
    for file in files::all().into_iter().filter(|file| file.name.contains(&wanted)) {
        let tally = evaluate(&import_table(&table(&file, None), None, &Nothing), &file.truth);
        lines.push(line(&file, "", &tally));
        lines.extend(examples(&tally));
        faults.extend(judge(file.name, false, &tally));
        match import_with_answers(&file) {
            Ok(answered) => {
                let tally = evaluate(&answered.plan, &file.truth);
                lines.push(line(&file, &format!("{} answers", answered.answers), &tally));
                lines.extend(examples(&tally));
                lines.push(format!(
                    "    questions: {} at first, {} in all, {} answered",
                    answered.asked_first, answered.asked, answered.answers
                ));
                lines.extend(answered.left.iter().map(|left| format!("    open: {left}")));
                lines.push(format!("    reasons: {:?}", answered.plan.report.reasons));
                faults.extend(judge(file.name, true, &tally));
                let most = answered.asked_first.max(answered.asked).max(answered.answers);
                if most > MOST_QUESTIONS {
                    faults.push(format!("{}: {most} questions are asked", file.name));
                }
            }
            Err(error) => {
                lines.push(format!("{}: the map is not understood: {error}", file.name));
                faults.extend(judge(file.name, true, &Tally::default()));
            }
        }
    }
    println!("{}", lines.join("\n"));
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// Examples of grave faults, where a person asks for them.
fn examples(tally: &Tally) -> Vec<String> {
    let asked = std::env::var_os("CORPUS_EXAMPLES").is_some();
    let examples = tally.grave_examples().filter(|_| asked).take(12);
    examples.map(|example| format!("    {example}")).collect()
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
