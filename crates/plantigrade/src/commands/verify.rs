//! `verify`: whether any record was changed or lost.

use super::{Reading, print, print_json};
use crate::{
    cli::VerifyArgs,
    clock::local_words,
    exit::{Exit, Failure},
};
use clinic::{FaultKind, PictureReport, VerifyReport, WitnessHead, WitnessPlace};
use serde::Serialize;
use std::fmt::Write as _;

const PROVES: &str = "every entry has the contents and the place in the log with which it was saved";
const PROVES_WITH_WITNESS: &str = "every entry has the contents and the place in the log with which it was saved; nothing that was saved is missing at the end; accounts, roles, devices, settings, imports and erasures are those that this program saved last";
const NOT_PROVED: &str = "that no entry is missing at the end: there is no witness to compare with here; that accounts and settings are as they were saved; that nobody rewrote the whole file";
const NOT_PROVED_WITH_WITNESS: &str = "that nobody who may write the records and the witness, and read its key, replaced them together; that nothing was changed before the witness began; that what was entered is true; the entries of other copies";

/// What was checked.
#[derive(Debug, Serialize)]
struct VerifyResult {
    entries: usize,
    erased: usize,
    children: usize,
    sound: bool,
    mark: Option<String>,
    witness: Option<WitnessResult>,
    lists_compared: bool,
    faults: Vec<FaultResult>,
    faults_count: usize,
    photographs: PhotographsResult,
    proves: &'static str,
    does_not_prove: &'static str,
}

#[derive(Debug, Serialize)]
struct WitnessResult {
    log: String,
    head: Option<String>,
    states_compared: usize,
    from_entry: usize,
    finding: Option<String>,
    warning: Option<String>,
}

#[derive(Debug, Serialize)]
struct PhotographsResult {
    named: usize,
    unnamed: usize,
    faults: Vec<String>,
    faults_count: usize,
}

#[derive(Debug, Serialize)]
struct FaultResult {
    kind: &'static str,
    entry: Option<String>,
    text: String,
}

/// Checks the records and prints what is wrong with them, and what the check can prove.
///
/// # Errors
/// When they cannot be opened, or something is wrong.
pub fn verify(args: &VerifyArgs) -> Result<(), Failure> {
    let reading = Reading::open_whatever(&args.signed.data)?;
    let report = reading.records.verify()?;
    let pictures = reading.records.pictures_in(&args.signed.data.dir()?);
    let photographs = reading.records.check_pictures(&pictures, reading.clock.today())?;
    let head = reading.records.witness_head()?;
    let result = VerifyResult::of(&report, &photographs, reading.records.witness_place(), head.as_ref());
    if args.json {
        print_json(&result)?
    } else {
        print(&result.text())?
    }
    if report.is_sound() {
        return photographs_fault(&photographs);
    }
    let by_witness = report.faults.iter().all(|fault| fault.kind == FaultKind::Witness);
    Err(Failure {
        exit: if by_witness { Exit::Witness } else { Exit::Damaged },
        sentence: format!(
            "{} faults were found. Keep a copy of the data folder, and restore the latest backup.",
            report.faults_count
        ),
    })
}

/// The entries are whole, so that the records need not be put back for the sake of the photographs.
fn photographs_fault(report: &PictureReport) -> Result<(), Failure> {
    match report.words() {
        None => Ok(()),
        Some(words) => Err(Failure {
            exit: Exit::Damaged,
            sentence: format!(
                "{words} The entries are whole. Keep a copy of the data folder: an earlier backup may still have these photographs."
            ),
        }),
    }
}

impl VerifyResult {
    fn of(
        report: &VerifyReport,
        photographs: &PictureReport,
        place: Option<&WitnessPlace>,
        head: Option<&WitnessHead>,
    ) -> Self {
        let witness = report.witness.as_ref().zip(place).map(|(check, place)| WitnessResult {
            log: place.log_file().display().to_string(),
            head: head.map(ToString::to_string),
            states_compared: check.states,
            from_entry: check.from_entry,
            finding: check.finding.as_ref().map(|finding| finding.sentence(&local_words)),
            warning: check.warning.clone(),
        });
        let witnessed = witness.as_ref().is_some_and(|of| of.states_compared > 0 && of.warning.is_none());
        let faults = report.faults.iter().map(|fault| FaultResult {
            kind: kind_word(fault.kind),
            entry: fault.entry.map(|entry| entry.to_string()),
            text: fault.text.clone(),
        });
        Self {
            entries: report.entries,
            erased: report.erased,
            children: report.children,
            sound: report.is_sound() && photographs.is_sound(),
            mark: report.mark.as_ref().map(ToString::to_string),
            faults: faults.collect(),
            witness,
            lists_compared: report.summaries_compared,
            faults_count: report.faults_count,
            photographs: PhotographsResult {
                named: photographs.named,
                unnamed: photographs.unnamed,
                faults: photographs.faults.clone(),
                faults_count: photographs.faults_count,
            },
            proves: if witnessed { PROVES_WITH_WITNESS } else { PROVES },
            does_not_prove: if witnessed { NOT_PROVED_WITH_WITNESS } else { NOT_PROVED },
        }
    }

    fn text(&self) -> String {
        let mut text = format!(
            "{} entries of {} children checked, {} of them erased.\n",
            self.entries, self.children, self.erased
        );
        // Writing to a string does not fail.
        if let Some(mark) = &self.mark {
            let head = self.witness.as_ref().and_then(|of| of.head.as_ref());
            let head = head.map(|head| format!("; the witness with {head}")).unwrap_or_default();
            let _ = writeln!(text, "The log ends with {mark}{head}.");
        }
        match &self.witness {
            Some(WitnessResult { log, warning: Some(why), .. }) => {
                let _ = writeln!(text, "The witness {log} could not be compared: {}", record::sentence(why));
            }
            Some(WitnessResult { log, states_compared, from_entry, .. }) if *states_compared > 0 => {
                let _ = writeln!(
                    text,
                    "Compared with {states_compared} states in the witness {log}, from entry {from_entry} on."
                );
            }
            Some(_) | None => text.push_str("There is no witness here to compare with.\n"),
        }
        if self.photographs.named > 0 || self.photographs.unnamed > 0 {
            let _ = writeln!(text, "{}", self.photographs.words());
        }
        for fault in self.faults.iter().map(|fault| &fault.text).chain(&self.photographs.faults) {
            let _ = writeln!(text, "- {fault}");
        }
        if self.sound {
            text.push_str("Nothing was changed or lost, as far as this check can tell.\n");
            let _ = writeln!(text, "It proves: {}.", self.proves);
        }
        let _ = writeln!(text, "It does not prove: {}.", self.does_not_prove);
        text
    }
}

impl PhotographsResult {
    fn words(&self) -> String {
        let named = self.named;
        let mut words =
            format!("{named} photographs that entries name were read and compared with their hashes.");
        if self.unnamed > 0 {
            words.push_str(&format!(
                " {} pictures are kept that no entry names: they are being saved, or were left by an interruption; the program removes those once a day.",
                self.unnamed
            ));
        }
        words
    }
}

const fn kind_word(kind: FaultKind) -> &'static str {
    match kind {
        FaultKind::File => "file",
        FaultKind::Log => "log",
        FaultKind::Summary => "list",
        FaultKind::Witness => "witness",
    }
}
