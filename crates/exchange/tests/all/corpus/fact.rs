//! What a file says, fact by fact, and the places in which it says it.

use record::{Day, Side};
use std::collections::{BTreeMap, BTreeSet};

/// What a fact is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FactKind {
    /// The name of a child.
    Child,
    Born,
    Sex,
    /// All six signs of a foot on a day.
    Signs,
    /// A Pirani total without its signs.
    Total,
    Dimeglio,
    /// A cast, with its number where the file has one.
    Cast,
    Tenotomy,
    Relapse,
    Brace,
    /// An entry of another weight: discharge, death, surgery, an angle, an item of a score.
    Other(&'static str),
}

/// One fact: what, whose, which foot, on which day.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Fact {
    pub kind: FactKind,
    /// The hospital number, or the name where the file has no numbers.
    pub child: String,
    pub side: Option<Side>,
    pub on: Option<Day>,
}

impl Fact {
    pub fn of_child(kind: FactKind, child: &str) -> Self {
        Self { kind, child: child.to_owned(), side: None, on: None }
    }

    pub fn of_foot(kind: FactKind, child: &str, side: Side, on: Day) -> Self {
        Self { kind, child: child.to_owned(), side: Some(side), on: Some(on) }
    }

    pub fn of_day(kind: FactKind, child: &str, on: Day) -> Self {
        Self { kind, child: child.to_owned(), side: None, on: Some(on) }
    }
}

/// A row: its sheet counted from 0, and its number, the first being 1.
pub type Place = (usize, usize);

/// What a fact says, and where.
#[derive(Debug, Clone, Default)]
pub struct Stated {
    pub value: String,
    pub places: BTreeSet<Place>,
}

/// Every fact of a file.
#[derive(Debug, Clone, Default)]
pub struct Truth {
    pub facts: BTreeMap<Fact, Stated>,
    /// Facts that an import may also add: the sheet supports them, but does not need them.
    pub allowed: BTreeSet<Fact>,
    /// Numbers under which the file has a child as well, each with the number of the truth.
    pub also_as: BTreeMap<String, String>,
    /// When children were born, about, where the file has ages only.
    pub born_about: BTreeMap<String, Day>,
    /// The names of the sheets, where there are several.
    pub sheets: Vec<String>,
    /// Whether the file has no numbers, so that children are known by their names.
    pub by_name: bool,
}

impl Truth {
    /// Adds a fact, or a further place of one.
    pub fn put(&mut self, fact: Fact, value: impl Into<String>, place: Place) {
        let value = value.into();
        let stated = self.facts.entry(fact.clone()).or_default();
        assert!(
            stated.places.is_empty() || stated.value == value,
            "the truth contradicts itself: {fact:?} is {} and {value}",
            stated.value
        );
        stated.value = value;
        stated.places.insert(place);
    }
}

/// Half points as text: `9` is `4.5`.
pub fn halves(halves: u32) -> String {
    format!("{}{}", halves / 2, if halves % 2 == 1 { ".5" } else { "" })
}
