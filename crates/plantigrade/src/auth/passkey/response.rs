//! What the script of the page sends: the answers of the browser, each part in base64url (RFC 4648, section 5).

use super::PasskeyError;
use data_encoding::BASE64URL_NOPAD;
use serde::Deserialize;

/// The longest answer, in characters. An attestation object with a key of 4096 bits has less than a fifth of it.
const LONGEST: usize = 16_384;
/// The longest id of a credential, in bytes (section 5.8.3 of Level 3; Level 2 names it at registration).
pub(super) const LONGEST_ID: usize = 1023;

/// The answer to a request for a new passkey.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CreatedResponse {
    /// `clientDataJSON`.
    pub client_data: Vec<u8>,
    /// `attestationObject`.
    pub attestation: Vec<u8>,
}

/// The answer to a request to use a passkey.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UsedResponse {
    /// The id of the credential.
    pub id: Vec<u8>,
    /// `clientDataJSON`.
    pub client_data: Vec<u8>,
    /// `authenticatorData`.
    pub authenticator_data: Vec<u8>,
    /// The signature.
    pub signature: Vec<u8>,
    /// The user handle, where the authenticator gave one.
    pub user_handle: Option<Vec<u8>>,
}

#[derive(Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
struct CreatedText {
    client_data: String,
    attestation: String,
}

#[derive(Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
struct UsedText {
    id: String,
    client_data: String,
    authenticator_data: String,
    signature: String,
    user_handle: Option<String>,
}

fn read<'a, T: Deserialize<'a>>(text: &'a str) -> Result<T, PasskeyError> {
    if text.len() > LONGEST {
        return Err(PasskeyError::TooLong);
    }
    serde_json::from_str(text).map_err(|_| PasskeyError::Unreadable("it is not what the page sends"))
}

fn bytes(text: &str) -> Result<Vec<u8>, PasskeyError> {
    BASE64URL_NOPAD.decode(text.as_bytes()).map_err(|_| PasskeyError::Unreadable("it is not base64url"))
}

impl CreatedResponse {
    /// Reads the field of the form.
    ///
    /// # Errors
    /// When it is too long or cannot be read.
    pub fn read(text: &str) -> Result<Self, PasskeyError> {
        let text: CreatedText = read(text)?;
        Ok(Self { client_data: bytes(&text.client_data)?, attestation: bytes(&text.attestation)? })
    }
}

impl UsedResponse {
    /// Reads the field of the form.
    ///
    /// # Errors
    /// When it is too long or cannot be read.
    pub fn read(text: &str) -> Result<Self, PasskeyError> {
        let text: UsedText = read(text)?;
        let id = bytes(&text.id)?;
        if id.is_empty() || id.len() > LONGEST_ID {
            return Err(PasskeyError::TooLong);
        }
        Ok(Self {
            id,
            client_data: bytes(&text.client_data)?,
            authenticator_data: bytes(&text.authenticator_data)?,
            signature: bytes(&text.signature)?,
            user_handle: text.user_handle.as_deref().map(bytes).transpose()?,
        })
    }
}
