//! Every command of the program as every role: what happens is what `docs/rights.md` says. And the commands about
//! people, which are the way back in after a lost password.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::{
    clinic::{Browser, Clinic, NAME, PASSWORD, TODAY},
    commands::{PROGRAM, WITNESSES, code, err, opened, out, run},
    rights::{ROLES, table},
};
use axum::http::StatusCode;
use clap::CommandFactory;
use plantigrade::{cli::Cli, clock::Clock, routes};
use record::Roles;
use std::{
    collections::BTreeSet,
    fs,
    io::Write,
    path::Path,
    process::{Command, Output, Stdio},
    sync::Arc,
};

/// Exit code of what is refused for want of a right.
pub const NOT_ALLOWED: i32 = 7;

/// A folder of records with a person of each role, named by it, and a colleague.
pub fn folder() -> tempfile::TempDir {
    let clinic = Clinic::new();
    clinic.account("colleague", PASSWORD);
    for role in ROLES {
        let user = clinic.account(role.key(), PASSWORD);
        clinic.app.records.accounts().set_roles(user, Roles::NONE.with(role)).unwrap();
    }
    clinic.dir
}

/// Runs a command with a password on standard input.
pub fn run_as(data: &Path, args: &[&str], password: &str) -> Output {
    let mut command = Command::new(PROGRAM);
    command.env(WITNESSES.0, WITNESSES.1);
    command.args(args).env("PLANTIGRADE_DATA", data).env_remove("DISPLAY").env_remove("WAYLAND_DISPLAY");
    command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().unwrap();
    // A command that does not read it may have ended.
    let _ = child.stdin.take().unwrap().write_all(format!("{password}\n").as_bytes());
    child.wait_with_output().unwrap()
}

/// The commands of the program with those below them, as words.
fn every_command() -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for command in Cli::command().get_subcommands() {
        let name = command.get_name();
        let below: Vec<String> =
            command.get_subcommands().map(|sub| format!("{name} {}", sub.get_name())).collect();
        if below.is_empty() {
            found.insert(name.to_owned());
        } else {
            found.extend(below)
        }
    }
    found
}

/// A command line that gets as far as it may and then does little: a file that is not there, an address that is not
/// allowed.
fn line(command: &str) -> Vec<&str> {
    let rest: &[&str] = match command {
        "serve" => &["serve", "--no-open", "--listen", "192.0.2.1:1"],
        "demo" => &["demo", "--children", "1", "--no-open", "--listen", "192.0.2.1:1"],
        "import" => &["import", "nowhere.csv"],
        "export" => &["export", "nowhere.txt"],
        "child" => &["child", "4711"],
        "due" => &["due"],
        "backtest" => &["backtest"],
        "backtest --demo" => &["backtest", "--demo", "--children", "1"],
        "audit" => &["audit"],
        "capacity" => &["capacity", "nowhere.toml"],
        "capacity --demo" => &["capacity", "nowhere.toml", "--demo"],
        "survival" => &["survival", "nowhere.csv", "--time", "t", "--event", "e"],
        "agreement" => &["agreement", "nowhere.csv", "--subject", "s", "--rater", "r", "--score", "c"],
        "wear" => &["wear", "nowhere.csv"],
        "verify" => &["verify"],
        "completions" => &["completions", "bash"],
        "family-copy" => &["family-copy", "4711"],
        "erasure list" => &["erasure", "list"],
        "erasure request" => &["erasure", "request", "4711", "--reason", "none", "--basis", "none"],
        "erasure carry-out" => &["erasure", "carry-out", "1", "--number", "4711"],
        "erasure refuse" => &["erasure", "refuse", "1"],
        "retention" => &["retention"],
        "access-log list" => &["access-log", "list"],
        "access-log verify" => &["access-log", "verify"],
        "accept-records" => &["accept-records", "--reason", "a copy was put back"],
        // A folder that cannot be made.
        "salvage" => &["salvage", "--to", "/dev/null/none"],
        "backup" => &["backup", "--to", "/nowhere"],
        "drill" => &["drill", "--of", "/nowhere"],
        "restore" => {
            &["restore", "/nowhere.backup", "--to", "/nowhere", "--reason", "none", "--passphrase-stdin"]
        }
        "take-back-upgrade" => &["take-back-upgrade"],
        // Stopped before the passphrase: the copy cannot be made, and the records are not encrypted.
        "encrypt" => &["encrypt", "--backup", "/dev/null/none", "--sheet", "/dev/null/none"],
        "change-key" => &["change-key", "--sheet", "/dev/null/none"],
        "recovery-sheet" => &["recovery-sheet", "--sheet", "/dev/null/none"],
        "people list" => &["people", "list"],
        "people add" => &["people", "add", "colleague", "--name", "Taken", "--role", "auditor"],
        "people rename" => &["people", "rename", "colleague", "--name", "Bo"],
        "people roles" => &["people", "roles", "colleague", "--role", "clinician,coordinator"],
        "people disable" => &["people", "disable", "colleague"],
        "people enable" => &["people", "enable", "colleague"],
        "people reset-password" => &["people", "reset-password", "colleague"],
        "people end-sessions" => &["people", "end-sessions", "colleague"],
        "people reset-second-factor" => &["people", "reset-second-factor", "colleague", "--why", "lost"],
        other => panic!("there is no command line to try {other} with"),
    };
    rest.to_vec()
}

/// "yes" or "–".
fn happened(output: &Output) -> &'static str {
    let told = err(output);
    assert!(!told.contains("Usage:") && !told.contains("panicked"), "{told}");
    if code(output) == NOT_ALLOWED { "–" } else { "yes" }
}

#[test]
fn every_command_answers_every_role_as_the_table_says() {
    let dir = folder();
    fs::write(dir.path().join("clinic.toml"), "commands_require_sign_in = true\n").unwrap();
    let (mut cells, mut differ, mut named) = (0, Vec::new(), BTreeSet::new());
    for row in table("Commands") {
        let command = row[0].trim_matches('`');
        named.insert(command.split(" --").next().unwrap().to_owned());
        assert_eq!(row.len(), 2 + ROLES.len(), "{row:?}");
        let mut check = |who: &str, said: &str, output: &Output| {
            cells += 1;
            let happened = happened(output);
            if happened != said {
                differ.push(format!(
                    "{command} by {who}: {said} in the table, but {}: {}",
                    code(output),
                    err(output)
                ));
            }
        };
        let nobody = run_as(dir.path(), &line(command), "");
        check("nobody", &row[1], &nobody);
        for (role, said) in ROLES.into_iter().zip(&row[2..]) {
            let mut args = line(command);
            // Where nothing is asked, nobody can say who runs it.
            if row[1] != "yes" {
                args.extend(["--as", role.key(), "--password-stdin"]);
            }
            check(role.key(), said, &run_as(dir.path(), &args, PASSWORD));
        }
    }
    assert_eq!(named, every_command(), "left: the table; right: the commands of the program");
    println!("{cells} cells of commands and roles compared");
    assert!(differ.is_empty(), "{}", differ.join("\n"));
}

#[test]
fn without_a_sign_in_the_owner_of_the_computer_runs_commands_as_before() {
    let dir = folder();
    for command in ["due", "verify", "people list", "audit"] {
        let output = run(dir.path(), &line(command));
        assert_eq!(code(&output), 0, "{command}: {}", err(&output));
    }
    let wrong = run_as(dir.path(), &["due", "--as", "clinician", "--password-stdin"], "not the password");
    assert_eq!(code(&wrong), NOT_ALLOWED);
    assert!(err(&wrong).contains("The name or the password is wrong"), "{}", err(&wrong));
    let unknown = run_as(dir.path(), &["due", "--as", "nobody", "--password-stdin"], PASSWORD);
    assert_eq!(err(&unknown), err(&wrong), "an unknown name reads the same");
    let lacking = run_as(dir.path(), &["due", "--as", "coordinator", "--password-stdin"], PASSWORD);
    assert_eq!(code(&lacking), NOT_ALLOWED);
    assert!(err(&lacking).contains("It needs the role treating clinician or lead"), "{}", err(&lacking));
    let no_terminal = run_as(dir.path(), &["due", "--as", "lead"], PASSWORD);
    assert_eq!(code(&no_terminal), 2);
    assert!(err(&no_terminal).contains("--password-stdin"), "{}", err(&no_terminal));
}

/// The one-time password that a command printed.
fn one_time(output: &Output) -> String {
    assert_eq!(code(output), 0, "{}", err(output));
    let text = out(output);
    let password = text.lines().next().unwrap().rsplit(' ').next().unwrap().to_owned();
    assert_eq!(password.len(), 19, "{text}");
    password
}

#[tokio::test]
async fn after_a_lost_password_a_command_leads_back_in() {
    let dir = folder();
    let password = one_time(&run(dir.path(), &["people", "reset-password", "LEAD"]));
    let early = run_as(dir.path(), &["due", "--as", "lead", "--password-stdin"], &password);
    assert_eq!(code(&early), NOT_ALLOWED, "a one-time password only chooses an own one");
    let clock = Clock::new(Some(TODAY.parse().unwrap()));
    let app = Arc::new(opened(dir.path(), clock));
    let mut browser = Browser::new(routes::router(app));
    assert_eq!(browser.sign_in("lead", PASSWORD).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    let page = browser.sign_in("lead", &password).await;
    let choose = page.location().to_owned();
    assert!(choose.starts_with("/choose-password/"), "{}", page.text);
    let own = [("password", "a lantern on the mole"), ("password_again", "a lantern on the mole")];
    let page = browser.send(&choose, &choose, &own).await;
    assert_eq!(page.location(), "/day", "{}", page.text);
    assert_eq!(browser.get("/people").await.status, StatusCode::OK);
    // The running program holds the records.
    let output = run(dir.path(), &["people", "disable", "colleague"]);
    assert_eq!(code(&output), 5, "{}", err(&output));
}

#[test]
fn people_are_added_renamed_disabled_and_listed() {
    let dir = folder();
    one_time(&run(
        dir.path(),
        &["people", "add", "bo", "--name", "Bo Henriksen", "--role", "clinician,auditor"],
    ));
    let taken = run(dir.path(), &["people", "add", "BO", "--name", "Another", "--role", "auditor"]);
    assert_eq!(code(&taken), 1);
    assert!(err(&taken).contains("already an account"), "{}", err(&taken));
    for args in [
        &["people", "rename", "bo", "--sign-in-name", "bo.h"][..],
        &["people", "roles", "bo.h", "--role", "coordinator"],
        &["people", "disable", "bo.h"],
    ] {
        let output = run(dir.path(), args);
        assert_eq!(code(&output), 0, "{args:?}: {}", err(&output));
    }
    let list = run(dir.path(), &["people", "list", "--json"]);
    let list: serde_json::Value = serde_json::from_str(&out(&list)).unwrap();
    let bo =
        list["people"].as_array().unwrap().iter().find(|one| one["sign_in_name"] == "bo.h").unwrap().clone();
    assert_eq!(
        (&bo["name"], &bo["roles"], &bo["disabled"], &bo["sessions"]),
        (&"Bo Henriksen".into(), &serde_json::json!(["coordinator"]), &true.into(), &0.into())
    );
    assert!(
        out(&run(dir.path(), &["people", "list"])).contains("bo.h: Bo Henriksen (coordinator), disabled")
    );
    for (args, said) in [
        (&["people", "disable", "nobody"][..], "Nobody signs in as “nobody”"),
        (&["people", "roles", "bo.h", "--role", "boss"], "expected clinician, coordinator"),
    ] {
        let output = run(dir.path(), args);
        assert_ne!(code(&output), 0);
        assert!(err(&output).contains(said), "{}", err(&output));
    }
    // The colleague is a lead too, so that one of the two can go.
    assert_eq!(code(&run(dir.path(), &["people", "disable", "colleague"])), 0);
    let last = run(dir.path(), &["people", "disable", "lead"]);
    assert_eq!(code(&last), 1);
    assert!(err(&last).contains("make somebody else a lead first"), "{}", err(&last));
}

#[test]
fn the_first_person_of_an_empty_clinic_is_a_lead() {
    let dir = tempfile::tempdir().unwrap();
    let output = run(dir.path(), &["people", "add", NAME, "--name", "Ida", "--role", "auditor"]);
    assert_eq!(code(&output), 2, "{}", err(&output));
    assert!(err(&output).contains("has to be a lead"), "{}", err(&output));
    one_time(&run(dir.path(), &["people", "add", NAME, "--name", "Ida", "--role", "lead,clinician"]));
}

#[test]
fn what_a_person_imports_is_written_by_that_person() {
    let dir = folder();
    let sheet = dir.path().join("visits.csv");
    fs::write(&sheet, "number,name,date,side,total\nK1,Ole By,2025-02-03,R,4.5\n").unwrap();
    let args = ["import", sheet.to_str().unwrap(), "--as", "lead", "--password-stdin"];
    let output = run_as(dir.path(), &args, PASSWORD);
    assert_eq!(code(&output), 0, "{}{}", out(&output), err(&output));
    let app = opened(dir.path(), Clock::new(Some(TODAY.parse().unwrap())));
    let lead = app.records.accounts().account_by_name("lead").unwrap().unwrap().id;
    let child = app.records.by_number("K1").unwrap()[0];
    let entries = app.records.entries(child).unwrap();
    assert!(!entries.is_empty() && entries.iter().all(|entry| entry.by == lead), "{entries:?}");
}
