//! Rows and logs to test with.

use audit::{ChildHistory, Clinic, FootHistory, When};
use record::{Body, ChildId, Day, Entry, EntryId, Side, SiteId, Timestamp, UserId};
use uuid::Uuid;

pub fn day(text: &str) -> Day {
    text.parse().unwrap()
}

/// Days from a fixed one, 1 January 2020.
pub fn on(days: i32) -> Day {
    day("2020-01-01") + days
}

pub fn id(number: u128) -> Uuid {
    Uuid::from_u128(0x0190_0000_0000_7000_8000_0000_0000_0000 + number)
}

pub fn foot(side: Side) -> FootHistory {
    FootHistory {
        side,
        site: 0,
        clinician: 0,
        nature: None,
        complex: None,
        treated_before: false,
        first_total: None,
        first_cast: When::NEVER,
        correcting_casts: 0,
        casts: 0,
        cast_problems: 0,
        booked: When::NEVER,
        tenotomy: When::NEVER,
        second_tenotomy: When::NEVER,
        brace: When::NEVER,
        relapse: When::NEVER,
        tendon_transfer: When::NEVER,
        release: When::NEVER,
        asked: 0,
        written: 0,
    }
}

pub fn child(number: u128, feet: [Option<FootHistory>; 2]) -> ChildHistory {
    ChildHistory {
        child: ChildId::new(id(number)),
        born: When::NEVER,
        referred: When::NEVER,
        last_seen: When::NEVER,
        left: None,
        gap: None,
        gap_braced: None,
        brace: When::NEVER,
        not_tolerated: When::NEVER,
        wear: None,
        pairs: Box::default(),
        unpaired: 0,
        changes_on: When::NEVER,
        feet,
    }
}

pub fn clinic(as_of: Day, children: Vec<ChildHistory>) -> Clinic {
    let mut clinic = Clinic::new(as_of);
    clinic.children = children;
    clinic
}

/// A log written line by line.
#[derive(Default)]
pub struct Log {
    pub entries: Vec<Entry>,
}

impl Log {
    pub fn write(mut self, day: Day, body: impl Into<Body>) -> Self {
        let number = self.entries.len() as u128;
        self.entries.push(Entry {
            id: EntryId::new(id(1_000 + number)),
            child: ChildId::new(id(1)),
            body: body.into(),
            on: day,
            at: Timestamp::from_seconds(i64::from(day.number()) * 86_400 + number as i64),
            by: UserId::new(id(501)),
            site: SiteId::new(id(601)),
            follows: None,
        });
        self
    }

    pub fn row(&self, as_of: Day) -> ChildHistory {
        let mut clinic = Clinic::new(as_of);
        clinic.add(ChildId::new(id(1)), &self.entries);
        clinic.children.pop().unwrap()
    }
}
