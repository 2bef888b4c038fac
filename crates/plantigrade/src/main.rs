//! The program. See the library for what it does.

use plantigrade::{cli::Cli, trial_reading};
use std::{io::Write, process::ExitCode};

fn main() -> ExitCode {
    if trial_reading::is_asked_for(std::env::args_os().nth(1).as_deref()) {
        let read = trial_reading::run(&mut std::io::stdin().lock());
        return if read.is_ok() { ExitCode::SUCCESS } else { ExitCode::FAILURE };
    }
    let cli = Cli::of_process();
    match plantigrade::log(&cli.log()).and_then(|()| plantigrade::run(cli)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            // That nobody reads it is no reason to fail differently.
            let _ = writeln!(std::io::stderr(), "{failure}");
            ExitCode::from(failure.exit as u8)
        }
    }
}
