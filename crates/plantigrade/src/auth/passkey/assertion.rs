//! The use of a passkey: section 7.2.

use super::{
    PasskeyError, PasskeyPlace, UsedResponse, authenticator_data::AuthenticatorData, client_data,
    cose_key::PublicKey, registration::signed,
};

/// What is stored of a passkey, as far as its use is judged by it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StoredKey<'a> {
    /// The user handle of its owner.
    pub owner: &'a [u8],
    /// The name of the computer for which it was made.
    pub rp_id: &'a str,
    /// The public key as a COSE key.
    pub public_key: &'a [u8],
    /// Whether it may be copied to other devices of its owner.
    pub backup_eligible: bool,
}

/// A use that was verified.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct VerifiedUse {
    /// The counter of signatures; the caller compares it with the stored one where it stores it (step 21).
    pub sign_count: u32,
}

/// Verifies the use of a passkey. Where a certain person is meant, the caller has to see that the key is theirs.
///
/// # Errors
/// Why it is refused.
pub fn verify_use(
    response: &UsedResponse,
    stored: StoredKey<'_>,
    challenge: &[u8],
    place: &PasskeyPlace,
) -> Result<VerifiedUse, PasskeyError> {
    if response.user_handle.as_deref().is_some_and(|handle| handle != stored.owner) {
        return Err(PasskeyError::OtherPerson);
    }
    if stored.rp_id != place.rp_id {
        return Err(PasskeyError::OtherComputer);
    }
    client_data::check(&response.client_data, "webauthn.get", challenge, place)?;
    let data = AuthenticatorData::read(&response.authenticator_data)?;
    data.check(place)?;
    if data.backup_eligible() != stored.backup_eligible {
        return Err(PasskeyError::OddBackup);
    }
    let key = PublicKey::read(stored.public_key)?;
    key.verify(&signed(&response.authenticator_data, &response.client_data), &response.signature)?;
    Ok(VerifiedUse { sign_count: data.sign_count })
}
