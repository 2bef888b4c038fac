//! The commands about backups.

use super::SignedArgs;
use clap::Args;
use std::path::PathBuf;

/// `backup`.
#[derive(Debug, Clone, Args)]
pub struct BackupArgs {
    /// Folder for the backup and, beside it, the photographs and videos [default: the folders of the settings]
    #[arg(long, value_name = "DIR")]
    pub to: Option<PathBuf>,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

/// `drill`.
#[derive(Debug, Clone, Args)]
pub struct DrillArgs {
    /// Folder of the backups [default: the folders of the settings]
    #[arg(long, value_name = "DIR")]
    pub of: Option<PathBuf>,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

/// `restore`.
#[derive(Debug, Clone, Args)]
pub struct RestoreArgs {
    /// The backup; its photographs and videos are in the folder beside it whose name ends in .pictures
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// Folder for the records; it must be empty or not there, unless --move-aside is given
    #[arg(long, value_name = "DIR")]
    pub to: PathBuf,
    /// Why it is restored; it stays with the records
    #[arg(long, value_name = "TEXT")]
    pub reason: String,
    /// Leave out entries saved after this moment: "2026-03-01 14:00", a day, or with a time zone
    /// "2026-03-01T13:00:00Z"
    #[arg(long, value_name = "MOMENT")]
    pub until: Option<String>,
    /// Move what is in the folder to another name beside it
    #[arg(long)]
    pub move_aside: bool,
    /// A key file that opens the backup [default: asks for the passphrase or the recovery code]
    #[arg(long, value_name = "FILE")]
    pub key_file: Option<PathBuf>,
    /// Read the passphrase or the recovery code from standard input instead of asking for it
    #[arg(long, conflicts_with = "key_file")]
    pub passphrase_stdin: bool,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
    /// Use this day as today
    #[arg(long, value_name = "DATE", hide = true)]
    pub today: Option<record::Day>,
}

/// `take-back-upgrade`.
#[derive(Debug, Clone, Args)]
pub struct TakeBackUpgradeArgs {
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}
