//! What a yearly report says: the view for whoever sets it as a document.
//!
//! A report leaves the clinic, so the rule for small numbers is applied here and nowhere else
//! ([`crate::small`]): what is withheld is not in it, not even hidden.

use crate::{Answer, Clinic, Depth, Figure, Kind, KnownBy, Measure, Published, Selection, VERSION, small};
use rayon::prelude::*;
use record::Day;
use serde::Serialize;

/// A yearly report.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct YearReport {
    /// The year.
    pub year: i32,
    /// As of which day everything is told.
    pub as_of: Day,
    /// Which entries count as known on it.
    pub known_by: KnownBy,
    /// By which version.
    pub version: &'static str,
    /// Children whose first cast lay in the year; `None` where withheld.
    pub begun: Option<usize>,
    /// Its parts.
    pub lines: Vec<ReportLine>,
    /// The rule for small numbers, to be printed.
    pub rule: &'static str,
    /// To be printed at the end.
    pub caution: &'static str,
}

/// A measure of the report.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReportLine {
    /// Which.
    pub measure: Measure,
    /// Its name.
    pub name: &'static str,
    /// The question it answers.
    pub question: &'static str,
    /// Of whom: the year's own, or all known by its end.
    pub of_whom: &'static str,
    /// Feet or children; `None` where withheld.
    pub n: Option<usize>,
    /// Children; `None` where withheld.
    pub children: Option<usize>,
    /// Events; `None` where withheld or where a measure has none.
    pub events: Option<usize>,
    /// Figures; none where withheld.
    pub figures: Vec<Figure>,
    /// Why there is no figure: too small to leave, or nothing to compute from.
    pub why_none: Option<String>,
    /// How it was computed.
    pub method: &'static str,
    /// Published series beside it.
    pub published: &'static [Published],
}

const OF_THE_YEAR: &str = "those whose time zero lies in the year";
const OF_ALL: &str = "all known by the end of the year, because outcomes take longer than a year to come";
const CAUTION: &str = "Figures describe the children of this clinic as written down. Who was treated, how severe they were and who stayed differ between clinics and years; published series are no targets.";

impl YearReport {
    /// The report of a year from the clinic as known on a day, best one in or after January of the next
    /// year. Measures of time to an event take everyone whose time zero lies before the end of the year.
    #[must_use]
    pub fn of(clinic: &Clinic, year: i32) -> Self {
        Self::of_selection(clinic, year, &Selection::default())
    }

    /// The same of a site or a clinician, or of whomever else is selected; days of the selection do not
    /// count beside those of the year.
    #[must_use]
    pub fn of_selection(clinic: &Clinic, year: i32, selection: &Selection) -> Self {
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

fn line(clinic: &Clinic, year: i32, selection: &Selection, measure: Measure) -> ReportLine {
    let definition = measure.definition();
    let long = matches!(definition.kind, Kind::FreeOf | Kind::Incidence | Kind::Wear | Kind::Missing);
    let (from, to) = ends(year);
    let selection = Selection { from: if long { None } else { from }, to, ..*selection };
    let answer = Answer::of(clinic, &selection, measure, Depth::Overview);
    let withheld = small::is_small(&answer.counted);
    let mut figures = answer.figures;
    if definition.kind == Kind::Wear {
        // Each quarter rests on its own children.
        let shown = answer
            .wear
            .iter()
            .filter(|line| line.hours.is_some())
            .map(|line| line.children >= small::FEWEST_SHOWN);
        let mut shown = shown.collect::<Vec<_>>().into_iter();
        figures.retain(|_| shown.next().unwrap_or(false));
    }
    let withheld_words = || format!("Withheld: {}", small::RULE);
    ReportLine {
        measure,
        name: definition.name,
        question: definition.question,
        of_whom: if long { OF_ALL } else { OF_THE_YEAR },
        n: (!withheld).then_some(answer.counted.n),
        children: (!withheld).then_some(answer.counted.children),
        events: answer.counted.events.filter(|_| !withheld),
        why_none: if withheld { Some(withheld_words()) } else { answer.why_none },
        figures: if withheld { Vec::new() } else { figures },
        method: definition.method,
        published: measure.published(),
    }
}
