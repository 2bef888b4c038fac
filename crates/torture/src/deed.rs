//! What the child does, and how it is told to the parent: one line before, one after.
//!
//! Everything about a deed follows from the seed of the folder and the number of the deed, so that a line need not
//! carry the entries.

use archive::{Account, NewImport};
use rand::{RngExt, SeedableRng, rngs::StdRng};
use record::{ChildId, Day, Entry, EntryId, ImportId, Note, Role, Roles, SiteId, Timestamp, UserId};
use std::{fmt, str::FromStr};
use uuid::{Builder, Uuid};

/// Children among whom entries are spread: few, so that logs grow and summaries are rewritten.
const CHILDREN: u64 = 120;
/// Two years; between two generations the clock is put anywhere within them, forward or back.
const CLOCK_SECONDS: u64 = 63_000_000;
const FIRST_SECOND: i64 = 1_650_000_000;

/// The number of a deed: generation, writer, and the place among that writer's deeds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DeedNumber {
    /// How often the child had been started in this folder before.
    pub generation: u32,
    /// The thread.
    pub writer: u32,
    /// Its deeds before this one.
    pub place: u32,
}

impl fmt::Display for DeedNumber {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{}.{}", self.generation, self.writer, self.place)
    }
}

impl FromStr for DeedNumber {
    type Err = ();

    fn from_str(text: &str) -> Result<Self, ()> {
        let mut parts = text.split('.').map(|part| part.parse::<u32>().map_err(|_| ()));
        let mut next = || parts.next().unwrap_or(Err(()));
        Ok(Self { generation: next()?, writer: next()?, place: next()? })
    }
}

/// One thing that is done with the records.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Deed {
    /// So many entries at once.
    Append(u32),
    /// An import of so many entries.
    Import(u32),
    /// An entry of an earlier deed is erased.
    Erase(DeedNumber, u32),
    /// The setting of the writer gets the number of the deed as its value.
    Setting,
    /// An account is made.
    Account,
    /// The account of an earlier deed is disabled.
    Disable(DeedNumber),
    /// Every summary is computed again.
    Rebuild,
    /// The records are copied while they are in use.
    Copy,
}

impl fmt::Display for Deed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Append(entries) => write!(f, "append {entries}"),
            Self::Import(entries) => write!(f, "import {entries}"),
            Self::Erase(of, at) => write!(f, "erase {of} {at}"),
            Self::Setting => f.write_str("setting"),
            Self::Account => f.write_str("account"),
            Self::Disable(of) => write!(f, "disable {of}"),
            Self::Rebuild => f.write_str("rebuild"),
            Self::Copy => f.write_str("copy"),
        }
    }
}

impl FromStr for Deed {
    type Err = ();

    fn from_str(text: &str) -> Result<Self, ()> {
        let words: Vec<&str> = text.split(' ').collect();
        let number = |word: &str| word.parse().map_err(|_| ());
        match *words.as_slice() {
            ["append", entries] => Ok(Self::Append(number(entries)?)),
            ["import", entries] => Ok(Self::Import(number(entries)?)),
            ["erase", of, at] => Ok(Self::Erase(of.parse()?, number(at)?)),
            ["setting"] => Ok(Self::Setting),
            ["account"] => Ok(Self::Account),
            ["disable", of] => Ok(Self::Disable(of.parse()?)),
            ["rebuild"] => Ok(Self::Rebuild),
            ["copy"] => Ok(Self::Copy),
            _ => Err(()),
        }
    }
}

/// A line of the child.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DeedLine {
    /// The records are open.
    Open,
    /// The records were opened and are not those that the witness knows; or could not be opened.
    NotOpen(String),
    /// A deed is about to be done.
    Sent(DeedNumber, Deed),
    /// It was acknowledged.
    Done(DeedNumber),
    /// An erasure was acknowledged with the warning that words of it may still be in the files.
    WordsRemain(DeedNumber),
    /// It was refused, with the sentence.
    Refused(DeedNumber, String),
}

impl fmt::Display for DeedLine {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Open => f.write_str("open"),
            Self::NotOpen(why) => write!(f, "notopen {why}"),
            Self::Sent(number, deed) => write!(f, "sent {number} {deed}"),
            Self::Done(number) => write!(f, "done {number}"),
            Self::WordsRemain(number) => write!(f, "wordsremain {number}"),
            Self::Refused(number, why) => write!(f, "refused {number} {why}"),
        }
    }
}

impl FromStr for DeedLine {
    type Err = ();

    fn from_str(text: &str) -> Result<Self, ()> {
        let (word, rest) = text.split_once(' ').unwrap_or((text, ""));
        let numbered = || rest.split_once(' ').ok_or(());
        match word {
            "open" => Ok(Self::Open),
            "notopen" => Ok(Self::NotOpen(rest.into())),
            "sent" => {
                let (number, deed) = numbered()?;
                Ok(Self::Sent(number.parse()?, deed.parse()?))
            }
            "done" => Ok(Self::Done(rest.parse()?)),
            "wordsremain" => Ok(Self::WordsRemain(rest.parse()?)),
            "refused" => {
                let (number, why) = numbered()?;
                Ok(Self::Refused(number.parse()?, why.into()))
            }
            _ => Err(()),
        }
    }
}

/// A generator that depends on a seed and on what it is for.
#[must_use]
pub fn draw(seed: u64, purpose: &str) -> StdRng {
    let mut hasher = blake3::Hasher::new();
    hasher.update(&seed.to_be_bytes()).update(purpose.as_bytes());
    StdRng::from_seed(*hasher.finalize().as_bytes())
}

fn uuid(rng: &mut StdRng) -> Uuid {
    Builder::from_random_bytes(rng.random()).into_uuid()
}

fn person() -> UserId {
    UserId::new(Uuid::from_u128(7))
}

fn child(seed: u64, number: u64) -> ChildId {
    ChildId::new(uuid(&mut draw(seed, &format!("child {number}"))))
}

/// Everybody about whom entries are written.
#[must_use]
pub fn children(seed: u64) -> Vec<ChildId> {
    (0..CHILDREN).map(|number| child(seed, number)).collect()
}

/// When a deed is done by the clock of its generation.
fn at(seed: u64, number: DeedNumber) -> Timestamp {
    let begun: u64 = draw(seed, &format!("clock {}", number.generation)).random_range(0..CLOCK_SECONDS);
    Timestamp::from_seconds(FIRST_SECOND + begun.cast_signed() + i64::from(number.place))
}

/// The entries of a deed.
#[must_use]
pub fn entries(seed: u64, number: DeedNumber, deed: Deed) -> Vec<Entry> {
    let (count, spread) = match deed {
        Deed::Append(count) => (count, false),
        Deed::Import(count) => (count, true),
        _ => return Vec::new(),
    };
    let mut rng = draw(seed, &format!("entries {number}"));
    let site = SiteId::new(Uuid::from_u128(1 + u128::from(rng.random_bool(0.2))));
    let one = child(seed, rng.random_range(0..CHILDREN));
    let written = (0..count).map(|place| Entry {
        id: EntryId::new(uuid(&mut rng)),
        child: if spread { child(seed, rng.random_range(0..CHILDREN)) } else { one },
        body: Note { text: text(seed, number, place, &mut rng) }.into(),
        on: Day::from_number(19_800 + rng.random_range(0..400)),
        at: at(seed, number),
        by: person(),
        site,
        follows: None,
    });
    written.collect()
}

/// A word that occurs nowhere else, so that it can be searched for in the bytes of the files.
#[must_use]
pub fn marker(seed: u64, number: DeedNumber, place: u32) -> String {
    let mut rng = draw(seed, &format!("marker {number} {place}"));
    format!("mark{:016x}{:08x}", rng.random::<u64>(), rng.random::<u32>())
}

/// Mostly a line, now and then more than fits on a page of the file.
fn text(seed: u64, number: DeedNumber, place: u32, rng: &mut StdRng) -> String {
    let words = match rng.random_range(0..40) {
        0 => 1_500,
        1..8 => 90,
        _ => 6,
    };
    let filling: Vec<&str> = (0..words)
        .map(|_| ["cast", "changed", "midfoot", "softer", "next", "week"][rng.random_range(0..6)])
        .collect();
    format!("{} {}", marker(seed, number, place), filling.join(" "))
}

/// What an import of a deed is called.
#[must_use]
pub fn import(seed: u64, number: DeedNumber) -> NewImport {
    let id = ImportId::new(uuid(&mut draw(seed, &format!("import {number}"))));
    NewImport { id, file: format!("sheet {number}.csv"), by: person(), at: at(seed, number) }
}

/// The account of a deed.
#[must_use]
pub fn account(seed: u64, number: DeedNumber) -> Account {
    Account {
        id: UserId::new(uuid(&mut draw(seed, &format!("account {number}")))),
        name: format!("person{}x{}x{}", number.generation, number.writer, number.place),
        display_name: "Somebody".into(),
        password_hash: "none".into(),
        created_at: at(seed, number),
        disabled: false,
        // The last lead could not be disabled.
        roles: Roles::NONE.with(Role::Coordinator),
        one_time_until: None,
        last_sign_in: None,
    }
}

/// When, and by whom, an entry is erased.
#[must_use]
pub fn erased(seed: u64, number: DeedNumber) -> (UserId, Timestamp) {
    (person(), at(seed, number))
}
