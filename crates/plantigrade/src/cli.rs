//! The commands and their help.

use crate::exit::Failure;
use clap::{Args, Parser, Subcommand};
use record::Day;
use std::{net::SocketAddr, path::PathBuf};

const EXIT_CODES: &str = "\
Exit codes:
  0  done
  1  it could not be done
  2  the command was not understood
  3  some or all of the data was not accepted
  4  the records are damaged, or a file is not what its name says
  5  another copy of the program has the records open
  6  the clinic's protocol or settings file cannot be used";

const EXAMPLES: &str = "\
Examples:
  plantigrade                              start for your own clinic and open the page
  plantigrade demo                         look round an invented clinic; nothing is kept
  plantigrade import visits.csv            bring in a spreadsheet
  plantigrade due --within 7               who is due this week, and why
  plantigrade capacity clinic.toml         places needed and waits over the next year
  plantigrade audit --as-of 2025-12-31     how well the service did, as known that day
  plantigrade survival feet.csv --time days --event relapsed --by clinic --cox age,severity --cluster child
  plantigrade agreement scores.csv --subject foot --rater who --score total --weights quadratic
  plantigrade wear boot.csv --room bedroom.csv   hours of wear from a temperature logger
  plantigrade child 4711 --as-of 2024-03-01   a child's course as it was known that day";

/// For practitioners who treat congenital clubfoot: from the first cast to the fifth birthday.
///
/// Without a command the program serves its pages on this machine and opens them in the browser. The
/// program supports and does not replace the judgement of a qualified clinician and local protocol.
#[derive(Debug, Parser)]
#[command(name = "plantigrade", version, after_help = EXAMPLES, after_long_help = format!("{EXAMPLES}\n\n{EXIT_CODES}"))]
#[command(args_conflicts_with_subcommands = true, subcommand_negates_reqs = true)]
pub struct Cli {
    /// What to do; `serve` where nothing is said.
    #[command(subcommand)]
    pub command: Option<Command>,
    /// As for `serve`.
    #[command(flatten)]
    pub serve: ServeArgs,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Serve the clinic's pages
    Serve(ServeArgs),
    /// Serve an invented clinic to look round in; nothing is kept
    Demo(DemoArgs),
    /// Bring in a spreadsheet: CSV, XLSX or ODS
    Import(ImportArgs),
    /// Write every visit to a file, CSV or XLSX by its ending
    Export(ExportArgs),
    /// One child's course and next steps with their reasons
    Child(ChildArgs),
    /// Who is due, for what, by when and why
    Due(DueArgs),
    /// How well the forecasts would have done on the clinic's own past
    Backtest(BacktestArgs),
    /// How well the service does, measure by measure
    Audit(AuditArgs),
    /// How many places, boots and bars the clinic needs, and how long children wait
    Capacity(CapacityArgs),
    /// Curves, tests and regression of the time to an event, from any table
    Survival(Box<SurvivalArgs>),
    /// How far raters agree, from any table of ratings
    Agreement(AgreementArgs),
    /// Hours of wear of each day from the file of a temperature logger in the boot
    Wear(WearArgs),
    /// Check that nothing in the records was changed or lost
    Verify(DataArgs),
    /// Print completions for a shell
    Completions {
        /// Which shell
        shell: clap_complete::Shell,
    },
}

/// Where the records are.
#[derive(Debug, Clone, Default, Args)]
pub struct DataArgs {
    /// Folder of the records [default: the usual place for this user's data]
    #[arg(long, value_name = "DIR", env = "PLANTIGRADE_DATA")]
    pub data: Option<PathBuf>,
    /// Take this day for today
    #[arg(long, value_name = "DATE", hide = true)]
    pub today: Option<Day>,
}

/// Where to listen.
#[derive(Debug, Clone, Default, Args)]
pub struct ListenArgs {
    /// Address and port; port 0 takes any free one [default: 127.0.0.1:8460]
    #[arg(long, value_name = "ADDR", value_parser = address)]
    pub listen: Option<SocketAddr>,
    /// Certificate chain (PEM), needed to listen beyond this machine
    #[arg(long, value_name = "FILE", requires = "tls_key")]
    pub tls_cert: Option<PathBuf>,
    /// Private key (PEM) of the certificate
    #[arg(long, value_name = "FILE", requires = "tls_cert")]
    pub tls_key: Option<PathBuf>,
    /// A proxy in front encrypts, and sets X-Forwarded-For and X-Forwarded-Proto; a request that it does
    /// not call https is refused
    #[arg(long, conflicts_with = "tls_cert")]
    pub behind_proxy: bool,
    /// Do not open the browser
    #[arg(long)]
    pub no_open: bool,
}

/// `serve`.
#[derive(Debug, Clone, Default, Args)]
pub struct ServeArgs {
    /// Where the records are.
    #[command(flatten)]
    pub data: DataArgs,
    /// Where to listen.
    #[command(flatten)]
    pub listen: ListenArgs,
}

/// `wear`.
#[derive(Debug, Clone, Args)]
pub struct WearArgs {
    /// Times and temperatures of the logger in the boot, as text (CSV)
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// The same of a logger in the other boot of the bar
    #[arg(long, value_name = "FILE")]
    pub other_boot: Option<PathBuf>,
    /// The same of a logger that lies in the room
    #[arg(long, value_name = "FILE")]
    pub room: Option<PathBuf>,
    /// Time zone of local times, such as Europe/Berlin [default: times as they stand]
    #[arg(long, value_name = "ZONE")]
    pub zone: Option<String>,
    /// Which logger, where the file holds several
    #[arg(long, value_name = "NAME")]
    pub logger: Option<String>,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
}

/// `demo`.
#[derive(Debug, Clone, Args)]
pub struct DemoArgs {
    /// How many invented children
    #[arg(long, value_name = "N", default_value_t = 240, value_parser = clap::value_parser!(u32).range(1..=200_000))]
    pub children: u32,
    /// The same seed gives the same clinic
    #[arg(long, value_name = "S", default_value_t = 1)]
    pub seed: u64,
    /// Where to listen.
    #[command(flatten)]
    pub listen: ListenArgs,
    /// Take this day for today
    #[arg(long, value_name = "DATE", hide = true)]
    pub today: Option<Day>,
}

/// `import`.
#[derive(Debug, Clone, Args)]
pub struct ImportArgs {
    /// The file
    pub file: PathBuf,
    /// What the columns mean, where the guess is wrong (TOML)
    #[arg(long, value_name = "MAP.toml")]
    pub columns: Option<PathBuf>,
    /// Say what would be brought in; write nothing. Exit code 3 where rows would be refused, as without it
    #[arg(long)]
    pub check_only: bool,
    /// Print the report as JSON
    #[arg(long)]
    pub json: bool,
    /// Where the records are.
    #[command(flatten)]
    pub data: DataArgs,
}

/// `export`.
#[derive(Debug, Clone, Args)]
pub struct ExportArgs {
    /// The file to write, ending in .csv or .xlsx
    pub file: PathBuf,
    /// Where the records are.
    #[command(flatten)]
    pub data: DataArgs,
}

/// `child`.
#[derive(Debug, Clone, Args)]
pub struct ChildArgs {
    /// Id or hospital number
    pub id: String,
    /// As it was known on this day [default: today]
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<Day>,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
    /// Where the records are.
    #[command(flatten)]
    pub data: DataArgs,
}

/// `due`.
#[derive(Debug, Clone, Args)]
pub struct DueArgs {
    /// As it was known on this day [default: today]
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<Day>,
    /// Whatever is due within so many days from then
    #[arg(long, value_name = "DAYS", default_value_t = 7, value_parser = clap::value_parser!(i32).range(0..=3650), conflicts_with = "all")]
    pub within: i32,
    /// Every child with a next step, however far off
    #[arg(long)]
    pub all: bool,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
    /// Where the records are.
    #[command(flatten)]
    pub data: DataArgs,
}

/// `backtest`.
#[derive(Debug, Clone, Args)]
pub struct BacktestArgs {
    /// Replay the past of an invented clinic instead of the records
    #[arg(long)]
    pub demo: bool,
    /// The same seed gives the same invented clinic
    #[arg(long, value_name = "S", default_value_t = 1, requires = "demo")]
    pub seed: u64,
    /// How many invented children
    #[arg(long, value_name = "N", default_value_t = 400, requires = "demo", value_parser = clap::value_parser!(u32).range(1..=200_000))]
    pub children: u32,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
    /// Where the records are.
    #[command(flatten)]
    pub data: DataArgs,
}

/// `audit`.
#[derive(Debug, Clone, Args)]
pub struct AuditArgs {
    /// As known on this day [default: today]
    #[arg(long, value_name = "DAY")]
    pub as_of: Option<Day>,
    /// Only what had been written by the end of that day: an earlier audit is printed again unchanged
    #[arg(long)]
    pub as_written: bool,
    /// Only those whose time zero lies on or after this day
    #[arg(long, value_name = "DAY")]
    pub from: Option<Day>,
    /// Only those whose time zero lies on or before this day
    #[arg(long, value_name = "DAY")]
    pub to: Option<Day>,
    /// Only this site, by its name or its key
    #[arg(long, value_name = "SITE")]
    pub site: Option<String>,
    /// Only those whose first cast this clinician put on, by name or key
    #[arg(long, value_name = "NAME")]
    pub clinician: Option<String>,
    /// The year in figures, with small numbers withheld
    #[arg(long, value_name = "YEAR", value_parser = clap::value_parser!(i32).range(1900..=2200), conflicts_with_all = ["from", "to", "measure", "csv", "agreement"])]
    pub year: Option<i32>,
    /// Only this severity at the first cast: mild, moderate, severe, not-scored
    #[arg(long, value_name = "CLASS", value_parser = |key: &str| audit::Severity::of_key(key).ok_or("mild, moderate, severe or not-scored is expected"))]
    pub severity: Option<audit::Severity>,
    /// Only this aetiology: idiopathic, complex, other-cause, positional, not-said
    #[arg(long, value_name = "CLASS", value_parser = |key: &str| audit::Aetiology::of_key(key).ok_or("idiopathic, complex, other-cause, positional or not-said is expected"))]
    pub aetiology: Option<audit::Aetiology>,
    /// Only this side: right, left, both
    #[arg(long, value_name = "SIDE", value_parser = |key: &str| audit::Feet::of_key(key).ok_or("right, left or both is expected"))]
    pub side: Option<audit::Feet>,
    /// Only this measure; every key is told in docs/results.md
    #[arg(long, value_name = "KEY")]
    pub measure: Option<String>,
    /// Whether the raters agree, over feet scored twice; --from and --to are then days of scoring
    #[arg(long, conflicts_with_all = ["site", "clinician", "severity", "aetiology", "side", "measure"])]
    pub agreement: bool,
    /// Print JSON, with whole numbers: not for outside the clinic
    #[arg(long, conflicts_with = "csv")]
    pub json: bool,
    /// Print a table that may leave the clinic: small numbers are withheld
    #[arg(long)]
    pub csv: bool,
    /// Where the records are.
    #[command(flatten)]
    pub data: DataArgs,
}

/// `capacity`.
#[derive(Debug, Clone, Args)]
pub struct CapacityArgs {
    /// How the clinic is held (TOML); every value is told in docs/capacity.md
    pub config: PathBuf,
    /// Another setting to lay beside it, on the same children
    #[arg(long, value_name = "OTHER.toml")]
    pub compare: Option<PathBuf>,
    /// How many runs; more make the bands steadier
    #[arg(long, value_name = "N", default_value_t = crate::caseload::RUNS, value_parser = clap::value_parser!(u32).range(1..=100_000))]
    pub runs: u32,
    /// The same seed gives the same answer
    #[arg(long, value_name = "S", default_value_t = 1)]
    pub seed: u64,
    /// Start from an invented clinic instead of records
    #[arg(long)]
    pub demo: bool,
    /// How many invented children
    #[arg(long, value_name = "N", default_value_t = 240, value_parser = clap::value_parser!(u32).range(1..=200_000), requires = "demo")]
    pub children: u32,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
    /// Where the records are.
    #[command(flatten)]
    pub data: DataArgs,
}

/// `survival`.
#[derive(Debug, Clone, Args)]
pub struct SurvivalArgs {
    /// A table with a header in its first row: comma, semicolon, tab or bar between columns
    pub file: PathBuf,
    /// Column of the time to the event, or to the end of observation
    #[arg(long, value_name = "COL")]
    pub time: String,
    /// Column that says whether the time ended with the event
    #[arg(long, value_name = "COL")]
    pub event: String,
    /// Column of the time from which the row was under observation
    #[arg(long, value_name = "COL")]
    pub start: Option<String>,
    /// Column of the groups to compare
    #[arg(long, value_name = "COL")]
    pub by: Option<String>,
    /// Column within whose levels groups are compared and hazards modelled
    #[arg(long, value_name = "COL")]
    pub strata: Option<String>,
    /// Columns of the covariates of a Cox regression
    #[arg(long, value_name = "COL,COL", value_delimiter = ',')]
    pub cox: Vec<String>,
    /// Column that says which rows belong together, such as the two feet of a child
    #[arg(long, value_name = "COL")]
    pub cluster: Option<String>,
    /// Codes of events that exclude each other; the regression is of the first
    #[arg(long, value_name = "CODE,CODE", value_delimiter = ',')]
    pub causes: Vec<String>,
    /// How the regression treats events at the same time
    #[arg(long, value_enum, default_value_t = TiesChoice::Efron)]
    pub ties: TiesChoice,
    /// Scale of the limits of curves
    #[arg(long, value_enum, default_value_t = Confidence::LogLog)]
    pub conf: Confidence,
    /// Level of the limits
    #[arg(long, value_name = "SHARE", default_value_t = 0.95)]
    pub level: f64,
    /// Limit of the restricted mean [default: the shortest of the groups' last times]
    #[arg(long, value_name = "TIME")]
    pub tau: Option<f64>,
    /// Code of the event, where there is one kind
    #[arg(long, value_name = "CODE", default_value = "1", conflicts_with = "causes")]
    pub event_code: String,
    /// Code of a row without the event
    #[arg(long, value_name = "CODE", default_value = "0")]
    pub censored_code: String,
    /// What to do with rows in which a value is missing; what is left out is counted
    #[arg(long, value_enum, default_value_t = Missing::Drop)]
    pub missing: Missing,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
}

/// Ties in a regression.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum TiesChoice {
    /// Efron's likelihood.
    Efron,
    /// Breslow's likelihood.
    Breslow,
}

/// Scale of an interval.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Confidence {
    /// Log of minus the log.
    LogLog,
    /// Log.
    Log,
    /// The share itself.
    Plain,
}

/// Rows in which a value is missing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Missing {
    /// Left out and counted.
    Drop,
    /// The command stops.
    Refuse,
}

/// `agreement`.
#[derive(Debug, Clone, Args)]
pub struct AgreementArgs {
    /// A table with a header in its first row and one rating in each row below
    pub file: PathBuf,
    /// Column of who or what was rated
    #[arg(long, value_name = "COL")]
    pub subject: String,
    /// Column of who rated
    #[arg(long, value_name = "COL")]
    pub rater: String,
    /// Column of the score
    #[arg(long, value_name = "COL")]
    pub score: String,
    /// Credit for scores that are near each other
    #[arg(long, value_enum)]
    pub weights: Option<WeightsChoice>,
    /// Level of the limits
    #[arg(long, value_name = "SHARE", default_value_t = 0.95)]
    pub level: f64,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
}

/// Credit for near scores.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum WeightsChoice {
    /// Falling with the distance.
    Linear,
    /// Falling with its square.
    Quadratic,
}

/// An address with its port; `localhost` is this machine.
fn address(text: &str) -> Result<SocketAddr, String> {
    let plain = text.strip_prefix("localhost:").map(|port| format!("127.0.0.1:{port}"));
    plain
        .as_deref()
        .unwrap_or(text)
        .parse()
        .map_err(|_| "an address with its port is expected, as in 127.0.0.1:8460".to_owned())
}

impl DataArgs {
    /// The folder said, or the usual place.
    ///
    /// # Errors
    /// When nothing is said and the machine names no home.
    pub fn dir(&self) -> Result<PathBuf, Failure> {
        let none = || {
            Failure::usage("This machine names no home folder. Say where the records are with --data DIR.")
        };
        self.data.clone().or_else(crate::place::data_dir).ok_or_else(none)
    }
}

impl ListenArgs {
    /// The address asked for, this machine only where nothing is said.
    ///
    /// # Errors
    /// When others could reach it without encryption.
    pub fn address(&self) -> Result<SocketAddr, Failure> {
        let address = self.listen.unwrap_or_else(|| SocketAddr::from(([127, 0, 0, 1], 8460)));
        let safe = address.ip().is_loopback() || self.tls_cert.is_some() || self.behind_proxy;
        if safe {
            return Ok(address);
        }
        Err(Failure::usage(format!(
            "{address} can be reached from other machines, and names of children would travel unencrypted. \
             Give --tls-cert and --tls-key, or --behind-proxy where a proxy encrypts."
        )))
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_commands_are_well_formed() {
        Cli::command().debug_assert();
    }

    #[test]
    fn without_a_command_it_serves() {
        let cli = Cli::try_parse_from(["plantigrade", "--listen", "localhost:0", "--no-open"]).unwrap();
        assert!(cli.command.is_none());
        assert_eq!(cli.serve.listen.address().unwrap().to_string(), "127.0.0.1:0");
    }

    #[test]
    fn other_machines_only_with_encryption() {
        let address = |args: &[&str]| {
            let all = ["plantigrade"].iter().chain(args).copied().collect::<Vec<_>>();
            Cli::try_parse_from(all).map(|cli| cli.serve.listen.address().is_ok())
        };
        assert!(!address(&["--listen", "0.0.0.0:80"]).unwrap());
        assert!(!address(&["--listen", "192.168.1.5:8460"]).unwrap());
        assert!(address(&["--listen", "0.0.0.0:80", "--behind-proxy"]).unwrap());
        assert!(address(&["--listen", "0.0.0.0:80", "--tls-cert", "c", "--tls-key", "k"]).unwrap());
        assert!(address(&["--listen", "[::1]:80"]).unwrap());
        assert!(address(&["--tls-cert", "c"]).is_err(), "a certificate is of no use without its key");
    }
}
