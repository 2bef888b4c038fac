//! What a browser sends about a passkey: the browser's own part, the attestation object (CBOR) and the key in it
//! (COSE). The first byte chooses how much of it is right already.
#![no_main]

use libfuzzer_sys::fuzz_target;
use plantigrade::auth::passkey::{
    CreatedResponse, PasskeyPlace, StoredKey, UsedResponse, challenge_of, verify_new, verify_use,
};
use ring::digest;

const CHALLENGE: &[u8] = b"0123456789abcdef0123456789abcdef";
/// The challenge in base64url.
const CHALLENGE_TEXT: &str = "MDEyMzQ1Njc4OWFiY2RlZjAxMjM0NTY3ODlhYmNkZWY";

fuzz_target!(|bytes: &[u8]| {
    let Some((first, rest)) = bytes.split_first() else { return };
    let place = PasskeyPlace { origin: "http://localhost:8460".to_owned(), rp_id: "localhost".to_owned() };
    match first % 4 {
        0 => {
            let _ = challenge_of(rest);
            let response = CreatedResponse { client_data: rest.to_vec(), attestation: Vec::new() };
            assert!(verify_new(&response, CHALLENGE, &place).is_err(), "a key out of nothing");
        }
        1 => made(rest.to_vec(), &place),
        2 => made(attestation(rest), &place),
        _ => used(rest, &place),
    }
});

fn client_data(kind: &str) -> Vec<u8> {
    format!(r#"{{"type":"{kind}","challenge":"{CHALLENGE_TEXT}","origin":"http://localhost:8460"}}"#)
        .into_bytes()
}

fn made(attestation: Vec<u8>, place: &PasskeyPlace) {
    let response = CreatedResponse { client_data: client_data("webauthn.create"), attestation };
    let Ok(key) = verify_new(&response, CHALLENGE, place) else { return };
    let has = |part: &[u8]| response.attestation.windows(part.len()).any(|bytes| bytes == part);
    assert!(!key.id.is_empty() && has(&key.id), "an id that was not sent");
    assert!(has(&key.public_key), "a key that was not sent");
}

/// An attestation object "none" around an authenticator's data that names the right computer.
fn attestation(rest: &[u8]) -> Vec<u8> {
    let mut data = digest::digest(&digest::SHA256, b"localhost").as_ref().to_vec();
    data.extend_from_slice(rest);
    let mut out = b"\xa3\x63fmt\x64none\x67attStmt\xa0\x68authData\x59".to_vec();
    let length = u16::try_from(data.len()).unwrap_or(u16::MAX);
    out.extend_from_slice(&length.to_be_bytes());
    out.extend_from_slice(&data);
    out
}

/// Nobody signs without the key: whatever the input, it is no use of the passkey.
fn used(rest: &[u8], place: &PasskeyPlace) {
    let half = rest.len() / 2;
    let mut data = digest::digest(&digest::SHA256, b"localhost").as_ref().to_vec();
    data.extend_from_slice(&rest[..half]);
    let response = UsedResponse {
        id: vec![1],
        client_data: client_data("webauthn.get"),
        authenticator_data: data,
        signature: rest[half..].to_vec(),
        user_handle: None,
    };
    // An Ed25519 key of no known secret: the point of RFC 8032, section 7.1, test 1.
    let cose = b"\xa4\x01\x01\x03\x27\x20\x06\x21\x58\x20\xd7\x5a\x98\x01\x82\xb1\x0a\xb7\xd5\x4b\xfe\xd3\xc9\x64\x07\x3a\x0e\xe1\x72\xf3\xda\xa6\x23\x25\xaf\x02\x1a\x68\xf7\x07\x51\x1a";
    let stored = StoredKey { owner: b"owner", rp_id: "localhost", public_key: cose, backup_eligible: false };
    assert!(verify_use(&response, stored, CHALLENGE, place).is_err(), "a signature without the key");
}
