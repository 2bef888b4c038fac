//! Prints how well the calls for boots and their windows perform for children drawn over the whole published
//! range of growth: the table of `docs/growth.md`. `cargo run --release -p guidance --example growth`
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::print_stdout, dead_code)]

#[path = "../tests/all/growth_world.rs"]
mod growth_world;

use growth_world::{Measures, Pace, Trial};
use guidance::OutgrownRule;

/// Children per line; the first argument sets another number.
const CHILDREN: u64 = 4_000;

fn line(name: &str, trial: Trial) {
    let children = std::env::args().nth(1).and_then(|count| count.parse().ok()).unwrap_or(CHILDREN);
    let outcome = trial.run(children);
    println!(
        "| {name} | {} | {:.1} % | {:.1} weeks | {:.1} % | {} |",
        outcome.leads.len(),
        100.0 * outcome.late(),
        f64::from(outcome.lead()) / 7.0,
        100.0 * outcome.held(),
        outcome.width()
    );
}

fn main() {
    for rule in OutgrownRule::ALL {
        for pace in [Pace::Steady, Pace::Changing] {
            println!("\n{}; each child {pace:?}\n", rule.key());
            println!(
                "| age at the fitting | forecasts | calls too late | median lead | windows of 90 % hold | median window, days |"
            );
            println!("|---|---|---|---|---|---|");
            for months in [(6.0, 30.0), (6.0, 9.0), (9.0, 15.0), (15.0, 24.0), (24.0, 30.0), (30.0, 48.0)] {
                for measures in [Measures::Once, Measures::Before, Measures::After] {
                    let name = format!("{}–{} months, {measures:?}", months.0, months.1);
                    line(&name, Trial { months, pace, measures, error_mm: 1.9, rule });
                }
            }
            let standing = Trial {
                months: (24.0, 27.0),
                pace,
                measures: Measures::LyingThenStanding,
                error_mm: 1.9,
                rule,
            };
            line("24–27 months, lying then standing", standing);
            let exact =
                Trial { months: (6.0, 30.0), pace, measures: Measures::SixteenTimes, error_mm: 1.9, rule };
            line("6–30 months, measured sixteen times on the day", exact);
        }
    }
}
