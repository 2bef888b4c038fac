//! Sessions: stored with the records, and cached in memory so that a page needs no look-up on disk.
//!
//! A session without use is locked after a while, and ends after a longer while. A locked session answers nothing but
//! its own unlocking. Who has a PIN on the device of the session can unlock it with the PIN until the longest duration
//! of a session is over; of all others it ends after the time without use.

use super::Token;
use clinic::{Account, Accounts, ArchiveError, Pins, Session, TokenHash};
use pages::PageLanguage;
use record::{Right, Roles, Timestamp, UserId};
use std::{
    collections::HashMap,
    sync::{
        Arc, Mutex,
        atomic::{AtomicI64, Ordering},
    },
};

/// The longest duration of a session after the password was given, even if it is used.
pub const LONGEST_SECONDS: i64 = 12 * 3600;
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
    /// The language in which they read pages that are translated.
    pub language: PageLanguage,
}

impl SignedIn {
    /// Whether the person has a right.
    #[must_use]
    pub fn may(&self, right: Right) -> bool {
        self.roles.rights().has(right)
    }
}

/// What a token opens.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SessionState {
    /// An open session.
    Open(Arc<SignedIn>),
    /// A locked session: it shows nothing until its person unlocks it.
    Locked(Arc<SignedIn>),
}

impl SessionState {
    /// Who is signed in, if the session is open.
    #[must_use]
    pub fn open(self) -> Option<Arc<SignedIn>> {
        match self {
            Self::Open(who) => Some(who),
            Self::Locked(_) => None,
        }
    }
}

/// How long a session lasts if it is not used from now on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SessionTimes {
    /// Whose it is.
    pub who: Arc<SignedIn>,
    /// Whether it is locked.
    pub locked: bool,
    /// Seconds until it is locked; zero if it is.
    pub locks_in: i64,
    /// Seconds until it ends.
    pub ends_in: i64,
    /// Whether use cannot put the end off, because the longest duration is over by then.
    pub is_last: bool,
}

#[derive(Debug, Clone)]
struct CachedSession {
    who: Arc<SignedIn>,
    /// The number of changes of accounts before it was read.
    changes: u64,
    began: Timestamp,
    last_used: Timestamp,
    noted: Timestamp,
    /// Whether it is stored as locked.
    locked: bool,
    /// Whether its person has a PIN on its device.
    pin: bool,
}

/// The sessions of this server.
pub struct Sessions {
    accounts: Accounts,
    pins: Pins,
    idle_seconds: AtomicI64,
    lock_seconds: AtomicI64,
    cached: Mutex<HashMap<TokenHash, CachedSession>>,
}

impl Sessions {
    /// The sessions stored with these records; without use a session is locked after `lock_minutes`, and ends after
    /// `idle_minutes`.
    #[must_use]
    pub fn new(accounts: Accounts, pins: Pins, idle_minutes: u32, lock_minutes: u32) -> Self {
        let sessions = Self {
            accounts,
            pins,
            idle_seconds: AtomicI64::default(),
            lock_seconds: AtomicI64::default(),
            cached: Mutex::default(),
        };
        sessions.set_minutes(idle_minutes, lock_minutes);
        sessions
    }

    /// Sessions, those that have begun too, end and are locked after these times without use from now on.
    pub fn set_minutes(&self, idle: u32, lock: u32) {
        self.set_seconds(i64::from(idle) * 60, i64::from(lock) * 60);
    }

    /// As [`Sessions::set_minutes`], in seconds.
    pub fn set_seconds(&self, idle: i64, lock: i64) {
        self.idle_seconds.store(idle, Ordering::Relaxed);
        self.lock_seconds.store(lock.min(idle), Ordering::Relaxed);
    }

    /// Begins a session and returns the token for the browser.
    ///
    /// # Errors
    /// When there is no such account, it is disabled, or the records cannot be written.
    pub fn begin(&self, user: UserId, now: Timestamp) -> Result<Token, ArchiveError> {
        self.begin_at(user, None, now)
    }

    /// Begins a session on a device, in place of an earlier one of the same person there.
    ///
    /// # Errors
    /// As [`Sessions::begin`].
    pub fn begin_at(
        &self,
        user: UserId,
        place: Option<TokenHash>,
        now: Timestamp,
    ) -> Result<Token, ArchiveError> {
        let token = Token::new();
        let idle = self.idle_seconds.load(Ordering::Relaxed);
        self.accounts.start_session(Session {
            token_hash: token.hash(),
            user,
            csrf_token: Token::new().text().to_owned(),
            created_at: now,
            last_used: now,
            expires: Timestamp::from_seconds(now.seconds().saturating_add(idle)),
            locked_at: None,
            place,
        })?;
        if let Some(place) = place {
            self.accounts.end_sessions_at(user, place, token.hash())?;
        }
        Ok(token)
    }

    /// What a token opens, if the session is in memory; `None` does not mean that there is no session.
    #[must_use]
    pub fn known(&self, token: &Token, now: Timestamp) -> Option<SessionState> {
        let mut sessions = self.cached.lock().ok()?;
        let session =
            sessions.get_mut(&token.hash()).filter(|session| session.changes == self.accounts.changes())?;
        let noted = now.seconds() - session.noted.seconds() < NOTED_EVERY_SECONDS;
        if !noted || now >= self.end(session) || (!session.locked && self.is_locked(session, now)) {
            return None;
        }
        if session.locked {
            return Some(SessionState::Locked(Arc::clone(&session.who)));
        }
        session.last_used = session.last_used.max(now);
        Some(SessionState::Open(Arc::clone(&session.who)))
    }

    /// Whose token it is, if the session has not ended and is not locked.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn who(&self, token: &Token, now: Timestamp) -> Result<Option<Arc<SignedIn>>, ArchiveError> {
        Ok(self.state(token, now)?.and_then(SessionState::open))
    }

    /// What a token opens; `None` if the session has ended. An open session is used by this.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn state(&self, token: &Token, now: Timestamp) -> Result<Option<SessionState>, ArchiveError> {
        let hash = token.hash();
        let Some(mut session) = self.found(&hash)? else { return Ok(None) };
        if now >= self.end(&session) {
            self.end_by_hash(hash)?;
            return Ok(None);
        }
        if self.is_locked(&session, now) {
            // A longer time in the settings must not open it.
            if !session.locked {
                self.store_lock(hash, &session, now)?;
                session.locked = true;
            }
            session.noted = now;
            let who = Arc::clone(&session.who);
            self.cache(hash, session);
            return Ok(Some(SessionState::Locked(who)));
        }
        session.last_used = session.last_used.max(now);
        if now.seconds() - session.noted.seconds() >= NOTED_EVERY_SECONDS {
            session.noted = now;
            // Where nothing can be saved any more whoever is signed in can still read.
            if let Err(error) = self.accounts.touch_session(hash, now, self.end(&session)) {
                tracing::warn!("the use of a session could not be saved: {error}");
            }
        }
        let who = Arc::clone(&session.who);
        self.cache(hash, session);
        Ok(Some(SessionState::Open(who)))
    }

    /// How long a session lasts; this is no use of it. `None` if it has ended.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn times(&self, token: &Token, now: Timestamp) -> Result<Option<SessionTimes>, ArchiveError> {
        let Some(session) = self.found(&token.hash())?.filter(|session| now < self.end(session)) else {
            return Ok(None);
        };
        let locked = self.is_locked(&session, now);
        let used = CachedSession { last_used: now, ..session.clone() };
        let left = |session: &CachedSession| self.end(session).seconds() - now.seconds();
        Ok(Some(SessionTimes {
            locks_in: if locked { 0 } else { self.locks_at(&session) - now.seconds() },
            ends_in: left(&session),
            is_last: left(&used) <= left(&session),
            who: session.who,
            locked,
        }))
    }

    /// The session of a token, from memory if nothing about accounts changed since.
    fn found(&self, hash: &TokenHash) -> Result<Option<CachedSession>, ArchiveError> {
        let changes = self.accounts.changes();
        let cached = self.cached.lock().ok().and_then(|sessions| sessions.get(hash).cloned());
        match cached {
            Some(known) if known.changes == changes => Ok(Some(known)),
            cached => {
                let read = self.look_up(hash, changes)?;
                // The last use is stored once a minute only.
                let used = cached.map(|cached| cached.last_used);
                Ok(read.map(|read| CachedSession {
                    last_used: used.map_or(read.last_used, |used| used.max(read.last_used)),
                    ..read
                }))
            }
        }
    }

    /// Locks a session.
    ///
    /// # Errors
    /// When the records cannot be written.
    pub fn lock(&self, token: &Token, now: Timestamp) -> Result<(), ArchiveError> {
        let hash = token.hash();
        if let Some(session) = self.found(&hash)? {
            self.store_lock(hash, &session, now)?;
        }
        self.forget(&hash);
        Ok(())
    }

    /// Opens a locked session again. Returns whether it had not ended.
    ///
    /// # Errors
    /// When the records cannot be written.
    pub fn unlock(&self, token: &Token, now: Timestamp) -> Result<bool, ArchiveError> {
        if self.times(token, now)?.is_none() {
            return Ok(false);
        }
        let opened = self.accounts.unlock_session(token.hash(), None, now)?;
        self.forget(&token.hash());
        Ok(opened)
    }

    /// The sessions that can be opened with a PIN on a device, the latest first; one for each person.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn with_pin_at(
        &self,
        place: &TokenHash,
        now: Timestamp,
    ) -> Result<Vec<(Session, Account)>, ArchiveError> {
        let people = self.pins.people_at(place)?;
        if people.is_empty() {
            return Ok(Vec::new());
        }
        let mut sessions = self.accounts.sessions_at(place)?;
        let mut met = Vec::new();
        sessions.retain(|(session, _)| {
            let lasts = now.seconds() < session.created_at.seconds().saturating_add(LONGEST_SECONDS);
            let first = !met.contains(&session.user);
            met.push(session.user);
            lasts && first && people.contains(&session.user)
        });
        Ok(sessions)
    }

    /// Opens the session that a person has on a device, under a new token for the browser. `None` if it has ended, or
    /// the person has no PIN there.
    ///
    /// # Errors
    /// When the records cannot be written.
    pub fn reopen(
        &self,
        user: UserId,
        place: &TokenHash,
        now: Timestamp,
    ) -> Result<Option<Token>, ArchiveError> {
        let sessions = self.with_pin_at(place, now)?;
        let Some((session, _)) = sessions.into_iter().find(|(session, _)| session.user == user) else {
            return Ok(None);
        };
        let token = Token::new();
        let opened = self.accounts.unlock_session(session.token_hash, Some(token.hash()), now)?;
        self.forget(&session.token_hash);
        Ok(opened.then_some(token))
    }

    /// Leaves a session for that of another person: it is locked if its person can come back to it with a PIN, and
    /// ends otherwise.
    ///
    /// # Errors
    /// When the records cannot be written.
    pub fn leave(&self, token: &Token, next: UserId, now: Timestamp) -> Result<(), ArchiveError> {
        match self.found(&token.hash())? {
            Some(session) if session.pin && session.who.user != next => self.lock(token, now),
            _ => self.end_session(token),
        }
    }

    /// Ends a session.
    ///
    /// # Errors
    /// When the records cannot be written.
    pub fn end_session(&self, token: &Token) -> Result<(), ArchiveError> {
        self.end_by_hash(token.hash())
    }

    fn end_by_hash(&self, hash: TokenHash) -> Result<(), ArchiveError> {
        self.forget(&hash);
        self.accounts.end_session(hash)
    }

    fn look_up(&self, hash: &TokenHash, changes: u64) -> Result<Option<CachedSession>, ArchiveError> {
        let found = self.accounts.session(hash)?.filter(|(_, account)| !account.disabled);
        let Some((session, account)) = found else { return Ok(None) };
        let pin = self.has_pin(account.id, session.place)?;
        let language = self.accounts.page_language(account.id)?;
        Ok(Some(CachedSession {
            who: Arc::new(SignedIn {
                has_second_factor: self.accounts.factors(account.id)?.any(),
                // A language that this version does not have is read in English.
                language: language.as_deref().and_then(PageLanguage::from_tag).unwrap_or_default(),
                user: account.id,
                name: account.display_name,
                roles: account.roles,
                csrf: session.csrf_token,
            }),
            changes,
            began: session.created_at,
            last_used: session.last_used,
            noted: session.last_used,
            locked: session.locked_at.is_some(),
            pin,
        }))
    }

    fn has_pin(&self, user: UserId, place: Option<TokenHash>) -> Result<bool, ArchiveError> {
        let wrong = place.map(|place| self.pins.wrong(user, &place)).transpose()?;
        Ok(wrong.flatten().is_some())
    }

    /// Stores that a session is locked, and when it ends.
    fn store_lock(
        &self,
        hash: TokenHash,
        session: &CachedSession,
        now: Timestamp,
    ) -> Result<(), ArchiveError> {
        self.accounts.touch_session(hash, session.last_used, self.end(session))?;
        self.accounts.lock_session(hash, now)
    }

    fn cache(&self, hash: TokenHash, session: CachedSession) {
        if let Ok(mut sessions) = self.cached.lock() {
            if sessions.len() >= CACHED_AT_MOST {
                sessions.clear();
            }
            sessions.insert(hash, session);
        }
    }

    fn forget(&self, hash: &TokenHash) {
        if let Ok(mut sessions) = self.cached.lock() {
            sessions.remove(hash);
        }
    }

    /// The sessions of a person that have not ended, the latest use first.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn of(&self, user: UserId, now: Timestamp) -> Result<Vec<Session>, ArchiveError> {
        let mut open = Vec::new();
        for session in self.accounts.sessions_of(user)? {
            let pin = self.has_pin(user, session.place)?;
            let idle = || self.idle_end(session.created_at, session.last_used);
            if now < if pin { longest(session.created_at) } else { idle() } {
                open.push(session);
            }
        }
        Ok(open)
    }

    /// When a session ends if it is not used any more.
    fn end(&self, session: &CachedSession) -> Timestamp {
        if session.pin { longest(session.began) } else { self.idle_end(session.began, session.last_used) }
    }

    fn idle_end(&self, began: Timestamp, last_used: Timestamp) -> Timestamp {
        let idle = last_used.seconds().saturating_add(self.idle_seconds.load(Ordering::Relaxed));
        Timestamp::from_seconds(idle).min(longest(began))
    }

    fn is_locked(&self, session: &CachedSession, now: Timestamp) -> bool {
        session.locked || now.seconds() >= self.locks_at(session)
    }

    /// The second at which a session is locked without further use.
    fn locks_at(&self, session: &CachedSession) -> i64 {
        session.last_used.seconds().saturating_add(self.lock_seconds.load(Ordering::Relaxed))
    }
}

/// The end of a session that is used all the time.
fn longest(began: Timestamp) -> Timestamp {
    Timestamp::from_seconds(began.seconds().saturating_add(LONGEST_SECONDS))
}
