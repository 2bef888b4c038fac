//! Boots near other sources of heat: the tables of `docs/wear.md`, and the limits that they must meet.
//!
//! `cargo run --release -p wear --example heat_sources` prints the same tables.

use super::heat::{REPORTING_SEED, SAMPLINGS_MIN, Source, tally};
use super::wear_bench::compare;

/// Samples up to a quarter of an hour apart.
fn fine(tallies: &[tally::Tally]) -> impl Iterator<Item = (&f64, &tally::Tally)> {
    SAMPLINGS_MIN.iter().zip(tallies).filter(|(minutes, _)| **minutes <= 15.0)
}

#[test]
fn another_source_of_heat_is_not_mistaken_for_a_foot() {
    let sources = Source::TUNED.into_iter().chain(Source::UNSEEN).chain([Source::Sibling]);
    let all: Vec<(Source, Vec<tally::Tally>)> =
        sources.map(|source| (source, tally::of(source, REPORTING_SEED))).collect();
    let mut text = tally::HEAD.to_owned();
    all.iter().for_each(|(source, tallies)| text.push_str(&tally::rows(*source, tallies)));
    text.push('\n');
    text.push_str(&tally::calibrations(&all));
    for (source, tallies) in &all {
        for (minutes, tally) in fine(tallies) {
            let row = format!("{}, {minutes} min: {}", source.words(), tally.row());
            // The target is 1 % of days. An animal that lies on the boot misses it by far, others by a day or two of 224.
            let most = match source {
                Source::Pet => 0.17,
                Source::Sibling => 1.0,
                _ => 0.02,
            };
            assert!(tally.wrong_share() <= most, "{row}");
            // If the foot is the only source of heat, hours are found to 0.1 h, and with a quarter of an hour between
            // samples to a little more.
            assert!(*source != Source::Ordinary || tally.mean_error() <= 0.12, "{row}");
        }
    }
    compare("heat", &text);
}

#[test]
fn the_loggers_of_the_tables_are_not_those_of_tuning() {
    use super::heat::{FILES, TUNING_SEED};
    // A hundred sets for tuning end before the first logger of the tables.
    const { assert!(TUNING_SEED + 100 * FILES <= REPORTING_SEED) };
    assert!(Source::UNSEEN.iter().all(|source| !Source::TUNED.contains(source)));
}
