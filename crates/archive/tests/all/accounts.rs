//! Accounts, sessions, links, settings.

use crate::common::{id, open};
use archive::{Account, ArchiveError, Link, Session};
use record::{Timestamp, UserId};

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
    accounts.set_display_name(zoe.id, "Dr Invented".into()).unwrap();
    assert_eq!(accounts.account(zoe.id).unwrap().unwrap().display_name, "Dr Invented");
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
    assert_eq!(accounts.session(&[1; 32]).unwrap(), Some((session(1, 1), user.clone())));
    accounts.touch_session([1; 32], at(50), at(150)).unwrap();
    let touched = Session { last_used: at(50), expires: at(150), ..session(1, 1) };
    assert_eq!(accounts.session(&[1; 32]).unwrap().unwrap().0, touched);
    accounts.end_session([1; 32]).unwrap();
    assert_eq!((there(1), there(2)), (false, true));
    // 2 and 3 end at 100.
    assert_eq!(accounts.delete_expired(at(99)).unwrap(), 0);
    accounts.set_password(user.id, "new".into()).unwrap();
    assert!(!there(2) && !there(3));
    accounts.start_session(session(1, 4)).unwrap();
    accounts.set_disabled(user.id, true).unwrap();
    assert!(!there(4));
    assert_eq!(accounts.start_session(session(1, 5)).unwrap_err(), ArchiveError::NoAccount);
    accounts.set_disabled(user.id, false).unwrap();
    accounts.start_session(session(1, 5)).unwrap();
    assert_eq!(accounts.delete_expired(at(100)).unwrap(), 1);
    assert!(!there(5));
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
