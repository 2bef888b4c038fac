//! `family-copy`: everything recorded about a child, for its family.

use super::{RESTRICTED, Reading, child::find, export::write_new, print};
use crate::{admission::note_command, cli::FamilyCopyArgs, exit::Failure, family_copy, settings::Settings};
use clinic::AccessOutcome;
use record::UserId;

/// Writes the copy; an existing file is never overwritten.
///
/// # Errors
/// When there is no such child, the record is restricted, or the file exists or cannot be written.
pub fn family_copy(args: &FamilyCopyArgs, person: Option<UserId>) -> Result<(), Failure> {
    let reading = Reading::open(&args.signed.data)?;
    let child = find(&reading, &args.id)?;
    let closed = reading.closed_to(person)?.has(child);
    let outcome = if closed { AccessOutcome::Restricted } else { AccessOutcome::Opened };
    note_command(&args.signed.data, person, "family-copy", Some(child), (outcome, ""));
    if closed {
        return Err(Failure::not_allowed(RESTRICTED));
    }
    let dir = args.signed.data.dir()?;
    let clinic = Settings::read(&dir)?.name;
    let (pictures, made) = (reading.records.pictures_in(&dir), (reading.clock.now(), reading.clock.today()));
    let copy = family_copy::of_child(&reading.records, &pictures, child, clinic, made)?;
    let copy = copy.ok_or_else(|| Failure::failed("Nothing is left in this record."))?;
    let path = args.file.clone().unwrap_or_else(|| copy.file_name.clone().into());
    write_new(&path, &copy.bytes)?;
    print(&format!("{} entries written to {}.\n", copy.entries, path.display()))
}
