//! Prints the texts that users read, so that they can be read through in one go: those of every page over
//! invented data, in its order, and the help of every command. A text is printed once, where it first
//! appears. Texts that no invented page shows, such as rare errors, are not among them.
//!
//! `cargo run -p plantigrade --example texts > texts.txt`

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

// The invented pages about learning to score use `practice::DrawnCase`.
#[path = "../../pages/tests/all/sample/mod.rs"]
mod sample;

use clap::CommandFactory;
use plantigrade::cli::Cli;
use scraper::{Html, Node};
use std::collections::HashSet;

/// Attributes that are shown or read aloud.
const READ_ATTRIBUTES: [&str; 4] = ["aria-label", "placeholder", "title", "alt"];

fn main() {
    let mut printed = HashSet::new();
    for (name, page) in sample::every_page() {
        let texts: Vec<String> =
            texts_of(&page.0).into_iter().filter(|text| printed.insert(text.clone())).collect();
        if !texts.is_empty() {
            println!("\n== {name}\n{}", texts.join("\n"));
        }
    }
    let mut program = Cli::command();
    program.build();
    for command in program.get_subcommands_mut().filter(|command| command.get_name() != "help") {
        let help = command.render_long_help();
        println!("\n== plantigrade {}\n{help}", command.get_name());
    }
    println!("\n== plantigrade\n{}", program.render_long_help());
}

/// The texts of a page in reading order; digits are put as `#`, so that texts that differ by numbers only are
/// one.
fn texts_of(page: &str) -> Vec<String> {
    let html = Html::parse_document(page);
    let mut texts = Vec::new();
    for node in html.tree.root().descendants() {
        match node.value() {
            Node::Text(text) => {
                let parent = node.parent().and_then(|parent| parent.value().as_element());
                let is_code = parent.is_some_and(|parent| matches!(parent.name(), "script" | "style"));
                texts.extend((!is_code).then(|| text.to_string()));
            }
            Node::Element(element) => {
                texts.extend(READ_ATTRIBUTES.iter().filter_map(|name| element.attr(name)).map(str::to_owned));
            }
            _ => {}
        }
    }
    let plain = |text: String| {
        let words: Vec<&str> = text.split_whitespace().collect();
        words.join(" ").chars().map(|c| if c.is_ascii_digit() { '#' } else { c }).collect::<String>()
    };
    texts
        .into_iter()
        .map(plain)
        .filter(|text| text.chars().filter(|c| c.is_alphabetic()).count() > 1)
        .collect()
}
