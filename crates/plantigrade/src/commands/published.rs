//! `published`: every published figure beside what simulated cohorts of its size give.

use super::{print, print_json};
use crate::{cli::PublishedArgs, exit::Failure};
use forecast::natural_history::{HabitSpread, Parameters, published};

/// Simulates the papers' clinics and prints, or writes, the table.
///
/// # Errors
/// When the table cannot be made or the file cannot be written.
pub fn published(args: &PublishedArgs) -> Result<(), Failure> {
    let (parameters, spread) = (Parameters::published(), HabitSpread::published());
    let rows = published::compare(&parameters, &spread, args.children as usize, args.seed)
        .map_err(|error| Failure::failed(format!("The table could not be made: {error}.")))?;
    if args.json {
        return print_json(&rows);
    }
    let page = published::markdown(&rows, args.children as usize, args.seed);
    match &args.out {
        None => print(&page),
        Some(path) => std::fs::write(path, page)
            .map_err(|error| Failure::failed(format!("{} could not be written: {error}.", path.display()))),
    }
}
