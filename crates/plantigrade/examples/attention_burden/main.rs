//! How many calls for attention the clinic's list holds, and how soon they end.
//!
//! `cargo run --release -p plantigrade --example attention_burden`

mod burden;
mod world;

use burden::Burden;
use guidance::Protocol;
use record::Day;
use world::{Clinic, World};

const SEEDS: [u64; 5] = [1, 2, 3, 4, 5];

fn main() {
    let today: Day = "2025-03-04".parse().unwrap_or(Day::FIRST);
    let protocol = Protocol::built_in();
    for world in World::ALL {
        let mut burden = Burden::default();
        for seed in SEEDS {
            burden.add(&Clinic::of(world, seed, today), &protocol);
        }
        print(world, &burden);
    }
}

fn print(world: World, burden: &Burden) {
    let share = |part: usize, whole: usize| 100.0 * part as f64 / whole.max(1) as f64;
    let each = |sum: usize| sum as f64 / burden.clinics as f64;
    let (mean, most) = burden.new_rows_a_day();
    println!("== {}", world.words());
    println!("children in care {:.0}, with an open call {:.1} %", each(burden.in_care), share(burden.open, burden.in_care));
    println!("worst: today {:.1}, this week {:.1}, soon {:.1}, to watch {:.1}", each(burden.worst[0]), each(burden.worst[1]), each(burden.worst[2]), each(burden.worst[3]));
    println!("new rows a clinic day {mean:.1}, most {most}");
    println!("rows of this week older than 14 days {:.1} % of {:.1}", share(burden.this_week.1, burden.this_week.0), each(burden.this_week.0));
    println!("{:28} {:>6} {:>6} {:>6} {:>8}", "rule", "open", "leads", "old", "new/day");
    for (rule, found) in &burden.rules {
        println!("{rule:28} {:6.1} {:6.1} {:6.1} {:8.2}", each(found.open), each(found.leads), each(found.old), found.new as f64 / burden.new_rows.len() as f64);
    }
}
