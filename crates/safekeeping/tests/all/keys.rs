use safekeeping::{
    KeyFileSecret, KeySlotKind, KeySlots, RecordsKey, RecoveryCode, SafekeepingError, is_sealed, open_sealed,
    seal,
};

const WORDS: &str = "four quiet herons wading";

fn clinic() -> (RecordsKey, KeySlots) {
    let key = RecordsKey::new();
    let slots = KeySlots::new(&key);
    (key, slots)
}

#[test]
fn every_way_unlocks_the_same_key_and_nothing_else_does() {
    let (key, mut slots) = clinic();
    let (code, file) = (RecoveryCode::new(), KeyFileSecret::new());
    slots.set_passphrase(&key, WORDS).unwrap();
    slots.set_recovery_code(&key, &code).unwrap();
    slots.set_key_file(&key, "memory stick", &file).unwrap();
    let slots = KeySlots::from_text(&slots.to_text().unwrap()).unwrap();
    assert_eq!(slots.unlock_with_passphrase(WORDS).unwrap(), key);
    assert_eq!(slots.unlock_with_code(&code).unwrap(), key);
    assert_eq!(slots.unlock_with_key_file(&file.to_text().parse().unwrap()).unwrap(), key);
    let wrong = slots.unlock_with_passphrase("four quiet herons wadinG");
    assert_eq!(wrong, Err(SafekeepingError::WrongPassphrase));
    assert_eq!(slots.unlock_with_code(&RecoveryCode::new()), Err(SafekeepingError::WrongCode));
    assert_eq!(slots.unlock_with_key_file(&KeyFileSecret::new()), Err(SafekeepingError::WrongKeyFile));
}

/// "é" as one character and as two, and the wide letters of some keyboards: one passphrase.
#[test]
fn a_passphrase_typed_on_another_keyboard_unlocks() {
    let (key, mut slots) = clinic();
    slots.set_passphrase(&key, "caf\u{e9} \u{ff41}bc herons wading").unwrap();
    assert_eq!(slots.unlock_with_passphrase(" cafe\u{301} abc herons wading ").unwrap(), key);
}

#[test]
fn a_new_passphrase_or_code_takes_the_place_of_the_old_one() {
    let (key, mut slots) = clinic();
    let (old, new) = (RecoveryCode::new(), RecoveryCode::new());
    slots.set_recovery_code(&key, &old).unwrap();
    slots.set_recovery_code(&key, &new).unwrap();
    assert_eq!(slots.list().len(), 1);
    assert_eq!(slots.unlock_with_code(&old), Err(SafekeepingError::WrongCode));
    assert_eq!(slots.unlock_with_code(&new).unwrap(), key);
    assert!(slots.remove(KeySlotKind::RecoveryCode, "") && !slots.has(KeySlotKind::RecoveryCode));
    assert_eq!(slots.unlock_with_code(&new), Err(SafekeepingError::NoSlot("recovery code")));
}

/// A byte of the disk went wrong in one of two key files' slots: the other one still unlocks, and with neither the
/// slots are said to be damaged, for the secret may be the right one.
#[test]
fn a_damaged_slot_stops_no_other_of_its_kind() {
    let (key, mut slots) = clinic();
    let (first, second) = (KeyFileSecret::new(), KeyFileSecret::new());
    slots.set_key_file(&key, "memory stick", &first).unwrap();
    slots.set_key_file(&key, "safe", &second).unwrap();
    let text = slots.to_text().unwrap();
    let at = text.find("\"salt\": \"").unwrap() + 9;
    let damaged = format!("{}z{}", &text[..at], &text[at + 1..]);
    let slots = KeySlots::from_text(&damaged).unwrap();
    assert_eq!(slots.unlock_with_key_file(&second).unwrap(), key);
    let error = slots.unlock_with_key_file(&first).unwrap_err();
    assert!(matches!(error, SafekeepingError::Slots { .. }), "{error}");
}

/// A slot put among those of another clinic does not open: the name of the key is authenticated with it.
#[test]
fn a_slot_of_another_clinic_is_not_taken() {
    let code = RecoveryCode::new();
    let texts = [0, 1].map(|_| {
        let (key, mut slots) = clinic();
        slots.set_recovery_code(&key, &code).unwrap();
        (slots.key_name().to_owned(), slots.to_text().unwrap())
    });
    let [(one, text), (other, _)] = texts;
    assert!(KeySlots::from_text(&text).unwrap().unlock_with_code(&code).is_ok());
    let moved = KeySlots::from_text(&text.replace(&one, &other)).unwrap();
    assert_eq!(moved.unlock_with_code(&code), Err(SafekeepingError::WrongCode));
}

/// Each character of the file changed in turn: it is refused or opens nothing, except where the change is one of
/// label or layout, and it never yields another key.
#[test]
fn a_changed_file_yields_no_other_key() {
    let (key, mut slots) = clinic();
    let code = RecoveryCode::new();
    slots.set_recovery_code(&key, &code).unwrap();
    let text = slots.to_text().unwrap();
    let mut refused = 0;
    for place in 0..text.len() {
        let mut bytes = text.clone().into_bytes();
        bytes[place] ^= 1;
        let changed = String::from_utf8(bytes).unwrap();
        match KeySlots::from_text(&changed).and_then(|slots| slots.unlock_with_code(&code)) {
            Ok(opened) => assert_eq!(opened, key),
            Err(_) => refused += 1,
        }
    }
    // Salt (32 digits), sealed key (8 + 32 + 32 + 16 bytes as 176 digits) and name (16 digits) at the least.
    assert!(refused >= 32 + 176 + 16, "{refused} of {}", text.len());
}

#[test]
fn a_file_of_a_later_program_or_with_an_absurd_cost_is_refused() {
    let (key, mut slots) = clinic();
    slots.set_passphrase(&key, WORDS).unwrap();
    let text = slots.to_text().unwrap();
    let newer = KeySlots::from_text(&text.replace("\"form\": 1", "\"form\": 2"));
    assert!(matches!(newer, Err(SafekeepingError::NewerSlots(_))));
    let absurd = KeySlots::from_text(&text.replace("65536", "4000000000")).unwrap();
    assert!(matches!(absurd.unlock_with_passphrase(WORDS), Err(SafekeepingError::Slots { .. })));
}

#[test]
fn keys_of_different_purposes_differ_and_nothing_shows_them() {
    let key = RecordsKey::new();
    assert_ne!(*key.database(), *key.access_log());
    let hex = |bytes: &[u8]| data_encoding(bytes);
    let shown = format!("{key:?} {:?} {:?} {:?}", key.files(), RecoveryCode::new(), KeyFileSecret::new());
    assert!(shown.contains(&key.name()));
    for secret in
        [hex(&*key.database()), hex(&*key.access_log()), key.backup_identity_text().unwrap().to_string()]
    {
        assert!(!shown.contains(&secret));
    }
}

fn data_encoding(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[test]
fn a_sealed_file_opens_under_its_own_name_and_key_only() {
    let (key, other) = (RecordsKey::new().files(), RecordsKey::new().files());
    let sealed = seal(&key, "drafts.key", b"Amara Okoye").unwrap();
    assert!(is_sealed(&sealed) && !is_sealed(b"Amara Okoye"));
    assert!(!sealed.windows(5).any(|part| part == b"Amara"));
    assert_eq!(open_sealed(&key, "drafts.key", &sealed).unwrap().as_slice(), b"Amara Okoye");
    let refused = Err(SafekeepingError::NotGenuine);
    assert_eq!(open_sealed(&key, "maps.json", &sealed), refused);
    assert_eq!(open_sealed(&other, "drafts.key", &sealed), refused);
    for place in 0..sealed.len() {
        let mut changed = sealed.clone();
        changed[place] ^= 0x80;
        assert_eq!(open_sealed(&key, "drafts.key", &changed), refused, "byte {place}");
        assert_eq!(open_sealed(&key, "drafts.key", &sealed[..place]), refused, "cut at {place}");
    }
    assert_ne!(sealed, seal(&key, "drafts.key", b"Amara Okoye").unwrap());
}
