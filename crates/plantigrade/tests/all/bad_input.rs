//! Bad input: one clear sentence, nothing lost, nothing half-written.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::{
    clinic::{AMINA, Clinic},
    commands::{PROGRAM, WITNESSES, code, err, out, run},
    importing::SHEET,
};
use axum::http::StatusCode;
use std::{
    fs,
    io::{BufRead, BufReader, Read, Write},
    net::TcpStream,
    path::Path,
    process::{Child, Command, Stdio},
};

/// A running server, ended with its guard.
pub struct Server {
    process: Child,
    pub address: String,
    pub told: String,
}

impl Server {
    pub fn start(args: &[&str]) -> Self {
        Self::of(Command::new(PROGRAM).env(WITNESSES.0, WITNESSES.1).args(args).args([
            "--listen",
            "127.0.0.1:0",
            "--no-open",
        ]))
    }

    /// The server that a command starts.
    pub fn of(command: &mut Command) -> Self {
        let mut process = command.stdout(Stdio::piped()).stderr(Stdio::null()).spawn().unwrap();
        let mut lines = BufReader::new(process.stdout.take().unwrap()).lines();
        let mut told = String::new();
        let address = loop {
            let line = lines.next().expect("the server ended before it told its address").unwrap();
            told.push_str(&line);
            told.push('\n');
            if let Some((_, rest)) = line.split_once("http://").or_else(|| line.split_once("https://")) {
                break rest.split('/').next().unwrap().to_owned();
            }
        };
        Self { process, address, told }
    }

    /// The same, with everything that it tells until a line that begins so.
    pub fn start_and_hear(args: &[&str], until: &str) -> Self {
        let mut command = Command::new(PROGRAM);
        let mut process = command
            .env(WITNESSES.0, WITNESSES.1)
            .args(args)
            .args(["--listen", "127.0.0.1:0", "--no-open"])
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let lines = BufReader::new(process.stdout.take().unwrap()).lines().map(Result::unwrap);
        let told: Vec<String> = lines.take_while(|line| !line.starts_with(until)).collect();
        let here = told.iter().find_map(|line| line.split_once("http://")).expect("no address was told").1;
        let address = here.split('/').next().unwrap().to_owned();
        Self { process, address, told: told.join("\n") }
    }

    pub fn get(&self, path: &str) -> String {
        let mut stream = TcpStream::connect(&self.address).unwrap();
        write!(stream, "GET {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n", self.address).unwrap();
        let mut answer = String::new();
        stream.read_to_string(&mut answer).unwrap();
        answer
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

pub fn one_sentence(output: &std::process::Output) {
    let said = err(output);
    assert_eq!(said.trim_end().lines().count(), 1, "{said}");
    assert!(said.trim_end().ends_with(['.', '!']) && !said.contains("panicked"), "{said}");
}

#[test]
fn other_machines_are_not_answered_without_encryption() {
    let dir = tempfile::tempdir().unwrap();
    for args in [["serve", "--listen", "0.0.0.0:0"], ["demo", "--listen", "0.0.0.0:0"]] {
        let output = run(dir.path(), &args);
        assert_eq!(code(&output), 2, "{}", err(&output));
        one_sentence(&output);
        assert!(err(&output).contains("--behind-proxy"));
    }
}

#[test]
fn a_protocol_file_that_cannot_be_used_stops_the_start_with_its_line() {
    let dir = tempfile::tempdir().unwrap();
    fs::write(dir.path().join("protocol.toml"), "# ours\n[casting]\ninterval_days = 700\n").unwrap();
    for args in [&["serve", "--no-open"][..], &["due"][..]] {
        let output = run(dir.path(), args);
        assert_eq!(code(&output), 6, "{}", err(&output));
        one_sentence(&output);
        assert!(err(&output).contains("line 3"), "{}", err(&output));
    }
    fs::write(dir.path().join("protocol.toml"), "").unwrap();
    fs::write(dir.path().join("clinic.toml"), "weekdays = [\"someday\"]").unwrap();
    let output = run(dir.path(), &["serve", "--no-open"]);
    assert_eq!(code(&output), 6, "{}", err(&output));
}

#[test]
fn a_second_process_is_told_where_the_first_is_and_reading_goes_on() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let server = Server::start(&["serve", "--data", data.to_str().unwrap()]);
    assert!(server.told.contains("First start"), "{}", server.told);
    assert!(server.get("/health").ends_with("ok"));
    let second = run(&data, &["serve", "--no-open", "--listen", "127.0.0.1:0"]);
    assert_eq!(code(&second), 5, "{}", err(&second));
    one_sentence_but_address(&second);
    assert!(err(&second).contains(&server.address), "{}", err(&second));
    let sheet = dir.path().join("visits.csv");
    fs::write(&sheet, SHEET).unwrap();
    assert_eq!(code(&run(&data, &["import", sheet.to_str().unwrap()])), 5);
    for args in [&["due"][..], &["verify"][..]] {
        let output = run(&data, args);
        assert_eq!(code(&output), 0, "{args:?}: {}", err(&output));
    }
    let look = run(&data, &["import", sheet.to_str().unwrap(), "--check-only"]);
    assert!(out(&look).contains("nothing was written"), "{}{}", out(&look), err(&look));
}

fn one_sentence_but_address(output: &std::process::Output) {
    assert_eq!(err(output).trim_end().lines().count(), 1, "{}", err(output));
}

fn damaged(data: &Path) {
    let file = data.join(clinic::FILE_NAME);
    let mut bytes = fs::read(&file).unwrap();
    for byte in bytes.iter_mut().skip(4096) {
        *byte ^= 0x5a;
    }
    fs::write(&file, &bytes).unwrap();
}

#[test]
fn a_damaged_database_is_said_to_be_damaged_and_left_as_it_is() {
    let dir = tempfile::tempdir().unwrap();
    let sheet = dir.path().join("visits.csv");
    fs::write(&sheet, SHEET).unwrap();
    let data = dir.path().join("data");
    run(&data, &["import", sheet.to_str().unwrap()]);
    damaged(&data);
    let before = fs::read(data.join(clinic::FILE_NAME)).unwrap();
    for args in [
        &["due"][..],
        &["child", "701"][..],
        &["verify"][..],
        &["serve", "--no-open", "--listen", "127.0.0.1:0"][..],
    ] {
        let output = run(&data, args);
        assert_eq!(code(&output), 4, "{args:?}: {}{}", out(&output), err(&output));
        assert!(!err(&output).contains("panicked") && !err(&output).trim().is_empty(), "{}", err(&output));
    }
    assert_eq!(fs::read(data.join(clinic::FILE_NAME)).unwrap(), before);
}

#[test]
fn another_file_under_the_name_of_the_records_is_not_touched() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join(clinic::FILE_NAME);
    fs::write(&file, "Dear diary, today we cast three feet.".repeat(300)).unwrap();
    let before = fs::read(&file).unwrap();
    for args in [&["due"][..], &["serve", "--no-open", "--listen", "127.0.0.1:0"][..]] {
        let output = run(dir.path(), args);
        assert_eq!(code(&output), 4, "{args:?}: {}", err(&output));
        one_sentence(&output);
    }
    assert_eq!(fs::read(&file).unwrap(), before);
}

#[test]
fn a_file_that_is_not_what_its_name_says_gets_one_sentence() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let cases: [(&str, Vec<u8>); 4] = [
        ("visits.xlsx", b"%PDF-1.4 nothing of the kind".to_vec()),
        ("visits.ods", b"\x00\x01\x02 nothing of the kind".to_vec()),
        ("empty.csv", Vec::new()),
        ("picture.csv", b"\x89PNG\r\n\x1a\n\x00\x00\x00\x0dIHDR\x00\x00".to_vec()),
    ];
    for (name, bytes) in cases {
        let file = dir.path().join(name);
        fs::write(&file, bytes).unwrap();
        let output = run(&data, &["import", file.to_str().unwrap()]);
        assert_eq!(code(&output), 4, "{name}: {}{}", out(&output), err(&output));
        one_sentence(&output);
        assert!(err(&output).contains(name), "{}", err(&output));
    }
    let gone = run(&data, &["import", dir.path().join("gone.csv").to_str().unwrap()]);
    assert_eq!(code(&gone), 1);
    one_sentence(&gone);
}

#[test]
fn nothing_to_read_is_said() {
    let dir = tempfile::tempdir().unwrap();
    for args in [&["due"][..], &["child", "1"][..], &["verify"][..]] {
        let output = run(&dir.path().join("none"), args);
        assert_eq!(code(&output), 1, "{}", err(&output));
        one_sentence(&output);
    }
    assert!(!dir.path().join("none").exists());
}

#[test]
fn a_row_of_ten_thousand_columns_and_a_year_0202_do_no_harm() {
    let dir = tempfile::tempdir().unwrap();
    let cells = ",x".repeat(10_000);
    let wide = format!("{SHEET}703,\"Wide, Row\",01/02/2025,F,20/02/2025,L,1,1,1,1,1,1,6,1{cells}\n");
    let sheet = dir.path().join("wide.csv");
    fs::write(&sheet, wide.replace("27/02/2025", "27/02/0202")).unwrap();
    let data = dir.path().join("data");
    let output = run(&data, &["import", sheet.to_str().unwrap(), "--json"]);
    assert!(matches!(code(&output), 3 | 4), "{}", err(&output));
    assert!(!err(&output).contains("panicked"), "{}", err(&output));
    if code(&output) == 3 {
        assert!(out(&output).contains("impossible-date"), "{}", out(&output));
    }
}

#[tokio::test]
async fn a_note_of_a_megabyte_goes_back_to_the_form_and_is_not_half_written() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let before = clinic.entries(child);
    let note = "ü".repeat(1 << 19); // one megabyte as stored, three as transmitted
    for (path, field) in
        [(format!("/child/{child}/add/note"), "text"), (format!("/child/{child}/visit"), "note")]
    {
        let page = browser.send(&path, &path, &[(field, note.as_str())]).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{path}");
        assert!(page.shown(".errors").contains("524288 characters"), "{}", page.shown(".errors"));
        assert_eq!(page.form(&path)[field].trim(), note, "what was typed is not lost");
    }
    let page = browser
        .send(
            &format!("/child/{child}/visit"),
            &format!("/child/{child}/visit"),
            &[("note", &"x".repeat(5 << 20))],
        )
        .await;
    assert_eq!(page.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert!(page.text.contains("4 MB"), "{}", page.text);
    assert_eq!(clinic.entries(child), before);
}

#[tokio::test]
async fn damage_found_while_serving_is_a_page_of_its_own() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = clinic.child(&mut browser, AMINA).await;
    let conn = rusqlite::Connection::open(clinic.dir.path().join(clinic::FILE_NAME)).unwrap();
    conn.execute("UPDATE entries SET wire = replace(wire, 'Amina', 'Amima')", []).unwrap();
    clinic.app.records.cache().clear();
    let page = browser.get(&format!("/child/{child}")).await;
    assert_eq!(page.status, StatusCode::INTERNAL_SERVER_ERROR);
    assert!(page.shown("h1").contains("damaged") && !page.text.contains("Amima"), "{}", page.text);
}

#[tokio::test]
async fn odd_requests_get_a_page_and_a_right_status() {
    let (_clinic, mut browser) = Clinic::signed_in().await;
    for (path, status) in [
        ("/nowhere", StatusCode::NOT_FOUND),
        ("/day?on=0202-01-01", StatusCode::UNPROCESSABLE_ENTITY),
        ("/day?on=%ff", StatusCode::UNPROCESSABLE_ENTITY),
        ("/child/x/entry/y", StatusCode::NOT_FOUND),
        ("/attention?page=-1", StatusCode::OK),
        ("/attention?rule=%3Cscript%3E", StatusCode::OK),
        ("/find?search=%00", StatusCode::OK),
    ] {
        let page = browser.get(path).await;
        assert_eq!(page.status, status, "{path}: {}", page.text);
        assert_eq!(page.count("h1"), 1, "{path}");
    }
    assert_eq!(browser.open(&format!("/find?q={}", "a".repeat(5000))).await.status, StatusCode::OK);
}
