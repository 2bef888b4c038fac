//! `erasure` and `retention`: asking for an erasure, carrying one out, and which records fall due.

use super::{Reading, child::find, print, print_sorted};
use crate::{
    admission::note_command,
    app, backing_up,
    cli::{DataArgs, ErasureArgs, ErasureCommand, ListErasuresArgs, RetentionArgs},
    clock::{Clock, local_words},
    erasing,
    exit::Failure,
    folder_key,
    settings::Settings,
};
use clinic::{AccessOutcome, ClinicRecords, NewErasureRequest, RecordsOptions, RetentionDue};
use record::{ChildId, Day, UserId};
use serde::Serialize;
use std::{fmt::Write as _, path::Path};

/// Lists, asks for or decides erasures.
///
/// # Errors
/// When the records cannot be used, nobody signed in, or the request is refused.
pub fn erasure(args: &ErasureArgs, person: Option<UserId>) -> Result<(), Failure> {
    match &args.command {
        ErasureCommand::List(args) => list(args),
        ErasureCommand::Request(args) => {
            let by = signed(person)?;
            let (records, clock) = open(&args.signed.data)?;
            let child = find(&Reading { records: records.clone(), clock }, &args.id)?;
            let (reason, basis) = (args.reason.clone(), args.basis.clone());
            let new = NewErasureRequest { child, entries: None, by, at: clock.now(), reason, basis };
            let entries = erasing::concerned(&records, child, None)?.len();
            let number = records.erasure_requests().add(new)?;
            let words = format!("Erasure asked for, request {number}.");
            note_command(
                &args.signed.data,
                person,
                "erasure request",
                Some(child),
                (AccessOutcome::Changed, &words),
            );
            print(&format!(
                "Request {number}: the whole record, {entries} entries. Another lead carries it out.\n"
            ))
        }
        ErasureCommand::CarryOut(args) => {
            let by = signed(person)?;
            let (records, clock) = open(&args.signed.data)?;
            carry_out((&args.signed.data.dir()?, &records), clock, args.request, by, &args.number)?;
            let child = child_of(&records, args.request)?;
            let words = format!("Erasure, request {}, carried out.", args.request);
            note_command(
                &args.signed.data,
                person,
                "erasure carry-out",
                Some(child),
                (AccessOutcome::Changed, &words),
            );
            print(&format!(
                "Request {} is carried out. Earlier copies of the records are not changed.\n",
                args.request
            ))
        }
        ErasureCommand::Refuse(args) => {
            let by = signed(person)?;
            let (records, clock) = open(&args.signed.data)?;
            records.erasure_requests().refuse(args.request, by, clock.now(), String::new())?;
            print(&format!("Request {} is closed; nothing was erased.\n", args.request))
        }
    }
}

/// An erasure needs two people, so somebody has to be one of them.
fn signed(person: Option<UserId>) -> Result<UserId, Failure> {
    person.ok_or_else(|| {
        Failure::not_allowed("An erasure needs a lead by name: add --as with your sign-in name.")
    })
}

fn open(data: &DataArgs) -> Result<(ClinicRecords, Clock), Failure> {
    let dir = data.dir()?;
    // Records are never made by asking for an erasure.
    let protocol = app::protocol(&dir)?;
    let key = folder_key::database_key(&dir)?;
    drop(ClinicRecords::open_for_reading(&dir, protocol.clone(), key.clone())?);
    let how = RecordsOptions { key, ..RecordsOptions::default() };
    Ok((ClinicRecords::open(&dir, protocol, how)?, Clock::new(data.today)))
}

fn child_of(records: &ClinicRecords, number: i64) -> Result<ChildId, Failure> {
    let request = records.erasure_requests().one(number)?;
    request
        .map(|request| request.request.child)
        .ok_or_else(|| Failure::failed(format!("There is no request {number} to erase.")))
}

fn carry_out(
    (dir, records): (&Path, &ClinicRecords),
    clock: Clock,
    number: i64,
    by: UserId,
    typed: &str,
) -> Result<(), Failure> {
    let child = child_of(records, number)?;
    let request = records.erasure_requests().one(number)?;
    let entries = request.and_then(|request| request.request.entries);
    if let Some(hold) = erasing::hold_of(records, child, clock.today())? {
        return Err(Failure::failed(format!("The record is held: {}. Nothing was erased.", hold.reason)));
    }
    if !erasing::is_typed(&erasing::typed_number(records, child)?, typed) {
        return Err(Failure::failed(
            "This is not the number of the child of this request. Nothing was erased.",
        ));
    }
    let expected = erasing::concerned(records, child, entries.as_deref())?.len();
    records.erasure_requests().carry_out(number, by, clock.now(), expected)?;
    backing_up::give_erasures_to(dir, records, &Settings::read(dir)?);
    Ok(())
}

/// Every request.
#[derive(Debug, Serialize)]
struct ErasuresListed {
    requests: Vec<ErasureListed>,
}

/// One request.
#[derive(Debug, Serialize)]
struct ErasureListed {
    number: i64,
    child: ChildId,
    /// The number of single entries; `null` for the whole record.
    entries: Option<usize>,
    asked_by: UserId,
    asked_at: String,
    reason: String,
    basis: String,
    decided_by: Option<UserId>,
    decided_at: Option<String>,
    /// Whether it was carried out; `null` while it waits.
    done: Option<bool>,
    erased: Vec<ErasedKind>,
}

/// How many entries of a kind were erased.
#[derive(Debug, Serialize)]
struct ErasedKind {
    kind: String,
    count: usize,
}

fn list(args: &ListErasuresArgs) -> Result<(), Failure> {
    let reading = Reading::open(&args.signed.data)?;
    let requests = reading.records.erasure_requests().all()?;
    if !args.json {
        let mut text = format!("{} requests\n", requests.len());
        for request in &requests {
            let state = match &request.decision {
                None => "waits for a second lead".to_owned(),
                Some(decision) if decision.done => format!("carried out on {}", local_words(decision.at)),
                Some(decision) => format!("closed on {}", local_words(decision.at)),
            };
            // Writing to a string does not fail.
            let _ = writeln!(
                text,
                "{:>5}  {}  {}, asked for on {}: {state}",
                request.number,
                request.request.child,
                erasing::scope_words(request),
                local_words(request.request.at)
            );
        }
        return print(&text);
    }
    let listed = requests.into_iter().map(|request| {
        let (asked, decision) = (request.request, request.decision);
        let kinds = decision.as_ref().map(|decision| decision.kinds.clone()).unwrap_or_default();
        ErasureListed {
            number: request.number,
            child: asked.child,
            entries: asked.entries.map(|entries| entries.len()),
            asked_by: asked.by,
            asked_at: asked.at.to_string(),
            reason: asked.reason,
            basis: asked.basis,
            decided_by: decision.as_ref().map(|decision| decision.by),
            decided_at: decision.as_ref().map(|decision| decision.at.to_string()),
            done: decision.as_ref().map(|decision| decision.done),
            erased: kinds.into_iter().map(|(kind, count)| ErasedKind { kind, count }).collect(),
        }
    });
    print_sorted(&ErasuresListed { requests: listed.collect() })
}

/// Which records fall due.
#[derive(Debug, Serialize)]
struct RetentionListed {
    /// The rule in words; `null` where none is set.
    rule: Option<String>,
    records: Vec<RetentionListedRow>,
}

/// One record.
#[derive(Debug, Serialize)]
struct RetentionListedRow {
    child: ChildId,
    number: Option<String>,
    /// From which day on it is due; `null` where it cannot be told.
    due: Option<Day>,
    /// "last_entry", "age" or "birth_unknown".
    by: &'static str,
    is_due: bool,
    /// Until when it is held.
    held_until: Option<Day>,
}

/// Lists when each record falls due.
///
/// # Errors
/// When the records cannot be read.
pub fn retention(args: &RetentionArgs) -> Result<(), Failure> {
    let reading = Reading::open(&args.signed.data)?;
    let (rule, today) = (Settings::read(&args.signed.data.dir()?)?.retention(), reading.clock.today());
    let mut records = Vec::new();
    for (child, due) in reading.records.retention(rule)? {
        let held = erasing::hold_of(&reading.records, child, today)?.and_then(|hold| hold.until);
        let summary = reading.records.summary_of(child)?;
        records.push(RetentionListedRow {
            child,
            number: summary.and_then(|summary| summary.numbers.into_iter().next()),
            due: due.day(),
            by: match due {
                RetentionDue::AfterLast(..) => "last_entry",
                RetentionDue::AtAge(_) => "age",
                RetentionDue::BirthUnknown => "birth_unknown",
            },
            is_due: held.is_none() && due.day().is_some_and(|day| day <= today),
            held_until: held,
        });
    }
    records.sort_by_key(|row| (row.due.is_none(), row.due));
    let listed = RetentionListed { rule: rule.words(), records };
    if args.json { print_sorted(&listed) } else { print(&retention_text(&listed)) }
}

fn retention_text(listed: &RetentionListed) -> String {
    let Some(rule) = &listed.rule else {
        return "No retention period is set; the program deletes nothing by itself.\n".to_owned();
    };
    let mut text = format!("The clinic keeps records {rule}. The program deletes nothing by itself.\n\n");
    for row in &listed.records {
        let number = row.number.as_deref().unwrap_or("no number");
        let state = match (row.due, row.held_until) {
            (_, Some(until)) => format!("held until {until}"),
            (None, _) => "cannot be told: no day of birth".to_owned(),
            (Some(day), _) if row.is_due => format!("due since {day}"),
            (Some(day), _) => format!("due on {day}"),
        };
        // Writing to a string does not fail.
        let _ = writeln!(text, "{number:12}  {}  {state}", row.child);
    }
    text
}
