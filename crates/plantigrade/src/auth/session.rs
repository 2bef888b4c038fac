//! Sessions: stored with the records, and cached in memory so that a page needs no look-up on disk.

use super::Token;
use clinic::{Accounts, ArchiveError, Session};
use record::{Right, Roles, Timestamp, UserId};
use std::{
    collections::HashMap,
    sync::{
        Arc, Mutex,
        atomic::{AtomicI64, Ordering},
    },
};

/// The longest duration of a session, even if it is used.
const LONGEST_SECONDS: i64 = 12 * 3600;
/// How often the use of a session is saved.
const NOTED_EVERY_SECONDS: i64 = 60;
/// Sessions in memory before the memory is cleared.
const CACHED_AT_MOST: usize = 10_000;

/// Who is signed in. It is read again after every change of an account, so that a role that is taken away is gone
/// with the next request.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SignedIn {
    /// Their id, as in entries.
    pub user: UserId,
    /// The name shown.
    pub name: String,
    /// What they are at the clinic.
    pub roles: Roles,
    /// The token that their forms carry.
    pub csrf: String,
    /// Whether they have a second factor.
    pub has_second_factor: bool,
}

impl SignedIn {
    /// Whether the person has a right.
    #[must_use]
    pub fn may(&self, right: Right) -> bool {
        self.roles.rights().has(right)
    }
}

#[derive(Debug, Clone)]
struct CachedSession {
    who: Arc<SignedIn>,
    /// The number of changes of accounts before it was read.
    changes: u64,
    began: Timestamp,
    last_used: Timestamp,
    noted: Timestamp,
}

/// The sessions of this server.
pub struct Sessions {
    accounts: Accounts,
    idle_seconds: AtomicI64,
    cached: Mutex<HashMap<[u8; 32], CachedSession>>,
}

impl Sessions {
    /// The sessions stored with these records; a session ends after `idle_minutes` without use.
    #[must_use]
    pub fn new(accounts: Accounts, idle_minutes: u32) -> Self {
        let idle_seconds = AtomicI64::new(i64::from(idle_minutes) * 60);
        Self { accounts, idle_seconds, cached: Mutex::default() }
    }

    /// Sessions, those that have begun too, end after this time without use from now on.
    pub fn set_idle_minutes(&self, minutes: u32) {
        self.idle_seconds.store(i64::from(minutes) * 60, Ordering::Relaxed);
    }

    /// Begins a session and returns the token for the browser.
    ///
    /// # Errors
    /// When there is no such account, it is disabled, or the records cannot be written.
    pub fn begin(&self, user: UserId, now: Timestamp) -> Result<Token, ArchiveError> {
        let token = Token::new();
        self.accounts.start_session(Session {
            token_hash: token.hash(),
            user,
            csrf_token: Token::new().text().to_owned(),
            created_at: now,
            last_used: now,
            expires: self.end(now, now),
        })?;
        Ok(token)
    }

    /// Whose token it is, if the session is in memory; `None` does not mean that there is no session.
    #[must_use]
    pub fn known(&self, token: &Token, now: Timestamp) -> Option<Arc<SignedIn>> {
        let mut sessions = self.cached.lock().ok()?;
        let session =
            sessions.get_mut(&token.hash()).filter(|session| session.changes == self.accounts.changes())?;
        let noted = now.seconds() - session.noted.seconds() < NOTED_EVERY_SECONDS;
        let lasts = now < self.end(session.began, session.last_used);
        (noted && lasts).then(|| {
            session.last_used = session.last_used.max(now);
            Arc::clone(&session.who)
        })
    }

    /// Whose token it is, if the session has not ended.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn who(&self, token: &Token, now: Timestamp) -> Result<Option<Arc<SignedIn>>, ArchiveError> {
        let hash = token.hash();
        let changes = self.accounts.changes();
        let known = self.cached.lock().ok().and_then(|sessions| sessions.get(&hash).cloned());
        let known = match known.filter(|session| session.changes == changes) {
            Some(known) => Some(known),
            None => self.look_up(&hash, changes)?,
        };
        let Some(mut session) = known else { return Ok(None) };
        if now >= self.end(session.began, session.last_used) {
            self.end_by_hash(hash)?;
            return Ok(None);
        }
        session.last_used = session.last_used.max(now);
        if now.seconds() - session.noted.seconds() >= NOTED_EVERY_SECONDS {
            session.noted = now;
            // Where nothing can be saved any more whoever is signed in can still read.
            if let Err(error) = self.accounts.touch_session(hash, now, self.end(session.began, now)) {
                tracing::warn!("the use of a session could not be saved: {error}");
            }
        }
        let who = Arc::clone(&session.who);
        self.cache(hash, session);
        Ok(Some(who))
    }

    /// Ends a session.
    ///
    /// # Errors
    /// When the records cannot be written.
    pub fn end_session(&self, token: &Token) -> Result<(), ArchiveError> {
        self.end_by_hash(token.hash())
    }

    fn end_by_hash(&self, hash: [u8; 32]) -> Result<(), ArchiveError> {
        if let Ok(mut sessions) = self.cached.lock() {
            sessions.remove(&hash);
        }
        self.accounts.end_session(hash)
    }

    fn look_up(&self, hash: &[u8; 32], changes: u64) -> Result<Option<CachedSession>, ArchiveError> {
        let found = self.accounts.session(hash)?.filter(|(_, account)| !account.disabled);
        let Some((session, account)) = found else { return Ok(None) };
        Ok(Some(CachedSession {
            who: Arc::new(SignedIn {
                has_second_factor: self.accounts.factors(account.id)?.any(),
                user: account.id,
                name: account.display_name,
                roles: account.roles,
                csrf: session.csrf_token,
            }),
            changes,
            began: session.created_at,
            last_used: session.last_used,
            noted: session.last_used,
        }))
    }

    fn cache(&self, hash: [u8; 32], session: CachedSession) {
        if let Ok(mut sessions) = self.cached.lock() {
            if sessions.len() >= CACHED_AT_MOST {
                sessions.clear();
            }
            sessions.insert(hash, session);
        }
    }

    /// The sessions of a person that have not ended, the latest use first.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn of(&self, user: UserId, now: Timestamp) -> Result<Vec<Session>, ArchiveError> {
        let mut sessions = self.accounts.sessions_of(user)?;
        sessions.retain(|session| now < self.end(session.created_at, session.last_used));
        Ok(sessions)
    }

    /// When a session ends, from its beginning and its last use.
    fn end(&self, began: Timestamp, last_used: Timestamp) -> Timestamp {
        let idle = last_used.seconds().saturating_add(self.idle_seconds.load(Ordering::Relaxed));
        Timestamp::from_seconds(idle.min(began.seconds().saturating_add(LONGEST_SECONDS)))
    }
}
