//! The commands about who opened which record.

use super::{DataArgs, SignedArgs};
use clap::{Args, Subcommand};
use record::Day;

/// `access-log`.
#[derive(Debug, Clone, Args)]
pub struct AccessLogArgs {
    /// What to do.
    #[command(subcommand)]
    pub command: AccessLogCommand,
}

/// What to do with the access log.
#[derive(Debug, Clone, Subcommand)]
pub enum AccessLogCommand {
    /// List who opened what, the latest first
    List(AccessListArgs),
    /// Check that no row was changed, removed or moved
    Verify(AccessVerifyArgs),
}

/// `access-log list`.
#[derive(Debug, Clone, Args)]
pub struct AccessListArgs {
    /// Only this child: id, hospital number or name
    #[arg(long, value_name = "CHILD")]
    pub child: Option<String>,
    /// Only this person, by sign-in name; “nobody” for commands without a sign-in
    #[arg(long, value_name = "SIGN-IN-NAME")]
    pub person: Option<String>,
    /// Only this device, by name
    #[arg(long, value_name = "NAME")]
    pub device: Option<String>,
    /// Only from this day on
    #[arg(long, value_name = "DAY")]
    pub from: Option<Day>,
    /// Only up to this day
    #[arg(long, value_name = "DAY")]
    pub to: Option<Day>,
    /// Only what was refused
    #[arg(long)]
    pub refused: bool,
    /// Only restricted records opened by somebody who is not named
    #[arg(long)]
    pub restricted: bool,
    /// At most so many rows
    #[arg(long, value_name = "N", default_value_t = 200, value_parser = clap::value_parser!(u32).range(1..=200_000))]
    pub limit: u32,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

/// `access-log verify`.
#[derive(Debug, Clone, Args)]
pub struct AccessVerifyArgs {
    /// Number of a row whose fingerprint was noted on paper
    #[arg(long, value_name = "N", requires = "fingerprint")]
    pub row: Option<i64>,
    /// The fingerprint that was noted
    #[arg(long, value_name = "TEXT", requires = "row")]
    pub fingerprint: Option<String>,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

impl AccessLogCommand {
    /// With whose rights, and where the records are.
    #[must_use]
    pub const fn signed(&self) -> &SignedArgs {
        match self {
            Self::List(args) => &args.signed,
            Self::Verify(args) => &args.signed,
        }
    }

    /// Where the records are.
    pub(super) const fn data_mut(&mut self) -> &mut DataArgs {
        match self {
            Self::List(args) => &mut args.signed.data,
            Self::Verify(args) => &mut args.signed.data,
        }
    }
}

/// `family-copy`.
#[derive(Debug, Clone, Args)]
pub struct FamilyCopyArgs {
    /// Id or hospital number of the child
    pub id: String,
    /// File to write [default: record-NUMBER.zip in this folder]
    #[arg(long, value_name = "FILE.zip")]
    pub file: Option<std::path::PathBuf>,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

/// `retention`.
#[derive(Debug, Clone, Args)]
pub struct RetentionArgs {
    /// Print JSON
    #[arg(long)]
    pub json: bool,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

/// `erasure`.
#[derive(Debug, Clone, Args)]
pub struct ErasureArgs {
    /// What to do.
    #[command(subcommand)]
    pub command: ErasureCommand,
}

/// What to do about erasures.
#[derive(Debug, Clone, Subcommand)]
pub enum ErasureCommand {
    /// List every request and what was erased
    List(ListErasuresArgs),
    /// Ask for the erasure of a whole record; another lead carries it out
    Request(RequestErasureArgs),
    /// Carry out a request of another lead: erases for good
    CarryOut(CarryOutErasureArgs),
    /// Close a request without erasing anything
    Refuse(RefuseErasureArgs),
}

/// `erasure list`.
#[derive(Debug, Clone, Args)]
pub struct ListErasuresArgs {
    /// Print JSON
    #[arg(long)]
    pub json: bool,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

/// `erasure request`.
#[derive(Debug, Clone, Args)]
pub struct RequestErasureArgs {
    /// Id or hospital number of the child
    pub id: String,
    /// Why; it stays after the erasure, so write no names
    #[arg(long, value_name = "TEXT")]
    pub reason: String,
    /// The legal basis in words
    #[arg(long, value_name = "TEXT")]
    pub basis: String,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

/// `erasure carry-out`.
#[derive(Debug, Clone, Args)]
pub struct CarryOutErasureArgs {
    /// Number of the request
    pub request: i64,
    /// Hospital number of the child, to confirm
    #[arg(long, value_name = "NUMBER")]
    pub number: String,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

/// `erasure refuse`.
#[derive(Debug, Clone, Args)]
pub struct RefuseErasureArgs {
    /// Number of the request
    pub request: i64,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

impl ErasureCommand {
    /// With whose rights, and where the records are.
    #[must_use]
    pub const fn signed(&self) -> &SignedArgs {
        match self {
            Self::List(args) => &args.signed,
            Self::Request(args) => &args.signed,
            Self::CarryOut(args) => &args.signed,
            Self::Refuse(args) => &args.signed,
        }
    }

    /// Where the records are.
    pub(super) const fn data_mut(&mut self) -> &mut DataArgs {
        match self {
            Self::List(args) => &mut args.signed.data,
            Self::Request(args) => &mut args.signed.data,
            Self::CarryOut(args) => &mut args.signed.data,
            Self::Refuse(args) => &mut args.signed.data,
        }
    }
}
