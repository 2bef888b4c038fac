//! Signing in: the one function that judges name, password and second factor, for pages and commands alike.

use super::{
    AttemptFrom, Throttle, password,
    recovery::{TypedCode, unused_hash},
    time_code::matching_step,
};
use clinic::{Account, Accounts, ArchiveError, FactorCounts};
use record::{Timestamp, UserId};

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
    /// From where.
    pub from: AttemptFrom,
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
    if check.throttle.is_some_and(|throttle| !throttle.allows(name, check.from, check.unix_seconds)) {
        return Ok(SignInResult::Throttled);
    }
    let account = check.accounts.account_by_name(name)?;
    let stored = account.as_ref().map(|account| account.password_hash.as_str());
    let right = password::check(password, stored);
    let known = account.as_ref().map(|account| account.id);
    let open = account.filter(|account| right && !account.disabled);
    let Some(account) = open.filter(|account| !check.is_locked_out(account.id, name)) else {
        check.failed(known, name)?;
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
    let name = check.accounts.account(id)?.map(|account| account.name).unwrap_or_default();
    let right = !check.is_locked_out(id, &name) && is_right(check, id, typed)?;
    if right {
        check.succeeded(id)?
    } else {
        check.failed(Some(id), &name)?
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
    /// Whether too many sign-ins failed in a row for this attempt to count. At a device at which the person signed in
    /// before it counts all the same, because others, elsewhere, may have failed on purpose; such a device is known
    /// no longer after some failures of its own.
    fn is_locked_out(&self, id: UserId, name: &str) -> bool {
        let known = self.throttle.is_some_and(|throttle| throttle.is_known(name, self.from));
        !known && is_locked(self.accounts, id)
    }

    /// Counts a failure; a command that only reads cannot.
    fn failed(&self, id: Option<UserId>, name: &str) -> Result<(), ArchiveError> {
        if let Some(throttle) = self.throttle {
            throttle.failed(name, self.from, self.unix_seconds);
        }
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

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::{
        app::{App, Mode},
        auth::password::HASH_RUNS,
        clock::Clock,
    };
    use record::Roles;
    use std::time::{Duration, Instant};

    const PASSWORD: &str = "plaster and patience";

    /// A clinic with one account that is open and one that is disabled.
    fn clinic(dir: &std::path::Path) -> App {
        let app = App::open(dir, Clock::new(None), Mode::default()).unwrap();
        for (name, disabled) in [("ida", false), ("gone", true)] {
            let account = Account {
                id: UserId::new(uuid::Uuid::now_v7()),
                name: name.to_owned(),
                display_name: name.to_owned(),
                password_hash: password::hash(PASSWORD).unwrap(),
                created_at: app.clock.now(),
                disabled,
                roles: Roles::FIRST,
                one_time_until: None,
                last_sign_in: None,
            };
            app.records.accounts().create_account(account).unwrap();
        }
        app
    }

    /// A judgement without the throttle, with the number of passwords compared and the time it took.
    fn judged(app: &App, name: &str, typed: &str) -> (SignInResult, usize, Duration) {
        let accounts = app.records.accounts();
        let check = SignInCheck {
            accounts: &accounts,
            throttle: None,
            from: AttemptFrom::default(),
            now: app.clock.now(),
            unix_seconds: 0,
        };
        let (before, began) = (HASH_RUNS.get(), Instant::now());
        let result = authenticate(&check, name, typed, None).unwrap();
        (result, HASH_RUNS.get() - before, began.elapsed())
    }

    #[test]
    fn an_unknown_name_costs_as_many_hashes_as_a_known_one() {
        let dir = tempfile::tempdir().unwrap();
        let app = clinic(dir.path());
        for typed in ["not the password", "ｎｏｔ ｔｈｅ ｐａｓｓｗｏｒｄ"] {
            let (known, runs, _) = judged(&app, "ida", typed);
            assert!(runs > 0 && known == SignInResult::Refused);
            for name in ["nobody", "gone", "", "ida "] {
                assert_eq!(judged(&app, name, typed).1, runs, "{name:?} {typed}");
            }
        }
        assert_eq!(judged(&app, "gone", PASSWORD).0, SignInResult::Refused, "disabled, though it is right");
    }

    /// By hand, on a quiet machine: `cargo test --workspace --lib -- --ignored --nocapture takes_as_long`.
    #[test]
    #[ignore = "compares times, which a busy machine distorts"]
    fn an_unknown_name_takes_as_long_as_a_known_one() {
        let dir = tempfile::tempdir().unwrap();
        let app = clinic(dir.path());
        let median = |name: &str| {
            let mut times: Vec<Duration> =
                (0..41).map(|_| judged(&app, name, "not the password").2).collect();
            times.sort();
            times[20].as_secs_f64() * 1e3
        };
        let (known, unknown) = (median("ida"), median("nobody"));
        println!("known {known:.2} ms, unknown {unknown:.2} ms");
        assert!((known - unknown).abs() < 0.25 * known, "known {known:.2} ms, unknown {unknown:.2} ms");
    }
}
