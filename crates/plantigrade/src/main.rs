//! The program. See the library for what it does.

use clap::Parser;
use plantigrade::cli::Cli;
use std::process::ExitCode;

fn main() -> ExitCode {
    plantigrade::log();
    let cli = Cli::parse();
    match plantigrade::commands::run(cli) {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            eprintln!("{failure}");
            ExitCode::from(failure.exit as u8)
        }
    }
}
