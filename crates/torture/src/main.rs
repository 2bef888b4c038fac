//! Runs the torture: `cargo run -p torture -- kills --seed 1 --kills 1000`.

use clap::{Args, Parser, Subcommand};
use std::{
    path::{Path, PathBuf},
    process::ExitCode,
    time::Instant,
};
use torture::{
    faults, kills,
    load::{self, LoadTask},
    outcome::{Outcome, TortureError},
    power, program,
};

/// Kills, losses of power and disk errors while records are written.
#[derive(Debug, Parser)]
struct Arguments {
    #[command(subcommand)]
    command: What,
}

#[derive(Debug, Args)]
struct Run {
    /// The same seed gives the same decisions; without, one is drawn and printed
    #[arg(long, value_name = "S")]
    seed: Option<u64>,
    /// A folder in which the files are made; without, a temporary one
    #[arg(long, value_name = "FOLDER")]
    within: Option<PathBuf>,
    /// Append a line about the run to this file
    #[arg(long, value_name = "FILE")]
    log: Option<PathBuf>,
    /// Encrypt the records (a build with the feature `encryption`)
    #[arg(long)]
    encrypted: bool,
}

#[derive(Debug, Subcommand)]
enum What {
    /// Kill a writing process with SIGKILL
    Kills {
        #[command(flatten)]
        run: Run,
        /// How often
        #[arg(long, value_name = "N", default_value_t = 50)]
        kills: u64,
    },
    /// Take the power away
    Power {
        #[command(flatten)]
        run: Run,
        /// How often
        #[arg(long, value_name = "N", default_value_t = 200)]
        images: u64,
    },
    /// Let the disk fail: calls of the system that return an error, or a full disk
    Faults {
        #[command(flatten)]
        run: Run,
        /// In how many runs
        #[arg(long, value_name = "N", default_value_t = 200)]
        faults: u64,
    },
    /// Kill the whole program while forms are sent to it
    Program {
        #[command(flatten)]
        run: Run,
        /// How often
        #[arg(long, value_name = "N", default_value_t = 5)]
        kills: u64,
        /// The program
        #[arg(long, value_name = "FILE")]
        program: PathBuf,
    },
    /// The writing process; started by the others
    #[command(hide = true)]
    Child {
        folder: PathBuf,
        #[arg(long)]
        seed: u64,
        #[arg(long)]
        generation: u32,
        #[arg(long)]
        writers: u32,
        #[arg(long)]
        deeds: Option<u32>,
    },
}

fn main() -> ExitCode {
    let done = match Arguments::parse().command {
        What::Kills { run, kills } => report("kills", &run, |seed, within| kills::run(seed, kills, within)),
        What::Power { run, images } => report("power", &run, |seed, within| power::run(seed, images, within)),
        What::Faults { run, faults } => {
            report("faults", &run, |seed, within| faults::run(seed, faults, within))
        }
        What::Program { run, kills, program } => {
            report("program", &run, |seed, within| program::run(seed, kills, &program, within))
        }
        What::Child { folder, seed, generation, writers, deeds } => {
            load::run(&LoadTask { folder, seed, generation, writers, deeds })
                .map(|()| true)
                .map_err(Into::into)
        }
    };
    match done {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(error) => {
            eprintln!("{error}");
            ExitCode::from(2)
        }
    }
}

/// Runs, prints and logs. Whether nothing was lost.
fn report(
    mode: &str,
    run: &Run,
    torture: impl FnOnce(u64, &Path) -> Result<Outcome, TortureError>,
) -> Result<bool, TortureError> {
    let seed = run.seed.unwrap_or_else(rand::random::<u64>) % 1_000_000_007;
    let folder = tempfile::Builder::new().prefix("torture").tempdir_in(match &run.within {
        Some(within) => within.clone(),
        None => std::env::temp_dir(),
    })?;
    let shown = if run.encrypted { format!("{mode} --encrypted") } else { mode.into() };
    println!("torture {shown} --seed {seed}");
    if run.encrypted {
        encrypt(mode, folder.path())?;
    }
    let begun = Instant::now();
    let outcome = torture(seed, folder.path())?;
    println!("{outcome}\n{:.0} s", begun.elapsed().as_secs_f64());
    if let Some(log) = &run.log {
        outcome.log(log, &shown, seed, begun.elapsed())?;
    }
    if !outcome.verdict.is_sound() {
        println!("The files are in {}", folder.keep().display());
        return Ok(false);
    }
    Ok(true)
}

/// Has the records of the run encrypted.
fn encrypt(mode: &str, within: &Path) -> Result<(), TortureError> {
    if !archive::CAN_ENCRYPT {
        return Err(TortureError::Words(
            "This build cannot encrypt: build it with --features encryption.".into(),
        ));
    }
    if mode == "program" {
        return Err(TortureError::Words("The whole program is killed with plain records only.".into()));
    }
    Ok(load::encrypt_below(within)?)
}
