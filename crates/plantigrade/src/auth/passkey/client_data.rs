//! What the browser states: section 5.8.1, `CollectedClientData`.

use super::{PasskeyError, PasskeyPlace};
use crate::auth::token::same;
use data_encoding::BASE64URL_NOPAD;
use serde::Deserialize;

/// The longest statement, in bytes.
const LONGEST: usize = 4096;

/// The members that are checked. Browsers may add others.
#[derive(Deserialize)]
#[serde(rename_all = "camelCase")]
struct ClientData {
    r#type: String,
    challenge: String,
    origin: String,
    #[serde(default)]
    cross_origin: bool,
    #[serde(default)]
    top_origin: Option<String>,
}

fn read(json: &[u8]) -> Result<ClientData, PasskeyError> {
    if json.len() > LONGEST {
        return Err(PasskeyError::TooLong);
    }
    serde_json::from_slice(json).map_err(|_| PasskeyError::Unreadable("the browser’s part"))
}

/// The challenge that an answer names, to find the one that was made; the verification compares the two.
#[must_use]
pub fn challenge_of(json: &[u8]) -> Option<Vec<u8>> {
    BASE64URL_NOPAD.decode(read(json).ok()?.challenge.as_bytes()).ok()
}

/// Checks type, challenge and origin (sections 7.1, steps 7 to 9, and 7.2, steps 11 to 13), and that the page was not
/// within a page of another site.
pub(super) fn check(
    json: &[u8],
    r#type: &str,
    challenge: &[u8],
    place: &PasskeyPlace,
) -> Result<(), PasskeyError> {
    let data = read(json)?;
    if data.r#type != r#type {
        return Err(PasskeyError::OtherType);
    }
    if challenge.is_empty() || !same(&data.challenge, &BASE64URL_NOPAD.encode(challenge)) {
        return Err(PasskeyError::OtherChallenge);
    }
    if data.origin != place.origin || data.cross_origin || data.top_origin.is_some() {
        return Err(PasskeyError::OtherOrigin);
    }
    Ok(())
}
