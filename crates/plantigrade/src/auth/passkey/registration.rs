//! A new passkey: section 7.1.

use super::{
    CreatedResponse, PasskeyError, PasskeyPlace,
    authenticator_data::AuthenticatorData,
    cbor::{self, CborMap},
    client_data,
    cose_key::PublicKey,
};
use ring::digest;

/// The longest attestation object, in bytes.
const LONGEST: usize = 12_288;

/// A passkey that was just made and verified.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewPasskey {
    /// The id of the credential.
    pub id: Vec<u8>,
    /// The public key as a COSE key.
    pub public_key: Vec<u8>,
    /// The counter of signatures.
    pub sign_count: u32,
    /// Whether it may be copied to other devices of its owner.
    pub backup_eligible: bool,
}

/// Verifies a new passkey. The caller checks that no other has its id (step 22).
///
/// # Errors
/// Why it is refused.
pub fn verify_new(
    response: &CreatedResponse,
    challenge: &[u8],
    place: &PasskeyPlace,
) -> Result<NewPasskey, PasskeyError> {
    client_data::check(&response.client_data, "webauthn.create", challenge, place)?;
    if response.attestation.len() > LONGEST {
        return Err(PasskeyError::TooLong);
    }
    let attestation = cbor::whole_map(&response.attestation)?;
    let bytes = attestation.bytes("authData").ok_or(PasskeyError::Unreadable("the authenticator’s part"))?;
    let data = AuthenticatorData::read(bytes)?;
    data.check(place)?;
    let (id, cose) = data.credential.ok_or(PasskeyError::Unreadable("there is no key"))?;
    let key = PublicKey::read(cose)?;
    attested(&attestation, bytes, &response.client_data, &key)?;
    Ok(NewPasskey {
        id: id.to_vec(),
        public_key: cose.to_vec(),
        sign_count: data.sign_count,
        backup_eligible: data.backup_eligible(),
    })
}

/// Checks the attestation statement (steps 18 and 19). None is asked for; a browser may still pass on one that the key
/// made for itself (section 5.1.3, "none"; section 8.2, self attestation).
fn attested(
    attestation: &CborMap,
    data: &[u8],
    client_data: &[u8],
    key: &PublicKey,
) -> Result<(), PasskeyError> {
    let statement = attestation.map("attStmt").ok_or(PasskeyError::Unreadable("the attestation"))?;
    match attestation.text("fmt") {
        Some("none") if statement.is_empty() => Ok(()),
        Some("packed") if !statement.has("x5c") => {
            if statement.number("alg") != Some(key.algorithm()) {
                return Err(PasskeyError::OtherAlgorithm);
            }
            let signature = statement.bytes("sig").ok_or(PasskeyError::Unreadable("the attestation"))?;
            key.verify(&signed(data, client_data), signature)
        }
        _ => Err(PasskeyError::Unreadable("the attestation is of a kind that was not asked for")),
    }
}

/// What is signed: the authenticator's statement and the hash of the browser's.
pub(super) fn signed(data: &[u8], client_data: &[u8]) -> Vec<u8> {
    [data, digest::digest(&digest::SHA256, client_data).as_ref()].concat()
}
