//! Twins in their casts, so that it can be seen how two children of one pregnancy are told apart.

use super::story::{Story, StoryWriter};
use record::{BirthOrder, Body, Entry, EntryId, Purpose, Registration, Sex, Sibling, SiblingRelation, Sides};
use uuid::Uuid;

/// The stories of this file: the first and the second twin.
pub const STORIES: &[Story] = &[first, second];

const AGE_DAYS: i32 = 38;

/// Three weekly casts, the next due today with that of the other twin.
fn in_casts(t: &mut StoryWriter<'_>, sides: Sides) {
    let last = t.today - 7;
    t.born(t.today - AGE_DAYS, sides, Some(36));
    t.casting(3, last, 1.0);
    t.appoint(last, t.today, Purpose::Cast);
}

fn first(t: &mut StoryWriter<'_>) {
    in_casts(t, Sides::Both);
}

fn second(t: &mut StoryWriter<'_>) {
    in_casts(t, Sides::Left);
}

/// Makes two logs those of a brother and a sister born together: one family, one telephone number, and a link in
/// each record.
pub fn join(first: &mut Vec<Entry>, second: &mut Vec<Entry>) {
    let Some(family) = registration(first).cloned() else { return };
    name(first, &family, "Lorcan", Sex::Male);
    name(second, &family, "Saoirse", Sex::Female);
    let Some(linked) = [&*first, &*second].into_iter().filter_map(|log| log.first()).max_by_key(|one| one.at)
    else {
        return;
    };
    let (on, at) = (linked.on, linked.at);
    let link = |own: &Entry, other: &Entry, order| {
        let id = EntryId::new(Uuid::from_u128(own.id.uuid().as_u128() ^ 1));
        let birth_order = Some(order);
        let body = Sibling { other: other.child, relation: SiblingRelation::Twin, birth_order }.into();
        Entry { id, body, on, at, follows: None, ..own.clone() }
    };
    let (Some(one), Some(other)) = (first.first(), second.first()) else { return };
    let links = [link(one, other, BirthOrder::First), link(other, one, BirthOrder::Second)];
    for (log, link) in [first, second].into_iter().zip(links) {
        log.push(link);
    }
}

fn registration(log: &[Entry]) -> Option<&Registration> {
    log.iter().find_map(|entry| match &entry.body {
        Body::Registration(about) => Some(about),
        _ => None,
    })
}

fn name(log: &mut [Entry], family: &Registration, given: &str, sex: Sex) {
    for entry in log {
        if let Body::Registration(about) = &mut entry.body {
            about.given_name = given.to_owned();
            about.family_name.clone_from(&family.family_name);
            about.carers.clone_from(&family.carers);
            about.sex = Some(sex);
        }
    }
}
