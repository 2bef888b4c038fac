//! Rows and logs to test with.

use audit::{BraceBegan, ChildHistory, ClinicHistory, FootHistory, KnownBy, OptionalDay, ResultsBasis};
use course::{PlannedInterval, PlannedIntervals, PlannedReview, ReviewIntervals};
use record::{Body, ChildId, Day, Entry, EntryId, Side, SiteId, Timestamp, UserId};
use std::sync::Arc;
use uuid::Uuid;

pub fn day(text: &str) -> Day {
    text.parse().unwrap()
}

/// Days after a fixed day, 1 January 2020.
pub fn on(days: i32) -> Day {
    day("2020-01-01") + days
}

pub fn id(number: u128) -> Uuid {
    Uuid::from_u128(0x0190_0000_0000_7000_8000_0000_0000_0000 + number)
}

/// Intervals as a published protocol gives them: weekly casts, three weeks in the cast after a tenotomy (six
/// past two years), reviews 1, 6 and 12 weeks after the fitting, then every 4 months to 3 years, every 6 to
/// 4 years, every 12 after, 28 days of grace, bracing to 5 years; lost after 21 and 28 days and 6 months.
pub fn plan() -> PlannedIntervals {
    let review =
        |week: i32| PlannedReview { from_days: 7 * week - 3, due_days: 7 * week, in_time_days: 7 * week + 7 };
    PlannedIntervals {
        casting: PlannedInterval { due_days: 7, in_time_days: 10 },
        tenotomy_cast: PlannedInterval { due_days: 21, in_time_days: 28 },
        tenotomy_cast_older: PlannedInterval { due_days: 42, in_time_days: 49 },
        tenotomy_older_from_years: 2,
        surgery: PlannedInterval { due_days: 42, in_time_days: 70 },
        early_reviews: vec![review(1), review(6), review(12)],
        reviews: ReviewIntervals {
            months_under_3y: 4,
            months_under_4y: 6,
            months_older: 12,
            grace_days: 28,
            bracing_ends_years: 5,
        },
        lost_casting_days: 21,
        lost_tenotomy_days: 28,
        lost_bracing_months: 6,
    }
}

pub fn basis(as_of: Day) -> ResultsBasis {
    ResultsBasis { as_of, known_by: KnownBy::ClinicalDay, plan: Arc::new(plan()) }
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
        first_cast: OptionalDay::NEVER,
        correcting_casts: 0,
        casts: 0,
        cast_problems: 0,
        booked: OptionalDay::NEVER,
        tenotomy: OptionalDay::NEVER,
        second_tenotomy: OptionalDay::NEVER,
        brace: OptionalDay::NEVER,
        brace_began: BraceBegan::Here,
        braced_again: OptionalDay::NEVER,
        relapse: OptionalDay::NEVER,
        tendon_transfer: OptionalDay::NEVER,
        release: OptionalDay::NEVER,
        expected: 0,
        recorded: 0,
    }
}

pub fn child(number: u128, feet: [Option<FootHistory>; 2]) -> ChildHistory {
    ChildHistory {
        child: ChildId::new(id(number)),
        born: OptionalDay::NEVER,
        referred: OptionalDay::NEVER,
        known_from: OptionalDay::NEVER,
        last_seen: OptionalDay::NEVER,
        left: None,
        over: OptionalDay::NEVER,
        lost: None,
        settled_until: OptionalDay::NEVER,
        gap: None,
        brace: OptionalDay::NEVER,
        not_tolerated: OptionalDay::NEVER,
        tolerance_written: true,
        wear: None,
        pairs: Box::default(),
        unpaired: 0,
        changes_on: OptionalDay::NEVER,
        feet,
    }
}

pub fn clinic(as_of: Day, children: Vec<ChildHistory>) -> ClinicHistory {
    let mut clinic = ClinicHistory::new(basis(as_of));
    clinic.children = children;
    clinic
}

/// A log built entry by entry.
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
        let mut clinic = ClinicHistory::new(basis(as_of));
        clinic.add(ChildId::new(id(1)), &self.entries);
        clinic.children.pop().unwrap()
    }
}
