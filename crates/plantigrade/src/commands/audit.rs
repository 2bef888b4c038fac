//! `audit`: how well the service does, measure by measure.

use super::{Reading, SmallNumbersNotice, print, print_sorted};
use crate::{cli::AuditArgs, clock, exit::Failure, results_table};
use audit::{
    ClinicAgreement, ClinicHistory, DetailLevel, KnownBy, Measure, MeasureKind, MeasureResult, MeasureScale,
    PublishedResult, Selection, VERSION, report::YearReport, words,
};
use clinic::results_basis;
use course::PlannedIntervals;
use pages::{Choice, Names, ResultsFilter};
use rayon::prelude::*;
use record::{Day, UserId};
use serde::Serialize;
use std::fmt::Write as _;

/// Computes and prints.
///
/// # Errors
/// When the records cannot be used or a measure is not known.
pub fn audit(args: &AuditArgs) -> Result<(), Failure> {
    let measures = measures(args.measure.as_deref())?;
    let reading = Reading::open(&args.signed.data)?;
    let as_of = args.as_of.unwrap_or_else(|| reading.clock.today());
    let basis = results_basis(&reading.records.protocol(), as_of, clock::known_by(as_of, args.as_written));
    let clinic = reading.records.results_at_once(&basis)?;
    let name_of = name_of(&reading)?;
    if args.agreement {
        let found = ClinicAgreement::of(&clinic, args.from, args.to);
        let names: Vec<String> =
            found.who.iter().map(|who| results_table::clinician(who, &name_of).words).collect();
        return super::audit_agreement::agreement(args, &found, &names);
    }
    let names = names(&reading, &clinic, name_of)?;
    let filter = ResultsFilter {
        from: args.from,
        to: args.to,
        site: args.site.as_deref().map(|name| named(name, "site", &names.sites)).transpose()?,
        clinician: args
            .clinician
            .as_deref()
            .map(|name| named(name, "clinician", &names.clinicians))
            .transpose()?,
        severity: args.severity,
        aetiology: args.aetiology,
        side: args.side,
        ..ResultsFilter::default()
    };
    let selection = filter.selection(&names);
    let selected = filter.words(&names.sites, &names.clinicians);
    if let Some(year) = args.year {
        let report = YearReport::of_selection(&clinic, year, &selection);
        return super::audit_year::year(&report, selected.as_deref(), args.json);
    }
    let answers: Vec<MeasureResult> = measures
        .par_iter()
        .map(|measure| MeasureResult::of(&clinic, &selection, *measure, DetailLevel::Full))
        .collect();
    if args.csv && !args.json {
        return print(&results_table::csv(&answers, &names, selected.as_deref()));
    }
    let result = AuditResult::of(&clinic, selection, &names, &answers);
    if args.json { print_sorted(&result) } else { print(&text(&result, selected.as_deref())) }
}

/// The measures of a clinic.
#[derive(Debug, Serialize)]
struct AuditResult<'a> {
    as_of: Day,
    known_by: KnownBy,
    planned_intervals: &'a PlannedIntervals,
    children: usize,
    feet: usize,
    selection: Selection,
    sites: Vec<&'a str>,
    clinicians: Vec<&'a str>,
    measures: Vec<PublishedMeasure<'a>>,
    #[serde(flatten)]
    notice: SmallNumbersNotice,
}

/// A measure with the results of published series.
#[derive(Debug, Serialize)]
struct PublishedMeasure<'a> {
    #[serde(flatten)]
    answer: &'a MeasureResult,
    published: &'static [PublishedResult],
}

impl<'a> AuditResult<'a> {
    fn of(
        clinic: &'a ClinicHistory,
        selection: Selection,
        names: &'a Names,
        answers: &'a [MeasureResult],
    ) -> Self {
        let words = |list: &'a [Choice]| list.iter().map(|choice| choice.words.as_str()).collect();
        let measure =
            |answer: &'a MeasureResult| PublishedMeasure { answer, published: answer.measure.published() };
        Self {
            as_of: clinic.as_of,
            known_by: clinic.known_by,
            planned_intervals: &clinic.plan,
            children: clinic.children.len(),
            feet: clinic.feet(),
            selection,
            sites: words(&names.sites),
            clinicians: words(&names.clinicians),
            measures: answers.iter().map(measure).collect(),
            notice: SmallNumbersNotice::default(),
        }
    }
}

fn measures(key: Option<&str>) -> Result<Vec<Measure>, Failure> {
    let Some(key) = key else { return Ok(Measure::ALL.to_vec()) };
    let keys = || Measure::ALL.iter().map(|measure| measure.key()).collect::<Vec<_>>().join(", ");
    let found = Measure::of_key(key);
    found
        .map(|measure| vec![measure])
        .ok_or_else(|| Failure::usage(format!("There is no measure “{key}”. The measures are: {}.", keys())))
}

/// The key of a site or clinician given by name or key.
fn named(name: &str, what: &str, choices: &[Choice]) -> Result<String, Failure> {
    let found = choices.iter().find(|one| one.key == name || one.words.eq_ignore_ascii_case(name));
    let all = || choices.iter().map(|one| one.words.as_str()).collect::<Vec<_>>().join("; ");
    found
        .map(|one| one.key.clone())
        .ok_or_else(|| Failure::usage(format!("There is no {what} “{name}”. There are: {}.", all())))
}

/// The names of the users who wrote entries.
fn name_of(reading: &Reading) -> Result<impl Fn(UserId) -> String, Failure> {
    let accounts = reading.records.accounts().all()?;
    let writer = reading.records.import_writer()?;
    Ok(move |user| {
        let account =
            accounts.iter().find(|account| account.id == user).map(|account| account.display_name.clone());
        let imported = || (writer == Some(user)).then(|| "imported from a file".to_owned());
        account.or_else(imported).unwrap_or_else(|| "somebody without an account here".to_owned())
    })
}

fn names(
    reading: &Reading,
    clinic: &ClinicHistory,
    name_of: impl Fn(UserId) -> String,
) -> Result<Names, Failure> {
    let own = reading.records.own_site()?;
    let nobody = record::SiteId::new(uuid::Uuid::nil());
    let site_name = |site| reading.records.site_name(site).ok().flatten();
    let own = own.unwrap_or(nobody);
    let own_name = site_name(own).unwrap_or_else(|| "this clinic".to_owned());
    Ok(results_table::named(clinic, own, &own_name, site_name, name_of))
}

fn text(result: &AuditResult<'_>, selected: Option<&str>) -> String {
    let mut text = format!(
        "As known on {}, {}: {} children, {} feet. Plantigrade {VERSION}.\n",
        result.as_of.words(),
        result.known_by.words(),
        result.children,
        result.feet
    );
    if let Some(selected) = selected {
        let _ = writeln!(text, "Selected: {selected}.");
    }
    result.measures.iter().for_each(|measure| one(&mut text, measure));
    let _ = writeln!(
        text,
        "\nTwo feet of one child are never counted as independent. Published series differ in whom they treat and how they count; none is a target. Small numbers are included: use --csv for a table that may leave the clinic."
    );
    text
}

fn figures(text: &mut String, definition: &audit::Definition, figures: &[audit::Figure]) {
    for figure in figures {
        let timed = matches!(definition.kind, MeasureKind::FreeOf | MeasureKind::Incidence);
        let scale =
            if timed && !figure.label.starts_with("at ") { MeasureScale::Days } else { definition.scale };
        let estimate = figure.estimate;
        let limits = match (estimate.lower, estimate.upper) {
            (Some(low), Some(high)) => {
                format!("  95 % limits {} to {}", words::value(scale, low), words::value(scale, high))
            }
            _ => String::new(),
        };
        let _ = writeln!(text, "  {:<34} {:>10}{limits}", figure.label, words::value(scale, estimate.value));
    }
}

fn one(text: &mut String, measure: &PublishedMeasure<'_>) {
    let answer = measure.answer;
    let definition = answer.definition;
    let _ = writeln!(text, "\n{} ({})", definition.name, answer.measure.key());
    let counted = &answer.counted;
    let events = counted.events.map(|events| format!(", {events} events")).unwrap_or_default();
    let events = if definition.kind == MeasureKind::Missing { String::new() } else { events };
    let _ = writeln!(text, "  {} of {} children{events}", definition.unit.count(counted.n), counted.children);
    figures(text, definition, &answer.figures);
    if let Some(why) = &answer.why_none {
        let _ = writeln!(text, "  {why}");
    }
    for left in &answer.left_out {
        let _ = writeln!(text, "  left out: {} {}", left.n, left.reason.words());
    }
    for note in answer.notes() {
        let _ = writeln!(text, "  {note}");
    }
    if let Some(other) = &answer.other {
        let events = other.counted.events.unwrap_or_default();
        let _ = writeln!(text, "  by the other definition: {}, {events} events", other.name);
        figures(text, other.measure.definition(), &other.figures);
    }
    for published in measure.published {
        let _ = writeln!(text, "  published: {}, {} ({})", published.figure, published.of, published.source);
    }
    let _ = writeln!(text, "  {}", answer.change.sentence);
    let _ = writeln!(text, "  {}", definition.method);
}
