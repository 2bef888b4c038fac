//! The table as a page of text.

use super::{Comparison, Published};
use std::fmt::Write as _;

/// Writes the comparisons as a Markdown page.
///
/// `children` and `seed` are what they were made with and stand in the text.
#[must_use]
pub fn markdown(comparisons: &[Comparison], children: usize, seed: u64) -> String {
    let mut page = head(comparisons, children, seed);
    let mut group = "";
    for row in comparisons {
        if row.group != group {
            group = row.group;
            let _ = write!(
                page,
                "\n## {group}\n\n| figure | printed | n | source | sampling error | simulated | central 95 % | | |\n\
                 |---|---|---|---|---|---|---|---|---|\n"
            );
        }
        page.push_str(&line(row));
    }
    outside(&mut page, comparisons);
    page
}

fn head(comparisons: &[Comparison], children: usize, seed: u64) -> String {
    let inside = |named: bool| {
        let rows = || comparisons.iter().filter(move |row| !named || row.named);
        format!("{} of {}", rows().filter(|row| row.inside).count(), rows().count())
    };
    let mut head = format!(
        "# Published and simulated\n\n\
         Written by `plantigrade published --children {children} --seed {seed}`.\n\n\
         The natural history is one set of parameters for all papers; a paper's clinic differs from the next \
         only in its habits and in who comes to it. For each figure the paper's clinic is simulated with \
         {children} children, {cohorts} cohorts of the paper's own size are drawn from them, and the figure \
         is worked out in each as the paper did. The SD over the cohorts is the *sampling error*; a figure \
         is *inside* where the printed value lies in their central 95 % (a printed range: where the \
         simulated mean lies in it). Of figures that are right one in twenty is outside by chance. Where a \
         centre printed its own mean of casts or share of tenotomies and nothing else is known of it, the \
         figure is compared with clinics drawn from the spread of habits.\n\n\
         **Named** figures must be inside, and a test holds them there. “Fitted” marks figures that the \
         parameters were fitted to; the others are checks. n counts feet, or children from “Hours of wear” \
         on and under “Who comes”.\n\n\
         Inside: {}; of the named ones {}.\n",
        inside(false),
        inside(true),
        cohorts = super::COHORTS,
    );
    if let Some(text) = correlation(comparisons) {
        head.push_str(&text);
    }
    head
}

/// Where the correlation of score and casts stands in its published range.
fn correlation(comparisons: &[Comparison]) -> Option<String> {
    let of = comparisons.iter().find(|row| {
        row.figure.starts_with("correlation of Pirani") && matches!(row.published, Published::Range(..))
    })?;
    let Published::Range(from, to) = of.published else { return None };
    let place = 100.0 * (of.simulated - from) / (to - from);
    Some(format!(
        "\nThe correlation of the Pirani total with the number of casts is published from {from} to {to}; the \
         simulated one is {}, {place:.0} % of the way from the lower end to the upper.\n",
        number(of.simulated)
    ))
}

/// What does not fit, and why.
fn outside(page: &mut String, comparisons: &[Comparison]) {
    page.push_str("\n## What does not fit, and why\n\n");
    for row in comparisons.iter().filter(|row| !row.inside) {
        let _ = writeln!(
            page,
            "- **{}**, {}: printed {}, simulated {}. {}.",
            row.figure,
            row.source,
            printed(row),
            number(row.simulated),
            sentence(row.why)
        );
    }
}

fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn printed(row: &Comparison) -> String {
    let value = match row.published {
        Published::Value(value) => number(value),
        Published::Range(from, to) => format!("{} to {}", number(from), number(to)),
    };
    if row.unit.is_empty() { value } else { format!("{value} {}", row.unit) }
}

fn line(row: &Comparison) -> String {
    let kind = match (row.named, row.fitted) {
        (true, true) => "**named**, fitted",
        (true, false) => "**named**",
        (false, true) => "fitted",
        (false, false) => "check",
    };
    let note = if row.note.is_empty() { kind.to_owned() } else { format!("{kind}; {}", row.note) };
    format!(
        "| {} | {} | {} | {} | {} | {} | {} to {} | {} | {note} |\n",
        row.figure,
        printed(row),
        row.n,
        row.source,
        number(row.sd),
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
