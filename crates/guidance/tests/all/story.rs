//! One invented child, recorded entry by entry, for tests.

use course::Course;
use guidance::{Action, NextStep, Outlook, Protocol};
use record::{Body, ChildId, Day, Entry, EntryId, Side, SiteId, Timestamp, UserId};
use std::str::FromStr;

/// A day from "2024-05-03".
pub fn day(text: &str) -> Day {
    text.parse().unwrap_or_else(|error| panic!("{error}"))
}

fn id<T: FromStr<Err = record::IdError>>(group: &str, number: usize) -> T {
    format!("00000000-{group}-7000-8000-{number:012x}").parse().unwrap()
}

/// The entries of one child, in the order of recording.
#[derive(Debug, Default, Clone)]
pub struct Story {
    pub entries: Vec<Entry>,
}

impl Story {
    pub fn child() -> ChildId {
        id("0001", 1)
    }

    /// Records an entry; one minute after the entry before, on its own day.
    pub fn add(&mut self, on: Day, body: impl Into<Body>) -> EntryId {
        self.answer(on, body, None)
    }

    /// Records an entry that follows another.
    pub fn answer(&mut self, on: Day, body: impl Into<Body>, follows: Option<EntryId>) -> EntryId {
        let number = self.entries.len();
        let seconds = i64::from(on.number()) * 86_400 + 8 * 3_600 + 60 * i64::try_from(number).unwrap();
        let entry = Entry {
            id: id("0002", number),
            child: Self::child(),
            body: body.into(),
            on,
            at: Timestamp::from_seconds(seconds),
            by: id::<UserId>("0003", 1),
            site: id::<SiteId>("0004", 1),
            follows,
        };
        assert!(
            entry.refusal().is_none(),
            "the test recorded an entry that is refused: {:?}",
            entry.refusal()
        );
        self.entries.push(entry);
        id("0002", number)
    }

    /// Records rows in the form of a case: `day | foot | what | details`.
    pub fn rows(text: &str) -> Self {
        let mut story = Self::default();
        for row in text.lines().map(str::trim).filter(|row| !row.is_empty()) {
            crate::sheet::write(&mut story, row).unwrap_or_else(|error| panic!("{row}: {error}"));
        }
        story
    }

    /// The outlook on a day under the built-in protocol.
    pub fn on(&self, as_of: &str) -> Outlook {
        self.under(as_of, &Protocol::built_in())
    }

    /// The outlook on a day under a protocol.
    pub fn under(&self, as_of: &str, protocol: &Protocol) -> Outlook {
        Outlook::of(Course::of(Self::child(), &self.entries, day(as_of)), protocol)
    }
}

/// A step in short, for comparing: action, first day, last day.
pub fn short(step: &NextStep) -> (Action, Option<(String, String)>) {
    (step.action, step.window.map(|window| (window.from.to_string(), window.to.to_string())))
}

/// The step of a foot in short.
pub fn of_foot(outlook: &Outlook, side: Side) -> (Action, Option<(String, String)>) {
    short(outlook.foot_step(side).expect("the foot has a step"))
}

/// What is expected of a step, in the same short form.
pub fn due(action: Action, from: &str, to: &str) -> (Action, Option<(String, String)>) {
    (action, Some((from.to_owned(), to.to_owned())))
}

/// All texts of a step, joined.
pub fn full_text(step: &NextStep) -> String {
    let reasons = step.because.iter().chain(&step.otherwise);
    let mut text = step.words.to_string();
    for reason in reasons {
        text.push_str(&format!("\n{} {} [{}]", reason.fact, reason.rule, reason.source));
    }
    step.cautions.iter().for_each(|caution| text.push_str(&format!("\n{caution}")));
    text
}
