//! Links to brothers, sisters and twins.

use crate::child::{Log, day};
use course::{Course, twins_contradict};
use record::*;

fn other(number: u128) -> ChildId {
    ChildId::new(uuid::Uuid::from_u128(number))
}

fn course(log: &Log) -> Course {
    Course::of(log.child, &log.entries, day("2024-06-01"))
}

fn twin(number: u128, birth_order: Option<BirthOrder>) -> Sibling {
    Sibling { birth_order, ..Sibling::of(other(number), SiblingRelation::Twin) }
}

#[test]
fn the_last_entry_about_a_child_counts_and_a_withdrawn_one_does_not() {
    let mut log = Log::registered();
    log.write("2024-02-01", Sibling::of(other(2), SiblingRelation::Sibling));
    let second = log.write("2024-02-02", twin(2, Some(BirthOrder::First)));
    let found = course(&log);
    assert_eq!(found.siblings.len(), 1);
    assert_eq!((found.siblings[0].relation, found.siblings[0].entry), (SiblingRelation::Twin, second));
    log.write("2024-02-03", Withdrawal { entry: second, reason: "wrong child".to_owned() });
    assert_eq!(course(&log).siblings[0].relation, SiblingRelation::Sibling);
}

#[test]
fn an_order_of_birth_that_links_disagree_about_is_not_known() {
    let mut log = Log::registered();
    assert_eq!(course(&log).birth_order(), None);
    log.write("2024-02-01", twin(2, Some(BirthOrder::First)));
    log.write("2024-02-01", twin(3, None));
    assert_eq!(course(&log).birth_order(), Some(BirthOrder::First));
    log.write("2024-02-01", twin(3, Some(BirthOrder::Second)));
    assert_eq!(course(&log).birth_order(), None);
    assert_eq!(course(&log).twin_links().count(), 2);
}

#[test]
fn a_link_is_no_visit() {
    let mut log = Log::registered();
    log.write("2024-02-01", AppointmentAttended::default());
    log.write("2024-02-01", twin(2, None));
    assert_eq!((course(&log).seen_on, course(&log).only_attended_on), (vec![], vec![day("2024-02-01")]));
}

#[test]
fn twins_may_be_born_on_both_sides_of_midnight_and_not_further_apart() {
    let born = |on: &str| Registration { born: Some(day(on)), ..Registration::default() };
    for on in ["2024-01-01", "2024-01-02", "2023-12-31"] {
        assert_eq!(twins_contradict(&born("2024-01-01"), &born(on)), None, "{on}");
    }
    for on in ["2024-01-03", "2023-12-30"] {
        assert!(twins_contradict(&born("2024-01-01"), &born(on)).is_some(), "{on}");
    }
    assert_eq!(twins_contradict(&born("2024-01-01"), &Registration::default()), None, "not known");
}
