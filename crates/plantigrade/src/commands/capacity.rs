//! `capacity`: the clinic's caseload simulated with a setting, and two settings compared.

use super::{print, print_sorted};
use crate::{
    app, capacity_file,
    cli::CapacityArgs,
    clock::Clock,
    demo,
    exit::{Exit, Failure, sentence},
    folder_key,
    settings::{Settings, add_closures},
};
use caseload::{
    CAUTION, CaseloadSummary, Comparison, Difference, ReadyClinic, RunBand, Service, Setting, SizeNeed,
    Tally, difference_sentence, lead_sentences, simulate,
};
use clinic::{CaseloadCounts, ClinicRecords, Closure, CountedBy, OwnCaseload, ready_clinic};
use course::Course;
use forecast::{SeenChild, foot::Forecaster, learning::ClinicPosterior, natural_history::Parameters};
use guidance::{Outlook, Protocol};
use record::{ChildId, Day, Entry};
use serde::Serialize;
use std::{collections::BTreeMap, fmt::Write as _, path::Path};

/// Simulates and prints.
///
/// # Errors
/// When the setting or the records cannot be used.
pub fn capacity(args: &CapacityArgs) -> Result<(), Failure> {
    let closures = closures(args)?;
    let read = |path: &Path| {
        let mut setting = capacity_file::read(path)?;
        add_closures(&mut setting.closures, &closures);
        Ok::<_, Failure>(setting)
    };
    let setting = read(&args.config)?;
    let other = args.compare.as_deref().map(read).transpose()?;
    let today = Clock::new(args.signed.data.today).today();
    let (own, clinic) = own(args, &setting, today)?;
    let basis = CaseloadBasis { own: &own, clinic: &clinic, today };
    let first = Simulated::of(args, &args.config, &setting, &basis)?;
    let other = match (&args.compare, other) {
        (Some(path), Some(mut setting)) => {
            // Runs are compared in pairs, so both have the horizon of the first.
            setting.horizon_weeks = first.clinic.setting().horizon_weeks;
            Some(Simulated::of(args, path, &setting, &basis)?)
        }
        _ => None,
    };
    let comparison = other.as_ref().map(|other| Comparison::of(&first.runs, &other.runs));
    let result = CapacityResult {
        start: today,
        runs: args.runs,
        seed: args.seed,
        children: own.counts,
        referrals_per_year: first.clinic.setting().referrals.expected_per_year(),
        says: lead_sentences(&first.summary),
        summary: first.summary,
        other: other.map(|other| other.summary),
        comparison: comparison.map(|comparison| ComparisonResult {
            says: difference_sentence(&comparison),
            differences: comparison.differences,
        }),
        caution: CAUTION,
    };
    if args.json { print_sorted(&result) } else { print(&text(&result)) }
}

/// The days on which the clinic is closed; none for the invented clinic.
fn closures(args: &CapacityArgs) -> Result<Vec<Closure>, Failure> {
    if args.demo { Ok(Vec::new()) } else { Ok(Settings::read(&args.signed.data.dir()?)?.closures) }
}

/// The simulation of a setting, and its comparison with another.
#[derive(Debug, Serialize)]
struct CapacityResult {
    start: Day,
    runs: u32,
    seed: u64,
    /// How the clinic's children were counted.
    children: CaseloadCounts,
    referrals_per_year: Option<f64>,
    /// The main results, in sentences.
    says: Vec<String>,
    summary: CaseloadSummary,
    other: Option<CaseloadSummary>,
    comparison: Option<ComparisonResult>,
    caution: &'static str,
}

/// The comparison of two settings.
#[derive(Debug, Serialize)]
struct ComparisonResult {
    says: Vec<String>,
    differences: Vec<Difference>,
}

/// What a simulation starts from: the clinic's children, and what its finished feet have taught.
struct CaseloadBasis<'a> {
    own: &'a OwnCaseload,
    clinic: &'a ClinicPosterior,
    today: Day,
}

/// One setting, simulated.
struct Simulated {
    clinic: ReadyClinic,
    runs: Vec<Tally>,
    summary: CaseloadSummary,
}

impl Simulated {
    fn of(
        args: &CapacityArgs,
        path: &Path,
        setting: &Setting,
        basis: &CaseloadBasis<'_>,
    ) -> Result<Self, Failure> {
        let unusable = |error: ::caseload::SettingError| {
            Failure::settings(sentence(&format!(
                "the capacity file {} cannot be used: {error}",
                path.display()
            )))
        };
        let clinic = ready_clinic(setting, basis.own, basis.clinic, basis.today).map_err(unusable)?;
        let runs = simulate(&clinic, args.seed, args.runs);
        let summary = CaseloadSummary::of(&clinic, &runs)
            .ok_or_else(|| Failure::usage("At least one run is needed."))?;
        Ok(Self { clinic, runs, summary })
    }
}

/// The clinic's children and what they have taught: invented ones, those on record, or none.
fn own(
    args: &CapacityArgs,
    setting: &Setting,
    today: Day,
) -> Result<(OwnCaseload, ClinicPosterior), Failure> {
    if args.demo {
        return Ok(invented(args, setting, today));
    }
    let dir = args.signed.data.dir()?;
    let protocol = app::protocol(&dir)?;
    let records = match ClinicRecords::open_for_reading(&dir, protocol, folder_key::database_key(&dir)?)
        .map_err(Failure::from)
    {
        Ok(records) => records,
        // No folder was named and the usual one does not exist: a clinic that has not begun yet.
        Err(failure) if args.signed.data.data.is_none() && failure.exit == Exit::Failed && !dir.exists() => {
            return Ok((OwnCaseload::default(), ClinicPosterior::published(&Parameters::published())));
        }
        Err(failure) => return Err(failure),
    };
    let clinic = records.learn_at_once(today)?;
    let own = records.own_caseload(setting, &Forecaster::new(&clinic), today)?;
    Ok((own, clinic))
}

fn invented(args: &CapacityArgs, setting: &Setting, today: Day) -> (OwnCaseload, ClinicPosterior) {
    let mut by_child: BTreeMap<ChildId, Vec<Entry>> = BTreeMap::new();
    for entry in demo::clinic(args.children as usize, args.seed, today) {
        by_child.entry(entry.child).or_default().push(entry);
    }
    let courses = by_child.iter().map(|(child, entries)| Course::of(*child, entries, today));
    let courses: Vec<Course> = courses.collect();
    let seen: Vec<SeenChild> = courses.iter().map(|course| SeenChild::of(course).child).collect();
    let clinic = ClinicPosterior::of(&Parameters::published(), &seen, today.number());
    let (protocol, forecaster) = (Protocol::built_in(), Forecaster::new(&clinic));
    let by = CountedBy { setting, protocol: &protocol, forecaster: &forecaster };
    let mut own = OwnCaseload::default();
    for course in courses {
        own.add(&Outlook::of(course, &protocol), &by);
    }
    (own, clinic)
}

fn text(result: &CapacityResult) -> String {
    let (summary, counts) = (&result.summary, result.children);
    let mut text = String::new();
    for line in &result.says {
        text.push_str(line);
        text.push('\n');
    }
    let per_year = result.referrals_per_year.unwrap_or(0.0);
    // Writing to a string does not fail.
    let _ = writeln!(
        text,
        "\n{} runs of {} weeks from {}, seed {}. {} children at the start ({} after treatment, {} not seen for a long time and {} ended are left out), about {per_year:.0} new children a year.",
        result.runs,
        summary.weeks,
        summary.start.words(),
        result.seed,
        counts.taken,
        counts.after_treatment,
        counts.not_seen,
        counts.ended,
    );
    for service in Service::ALL {
        weeks(&mut text, summary, service);
    }
    waits(&mut text, summary);
    sizes(&mut text, "Pairs of boots, by foot length in mm (Mondopoint)", &summary.boots);
    sizes(&mut text, "Bars, by length in mm", &summary.bars);
    if let Some(comparison) = &result.comparison {
        side_by_side(&mut text, comparison);
    }
    let _ = writeln!(text, "\n{}", result.caution);
    text
}

fn weeks(text: &mut String, summary: &CaseloadSummary, service: Service) {
    let _ = writeln!(
        text,
        "\nWeek from    {} needed: median, half of runs, nine in ten; available; short in",
        service.places()
    );
    for week in summary.service(service) {
        let RunBand { low90, low50, middle, high50, high90 } = week.needed;
        let _ = writeln!(
            text,
            "{}   {middle:>5.0}   {:<9}  {:<9} {:>4}   {:>3.0} % of runs",
            week.from,
            format!("{low50:.0}–{high50:.0}"),
            format!("{low90:.0}–{high90:.0}"),
            week.places,
            100.0 * week.short
        );
    }
}

fn days(band: Option<RunBand>) -> String {
    band.map_or_else(
        || "none".to_owned(),
        |band| format!("{:.1} ({:.1}–{:.1})", band.middle, band.low90, band.high90),
    )
}

fn waits(text: &mut String, summary: &CaseloadSummary) {
    let _ = writeln!(text, "\nWaits in days: mean, nine in ten within, still waiting at the end");
    for wait in &summary.waits {
        let _ = writeln!(
            text,
            "{:28} {:20} {:20} {:.0} ({:.0}–{:.0})",
            wait.words,
            days(wait.mean_days),
            days(wait.nine_in_ten_days),
            wait.still_waiting.middle,
            wait.still_waiting.low90,
            wait.still_waiting.high90
        );
    }
}

fn sizes(text: &mut String, title: &str, quarters: &[Vec<SizeNeed>]) {
    let _ = writeln!(text, "\n{title}, needed in each 13 weeks: median (nine in ten runs)");
    for (n, quarter) in quarters.iter().enumerate() {
        let each = quarter.iter().map(|need| {
            format!(
                "{}: {:.0} ({:.0}–{:.0})",
                need.size_mm, need.needed.middle, need.needed.low90, need.needed.high90
            )
        });
        let _ = writeln!(text, "  {}. {}", n + 1, each.collect::<Vec<_>>().join(", "));
    }
}

fn side_by_side(text: &mut String, comparison: &ComparisonResult) {
    let _ = writeln!(text, "\nSide by side: this setting, the other, the change (nine in ten runs)");
    for one in &comparison.differences {
        let _ = writeln!(
            text,
            "{:52} {:20} {:20} {}",
            one.measure.words(),
            days(one.first),
            days(one.other),
            days(one.change)
        );
    }
    for line in &comparison.says {
        text.push_str(line);
        text.push('\n');
    }
}
