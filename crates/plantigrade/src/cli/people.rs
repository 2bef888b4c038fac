//! The commands about people, and the options by which somebody signs in to a command.

use super::DataArgs;
use clap::{Args, Subcommand};
use record::Role;
use std::path::PathBuf;

/// With whose rights a command runs.
#[derive(Debug, Clone, Default, Args)]
pub struct SignInArgs {
    /// Sign in and use this person's rights [default: the owner of this computer, with a lead's rights]
    #[arg(long = "as", value_name = "SIGN-IN-NAME")]
    pub sign_in_as: Option<String>,
    /// Read the password, and on a second line the code, from standard input instead of asking for it
    #[arg(long, requires = "sign_in_as")]
    pub password_stdin: bool,
    /// The code of the second factor, where the person has one [default: asked for, or the second line of
    /// standard input]
    #[arg(long, value_name = "CODE", requires = "sign_in_as")]
    pub code: Option<String>,
}

/// Where the records are, and with whose rights a command runs on them.
#[derive(Debug, Clone, Default, Args)]
pub struct SignedArgs {
    /// Where the records are.
    #[command(flatten)]
    pub data: DataArgs,
    /// With whose rights.
    #[command(flatten)]
    pub sign_in: SignInArgs,
}

/// `verify`.
#[derive(Debug, Clone, Args)]
pub struct VerifyArgs {
    /// Print JSON
    #[arg(long)]
    pub json: bool,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

/// `accept-records`.
#[derive(Debug, Clone, Args)]
pub struct AcceptRecordsArgs {
    /// Why these records are the ones to go on with; it stays with them
    #[arg(long, value_name = "TEXT")]
    pub reason: String,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

/// `salvage`.
#[derive(Debug, Clone, Args)]
pub struct SalvageArgs {
    /// Folder for the new records; it must not have any yet
    #[arg(long, value_name = "DIR")]
    pub to: PathBuf,
    /// Print JSON
    #[arg(long)]
    pub json: bool,
    /// Where the damaged records are, in which nothing is changed, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

/// `people`.
#[derive(Debug, Clone, Args)]
pub struct PeopleArgs {
    /// What to do.
    #[command(subcommand)]
    pub command: PeopleCommand,
}

/// What to do about people.
#[derive(Debug, Clone, Subcommand)]
pub enum PeopleCommand {
    /// List everybody with roles, last sign-in and open sessions
    List(ListPeopleArgs),
    /// Add a person and print a one-time password
    Add(AddPersonArgs),
    /// Change the names of a person
    Rename(RenamePersonArgs),
    /// Give a person these roles and no others
    Roles(PersonRolesArgs),
    /// Disable a person, who then cannot sign in
    Disable(PersonArgs),
    /// Enable a disabled person
    Enable(PersonArgs),
    /// Print a one-time password; the present password stops working
    ResetPassword(PersonArgs),
    /// End every session of a person
    EndSessions(PersonArgs),
    /// Remove the codes, passkeys and recovery codes of a person who lost them
    ResetSecondFactor(ResetSecondFactorArgs),
}

/// `people list`.
#[derive(Debug, Clone, Args)]
pub struct ListPeopleArgs {
    /// Print JSON
    #[arg(long)]
    pub json: bool,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

/// `people add`.
#[derive(Debug, Clone, Args)]
pub struct AddPersonArgs {
    /// Name to sign in with
    pub sign_in_name: String,
    /// Name shown on entries
    #[arg(long, value_name = "NAME")]
    pub name: String,
    /// Role: clinician, coordinator, theatre, auditor or lead; several separated by commas
    #[arg(long = "role", value_name = "ROLE", value_delimiter = ',', required = true, value_parser = role)]
    pub roles: Vec<Role>,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

/// `people rename`.
#[derive(Debug, Clone, Args)]
pub struct RenamePersonArgs {
    /// Sign-in name of the person
    pub person: String,
    /// New name to sign in with
    #[arg(long, value_name = "NAME", required_unless_present = "name")]
    pub sign_in_name: Option<String>,
    /// New name shown on entries
    #[arg(long, value_name = "NAME")]
    pub name: Option<String>,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

/// `people roles`.
#[derive(Debug, Clone, Args)]
pub struct PersonRolesArgs {
    /// Sign-in name of the person
    pub person: String,
    /// Role: clinician, coordinator, theatre, auditor or lead; several separated by commas
    #[arg(long = "role", value_name = "ROLE", value_delimiter = ',', required = true, value_parser = role)]
    pub roles: Vec<Role>,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

/// The other commands about one person.
#[derive(Debug, Clone, Args)]
pub struct PersonArgs {
    /// Sign-in name of the person
    pub person: String,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

/// `people reset-second-factor`.
#[derive(Debug, Clone, Args)]
pub struct ResetSecondFactorArgs {
    /// Sign-in name of the person
    pub person: String,
    /// Why; it stays in the history of the person
    #[arg(long, value_name = "TEXT")]
    pub why: String,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

fn role(key: &str) -> Result<Role, &'static str> {
    Role::from_key(key).ok_or("expected clinician, coordinator, theatre, auditor or lead")
}

impl PeopleCommand {
    /// With whose rights, and where the records are.
    #[must_use]
    pub const fn signed(&self) -> &SignedArgs {
        match self {
            Self::List(args) => &args.signed,
            Self::Add(args) => &args.signed,
            Self::Rename(args) => &args.signed,
            Self::Roles(args) => &args.signed,
            Self::ResetSecondFactor(args) => &args.signed,
            Self::Disable(args)
            | Self::Enable(args)
            | Self::ResetPassword(args)
            | Self::EndSessions(args) => &args.signed,
        }
    }

    /// Where the records are.
    pub(super) const fn data_mut(&mut self) -> &mut DataArgs {
        match self {
            Self::List(args) => &mut args.signed.data,
            Self::Add(args) => &mut args.signed.data,
            Self::Rename(args) => &mut args.signed.data,
            Self::Roles(args) => &mut args.signed.data,
            Self::ResetSecondFactor(args) => &mut args.signed.data,
            Self::Disable(args)
            | Self::Enable(args)
            | Self::ResetPassword(args)
            | Self::EndSessions(args) => &mut args.signed.data,
        }
    }
}
