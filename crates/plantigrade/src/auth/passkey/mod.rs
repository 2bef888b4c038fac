//! Passkeys: the part of a relying party in the W3C recommendation "Web Authentication" (Level 2, with what Level 3
//! adds about copies of a key), written from the recommendation. Section numbers in this folder are those of Level 2.
//!
//! Nothing here stores anything or knows a request: the caller gives the challenge it made, the origin it serves and
//! the key it stored. A passkey counts as both factors, because every signature must state that the authenticator
//! verified its user.

mod assertion;
mod authenticator_data;
mod cbor;
mod client_data;
mod cose_key;
mod registration;
mod response;
#[cfg(test)]
mod tests;

pub use assertion::{StoredKey, VerifiedUse, verify_use};
pub use client_data::challenge_of;
pub use cose_key::ALGORITHMS;
pub use registration::{NewPasskey, verify_new};
pub use response::{CreatedResponse, UsedResponse};

/// Seconds for which a challenge may be answered.
pub const CHALLENGE_SECONDS: i64 = 300;

/// Where a passkey is used: what the browser must state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PasskeyPlace {
    /// The address of the pages without a path, as browsers write it: "http://localhost:8460".
    pub origin: String,
    /// The name of the computer, for which passkeys are made: "localhost".
    pub rp_id: String,
}

/// Why a passkey is refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PasskeyError {
    /// A part is longer than any authenticator makes it.
    #[error("the answer of the passkey is too long")]
    TooLong,
    /// It cannot be read.
    #[error("the answer of the passkey cannot be read: {0}")]
    Unreadable(&'static str),
    /// It was made for something else: a sign-in instead of a new passkey, or the reverse.
    #[error("the answer of the passkey is of another type")]
    OtherType,
    /// It answers another challenge.
    #[error("the answer of the passkey belongs to another question")]
    OtherChallenge,
    /// It was made on the pages of another address.
    #[error("the passkey was used at another address")]
    OtherOrigin,
    /// It was made for another name.
    #[error("the passkey belongs to another computer")]
    OtherComputer,
    /// Nobody touched the authenticator.
    #[error("the passkey was used without its owner being present")]
    NotPresent,
    /// The authenticator did not verify who uses it.
    #[error("the device did not check who uses the passkey")]
    NotVerified,
    /// The flags about copies contradict each other or what was stored.
    #[error("the passkey contradicts itself about copies of it")]
    OddBackup,
    /// The kind of key or signature is not accepted.
    #[error("this kind of passkey is not accepted")]
    OtherAlgorithm,
    /// It belongs to another person.
    #[error("the passkey belongs to somebody else")]
    OtherPerson,
    /// The signature is wrong.
    #[error("the signature of the passkey is wrong")]
    WrongSignature,
}
