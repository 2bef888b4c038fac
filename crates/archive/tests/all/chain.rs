//! Tampering past the archive is found, and the first entry that does not fit is named.

use crate::common::{child, note, open, raw, site};
use archive::{Archive, FaultKind, VerifyReport};
use record::EntryId;
use rusqlite::params;
use std::path::Path;

/// Two sites, ten entries each, in turns.
fn twenty(dir: &Path) -> Vec<EntryId> {
    let archive = open(dir);
    let mut ids = Vec::new();
    for number in 0..20 {
        let mut next = note(child(number % 4), "2024-01-01", &format!("number {number}"));
        next.site = site(1 + number % 2);
        ids.push(next.id);
        archive.append(vec![next]).unwrap();
    }
    let report = archive.verify().unwrap();
    assert!(report.is_sound() && report.summaries_compared, "{report}");
    assert_eq!((report.entries, report.children, report.sites, report.erased), (20, 4, 2, 0));
    ids
}

fn after(dir: &Path, sql: &str, values: impl rusqlite::Params) -> VerifyReport {
    let changed = raw(dir).execute(sql, values).unwrap();
    assert!(changed > 0, "the tampering itself did nothing");
    open(dir).verify().unwrap()
}

fn first_named(report: &VerifyReport) -> EntryId {
    assert!(!report.is_sound());
    let fault = report.faults.iter().find(|fault| fault.kind == FaultKind::Log).expect("a fault of the log");
    fault.entry.expect("an entry is named")
}

#[test]
fn an_edited_body_is_found_by_check_and_by_reading() {
    let dir = tempfile::tempdir().unwrap();
    let ids = twenty(dir.path());
    let sql = "UPDATE entries SET wire = replace(wire, 'number 8', 'number 9') WHERE id = ?1";
    let report = after(dir.path(), sql, [ids[8].uuid().as_bytes()]);
    assert_eq!((first_named(&report), report.faults_count), (ids[8], 1), "{report}");
    let refused = open(dir.path()).entries(child(0)).unwrap_err();
    assert!(refused.to_string().contains(&ids[8].to_string()), "{refused}");
}

#[test]
fn an_edited_body_with_its_own_hash_made_to_fit_is_found_in_the_chain() {
    let dir = tempfile::tempdir().unwrap();
    let ids = twenty(dir.path());
    let conn = raw(dir.path());
    let id = ids[8].uuid();
    let read = |row: &rusqlite::Row<'_>| Ok((row.get(0)?, row.get(1)?));
    let (wire, salt): (String, Vec<u8>) =
        conn.query_row("SELECT wire, salt FROM entries WHERE id = ?1", [id.as_bytes()], read).unwrap();
    let wire = wire.replace("number 8", "number 9");
    let mut hasher = blake3::Hasher::new();
    hasher.update(&salt).update(wire.as_bytes());
    let content = hasher.finalize();
    let values = params![id.as_bytes(), wire, content.as_bytes()];
    let report = after(dir.path(), "UPDATE entries SET wire = ?2, content = ?3 WHERE id = ?1", values);
    assert_eq!((first_named(&report), report.faults_count), (ids[8], 1), "{report}");
}

#[test]
fn a_deleted_row_is_found_in_the_middle_and_at_the_end() {
    let dir = tempfile::tempdir().unwrap();
    let ids = twenty(dir.path());
    let report = after(dir.path(), "DELETE FROM entries WHERE id = ?1", [ids[6].uuid().as_bytes()]);
    // The next of the same site is the first that does not fit.
    assert_eq!(first_named(&report), ids[8], "{report}");
    assert!(report.to_string().contains("missing"), "{report}");

    let dir = tempfile::tempdir().unwrap();
    let ids = twenty(dir.path());
    let report = after(dir.path(), "DELETE FROM entries WHERE id = ?1", [ids[19].uuid().as_bytes()]);
    assert!(report.to_string().contains("should have 10 entries and ends with number 9"), "{report}");
}

#[test]
fn two_rows_swapped_are_found() {
    let dir = tempfile::tempdir().unwrap();
    let ids = twenty(dir.path());
    let conn = raw(dir.path());
    let place = |id: EntryId| -> i64 {
        let sql = "SELECT place FROM entries WHERE id = ?1";
        conn.query_row(sql, [id.uuid().as_bytes()], |row| row.get(0)).unwrap()
    };
    let (a, b) = (place(ids[4]), place(ids[8]));
    conn.execute("UPDATE entries SET place = -1 WHERE place = ?1", [a]).unwrap();
    conn.execute("UPDATE entries SET place = ?1 WHERE place = ?2", [a, b]).unwrap();
    let report = after(dir.path(), "UPDATE entries SET place = ?1 WHERE place = -1", [b]);
    assert_eq!(first_named(&report), ids[8], "the later one stands first: {report}");
}

#[test]
fn bodies_swapped_between_two_rows_are_found() {
    let dir = tempfile::tempdir().unwrap();
    let ids = twenty(dir.path());
    raw(dir.path())
        .execute_batch("CREATE TABLE aside AS SELECT id, wire, salt, content FROM entries")
        .unwrap();
    let sql =
        "UPDATE entries SET (wire, salt, content) = (SELECT wire, salt, content FROM aside WHERE aside.id =
               CASE entries.id WHEN ?1 THEN ?2 ELSE ?1 END) WHERE id IN (?1, ?2)";
    let (a, b) = (ids[4].uuid(), ids[8].uuid());
    let report = after(dir.path(), sql, params![a.as_bytes(), b.as_bytes()]);
    assert_eq!((first_named(&report), report.faults_count), (ids[4], 2), "{report}");
}

#[test]
fn an_entry_moved_to_another_child_or_added_by_hand_is_found() {
    let dir = tempfile::tempdir().unwrap();
    let ids = twenty(dir.path());
    let sql = "UPDATE entries SET child = (SELECT max(number) FROM children) WHERE id = ?1";
    let report = after(dir.path(), sql, [ids[4].uuid().as_bytes()]);
    assert_eq!(first_named(&report), ids[4], "{report}");

    let dir = tempfile::tempdir().unwrap();
    twenty(dir.path());
    let sql = "INSERT INTO entries (id, child, site, sequence, wire, salt, content, hash)
               SELECT randomblob(16), child, site, sequence + 1, wire, salt, content, hash FROM entries
               ORDER BY place DESC LIMIT 1";
    let report = after(dir.path(), sql, []);
    assert!(!report.is_sound(), "{report}");
}

#[test]
fn a_body_taken_away_without_an_erasure_is_found() {
    let dir = tempfile::tempdir().unwrap();
    let ids = twenty(dir.path());
    let sql = "UPDATE entries SET wire = NULL, salt = NULL WHERE id = ?1";
    let report = after(dir.path(), sql, [ids[4].uuid().as_bytes()]);
    assert_eq!(first_named(&report), ids[4], "{report}");
}

#[test]
fn lists_that_do_not_agree_with_the_log_are_found() {
    let changes = [
        "UPDATE summaries SET name_key = 'someone else' WHERE child = 2",
        "UPDATE summaries SET body = replace(body, '\"a\":true', '\"a\":false') WHERE child = 2",
        "DELETE FROM summaries WHERE child = 2",
        "INSERT INTO work VALUES (0, 0, 0, 1, 0, 'invented', '', 9)",
        "INSERT INTO numbers VALUES ('1', 1)",
    ];
    for sql in changes {
        let dir = tempfile::tempdir().unwrap();
        twenty(dir.path());
        let report = after(dir.path(), sql, []);
        assert_eq!(
            report.faults.first().map(|fault| fault.kind),
            Some(FaultKind::Summary),
            "{sql}: {report}"
        );
        // Computing again mends it.
        let again =
            Archive::open(dir.path(), crate::common::options_of("2", crate::common::summarise)).unwrap();
        let report = again.verify().unwrap();
        assert!(report.is_sound() && report.summaries_compared, "{sql}: {report}");
    }
}
