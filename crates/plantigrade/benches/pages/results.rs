//! The results of the whole service, the stock and the brace problems: pages over every child, asked for by
//! one client and drawn afresh each time.

use crate::{
    client::Client,
    server::{Built, Server, Start},
};
use std::{
    path::Path,
    time::{Duration, Instant},
};

/// Each address is asked for so often; the median counts.
const TIMES: usize = 5;

pub fn run(dir: &Path, built: &Built) {
    println!("\nresults of the whole service, one client, every page computed and drawn afresh");
    let server = Server::start(dir, Start { afresh: true, ..Start::default() });
    let mut client = Client::new(server.address);
    let begun = Instant::now();
    while client.ask_again("/results", &built.cookie).2 {
        std::thread::sleep(Duration::from_millis(200));
    }
    println!("  every log read once, in the background: {:.1} s", begun.elapsed().as_secs_f64());
    if let Some([now, most]) = server.memory_mb() {
        println!("  memory of the server after that: {now} MB, at most {most} MB");
    }
    let all = ["", "?side=left", "?severity=severe", "?aetiology=idiopathic"];
    let mut pages: Vec<(String, f64, usize)> =
        all.iter().map(|query| timed(&mut client, built, &format!("/results{query}"))).collect();
    let measures = audit::Measure::ALL.iter();
    pages.extend(measures.map(|measure| timed(&mut client, built, &format!("/results/{}", measure.key()))));
    let others = ["/results/agreement", "/results/year", "/stock", "/trouble"];
    pages.extend(others.iter().map(|path| timed(&mut client, built, path)));
    pages.sort_by(|a, b| b.1.total_cmp(&a.1));
    for (path, milliseconds, bytes) in &pages {
        let verdict = if *milliseconds < 1000.0 { "" } else { ": MISSED" };
        println!("  {path}: {milliseconds:.0} ms, {bytes} bytes (target: under 1000 ms{verdict})");
    }
    drop(server);
    after_writes(dir, built);
}

/// With 20 entries a second written, and the page asked for once a second.
fn after_writes(dir: &Path, built: &Built) {
    let server = Server::start(dir, Start { afresh: true, writes: 20 });
    let mut client = Client::new(server.address);
    while client.ask_again("/results", &built.cookie).2 {
        std::thread::sleep(Duration::from_millis(200));
    }
    let mut times = Vec::new();
    for _ in 0..TIMES {
        std::thread::sleep(Duration::from_secs(1));
        times.push(timed_once(&mut client, built, "/results").0);
    }
    println!("  /results, a second's 20 written children read again first: {} ms", median(times).round());
}

fn timed(client: &mut Client, built: &Built, path: &str) -> (String, f64, usize) {
    let asked: Vec<(f64, usize)> = (0..TIMES).map(|_| timed_once(client, built, path)).collect();
    (path.to_owned(), median(asked.iter().map(|(time, _)| *time).collect()), asked[0].1)
}

fn timed_once(client: &mut Client, built: &Built, path: &str) -> (f64, usize) {
    let begun = Instant::now();
    let (status, length, again) = client.ask_again(path, &built.cookie);
    assert!(status == 200 && !again, "{path}: {status}");
    (begun.elapsed().as_secs_f64() * 1e3, length)
}

fn median(mut times: Vec<f64>) -> f64 {
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}
