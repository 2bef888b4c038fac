//! What a name and a password open: the one place in which it is decided, whoever asks.

use super::password;
use clinic::{Account, Accounts, ArchiveError};
use record::Timestamp;

/// What a person typed to show who they are.
#[derive(Clone, Default)]
pub struct Credentials {
    /// The sign-in name.
    pub name: String,
    /// The password.
    pub password: String,
    /// A code besides the password; empty where none was typed.
    pub code: String,
}

/// What a name and a password open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SignInOutcome {
    /// The account.
    In(Box<Account>),
    /// It was a one-time password: its owner has to choose an own one first.
    ChooseFirst(Box<Account>),
    /// It was a one-time password, too late.
    Expired,
    /// Nothing.
    Not,
}

/// Decides what credentials open. It is slow on purpose: do not call it on the threads that answer requests.
///
/// # Errors
/// When the records cannot be read.
pub fn check_credentials(
    accounts: &Accounts,
    given: &Credentials,
    now: Timestamp,
) -> Result<SignInOutcome, ArchiveError> {
    let account = accounts.account_by_name(&given.name)?;
    let stored = account.as_ref().map(|account| account.password_hash.as_str());
    let right = password::check(&given.password, stored);
    let Some(account) = account.filter(|account| right && !account.disabled) else {
        return Ok(SignInOutcome::Not);
    };
    Ok(match account.one_time_until {
        None => SignInOutcome::In(Box::new(account)),
        Some(until) if now < until => SignInOutcome::ChooseFirst(Box::new(account)),
        Some(_) => SignInOutcome::Expired,
    })
}
