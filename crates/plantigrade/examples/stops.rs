//! How often the advice stops in the invented clinic, and why: `cargo run --release --example stops`.
//!
//! For each child that was not planted by hand, the next step of each foot is worked out as of every day on
//! which something clinical is recorded. A foot of such a day is *stopped* where its step is to check the
//! record, to look again, or to assess after the tenotomy. The invented clinic makes no error of side, so
//! every stop on the side is a false one; findings are drawn with error, so that some of them disagree.
#![allow(clippy::print_stdout)]

use course::Course;
use guidance::{Action, Outlook, Protocol};
use plantigrade::demo;
use record::{ChildId, Day, Entry};
use std::collections::BTreeMap;

const CHILDREN: usize = 240;
const SEEDS: [u64; 3] = [1, 2, 3];
const STOPS: [Action; 3] = [Action::CheckRecord, Action::LookAgain, Action::AssessAfterTenotomy];

fn children(seed: u64, today: Day) -> BTreeMap<ChildId, Vec<Entry>> {
    let mut children: BTreeMap<ChildId, Vec<Entry>> = BTreeMap::new();
    let planted = demo::clinic(demo::planted_count(), seed, today);
    let by_hand: std::collections::BTreeSet<ChildId> = planted.iter().map(|entry| entry.child).collect();
    for entry in demo::clinic(CHILDREN, seed, today) {
        if !by_hand.contains(&entry.child) {
            children.entry(entry.child).or_default().push(entry);
        }
    }
    children
}

/// The rule without its numbers.
fn kind_of(rule: &str) -> String {
    rule.chars().take(44).collect()
}

fn main() {
    let Ok(today) = Day::new(2026, 11, 25) else { return };
    let protocol = Protocol::built_in();
    println!("seed  children  foot-days  check record  look again  assess after tenotomy");
    for seed in SEEDS {
        let children = children(seed, today);
        let mut why: BTreeMap<(&str, String), usize> = BTreeMap::new();
        let (mut foot_days, mut stops) = (0_usize, [0_usize; STOPS.len()]);
        for (child, entries) in &children {
            let seen = Course::of(*child, entries, today).seen_on;
            for day in seen {
                let outlook = Outlook::of(Course::of(*child, entries, day), &protocol);
                for foot in &outlook.course.feet {
                    let Some(step) = outlook.foot_step(foot.side) else { continue };
                    foot_days += 1;
                    if step.action == Action::LookAgain {
                        for reason in step.because.iter() {
                            *why.entry((foot.phase.key(), kind_of(&reason.rule))).or_default() += 1;
                        }
                    }
                    if let Some(which) = STOPS.iter().position(|stop| *stop == step.action) {
                        stops[which] += 1;
                    }
                }
            }
        }
        let share = |count: usize| 100.0 * count as f64 / foot_days.max(1) as f64;
        println!(
            "{seed:4}  {:8}  {foot_days:9}  {:5} ({:.2} %)  {:4} ({:.2} %)  {:4} ({:.2} %)",
            children.len(),
            stops[0],
            share(stops[0]),
            stops[1],
            share(stops[1]),
            stops[2],
            share(stops[2])
        );
        for ((phase, rule), count) in &why {
            println!("      look again, {phase}: {count} by “{rule}…”");
        }
    }
}
