//! What the authenticator states: section 6.1, authenticator data.

use super::{PasskeyError, PasskeyPlace, cbor, response::LONGEST_ID};
use ring::digest;

/// The longest statement, in bytes.
const LONGEST: usize = 8192;
const HASH_BYTES: usize = 32;

const PRESENT: u8 = 1;
const VERIFIED: u8 = 1 << 2;
const BACKUP_ELIGIBLE: u8 = 1 << 3;
const BACKED_UP: u8 = 1 << 4;
const HAS_CREDENTIAL: u8 = 1 << 6;
const HAS_EXTENSIONS: u8 = 1 << 7;

/// Authenticator data, taken apart.
pub(super) struct AuthenticatorData<'a> {
    rp_id_hash: &'a [u8],
    flags: u8,
    pub(super) sign_count: u32,
    /// The id and the COSE key of a new credential.
    pub(super) credential: Option<(&'a [u8], &'a [u8])>,
}

/// Cuts the first bytes off.
fn cut<'a>(rest: &mut &'a [u8], length: usize) -> Result<&'a [u8], PasskeyError> {
    let (first, behind) = rest
        .split_at_checked(length)
        .ok_or(PasskeyError::Unreadable("the authenticator’s part is too short"))?;
    *rest = behind;
    Ok(first)
}

fn number(bytes: &[u8]) -> u32 {
    bytes.iter().fold(0, |number, byte| (number << 8) | u32::from(*byte))
}

impl<'a> AuthenticatorData<'a> {
    /// Takes it apart. Bytes behind its end are refused.
    pub(super) fn read(bytes: &'a [u8]) -> Result<Self, PasskeyError> {
        if bytes.len() > LONGEST {
            return Err(PasskeyError::TooLong);
        }
        let mut rest = bytes;
        let rp_id_hash = cut(&mut rest, HASH_BYTES)?;
        let flags = number(cut(&mut rest, 1)?) as u8;
        let sign_count = number(cut(&mut rest, 4)?);
        let has = |flag: u8| flags & flag != 0;
        let credential = if has(HAS_CREDENTIAL) { Some(credential(&mut rest)?) } else { None };
        if has(HAS_EXTENSIONS) {
            rest = cbor::map_and_rest(rest)?.1;
        }
        if !rest.is_empty() {
            return Err(PasskeyError::Unreadable("something follows its end"));
        }
        Ok(Self { rp_id_hash, flags, sign_count, credential })
    }

    const fn has(&self, flag: u8) -> bool {
        self.flags & flag != 0
    }

    /// Whether the key may be copied to other devices of its owner.
    pub(super) const fn backup_eligible(&self) -> bool {
        self.has(BACKUP_ELIGIBLE)
    }

    /// Checks the name of the computer and the flags (sections 7.1, steps 13 to 15, and 7.2, steps 15 to 17; what the
    /// flags say about copies is step 18 of section 7.1 of Level 3).
    pub(super) fn check(&self, place: &PasskeyPlace) -> Result<(), PasskeyError> {
        let hash = digest::digest(&digest::SHA256, place.rp_id.as_bytes());
        match () {
            () if self.rp_id_hash != hash.as_ref() => Err(PasskeyError::OtherComputer),
            () if !self.has(PRESENT) => Err(PasskeyError::NotPresent),
            () if !self.has(VERIFIED) => Err(PasskeyError::NotVerified),
            () if self.has(BACKED_UP) && !self.has(BACKUP_ELIGIBLE) => Err(PasskeyError::OddBackup),
            () => Ok(()),
        }
    }
}

/// Attested credential data (section 6.5.1): the model of the authenticator, which is not looked at, id and key.
fn credential<'a>(rest: &mut &'a [u8]) -> Result<(&'a [u8], &'a [u8]), PasskeyError> {
    cut(rest, 16)?;
    let length = number(cut(rest, 2)?) as usize;
    if length == 0 || length > LONGEST_ID {
        return Err(PasskeyError::TooLong);
    }
    let id = cut(rest, length)?;
    let (_, behind) = cbor::map_and_rest(rest)?;
    let key = cut(rest, rest.len() - behind.len())?;
    Ok((id, key))
}
