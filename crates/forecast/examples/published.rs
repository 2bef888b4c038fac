//! Prints the published figures against simulated ones.
#![allow(clippy::unwrap_used)]
use forecast::natural_history::{HabitSpread, Parameters, published};

fn main() {
    let children = std::env::args().nth(1).and_then(|text| text.parse().ok()).unwrap_or(4_000);
    let rows = published::compare(&Parameters::published(), &HabitSpread::published(), children, 1).unwrap();
    print!("{}", published::markdown(&rows, children, 1));
    eprintln!(
        "misfit {:.1}",
        published::misfit(&rows.iter().filter(|row| row.fitted).cloned().collect::<Vec<_>>())
    );
    let mut worst: Vec<(f64, String)> = rows
        .iter()
        .filter(|row| row.fitted)
        .map(|row| {
            (
                published::misfit(std::slice::from_ref(row)),
                format!(
                    "{} {:?} {} {:.2} sd {:.2}",
                    row.figure, row.published, row.source, row.simulated, row.sd
                ),
            )
        })
        .collect();
    worst.sort_by(|a, b| b.0.total_cmp(&a.0));
    worst.iter().take(30).for_each(|(off, what)| eprintln!("{off:6.1} {what}"));
}
