//! Accounts, sessions, links, settings.

use crate::common::{id, open, raw};
use archive::{Account, ArchiveError, Link, Session};
use record::{Role, Roles, Timestamp, UserId};

fn at(seconds: i64) -> Timestamp {
    Timestamp::from_seconds(seconds)
}

fn account(number: u128, name: &str) -> Account {
    Account {
        id: UserId::new(id(number)),
        name: name.into(),
        display_name: "Sister Invented".into(),
        password_hash: "hash".into(),
        created_at: at(1),
        disabled: false,
        roles: Roles::FIRST,
        one_time_until: None,
        last_sign_in: None,
    }
}

fn session(user: u128, token: u8) -> Session {
    Session {
        token_hash: [token; 32],
        user: UserId::new(id(user)),
        csrf_token: "c".into(),
        created_at: at(10),
        last_used: at(10),
        expires: at(100),
        locked_at: None,
        place: None,
    }
}

#[test]
fn accounts_are_found_by_name_however_it_is_written() {
    let dir = tempfile::tempdir().unwrap();
    let accounts = open(dir.path()).accounts();
    let zoe = account(1, "Zoë");
    assert!(accounts.create_first_account(zoe.clone()).unwrap());
    assert!(!accounts.create_first_account(account(2, "second")).unwrap());
    assert_eq!(accounts.account_by_name(" ZOE ").unwrap(), Some(zoe.clone()));
    assert_eq!(accounts.account(zoe.id).unwrap(), Some(zoe.clone()));
    let taken = accounts.create_account(account(3, "zoe")).unwrap_err();
    assert_eq!(taken, ArchiveError::NameTaken("zoe".into()));
    accounts.create_account(account(4, "Abla")).unwrap();
    let names: Vec<_> = accounts.all().unwrap().into_iter().map(|account| account.name).collect();
    assert_eq!(names, ["Abla", "Zoë"]);
    accounts.rename(zoe.id, "Zoë B".into(), "Dr Invented".into()).unwrap();
    assert_eq!(accounts.account_by_name("zoe b").unwrap().unwrap().display_name, "Dr Invented");
    let taken = accounts.rename(zoe.id, "ABLA".into(), "Dr Invented".into()).unwrap_err();
    assert_eq!(taken, ArchiveError::NameTaken("ABLA".into()));
    let nobody = UserId::new(id(99));
    assert_eq!(accounts.set_disabled(nobody, true).unwrap_err(), ArchiveError::NoAccount);
}

#[test]
fn sessions_end_with_sign_out_a_new_password_or_a_bar() {
    let dir = tempfile::tempdir().unwrap();
    let accounts = open(dir.path()).accounts();
    let user = account(1, "one");
    accounts.create_account(user.clone()).unwrap();
    let there = |token: u8| accounts.session(&[token; 32]).unwrap().is_some();
    for token in 1..=3 {
        accounts.start_session(session(1, token)).unwrap();
    }
    let signed_in = Account { last_sign_in: Some(at(10)), ..user.clone() };
    assert_eq!(accounts.session(&[1; 32]).unwrap(), Some((session(1, 1), signed_in)));
    accounts.touch_session([1; 32], at(50), at(150)).unwrap();
    let touched = Session { last_used: at(50), expires: at(150), ..session(1, 1) };
    assert_eq!(accounts.session(&[1; 32]).unwrap().unwrap().0, touched);
    accounts.end_session([1; 32]).unwrap();
    assert_eq!((there(1), there(2)), (false, true));
    // 2 and 3 end at 100.
    assert_eq!(accounts.delete_expired(at(99)).unwrap(), 0);
    accounts.set_password(user.id, "new".into(), Some([3; 32])).unwrap();
    assert!(!there(2) && there(3), "all end but the one that is kept");
    accounts.start_session(session(1, 4)).unwrap();
    let before = accounts.changes();
    accounts.set_one_time_password(user.id, "once".into(), at(90)).unwrap();
    assert!(!there(3) && !there(4) && accounts.changes() > before);
    assert_eq!(accounts.account(user.id).unwrap().unwrap().one_time_until, Some(at(90)));
    accounts.set_password(user.id, "own".into(), None).unwrap();
    assert_eq!(accounts.account(user.id).unwrap().unwrap().one_time_until, None);
    accounts.start_session(session(1, 4)).unwrap();
    accounts.create_account(account(2, "another lead")).unwrap();
    accounts.set_disabled(user.id, true).unwrap();
    assert!(!there(4));
    assert_eq!(accounts.start_session(session(1, 5)).unwrap_err(), ArchiveError::NoAccount);
    accounts.set_disabled(user.id, false).unwrap();
    accounts.start_session(session(1, 5)).unwrap();
    assert_eq!(accounts.delete_expired(at(100)).unwrap(), 1);
    assert!(!there(5));
}

#[test]
fn roles_are_kept_and_the_last_lead_stays() {
    let dir = tempfile::tempdir().unwrap();
    let accounts = open(dir.path()).accounts();
    let (one, two) =
        (account(1, "one"), Account { roles: Roles::NONE.with(Role::Lead), ..account(2, "two") });
    accounts.create_account(one.clone()).unwrap();
    let coordinator = Roles::NONE.with(Role::Coordinator);
    assert_eq!(accounts.set_roles(one.id, coordinator).unwrap_err(), ArchiveError::LastLead);
    assert_eq!(accounts.set_disabled(one.id, true).unwrap_err(), ArchiveError::LastLead);
    assert_eq!(accounts.account(one.id).unwrap(), Some(one.clone()), "nothing changed");
    accounts.create_account(two.clone()).unwrap();
    accounts.set_roles(one.id, coordinator).unwrap();
    assert_eq!(accounts.account(one.id).unwrap().unwrap().roles, coordinator);
    // A lead who is disabled cannot help anybody in.
    accounts.set_roles(one.id, Roles::FIRST).unwrap();
    accounts.set_disabled(two.id, true).unwrap();
    assert_eq!(accounts.set_disabled(one.id, true).unwrap_err(), ArchiveError::LastLead);
    let nobody = UserId::new(id(99));
    assert_eq!(accounts.set_roles(nobody, coordinator).unwrap_err(), ArchiveError::NoAccount);
}

#[test]
fn accounts_made_before_there_were_roles_keep_every_right() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    archive.accounts().create_account(Account { roles: Roles::NONE, ..account(1, "one") }).unwrap();
    drop(archive);
    // The file as it was before the migration that brought roles, and whatever came after it.
    raw(dir.path())
        .execute_batch(
            "DROP TABLE practice_answers; DROP TABLE practice_photographs; DROP TABLE seals; DROP TABLE decisions; DROP TABLE restrictions; DROP TABLE restricted_openings; DROP TABLE seen_openings;
             DROP TABLE access_heads; DROP TABLE erased_kinds; DROP TABLE erasure_requests; DROP TABLE holds;
             DROP TABLE code_secrets; DROP TABLE recovery_codes; DROP TABLE passkeys; DROP TABLE account_events;
             DROP TABLE failed_sign_ins; DROP TRIGGER session_ended; DROP TABLE ended_sessions; DROP TABLE pins;
             DROP TABLE form_drafts; ALTER TABLE sessions DROP COLUMN locked_at; ALTER TABLE sessions DROP COLUMN place;
             DROP TABLE devices; DROP TABLE account_roles; ALTER TABLE accounts DROP COLUMN one_time_until;
             ALTER TABLE accounts DROP COLUMN last_sign_in; DELETE FROM migrations WHERE number >= 8;",
        )
        .unwrap();
    let found = open(dir.path()).accounts().all().unwrap();
    assert_eq!(found, [account(1, "one")], "lead and treating clinician, with an own password");
}

#[test]
fn a_link_works_once_and_in_time() {
    let dir = tempfile::tempdir().unwrap();
    let accounts = open(dir.path()).accounts();
    let link = |token: u8| Link {
        token_hash: [token; 32],
        purpose: "first account".into(),
        user: None,
        created_at: at(0),
        expires: at(100),
    };
    accounts.add_link(link(1)).unwrap();
    accounts.add_link(link(2)).unwrap();
    assert_eq!(accounts.link(&[1; 32], at(5)).unwrap(), Some(link(1)));
    assert_eq!(accounts.use_link([2; 32], at(100)).unwrap(), None, "too late");
    assert_eq!(accounts.use_link([9; 32], at(5)).unwrap(), None, "unknown");
    let got: Vec<_> = std::thread::scope(|scope| {
        let take = || scope.spawn(|| accounts.use_link([1; 32], at(5)).unwrap().is_some());
        (0..8).map(|_| take()).collect::<Vec<_>>().into_iter().map(|thread| thread.join().unwrap()).collect()
    });
    assert_eq!(got.iter().filter(|got| **got).count(), 1, "one of those who try at once gets it");
    assert_eq!(accounts.link(&[1; 32], at(5)).unwrap(), None);
}

#[test]
fn a_person_s_language_is_kept_and_remembered_sessions_are_read_again() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    let accounts = archive.accounts();
    let (one, other) = (account(1, "one"), account(2, "other"));
    accounts.create_account(one.clone()).unwrap();
    accounts.create_account(other.clone()).unwrap();
    assert_eq!(accounts.page_language(one.id).unwrap(), None);
    let before = accounts.changes();
    accounts.set_page_language(one.id, "es".into()).unwrap();
    assert!(accounts.changes() > before);
    let nobody = UserId::new(id(99));
    assert_eq!(accounts.set_page_language(nobody, "es".into()).unwrap_err(), ArchiveError::NoAccount);
    drop((accounts, archive));
    let accounts = open(dir.path()).accounts();
    assert_eq!(accounts.page_language(one.id).unwrap().as_deref(), Some("es"));
    assert_eq!(accounts.page_language(other.id).unwrap(), None);
    accounts.set_page_language(one.id, "en".into()).unwrap();
    assert_eq!(accounts.page_language(one.id).unwrap().as_deref(), Some("en"));
}

#[test]
fn settings_are_kept() {
    let dir = tempfile::tempdir().unwrap();
    let archive = open(dir.path());
    assert_eq!(archive.setting("weekdays").unwrap(), None);
    archive.set_setting("weekdays", Some("Tue".into())).unwrap();
    archive.set_setting("weekdays", Some("Tue,Fri".into())).unwrap();
    drop(archive);
    let archive = open(dir.path());
    assert_eq!(archive.setting("weekdays").unwrap().as_deref(), Some("Tue,Fri"));
    archive.set_setting("weekdays", None).unwrap();
    assert_eq!(archive.setting("weekdays").unwrap(), None);
}
