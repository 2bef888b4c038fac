//! Public keys as authenticators write them: COSE keys (RFC 9052, section 7; RFC 9053, section 7; RFC 8230 for RSA).

use super::{PasskeyError, cbor};
use ring::signature::{self, RsaPublicKeyComponents, UnparsedPublicKey};

/// ECDSA on P-256 with SHA-256.
const ES256: i64 = -7;
/// Ed25519.
const EDDSA: i64 = -8;
/// RSASSA-PKCS1-v1_5 with SHA-256.
const RS256: i64 = -257;

/// The kinds that are accepted, the one that most authenticators have first.
pub const ALGORITHMS: [i64; 3] = [ES256, EDDSA, RS256];

/// The longest key, in bytes.
const LONGEST: usize = 2048;
/// Bytes of an RSA modulus: 2048 to 4096 bits.
const MODULUS_BYTES: std::ops::RangeInclusive<usize> = 256..=512;

/// A public key of an accepted kind.
pub(super) enum PublicKey {
    /// A point of P-256, uncompressed.
    Es256([u8; 65]),
    /// A point of Curve25519.
    EdDsa([u8; 32]),
    /// Modulus and exponent.
    Rs256(Vec<u8>, Vec<u8>),
}

fn exactly<const N: usize>(bytes: Option<&[u8]>) -> Result<[u8; N], PasskeyError> {
    bytes.and_then(|bytes| bytes.try_into().ok()).ok_or(PasskeyError::Unreadable("the key"))
}

impl PublicKey {
    /// Reads a COSE key. Type of key (1), algorithm (3) and curve (-1) must fit each other.
    pub(super) fn read(cose: &[u8]) -> Result<Self, PasskeyError> {
        if cose.len() > LONGEST {
            return Err(PasskeyError::TooLong);
        }
        let key = cbor::whole_map(cose)?;
        let kind = (key.labelled_number(1), key.labelled_number(3), key.labelled_number(-1));
        match kind {
            (Some(2), Some(ES256), Some(1)) => {
                let (x, y): ([u8; 32], [u8; 32]) =
                    (exactly(key.labelled_bytes(-2))?, exactly(key.labelled_bytes(-3))?);
                exactly(Some(&[&[4][..], &x, &y].concat())).map(Self::Es256)
            }
            (Some(1), Some(EDDSA), Some(6)) => exactly(key.labelled_bytes(-2)).map(Self::EdDsa),
            (Some(3), Some(RS256), _) => match (key.labelled_bytes(-1), key.labelled_bytes(-2)) {
                (Some(n), Some(e)) if MODULUS_BYTES.contains(&n.len()) && (1..=4).contains(&e.len()) => {
                    Ok(Self::Rs256(n.to_vec(), e.to_vec()))
                }
                _ => Err(PasskeyError::Unreadable("the key")),
            },
            _ => Err(PasskeyError::OtherAlgorithm),
        }
    }

    /// The number of its algorithm.
    pub(super) const fn algorithm(&self) -> i64 {
        match self {
            Self::Es256(_) => ES256,
            Self::EdDsa(_) => EDDSA,
            Self::Rs256(..) => RS256,
        }
    }

    /// Checks a signature. That of ECDSA is in ASN.1 (section 6.5.6).
    pub(super) fn verify(&self, message: &[u8], given: &[u8]) -> Result<(), PasskeyError> {
        let result = match self {
            Self::Es256(point) => {
                UnparsedPublicKey::new(&signature::ECDSA_P256_SHA256_ASN1, point).verify(message, given)
            }
            Self::EdDsa(point) => UnparsedPublicKey::new(&signature::ED25519, point).verify(message, given),
            Self::Rs256(n, e) => {
                RsaPublicKeyComponents { n, e }.verify(&signature::RSA_PKCS1_2048_8192_SHA256, message, given)
            }
        };
        result.map_err(|_| PasskeyError::WrongSignature)
    }
}
