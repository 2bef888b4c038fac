//! The people of a clinic: adding, renaming, giving roles, disabling, and the one-time passwords with which they
//! come in. The pages and the commands do it through here, so that both follow the same rules.

use crate::{auth, clock::Clock, exit::Failure};
use clinic::{Account, AccountEvent, Accounts, ArchiveError};
use record::{Roles, Timestamp, UserId};

/// How long a one-time password can be used.
const ONE_TIME_SECONDS: i64 = 3 * 24 * 3600;
/// The longest reason, in characters.
const LONGEST_REASON: usize = 200;
/// The longest name, in characters.
pub const LONGEST_NAME: usize = 100;

/// A one-time password with the end of its use. The text is shown once; the records hold only its hash.
#[derive(Debug, Clone)]
pub struct Handover {
    /// The password.
    pub text: String,
    /// Until when it works.
    pub until: Timestamp,
}

/// Why something about a person cannot be done.
#[derive(Debug, thiserror::Error)]
pub enum PeopleError {
    /// A name is missing or too long.
    #[error("{0}")]
    Name(String),
    /// No role is chosen.
    #[error("Choose at least one role.")]
    NoRole,
    /// No reason is given for a reset.
    #[error("The reason is missing, or has more than {LONGEST_REASON} characters.")]
    NoReason,
    /// A person is about to reset the own second factor.
    #[error(
        "You cannot reset your own second factor. Remove it under “Your account”, with a code or a recovery code."
    )]
    Own,
    /// The password could not be hashed.
    #[error(transparent)]
    Password(#[from] auth::PasswordError),
    /// The records refuse it.
    #[error("{}", crate::exit::sentence(&.0.to_string()))]
    Records(#[from] ArchiveError),
}

impl From<PeopleError> for Failure {
    fn from(error: PeopleError) -> Self {
        match error {
            PeopleError::Records(error) => error.into(),
            PeopleError::Password(_) => Self::failed(error.to_string()),
            PeopleError::Own => Self::not_allowed(error.to_string()),
            PeopleError::Name(_) | PeopleError::NoRole | PeopleError::NoReason => {
                Self::usage(error.to_string())
            }
        }
    }
}

/// The people of a clinic.
pub struct People<'a> {
    accounts: Accounts,
    clock: &'a Clock,
}

impl<'a> People<'a> {
    /// The people whose accounts these are.
    #[must_use]
    pub const fn of(accounts: Accounts, clock: &'a Clock) -> Self {
        Self { accounts, clock }
    }

    /// Their accounts.
    #[must_use]
    pub const fn accounts(&self) -> &Accounts {
        &self.accounts
    }

    /// Adds a person, who comes in with a one-time password.
    ///
    /// # Errors
    /// When a name is missing, too long or in use, or no role is given.
    pub fn add(
        &self,
        name: &str,
        display_name: &str,
        roles: Roles,
    ) -> Result<(UserId, Handover), PeopleError> {
        let (name, display_name) = (checked(name, "The sign-in name")?, checked(display_name, "The name")?);
        if roles.is_empty() {
            return Err(PeopleError::NoRole);
        }
        let (hash, handover) = self.handover()?;
        let id = UserId::new(self.clock.id());
        self.accounts.create_account(Account {
            id,
            name,
            display_name,
            password_hash: hash,
            created_at: self.clock.now(),
            disabled: false,
            roles,
            one_time_until: Some(handover.until),
            last_sign_in: None,
        })?;
        Ok((id, handover))
    }

    /// Changes the names of a person.
    ///
    /// # Errors
    /// When a name is missing, too long or in use by another.
    pub fn rename(&self, id: UserId, name: &str, display_name: &str) -> Result<(), PeopleError> {
        let (name, display_name) = (checked(name, "The sign-in name")?, checked(display_name, "The name")?);
        Ok(self.accounts.rename(id, name, display_name)?)
    }

    /// Changes the roles of a person.
    ///
    /// # Errors
    /// When no role is given, or nobody who can sign in would be a lead.
    pub fn set_roles(&self, id: UserId, roles: Roles) -> Result<(), PeopleError> {
        if roles.is_empty() {
            return Err(PeopleError::NoRole);
        }
        Ok(self.accounts.set_roles(id, roles)?)
    }

    /// Makes a one-time password; the earlier password stops working and sessions end.
    ///
    /// # Errors
    /// When the records cannot be written.
    pub fn reset(&self, id: UserId) -> Result<Handover, PeopleError> {
        let (hash, handover) = self.handover()?;
        self.accounts.set_one_time_password(id, hash, handover.until)?;
        Ok(handover)
    }

    /// Removes the codes, passkeys and recovery codes of a person and ends the sessions. `by` is who does it, `None` for
    /// the owner of the computer.
    ///
    /// # Errors
    /// When no reason is given, or it is the person's own.
    pub fn reset_second_factor(&self, id: UserId, by: Option<UserId>, why: &str) -> Result<(), PeopleError> {
        if by == Some(id) {
            return Err(PeopleError::Own);
        }
        let why = why.split_whitespace().collect::<Vec<_>>().join(" ");
        if !(1..=LONGEST_REASON).contains(&why.chars().count()) {
            return Err(PeopleError::NoReason);
        }
        let what = "The second factor was reset".to_owned();
        let event = AccountEvent { at: self.clock.now(), by, what, why: Some(why) };
        Ok(self.accounts.reset_factors(id, event)?)
    }

    /// A one-time password and its hash.
    fn handover(&self) -> Result<(String, Handover), PeopleError> {
        let text = auth::one_time_password();
        let hash = auth::hash_password(&text)?;
        let until = Timestamp::from_seconds(self.clock.now().seconds() + ONE_TIME_SECONDS);
        Ok((hash, Handover { text, until }))
    }
}

/// A name without spaces around it.
fn checked(name: &str, what: &str) -> Result<String, PeopleError> {
    let name = name.trim();
    match name.chars().count() {
        0 => Err(PeopleError::Name(format!("{what} is missing."))),
        1..=LONGEST_NAME => Ok(name.to_owned()),
        _ => Err(PeopleError::Name(format!("{what} has more than {LONGEST_NAME} characters."))),
    }
}
