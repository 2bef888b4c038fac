//! Who runs a command, and whether they may: every command passes through here before it does anything.
//!
//! Nothing on the disk is encrypted yet, so that whoever can read the files of the records can read them without
//! this program. A command without `--as` is therefore run by the owner of the computer, with a lead's rights. With
//! `commands_require_sign_in = true` in the clinic's file every command that uses the records asks who runs it; that
//! keeps honest people to their roles, and keeps nobody out who may write that file.

use crate::{
    access::AccessNeed,
    access_noting::THIS_COMPUTER,
    app, auth,
    cli::{Command, DataArgs, SignInArgs},
    clock::Clock,
    exit::Failure,
    settings::Settings,
};
use clinic::{AccessAct, AccessEvent, AccessLog, AccessOutcome, Account, ClinicRecords};
use record::{ChildId, Right, Rights, Role, Roles, UserId};
use std::io::{BufRead, IsTerminal};

/// Lets a command be run, or says why not. Returns who signed in to it, to whom its entries belong.
///
/// # Errors
/// When a sign-in is required and missing or wrong, or the person lacks the right.
pub fn admit(command: &Command) -> Result<Option<UserId>, Failure> {
    let AccessNeed::Right(needed) = command.needs() else { return Ok(None) };
    // A command that needs a right and does not say whose is run by nobody, who has none.
    let Some((sign_in, data)) = command.signed() else { return Err(refusal(needed)) };
    let (who, rights) = rights_of(sign_in, data)?;
    let allowed = rights.has(needed);
    if let Some(noted) = command.noted_as().filter(|noted| !(allowed && noted.notes_child)) {
        let (outcome, note) =
            if allowed { (AccessOutcome::Opened, "") } else { (AccessOutcome::Refused, needed.words()) };
        note_command(data, who, noted.name, None, (outcome, note));
    }
    if allowed { Ok(who) } else { Err(refusal(needed)) }
}

/// Notes in the access log what a command shows. Where it cannot be noted, the person is told, and the command goes on.
pub fn note_command(
    data: &DataArgs,
    person: Option<UserId>,
    name: &str,
    child: Option<ChildId>,
    (outcome, note): (AccessOutcome, &str),
) {
    let event = AccessEvent {
        at: Clock::new(data.today).now(),
        person,
        device: THIS_COMPUTER.to_owned(),
        child,
        act: AccessAct::Command,
        what: name.to_owned(),
        outcome,
        note: note.to_owned(),
    };
    let noted = data.dir().and_then(|dir| Ok(AccessLog::append_now(&dir, &[event])?));
    if let Err(failure) = noted {
        tracing::warn!("the access log cannot be written, so this command is not noted in it: {failure}");
    }
}

fn rights_of(sign_in: &SignInArgs, data: &DataArgs) -> Result<(Option<UserId>, Rights), Failure> {
    if let Some(name) = &sign_in.sign_in_as {
        let account = signed_in(name, sign_in.password_stdin, data)?;
        return Ok((Some(account.id), account.roles.rights()));
    }
    if Settings::read(&data.dir()?)?.commands_require_sign_in {
        return Err(Failure::not_allowed(
            "This clinic asks who runs a command: add --as with your sign-in name.",
        ));
    }
    Ok((None, Roles::NONE.with(Role::Lead).rights()))
}

/// The account of a person who gives the password.
fn signed_in(name: &str, from_stdin: bool, data: &DataArgs) -> Result<Account, Failure> {
    let dir = data.dir()?;
    let protocol = app::protocol(&dir)?;
    let accounts = ClinicRecords::open_for_reading(&dir, protocol)?.accounts();
    let password = read_password(name, from_stdin)?;
    let account = accounts.account_by_name(name)?;
    let right = auth::check_password(&password, account.as_ref().map(|found| found.password_hash.as_str()));
    let account = account.filter(|found| right && !found.disabled).ok_or_else(|| {
        Failure::not_allowed("The name or the password is wrong. The password is case-sensitive.")
    })?;
    match account.one_time_until {
        None => Ok(account),
        Some(until) if Clock::new(data.today).now() < until => Err(Failure::not_allowed(
            "This is a one-time password: sign in on the pages first and choose your own.",
        )),
        Some(_) => Err(Failure::not_allowed("This one-time password has expired. Ask a lead for a new one.")),
    }
}

/// The password: typed without being shown, or the first line of standard input.
fn read_password(name: &str, from_stdin: bool) -> Result<String, Failure> {
    let broken = |error: std::io::Error| Failure::failed(format!("The password could not be read: {error}."));
    if !from_stdin && std::io::stdin().is_terminal() {
        return rpassword::prompt_password(format!("Password of {name}: ")).map_err(broken);
    }
    if !from_stdin {
        return Err(Failure::usage(
            "There is no terminal to type the password at: give it on standard input with --password-stdin.",
        ));
    }
    let mut line = String::new();
    std::io::stdin().lock().read_line(&mut line).map_err(broken)?;
    let password = line.trim_end_matches(['\r', '\n']).to_owned();
    if password.is_empty() { Err(Failure::not_allowed("No password was given.")) } else { Ok(password) }
}

fn refusal(needed: Right) -> Failure {
    let roles: Vec<&str> = needed.roles().map(Role::words).collect();
    Failure::not_allowed(format!("You may not {}. It needs the role {}.", needed.words(), roles.join(" or ")))
}
