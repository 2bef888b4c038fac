//! A child's page and the attention page under 16 clients at once, as ratios to a fixed page of the same
//! size answered by the same server through the same gate and layers; start to first page; and memory.
//!
//! The records are built once; every server measured is a process of its own that opens them as they are.
//! `CHILDREN` sets how many invented children there are (100,000 where it is not set), `SECONDS` how long
//! each page is asked for (5 where it is not set). `RECORDS` names a folder in which they are kept from one
//! run to the next; a folder that is thrown away where it is not set. `ENCRYPTED` encrypts them (with
//! `--features encryption`); a folder of `RECORDS` is encrypted or not as it was made. `RESULTS_ONLY` leaves out all but the
//! results of the service.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod client;
mod results;
mod server;

use client::{Answered, Client, ask_all};
use server::{Built, Server, Start};
use std::path::{Path, PathBuf};

/// Floor and page are asked for in turns, so that what else the machine does falls on both.
const TURNS: usize = 3;

fn setting(name: &str, otherwise: usize) -> usize {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(otherwise)
}

fn main() {
    server::serve_if_told();
    let (children, seconds) = (setting("CHILDREN", 100_000), setting("SECONDS", 5) as f64);
    let thrown_away = tempfile::tempdir().unwrap();
    let dir = std::env::var_os("RECORDS").map_or_else(|| thrown_away.path().join("records"), PathBuf::from);
    let built = server::build(&dir, children);
    if plantigrade::folder_key::is_encrypted(&dir) {
        println!("the records are encrypted");
    }
    println!("children {}, {} clients at once", built.children.len(), client::CLIENTS);
    println!("the floor is a fixed page of the same size from the same server, behind the same gate\n");

    if std::env::var_os("RESULTS_ONLY").is_some() {
        return results::run(&dir, &built);
    }
    started(&dir, &built);
    let attention = |_| "/attention".to_owned();
    let mut asked = 0;

    let server = Server::start(&dir, Start { afresh: true, ..Start::default() });
    let run = Run { server: &server, built: &built, seconds };
    run.settle();
    run.compare("a child's page, another child each time, drawn afresh", &|n| run.child(n), &mut asked);
    run.compare("attention page, drawn afresh", &attention, &mut asked);
    run.memory("after that");
    drop(server);

    let server = Server::start(&dir, Start { writes: 20, ..Start::default() });
    let run = Run { server: &server, built: &built, seconds };
    run.compare("attention page, 20 entries a second written meanwhile", &attention, &mut asked);
    run.memory("after that");
    drop(server);

    let server = Server::start(&dir, Start::default());
    let run = Run { server: &server, built: &built, seconds };
    run.settle();
    run.compare("a child's page, one child, kept since last drawn", &|_| run.child(0), &mut asked);
    run.compare("attention page, kept since last drawn", &attention, &mut asked);
    run.compare("a child's page, another child each time, as served", &|n| run.child(n), &mut asked);
    run.memory("after that");
    drop(server);
    results::run(&dir, &built);
}

/// Start to first page, with somebody signed in since before, and the memory it took.
fn started(dir: &Path, built: &Built) {
    let mut milliseconds: Vec<u128> = Vec::new();
    for _ in 0..TURNS {
        let server = Server::start(dir, Start::default());
        assert_eq!(Client::new(server.address).ask("/day", &built.cookie).0, 200);
        milliseconds.push(server.begun.elapsed().as_millis());
        if milliseconds.len() == TURNS {
            println!(
                "start of the process to the first page (the day): {milliseconds:?} ms (target: under 1000)"
            );
            Run { server: &server, built, seconds: 0.0 }.memory("after the first page");
        }
    }
}

struct Run<'a> {
    server: &'a Server,
    built: &'a Built,
    seconds: f64,
}

impl Run<'_> {
    fn child(&self, number: usize) -> String {
        format!("/child/{}", self.built.children[number % self.built.children.len()])
    }

    /// Asks for one child's page, which has the clinic read for its forecasts in the background, once a
    /// day, and waits until that is done: it is measured by itself.
    fn settle(&self) {
        let before = self.server.cpu_seconds();
        self.ask(0.1, &|_| self.child(0));
        let begun = std::time::Instant::now();
        let mut used = before;
        loop {
            std::thread::sleep(std::time::Duration::from_secs(2));
            let now = self.server.cpu_seconds();
            if now - used < 0.05 {
                break;
            }
            used = now;
        }
        println!(
            "the clinic read for its forecasts in the background, once a day: {:.0} s of processor time, {:.0} s on the clock",
            used - before,
            begun.elapsed().as_secs_f64(),
        );
    }

    /// `asked` is how many pages were asked for before, so that no child is asked for twice.
    fn compare(&self, what: &str, path: &(dyn Fn(usize) -> String + Sync), asked: &mut usize) {
        let (first, mut ratios) = (*asked, Vec::new());
        let (tried, _) = self.ask(1.0, &|n| path(first + n));
        *asked += tried.pages + client::CLIENTS;
        let mut length = tried.length();
        println!("{what}");
        for _ in 0..TURNS {
            let (fixed, fixed_cpu) = self.ask(self.seconds, &|_| format!("/fixed?bytes={length}"));
            let from = *asked;
            let (pages, pages_cpu) = self.ask(self.seconds, &|n| path(from + n));
            *asked += pages.pages + client::CLIENTS;
            length = pages.length();
            let ratio = fixed.rate() / pages.rate();
            println!(
                "  {length} bytes, {:.0} a second, fixed page {:.0} a second: ratio {ratio:.2}; server's processor time {:.0} against {:.0} µs a page",
                pages.rate(),
                fixed.rate(),
                pages_cpu,
                fixed_cpu,
            );
            ratios.push(ratio);
        }
        ratios.sort_by(f64::total_cmp);
        let middle = ratios[ratios.len() / 2];
        let verdict = if middle <= 5.0 { "met" } else { "MISSED" };
        println!("  ratio {middle:.2} (target: at most 5: {verdict})");
    }

    /// What was answered, and the server's processor time for each page in µs.
    fn ask(&self, seconds: f64, path: &(dyn Fn(usize) -> String + Sync)) -> (Answered, f64) {
        let before = self.server.cpu_seconds();
        let answered = ask_all(self.server.address, &self.built.cookie, seconds, path);
        let used = self.server.cpu_seconds() - before;
        (answered, used * 1e6 / answered.pages.max(1) as f64)
    }

    fn memory(&self, when: &str) {
        match self.server.memory_mb() {
            Some([now, most]) => {
                println!("  memory of the server {when}: {now} MB, at most {most} MB (target: under 200)")
            }
            None => println!("  memory of the server {when}: not told by this system"),
        }
    }
}
