//! The clinic's own protocol file, and the change of one value in it.
#![no_main]

use guidance::Protocol;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let Ok(read) = Protocol::with_clinic_file(text) else { return };
    let _ = read.fingerprint();
    // One value, chosen by the length of the file, is the built-in one again: every other stays as the file has it.
    let Some(key) = read.settings.get(text.len() % read.settings.len()).map(|setting| setting.key) else {
        return;
    };
    let Ok(changed) = Protocol::changed_file(text, key, None) else { return };
    let again = Protocol::with_clinic_file(&changed.text).expect("what was written can be read");
    assert_eq!(again.fingerprint(), changed.protocol.fingerprint());
    for setting in &again.settings {
        let before = read.setting(setting.key).expect("the same values");
        assert!(setting.key == key || setting.value == before.value, "{} changed", setting.key);
    }
});
