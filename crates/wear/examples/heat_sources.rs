//! Days of wear with other sources of heat nearby: source by source, at each sampling.
//!
//! - `cargo run --release -p wear --example heat_sources`: the tables of `docs/wear.md`.
//! - `cargo run --release -p wear --example heat_sources -- tuning [SET]`: the sources and seeds that the
//!   classifier may be tuned on; further sets of eight loggers of each by their number, 1 to 99.

#[path = "../tests/all/heat/mod.rs"]
mod heat;

use heat::{FILES, REPORTING_SEED, Source, TUNING_SEED, tally};

fn main() {
    let tuning = std::env::args().nth(1).is_some_and(|word| word == "tuning");
    let set = std::env::args().nth(2).and_then(|set| set.parse::<u64>().ok()).unwrap_or(0).min(99);
    let seed = if tuning { TUNING_SEED + set * FILES } else { REPORTING_SEED };
    let mut sources = Source::TUNED.to_vec();
    if !tuning {
        sources.extend(Source::UNSEEN);
        sources.push(Source::Sibling);
    }
    print!("{}", tally::HEAD);
    let mut all = Vec::new();
    for source in sources {
        let tallies = tally::of(source, seed);
        print!("{}", tally::rows(source, &tallies));
        all.push((source, tallies));
    }
    println!();
    print!("{}", tally::calibrations(&all));
}
