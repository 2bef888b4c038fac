//! `completions`: the script by which a shell completes the commands.

use super::print;
use crate::{cli::Cli, exit::Failure};
use clap::CommandFactory;

/// Prints the script for a shell.
///
/// # Errors
/// When standard output cannot be written.
pub fn completions(shell: clap_complete::Shell) -> Result<(), Failure> {
    let mut text = Vec::new();
    clap_complete::generate(shell, &mut Cli::command(), "plantigrade", &mut text);
    print(&String::from_utf8_lossy(&text))
}
