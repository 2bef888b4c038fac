//! Erasure: the body goes, everywhere in the file; the id, the hashes and the reason stay.

use crate::common::{child, note, open, options, registration, someone};
use archive::{Archive, ArchiveError, Erasure};
use record::{EntryId, Timestamp};
use std::{fs, path::Path};

fn bytes_contain(dir: &Path, text: &str) -> bool {
    fs::read_dir(dir).unwrap().any(|file| {
        let bytes = fs::read(file.unwrap().path()).unwrap();
        bytes.windows(text.len()).any(|window| window == text.as_bytes())
    })
}

#[test]
fn an_erased_entry_leaves_id_and_reason_and_the_chain_still_closes() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let wrong = registration(child(1), "Quillon", "Zorzabel", "WRONG-77", Some("2023-10-05"));
    let kept = note(child(1), "2024-01-02", "kept");
    archive.append(vec![wrong.clone(), kept.clone()]).unwrap();
    archive.append(vec![note(child(2), "2024-01-02", "later")]).unwrap();
    // The summary is written again and again, growing, among those of others.
    for number in 0..60 {
        let text = format!("attention/{}/0/2024-01-02", "r".repeat(number));
        archive
            .append(vec![
                note(child(1), "2024-01-02", &text),
                note(child(number as u128), "2024-01-02", &text),
            ])
            .unwrap();
    }
    let readable = crate::key().is_none();
    assert_eq!(bytes_contain(dir.path(), "Zorzabel") && bytes_contain(dir.path(), "zorzabel"), readable);
    let at = Timestamp::from_seconds(1_710_000_000);
    archive.erase(wrong.id, " filed under the wrong child ", someone(), at).unwrap();

    let left = archive.entries(child(1)).unwrap();
    assert!(left.contains(&kept) && !left.contains(&wrong));
    assert_eq!(archive.entry(wrong.id).unwrap(), None);
    let reason = "filed under the wrong child".to_owned();
    let expected = Erasure { entry: wrong.id, reason, by: someone(), at };
    assert_eq!(archive.erasures(child(1)).unwrap(), vec![expected]);
    assert_eq!(archive.erasures(child(2)).unwrap(), Vec::new());
    assert!(archive.search("Zorzabel", 10).unwrap().is_empty());
    assert!(archive.by_number("WRONG-77").unwrap().is_empty());
    let report = archive.verify().unwrap();
    assert!(report.is_sound() && report.summaries_compared, "{report}");
    assert_eq!((report.entries, report.erased), (123, 1));
    // The id cannot be used again.
    assert_eq!(archive.append(vec![wrong.clone()]).unwrap_err(), ArchiveError::Duplicate(wrong.id));
    for trace in ["Zorzabel", "zorzabel", "Quillon", "quillon", "WRONG-77", "wrong77"] {
        assert!(!bytes_contain(dir.path(), trace), "“{trace}” is still in the files");
    }
}

#[test]
fn a_child_with_nothing_left_is_in_no_list() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let only = registration(child(1), "Amina", "Osei", "CF-1", None);
    archive.append(vec![only.clone()]).unwrap();
    archive.erase(only.id, "asked for by the family", someone(), Timestamp::from_seconds(0)).unwrap();
    assert_eq!(archive.summary(child(1)).unwrap(), None);
    assert_eq!(archive.children_count().unwrap(), 0);
    drop(archive);
    let again =
        Archive::open(dir.path(), archive::Options { summary_version: "2".into(), ..options() }).unwrap();
    let report = again.verify().unwrap();
    assert!(report.is_sound() && report.summaries_compared, "{report}");
}

#[test]
fn an_erasure_needs_an_entry_and_a_reason_and_happens_once() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let entry = note(child(1), "2024-01-01", "a");
    archive.append(vec![entry.clone()]).unwrap();
    let erase = |id, reason| archive.erase(id, reason, someone(), Timestamp::from_seconds(0));
    assert_eq!(erase(entry.id, "  ").unwrap_err(), ArchiveError::NoReason);
    let unknown = EntryId::new(crate::common::id(5));
    assert_eq!(erase(unknown, "r").unwrap_err(), ArchiveError::NoEntry(unknown));
    erase(entry.id, "r").unwrap();
    assert_eq!(erase(entry.id, "r").unwrap_err(), ArchiveError::AlreadyErased(entry.id));
}

#[test]
fn a_changed_reason_is_found() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let entry = note(child(1), "2024-01-01", "a");
    archive.append(vec![entry.clone()]).unwrap();
    archive.erase(entry.id, "the true reason", someone(), Timestamp::from_seconds(0)).unwrap();
    crate::common::raw(dir.path()).execute("UPDATE erasures SET reason = 'another'", []).unwrap();
    let report = archive.verify().unwrap();
    assert_eq!(report.faults.first().and_then(|fault| fault.entry), Some(entry.id), "{report}");
}
