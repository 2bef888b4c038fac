//! `people`: the people of the clinic, and the way back in after a lost password.

use super::{Reading, print, print_json};
use crate::{
    cli::{
        AddPersonArgs, DataArgs, PeopleArgs, PeopleCommand, PersonArgs, PersonRolesArgs, RenamePersonArgs,
        ResetSecondFactorArgs,
    },
    clock::{self, Clock},
    exit::Failure,
    people::{Handover, People},
};
use clinic::{Account, Accounts, FactorCounts};
use record::{Role, Roles, UserId};
use serde::Serialize;
use std::fmt::Write as _;

/// Everybody who works here.
#[derive(Debug, Serialize)]
struct PeopleListed {
    people: Vec<PersonListed>,
}

/// One person.
#[derive(Debug, Serialize)]
struct PersonListed {
    sign_in_name: String,
    name: String,
    roles: Vec<&'static str>,
    disabled: bool,
    /// When the person last signed in; `null` if never.
    last_sign_in: Option<String>,
    sessions: usize,
    second_factor: FactorsListed,
    /// Until when a one-time password works; `null` where the person has an own one.
    one_time_until: Option<String>,
}

/// Which second factors somebody has.
#[derive(Debug, Serialize)]
struct FactorsListed {
    codes: bool,
    passkeys: usize,
    /// Recovery codes that were not used.
    recovery_codes: usize,
}

impl FactorsListed {
    fn of(factors: FactorCounts) -> Self {
        let FactorCounts { codes, passkeys, recovery_codes } = factors;
        Self { codes, passkeys, recovery_codes }
    }

    fn words(&self) -> Option<String> {
        let codes = self.codes.then(|| "codes".to_owned());
        let passkeys = (self.passkeys > 0).then(|| format!("passkeys: {}", self.passkeys));
        let kinds: Vec<String> = codes.into_iter().chain(passkeys).collect();
        (!kinds.is_empty())
            .then(|| format!("{}; recovery codes left: {}", kinds.join(", "), self.recovery_codes))
    }
}

/// Lists or changes the people of a clinic.
///
/// # Errors
/// When the records cannot be used, there is nobody of that name, or the change is refused.
pub fn people(args: &PeopleArgs, signed_in: Option<UserId>) -> Result<(), Failure> {
    match &args.command {
        PeopleCommand::List(args) => list(&args.signed.data, args.json),
        PeopleCommand::Add(args) => add(args),
        PeopleCommand::Rename(args) => rename(args),
        PeopleCommand::Roles(args) => set_roles(args),
        PeopleCommand::Disable(args) => change(args, |people, account| {
            people.accounts().set_disabled(account.id, true)?;
            Ok(format!("{} is disabled and cannot sign in.\n", account.display_name))
        }),
        PeopleCommand::Enable(args) => change(args, |people, account| {
            people.accounts().set_disabled(account.id, false)?;
            Ok(format!("{} is enabled again.\n", account.display_name))
        }),
        PeopleCommand::ResetPassword(args) => change(args, |people, account| {
            Ok(handed_over(&account.display_name, &account.name, &people.reset(account.id)?))
        }),
        PeopleCommand::ResetSecondFactor(args) => reset_second_factor(args, signed_in),
        PeopleCommand::EndSessions(args) => change(args, |people, account| {
            people.accounts().end_sessions_of(account.id)?;
            Ok(format!("Every session of {} is ended.\n", account.display_name))
        }),
    }
}

fn reset_second_factor(args: &ResetSecondFactorArgs, by: Option<UserId>) -> Result<(), Failure> {
    let (accounts, clock) = open(&args.signed.data)?;
    let account = named(&accounts, &args.person)?;
    People::of(accounts, &clock).reset_second_factor(account.id, by, &args.why)?;
    print(&format!(
        "Codes, passkeys and recovery codes of {} are removed, and every session is ended.\n",
        account.display_name
    ))
}

fn list(data: &DataArgs, json: bool) -> Result<(), Failure> {
    let reading = Reading::open(data)?;
    let (accounts, now) = (reading.records.accounts(), reading.clock.now());
    let mut people = Vec::new();
    for account in accounts.all()? {
        let sessions = accounts.sessions_of(account.id)?;
        people.push(PersonListed {
            sessions: sessions.iter().filter(|session| now < session.expires).count(),
            second_factor: FactorsListed::of(accounts.factors(account.id)?),
            sign_in_name: account.name,
            name: account.display_name,
            roles: account.roles.iter().map(Role::key).collect(),
            disabled: account.disabled,
            last_sign_in: account.last_sign_in.map(clock::local_words),
            one_time_until: account.one_time_until.map(clock::local_words),
        });
    }
    if json { print_json(&PeopleListed { people }) } else { print(&as_text(&people)) }
}

fn as_text(people: &[PersonListed]) -> String {
    let mut text = String::new();
    for one in people {
        let state = if one.disabled { ", disabled" } else { "" };
        // Writing to a string does not fail.
        let _ = writeln!(text, "{}: {} ({}){state}", one.sign_in_name, one.name, one.roles.join(", "));
        if let Some(at) = &one.last_sign_in {
            let _ = writeln!(text, "  last sign-in {at}, open sessions: {}", one.sessions);
        }
        if let Some(words) = one.second_factor.words() {
            let _ = writeln!(text, "  second factor: {words}");
        }
        if let Some(until) = &one.one_time_until {
            let _ = writeln!(text, "  has a one-time password, valid until {until}");
        }
    }
    if people.is_empty() {
        text.push_str("Nobody has an account yet.\n");
    }
    text
}

fn add(args: &AddPersonArgs) -> Result<(), Failure> {
    let (accounts, clock) = open(&args.signed.data)?;
    let roles: Roles = args.roles.iter().copied().collect();
    if accounts.all()?.is_empty() && !roles.has(Role::Lead) {
        let text = "The first person has to be a lead, so that somebody can add others: give --role lead.";
        return Err(Failure::usage(text));
    }
    let (_, handover) = People::of(accounts, &clock).add(&args.sign_in_name, &args.name, roles)?;
    print(&handed_over(&args.name, &args.sign_in_name, &handover))
}

fn rename(args: &RenamePersonArgs) -> Result<(), Failure> {
    let (accounts, clock) = open(&args.signed.data)?;
    let account = named(&accounts, &args.person)?;
    let new = args.sign_in_name.as_deref().unwrap_or(&account.name);
    let shown = args.name.as_deref().unwrap_or(&account.display_name);
    People::of(accounts, &clock).rename(account.id, new, shown)?;
    print(&format!("{shown} signs in as {new}.\n"))
}

fn set_roles(args: &PersonRolesArgs) -> Result<(), Failure> {
    let (accounts, clock) = open(&args.signed.data)?;
    let (account, roles) = (named(&accounts, &args.person)?, args.roles.iter().copied().collect::<Roles>());
    People::of(accounts, &clock).set_roles(account.id, roles)?;
    print(&format!("{}: {}.\n", account.display_name, roles.words()))
}

/// Changes one person, and prints what was done.
fn change(
    args: &PersonArgs,
    act: impl FnOnce(&People<'_>, &Account) -> Result<String, Failure>,
) -> Result<(), Failure> {
    let (accounts, clock) = open(&args.signed.data)?;
    let account = named(&accounts, &args.person)?;
    print(&act(&People::of(accounts, &clock), &account)?)
}

/// The account of a sign-in name.
fn named(accounts: &Accounts, person: &str) -> Result<Account, Failure> {
    accounts.account_by_name(person)?.ok_or_else(|| {
        Failure::failed(format!("Nobody signs in as “{person}”. plantigrade people list shows the names."))
    })
}

fn open(data: &DataArgs) -> Result<(Accounts, Clock), Failure> {
    let dir = data.dir()?;
    let records = super::open_to_write(&dir)?;
    Ok((records.accounts(), Clock::new(data.today)))
}

fn handed_over(name: &str, sign_in_name: &str, handover: &Handover) -> String {
    format!(
        "One-time password for {name}: {}\nIt is not shown again. {name} signs in as {sign_in_name} with it until {}, and then chooses a password.\n",
        handover.text,
        clock::local_words(handover.until)
    )
}
