//! Runs the command of a command line.

use crate::{
    admission,
    cli::{Cli, Command},
    commands,
    exit::Failure,
    serve, unlock,
};

/// Runs a command.
///
/// # Errors
/// One sentence and an exit code.
pub fn run(cli: Cli) -> Result<(), Failure> {
    if let Some(command) = &cli.command {
        unlock::for_command(command)?;
    }
    let signed_in = cli.command.as_ref().map_or(Ok(None), admission::admit)?;
    match cli.command {
        None => serve::serve(&cli.serve),
        Some(Command::Serve(args)) => serve::serve(&args),
        Some(Command::Demo(args)) => serve::serve_demo(&args),
        Some(Command::Import(args)) => commands::import(&args, signed_in),
        Some(Command::Export(args)) => commands::export(&args, signed_in),
        Some(Command::Child(args)) => commands::child(&args, signed_in),
        Some(Command::Due(args)) => commands::due(&args, signed_in),
        Some(Command::Audit(args)) => commands::audit(&args),
        Some(Command::Backtest(args)) => commands::backtest(&args),
        Some(Command::Capacity(args)) => commands::capacity(&args),
        Some(Command::Survival(args)) => commands::survival(&args),
        Some(Command::Agreement(args)) => commands::agreement(&args),
        Some(Command::Wear(args)) => commands::wear(&args),
        Some(Command::Verify(args)) => commands::verify(&args),
        Some(Command::AccessLog(args)) => commands::access_log(&args),
        Some(Command::FamilyCopy(args)) => commands::family_copy(&args, signed_in),
        Some(Command::Erasure(args)) => commands::erasure(&args, signed_in),
        Some(Command::Retention(args)) => commands::retention(&args),
        Some(Command::AcceptRecords(args)) => commands::accept_records(&args, signed_in),
        Some(Command::Encrypt(args)) => commands::encrypt(&args),
        Some(Command::ChangeKey(args)) => commands::change_key(&args),
        Some(Command::RecoverySheet(args)) => commands::recovery_sheet(&args),
        Some(Command::Salvage(args)) => commands::salvage(&args),
        Some(Command::Backup(args)) => commands::backup(&args, signed_in),
        Some(Command::Drill(args)) => commands::drill(&args, signed_in),
        Some(Command::Restore(args)) => commands::restore(&args),
        Some(Command::TakeBackUpgrade(args)) => commands::take_back_upgrade(&args),
        Some(Command::People(args)) => commands::people(&args, signed_in),
        Some(Command::Completions { shell }) => commands::completions(shell),
    }
}
