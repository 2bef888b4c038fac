//! The commands, by running the program.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::importing::SHEET;
use plantigrade::{
    app::{App, Mode},
    clock::Clock,
    place,
};
use serde_json::Value;
use std::{
    fs,
    path::Path,
    process::{Command, Output},
};

pub const PROGRAM: &str = env!("CARGO_BIN_EXE_plantigrade");
/// The witnesses of the records of tests, so that none is left in the home folder of whoever runs them.
pub const WITNESSES: (&str, &str) = ("PLANTIGRADE_WITNESS", concat!(env!("CARGO_TARGET_TMPDIR"), "/witness"));

/// The records that a command wrote, opened with their witness.
pub fn opened(data: &Path, clock: Clock) -> App {
    let place = place::witness_under(Path::new(WITNESSES.1), data, None);
    App::open_with_witness(data, clock, Mode::default(), Some(place)).unwrap()
}

/// Runs the program with its records in a folder, on a fixed day.
pub fn run(data: &Path, args: &[&str]) -> Output {
    let mut command = Command::new(PROGRAM);
    command.env(WITNESSES.0, WITNESSES.1);
    command.args(args).env("PLANTIGRADE_DATA", data).env_remove("DISPLAY").env_remove("WAYLAND_DISPLAY");
    if !matches!(args.first(), Some(&("completions" | "--help" | "--version" | "help"))) {
        command.args(["--today", "2025-03-04"]);
    }
    command.output().unwrap()
}

pub fn code(output: &Output) -> i32 {
    output.status.code().unwrap()
}

pub fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

pub fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn json(output: &Output) -> Value {
    serde_json::from_str(&out(output))
        .unwrap_or_else(|error| panic!("{error}: {}{}", out(output), err(output)))
}

/// A folder with a sheet brought in.
fn imported() -> (tempfile::TempDir, std::path::PathBuf) {
    let dir = tempfile::tempdir().unwrap();
    let sheet = dir.path().join("visits.csv");
    fs::write(&sheet, SHEET).unwrap();
    let data = dir.path().join("data");
    let output = run(&data, &["import", sheet.to_str().unwrap()]);
    assert_eq!(code(&output), 3, "{}{}", out(&output), err(&output));
    (dir, data)
}

#[test]
fn import_says_what_it_found_and_keeps_the_refused_rows() {
    let (dir, data) = imported();
    let refused = fs::read_to_string(dir.path().join("visits.refused.csv")).unwrap();
    assert!(refused.contains("0.7") && !refused.contains("Brannock"), "{refused}");
    let sheet = dir.path().join("visits.csv");
    let again = run(&data, &["import", sheet.to_str().unwrap(), "--json"]);
    let report = json(&again);
    assert_eq!(report["dispositions"]["duplicate"], 3);
    assert_eq!(report["dispositions"]["imported"], 0);
    assert_eq!(report["entries"], 0, "the same file twice adds nothing");
    assert!(dir.path().join("visits.refused-2.csv").exists(), "a file that is there is never written over");
}

/// The help of the program lists `--data` before the commands.
#[test]
fn the_place_of_the_records_may_stand_before_the_command() {
    let (dir, data) = imported();
    let csv = dir.path().join("out.csv");
    let (data, csv) = (data.to_str().unwrap(), csv.to_str().unwrap());
    let elsewhere = dir.path().join("elsewhere");
    // The place in the environment counts only where none is typed.
    let before = run(&elsewhere, &["--data", data, "export", csv]);
    assert_eq!(code(&before), 0, "{}", err(&before));
    assert!(fs::read_to_string(csv).unwrap().contains("Brannock"));
    fs::remove_file(csv).unwrap();
    let after = run(&elsewhere, &["export", csv, "--data", data]);
    assert_eq!(code(&after), 0, "{}", err(&after));
    for (args, words) in [
        (&["--data", data, "export", csv, "--data", data][..], "--data is given twice"),
        (&["--no-open", "export", csv][..], "--no-open belongs to serve"),
        (&["--data", data, "completions", "bash"][..], "completions takes no --data"),
    ] {
        let output = Command::new(PROGRAM).env(WITNESSES.0, WITNESSES.1).args(args).output().unwrap();
        assert_eq!(code(&output), 2, "{args:?}: {}", err(&output));
        assert!(err(&output).contains(words), "{args:?}: {}", err(&output));
    }
}

#[test]
fn a_port_in_use_is_named_without_the_words_of_the_system() {
    let dir = tempfile::tempdir().unwrap();
    let taken = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
    let address = taken.local_addr().unwrap().to_string();
    let output = run(dir.path(), &["serve", "--no-open", "--listen", &address]);
    assert_eq!(code(&output), 1);
    assert!(
        err(&output).contains(&format!("{address} cannot be used: another program uses it")),
        "{}",
        err(&output)
    );
    assert!(!err(&output).contains("os error"), "{}", err(&output));
}

#[test]
fn equal_remarks_of_an_import_are_one_line_and_open_questions_are_named_beside_refused_rows() {
    let dir = tempfile::tempdir().unwrap();
    let sheet = dir.path().join("visits.csv");
    let mut text = "Hosp No,Name,DOB,Date,Side,CLB,MC,LHT,PC,RE,EH,Done\n".to_owned();
    // Signs as 0, 1 and 2: none is read before it is settled what they stand for. Eight visits of a child.
    for day in 1..=8 {
        text.push_str(&format!("701,Ole By,2024-01-05,2024-02-{:02},R,2,1,2,1,0,2,cast\n", day * 3));
    }
    text.push_str("702,Ida Moe,2024-01-09,2023-02-03,L,2,1,2,1,0,2,cast\n");
    fs::write(&sheet, text).unwrap();
    let output = run(&dir.path().join("data"), &["import", sheet.to_str().unwrap(), "--check-only"]);
    let (text, error) = (out(&output), err(&output));
    assert_eq!(code(&output), 3, "{text}{error}");
    let about: Vec<&str> = text.lines().filter(|line| line.contains("none is read until")).collect();
    assert_eq!(about.len(), 1, "{text}");
    assert!(about[0].starts_with("  rows 2, 3, 4, 5, 6 and 3 more, column CLB “2”"), "{text}");
    assert!(error.contains("1 rows would be refused.") && error.contains("1 question is open"), "{error}");
}

#[test]
fn an_import_is_listed_and_undone_with_a_reason() {
    let (dir, data) = imported();
    let list = json(&run(&data, &["import", "--list", "--json"]));
    let import = &list["imports"][0];
    let (id, entries) = (import["id"].as_str().unwrap(), import["entries"].as_u64().unwrap());
    assert_eq!((import["file"].as_str(), import["children"].as_u64()), (Some("visits.csv"), Some(2)));
    assert!(out(&run(&data, &["import", "--list"])).contains(id));

    let without = run(&data, &["import", "--undo", id]);
    assert_eq!(code(&without), 2, "{}", err(&without));
    let blank = run(&data, &["import", "--undo", id, "--reason", " "]);
    assert_eq!(code(&blank), 2, "{}", err(&blank));
    let looked =
        json(&run(&data, &["import", "--undo", id, "--reason", "wrong file", "--check-only", "--json"]));
    assert_eq!((looked["withdrawn"].as_u64(), looked["written"].as_bool()), (Some(entries), Some(false)));
    assert_eq!(code(&run(&data, &["child", "701"])), 0, "nothing was written");

    let undone = run(&data, &["import", "--undo", id, "--reason", "wrong file"]);
    assert_eq!(code(&undone), 0, "{}", err(&undone));
    assert!(
        out(&undone).contains(&format!("{entries} of {entries} entries were withdrawn, 0 were kept")),
        "{}",
        out(&undone)
    );
    assert_ne!(code(&run(&data, &["child", "701"])), 0);
    assert_eq!(code(&run(&data, &["verify"])), 0);
    let again = run(&data, &["import", "--undo", id, "--reason", "wrong file"]);
    assert_eq!(code(&again), 1);
    assert!(err(&again).contains("has been undone already"), "{}", err(&again));
    let unknown = run(&data, &["import", "--undo", "01907e2a-0000-7000-8000-0000000000e1", "--reason", "x"]);
    assert!(err(&unknown).contains("There is no import"), "{}", err(&unknown));

    let sheet = dir.path().join("visits.csv");
    let report = json(&run(&data, &["import", sheet.to_str().unwrap(), "--json"]));
    assert_eq!(report["entries"].as_u64(), Some(entries), "the file can be imported again");
}

#[test]
fn check_only_writes_nothing_at_all() {
    let dir = tempfile::tempdir().unwrap();
    let sheet = dir.path().join("visits.csv");
    fs::write(&sheet, SHEET).unwrap();
    let data = dir.path().join("data");
    let report = json(&run(&data, &["import", sheet.to_str().unwrap(), "--check-only", "--json"]));
    assert_eq!(
        (&report["rows"], &report["children"], &report["assessments"]),
        (&4.into(), &2.into(), &3.into())
    );
    assert_eq!(report["not_plain"][0]["row"], 5, "row 1 is the header");
    assert_eq!(report["not_plain"][0]["reason"], "impossible-score");
    assert!(!data.exists() && fs::read_dir(dir.path()).unwrap().count() == 1);
}

#[test]
fn child_answers_by_number_and_by_id_in_words_and_as_json() {
    let (_dir, data) = imported();
    let child = json(&run(&data, &["child", "701", "--json"]));
    for key in ["child", "as_of", "feet", "attention", "questions", "number", "name"] {
        assert!(child.get(key).is_some(), "{key} is missing from {child}");
    }
    let foot = &child["feet"][0];
    for key in ["side", "phase", "episode", "casts", "last_cast_on", "scores", "next"] {
        assert!(foot.get(key).is_some(), "{key} is missing from {foot}");
    }
    assert_eq!((&foot["side"], &foot["phase"]), (&"right".into(), &"in-correction".into()));
    assert_eq!((&foot["casts"], &foot["last_cast_on"]), (&2.into(), &"2025-02-20".into()));
    // 1 + 0.5 + 1 + 0.5 + 1 + 0.5 = 4.5.
    assert_eq!(foot["scores"][1]["total"], 4.5);
    assert!(!foot["next"]["because"][0]["source"].as_str().unwrap().is_empty());

    let id = child["child"].as_str().unwrap();
    assert_eq!(json(&run(&data, &["child", id, "--json"]))["number"], "701");
    let before = json(&run(&data, &["child", "701", "--as-of", "2025-02-14", "--json"]));
    assert_eq!((&before["as_of"], &before["feet"][0]["casts"]), (&"2025-02-14".into(), &1.into()));
    let text = out(&run(&data, &["child", "701"]));
    assert!(
        text.contains("Lio Brannock") && text.contains("because") && text.contains("does not replace"),
        "{text}"
    );
    let forecast = &foot["forecast"];
    assert_eq!(forecast["stage"], "in-casts", "{forecast}");
    let chance = |value: &Value| value.as_f64().unwrap();
    let tenotomy = &forecast["tenotomy"];
    assert!(chance(&tenotomy["low"]) <= chance(&tenotomy["chance"]), "{tenotomy}");
    assert!(chance(&tenotomy["chance"]) <= chance(&tenotomy["high"]), "{tenotomy}");
    let (half, most) = (&forecast["brace"]["windows"]["50"], &forecast["brace"]["windows"]["90"]);
    let ends = [&most["from"], &half["from"], &half["to"], &most["to"]].map(|day| day.as_str().unwrap());
    assert!(ends.is_sorted(), "the half lies within the nine in ten: {ends:?}");
    assert_eq!(forecast["basis"]["finished_feet"], 0, "no foot of this clinic is finished");
    assert!(
        text.contains("Forecast, if the child continues to attend")
            && text.contains("Published cohorts only")
    );
    let nobody = run(&data, &["child", "999"]);
    assert_eq!((code(&nobody), err(&nobody).lines().count()), (1, 1), "{}", err(&nobody));
}

#[test]
fn due_lists_who_is_due_with_reasons() {
    let (_dir, data) = imported();
    let due = json(&run(&data, &["due", "--within", "7", "--json"]));
    let rows = due.as_array().unwrap();
    assert_eq!(rows.len(), 2, "both children wait for a cast: {due}");
    for row in rows {
        for key in ["child", "action", "from", "to", "because", "cautions", "attention"] {
            assert!(row.get(key).is_some(), "{key} is missing from {row}");
        }
        for key in ["fact", "rule", "source"] {
            assert!(!row["because"][0][key].as_str().unwrap().is_empty(), "{key}: {row}");
        }
    }
    let all = json(&run(&data, &["due", "--all", "--json"]));
    assert_eq!(all.as_array().unwrap().len(), 2);
    let early = json(&run(&data, &["due", "--as-of", "2025-01-01", "--all", "--json"]));
    assert_eq!(early.as_array().unwrap().len(), 0, "nobody was known then");
    let text = out(&run(&data, &["due"]));
    assert!(text.contains("Lio Brannock") && text.contains("because"), "{text}");
    assert_eq!(code(&run(&data, &["due", "--all", "--within", "3"])), 2);
}

#[test]
fn verify_is_content_with_what_it_wrote_itself() {
    let (_dir, data) = imported();
    let output = run(&data, &["verify"]);
    assert_eq!(code(&output), 0, "{}", err(&output));
    assert!(out(&output).contains("Nothing was changed or lost"), "{}", out(&output));
}

/// The invented clinic has finished feet enough for every figure but perhaps the reliability line.
#[test]
fn backtest_reports_on_an_invented_clinic_and_on_one_without_finished_feet() {
    let (_dir, data) = imported();
    let args = ["backtest", "--demo", "--seed", "3", "--children", "60"];
    let report = json(&run(&data, &[&args[..], &["--json"]].concat()));
    assert!(report["feet"].as_u64().unwrap() > 0, "{report}");
    assert_eq!(report["as_of"], "2025-03-04");
    for size in ["50", "90"] {
        let coverage = report["windows"][size]["coverage"].as_f64().unwrap();
        assert!((0.0..=1.0).contains(&coverage), "{coverage}");
        assert!(report["windows"][size]["mean_days"].as_f64().unwrap() >= 1.0);
    }
    assert!(report["casts"]["mean_abs_error"].is_number());
    assert!(report["tenotomy"]["log_score"].is_number() && report["tenotomy"]["brier"].is_number());
    let names = report["tenotomy"]["baselines"].as_array().unwrap();
    assert_eq!(names.len(), 2, "{names:?}");
    let text = out(&run(&data, &args));
    assert!(
        text.contains("How well the forecasts would have done") && text.contains("rule of thumb"),
        "{text}"
    );
    let none = json(&run(&data, &["backtest", "--json"]));
    assert_eq!(none["feet"], 0);
    assert!(none["windows"]["90"]["coverage"].is_null());
    let notes = none["notes"].as_array().unwrap();
    assert!(notes.iter().any(|note| note.as_str().unwrap().contains("nothing to test on")), "{notes:?}");
    assert_eq!(code(&run(&data, &["backtest", "--seed", "3"])), 2, "a seed belongs to the invented clinic");
}

#[test]
fn export_is_read_back_by_import() {
    let (dir, data) = imported();
    for name in ["out.csv", "out.xlsx"] {
        let file = dir.path().join(name);
        let output = run(&data, &["export", file.to_str().unwrap()]);
        assert_eq!(code(&output), 0, "{}", err(&output));
        let fresh = dir.path().join(format!("fresh-{name}"));
        let report = json(&run(&fresh, &["import", file.to_str().unwrap(), "--json"]));
        assert_eq!((&report["children"], &report["assessments"]), (&2.into(), &3.into()), "{name}: {report}");
        let again = run(&data, &["export", file.to_str().unwrap()]);
        assert_eq!(code(&again), 1, "a file that is there is not written over");
    }
    let odd = run(&data, &["export", dir.path().join("out.pdf").to_str().unwrap()]);
    assert_eq!((code(&odd), err(&odd).lines().count()), (2, 1), "{}", err(&odd));
}

#[test]
fn help_shows_examples_and_exit_codes_and_every_shell_has_completions() {
    let dir = tempfile::tempdir().unwrap();
    let help = out(&run(dir.path(), &["--help"]));
    assert!(help.contains("Examples:") && help.contains("Exit codes:") && help.contains("demo"), "{help}");
    assert!(!help.contains("--today"));
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let text = out(&run(dir.path(), &["completions", shell]));
        assert!(text.contains("plantigrade") && text.contains("import"), "{shell}");
    }
    assert_eq!(code(&run(dir.path(), &["due", "--as-of", "0202-01-01"])), 2);
    assert_eq!(code(&run(dir.path(), &["reap"])), 2);
}
