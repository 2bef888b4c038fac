//! `accept-records`: goes on with records that are not those the witness knows, because a person decided so.

use super::print;
use crate::{
    app,
    cli::AcceptRecordsArgs,
    clock::{Clock, local_words},
    exit::Failure,
    folder_key,
};
use clinic::{ClinicRecords, DecisionKind, RecordsDecision, RecordsOptions};
use record::UserId;

/// Accepts the records as they are.
///
/// # Errors
/// When there is nothing to accept, no reason is given, another process has the records open, or the disk fails.
pub fn accept_records(args: &AcceptRecordsArgs, by: Option<UserId>) -> Result<(), Failure> {
    if args.reason.trim().is_empty() {
        return Err(Failure::usage("Give the reason with --reason: it stays with the records."));
    }
    let dir = args.signed.data.dir()?;
    let protocol = app::protocol(&dir)?;
    let how = RecordsOptions {
        witness: app::witness_of(&dir)?,
        quick_check: true,
        key: folder_key::database_key(&dir)?,
        ..RecordsOptions::default()
    };
    let records = ClinicRecords::open(&dir, protocol, how)?;
    let Some(finding) = records.finding() else {
        return print("These are the records that the witness knows: there is nothing to accept.\n");
    };
    let about = finding.sentence(&local_words);
    let (kind, at) = (DecisionKind::Records, Clock::new(args.signed.data.today).now());
    records.accept(&RecordsDecision { kind, by, at, reason: args.reason.clone(), about: about.clone() })?;
    print(&format!(
        "{about}\nThe program goes on with these records. The decision and its reason are saved with them.\n"
    ))
}
