//! Trouble with the brace: what is advised on each problem, and what helped before in this clinic.
//!
//! The list is data (`catalogue.toml`): problem, advice in our own words, source. What was advised is
//! written on the problem by the key of the advice, or in own words, and whether it helped; [`Tally`] counts
//! that over the clinic's own entries. Counts are small and say nothing of what would have happened
//! without: whoever shows them says so ([`SMALL`]).

use course::ProblemSeen;
use record::{Helped, ProblemKind};
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::LazyLock;
use toml_edit::{Document, Table};

/// Said wherever counts are shown.
pub const SMALL: &str = "Counted from this clinic's own entries: few children, those who rang or came, and nobody knows how many would have got better anyway. Read it as a memory, not as proof.";

/// A problem with what is advised.
#[derive(Debug)]
pub struct Trouble {
    /// Which.
    pub kind: ProblemKind,
    /// What to do before any advice, where it is a red flag.
    pub red_flag: Option<String>,
    /// What is advised.
    pub advice: Vec<Advice>,
}

/// One advice.
#[derive(Debug)]
pub struct Advice {
    /// Its key in the record.
    pub key: String,
    /// In words.
    pub words: String,
    /// Where it comes from.
    pub source: String,
}

// As with the built-in protocol: the file is part of the program, and a test reads it.
static CATALOGUE: LazyLock<Vec<Trouble>> = LazyLock::new(|| match read(include_str!("catalogue.toml")) {
    Some(catalogue) => catalogue,
    None => unreachable!("the list of problems cannot be read"),
});

/// Every problem of the list, red flags first.
#[must_use]
pub fn all() -> &'static [Trouble] {
    &CATALOGUE
}

/// What is advised on a problem, where it is on the list.
#[must_use]
pub fn of(kind: ProblemKind) -> Option<&'static Trouble> {
    CATALOGUE.iter().find(|trouble| trouble.kind == kind)
}

/// An advice as written in a record: the words of its key, or the own words that were written.
#[must_use]
pub fn advice_words(advised: &str) -> Cow<'_, str> {
    let found = CATALOGUE.iter().flat_map(|trouble| &trouble.advice).find(|advice| advice.key == advised);
    found.map_or(Cow::Borrowed(advised), |advice| Cow::Borrowed(advice.words.as_str()))
}

fn read(text: &'static str) -> Option<Vec<Trouble>> {
    let document = Document::parse(text).ok()?;
    let problems = document.get("problem")?.as_array_of_tables()?;
    problems.iter().map(read_problem).collect()
}

fn read_problem(table: &Table) -> Option<Trouble> {
    let advice = table.get("advice")?.as_array_of_tables()?;
    Some(Trouble {
        kind: ProblemKind::from_key(table.get("kind")?.as_str()?)?,
        red_flag: table.get("red_flag").and_then(|item| item.as_str()).map(str::to_owned),
        advice: advice.iter().map(read_advice).collect::<Option<_>>()?,
    })
}

fn read_advice(table: &Table) -> Option<Advice> {
    let text = |name: &str| Some(table.get(name)?.as_str()?.to_owned());
    Some(Advice { key: text("key")?, words: text("words")?, source: text("source")? })
}

/// How often an advice was given, and what was said of it.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Count {
    /// Times advised.
    pub advised: u32,
    /// It helped.
    pub helped: u32,
    /// It helped in part.
    pub partly: u32,
    /// It did not.
    pub not: u32,
}

impl Count {
    /// "advised 7 times: helped 4, in part 1, not 1; of 1 nothing is known".
    #[must_use]
    pub fn words(self) -> String {
        let Self { advised, helped, partly, not } = self;
        let times = if advised == 1 { "once".to_owned() } else { format!("{advised} times") };
        let open = advised - helped - partly - not;
        let rest = if open == 0 { String::new() } else { format!("; of {open} nothing is known") };
        format!("advised {times}: helped {helped}, in part {partly}, not {not}{rest}")
    }
}

/// What helped before, by problem and advice.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Tally {
    counts: BTreeMap<(ProblemKind, String), Count>,
}

impl Tally {
    /// Adds the problems of a child.
    pub fn add(&mut self, problems: &[ProblemSeen]) {
        for problem in problems {
            for advice in &problem.advice {
                self.count(problem.what, &advice.advised, advice.helped, 1);
            }
        }
    }

    /// Adds an advice that was given on a problem so many times, with the same said of it.
    pub fn count(&mut self, kind: ProblemKind, advised: &str, helped: Option<Helped>, times: u32) {
        let count = self.counts.entry((kind, advised.to_owned())).or_default();
        count.advised += times;
        match helped {
            Some(Helped::Yes) => count.helped += times,
            Some(Helped::Partly) => count.partly += times,
            Some(Helped::No) => count.not += times,
            None => {}
        }
    }

    /// The count of an advice on a problem; `None` where it was never given.
    #[must_use]
    pub fn of(&self, kind: ProblemKind, advised: &str) -> Option<Count> {
        self.counts.get(&(kind, advised.to_owned())).copied()
    }

    /// Advice in own words on a problem, with its counts.
    pub fn in_own_words(&self, kind: ProblemKind) -> impl Iterator<Item = (&str, Count)> {
        let of_kind = self.counts.iter().filter(move |((of, _), _)| *of == kind);
        let own =
            move |key: &str| of(kind).is_none_or(|trouble| trouble.advice.iter().all(|one| one.key != key));
        of_kind.map(|((_, key), count)| (key.as_str(), *count)).filter(move |(key, _)| own(key))
    }
}
