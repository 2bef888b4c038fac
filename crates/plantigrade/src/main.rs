//! The program. See the library for what it does.

use plantigrade::cli::Cli;
use std::{io::Write, process::ExitCode};

fn main() -> ExitCode {
    plantigrade::log();
    let cli = Cli::of_process();
    match plantigrade::run(cli) {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            // That nobody reads it is no reason to fail differently.
            let _ = writeln!(std::io::stderr(), "{failure}");
            ExitCode::from(failure.exit as u8)
        }
    }
}
