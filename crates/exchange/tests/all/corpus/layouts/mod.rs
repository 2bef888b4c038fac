//! Whatever the layout of a sheet, no fact comes in wrong, invented or missing without a word.

mod languages;
mod layout;

use super::evaluate::{Fate, Tally, evaluate};
use crate::common::import_table;
use exchange::{Nothing, read_table};
use layout::{Layout, layouts};
use proptest::{
    strategy::{Strategy, ValueTree},
    test_runner::{Config, RngSeed, TestRunner},
};
use std::collections::BTreeMap;

/// Layouts in `./check`, about half a minute and always the same. `PLANTIGRADE_LAYOUTS=20000` tries that
/// many others and shows more of those that fail.
const CASES: u32 = 300;

/// Faulty layouts shown, in `./check` and in a longer run.
const SHOWN: [usize; 2] = [3, 25];

/// A number of layouts that somebody asks for.
fn asked() -> Option<u32> {
    std::env::var("PLANTIGRADE_LAYOUTS").ok().and_then(|text| text.parse().ok())
}

fn runner() -> TestRunner {
    let rng_seed = if asked().is_some() { RngSeed::Random } else { RngSeed::Fixed(20_240_613) };
    let cases = asked().unwrap_or(CASES);
    TestRunner::new(Config { cases, rng_seed, failure_persistence: None, ..Config::default() })
}

fn judge(layout: &Layout) -> Tally {
    let (bytes, name, truth) = layout.file();
    // A file that is refused whole leaves nothing out without a word.
    let table = read_table(&bytes, name, None);
    table.map_or_else(|_| Tally::default(), |table| evaluate(&import_table(&table, None, &Nothing), &truth))
}

/// A faulty layout as simple as it gets, with its gravest fault.
fn simplest(tree: &mut impl ValueTree<Value = Layout>) -> Option<(Layout, String)> {
    let fault = |layout: &Layout| judge(layout).grave_examples().next().cloned();
    let mut found = (tree.current(), fault(&tree.current())?);
    while tree.simplify() {
        loop {
            if let Some(fault) = fault(&tree.current()) {
                found = (tree.current(), fault);
                break;
            }
            if !tree.complicate() {
                return Some(found);
            }
        }
    }
    Some(found)
}

/// What was found over all layouts.
#[derive(Default)]
struct Survey {
    files: usize,
    faulty: usize,
    /// By habit: files, faulty files, facts wrong, invented and silently missing.
    habits: BTreeMap<String, [usize; 5]>,
    /// Facts, and those that are right without an answer.
    facts: [usize; 2],
    /// Simplest faulty layouts, each kind of fault once.
    shown: BTreeMap<(String, String), String>,
}

impl Survey {
    fn add(&mut self, layout: &Layout, tally: &Tally) {
        self.files += 1;
        self.faulty += usize::from(tally.grave() > 0);
        self.facts[0] += tally.facts();
        self.facts[1] += tally.of(Fate::Right);
        let faults = [Fate::Wrong, Fate::Extra, Fate::Silent].map(|fate| tally.of(fate));
        for habit in layout.habits() {
            let counts = self.habits.entry(habit).or_default();
            counts[0] += 1;
            counts[1] += usize::from(tally.grave() > 0);
            counts[2..].iter_mut().zip(faults).for_each(|(count, fault)| *count += fault);
        }
    }

    fn show(&mut self, layout: &Layout, fault: String) {
        let kind = fault.split(", child").next().unwrap_or_default().to_owned();
        let text = format!("{fault}\n{}\n{}\n", layout.unusual(), layout.text());
        self.shown.entry((kind, layout.unusual())).or_insert(text);
    }

    fn print(&self) {
        println!(
            "{:24} {:>6} {:>6} {:>6} {:>6} {:>6}",
            "habit", "files", "faulty", "WRONG", "EXTRA", "silent"
        );
        for (habit, [files, faulty, wrong, extra, silent]) in &self.habits {
            println!("{habit:24} {files:6} {faulty:6} {wrong:6} {extra:6} {silent:6}");
        }
        println!(
            "{} of {} layouts have a grave fault; {} of {} facts are right without an answer",
            self.faulty, self.files, self.facts[1], self.facts[0]
        );
    }
}

#[test]
fn no_layout_brings_in_a_wrong_or_silently_missing_fact() {
    let (mut runner, strategy) = (runner(), layouts());
    let mut survey = Survey::default();
    let most = SHOWN[usize::from(asked().is_some())];
    for _ in 0..runner.config().cases {
        let mut tree = strategy.new_tree(&mut runner).unwrap();
        let tally = judge(&tree.current());
        survey.add(&tree.current(), &tally);
        // Simplifying a layout takes many imports: a few are enough for a person.
        if tally.grave() > 0 && survey.shown.len() < most {
            simplest(&mut tree).into_iter().for_each(|(layout, fault)| survey.show(&layout, fault));
        }
    }
    survey.print();
    let examples: Vec<&str> = survey.shown.values().map(String::as_str).collect();
    assert!(survey.faulty == 0, "{} are faulty\n{}", survey.faulty, examples.join("\n"));
    assert!(survey.facts[0] > 20 * survey.files, "the layouts hold {} facts only", survey.facts[0]);
}
