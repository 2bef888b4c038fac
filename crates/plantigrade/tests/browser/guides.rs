//! The guides of the folder of documents, followed to the letter: the first day, and a clinic of three people.

use crate::{
    follower::{docs, follow},
    run, screens,
    tab::Browsing,
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

/// Printed at ten points on A4 with the browser's margins.
#[test]
fn the_guide_for_three_people_has_two_pages_at_most() {
    let text = fs::read_to_string(docs().join("three-people.md")).unwrap();
    let page = tempfile::Builder::new().suffix(".html").tempfile().unwrap();
    fs::write(page.path(), html(&text)).unwrap();
    run(async {
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.go(&format!("file://{}", page.path().display())).await;
        tab.says("A clinic of three people").await;
        let pdf = tab.paper().await;
        screens::keep("three-people.pdf", &pdf);
        let sheets = pdf.windows(12).filter(|part| *part == b"/Type /Page\n").count();
        assert!((1..=2).contains(&sheets), "{sheets} pages");
        browsing.close().await;
    });
}

/// The text as it is printed: headings, paragraphs, numbered steps and boxes.
fn html(text: &str) -> String {
    let mut page = "<!doctype html><meta charset=utf-8><style>body{font:9pt/1.2 'DejaVu Sans Condensed',sans-serif}h1,h2,p,pre{margin:.35em 0}h1{font-size:14pt}h2{font-size:11pt}li{margin:0 0 0 1.5em}</style>".to_owned();
    let mut in_box = false;
    for line in text.lines().map(|line| line.trim().replace('&', "&amp;").replace('<', "&lt;")) {
        if line.starts_with("```") {
            in_box = !in_box;
            page += if in_box { "<pre>" } else { "</pre>" };
        } else if let Some(title) = line.strip_prefix("## ") {
            page += &format!("<h2>{title}</h2>");
        } else if let Some(title) = line.strip_prefix("# ") {
            page += &format!("<h1>{title}</h1>");
        } else if let Some((number, step)) = line.split_once(". ").filter(|(n, _)| n.parse::<u8>().is_ok()) {
            page += &format!("<li style=list-style:none>{number}. {step}</li>");
        } else if in_box {
            page += &format!("{line}\n");
        } else {
            page += &format!("<p>{line}</p>");
        }
    }
    page
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
