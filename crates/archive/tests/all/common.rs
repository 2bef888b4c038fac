//! An invented clinic, and a summary simple enough to be seen through.

use archive::{AppointmentItem, Archive, Mark, Options, SavedText, Summary, WorkItem, WorkKind};
use record::{Body, ChildId, Day, Entry, EntryId, Note, Registration, SiteId, Timestamp, UserId};
use std::path::Path;
use uuid::Uuid;

pub fn day(text: &str) -> Day {
    text.parse().unwrap()
}

pub fn id(number: u128) -> Uuid {
    Uuid::from_u128(number)
}

pub fn child(number: u128) -> ChildId {
    ChildId::new(id(number))
}

pub fn site(number: u128) -> SiteId {
    SiteId::new(id(number))
}

pub fn someone() -> UserId {
    UserId::new(id(7))
}

/// An entry of site 1 with an id of its own.
pub fn entry(child: ChildId, on: &str, body: impl Into<Body>) -> Entry {
    Entry {
        id: EntryId::new(Uuid::now_v7()),
        child,
        body: body.into(),
        on: day(on),
        at: Timestamp::from_seconds(1_700_000_000),
        by: someone(),
        site: site(1),
        follows: None,
    }
}

pub fn note(child: ChildId, on: &str, text: &str) -> Entry {
    entry(child, on, Note { text: text.into() })
}

pub fn registration(child: ChildId, given: &str, family: &str, number: &str, born: Option<&str>) -> Entry {
    let registration = Registration {
        family_name: family.into(),
        given_name: given.into(),
        numbers: if number.is_empty() { Vec::new() } else { vec![number.into()] },
        born: born.map(day),
        ..Registration::default()
    };
    entry(child, "2024-01-01", registration)
}

/// Names from the last registration. A note "step/rule/urgency/from/until" makes an item, a note
/// "visit/day/time" an appointment, "phase/key" a phase, "mark/topic/key/from/to" a mark, "keep/topic/text" a
/// saved text, "panic" a panic.
pub fn summarise(entries: &[Entry]) -> Summary {
    let mut summary = Summary::empty(entries[0].child);
    summary.active = true;
    for entry in entries {
        match &entry.body {
            Body::Registration(who) => {
                summary.family_name.clone_from(&who.family_name);
                summary.given_name.clone_from(&who.given_name);
                summary.numbers.clone_from(&who.numbers);
                summary.carers = who.carers.iter().map(|carer| carer.name.clone()).collect();
                summary.phones = who.carers.iter().filter_map(|carer| carer.phone.clone()).collect();
                summary.born = who.born;
            }
            Body::Note(note) => read_note(&mut summary, entry, &note.text),
            _ => {}
        }
        summary.last_seen = summary.last_seen.max(Some(entry.on));
    }
    summary
}

fn read_note(summary: &mut Summary, entry: &Entry, text: &str) {
    let parts: Vec<&str> = text.split('/').collect();
    let kind = match parts[0] {
        "step" => WorkKind::Step,
        "attention" => WorkKind::Attention,
        "question" => WorkKind::Question,
        "row" => WorkKind::Row,
        "visit" => {
            return summary.appointments.push(AppointmentItem {
                entry: entry.id,
                for_day: day(parts[1]),
                time: parts.get(2).map(|time| (*time).to_owned()),
                purpose: "review".into(),
                state: "expected".into(),
            });
        }
        "phase" => {
            summary.phase_key = parts[1].into();
            summary.phase = format!("in {}", parts[1]);
            return;
        }
        "mark" => {
            let mark = |text: &str| text.to_owned();
            return summary.marks.push(Mark {
                topic: mark(parts[1]),
                key: mark(parts[2]),
                from: day(parts[3]),
                to: day(parts[4]),
            });
        }
        "keep" => {
            summary.texts.retain(|saved| saved.topic != parts[1]);
            return summary.texts.push(SavedText { topic: parts[1].into(), text: parts[2].into() });
        }
        "panic" => panic!("asked to"),
        _ => return,
    };
    summary.items.push(WorkItem {
        kind,
        rule: parts[1].into(),
        urgency: parts[2].parse().unwrap(),
        side: None,
        from: day(parts[3]),
        until: parts.get(4).map(|until| day(until)),
        to: None,
        text: text.into(),
        detail: "[]".into(),
    });
}

pub fn options() -> Options {
    options_of("1", summarise)
}

/// Options with the key of these tests.
pub fn options_of(version: &str, summarise: impl Fn(&[Entry]) -> Summary + Send + Sync + 'static) -> Options {
    Options { key: crate::key(), ..Options::new(version, summarise) }
}

pub fn open(dir: &Path) -> Archive {
    Archive::open(dir, options()).unwrap()
}

/// A connection past the archive, as someone who tampers has it.
pub fn raw(dir: &Path) -> rusqlite::Connection {
    raw_file(&dir.join(archive::FILE_NAME))
}

/// The same for any file.
pub fn raw_file(path: &Path) -> rusqlite::Connection {
    let conn = rusqlite::Connection::open(path).unwrap();
    if crate::key().is_some() {
        // The key of `tests/encrypted`, 32 times 0x3e.
        conn.pragma_update(None, "key", format!("x'{}'", "3e".repeat(32))).unwrap();
    }
    conn
}
