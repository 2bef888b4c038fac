//! What the records answer without handing out the store: sites, authors of imports, and known children.

use archive::{Archive, Options, Summary};
use clinic::{ArchiveError, ClinicRecords, RecordsOptions};
use exchange::Known;
use guidance::Protocol;
use record::{ChildId, Day, Entry, EntryId, Registration, SiteId, Timestamp, UserId};
use std::path::Path;
use uuid::Uuid;

fn open(dir: &Path) -> ClinicRecords {
    ClinicRecords::open(dir, Protocol::built_in().into(), RecordsOptions::default()).unwrap()
}

fn site(number: u128) -> SiteId {
    SiteId::new(Uuid::from_u128(number))
}

fn registered(number: u128, given: &str, born: &str) -> Entry {
    let about = Registration {
        given_name: given.to_owned(),
        family_name: "Invented".to_owned(),
        numbers: vec![format!("CF-{number}")],
        born: Some(born.parse().unwrap()),
        ..Registration::default()
    };
    Entry {
        id: EntryId::new(Uuid::now_v7()),
        child: ChildId::new(Uuid::from_u128(number)),
        body: about.into(),
        on: "2025-01-07".parse().unwrap(),
        at: Timestamp::from_seconds(1_740_000_000),
        by: UserId::new(Uuid::from_u128(7)),
        site: site(1),
        follows: None,
    }
}

#[test]
fn the_own_site_and_the_author_of_imports_are_made_once() {
    let dir = tempfile::tempdir().unwrap();
    let records = open(dir.path());
    assert_eq!((records.own_site().unwrap(), records.import_writer().unwrap()), (None, None));
    assert_eq!(records.own_site_or(site(1)).unwrap(), site(1));
    let writer = UserId::new(Uuid::from_u128(9));
    assert_eq!(records.import_writer_or(writer).unwrap(), writer);
    drop(records);
    let records = open(dir.path());
    assert_eq!(records.own_site_or(site(2)).unwrap(), site(1));
    assert_eq!(records.own_site().unwrap(), Some(site(1)));
    assert_eq!(records.import_writer().unwrap(), Some(writer));
}

#[test]
fn a_site_has_the_name_that_was_saved_last_and_a_blank_name_is_none() {
    let dir = tempfile::tempdir().unwrap();
    let records = open(dir.path());
    for name in ["Island clinic", "Harbour clinic"] {
        records.save_site_name(site(1), name).unwrap();
    }
    records.save_site_name(site(2), " ").unwrap();
    assert_eq!(records.site_name(site(1)).unwrap().as_deref(), Some("Harbour clinic"));
    assert_eq!(records.site_name(site(2)).unwrap(), None);
    assert_eq!(records.site_name(site(3)).unwrap(), None);
}

/// Taken for missing, a damaged id would give the clinic a new site and break its chain in two.
#[test]
fn a_damaged_site_id_is_an_error_and_is_not_replaced() {
    let dir = tempfile::tempdir().unwrap();
    drop(open(dir.path()));
    let store =
        || Archive::open(dir.path(), Options::new("test", |log| Summary::empty(log[0].child))).unwrap();
    store().set_setting("site", Some("no id".to_owned())).unwrap();
    let records = open(dir.path());
    assert!(matches!(records.own_site_or(site(1)), Err(ArchiveError::Damaged(why)) if why.contains("site")));
    assert!(records.own_site().is_err());
    drop(records);
    assert_eq!(store().setting("site").unwrap().as_deref(), Some("no id"));
}

#[test]
fn an_import_finds_a_known_child_by_number_by_name_and_by_day_of_birth() {
    let dir = tempfile::tempdir().unwrap();
    let records = open(dir.path());
    let both = vec![registered(1, "Rashid", "2024-10-01"), registered(2, "Zola", "2024-12-24")];
    records.append(both.clone()).unwrap();
    let known = records.known().unwrap();
    assert_eq!(known.by_number("cf 2"), [both[1].child]);
    assert_eq!(known.entries(both[0].child), [both[0].clone()]);
    let alike = |given: &str, born: Option<&str>| -> Vec<ChildId> {
        let born: Option<Day> = born.map(|born| born.parse().unwrap());
        known.alike("Invented", given, born).into_iter().map(|child| child.id).collect()
    };
    assert_eq!(alike("Rahsid", None).first(), Some(&both[0].child));
    assert!(alike("Somebody", Some("2024-12-24")).contains(&both[1].child));
    assert_eq!(known.checked("planned").unwrap(), "planned");
}
