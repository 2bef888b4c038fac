//! Second factors: what is used up stays used up, and what belongs to one person stays with that person.

use crate::common::{id, open};
use archive::{Account, AccountEvent, Accounts, CodeSecret, FactorCounts, Passkey, RecoveryCodes};
use record::{Roles, Timestamp, UserId};
use std::{sync::Barrier, thread};

fn at(seconds: i64) -> Timestamp {
    Timestamp::from_seconds(seconds)
}

fn person(accounts: &Accounts, number: u128) -> UserId {
    let user = UserId::new(id(number));
    let account = Account {
        id: user,
        name: format!("person {number}"),
        display_name: format!("Person {number}"),
        password_hash: "hash".into(),
        created_at: at(1),
        disabled: false,
        roles: Roles::FIRST,
        one_time_until: None,
        last_sign_in: None,
    };
    accounts.create_account(account).unwrap();
    user
}

fn secret(last_step: i64) -> CodeSecret {
    CodeSecret { secret: vec![7; 20], set_up_at: at(100), last_step }
}

fn codes(first: u8) -> RecoveryCodes {
    RecoveryCodes { salt: vec![first; 16], unused: vec![vec![first; 32], vec![first + 1; 32]] }
}

fn passkey(account: UserId, key: u8, sign_count: u32) -> Passkey {
    Passkey {
        id: vec![key; 16],
        account,
        name: format!("Tablet {key}"),
        rp_id: "localhost".into(),
        public_key: vec![1, 2, 3],
        sign_count,
        backup_eligible: false,
        created_at: at(100),
        last_used: None,
    }
}

fn told(accounts: &Accounts, user: UserId) -> Vec<String> {
    accounts.events(user).unwrap().into_iter().map(|event| event.what).collect()
}

#[test]
fn a_step_is_used_once_and_never_after_a_later_one() {
    let dir = tempfile::tempdir().unwrap();
    let accounts = open(dir.path()).accounts();
    let (one, two) = (person(&accounts, 1), person(&accounts, 2));
    assert!(!accounts.use_code_step(one, 10).unwrap(), "no codes are set up");
    accounts.set_code_secret(one, secret(9)).unwrap();
    assert!(!accounts.use_code_step(one, 9).unwrap(), "the step of the set-up");
    assert!(accounts.use_code_step(one, 11).unwrap());
    assert!(!accounts.use_code_step(one, 11).unwrap() && !accounts.use_code_step(one, 10).unwrap());
    assert!(accounts.use_code_step(one, 12).unwrap());
    assert!(!accounts.use_code_step(two, 13).unwrap(), "the codes of another");
    let barrier = Barrier::new(4);
    let won = thread::scope(|scope| {
        let threads: Vec<_> = (0..4)
            .map(|_| {
                let (accounts, barrier) = (accounts.clone(), &barrier);
                scope.spawn(move || {
                    barrier.wait();
                    accounts.use_code_step(one, 20).unwrap()
                })
            })
            .collect();
        threads.into_iter().map(|thread| thread.join().unwrap()).filter(|won| *won).count()
    });
    assert_eq!(won, 1, "of four at once");
}

#[test]
fn a_recovery_code_works_once_and_a_new_set_replaces_the_old() {
    let dir = tempfile::tempdir().unwrap();
    let accounts = open(dir.path()).accounts();
    let (one, two) = (person(&accounts, 1), person(&accounts, 2));
    accounts.set_code_secret(one, secret(0)).unwrap();
    accounts.set_recovery_codes(one, codes(1), at(200)).unwrap();
    assert!(accounts.recovery_codes(one).unwrap() == Some(codes(1)));
    assert!(!accounts.use_recovery_code(two, vec![1; 32], at(210)).unwrap(), "the code of another");
    assert!(accounts.use_recovery_code(one, vec![1; 32], at(210)).unwrap());
    assert!(!accounts.use_recovery_code(one, vec![1; 32], at(211)).unwrap());
    assert_eq!(accounts.factors(one).unwrap().recovery_codes, 1);
    accounts.set_recovery_codes(one, codes(5), at(300)).unwrap();
    assert!(!accounts.use_recovery_code(one, vec![2; 32], at(310)).unwrap(), "a code of the old set");
    assert_eq!(accounts.factors(one).unwrap().recovery_codes, 2);
    accounts.remove_codes(one, at(400)).unwrap();
    assert_eq!(accounts.factors(one).unwrap(), FactorCounts::default(), "nothing is left to stand in for");
}

#[test]
fn a_counter_that_does_not_go_up_is_refused() {
    let dir = tempfile::tempdir().unwrap();
    let accounts = open(dir.path()).accounts();
    let one = person(&accounts, 1);
    assert!(accounts.add_passkey(passkey(one, 1, 5)).unwrap());
    assert!(accounts.add_passkey(passkey(one, 2, 0)).unwrap());
    for (count, accepted) in [(5, false), (4, false), (0, false), (6, true), (6, false), (90, true)] {
        assert_eq!(accounts.use_passkey(vec![1; 16], count, at(500)).unwrap(), accepted, "{count}");
    }
    assert_eq!(accounts.passkey(&[1; 16]).unwrap().unwrap().sign_count, 90);
    // Some authenticators have no counter, and always tell 0.
    assert!(accounts.use_passkey(vec![2; 16], 0, at(500)).unwrap());
    assert!(accounts.use_passkey(vec![2; 16], 0, at(501)).unwrap());
    assert!(!accounts.use_passkey(vec![3; 16], 1, at(500)).unwrap(), "unknown");
}

#[test]
fn a_passkey_belongs_to_one_person() {
    let dir = tempfile::tempdir().unwrap();
    let accounts = open(dir.path()).accounts();
    let (one, two) = (person(&accounts, 1), person(&accounts, 2));
    accounts.add_passkey(passkey(one, 1, 0)).unwrap();
    assert!(!accounts.add_passkey(passkey(two, 1, 0)).unwrap(), "the same credential for another");
    assert_eq!(accounts.passkey(&[1; 16]).unwrap().unwrap().account, one);
    assert_eq!(accounts.remove_passkey(two, vec![1; 16], at(300)).unwrap(), None);
    assert!(
        accounts.has_passkeys_for("localhost").unwrap() && !accounts.has_passkeys_for("desk.local").unwrap()
    );
    let before = accounts.changes();
    assert_eq!(accounts.remove_passkey(one, vec![1; 16], at(300)).unwrap().as_deref(), Some("Tablet 1"));
    assert!(accounts.passkey(&[1; 16]).unwrap().is_none() && accounts.changes() > before);
    assert_eq!(
        told(&accounts, one),
        ["The passkey “Tablet 1” was removed", "The passkey “Tablet 1” was added"]
    );
}

#[test]
fn a_reset_takes_everything_of_one_person_and_says_why() {
    let dir = tempfile::tempdir().unwrap();
    let accounts = open(dir.path()).accounts();
    let (one, two) = (person(&accounts, 1), person(&accounts, 2));
    for user in [one, two] {
        accounts.set_code_secret(user, secret(0)).unwrap();
        accounts.set_recovery_codes(user, codes(1), at(200)).unwrap();
    }
    accounts.add_passkey(passkey(one, 1, 0)).unwrap();
    let event = AccountEvent {
        at: at(400),
        by: Some(two),
        what: "The second factor was reset".into(),
        why: Some("Telephone lost".into()),
    };
    accounts.reset_factors(one, event.clone()).unwrap();
    assert_eq!(accounts.factors(one).unwrap(), FactorCounts::default());
    assert_eq!(accounts.events(one).unwrap()[0], event);
    let whole = FactorCounts { codes: true, passkeys: 0, recovery_codes: 2 };
    assert_eq!(accounts.factors(two).unwrap(), whole);
}

#[test]
fn failures_are_counted_until_a_sign_in_or_a_new_password() {
    let dir = tempfile::tempdir().unwrap();
    let accounts = open(dir.path()).accounts();
    let (one, two) = (person(&accounts, 1), person(&accounts, 2));
    for _ in 0..3 {
        accounts.count_failure(Some(one)).unwrap();
        accounts.count_failure(None).unwrap();
    }
    assert_eq!((accounts.failures(one).unwrap(), accounts.failures(two).unwrap()), (3, 0));
    accounts.forget_failures(one).unwrap();
    assert_eq!(accounts.failures(one).unwrap(), 0);
    accounts.count_failure(Some(one)).unwrap();
    accounts.set_one_time_password(one, "once".into(), at(900)).unwrap();
    assert_eq!(accounts.failures(one).unwrap(), 0);
    accounts.count_failure(Some(one)).unwrap();
    accounts.set_password(one, "own".into(), None).unwrap();
    assert_eq!(accounts.failures(one).unwrap(), 0);
}
