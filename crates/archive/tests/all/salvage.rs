//! Each page of a small clinic damaged in turn: nothing panics, nothing wrong is shown, and everything that is not
//! on that page is saved from it.

use crate::common::{child, id, note, open, options, registration, someone, summarise};
use archive::{Account, Archive, FILE_NAME, NewImport, Options, PartlyRead, Salvaged, salvage};
use record::{Entry, EntryId, ImportId, Roles, Timestamp, UserId};
use std::{
    collections::{BTreeMap, BTreeSet, HashSet},
    fs,
    path::Path,
};

const PAGE: usize = 4_096;
const CHILDREN: u128 = 40;

fn clinic(dir: &Path) -> BTreeMap<u128, Vec<Entry>> {
    let archive = open(dir);
    let at = Timestamp::from_seconds(1_700_000_000);
    for name in ["ida", "osei"] {
        let account = Account {
            id: UserId::new(uuid::Uuid::now_v7()),
            name: name.into(),
            display_name: name.into(),
            password_hash: "$argon2id$invented".into(),
            created_at: at,
            disabled: false,
            roles: Roles::FIRST,
            one_time_until: None,
            last_sign_in: None,
        };
        archive.accounts().create_account(account).unwrap();
    }
    archive.set_setting("site", Some(crate::common::site(1).to_string())).unwrap();
    let mut entries = Vec::new();
    for number in 0..CHILDREN {
        entries.push(registration(
            child(number),
            &format!("Given{number}"),
            "Family",
            &format!("N{number}"),
            None,
        ));
    }
    let about = NewImport { id: ImportId::new(id(900)), file: "visits.csv".into(), by: someone(), at };
    archive.append_import(entries, about, &mut |_| {}).unwrap();
    for round in 0..4 {
        for number in 0..CHILDREN {
            // Some longer than a page.
            let text = format!("round {round} {}", "x".repeat(if number % 13 == 0 { 6_000 } else { 60 }));
            archive.append(vec![note(child(number), "2024-01-02", &text)]).unwrap();
        }
    }
    let erased = archive.entries(child(3)).unwrap()[2].id;
    archive.erase(erased, "filed under the wrong child", someone(), at).unwrap();
    (0..CHILDREN).map(|number| (number, archive.entries(child(number)).unwrap())).collect()
}

fn damage(file: &[u8], page: usize) -> Vec<u8> {
    let mut bytes = file.to_vec();
    bytes[page * PAGE..(page + 1) * PAGE].fill(0xA5);
    bytes
}

/// What each page holds, by damaging nothing else: the entries whose rows are on it or continue on it.
fn check_one(written: &BTreeMap<u128, Vec<Entry>>, dir: &Path, page: usize) -> Salvaged {
    let (old, new) = (dir.join("old"), dir.join("new"));
    let told = salvage(&old, &new, PartlyRead::Write, None, crate::key().as_ref())
        .unwrap_or_else(|error| panic!("page {page}: {error}"));
    let archive = Archive::open(&new, options()).unwrap();
    let report = archive.verify().unwrap();
    assert!(report.is_sound(), "page {page}: {report}");
    let mut lost = BTreeSet::new();
    for (number, log) in written {
        let read = archive.entries(child(*number)).unwrap();
        let known: HashSet<EntryId> = log.iter().map(|entry| entry.id).collect();
        assert!(
            read.iter().all(|entry| log.contains(entry)),
            "page {page}: an entry differs from what was written"
        );
        assert!(known.len() >= read.len());
        if read.len() < log.len() {
            lost.insert(child(*number));
        }
    }
    let missing: usize = written.values().map(Vec::len).sum::<usize>() + 1 - told.entries;
    assert_eq!(told.missing.len(), missing, "page {page}: {told:?}");
    let affected: BTreeSet<_> = told.affected.iter().copied().collect();
    // Of the erased entry nothing is read anyway.
    if told.incomplete.contains(&"erasures") && told.affected.contains(&child(3)) {
        lost.insert(child(3));
    }
    if told.of_unknown_children == 0 {
        assert_eq!(affected, lost, "page {page}: {told:?}");
    }
    told
}

#[test]
fn each_page_damaged_in_turn_costs_what_is_on_it_and_nothing_else() {
    let whole = tempfile::tempdir().unwrap();
    let written = clinic(whole.path());
    let bytes = fs::read(whole.path().join(FILE_NAME)).unwrap();
    let pages = bytes.len() / PAGE;
    let (mut untouched, mut most) = (0, 0);
    for page in 0..pages {
        let dir = tempfile::tempdir().unwrap();
        fs::create_dir(dir.path().join("old")).unwrap();
        fs::write(dir.path().join("old").join(FILE_NAME), damage(&bytes, page)).unwrap();
        // Opening never panics, and what it hands out is what was written.
        if let Ok(archive) = Archive::open_for_reading(&dir.path().join("old"), options()) {
            for (number, log) in &written {
                if let Ok(read) = archive.entries(child(*number)) {
                    assert!(read.iter().all(|entry| log.contains(entry)), "page {page}");
                }
                let _ = archive.summary(child(*number));
            }
            let _ = (archive.search("Given7", 5), archive.verify(), archive.children_count());
        }
        let told = check_one(&written, dir.path(), page);
        assert_eq!(
            told.accounts,
            if told.incomplete.contains(&"accounts") { told.accounts } else { 2 },
            "page {page}"
        );
        untouched += usize::from(told.missing.is_empty());
        most = most.max(told.missing.len());
    }
    println!(
        "{pages} pages: {untouched} without a loss of entries, at most {most} entries lost with one page"
    );
    assert!(untouched > pages / 4 && most < 40, "{pages} pages, {untouched}, {most}");
}

#[test]
fn whole_records_are_read_whole() {
    let dir = tempfile::tempdir().unwrap();
    let written = clinic(&dir.path().join("old"));
    let told = salvage(
        &dir.path().join("old"),
        &dir.path().join("new"),
        PartlyRead::Write,
        None,
        crate::key().as_ref(),
    )
    .unwrap();
    assert!(told.is_whole(), "{told:?}");
    let (old, new) = (open(&dir.path().join("old")), open(&dir.path().join("new")));
    for number in written.keys() {
        assert_eq!(old.entries(child(*number)).unwrap(), new.entries(child(*number)).unwrap());
        assert_eq!(old.erasures(child(*number)).unwrap(), new.erasures(child(*number)).unwrap());
    }
    assert_eq!(old.accounts().all().unwrap(), new.accounts().all().unwrap());
    assert_eq!(old.imports().unwrap(), new.imports().unwrap());
    let contents = |dir: &Path| {
        let conn = crate::common::raw(dir);
        let mut query = conn.prepare("SELECT id, content FROM entries ORDER BY place").unwrap();
        let rows = query.query_map([], |row| Ok((row.get(0)?, row.get(1)?))).unwrap();
        rows.map(Result::unwrap).collect::<Vec<([u8; 16], [u8; 32])>>()
    };
    assert_eq!(contents(&dir.path().join("old")), contents(&dir.path().join("new")));
    assert!(new.verify().unwrap().is_sound());
}

#[test]
fn children_of_whom_something_is_missing_are_left_out_where_they_would_be_shown() {
    let dir = tempfile::tempdir().unwrap();
    let old = dir.path().join("old");
    let written = clinic(&old);
    let bytes = fs::read(old.join(FILE_NAME)).unwrap();
    let mut tried = 0;
    for page in 0..bytes.len() / PAGE {
        fs::write(old.join(FILE_NAME), damage(&bytes, page)).unwrap();
        let new = dir.path().join(format!("shown{page}"));
        let told = salvage(&old, &new, PartlyRead::LeaveOut, None, crate::key().as_ref()).unwrap();
        if told.affected.is_empty() {
            continue;
        }
        tried += 1;
        let shown = Archive::open(&new, options()).unwrap();
        for (number, log) in &written {
            let read = shown.entries(child(*number)).unwrap();
            if told.affected.contains(&child(*number)) {
                assert!(read.is_empty(), "page {page}");
            } else if told.of_unknown_children == 0 {
                assert_eq!(read, *log, "page {page}");
            }
        }
    }
    assert!(tried > 3, "{tried}");
}

#[test]
fn damage_is_found_at_opening_and_when_it_is_read_and_then_nothing_more_is_written() {
    let dir = tempfile::tempdir().unwrap();
    clinic(dir.path());
    let bytes = fs::read(dir.path().join(FILE_NAME)).unwrap();
    let checked = Options { quick_check: true, ..crate::common::options_of("1", summarise) };
    assert!(Archive::open(dir.path(), checked.clone()).is_ok());
    // A page of the log: a leaf of a table with an entry of which nothing continues elsewhere.
    let page: i64 = crate::common::raw(dir.path())
        .query_row(
            "SELECT max(pageno) - 1 FROM dbstat WHERE name = 'entries' AND pagetype = 'leaf'",
            [],
            |row| row.get(0),
        )
        .unwrap();
    fs::write(dir.path().join(FILE_NAME), damage(&bytes, usize::try_from(page).unwrap())).unwrap();
    let error = Archive::open(dir.path(), checked).map(|_| ()).unwrap_err();
    assert!(error.to_string().contains("damaged"), "{error}");
    let archive = open(dir.path());
    archive
        .append(vec![note(child(1), "2024-01-03", "not noticed yet")])
        .unwrap_or(archive::Receipt { entries: 0, children: vec![] });
    let read = (0..CHILDREN).filter(|number| archive.entries(child(*number)).is_ok()).count();
    assert!(read < CHILDREN as usize && read > 0, "{read}");
    assert!(archive.damage().is_some());
    let refused = archive.append(vec![note(child(2), "2024-01-03", "x")]).unwrap_err();
    assert!(refused.to_string().contains("damaged"), "{refused}");
}
