//! Prints the published figures against simulated ones.
#![allow(clippy::unwrap_used)]
use forecast::natural_history::{HabitSpread, Parameters, published};

fn main() {
    let children = std::env::args().nth(1).and_then(|text| text.parse().ok()).unwrap_or(4_000);
    let rows = published::compare(&Parameters::published(), &HabitSpread::published(), children, 1).unwrap();
    print!("{}", published::markdown(&rows, children, 1));
}
