//! The wire form of entries, of every kind and version: what can be read is written as the same and read as the same;
//! what it says can be put in words.
#![no_main]

use libfuzzer_sys::fuzz_target;
use record::Entry;

fuzz_target!(|text: &str| {
    let Ok(entry) = Entry::from_json(text) else { return };
    let _ = entry.findings();
    let sentence = entry.body.sentence();
    // A sentence repeats what was recorded and adds words of its own.
    assert!(sentence.len() <= 40 * text.len() + 4_000, "{} bytes from {}", sentence.len(), text.len());
    let json = match entry.to_json() {
        Ok(json) => json,
        Err(_) => {
            assert!(entry.refusal().is_some(), "an entry that cannot be written is not refused: {entry:?}");
            return;
        }
    };
    let back = Entry::from_json(&json).unwrap_or_else(|error| panic!("{error}: {json}"));
    assert_eq!(back.to_json().expect("as before"), json);
    // Not-a-number differs from itself; such an entry is refused.
    assert!(back == entry || entry.refusal().is_some(), "{json}");
    let values = entry.body.values();
    let again = record::Body::from_values(entry.kind(), &|key| values.get(key).cloned());
    if entry.refusal().is_none()
        && let Ok(again) = again
    {
        let _ = again.sentence();
    }
});
