//! The commands and their help.

mod backups;
mod encryption;
mod needs;
mod people;
mod protection;
mod tables;

pub use crate::{
    listen_args::{ListenArgs, NetworkArgs},
    logging::LogArgs,
};
pub use backups::{BackupArgs, DrillArgs, RestoreArgs, TakeBackUpgradeArgs};
pub use encryption::{ChangeKeyArgs, EncryptArgs, RecoverySheetArgs, SheetArgs};
pub use needs::NotedCommand;
pub use people::{
    AcceptRecordsArgs, AddPersonArgs, ListPeopleArgs, PeopleArgs, PeopleCommand, PersonArgs, PersonRolesArgs,
    RenamePersonArgs, ResetSecondFactorArgs, SalvageArgs, SignInArgs, SignedArgs, VerifyArgs,
};
pub use protection::{
    AccessListArgs, AccessLogArgs, AccessLogCommand, AccessVerifyArgs, CarryOutErasureArgs, ErasureArgs,
    ErasureCommand, FamilyCopyArgs, ListErasuresArgs, RefuseErasureArgs, RequestErasureArgs, RetentionArgs,
};
pub use tables::{AgreementArgs, Confidence, Missing, SurvivalArgs, TiesChoice, WeightsChoice};

use crate::exit::Failure;
use clap::{
    ArgMatches, Args, CommandFactory, FromArgMatches, Parser, Subcommand, error::ErrorKind,
    parser::ValueSource,
};
use record::{Day, ImportId};
use std::path::PathBuf;

const EXIT_CODES: &str = "\
Exit codes:
  0  done
  1  failed
  2  the command line is not valid
  3  some or all of the data was refused
  4  the records are damaged, or a file does not match its name
  5  another copy of the program has the records open
  6  the clinic's protocol or settings file cannot be used
  7  the person may not do this, or name and password do not belong together
  8  the records are not those that were saved last, by their witness
  9  the records are encrypted, and no key was given or a wrong one";

const EXAMPLES: &str = "\
Examples:
  plantigrade                              start for your own clinic and open the page
  plantigrade serve --clinic-network       serve the clinic's enrolled tablets and phones too
  plantigrade demo                         try an invented clinic; nothing is saved
  plantigrade import visits.csv            import a spreadsheet
  plantigrade import --list                imports so far, to undo one of them
  plantigrade due --within 7               who is due this week, and why
  plantigrade capacity clinic.toml         places needed and waiting times over the next year
  plantigrade audit --as-of 2025-12-31     results of the service as known on that day
  plantigrade survival feet.csv --time days --event relapsed --by clinic --cox age,severity --cluster child
  plantigrade agreement scores.csv --subject foot --rater who --score total --weights quadratic
  plantigrade wear boot.csv --room bedroom.csv   hours of wear from a temperature logger
  plantigrade child 4711 --as-of 2024-03-01   a child's course as known on that day
  plantigrade backup                       a backup now, as by a schedule of the system
  plantigrade drill                        try the newest backup
  plantigrade restore FILE --to DIR --reason TEXT   the clinic from a backup
  plantigrade access-log list --child 4711 who opened a child's record
  plantigrade people reset-password maren  a one-time password after a lost one
  plantigrade people reset-second-factor maren --why \"telephone lost\"";

/// Records and decision support for clubfoot clinics, from the first cast to the fifth birthday.
///
/// Without a command the program serves its pages on this machine and opens them in the browser. The
/// program supports and does not replace the judgement of a qualified clinician and local protocol.
#[derive(Debug, Parser)]
#[command(name = "plantigrade", version, after_help = EXAMPLES, after_long_help = format!("{EXAMPLES}\n\n{EXIT_CODES}"))]
#[command(subcommand_negates_reqs = true)]
pub struct Cli {
    /// What to do; `serve` by default.
    #[command(subcommand)]
    pub command: Option<Command>,
    /// The options of `serve`.
    #[command(flatten)]
    pub serve: ServeArgs,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Serve the clinic's pages
    Serve(ServeArgs),
    /// Serve an invented clinic to try; nothing is saved
    Demo(DemoArgs),
    /// Import a spreadsheet: CSV, XLSX or ODS
    Import(ImportArgs),
    /// Export every visit to a CSV or XLSX file
    Export(ExportArgs),
    /// One child's course and next steps with their reasons
    Child(ChildArgs),
    /// Who is due, for what, by when and why
    Due(DueArgs),
    /// Test the forecasts on the clinic's own past
    Backtest(BacktestArgs),
    /// Results of the service, measure by measure
    Audit(AuditArgs),
    /// Simulate the places, boots and bars needed, and the waiting times
    Capacity(CapacityArgs),
    /// Survival analysis of any table: curves, tests and regression
    Survival(Box<SurvivalArgs>),
    /// Agreement between raters, from any table of ratings
    Agreement(AgreementArgs),
    /// Daily hours of wear from the file of a temperature logger in the boot
    Wear(WearArgs),
    /// Check that no record was changed or lost
    Verify(VerifyArgs),
    /// Who opened which record, and whether that log was changed
    AccessLog(AccessLogArgs),
    /// Everything recorded about a child, for its family: a page to print and the data
    FamilyCopy(FamilyCopyArgs),
    /// Erase a record on legal request, by two leads
    Erasure(ErasureArgs),
    /// Which records fall due by the clinic's retention period
    Retention(RetentionArgs),
    /// Go on with records that are not those the witness knows
    AcceptRecords(AcceptRecordsArgs),
    /// Write everything that can be read of damaged records into a new folder, and list what is missing
    Salvage(SalvageArgs),
    /// Make a backup in each folder for backups: an encrypted file, and beside it photographs and videos that are new
    Backup(BackupArgs),
    /// Try the newest backup: open it, check every entry, and compare it with the records
    Drill(DrillArgs),
    /// Restore a backup into a folder, also as it was at a moment
    Restore(RestoreArgs),
    /// Put back the records as they were before the last upgrade of the program
    TakeBackUpgrade(TakeBackUpgradeArgs),
    /// Encrypt records that are not encrypted
    Encrypt(EncryptArgs),
    /// Change the passphrase, the key files or the key of encrypted records
    ChangeKey(ChangeKeyArgs),
    /// A new recovery code for encrypted records; the code on an earlier sheet no longer works
    RecoverySheet(RecoverySheetArgs),
    /// List, add, rename, disable or enable people, or help after a lost password or second factor
    People(PeopleArgs),
    /// Print shell completions
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
    /// Key file that unlocks encrypted records [default: asked at the terminal]
    #[arg(long, value_name = "FILE", env = "PLANTIGRADE_KEY_FILE")]
    pub key_file: Option<PathBuf>,
    /// Use this day as today
    #[arg(long, value_name = "DATE", hide = true)]
    pub today: Option<Day>,
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
    /// Whether the clinic's network is served too.
    #[command(flatten)]
    pub network: NetworkArgs,
    /// What is logged.
    #[command(flatten)]
    pub log: LogArgs,
}

/// `wear`.
#[derive(Debug, Clone, Args)]
pub struct WearArgs {
    /// Times and temperatures from the logger in the boot (CSV)
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// The same from a logger in the other boot on the bar
    #[arg(long, value_name = "FILE")]
    pub other_boot: Option<PathBuf>,
    /// The same from a logger in the room
    #[arg(long, value_name = "FILE")]
    pub room: Option<PathBuf>,
    /// Time zone of local times, such as Europe/Berlin [default: times as they are in the file]
    #[arg(long, value_name = "ZONE")]
    pub zone: Option<String>,
    /// Which logger, if the file contains several
    #[arg(long, value_name = "NAME")]
    pub logger: Option<String>,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
}

/// `demo`.
#[derive(Debug, Clone, Args)]
pub struct DemoArgs {
    /// Number of invented children
    #[arg(long, value_name = "N", default_value_t = 240, value_parser = clap::value_parser!(u32).range(1..=200_000))]
    pub children: u32,
    /// Random seed; the same seed gives the same clinic
    #[arg(long, value_name = "S", default_value_t = 1)]
    pub seed: u64,
    /// Where to listen.
    #[command(flatten)]
    pub listen: ListenArgs,
    /// What is logged.
    #[command(flatten)]
    pub log: LogArgs,
    /// Use this day as today
    #[arg(long, value_name = "DATE", hide = true)]
    pub today: Option<Day>,
}

/// `import`.
#[derive(Debug, Clone, Args)]
pub struct ImportArgs {
    /// File to import
    #[arg(required_unless_present_any = ["list", "undo"], conflicts_with_all = ["list", "undo"])]
    pub file: Option<PathBuf>,
    /// Meaning of the columns that are not recognised correctly (TOML)
    #[arg(long, value_name = "MAP.toml", requires = "file")]
    pub columns: Option<PathBuf>,
    /// Report what would be imported, or undone, without saving anything. Exit code 3 if rows would be refused, as without this option
    #[arg(long, conflicts_with = "list")]
    pub check_only: bool,
    /// List the imports that can be undone, the latest first
    #[arg(long, conflicts_with = "undo")]
    pub list: bool,
    /// Undo an import: withdraw what it brought and keep what was changed since
    #[arg(long, value_name = "ID", requires = "reason")]
    pub undo: Option<ImportId>,
    /// Why the import is undone; it stays with every withdrawn entry
    #[arg(long, value_name = "TEXT", requires = "undo")]
    pub reason: Option<String>,
    /// Print the report as JSON
    #[arg(long)]
    pub json: bool,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

/// `export`.
#[derive(Debug, Clone, Args)]
pub struct ExportArgs {
    /// File to write, ending in .csv or .xlsx
    pub file: PathBuf,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

/// `child`.
#[derive(Debug, Clone, Args)]
pub struct ChildArgs {
    /// Id or hospital number of the child
    pub id: String,
    /// As known on this day [default: today]
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<Day>,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

/// `due`.
#[derive(Debug, Clone, Args)]
pub struct DueArgs {
    /// As known on this day [default: today]
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<Day>,
    /// Show what is due within this many days of that day
    #[arg(long, value_name = "DAYS", default_value_t = 7, value_parser = clap::value_parser!(i32).range(0..=3650), conflicts_with = "all")]
    pub within: i32,
    /// Show every child with a next step, whatever its date
    #[arg(long)]
    pub all: bool,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

/// `backtest`.
#[derive(Debug, Clone, Args)]
pub struct BacktestArgs {
    /// Use the past of an invented clinic instead of the records
    #[arg(long)]
    pub demo: bool,
    /// Random seed; the same seed gives the same invented clinic
    #[arg(long, value_name = "S", default_value_t = 1, requires = "demo")]
    pub seed: u64,
    /// Number of invented children
    #[arg(long, value_name = "N", default_value_t = 400, requires = "demo", value_parser = clap::value_parser!(u32).range(1..=200_000))]
    pub children: u32,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

/// `audit`.
#[derive(Debug, Clone, Args)]
pub struct AuditArgs {
    /// As known on this day [default: today]
    #[arg(long, value_name = "DAY")]
    pub as_of: Option<Day>,
    /// Use only entries written by the end of that day, so that an earlier audit is printed again unchanged
    #[arg(long)]
    pub as_written: bool,
    /// Only those whose time zero is on or after this day
    #[arg(long, value_name = "DAY")]
    pub from: Option<Day>,
    /// Only those whose time zero is on or before this day
    #[arg(long, value_name = "DAY")]
    pub to: Option<Day>,
    /// Only this site, by name or key
    #[arg(long, value_name = "SITE")]
    pub site: Option<String>,
    /// Only those whose first cast was applied by this clinician, by name or key
    #[arg(long, value_name = "NAME")]
    pub clinician: Option<String>,
    /// Results of one calendar year, with small numbers withheld
    #[arg(long, value_name = "YEAR", value_parser = clap::value_parser!(i32).range(1900..=2200), conflicts_with_all = ["from", "to", "measure", "csv", "agreement"])]
    pub year: Option<i32>,
    /// Only this severity at the first cast: mild, moderate, severe, not-scored
    #[arg(long, value_name = "CLASS", value_parser = |key: &str| audit::Severity::of_key(key).ok_or("expected mild, moderate, severe or not-scored"))]
    pub severity: Option<audit::Severity>,
    /// Only this aetiology: idiopathic, complex, other-cause, positional, not-recorded
    #[arg(long, value_name = "CLASS", value_parser = |key: &str| audit::Aetiology::of_key(key).ok_or("expected idiopathic, complex, other-cause, positional or not-recorded"))]
    pub aetiology: Option<audit::Aetiology>,
    /// Only this side: right, left, both
    #[arg(long, value_name = "SIDE", value_parser = |key: &str| audit::Feet::of_key(key).ok_or("expected right, left or both"))]
    pub side: Option<audit::Feet>,
    /// Only this measure; docs/results.md lists the keys
    #[arg(long, value_name = "KEY")]
    pub measure: Option<String>,
    /// Agreement between raters on feet scored twice; --from and --to then limit the days of scoring
    #[arg(long, conflicts_with_all = ["site", "clinician", "severity", "aetiology", "side", "measure"])]
    pub agreement: bool,
    /// Print JSON with small numbers included: not for use outside the clinic
    #[arg(long, conflicts_with = "csv")]
    pub json: bool,
    /// Print a CSV table with small numbers withheld, which may leave the clinic
    #[arg(long)]
    pub csv: bool,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

/// `capacity`.
#[derive(Debug, Clone, Args)]
pub struct CapacityArgs {
    /// How the clinic is run (TOML); docs/capacity.md describes every value
    pub config: PathBuf,
    /// A second setting to compare with it on the same children
    #[arg(long, value_name = "OTHER.toml")]
    pub compare: Option<PathBuf>,
    /// Number of simulation runs; more runs give steadier bands
    #[arg(long, value_name = "N", default_value_t = crate::capacity_file::RUNS, value_parser = clap::value_parser!(u32).range(1..=100_000))]
    pub runs: u32,
    /// Random seed; the same seed gives the same result
    #[arg(long, value_name = "S", default_value_t = 1)]
    pub seed: u64,
    /// Start from an invented clinic instead of the records
    #[arg(long)]
    pub demo: bool,
    /// Number of invented children
    #[arg(long, value_name = "N", default_value_t = 240, value_parser = clap::value_parser!(u32).range(1..=200_000), requires = "demo")]
    pub children: u32,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

impl Cli {
    /// What is logged: by the options of the server, for every other command by the environment.
    #[must_use]
    pub fn log(&self) -> LogArgs {
        match &self.command {
            None => self.serve.log.clone(),
            Some(Command::Serve(args)) => args.log.clone(),
            Some(Command::Demo(args)) => args.log.clone(),
            Some(_) => LogArgs::of_environment(),
        }
    }

    /// The command line of this process; prints help and errors, and ends the process with them.
    #[must_use]
    pub fn of_process() -> Self {
        let mut program = Self::command();
        let matches = program.get_matches_mut();
        let read = Self::from_arg_matches(&matches).and_then(|cli| cli.with_options_before(&matches));
        read.unwrap_or_else(|error| error.format(&mut program).exit())
    }

    /// Gives a command the options before its name: `--data DIR` counts for it, as the help lists it. The other
    /// options there are those of the server, and refused.
    fn with_options_before(mut self, before: &ArgMatches) -> Result<Self, clap::Error> {
        let (Some(command), Some((name, after))) = (&mut self.command, before.subcommand()) else {
            return Ok(self);
        };
        let typed = |matches: &ArgMatches, id: &str| {
            matches.try_contains_id(id).is_ok() && matches.value_source(id) == Some(ValueSource::CommandLine)
        };
        let refuse = |text: String| Err(clap::Error::raw(ErrorKind::ArgumentConflict, text));
        let program = Self::command();
        let mut ids = program.get_arguments().map(|argument| argument.get_id().as_str());
        let of_server = ids.find(|&id| !matches!(id, "data" | "today" | "key_file") && typed(before, id));
        if let Some(id) = of_server {
            let option = id.replace('_', "-");
            return refuse(format!("--{option} belongs to serve: write it after that command."));
        }
        for id in ["data", "today", "key_file"].into_iter().filter(|id| typed(before, id)) {
            match command.data_mut() {
                None => return refuse(format!("{name} takes no --{}.", id.replace('_', "-"))),
                Some(_) if typed(after, id) => {
                    return refuse(format!("--{} is given twice.", id.replace('_', "-")));
                }
                Some(data) if id == "data" => data.data.clone_from(&self.serve.data.data),
                Some(data) if id == "key_file" => data.key_file.clone_from(&self.serve.data.key_file),
                Some(data) => data.today = self.serve.data.today,
            }
        }
        Ok(self)
    }
}

impl Command {
    /// The place of the records, for a command that uses them.
    fn data_mut(&mut self) -> Option<&mut DataArgs> {
        match self {
            Self::Serve(args) => Some(&mut args.data),
            Self::Import(args) => Some(&mut args.signed.data),
            Self::Export(args) => Some(&mut args.signed.data),
            Self::Child(args) => Some(&mut args.signed.data),
            Self::Due(args) => Some(&mut args.signed.data),
            Self::Backtest(args) => Some(&mut args.signed.data),
            Self::Audit(args) => Some(&mut args.signed.data),
            Self::Capacity(args) => Some(&mut args.signed.data),
            Self::Verify(args) => Some(&mut args.signed.data),
            Self::AccessLog(args) => Some(args.command.data_mut()),
            Self::Erasure(args) => Some(args.command.data_mut()),
            Self::FamilyCopy(args) => Some(&mut args.signed.data),
            Self::Retention(args) => Some(&mut args.signed.data),
            Self::AcceptRecords(args) => Some(&mut args.signed.data),
            Self::Salvage(args) => Some(&mut args.signed.data),
            Self::Backup(args) => Some(&mut args.signed.data),
            Self::Drill(args) => Some(&mut args.signed.data),
            Self::TakeBackUpgrade(args) => Some(&mut args.signed.data),
            Self::Encrypt(args) => Some(&mut args.signed.data),
            Self::ChangeKey(args) => Some(&mut args.signed.data),
            Self::RecoverySheet(args) => Some(&mut args.signed.data),
            Self::People(args) => Some(args.command.data_mut()),
            Self::Demo(_)
            | Self::Survival(_)
            | Self::Agreement(_)
            | Self::Wear(_)
            | Self::Restore(_)
            | Self::Completions { .. } => None,
        }
    }
}

impl DataArgs {
    /// The folder given, or the usual place.
    ///
    /// # Errors
    /// If no folder is given and this machine has no home folder.
    pub fn dir(&self) -> Result<PathBuf, Failure> {
        let none = || {
            Failure::usage("This machine has no home folder. Give the folder of the records with --data DIR.")
        };
        self.data.clone().or_else(crate::place::data_dir).ok_or_else(none)
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
        assert!(address(&["--tls-cert", "c"]).is_err(), "a certificate needs its key");
    }
}
