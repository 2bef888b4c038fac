//! The table as a page of text.

use super::{Comparison, Published};
use std::fmt::Write as _;

/// Writes the comparisons as a Markdown page.
///
/// `children` and `seed` are what they were made with and stand in the text.
#[must_use]
pub fn markdown(comparisons: &[Comparison], children: usize, seed: u64) -> String {
    let inside = comparisons.iter().filter(|row| row.inside).count();
    let mut page = format!(
        "# Published and simulated\n\n\
         Written by `plantigrade published --children {children} --seed {seed}`. For each figure the \
         paper's clinic is simulated with {children} children, {cohorts} cohorts of the paper's own size are \
         drawn from them, and the figure is worked out in each as the paper did. It is *inside* where the \
         published value lies in the central 99 % of the simulated ones (for a published range: where the \
         simulated mean lies in it). “Fitted” marks figures that the parameters were fitted to; the others \
         are checks. n counts feet, or children from “Hours of wear” on.\n\n\
         Inside: {inside} of {count}. The papers contradict each other in places; what does not fit is left \
         to stand.\n",
        cohorts = super::COHORTS,
        count = comparisons.len(),
    );
    let mut group = "";
    for row in comparisons {
        if row.group != group {
            group = row.group;
            let _ = write!(
                page,
                "\n## {group}\n\n| figure | published | n | source | simulated | central 99 % | | note |\n\
                 |---|---|---|---|---|---|---|---|\n"
            );
        }
        page.push_str(&line(row));
    }
    page
}

fn line(row: &Comparison) -> String {
    let published = match row.published {
        Published::Value(value) => number(value),
        Published::Range(from, to) => format!("{} to {}", number(from), number(to)),
    };
    let unit = if row.unit.is_empty() { String::new() } else { format!(" {}", row.unit) };
    let fitted = if row.fitted { "fitted" } else { "check" };
    let note = if row.note.is_empty() { fitted.to_owned() } else { format!("{fitted}; {}", row.note) };
    format!(
        "| {} | {published}{unit} | {} | {} | {} | {} to {} | {} | {note} |\n",
        row.figure,
        row.n,
        row.source,
        number(row.simulated),
        number(row.low),
        number(row.high),
        if row.inside { "inside" } else { "**outside**" },
    )
}

/// Three figures that matter, with a proper minus sign.
fn number(value: f64) -> String {
    let digits = match value.abs() {
        size if size >= 100.0 => 0,
        size if size >= 10.0 => 1,
        _ => 2,
    };
    format!("{value:.digits$}").replace('-', "−")
}
