//! Who waits for tenotomy, whichever foot, and who no longer does.

use clinic::{ClinicRecords, RecordsOptions};
use guidance::Protocol;
use record::*;
use uuid::Uuid;

fn child(number: u128) -> ChildId {
    ChildId::new(Uuid::from_u128(number))
}

fn entry(number: u128, on: &str, body: impl Into<Body>) -> Entry {
    Entry {
        id: EntryId::new(Uuid::now_v7()),
        child: child(number),
        body: body.into(),
        on: on.parse().unwrap(),
        at: Timestamp::from_seconds(1_740_000_000),
        by: UserId::new(Uuid::from_u128(7)),
        site: SiteId::new(Uuid::from_u128(1)),
        follows: None,
    }
}

fn cast(number: u128, side: Side) -> Entry {
    entry(
        number,
        "2025-01-14",
        CastApplied { purpose: Some(CastPurpose::Correction), ..CastApplied::on(side) },
    )
}

fn booked(number: u128, side: Side) -> Entry {
    entry(number, "2025-02-04", TenotomyBooked::of(side))
}

#[test]
fn a_child_waits_with_either_foot_until_the_cut() {
    let dir = tempfile::tempdir().unwrap();
    let records =
        ClinicRecords::open(dir.path(), Protocol::built_in().into(), RecordsOptions::default()).unwrap();
    let name = |number: u128, name: &str| {
        entry(number, "2025-01-07", Registration { family_name: name.to_owned(), ..Registration::default() })
    };
    let entries = vec![
        // Both feet wait; one waits while the other is still in casts; none waits; cut already.
        name(1, "Aker"),
        cast(1, Side::Right),
        cast(1, Side::Left),
        booked(1, Side::Right),
        booked(1, Side::Left),
        name(2, "Bakke"),
        cast(2, Side::Right),
        cast(2, Side::Left),
        booked(2, Side::Left),
        name(3, "Dahl"),
        cast(3, Side::Right),
        name(4, "Eng"),
        cast(4, Side::Left),
        booked(4, Side::Left),
        entry(4, "2025-02-11", TenotomyDone::on(Side::Left)),
    ];
    records.append(entries).unwrap();
    let mut waiting = records.waiting_for_tenotomy().unwrap();
    waiting.sort();
    assert_eq!(waiting, [child(1), child(2)]);
}
