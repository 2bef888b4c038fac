//! What unlocks the records: the file of the key slots, a recovery code typed in from paper, a key file, and sealed
//! files. The first byte chooses which.
#![no_main]

use libfuzzer_sys::fuzz_target;
use safekeeping::{
    KeyFileSecret, KeySlots, RecordsKey, RecoveryCode, RecoverySheetText, open_sealed, read_sheet_text, seal,
};
use std::sync::LazyLock;

static KEY: LazyLock<RecordsKey> = LazyLock::new(RecordsKey::new);
static SEALED: LazyLock<Vec<u8>> =
    LazyLock::new(|| seal(&KEY.files(), "a.toml", b"a file of some length").expect("sealed"));
static CODE: LazyLock<RecoveryCode> = LazyLock::new(RecoveryCode::new);
static SECRET: LazyLock<KeyFileSecret> = LazyLock::new(KeyFileSecret::new);

fuzz_target!(|bytes: &[u8]| {
    let Some((first, rest)) = bytes.split_first() else { return };
    if first % 4 == 3 {
        return sealed(rest);
    }
    let Ok(text) = std::str::from_utf8(rest) else { return };
    match first % 4 {
        0 => slots(text),
        1 => code(text),
        _ => {
            if let Ok(secret) = text.parse::<KeyFileSecret>() {
                let again: KeyFileSecret = secret.to_text().parse().expect("as written");
                assert!(again == secret);
            }
        }
    }
});

fn slots(text: &str) {
    let Ok(slots) = KeySlots::from_text(text) else { return };
    let written = slots.to_text().expect("what was read can be written");
    assert_eq!(KeySlots::from_text(&written).expect("as written"), slots, "{written}");
    let _ = slots.list();
    // Nobody gets a key by a secret made a moment ago.
    assert!(slots.unlock_with_code(&CODE).is_err() && slots.unlock_with_key_file(&SECRET).is_err());
}

fn code(text: &str) {
    match read_sheet_text(text) {
        Ok(RecoverySheetText::Whole(code)) => {
            let again = read_sheet_text(&code.groups().join(" ")).expect("as printed");
            assert!(again == RecoverySheetText::Whole(code));
        }
        Ok(RecoverySheetText::Half(half)) => {
            let again = read_sheet_text(&half.groups().join(" ")).expect("as printed");
            assert!(again == RecoverySheetText::Half(half));
        }
        Err(_) => {}
    }
}

/// A sealed file with some bytes changed is not opened.
fn sealed(edits: &[u8]) {
    let mut file = SEALED.clone();
    for edit in edits.chunks_exact(2) {
        let at = usize::from(edit[0]) % file.len();
        file[at] = edit[1];
    }
    if file != *SEALED {
        assert!(open_sealed(&KEY.files(), "a.toml", &file).is_err(), "a changed file is opened");
    }
    assert!(open_sealed(&KEY.files(), "b.toml", &SEALED).is_err(), "a file under another name is opened");
    assert!(open_sealed(&KEY.files(), "a.toml", edits).is_err(), "a file that was not sealed is opened");
}
