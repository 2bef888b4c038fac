//! The commands about encryption.

use super::SignedArgs;
use clap::Args;
use std::path::PathBuf;

/// `encrypt`.
#[derive(Debug, Clone, Args)]
pub struct EncryptArgs {
    /// Folder for a copy of the records as they are now; the copy is not encrypted
    #[arg(long, value_name = "FOLDER", required_unless_present = "no_backup", conflicts_with = "no_backup")]
    pub backup: Option<PathBuf>,
    /// Make no copy first, because there is one
    #[arg(long)]
    pub no_backup: bool,
    /// Make a key file that unlocks the records too
    #[arg(long, value_name = "FILE")]
    pub new_key_file: Option<PathBuf>,
    /// The recovery sheet.
    #[command(flatten)]
    pub sheet: SheetArgs,
    /// Read the new passphrase from standard input, twice, on two lines
    #[arg(long)]
    pub passphrase_stdin: bool,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

/// The sheet with the recovery code.
#[derive(Debug, Clone, Args)]
pub struct SheetArgs {
    /// File for the recovery sheet, to be printed and then deleted [default: shown at the terminal]
    #[arg(long, value_name = "FILE")]
    pub sheet: Option<PathBuf>,
    /// Two halves for two people, each useless without the other
    #[arg(long)]
    pub split: bool,
}

/// `change-key`.
#[derive(Debug, Clone, Args)]
pub struct ChangeKeyArgs {
    /// Write all records anew with a new key: earlier passphrases, codes and key files no longer open them
    #[arg(long)]
    pub records_key: bool,
    /// Make a key file that unlocks the records
    #[arg(long, value_name = "FILE", conflicts_with_all = ["keyring", "remove_key_file"])]
    pub new_key_file: Option<PathBuf>,
    /// Save a key in the keyring of the operating system, which unlocks the records
    #[arg(long, conflicts_with_all = ["records_key", "remove_key_file"])]
    pub keyring: bool,
    /// No longer accept a key file, by the name under which it is listed; “keyring” for the keyring
    #[arg(long, value_name = "NAME", conflicts_with = "records_key")]
    pub remove_key_file: Option<String>,
    /// The recovery sheet of a new key.
    #[command(flatten)]
    pub sheet: SheetArgs,
    /// Read the new passphrase from standard input, twice, on two lines
    #[arg(long)]
    pub passphrase_stdin: bool,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}

/// `recovery-sheet`.
#[derive(Debug, Clone, Args)]
pub struct RecoverySheetArgs {
    /// The sheet.
    #[command(flatten)]
    pub sheet: SheetArgs,
    /// Where the records are, and with whose rights.
    #[command(flatten)]
    pub signed: SignedArgs,
}
