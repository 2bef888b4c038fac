//! The commands, one file each.

mod agreement;
mod audit;
mod audit_agreement;
mod audit_year;
mod backtest;
mod capacity;
mod child;
mod child_forecast;
mod due;
mod export;
mod import;
mod import_undo;
mod survival;
mod verify;
mod wear;

pub use import::{disposition, read_as};

use crate::{
    app,
    cli::{Cli, Command, DataArgs},
    clock::Clock,
    exit::Failure,
    serve,
};
use clap::CommandFactory;
use clinic::ClinicRecords;
use std::io::Write;

/// Printed with results in which small numbers are not withheld.
const NOT_FOR_OUTSIDE: &str = "These numbers are whole. Use --csv for a table that may leave the clinic.";

/// Runs a command.
///
/// # Errors
/// One sentence and an exit code.
pub fn run(cli: Cli) -> Result<(), Failure> {
    match cli.command {
        None => serve::serve(&cli.serve),
        Some(Command::Serve(args)) => serve::serve(&args),
        Some(Command::Demo(args)) => serve::serve_demo(&args),
        Some(Command::Import(args)) => import::import(&args),
        Some(Command::Export(args)) => export::export(&args),
        Some(Command::Child(args)) => child::child(&args),
        Some(Command::Due(args)) => due::due(&args),
        Some(Command::Audit(args)) => audit::audit(&args),
        Some(Command::Backtest(args)) => backtest::backtest(&args),
        Some(Command::Capacity(args)) => capacity::capacity(&args),
        Some(Command::Survival(args)) => survival::survival(&args),
        Some(Command::Agreement(args)) => agreement::agreement(&args),
        Some(Command::Wear(args)) => wear::wear(&args),
        Some(Command::Verify(args)) => verify::verify(&args),
        Some(Command::Completions { shell }) => completions(shell),
    }
}

fn completions(shell: clap_complete::Shell) -> Result<(), Failure> {
    let mut text = Vec::new();
    clap_complete::generate(shell, &mut Cli::command(), "plantigrade", &mut text);
    print(&String::from_utf8_lossy(&text))
}

/// The records opened for reading, which also works while a server writes.
struct Reading {
    records: ClinicRecords,
    clock: Clock,
}

impl Reading {
    fn open(data: &DataArgs) -> Result<Self, Failure> {
        let dir = data.dir()?;
        let (protocol, _) = app::protocol(&dir)?;
        let records = ClinicRecords::open_for_reading(&dir, protocol)?;
        Ok(Self { records, clock: Clock::new(data.today) })
    }
}

/// Prints to standard output. A reader that has seen enough, such as `head`, is no failure.
fn print(text: &str) -> Result<(), Failure> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(Failure::failed(format!("The output could not be written: {error}.")))
        }
        _ => Ok(()),
    }
}

/// Prints JSON with line ends.
fn print_json(value: &impl serde::Serialize) -> Result<(), Failure> {
    let text = serde_json::to_string_pretty(value)
        .map_err(|error| Failure::failed(format!("The output could not be made: {error}.")))?;
    print(&format!("{text}\n"))
}

/// Prints JSON with the keys of every object in the order of the alphabet, so that the order of a struct's
/// fields is free.
fn print_sorted(result: &impl serde::Serialize) -> Result<(), Failure> {
    let sorted = serde_json::to_value(result)
        .map_err(|error| Failure::failed(format!("The output could not be made: {error}.")))?;
    print_json(&sorted)
}
