//! Problems with the brace: the advice for each problem, and what helped before in this clinic.
//!
//! The list is data (`catalogue.toml`): problem, advice in our own words, source. The record stores the key of
//! the advice given, or free text, and whether it helped; [`AdviceTally`] counts this over the clinic's own
//! entries. The counts are small and do not show what would have happened without the advice, which is stated
//! wherever they are shown ([`SMALL`]).

use course::ProblemSeen;
use record::{Helped, ProblemKind};
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::LazyLock;
use toml_edit::{Document, Table};

/// Shown wherever counts are shown.
pub const SMALL: &str = "Counted from this clinic's own entries: few children, only those who called or attended, and it is not known how many would have improved anyway. Use it as a reminder, not as proof.";

/// A problem and the advice for it.
#[derive(Debug)]
pub struct BraceProblem {
    /// Which problem.
    pub kind: ProblemKind,
    /// What to do before any advice, if it is a red flag.
    pub red_flag: Option<String>,
    /// The advice.
    pub advice: Vec<Advice>,
}

/// One piece of advice.
#[derive(Debug)]
pub struct Advice {
    /// Its key in the record.
    pub key: String,
    /// In words.
    pub words: String,
    /// The source.
    pub source: String,
}

// As with the built-in protocol: the file is part of the program, and a test reads it.
static CATALOGUE: LazyLock<Vec<BraceProblem>> =
    LazyLock::new(|| match read(include_str!("catalogue.toml")) {
        Some(catalogue) => catalogue,
        None => unreachable!("the list of problems cannot be read"),
    });

/// Every problem of the list, red flags first.
#[must_use]
pub fn all() -> &'static [BraceProblem] {
    &CATALOGUE
}

/// The advice for a problem, if it is on the list.
#[must_use]
pub fn of(kind: ProblemKind) -> Option<&'static BraceProblem> {
    CATALOGUE.iter().find(|problem| problem.kind == kind)
}

/// The words of an advice as recorded: the words of its key, or the recorded free text.
#[must_use]
pub fn advice_words(advised: &str) -> Cow<'_, str> {
    let found = CATALOGUE.iter().flat_map(|problem| &problem.advice).find(|advice| advice.key == advised);
    found.map_or(Cow::Borrowed(advised), |advice| Cow::Borrowed(advice.words.as_str()))
}

fn read(text: &'static str) -> Option<Vec<BraceProblem>> {
    let document = Document::parse(text).ok()?;
    let problems = document.get("problem")?.as_array_of_tables()?;
    problems.iter().map(read_problem).collect()
}

fn read_problem(table: &Table) -> Option<BraceProblem> {
    let advice = table.get("advice")?.as_array_of_tables()?;
    Some(BraceProblem {
        kind: ProblemKind::from_key(table.get("kind")?.as_str()?)?,
        red_flag: table.get("red_flag").and_then(|item| item.as_str()).map(str::to_owned),
        advice: advice.iter().map(read_advice).collect::<Option<_>>()?,
    })
}

fn read_advice(table: &Table) -> Option<Advice> {
    let text = |name: &str| Some(table.get(name)?.as_str()?.to_owned());
    Some(Advice { key: text("key")?, words: text("words")?, source: text("source")? })
}

/// How often an advice was given, and with what result.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct AdviceCount {
    /// Times advised.
    pub advised: u32,
    /// Times it helped.
    pub helped: u32,
    /// Times it helped in part.
    pub partly: u32,
    /// Times it did not help.
    pub not: u32,
}

impl AdviceCount {
    /// In words, such as "advised 7 times: helped 4, in part 1, not 1; result not recorded for 1".
    #[must_use]
    pub fn words(self) -> String {
        let Self { advised, helped, partly, not } = self;
        let times = if advised == 1 { "once".to_owned() } else { format!("{advised} times") };
        let open = advised - helped - partly - not;
        let rest = if open == 0 { String::new() } else { format!("; result not recorded for {open}") };
        format!("advised {times}: helped {helped}, in part {partly}, not {not}{rest}")
    }
}

/// What helped before, by problem and advice.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct AdviceTally {
    counts: BTreeMap<(ProblemKind, String), AdviceCount>,
}

impl AdviceTally {
    /// Adds the problems of a child.
    pub fn add(&mut self, problems: &[ProblemSeen]) {
        for problem in problems {
            for advice in &problem.advice {
                self.count(problem.what, &advice.advised, advice.helped, 1);
            }
        }
    }

    /// Adds an advice that was given on a problem this many times, with the same result.
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

    /// The count of an advice on a problem; `None` if it was never given.
    #[must_use]
    pub fn of(&self, kind: ProblemKind, advised: &str) -> Option<AdviceCount> {
        self.counts.get(&(kind, advised.to_owned())).copied()
    }

    /// Advice on a problem recorded as free text, with its counts.
    pub fn in_free_text(&self, kind: ProblemKind) -> impl Iterator<Item = (&str, AdviceCount)> {
        let of_kind = self.counts.iter().filter(move |((of, _), _)| *of == kind);
        let own =
            move |key: &str| of(kind).is_none_or(|problem| problem.advice.iter().all(|one| one.key != key));
        of_kind.map(|((_, key), count)| (key.as_str(), *count)).filter(move |(key, _)| own(key))
    }
}
