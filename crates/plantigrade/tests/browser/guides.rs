//! The guides of the folder of documents, followed to the letter: the first day, and a clinic of three people.

use crate::{
    follower::{docs, follow},
    run,
};
use std::{fs, path::Path};

/// The day on which the guides are followed; the children of the first day's sheet are in casts then.
const DAY: &str = "2024-04-23";

#[test]
fn the_guide_for_the_first_day_can_be_followed_to_the_letter() {
    run(async {
        let steps = follow("first-day.md", DAY).await;
        println!("{steps} steps were followed");
        assert!(steps > 60, "only {steps} steps");
    });
}

#[test]
fn the_guide_for_three_people_can_be_followed_to_the_letter() {
    run(async {
        let steps = follow("three-people.md", DAY).await;
        println!("{steps} steps were followed");
        assert!(steps > 60, "only {steps} steps");
    });
}

/// A page of paper holds about 500 words or 60 lines of such a text.
#[test]
fn the_guide_for_three_people_has_two_pages_at_most() {
    let text = fs::read_to_string(docs().join("three-people.md")).unwrap();
    let (words, lines) = (text.split_whitespace().count(), text.lines().count());
    assert!(words <= 1000 && lines <= 120, "{words} words in {lines} lines");
}

/// What the guide says a person may see when something goes wrong is said by the program.
#[test]
fn the_messages_in_the_guide_are_those_of_the_program() {
    let text = fs::read_to_string(docs().join("first-day.md")).unwrap();
    let table = text.split("## If something goes wrong").nth(1).unwrap();
    let said: Vec<&str> = table.split('“').skip(1).filter_map(|part| part.split('”').next()).collect();
    assert!(said.len() >= 5, "{said:?}");
    let mut sources = String::new();
    let mut folders = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join("..")];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
            let name = entry.file_name().unwrap().to_string_lossy().into_owned();
            if entry.is_dir() && name != "tests" {
                folders.push(entry);
            } else if name.ends_with(".rs") {
                sources += &fs::read_to_string(entry).unwrap();
            }
        }
    }
    for words in said {
        assert!(sources.contains(words), "the program never says “{words}”");
    }
}
