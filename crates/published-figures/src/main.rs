//! Writes the page of published and simulated figures.

use clap::Parser;
use forecast::natural_history::{HabitSpread, Parameters};
use published_figures::{CHILDREN, FiguresError, compare, page};
use std::path::PathBuf;

/// Published figures next to what simulated cohorts of their size give.
#[derive(Debug, Parser)]
struct Arguments {
    /// Children simulated for each of the papers' clinics
    #[arg(long, value_name = "N", default_value_t = CHILDREN, value_parser = clap::value_parser!(u32).range(1..=100_000))]
    children: u32,
    /// The same seed gives the same table
    #[arg(long, value_name = "S", default_value_t = 1)]
    seed: u64,
    /// Write the page into this file instead of printing it
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

fn main() -> Result<(), FiguresError> {
    let arguments = Arguments::parse();
    let children = arguments.children as usize;
    let rows = compare(&Parameters::published(), &HabitSpread::published(), children, arguments.seed)?;
    let page = page(&rows, children, arguments.seed);
    match arguments.out {
        None => print!("{page}"),
        Some(path) => std::fs::write(path, page)?,
    }
    Ok(())
}
