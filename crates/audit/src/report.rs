//! The yearly report, as data for the page or document that presents it.
//!
//! A report leaves the clinic, so the rule for small numbers ([`crate::small`]) is applied here: withheld
//! values are not part of the report, not even in hidden form.

use crate::{
    ClinicHistory, DetailLevel, Figure, KnownBy, Measure, MeasureKind, MeasureResult, PublishedResult,
    Selection, VERSION, small,
};
use rayon::prelude::*;
use record::Day;
use serde::Serialize;

/// A yearly report.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct YearReport {
    /// The year.
    pub year: i32,
    /// The as-of day of the whole report.
    pub as_of: Day,
    /// Which entries count as known on it.
    pub known_by: KnownBy,
    /// The version of the program.
    pub version: &'static str,
    /// Children whose first cast was in the year; `None` if withheld.
    pub begun: Option<usize>,
    /// Its lines, one per measure.
    pub lines: Vec<ReportLine>,
    /// The rule for small numbers, to be printed.
    pub rule: &'static str,
    /// The caution to be printed at the end.
    pub caution: &'static str,
}

/// A measure in the report.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReportLine {
    /// The measure.
    pub measure: Measure,
    /// Its name.
    pub name: &'static str,
    /// The question it answers.
    pub question: &'static str,
    /// Who is included: those of the year, or all known by its end.
    pub of_whom: &'static str,
    /// Feet or children; `None` if withheld.
    pub n: Option<usize>,
    /// Children; `None` if withheld.
    pub children: Option<usize>,
    /// Events; `None` if withheld or if the measure counts none.
    pub events: Option<usize>,
    /// Figures; empty if withheld.
    pub figures: Vec<Figure>,
    /// Why there is no figure: too small to leave the clinic, or no data.
    pub why_none: Option<String>,
    /// How it was computed.
    pub method: &'static str,
    /// Results of published series.
    pub published: &'static [PublishedResult],
}

const OF_THE_YEAR: &str = "those whose time zero is in the year";
const OF_ALL: &str = "all known by the end of the year, because outcomes take longer than a year to occur";
const CAUTION: &str = "The figures describe the children of this clinic as recorded. Which children were treated, how severe their feet were and who stayed in care differ between clinics and years; published series are not targets.";

impl YearReport {
    /// The report of a year from the clinic as known on a day, preferably a day in or after January of the
    /// next year. Measures of time to an event include everyone whose time zero is before the end of the year.
    #[must_use]
    pub fn of(clinic: &ClinicHistory, year: i32) -> Self {
        Self::of_selection(clinic, year, &Selection::default())
    }

    /// The same for a selection, such as a site or a clinician; the days of the selection are ignored in
    /// favour of the year.
    #[must_use]
    pub fn of_selection(clinic: &ClinicHistory, year: i32, selection: &Selection) -> Self {
        let line = |measure: &Measure| line(clinic, year, selection, *measure);
        let lines: Vec<ReportLine> = Measure::ALL.par_iter().map(line).collect();
        let begun =
            lines.iter().find(|line| line.measure == Measure::AgeFirstCast).and_then(|line| line.children);
        Self {
            year,
            as_of: clinic.as_of,
            known_by: clinic.known_by,
            version: VERSION,
            begun,
            lines,
            rule: small::RULE,
            caution: CAUTION,
        }
    }
}

/// First and last day of a year.
fn ends(year: i32) -> (Option<Day>, Option<Day>) {
    (Day::new(year, 1, 1).ok(), Day::new(year, 12, 31).ok())
}

fn line(clinic: &ClinicHistory, year: i32, selection: &Selection, measure: Measure) -> ReportLine {
    let definition = measure.definition();
    let long = matches!(
        definition.kind,
        MeasureKind::FreeOf | MeasureKind::Incidence | MeasureKind::Wear | MeasureKind::Missing
    );
    let (from, to) = ends(year);
    let selection = Selection { from: if long { None } else { from }, to, ..*selection };
    let answer = MeasureResult::of(clinic, &selection, measure, DetailLevel::Overview);
    let withheld = small::is_small(&answer.counted);
    let of_whom = if long { OF_ALL } else { OF_THE_YEAR };
    let withheld_words = || format!("Withheld: {}", small::RULE);
    let why_none = if withheld { Some(withheld_words()) } else { answer.why_none.clone() };
    ReportLine {
        measure,
        name: definition.name,
        question: definition.question,
        of_whom,
        n: (!withheld).then_some(answer.counted.n),
        children: (!withheld).then_some(answer.counted.children),
        events: answer.counted.events.filter(|_| !withheld),
        why_none,
        figures: if withheld { Vec::new() } else { shown_figures(answer) },
        method: definition.method,
        published: measure.published(),
    }
}

/// The figures that may leave the clinic. Of wear each quarter counts its own children.
fn shown_figures(answer: MeasureResult) -> Vec<Figure> {
    let MeasureResult { definition, mut figures, wear, .. } = answer;
    if definition.kind == MeasureKind::Wear {
        let known = wear.iter().filter(|line| line.hours.is_some());
        let mut shown = known.map(|line| line.children >= small::FEWEST_SHOWN);
        figures.retain(|_| shown.next().unwrap_or(false));
    }
    figures
}
