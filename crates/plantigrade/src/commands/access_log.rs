//! `access-log`: who opened which record, and whether that log was changed.

use super::{Reading, print, print_sorted};
use crate::{
    access_table::{AccessRowOut, RowNames, children_meant, outcome_words, what_words},
    cli::{AccessListArgs, AccessLogArgs, AccessLogCommand, AccessVerifyArgs},
    clock::{self, local_words},
    exit::{Exit, Failure},
};
use clinic::{ACCESS_CHECK_WORDS, AccessFilter, AccessHead, AccessReport, AccessRow};
use serde::Serialize;
use std::fmt::Write as _;

/// Lists or checks the access log.
///
/// # Errors
/// When the records or the log cannot be read, or the check finds something wrong.
pub fn access_log(args: &AccessLogArgs) -> Result<(), Failure> {
    match &args.command {
        AccessLogCommand::List(args) => list(args),
        AccessLogCommand::Verify(args) => verify(args),
    }
}

/// The rows wanted, the latest first.
#[derive(Debug, Serialize)]
struct AccessListed {
    /// The number of all rows that are wanted, of which at most `--limit` are listed.
    total: usize,
    rows: Vec<AccessRowOut>,
}

fn list(args: &AccessListArgs) -> Result<(), Failure> {
    let reading = Reading::open(&args.signed.data)?;
    let filter = filter(&reading, args)?;
    let (rows, total) = reading.records.access_log_beside().rows(&filter, 0, args.limit as usize)?;
    let mut names = RowNames::default();
    if args.json {
        let rows = rows.into_iter().map(|row| names.row(&reading.records, row)).collect();
        return print_sorted(&AccessListed { total, rows });
    }
    let mut text = format!("{} of {total} rows, the latest first\n\n", rows.len());
    for row in rows {
        text.push_str(&line(&reading, &mut names, row));
    }
    print(&text)
}

fn filter(reading: &Reading, args: &AccessListArgs) -> Result<AccessFilter, Failure> {
    let accounts = reading.records.accounts();
    let nobody = args.person.as_deref() == Some("nobody");
    let person =
        match args.person.as_deref().filter(|_| !nobody) {
            Some(name) => Some(accounts.account_by_name(name)?.ok_or_else(|| {
                Failure::failed(format!("There is nobody with the sign-in name “{name}”."))
            })?),
            None => None,
        };
    let children = match &args.child {
        Some(text) => {
            let search = |text: &str, limit| reading.records.search(text, limit);
            Some(children_meant(&reading.records, text, search)?)
        }
        None => None,
    };
    Ok(AccessFilter {
        children,
        person: person.map(|account| account.id),
        not_signed_in: nobody,
        device: args.device.clone(),
        from: args.from.map(|day| clock::end_of(day - 1)),
        before: args.to.map(clock::end_of),
        refused: args.refused,
        restricted_openings: args.restricted,
    })
}

fn line(reading: &Reading, names: &mut RowNames, row: AccessRow) -> String {
    let (act, outcome, at) = (row.event.act, row.event.outcome, row.event.at);
    let AccessRowOut { row, person, device, child_id, child_number, what, note, .. } =
        names.row(&reading.records, row);
    let person = person.unwrap_or_else(|| "not signed in".to_owned());
    let child = child_id.map(|id| child_number.unwrap_or_else(|| id.to_string())).unwrap_or_default();
    let outcome = outcome_words(outcome, &note);
    let outcome = if outcome.is_empty() { "opened" } else { &outcome };
    format!(
        "{row:>7}  {:26}  {person:24}  {child:12}  {:30}  {device:16}  {outcome}\n",
        local_words(at),
        what_words(act, &what)
    )
}

/// The result of a check.
#[derive(Debug, Serialize)]
struct AccessChecked {
    rows: i64,
    sound: bool,
    /// Rows whose key is no longer there: whether they were changed cannot be told.
    unjudged: i64,
    /// Rows that say that others are missing.
    gaps: i64,
    faults: Vec<String>,
    faults_count: usize,
    last_row: Option<i64>,
    fingerprint: Option<String>,
    /// Whether the row that was asked for has the fingerprint that was noted; `null` if none was.
    noted_agrees: Option<bool>,
    shows: &'static str,
}

fn verify(args: &AccessVerifyArgs) -> Result<(), Failure> {
    let reading = Reading::open(&args.signed.data)?;
    let log = reading.records.access_log_beside();
    let report = log.check()?;
    let noted_agrees = match (args.row, &args.fingerprint) {
        (Some(row), Some(fingerprint)) => Some(log.has_fingerprint(row, fingerprint)?),
        _ => None,
    };
    let result = AccessChecked {
        rows: report.rows,
        sound: report.is_sound(),
        unjudged: report.unjudged,
        gaps: report.gaps,
        faults: report.faults.iter().map(|fault| fault.text.clone()).collect(),
        faults_count: report.faults_count,
        last_row: report.head.map(|head| head.rows),
        fingerprint: report.head.as_ref().map(AccessHead::fingerprint),
        noted_agrees,
        shows: ACCESS_CHECK_WORDS,
    };
    if args.json {
        print_sorted(&result)?
    } else {
        print(&as_text(&report, noted_agrees))?
    }
    if report.is_sound() && noted_agrees != Some(false) {
        return Ok(());
    }
    Err(Failure {
        exit: Exit::Damaged,
        sentence: "The access log is not as it was written. Keep a copy of the data folder, and find out who could write to it.".to_owned(),
    })
}

fn as_text(report: &AccessReport, noted_agrees: Option<bool>) -> String {
    let mut text = format!("{report}\n");
    // Writing to a string does not fail.
    let _ = match noted_agrees {
        Some(true) => writeln!(text, "The row has the fingerprint that was noted."),
        Some(false) => writeln!(text, "The row does not have the fingerprint that was noted."),
        None => Ok(()),
    };
    text
}
