//! `verify`: whether any record was changed or lost.

use super::{Reading, print};
use crate::{
    cli::VerifyArgs,
    exit::{Exit, Failure},
};
use std::fmt::Write as _;

/// Checks the records and prints what is wrong with them.
///
/// # Errors
/// When they cannot be opened, or something is wrong.
pub fn verify(args: &VerifyArgs) -> Result<(), Failure> {
    let reading = Reading::open(&args.data)?;
    let report = reading.records.verify()?;
    let mut text = String::new();
    // Writing to a string does not fail.
    let _ = writeln!(
        text,
        "{} entries of {} children checked, {} of them erased.",
        report.entries, report.children, report.erased
    );
    for fault in &report.faults {
        let _ = writeln!(text, "- {}", fault.text);
    }
    if report.is_sound() {
        text.push_str("Nothing was changed or lost.\n");
        return print(&text);
    }
    print(&text)?;
    Err(Failure {
        exit: Exit::Damaged,
        sentence: format!(
            "{} faults were found. Keep a copy of the data folder, and restore the latest backup.",
            report.faults_count
        ),
    })
}
