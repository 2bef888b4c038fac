//! Files that are read on trial by a child process: what ends or holds up the child process does not reach the server.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::{
    clinic::Clinic,
    importing::{SHEET, csrf, upload},
};
use axum::http::StatusCode;
use plantigrade::trial_reading::{TrialError, TrialKind, TrialLimits, TrialReader};
use std::{fmt::Write as _, path::PathBuf};

fn reader(limits: TrialLimits) -> TrialReader {
    TrialReader::of_program(PathBuf::from(env!("CARGO_BIN_EXE_plantigrade")), limits)
}

fn sheet() -> TrialKind {
    TrialKind::Sheet { name: "visits.csv".to_owned(), map: None }
}

/// An invented sheet of visits with this many rows.
fn rows(count: usize) -> String {
    let mut text = "number,name,date of birth,date,side,total\n".to_owned();
    for row in 0..count {
        writeln!(text, "H-{row},Child {row},2024-01-02,2024-02-0{},right,4", row % 9 + 1).unwrap();
    }
    text
}

/// Memory in which a small sheet can be read and a large one cannot: the least, in steps of 16 MB, in which a small one
/// is. The program itself takes most of it, and more with each library.
#[cfg(target_os = "linux")]
fn little() -> TrialLimits {
    let mut limits = (4..32).map(|steps| TrialLimits { most_memory: steps << 24, ..TrialLimits::default() });
    let enough = |limits: &TrialLimits| reader(*limits).read(sheet(), &[rows(20).as_bytes()]).is_ok();
    limits.find(enough).expect("half a gigabyte is enough for a small sheet")
}

#[test]
fn a_sheet_a_damaged_workbook_and_a_logger_file_are_read_to_their_end() {
    let reader = reader(TrialLimits::default());
    reader.read(sheet(), &[rows(20).as_bytes()]).unwrap();
    // Refused with a sentence by the reader itself, and so no business of the trial.
    let damaged = [b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1".as_slice(), &[0xfe; 4096]].concat();
    reader.read(TrialKind::Sheet { name: "visits.xls".into(), map: None }, &[&damaged]).unwrap();
    let logger = TrialKind::Logger { zone: String::new() };
    reader.read(logger, &[b"time,celsius\n2024-03-01 10:00,31.5\n", b"", b""]).unwrap();
}

#[cfg(target_os = "linux")]
#[test]
fn a_file_that_needs_more_memory_than_allowed_ends_the_child_process_alone() {
    let large = rows(200_000);
    let little = little();
    let refused = reader(little).read(sheet(), &[large.as_bytes()]).unwrap_err();
    assert!(matches!(refused, TrialError::Ended), "{refused}");
    assert!(refused.to_string().contains("Nothing was changed."), "{refused}");
    reader(little).read(sheet(), &[rows(20).as_bytes()]).expect("the limit leaves room for a small sheet");
}

#[test]
fn a_file_that_takes_too_long_is_given_up() {
    let hasty = TrialLimits { longest_seconds: 0, ..TrialLimits::default() };
    let refused = reader(hasty).read(sheet(), &[rows(50_000).as_bytes()]).unwrap_err();
    assert!(matches!(refused, TrialError::TooLong(0)), "{refused}");
}

#[test]
fn a_program_that_is_not_there_reads_nothing() {
    let missing = TrialReader::of_program(PathBuf::from("no/such/program"), TrialLimits::default());
    let refused = missing.read(sheet(), &[b"a,b\n1,2\n"]).unwrap_err();
    assert!(matches!(refused, TrialError::NotStarted(_)), "{refused}");
}

#[cfg(target_os = "linux")]
#[tokio::test]
async fn the_server_answers_a_file_that_would_end_it_and_takes_the_next_one() {
    let little = little();
    let (clinic, mut browser) = Clinic::signed_in_with(reader(little)).await;
    let csrf = csrf(&mut browser).await;
    let page = upload(&mut browser, &csrf, "visits.csv", rows(200_000).as_bytes()).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.shown("main").contains("needs more memory than is allowed"), "{}", page.shown("main"));
    let page = upload(&mut browser, &csrf, "visits.csv", SHEET.as_bytes()).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    assert_eq!(clinic.app.records.children_count().unwrap(), 0, "a preview alone writes nothing");
}
