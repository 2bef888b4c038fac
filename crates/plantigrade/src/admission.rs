//! Who runs a command, and whether they may: every command passes through here before it does anything.
//!
//! Whoever can read the files of records that are not encrypted, or has their key, can read them without this program.
//! A command without `--as` is therefore run by the owner of the computer, with a lead's rights. With
//! `commands_require_sign_in = true` in the clinic's file every command that uses the records asks who runs it; that
//! keeps honest people to their roles, and keeps nobody out who may write that file.

use crate::{
    access::AccessNeed,
    access_noting::THIS_COMPUTER,
    app,
    auth::{self, AttemptFrom, SignInCheck, SignInResult, TypedCode},
    cli::{Command, DataArgs, SignInArgs, SignedArgs},
    clock::Clock,
    exit::Failure,
    folder_key,
    second_factor::is_required,
    settings::Settings,
};
use clinic::{
    AccessAct, AccessEvent, AccessLog, AccessOutcome, Account, Accounts, ClinicRecords, FactorCounts,
    RecordsOptions,
};
use record::{ChildId, Right, Rights, Role, Roles, UserId};
use std::{
    io::{BufRead, IsTerminal},
    path::Path,
    sync::Arc,
};

/// Lets a command be run, or says why not. Returns who signed in to it, to whom its entries belong.
///
/// # Errors
/// When a sign-in is required and missing or wrong, or the person lacks the right.
pub fn admit(command: &Command) -> Result<Option<UserId>, Failure> {
    let AccessNeed::Right(needed) = command.needs() else { return Ok(None) };
    // A command that needs a right and does not say whose is run by nobody, who has none.
    let Some(SignedArgs { data, sign_in }) = command.signed() else { return Err(refusal(needed)) };
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
    let noted = data
        .dir()
        .and_then(|dir| Ok(AccessLog::append_now(&dir, folder_key::database_key(&dir)?.as_ref(), &[event])?));
    if let Err(failure) = noted {
        tracing::warn!("the access log cannot be written, so this command is not noted in it: {failure}");
    }
}

fn rights_of(sign_in: &SignInArgs, data: &DataArgs) -> Result<(Option<UserId>, Rights), Failure> {
    if let Some(name) = &sign_in.sign_in_as {
        let account = signed_in(name, sign_in, data)?;
        return Ok((Some(account.id), account.roles.rights()));
    }
    if Settings::read(&data.dir()?)?.commands_require_sign_in {
        return Err(Failure::not_allowed(
            "This clinic asks who runs a command: add --as with your sign-in name.",
        ));
    }
    Ok((None, Roles::NONE.with(Role::Lead).rights()))
}

/// The account of a person who gives the password, and the code where one is needed.
fn signed_in(name: &str, sign_in: &SignInArgs, data: &DataArgs) -> Result<Account, Failure> {
    let dir = data.dir()?;
    let (protocol, key) = (app::protocol(&dir)?, folder_key::database_key(&dir)?);
    let accounts = ClinicRecords::open_for_reading(&dir, Arc::clone(&protocol), key.clone())?.accounts();
    let password = read_secret(&format!("Password of {name}: "), sign_in.password_stdin)?;
    match auth::authenticate(&check(&accounts, data), name, &password, None)? {
        SignInResult::SignedIn(account) => without_code(account, &dir),
        SignInResult::CodeNeeded(account, factors) | SignInResult::WrongCode(account, factors) => {
            drop(accounts);
            let code = read_code(sign_in, factors)?;
            // While the program runs no command can note that a code was used.
            let how = RecordsOptions { key: key.clone(), ..RecordsOptions::default() };
            let records = ClinicRecords::open(&dir, Arc::clone(&protocol), how);
            let records = records.or_else(|_| ClinicRecords::open_for_reading(&dir, protocol, key))?;
            let right = auth::second_step(&check(&records.accounts(), data), account.id, &code)?;
            let wrong = "The code is wrong, was used already, or its time is over. Wait for the next one.";
            if right { Ok(account) } else { Err(Failure::not_allowed(wrong)) }
        }
        SignInResult::ChooseFirst(_) => Err(Failure::not_allowed(
            "This is a one-time password: sign in on the pages first and choose your own.",
        )),
        SignInResult::Expired => {
            Err(Failure::not_allowed("This one-time password has expired. Ask a lead for a new one."))
        }
        SignInResult::Refused | SignInResult::Throttled => {
            Err(Failure::not_allowed("The name or the password is wrong. The password is case-sensitive."))
        }
    }
}

fn check<'a>(accounts: &'a Accounts, data: &DataArgs) -> SignInCheck<'a> {
    let (now, unix_seconds) = (Clock::new(data.today).now(), Clock::machine_seconds());
    SignInCheck { accounts, throttle: None, from: AttemptFrom::default(), now, unix_seconds }
}

/// A person without a second factor, unless the clinic's file requires one. What holds by default depends on how the
/// program is served, which a command does not know.
fn without_code(account: Account, dir: &Path) -> Result<Account, Failure> {
    match Settings::read(dir)?.second_factor {
        Some(policy) if is_required(policy, account.roles) => Err(Failure::not_allowed(
            "This clinic requires a second factor of you: sign in on the pages first and set it up.",
        )),
        _ => Ok(account),
    }
}

/// The code of the telephone: from the command line, typed, or from standard input.
fn read_code(sign_in: &SignInArgs, factors: FactorCounts) -> Result<String, Failure> {
    if !factors.codes {
        return Err(Failure::not_allowed(
            "Your second factor is a passkey, which a command cannot ask for: set up codes on the page “Second factor”.",
        ));
    }
    let code = match &sign_in.code {
        Some(code) => code.clone(),
        None => read_secret("Code: ", sign_in.password_stdin)?,
    };
    match TypedCode::read(&code) {
        Some(TypedCode::Recovery(_)) => Err(Failure::not_allowed(
            "Recovery codes work on the pages only: a command takes the code of your telephone.",
        )),
        _ => Ok(code),
    }
}

/// A password or a code: typed without being shown, or the next line of standard input.
///
/// # Errors
/// When there is no terminal, or nothing was given.
pub fn read_secret(prompt: &str, from_stdin: bool) -> Result<String, Failure> {
    let broken = |error: std::io::Error| Failure::failed(format!("The password could not be read: {error}."));
    if !from_stdin && std::io::stdin().is_terminal() {
        return rpassword::prompt_password(prompt).map_err(broken);
    }
    if !from_stdin {
        return Err(Failure::usage(
            "There is no terminal to type it at: give it on standard input, with --password-stdin or, for a restore, --passphrase-stdin.",
        ));
    }
    let mut line = String::new();
    std::io::stdin().lock().read_line(&mut line).map_err(broken)?;
    let secret = line.trim_end_matches(['\r', '\n']).to_owned();
    let missing =
        "No password was given, or no code on the second line for a person who has a second factor.";
    if secret.is_empty() { Err(Failure::not_allowed(missing)) } else { Ok(secret) }
}

fn refusal(needed: Right) -> Failure {
    let roles: Vec<&str> = needed.roles().map(Role::words).collect();
    Failure::not_allowed(format!("You may not {}. It needs the role {}.", needed.words(), roles.join(" or ")))
}
