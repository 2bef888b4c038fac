//! What was begun and not finished: sign-ins that wait for their second step, secrets that wait for their first code,
//! challenges that wait for a passkey, and sessions whose owner gave the password again just now. In memory only: when
//! the program ends, each of them is begun anew.

use super::{Token, passkey::CHALLENGE_SECONDS, short_lived::ShortLived};
use clinic::TokenHash;
use record::UserId;

/// Wrong codes after which the password is asked for again.
pub const CODE_TRIES: u32 = 5;
/// Seconds within which the second step has to follow the first.
const STEP_SECONDS: i64 = 300;
/// Seconds within which a secret is confirmed by its first code.
const SECRET_SECONDS: i64 = 900;
/// Seconds for which a password that was given again counts on the page of the second factor.
pub const CONFIRMED_SECONDS: i64 = 600;
/// Bounds the memory; a clinic has some dozens of people.
const MOST: usize = 4096;

/// A sign-in whose password was right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WaitingSignIn {
    /// Who.
    pub user: UserId,
    /// The page to open afterwards.
    pub then: String,
    tries_left: u32,
    /// The hash of the token of the browser's forms.
    holder: TokenHash,
}

/// What a passkey is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PasskeyPurpose {
    /// A new one of this person.
    New(UserId),
    /// To sign in, whoever it is.
    SignIn,
    /// For the second step of this person.
    SecondStep(UserId),
}

/// Everything begun and not finished. Instants are seconds since 1970.
pub struct OpenSteps {
    waiting: ShortLived<TokenHash, WaitingSignIn>,
    secrets: ShortLived<UserId, Vec<u8>>,
    challenges: ShortLived<Vec<u8>, (PasskeyPurpose, TokenHash)>,
    confirmed: ShortLived<TokenHash, ()>,
}

impl Default for OpenSteps {
    fn default() -> Self {
        Self {
            waiting: ShortLived::new(STEP_SECONDS, MOST),
            secrets: ShortLived::new(SECRET_SECONDS, MOST),
            challenges: ShortLived::new(CHALLENGE_SECONDS, MOST),
            confirmed: ShortLived::new(CONFIRMED_SECONDS, MOST),
        }
    }
}

impl OpenSteps {
    /// A sign-in waits for its second step, in the browser whose forms have this token. Returns its address' token.
    pub fn wait(&self, user: UserId, holder: TokenHash, then: &str, now: i64) -> Token {
        let token = Token::new();
        let waiting = WaitingSignIn { user, then: then.to_owned(), tries_left: CODE_TRIES, holder };
        self.waiting.put(token.hash(), waiting, now);
        token
    }

    /// The sign-in that waits.
    #[must_use]
    pub fn waiting(&self, token: &Token, holder: TokenHash, now: i64) -> Option<WaitingSignIn> {
        self.waiting.get(&token.hash(), now).filter(|waiting| waiting.holder == holder)
    }

    /// The same, and one try less. `None` when there is none left.
    pub fn try_once(&self, token: &Token, holder: TokenHash, now: i64) -> Option<WaitingSignIn> {
        self.waiting(token, holder, now)?;
        let tried = self.waiting.update(&token.hash(), now, |waiting| {
            let left = waiting.tries_left > 0;
            waiting.tries_left = waiting.tries_left.saturating_sub(1);
            left.then(|| waiting.clone())
        });
        tried.flatten()
    }

    /// The second step is done: it cannot be done again. `false` if another request was first.
    pub fn finish(&self, token: &Token, now: i64) -> bool {
        self.waiting.take(&token.hash(), now).is_some()
    }

    /// Remembers the secret shown to a person until it is confirmed.
    pub fn propose_secret(&self, user: UserId, secret: Vec<u8>, now: i64) {
        self.secrets.put(user, secret, now);
    }

    /// The secret shown to a person.
    #[must_use]
    pub fn proposed_secret(&self, user: UserId, now: i64) -> Option<Vec<u8>> {
        self.secrets.get(&user, now)
    }

    /// The secret is confirmed, or given up.
    pub fn forget_secret(&self, user: UserId, now: i64) {
        self.secrets.take(&user, now);
    }

    /// A new challenge of 32 random bytes for a passkey (at least 16 are asked for, section 13.4.3 of the
    /// recommendation), for the browser whose forms have this token.
    #[must_use]
    pub fn challenge(&self, purpose: PasskeyPurpose, holder: TokenHash, now: i64) -> Vec<u8> {
        let mut bytes = vec![0u8; 32];
        rand::fill(&mut bytes[..]);
        self.challenges.put(bytes.clone(), (purpose, holder), now);
        bytes
    }

    /// Uses up a challenge: whether it was made for this purpose and browser, was not used and is not too old.
    #[must_use]
    pub fn use_challenge(
        &self,
        challenge: &[u8],
        purpose: PasskeyPurpose,
        holder: TokenHash,
        now: i64,
    ) -> bool {
        self.challenges.take(&challenge.to_vec(), now) == Some((purpose, holder))
    }

    /// The owner of a session gave the password just now.
    pub fn confirm(&self, session: TokenHash, now: i64) {
        self.confirmed.put(session, (), now);
    }

    /// Whether the owner of a session gave the password again lately.
    #[must_use]
    pub fn is_confirmed(&self, session: &TokenHash, now: i64) -> bool {
        self.confirmed.get(session, now).is_some()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn user() -> UserId {
        UserId::new(uuid::Uuid::from_u128(7))
    }

    #[test]
    fn five_tries_in_five_minutes_in_one_browser() {
        let steps = OpenSteps::default();
        let token = steps.wait(user(), [1; 32], "/day", 1000);
        assert!(steps.waiting(&token, [2; 32], 1000).is_none(), "another browser");
        assert!(
            steps.waiting(&token, [1; 32], 1299).is_some() && steps.waiting(&token, [1; 32], 1300).is_none()
        );
        assert!((0..5).all(|_| steps.try_once(&token, [1; 32], 1001).is_some()));
        assert!(steps.try_once(&token, [1; 32], 1001).is_none(), "a sixth");
        let token = steps.wait(user(), [1; 32], "/day", 1000);
        assert!(steps.finish(&token, 1001) && !steps.finish(&token, 1001));
    }

    #[test]
    fn a_challenge_is_used_once_in_time_for_its_purpose_and_in_its_browser() {
        let steps = OpenSteps::default();
        let purpose = PasskeyPurpose::SecondStep(user());
        let made = || steps.challenge(purpose, [1; 32], 1000);
        let uses =
            |challenge: &[u8], purpose, holder, now| steps.use_challenge(challenge, purpose, holder, now);
        let first = made();
        assert!(first.len() == 32 && first != made());
        assert!(uses(&first, purpose, [1; 32], 1299));
        assert!(!uses(&first, purpose, [1; 32], 1299), "used");
        assert!(!uses(&made(), purpose, [1; 32], 1300), "five minutes are over");
        assert!(!uses(&made(), PasskeyPurpose::SignIn, [1; 32], 1001), "for another purpose");
        assert!(!uses(&made(), PasskeyPurpose::New(user()), [1; 32], 1001), "for another purpose");
        assert!(!uses(&made(), purpose, [2; 32], 1001), "another browser");
        assert!(!uses(&[7; 32], purpose, [1; 32], 1001), "never made");
    }
}
