//! Agreement of raters as a table that may leave the clinic: small numbers are withheld, and raters are
//! numbered, not named.

use crate::results_table::{WITHHELD, line, rounded};
use audit::{
    CaseCounts, ClinicAgreement, Estimate,
    raters::{ItemAgreement, RaterLine},
    small,
};

/// The head of the table. Keys are stable; docs/results.md explains each.
pub const HEAD: [&str; 12] = [
    "part",
    "item",
    "as_of",
    "version",
    "feet",
    "children",
    "figure",
    "value",
    "lower",
    "upper",
    "published",
    "note",
];

/// The table as CSV.
#[must_use]
pub fn csv(found: &ClinicAgreement) -> String {
    let mut text = line(&HEAD.map(str::to_owned));
    let all = &found.agreement;
    let head = |part: &str, item: &str| Head {
        part: part.to_owned(),
        item: item.to_owned(),
        as_of: all.as_of.to_string(),
        version: all.version.to_owned(),
    };
    for item in &all.items {
        for row in item_rows(&head("item", item.item.key()), item) {
            text.push_str(&line(&row));
        }
    }
    let counted: Vec<CaseCounts> = all.raters.iter().map(|rater| counted(rater.n, rater.children)).collect();
    for ((number, rater), shown) in (1..).zip(&all.raters).zip(small::may_leave(&counted)) {
        for row in rater_rows(&head("rater", &format!("rater {number}")), rater, shown) {
            text.push_str(&line(&row));
        }
    }
    let mut note = vec![String::new(); HEAD.len()];
    (note[0], note[11]) = ("note".to_owned(), small::RULE.to_owned());
    text.push_str(&line(&note));
    text
}

struct Head {
    part: String,
    item: String,
    as_of: String,
    version: String,
}

fn counted(n: usize, children: usize) -> CaseCounts {
    CaseCounts { n, children, ..CaseCounts::default() }
}

/// One row for each figure; a single row "withheld" if the numbers are too small to leave the clinic.
fn rows(
    head: &Head,
    (n, children): (usize, usize),
    published: &str,
    figures: Vec<(&str, Estimate)>,
    shown: bool,
) -> Vec<Vec<String>> {
    let row = |figure: &str, estimate: Option<&Estimate>| {
        let number = |value: Option<f64>| value.map(rounded).unwrap_or_default();
        let count = |n: usize| if shown { n.to_string() } else { WITHHELD.to_owned() };
        vec![
            head.part.clone(),
            head.item.clone(),
            head.as_of.clone(),
            head.version.clone(),
            count(n),
            count(children),
            figure.to_owned(),
            number(estimate.map(|one| one.value)),
            number(estimate.and_then(|one| one.lower)),
            number(estimate.and_then(|one| one.upper)),
            published.to_owned(),
            if shown { String::new() } else { WITHHELD.to_owned() },
        ]
    };
    if !shown || figures.is_empty() {
        return vec![row("", None)];
    }
    figures.iter().map(|(figure, estimate)| row(figure, Some(estimate))).collect()
}

fn item_rows(head: &Head, item: &ItemAgreement) -> Vec<Vec<String>> {
    let shown = !small::is_small(&counted(item.n, item.children));
    let same = item.same.map(|value| Estimate::new(value, None));
    let limits = item.limits;
    let figures: Vec<(&str, Option<Estimate>)> = vec![
        ("same", same),
        ("weighted kappa", item.kappa),
        ("kappa without weights", item.plain_kappa),
        ("icc(2,1)", item.icc),
        ("lower limit of agreement", limits.map(|(low, _)| low)),
        ("upper limit of agreement", limits.map(|(_, high)| high)),
    ];
    let figures = figures.into_iter().filter_map(|(name, estimate)| Some((name, estimate?))).collect();
    rows(head, (item.n, item.children), item.item.published(), figures, shown)
}

fn rater_rows(head: &Head, rater: &RaterLine, shown: bool) -> Vec<Vec<String>> {
    let mut figures = vec![("own total less the other's", rater.bias)];
    figures.extend(rater.drift.map(|(by, _)| ("change in the last twelve months", by)));
    figures.extend(rater.drift.map(|(_, value)| ("p of that change", Estimate::new(value, None))));
    rows(head, (rater.n, rater.children), "", figures, shown)
}
