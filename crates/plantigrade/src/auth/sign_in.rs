//! Signing in: the one function that judges name, password and second factor, for pages and commands alike.

use super::{
    Throttle, password,
    recovery::{TypedCode, unused_hash},
    time_code::matching_step,
};
use clinic::{Account, Accounts, ArchiveError, FactorCounts};
use record::{Timestamp, UserId};
use std::net::IpAddr;

/// Failed sign-ins in a row after which an account is locked until it gets a new one-time password: NIST SP 800-63B
/// allows at most 100 (section on rate limiting; from memory).
pub const FAILURES_AT_MOST: u32 = 100;

/// What a name, a password and a code open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SignInResult {
    /// Everything is right: a session may begin.
    SignedIn(Account),
    /// The password is right; a code or a passkey of the person is needed besides, and none was given.
    CodeNeeded(Account, FactorCounts),
    /// The password is right, the code is not.
    WrongCode(Account, FactorCounts),
    /// It was a one-time password: its owner must choose an own one first.
    ChooseFirst(Account),
    /// It was a one-time password, too late.
    Expired,
    /// Name or password is wrong, or the account is disabled or locked. Nothing tells which.
    Refused,
    /// Too many attempts: nothing was looked at.
    Throttled,
}

/// Where accounts are, who asks, and when.
pub struct SignInCheck<'a> {
    /// The accounts.
    pub accounts: &'a Accounts,
    /// Slows down guessing; `None` for a command on the computer itself.
    pub throttle: Option<&'a Throttle>,
    /// From where, if it is known.
    pub from: Option<IpAddr>,
    /// The instant by the clinic's clock.
    pub now: Timestamp,
    /// Seconds since 1970 by the machine's clock, also on a fixed day: codes are made by the clocks of telephones.
    pub unix_seconds: i64,
}

/// Judges a sign-in. It takes the time of a password hash: call it where that harms nobody. No session is begun.
///
/// # Errors
/// When the records cannot be read or written.
pub fn authenticate(
    check: &SignInCheck<'_>,
    name: &str,
    password: &str,
    code: Option<&str>,
) -> Result<SignInResult, ArchiveError> {
    if check.throttle.is_some_and(|throttle| !throttle.allows(name, check.from)) {
        return Ok(SignInResult::Throttled);
    }
    let account = check.accounts.account_by_name(name)?;
    let stored = account.as_ref().map(|account| account.password_hash.as_str());
    let right = password::check(password, stored);
    let known = account.as_ref().map(|account| account.id);
    let open = account.filter(|account| right && !account.disabled);
    let Some(account) = open.filter(|account| !is_locked(check.accounts, account.id)) else {
        check.failed(known)?;
        return Ok(SignInResult::Refused);
    };
    match account.one_time_until {
        Some(until) if check.now < until => return Ok(SignInResult::ChooseFirst(account)),
        Some(_) => return Ok(SignInResult::Expired),
        None => {}
    }
    let factors = check.accounts.factors(account.id)?;
    match code {
        _ if !factors.any() => {
            check.succeeded(account.id)?;
            Ok(SignInResult::SignedIn(account))
        }
        None => Ok(SignInResult::CodeNeeded(account, factors)),
        Some(code) if second_step(check, account.id, code)? => Ok(SignInResult::SignedIn(account)),
        Some(_) => Ok(SignInResult::WrongCode(account, factors)),
    }
}

/// Judges the code of a person whose password was right, and uses it up if it is right.
///
/// # Errors
/// When the records cannot be read or written.
pub fn second_step(check: &SignInCheck<'_>, id: UserId, typed: &str) -> Result<bool, ArchiveError> {
    let right = !is_locked(check.accounts, id) && is_right(check, id, typed)?;
    if right {
        check.succeeded(id)?
    } else {
        check.failed(Some(id))?
    }
    Ok(right)
}

/// Whether a code of a person is right; then it is used up.
fn is_right(check: &SignInCheck<'_>, id: UserId, typed: &str) -> Result<bool, ArchiveError> {
    let accounts = check.accounts;
    match TypedCode::read(typed) {
        Some(TypedCode::Time(digits)) => {
            let Some(secret) = accounts.code_secret(id)? else { return Ok(false) };
            let step = matching_step(&secret.secret, &digits, check.unix_seconds, secret.last_step);
            step.map_or(Ok(false), |step| used_up(check, id, step))
        }
        Some(TypedCode::Recovery(code)) => {
            let Some(codes) = accounts.recovery_codes(id)? else { return Ok(false) };
            match unused_hash(&codes, &code) {
                Ok(Some(hash)) => accounts.use_recovery_code(id, hash, check.now),
                _ => Ok(false),
            }
        }
        None => Ok(false),
    }
}

/// Uses up the code of a step. A command that only reads cannot while the program runs: see the manual.
fn used_up(check: &SignInCheck<'_>, id: UserId, step: i64) -> Result<bool, ArchiveError> {
    match check.accounts.use_code_step(id, step) {
        Err(ArchiveError::ReadingOnly) => Ok(true),
        other => other,
    }
}

/// Whether too many sign-ins failed in a row. Records that cannot be read let nobody in.
pub fn is_locked(accounts: &Accounts, id: UserId) -> bool {
    accounts.failures(id).map_or(true, |failures| failures >= FAILURES_AT_MOST)
}

impl SignInCheck<'_> {
    /// Counts a failure; a command that only reads cannot.
    fn failed(&self, id: Option<UserId>) -> Result<(), ArchiveError> {
        written(self.accounts.count_failure(id))
    }

    /// Begins to count failures anew, where there are any.
    fn succeeded(&self, id: UserId) -> Result<(), ArchiveError> {
        if self.accounts.failures(id)? > 0 { written(self.accounts.forget_failures(id)) } else { Ok(()) }
    }
}

fn written(result: Result<(), ArchiveError>) -> Result<(), ArchiveError> {
    match result {
        Err(ArchiveError::ReadingOnly) => Ok(()),
        other => other,
    }
}
