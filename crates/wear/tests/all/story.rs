//! An invented child in the brace, entry by entry.

// Each test module uses a part of it.
#![allow(dead_code)]

use course::Course;
use record::{
    Body, Brace, BraceFitted, CastApplied, ChildId, Day, Entry, EntryId, Regime, Registration, Side, SiteId,
    Timestamp, UserId, WearLogged, WearReported,
};
use uuid::Uuid;

fn id(number: usize) -> Uuid {
    Uuid::from_u128(0x0190_0000_0000_7000_8000_0000_0000_0000 + number as u128)
}

pub struct Story(Vec<Entry>);

impl Story {
    /// Born on 1 January 2024, in the brace from Monday 1 April on; nights from 1 July on.
    pub fn braced() -> Self {
        let mut story = Self(Vec::new());
        let born = Some(day(2024, 1, 1));
        story.add(day(2024, 1, 8), Registration { born, ..Registration::default() });
        story.add(day(2024, 1, 8), CastApplied::on(Side::Right));
        let fit =
            |regime| BraceFitted { regime: Some(regime), brace: Brace::default(), ..BraceFitted::default() };
        story.add(day(2024, 4, 1), fit(Regime::FullTime));
        story.add(day(2024, 7, 1), fit(Regime::NightTime));
        story
    }

    pub fn add(&mut self, on: Day, body: impl Into<Body>) {
        let number = self.0.len();
        self.0.push(Entry {
            id: EntryId::new(id(number)),
            child: ChildId::new(id(9_999)),
            body: body.into(),
            on,
            at: Timestamp::from_seconds(i64::from(on.number()) * 86_400 + number as i64),
            by: UserId::new(id(9_998)),
            site: SiteId::new(id(9_997)),
            follows: None,
        });
    }

    pub fn logged(&mut self, from: Day, to: Day, hours_per_day: f64) {
        let days_judged = (to - from + 1) as u16;
        self.add(to, WearLogged { from, to, hours_per_day, days_judged, logger: None });
    }

    pub fn reported(&mut self, from: Day, to: Day, hours_per_day: f64) {
        self.add(to, WearReported { from, to, hours_per_day, days_without: None, reason: None });
    }

    pub fn course(&self, as_of: Day) -> Course {
        Course::of(ChildId::new(id(9_999)), &self.0, as_of)
    }
}

pub fn day(year: i32, month: u32, day: u32) -> Day {
    Day::new(year, month, day).unwrap()
}

/// Mean measured hours of 124 children by quarter in the brace (Richards and others, J Pediatr Orthop).
pub const PUBLISHED: [f64; 6] = [19.8, 11.9, 9.6, 8.6, 7.9, 7.7];
