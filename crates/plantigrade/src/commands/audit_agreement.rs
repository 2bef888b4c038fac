//! `audit --agreement`: do the raters agree?

use super::{print, print_json};
use crate::{agreement_table, cli::AuditArgs, exit::Failure};
use audit::{
    ClinicAgreement, VERSION,
    raters::{Estimate, ItemAgreement, USEFUL},
    small,
};
use serde_json::{Value, json};
use std::fmt::Write as _;

/// Prints what the pairs of a clinic say of its raters; `names` are those of the raters by their place.
///
/// # Errors
/// When it cannot be printed.
pub fn agreement(args: &AuditArgs, found: &ClinicAgreement, names: &[String]) -> Result<(), Failure> {
    if args.json {
        return print_json(&document(found, names));
    }
    if args.csv {
        return print(&agreement_table::csv(found));
    }
    print(&text(found, names))
}

fn document(found: &ClinicAgreement, names: &[String]) -> Value {
    let mut value = json!(found);
    value["raters"] = json!(names);
    value["published"] = found
        .agreement
        .items
        .iter()
        .map(|item| (item.item.key().to_owned(), json!(item.item.published())))
        .collect::<serde_json::Map<_, _>>()
        .into();
    value["version"] = json!(VERSION);
    value["not_for_outside"] =
        json!("These numbers are whole. Use --csv for a table that may leave the clinic.");
    value["small_numbers"] = json!(small::RULE);
    value
}

fn limits(estimate: &Estimate) -> String {
    match (estimate.lower, estimate.upper) {
        (Some(low), Some(high)) => format!("{:.2} ({low:.2} to {high:.2})", estimate.value),
        _ => format!("{:.2}", estimate.value),
    }
}

fn text(found: &ClinicAgreement, names: &[String]) -> String {
    let all = &found.agreement;
    let mut text = format!(
        "Do the raters agree? As known on {}, {}: {} feet of {} children scored by two people blind. Plantigrade {VERSION}.\n",
        all.as_of.words(),
        found.known_by.words(),
        all.n,
        all.children
    );
    if all.n == 0 {
        text.push_str("No foot has been scored twice in these days.\n");
        return text;
    }
    all.items.iter().filter(|item| item.n > 0).for_each(|item| one(&mut text, item));
    let _ = writeln!(text, "\nWho drifts: own Pirani total less the other's, in points");
    for line in &all.raters {
        let name = names.get(usize::from(line.rater)).map_or("somebody", String::as_str);
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
        "\n{} pairs had a score corrected after both were written and count as they were made; {} second scores belong to no first one and do not count.",
        found.amended, found.unpaired
    );
    let _ = writeln!(
        text,
        "Kappa is weighted linearly for signs and quadratically for sums; 95 % limits by drawing children again 1,000 times. “Still to be scored” reckons until the limits of kappa lie within {USEFUL} to either side. Published pairs scored other feet; none is a target. These numbers are whole: use --csv for a table that may leave the clinic."
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
            let _ = writeln!(text, "  still to be scored   cannot be said yet");
        }
    }
    let _ = writeln!(text, "  published: {}", item.item.published());
}
