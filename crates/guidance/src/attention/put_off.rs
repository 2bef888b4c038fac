//! Calls that were put off: "not before a day, because".
//!
//! A put-off has no kind of entry of its own yet. It is the note of an attempt to reach the family, in one
//! fixed form that the page writes and that is parsed exactly:
//! `Not before 2024-06-03 (review overdue; missed appointment): the family is abroad.`
//! The day is the first on which the call applies again; the brackets list the calls concerned, by the words
//! of their rules. A note in any other form is an ordinary note and puts nothing off.
//!
//! A call is put off only if it applied on the day of the note, is not urgent for the same day, and the named
//! day is at most [`MOST_DAYS`] ahead. New calls after the note are shown all the same.

use super::{Attention, CallPlace, Ground, RULES};
use crate::{Reason, Urgency, source};
use course::Contact;
use record::{Day, EntryId};

/// A call can be put off for a quarter of a year at most. Common practice, no source.
pub const MOST_DAYS: i32 = 92;

const BEGINS: &str = "Not before ";

/// Calls put off by one note.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PutOff {
    /// The first day on which they apply again.
    pub until: Day,
    /// The keys of their rules.
    pub rules: Vec<&'static str>,
    /// Why.
    pub because: String,
}

impl PutOff {
    /// Parses a note; `None` if it has any other form.
    #[must_use]
    pub fn read(note: &str) -> Option<Self> {
        let (day, rest) = note.trim().strip_prefix(BEGINS)?.split_once(" (")?;
        let (rules, because) = rest.split_once("): ")?;
        let key = |words: &str| RULES.iter().find(|rule| rule.words == words).map(|rule| rule.key);
        let rules: Option<Vec<_>> = rules.split("; ").map(key).collect();
        let because = because.trim();
        (!because.is_empty()).then_some(Self {
            until: day.parse().ok()?,
            rules: rules?,
            because: because.to_owned(),
        })
    }

    /// The note in the form that [`PutOff::read`] parses.
    #[must_use]
    pub fn note(&self) -> String {
        let words = |key: &&str| RULES.iter().find(|rule| rule.key == *key).map(|rule| rule.words);
        let words: Vec<_> = self.rules.iter().filter_map(words).collect();
        format!("{BEGINS}{} ({}): {}", self.until, words.join("; "), self.because)
    }
}

/// One put-off with the day and entry of its note.
struct Noted {
    on: Day,
    entry: EntryId,
    put_off: PutOff,
}

/// Hides put-off calls until their day, and shows them among the calls that were put off.
pub(super) fn until_their_day(ground: &Ground<'_>, found: Vec<Attention>) -> Vec<Attention> {
    let noted: Vec<Noted> = ground.course.contacts.iter().filter_map(noted).collect();
    if noted.is_empty() {
        return found;
    }
    found.into_iter().flat_map(|call| split(call, &noted)).collect()
}

fn noted(contact: &Contact) -> Option<Noted> {
    let put_off = PutOff::read(contact.note.as_deref()?)?;
    let ahead = put_off.until - contact.on;
    (1..=MOST_DAYS).contains(&ahead).then_some(Noted { on: contact.on, entry: contact.entry, put_off })
}

/// Splits a call into its put-off part and the part from the named day on.
fn split(call: Attention, noted: &[Noted]) -> Vec<Attention> {
    let meant = |one: &&Noted| {
        call.place == CallPlace::List
            && call.urgency != Urgency::Today
            && call.applies(one.on)
            && one.put_off.rules.contains(&call.rule)
    };
    // Of several notes the last one counts.
    let Some(one) = noted.iter().filter(meant).max_by_key(|one| (one.on, one.put_off.until)) else {
        return vec![call];
    };
    let fact =
        format!("put off on {} until {}: {}", one.on.words(), one.put_off.until.words(), one.put_off.because);
    let rule = "A call that was put off applies again from the named day.";
    let mut call = call;
    call.because.push(Reason::new(fact, one.entry, rule, source::COMMON));
    let waiting = Attention { place: CallPlace::PutOff, ..call.clone() };
    let waiting = waiting.after(one.on).and_then(|waiting| waiting.before(one.put_off.until));
    [waiting, call.after(one.put_off.until)].into_iter().flatten().collect()
}
