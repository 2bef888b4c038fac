//! Devices: one-time codes, tokens, removal.

use crate::common::{id, open};
use archive::{Device, Devices, NewDevice};
use record::{DeviceId, Timestamp, UserId};
use std::{sync::Barrier, thread};

fn at(seconds: i64) -> Timestamp {
    Timestamp::from_seconds(seconds)
}

fn lead() -> UserId {
    UserId::new(id(7))
}

/// A device that waits for the code with this hash from second 100 to second 1000.
fn waiting(number: u128, code: u8) -> NewDevice {
    NewDevice {
        id: DeviceId::new(id(number)),
        name: format!("Tablet {number}"),
        made_by: lead(),
        made_at: at(100),
        code_hash: [code; 32],
        code_expires: at(1000),
    }
}

fn names(devices: &Devices, now: i64) -> Vec<String> {
    devices.all(at(now)).unwrap().into_iter().map(|device| device.name).collect()
}

#[test]
fn a_code_enrols_one_device_once_and_in_its_time() {
    let dir = tempfile::tempdir().unwrap();
    let devices = open(dir.path()).devices();
    devices.expect_device(waiting(1, 11)).unwrap();
    assert_eq!(devices.enrol([12; 32], [1; 32], at(200)).unwrap(), None, "another code");
    assert_eq!(devices.enrol([11; 32], [1; 32], at(1000)).unwrap(), None, "expired");
    let enrolled = devices.enrol([11; 32], [1; 32], at(999)).unwrap().unwrap();
    let expected = Device {
        id: DeviceId::new(id(1)),
        name: "Tablet 1".into(),
        made_by: lead(),
        made_at: at(100),
        code_expires: at(1000),
        enrolled_at: Some(at(999)),
        last_used: Some(at(999)),
        removed: None,
    };
    assert_eq!(enrolled, expected);
    assert_eq!(devices.device(&[1; 32]).unwrap(), Some(expected));
    assert_eq!(devices.device(&[11; 32]).unwrap(), None, "the code is no token");
    assert_eq!(devices.enrol([11; 32], [2; 32], at(999)).unwrap(), None, "used");
}

#[test]
fn of_many_at_once_one_gets_the_code() {
    let dir = tempfile::tempdir().unwrap();
    let devices = open(dir.path()).devices();
    devices.expect_device(waiting(1, 11)).unwrap();
    let start = Barrier::new(8);
    let enrolled: usize = thread::scope(|scope| {
        let attempt = |token: u8| {
            let (devices, start) = (devices.clone(), &start);
            scope.spawn(move || {
                start.wait();
                usize::from(devices.enrol([11; 32], [token; 32], at(200)).unwrap().is_some())
            })
        };
        let running: Vec<_> = (1..=8).map(attempt).collect();
        running.into_iter().map(|thread| thread.join().unwrap()).sum()
    });
    assert_eq!(enrolled, 1);
}

#[test]
fn a_removed_device_is_known_no_more_and_stays_in_the_list() {
    let dir = tempfile::tempdir().unwrap();
    let devices = open(dir.path()).devices();
    devices.expect_device(waiting(1, 11)).unwrap();
    devices.enrol([11; 32], [1; 32], at(200)).unwrap().unwrap();
    assert!(devices.remove(DeviceId::new(id(1)), lead(), at(300)).unwrap());
    assert!(!devices.remove(DeviceId::new(id(1)), UserId::new(id(8)), at(400)).unwrap(), "once");
    assert_eq!(devices.device(&[1; 32]).unwrap(), None);
    let all = devices.all(at(500)).unwrap();
    assert_eq!(all.len(), 1);
    assert_eq!(all[0].removed, Some((lead(), at(300))));
    devices.touch(DeviceId::new(id(1)), at(600)).unwrap();
    assert_eq!(devices.all(at(700)).unwrap()[0].last_used, Some(at(200)), "no use is recorded after it");
}

#[test]
fn a_code_that_is_taken_back_enrols_nobody() {
    let dir = tempfile::tempdir().unwrap();
    let devices = open(dir.path()).devices();
    devices.expect_device(waiting(1, 11)).unwrap();
    assert!(devices.remove(DeviceId::new(id(1)), lead(), at(300)).unwrap());
    assert_eq!(devices.enrol([11; 32], [1; 32], at(301)).unwrap(), None);
    assert!(names(&devices, 302).is_empty(), "it was never a device");
}

#[test]
fn the_list_has_what_is_enrolled_or_may_still_be() {
    let dir = tempfile::tempdir().unwrap();
    let devices = open(dir.path()).devices();
    devices.expect_device(waiting(1, 11)).unwrap();
    devices.expect_device(waiting(2, 12)).unwrap();
    devices.enrol([12; 32], [2; 32], at(200)).unwrap().unwrap();
    assert_eq!(names(&devices, 999), ["Tablet 2", "Tablet 1"]);
    assert_eq!(names(&devices, 1000), ["Tablet 2"], "a code that expired unused");
    devices.touch(DeviceId::new(id(2)), at(5000)).unwrap();
    devices.touch(DeviceId::new(id(2)), at(4000)).unwrap();
    assert_eq!(devices.all(at(6000)).unwrap()[0].last_used, Some(at(5000)), "use does not go back in time");
    // The next code deletes those that expired, so that their hashes do not pile up.
    let later = NewDevice { made_at: at(2000), code_expires: at(3000), ..waiting(3, 11) };
    devices.expect_device(later).unwrap();
    assert_eq!(names(&devices, 2001), ["Tablet 3", "Tablet 2"]);
}

#[test]
fn devices_are_still_known_after_the_program_was_closed() {
    let dir = tempfile::tempdir().unwrap();
    {
        let devices = open(dir.path()).devices();
        devices.expect_device(waiting(1, 11)).unwrap();
        devices.enrol([11; 32], [1; 32], at(200)).unwrap().unwrap();
    }
    let devices = open(dir.path()).devices();
    assert_eq!(devices.device(&[1; 32]).unwrap().unwrap().name, "Tablet 1");
}
