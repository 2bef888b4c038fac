//! The administrator's handbook, the unit of the service and the archive's README name only commands, options, figures
//! and exit codes that there are.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::{backups::BackedUp, house::root};
use clap::{CommandFactory, error::ErrorKind};
use plantigrade::{checks, cli::Cli, figures};
use std::fs;

fn read(name: &str) -> String {
    fs::read_to_string(root().join(name)).unwrap()
}

/// The words of a command line; what stands in quotation marks is one word.
fn words(line: &str) -> Vec<String> {
    let (mut words, mut word, mut quoted) = (Vec::new(), String::new(), false);
    for c in line.chars() {
        match c {
            '"' => quoted = !quoted,
            ' ' if !quoted => words.extend(Some(std::mem::take(&mut word)).filter(|word| !word.is_empty())),
            other => word.push(other),
        }
    }
    words.extend(Some(word).filter(|word| !word.is_empty()));
    words
}

/// The command line of the program in a line of a shell; `None` where it is about another program. What stands before
/// it says as whom it is run.
fn of_program(line: &str) -> Option<Vec<String>> {
    let mut words = words(line);
    if words.first().is_some_and(|word| word == "sudo") {
        words.drain(..3.min(words.len()));
    }
    while words.first().is_some_and(|word| word == "env" || word.contains('=')) {
        words.remove(0);
    }
    words.retain(|word| word != "…" && !word.starts_with("$PLANTIGRADE_"));
    let program = words.first()?;
    (program == "plantigrade" || program.ends_with("/plantigrade")).then_some(words)
}

/// Every line of the fenced examples of a shell, and every piece of code within a sentence.
fn code(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut fence: Option<bool> = None;
    for line in text.lines() {
        match (line.trim_start().strip_prefix("```"), fence) {
            (Some(kind), None) => fence = Some(kind == "sh"),
            (Some(_), Some(_)) => fence = None,
            (None, Some(shell)) => found.extend(shell.then(|| line.trim().to_owned())),
            (None, None) => found.extend(line.split('`').skip(1).step_by(2).map(str::to_owned)),
        }
    }
    found
}

fn refused(words: &[String]) -> Option<String> {
    let error = Cli::command().try_get_matches_from(words).err()?;
    // Help and version are shown as errors are.
    (!matches!(error.kind(), ErrorKind::DisplayHelp | ErrorKind::DisplayVersion)).then(|| error.to_string())
}

#[test]
fn every_command_of_the_handbook_is_one_of_the_program() {
    let mut tried = 0;
    let mut wrong = Vec::new();
    for document in ["docs/administrator.md", "docs/reliability.md", "docs/clinic-network.md"] {
        for line in code(&read(document)) {
            // A name alone says which program is meant.
            let Some(words) = of_program(&line).filter(|words| words.len() > 1) else { continue };
            tried += 1;
            wrong.extend(refused(&words).map(|why| format!("{document}: {line}: {why}")));
        }
    }
    println!("{tried} command lines");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(tried >= 25, "{tried}");
    let (none, option) = (words("plantigrade frobnicate"), words("plantigrade serve --no-such-option"));
    assert!(refused(&none).is_some() && refused(&option).is_some(), "nothing would be found");
}

#[test]
fn the_service_starts_the_program_as_it_can_be_started() {
    for file in ["packaging/plantigrade.service", "packaging/plantigrade.desktop"] {
        let text = read(file);
        let start =
            text.lines().find_map(|line| line.strip_prefix("ExecStart=").or(line.strip_prefix("Exec=")));
        let words = of_program(start.unwrap()).unwrap();
        assert_eq!(refused(&words), None, "{file}");
    }
    let options = read("packaging/debian/default");
    let examples: Vec<&str> = options
        .lines()
        .filter_map(|line| line.split_once("PLANTIGRADE_OPTIONS="))
        .map(|(_, value)| value)
        .collect();
    assert_eq!(examples.len(), 2, "{options}");
    for example in examples {
        let line = format!("plantigrade serve {}", example.trim_matches('"'));
        assert_eq!(refused(&words(&line)), None, "{line}");
    }
    let container = read("packaging/Containerfile");
    let entry = container.lines().find_map(|line| line.strip_prefix("ENTRYPOINT ")).unwrap();
    let words: Vec<String> = serde_json::from_str(entry).unwrap();
    assert_eq!(refused(&words), None, "{entry}");
}

#[tokio::test]
async fn every_figure_of_the_handbook_is_among_the_figures() {
    // The age of the last backup is among them once there is one.
    let kept = BackedUp::new().await;
    kept.made();
    let clinic = &kept.clinic;
    checks::check_now(&clinic.app).unwrap();
    let (text, handbook) = (figures::text(&clinic.app), read("docs/administrator.md"));
    let named: Vec<&str> = handbook
        .split(|c: char| !c.is_ascii_alphanumeric() && c != '_')
        .filter(|word| word.starts_with("plantigrade_") && !word.starts_with("plantigrade_0"))
        .collect();
    assert!(named.len() >= 7, "{named:?}");
    for name in named {
        assert!(text.contains(&format!("\n{name}")), "{name}: {text}");
    }
}

/// Ten pages of a dense print; a page of this kind of text has about 450 words.
#[test]
fn the_handbook_has_at_most_ten_pages() {
    let words = read("docs/administrator.md").split_whitespace().count();
    assert!(words <= 10 * 450, "{words} words");
}

#[test]
fn the_handbook_has_every_exit_code_as_the_help_has_it() {
    let help = Cli::command().render_long_help().to_string();
    let (_, codes) = help.split_once("Exit codes:").unwrap();
    let handbook = read("docs/administrator.md");
    let codes: Vec<(&str, &str)> = codes.lines().filter_map(|line| line.trim().split_once("  ")).collect();
    assert!(codes.len() >= 9, "{codes:?}");
    for (number, words) in codes {
        let start = words.split(',').next().unwrap();
        assert!(handbook.contains(&format!("{number} {start}")), "{number} {words}");
    }
}
