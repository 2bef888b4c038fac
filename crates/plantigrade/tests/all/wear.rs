//! Hours of wear from a logger's file, by the command.

use serde_json::Value;
use std::{fmt::Write, path::Path, process::Command};
use wear::simulated::Setup;

fn run(arguments: &[&str]) -> (i32, String, String) {
    let output = Command::new(env!("CARGO_BIN_EXE_plantigrade")).args(arguments).output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (output.status.code().unwrap(), text(output.stdout), text(output.stderr))
}

/// Two weeks of an invented logger from 5 January 2026 on, and the hours truly worn.
fn file(path: &Path) -> Vec<f64> {
    let logger = Setup { days: 14, ..Setup::ordinary() }.logger(11);
    let mut text = "Time;Temp °C\n".to_owned();
    for (at, celsius) in logger.at_s.iter().zip(&logger.celsius) {
        let (day, rest) = (5 + at / 86_400, at % 86_400);
        let celsius = celsius.to_string().replace('.', ",");
        writeln!(
            text,
            "{day:02}.01.2026 {:02}:{:02}:{:02};{celsius}",
            rest / 3600,
            rest / 60 % 60,
            rest % 60
        )
        .unwrap();
    }
    std::fs::write(path, text).unwrap();
    logger.worn_hours
}

#[test]
fn the_hours_of_every_day_come_as_a_table_and_as_json() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("boot.csv");
    let truth = file(&path);
    let path = path.to_str().unwrap();
    let (code, json, _) = run(&["wear", path, "--json"]);
    assert_eq!(code, 0);
    let whole: Value = serde_json::from_str(&json).unwrap();
    let days = whole["days"].as_array().unwrap();
    assert_eq!(days.len(), truth.len());
    assert_eq!(days[0]["day"], "2026-01-05");
    for (day, truth) in days.iter().zip(&truth) {
        let number = |key: &str| day[key].as_f64().unwrap();
        let unsaid = number("hours_undecided") + number("hours_missing");
        assert!(number("hours_worn") <= truth + 0.25, "{day} {truth}");
        assert!(number("hours_worn") + unsaid >= truth - 0.25, "{day} {truth}");
        assert!(day["confidence"].as_f64().unwrap() > 0.9, "{day}");
    }
    assert!((whole["model"]["sampling_minutes"].as_f64().unwrap() - 10.0).abs() < 0.2, "{}", whole["model"]);
    assert!(whole["notes"].as_array().is_some());
    let (code, text, _) = run(&["wear", path]);
    assert_eq!(code, 0);
    assert!(
        text.contains("2026-01-05") && text.contains("confidence") && text.contains("Worn about"),
        "{text}"
    );
}

#[test]
fn what_cannot_be_read_is_one_sentence_and_a_code() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("odd.csv");
    std::fs::write(&path, "name,born\nAnna,2020-01-01\n").unwrap();
    let path = path.to_str().unwrap();
    let (code, out, sentence) = run(&["wear", path]);
    assert_eq!((code, out.as_str()), (3, ""));
    assert!(sentence.contains("No row of the first 2 holds both"), "{sentence}");
    assert_eq!(run(&["wear", "nowhere.csv"]).0, 1);
    let (code, _, sentence) = run(&["wear", path, "--zone", "Atlantis/Port"]);
    assert_eq!(code, 2);
    assert!(sentence.contains("is no time zone"), "{sentence}");
}
