//! Checks against what others published.

use safekeeping::RecordsKey;
use std::io::{Read, Write};

/// The age specification, section "The X25519 recipient type": an identity is 32 bytes as Bech32 with the
/// human-readable part `AGE-SECRET-KEY-`, in capitals. The library reads ours, and writes it as we do.
#[test]
fn the_identity_of_backups_is_one_that_the_age_format_knows() {
    let key = RecordsKey::new();
    let text = key.backup_identity_text().unwrap();
    assert!(text.starts_with("AGE-SECRET-KEY-1") && text.len() == 74, "{}", text.len());
    let identity = key.backup_identity().unwrap();
    let written = age::secrecy::ExposeSecret::expose_secret(&identity.to_string()).to_owned();
    assert_eq!(written, *text);
}

#[test]
fn what_is_encrypted_to_the_identity_opens_with_it_only() {
    let (key, other) = (RecordsKey::new(), RecordsKey::new());
    let recipient = key.backup_identity().unwrap().to_public();
    let to: Vec<&dyn age::Recipient> = vec![&recipient];
    let mut encrypted = Vec::new();
    let mut writer =
        age::Encryptor::with_recipients(to.into_iter()).unwrap().wrap_output(&mut encrypted).unwrap();
    writer.write_all(b"a backup").unwrap();
    writer.finish().unwrap();
    let opened = |key: &RecordsKey| {
        let identity = key.backup_identity().unwrap();
        let decryptor = age::Decryptor::new(encrypted.as_slice()).unwrap();
        let mut reader = decryptor.decrypt(std::iter::once(&identity as &dyn age::Identity)).ok()?;
        let mut text = String::new();
        reader.read_to_string(&mut text).unwrap();
        Some(text)
    };
    assert_eq!(opened(&key).as_deref(), Some("a backup"));
    assert_eq!(opened(&other), None);
}
