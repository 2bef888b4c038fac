//! How long the pages that are computed from the whole clinic take while entries are being saved:
//! `cargo bench -p plantigrade --bench under_load`.
//!
//! `CHILDREN` sets how many invented children there are (4,000 where it is not set), `WRITES` how many entries are
//! saved a second (50), `SECONDS` how long each page is asked for (20). `RECORDS` names a folder in which the records
//! are kept from one run to the next.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[allow(dead_code)]
#[path = "pages/client.rs"]
mod client;
#[allow(dead_code)]
#[path = "pages/server.rs"]
mod server;

use client::Client;
use server::{Server, Start};
use std::{
    path::PathBuf,
    time::{Duration, Instant},
};

/// Between two requests of one person.
const PAUSE: Duration = Duration::from_millis(100);
/// The target, ms at the 95th percentile.
const TARGET: f64 = 300.0;

fn setting(name: &str, otherwise: usize) -> usize {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(otherwise)
}

fn main() {
    server::serve_if_told();
    let thrown_away = tempfile::tempdir().unwrap();
    let dir = std::env::var_os("RECORDS").map_or_else(|| thrown_away.path().join("records"), PathBuf::from);
    let built = server::build(&dir, setting("CHILDREN", 4_000));
    let (writes, seconds) = (setting("WRITES", 50), setting("SECONDS", 20) as f64);
    println!("{} children; one person asks, ms: median, 95th percentile, longest", built.children.len());
    for writes in [0, writes] {
        let server = Server::start(&dir, Start { writes, ..Start::default() });
        let mut client = Client::new(server.address);
        // Computed once before, as on any day: the pages of results say that they are being made.
        for path in ["/results", "/capacity", "/attention", "/day"] {
            let begun = Instant::now();
            assert_eq!(client.ask(path, &built.cookie).0, 200);
            println!(
                "  {writes} entries a second: {path} for the first time {} ms",
                begun.elapsed().as_millis()
            );
        }
        std::thread::sleep(Duration::from_secs(10));
        for path in ["/results", "/capacity", "/attention", "/day"] {
            let (mut times, begun) = (Vec::new(), Instant::now());
            while begun.elapsed().as_secs_f64() < seconds {
                let asked = Instant::now();
                assert_eq!(client.ask(path, &built.cookie).0, 200, "{path}");
                times.push(asked.elapsed().as_secs_f64() * 1e3);
                std::thread::sleep(PAUSE);
            }
            times.sort_by(f64::total_cmp);
            let at = |share: f64| times[((times.len() - 1) as f64 * share) as usize];
            let verdict = if at(0.95) <= TARGET { "met" } else { "MISSED" };
            println!(
                "  {writes} entries a second: {path} {:.0}, {:.0}, {:.0} (target {TARGET}: {verdict})",
                at(0.5),
                at(0.95),
                at(1.0)
            );
        }
    }
}
