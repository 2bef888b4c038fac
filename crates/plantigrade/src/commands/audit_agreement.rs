//! `audit --agreement`: the agreement of raters.

use super::{SmallNumbersNotice, print, print_sorted};
use crate::{agreement_table, cli::AuditArgs, exit::Failure};
use audit::{
    ClinicAgreement, Estimate, VERSION,
    raters::{ItemAgreement, USEFUL},
};
use serde::Serialize;
use std::{collections::BTreeMap, fmt::Write as _};

/// Prints the agreement of the raters of a clinic; `names` are their names by number.
///
/// # Errors
/// When it cannot be printed.
pub fn agreement(args: &AuditArgs, found: &ClinicAgreement, names: &[String]) -> Result<(), Failure> {
    if args.csv && !args.json {
        return print(&agreement_table::csv(found));
    }
    let result = RatersResult::of(found, names);
    if args.json { print_sorted(&result) } else { print(&text(&result)) }
}

/// Agreement of the raters of a clinic.
#[derive(Debug, Serialize)]
struct RatersResult<'a> {
    #[serde(flatten)]
    found: &'a ClinicAgreement,
    /// The names of the raters by number.
    raters: &'a [String],
    /// The agreement of published pairs of raters, by item.
    published: BTreeMap<&'static str, &'static str>,
    #[serde(flatten)]
    notice: SmallNumbersNotice,
}

impl<'a> RatersResult<'a> {
    fn of(found: &'a ClinicAgreement, raters: &'a [String]) -> Self {
        let items = found.agreement.items.iter();
        Self {
            found,
            raters,
            published: items.map(|item| (item.item.key(), item.item.published())).collect(),
            notice: SmallNumbersNotice::default(),
        }
    }
}

fn limits(estimate: &Estimate) -> String {
    match (estimate.lower, estimate.upper) {
        (Some(low), Some(high)) => format!("{:.2} ({low:.2} to {high:.2})", estimate.value),
        _ => format!("{:.2}", estimate.value),
    }
}

fn text(result: &RatersResult<'_>) -> String {
    let (found, all) = (result.found, &result.found.agreement);
    let mut text = format!(
        "Agreement of raters, as known on {}, {}: {} feet of {} children scored by two people blind. Plantigrade {VERSION}.\n",
        all.as_of.words(),
        found.known_by.words(),
        all.n,
        all.children
    );
    if all.n == 0 {
        text.push_str("No foot was scored twice in this period.\n");
        return text;
    }
    all.items.iter().filter(|item| item.n > 0).for_each(|item| one(&mut text, item));
    let _ = writeln!(text, "\nDrift of each rater: own Pirani total less the other's, in points");
    for line in &all.raters {
        let name = result.raters.get(usize::from(line.rater)).map_or("somebody", String::as_str);
        let _ = writeln!(
            text,
            "  {name}: {} over {} feet of {} children",
            limits(&line.bias),
            line.n,
            line.children
        );
        let _ = writeln!(text, "    {}", line.sentence);
    }
    let _ = writeln!(
        text,
        "\n{} pairs had a score corrected after both were saved and count as first scored; {} second scores have no first score and do not count.",
        found.amended, found.unpaired
    );
    let _ = writeln!(
        text,
        "Kappa is weighted linearly for signs and quadratically for sums; 95 % limits by resampling children 1,000 times. “Still to be scored” is the number of feet until the limits of kappa are within {USEFUL} of it. Published pairs scored other feet; none is a target. Small numbers are included: use --csv for a table that may leave the clinic."
    );
    text
}

fn one(text: &mut String, item: &ItemAgreement) {
    let _ = writeln!(text, "\n{}: {} feet of {} children", item.item.words(), item.n, item.children);
    let same = item.same.map_or_else(String::new, |same| format!("  the same in {:.0} %", 100.0 * same));
    let _ = writeln!(text, "{same}");
    let figures = [
        ("weighted kappa", item.kappa.as_ref()),
        ("kappa, no weights", item.plain_kappa.as_ref()),
        ("ICC(2,1)", item.icc.as_ref()),
    ];
    for (name, estimate) in figures.into_iter().filter_map(|(name, one)| Some((name, one?))) {
        let _ = writeln!(text, "  {name:<20} {}", limits(estimate));
    }
    if let Some((low, high)) = &item.limits {
        let _ = writeln!(text, "  95 % of differences  {:.2} to {:.2} points", low.value, high.value);
    }
    if let Some(why) = &item.why_none {
        let _ = writeln!(text, "  {why}");
    }
    match item.still_needed {
        Some(feet) => {
            let _ = writeln!(text, "  still to be scored   about {feet} feet");
        }
        None => {
            let _ = writeln!(text, "  still to be scored   cannot be told yet");
        }
    }
    let _ = writeln!(text, "  published: {}", item.item.published());
}
