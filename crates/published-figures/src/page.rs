//! The table as a page of text.

use super::{COHORTS, FigureComparison, FigureRole, Published};
use std::fmt::Write as _;

const ROLES: [(FigureRole, &str); 3] = [
    (FigureRole::Check, "Checks"),
    (FigureRole::Fitted, "Fitted"),
    (FigureRole::Used, "Used for settings, or part of a fitted figure"),
];

/// Writes the comparisons as a Markdown page: the checks first, then what was fitted or used.
///
/// `children` and `seed` are what they were made with and are named in the text.
#[must_use]
pub fn page(comparisons: &[FigureComparison], children: usize, seed: u64) -> String {
    let mut page = head(comparisons, children, seed);
    for (role, heading) in ROLES {
        let _ = writeln!(page, "\n## {heading}");
        let mut group = "";
        for row in comparisons.iter().filter(|row| row.role == role) {
            if row.group != group {
                group = &row.group;
                let _ = write!(
                    page,
                    "\n### {group}\n\n| figure | printed | n | source | sampling error | simulated | central 95 % | | |\n\
                     |---|---|---|---|---|---|---|---|---|\n"
                );
            }
            page.push_str(&line(row));
        }
    }
    outside(&mut page, comparisons);
    page
}

/// "12 of 30" of the figures of which it holds.
fn inside(comparisons: &[FigureComparison], wanted: impl Fn(&FigureComparison) -> bool) -> String {
    let rows: Vec<&FigureComparison> = comparisons.iter().filter(|row| wanted(row)).collect();
    format!("{} of {}", rows.iter().filter(|row| row.inside).count(), rows.len())
}

fn head(comparisons: &[FigureComparison], children: usize, seed: u64) -> String {
    let of = |role| inside(comparisons, |row| row.role == role);
    let mut head = format!(
        "# Published and simulated\n\n\
         **{} figures not used for fitting lie inside.** Of those fitted {} do, of those used for a setting or within \
         a fitted figure {}. Of the named ones {} do.\n\n\
         Written by `cargo run --release -p published-figures -- --children {children} --seed {seed}`; the figures \
         are in `crates/published-figures/figures.toml`.\n\n\
         The natural history is one set of parameters for all papers; a paper's clinic differs from the next \
         only in its habits and in who comes to it. For each figure the paper's clinic is simulated with \
         {children} children, {COHORTS} cohorts of the paper's own size are drawn from them, and the figure \
         is worked out in each as the paper did. The SD over the cohorts is the *sampling error*; a figure \
         is *inside* where the printed value lies in their central 95 % (a printed range: where the \
         simulated mean lies in it). Of figures that are right one in twenty is outside by chance. Where a \
         centre printed its own mean of casts or share of tenotomies and nothing else is known of it, the \
         figure is compared with clinics drawn from the spread of habits.\n\n\
         A **check** is a figure by which nothing was set. **Fitted** figures are those that parameters were fitted \
         to. **Used** are figures from which a setting of a simulated clinic was taken, the single papers behind a \
         range or a pooled figure that was fitted, and the centres behind the spread of clinics: their agreement \
         shows nothing new. **Named** figures must be inside, and a test holds them there. n counts feet, or children \
         under “Hours of wear”, “Relapse”, “Leaving care” and “Who comes”.\n",
        of(FigureRole::Check),
        of(FigureRole::Fitted),
        of(FigureRole::Used),
        inside(comparisons, |row| row.named),
    );
    if let Some(text) = correlation(comparisons) {
        head.push_str(&text);
    }
    head
}

/// Where the correlation of score and casts stands in its published range.
fn correlation(comparisons: &[FigureComparison]) -> Option<String> {
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
fn outside(page: &mut String, comparisons: &[FigureComparison]) {
    page.push_str("\n## What does not fit, and why\n\n");
    for row in comparisons.iter().filter(|row| !row.inside) {
        let _ = writeln!(
            page,
            "- **{}**, {}: printed {}, simulated {}. {}.",
            row.figure,
            row.source,
            printed(row),
            number(row.simulated),
            sentence(&row.why)
        );
    }
}

fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn printed(row: &FigureComparison) -> String {
    let value = match row.published {
        Published::Value(value) => number(value),
        Published::Range(from, to) => format!("{} to {}", number(from), number(to)),
    };
    if row.unit.is_empty() { value } else { format!("{value} {}", row.unit) }
}

fn line(row: &FigureComparison) -> String {
    let note = match (row.named, row.note.is_empty()) {
        (true, true) => "**named**".to_owned(),
        (true, false) => format!("**named**; {}", row.note),
        (false, _) => row.note.clone(),
    };
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
