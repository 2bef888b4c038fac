//! How many calls for attention the clinic's list holds, how soon they end, and who is called of those who
//! should be. Prints the tables of `docs/attention.md`; with a path it writes them there between the marks.
//!
//! `cargo run --release -p plantigrade --example attention_burden -- docs/attention.md`

mod burden;
mod sensitivity;
mod table;
mod world;

use burden::Burden;
use guidance::Protocol;
use record::Day;
use sensitivity::Sensitivity;
use table::Measured;
use world::{Clinic, World};

const SEEDS: [u64; 5] = [1, 2, 3, 4, 5];
const BEGINS: &str = "<!-- measured -->\n";
const ENDS: &str = "<!-- end of what is measured -->";

fn main() -> std::io::Result<()> {
    let today: Day = "2025-03-04".parse().unwrap_or(Day::FIRST);
    let protocol = Protocol::built_in();
    let measured: Vec<Measured> =
        World::ALL.into_iter().map(|world| measure(world, today, &protocol)).collect();
    let tables = table::markdown(&measured);
    let Some(path) = std::env::args().nth(1) else {
        println!("{tables}");
        return Ok(());
    };
    let text = std::fs::read_to_string(&path)?;
    let (Some(begins), Some(ends)) = (text.find(BEGINS), text.find(ENDS)) else {
        return Err(std::io::Error::other(format!("{path} has no marks between which the tables go")));
    };
    let (before, after) = (&text[..begins + BEGINS.len()], &text[ends..]);
    std::fs::write(&path, format!("{before}\n{tables}\n{after}"))
}

fn measure(world: World, today: Day, protocol: &Protocol) -> Measured {
    let (mut burden, mut sensitivity) = (Burden::default(), Sensitivity::default());
    for seed in SEEDS {
        let clinic = Clinic::of(world, seed, today);
        burden.add(&clinic, protocol);
        sensitivity.add(&clinic, protocol);
    }
    Measured { world, burden, sensitivity }
}
