//! The result of a measure: figures with their method, numbers and as-of day.

use crate::{
    Case, Cases, ClinicHistory, Definition, ExclusionReason, GroupBy, KnownBy, Measure, Selection,
    chart::ControlChart,
    classes::classes,
    curve::{self, Curve},
    definition::MeasureKind,
    figure::{CaseCounts, Estimate, Figure, VERSION, counted, figure},
    funnel::{FunnelChart, funnel},
    ratio::{Ratio, middle},
    tables::{FieldLine, WearLine, missing, wear},
    time::{OverTime, YearChange, over_time},
};
use rayon::prelude::*;
use record::Day;
use serde::Serialize;

/// A measure within one class, such as a site.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Group {
    /// Number of the site or clinician, the year, or the place of the class in its list.
    pub code: i32,
    /// Numbers of cases.
    pub counted: CaseCounts,
    /// The main figure; `None` if there is no case to compute it from.
    pub figure: Option<Figure>,
    /// Whether the value the measure needs is recorded for anyone; if not, there is no figure.
    pub recorded: bool,
}

/// The same outcome by another definition.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AlternativeResult {
    /// Which measure.
    pub measure: Measure,
    /// Its name, which includes the definition.
    pub name: &'static str,
    /// Numbers of cases.
    pub counted: CaseCounts,
    /// Its figures, the main one first.
    pub figures: Vec<Figure>,
    /// The curve of its event.
    pub curve: Option<Curve>,
}

/// A measure broken down by one property.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Breakdown {
    /// The property.
    pub by: GroupBy,
    /// The classes that are not empty.
    pub groups: Vec<Group>,
}

/// The number left out of the cohort for one reason.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Exclusion {
    /// The reason.
    pub reason: ExclusionReason,
    /// Number of feet or children.
    pub n: u32,
}

/// The result of a measure for a clinic as known on a day.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MeasureResult {
    /// Which.
    pub measure: Measure,
    /// Its definition.
    pub definition: &'static Definition,
    /// The as-of day.
    pub as_of: Day,
    /// Which entries count as known on it.
    pub known_by: KnownBy,
    /// The version of the program.
    pub version: &'static str,
    /// Whose results.
    pub selection: Selection,
    /// Numbers of cases.
    pub counted: CaseCounts,
    /// The figures, the main one first.
    pub figures: Vec<Figure>,
    /// Why there is no figure.
    pub why_none: Option<String>,
    /// Those left out, by reason.
    pub left_out: Vec<Exclusion>,
    /// For how many the value is recorded, for measures that take a missing value as no event.
    pub recorded: Option<usize>,
    /// Events that came after the end of treatment and do not count.
    pub after_end: u32,
    /// The curves of a time to an event: the event first, then the competing events.
    pub curves: Vec<Curve>,
    /// The same outcome by another definition, if there is one; `None` in an overview.
    pub other: Option<AlternativeResult>,
    /// The control chart over time.
    pub chart: Option<ControlChart>,
    /// What changed between the last two years.
    pub change: YearChange,
    /// By site, clinician, year, severity, aetiology and side; empty in an overview.
    pub by: Vec<Breakdown>,
    /// Funnel plots of sites and of clinicians; empty in an overview.
    pub funnels: Vec<FunnelChart>,
    /// Wear by quarter of bracing.
    pub wear: Vec<WearLine>,
    /// Fields and how often they are recorded.
    pub fields: Vec<FieldLine>,
}

/// How much is computed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DetailLevel {
    /// Figures, curves and what changed.
    Overview,
    /// Everything.
    Full,
}

/// Every measure at once, for the page of results.
#[must_use]
pub fn results(clinic: &ClinicHistory, selection: &Selection) -> Vec<MeasureResult> {
    Measure::ALL
        .par_iter()
        .map(|measure| MeasureResult::of(clinic, selection, *measure, DetailLevel::Overview))
        .collect()
}

impl MeasureResult {
    /// One measure.
    #[must_use]
    pub fn of(clinic: &ClinicHistory, selection: &Selection, measure: Measure, depth: DetailLevel) -> Self {
        let definition = measure.definition();
        let mut answer = Self {
            measure,
            definition,
            as_of: clinic.as_of,
            known_by: clinic.known_by,
            version: VERSION,
            selection: *selection,
            counted: CaseCounts::default(),
            figures: Vec::new(),
            why_none: None,
            left_out: Vec::new(),
            recorded: None,
            after_end: 0,
            curves: Vec::new(),
            other: None,
            chart: None,
            change: YearChange::none(),
            by: Vec::new(),
            funnels: Vec::new(),
            wear: Vec::new(),
            fields: Vec::new(),
        };
        match definition.kind {
            MeasureKind::Wear => answer.of_wear(clinic, selection),
            MeasureKind::Missing => answer.of_fields(clinic, selection),
            _ => answer.of_cases(clinic, selection, depth),
        }
        if answer.figures.is_empty() {
            answer.why_none = Some(why_none(&answer));
        }
        answer
    }

    /// What has to be known next to the figures, in sentences.
    #[must_use]
    pub fn notes(&self) -> Vec<String> {
        let unit = self.definition.unit;
        let recorded = self.recorded.filter(|n| *n > 0).map(|n| {
            format!(
                "How the brace was tolerated is recorded for {n} of {}; for the others a missing record counts as tolerated.",
                unit.count(self.counted.n)
            )
        });
        let after_end = (self.after_end > 0).then(|| {
            format!(
                "In {} the event occurred after the end of treatment and does not count: it is seen only in those who come back because of it.",
                unit.count(self.after_end as usize)
            )
        });
        recorded.into_iter().chain(after_end).collect()
    }

    fn of_cases(&mut self, clinic: &ClinicHistory, selection: &Selection, depth: DetailLevel) {
        let Cases { cases, left_out, after_end } = Cases::of(clinic, selection, self.measure);
        let reasons = ExclusionReason::ALL.into_iter().zip(left_out).filter(|(_, n)| *n > 0);
        self.left_out = reasons.map(|(reason, n)| Exclusion { reason, n }).collect();
        self.after_end = after_end;
        self.counted = counted(self.definition.kind, &cases);
        if self.measure == Measure::BraceTolerance {
            self.recorded = Some(cases.iter().filter(|case| case.recorded).count());
        }
        if !recorded(&cases) {
            // A value that nobody recorded gives neither a figure nor a change.
            self.counted.events = None;
            self.counted.event_children = None;
            self.counted.free_children = None;
            return;
        }
        self.curves = curve::curves(self.measure, &cases);
        self.figures = figures(self.measure, &cases, &self.curves);
        let OverTime { chart, change } = over_time(self.measure, &cases, clinic.as_of);
        (self.chart, self.change) = (chart, change);
        if depth == DetailLevel::Full {
            self.other = self.measure.other().map(|other| AlternativeResult::of(clinic, selection, other));
            self.by = GroupBy::ALL.par_iter().map(|by| broken_down(self.measure, &cases, *by)).collect();
            self.funnels = [GroupBy::Site, GroupBy::Clinician]
                .into_iter()
                .filter_map(|by| funnel(self.measure, &cases, by))
                .collect();
        }
    }

    fn of_wear(&mut self, clinic: &ClinicHistory, selection: &Selection) {
        let (lines, children) = wear(clinic, selection, self.measure == Measure::WearLogged);
        self.counted = CaseCounts { n: children, children, ..CaseCounts::default() };
        self.figures = lines
            .iter()
            .filter_map(|line| {
                let estimate = Estimate { value: line.hours?, lower: line.lower, upper: line.upper };
                Some(Figure { label: line.label.clone(), estimate })
            })
            .collect();
        self.wear = lines;
        self.change =
            YearChange::not_compared("Wear is shown by quarter of bracing, not over calendar time.");
    }

    fn of_fields(&mut self, clinic: &ClinicHistory, selection: &Selection) {
        let lines = missing(clinic, selection);
        self.counted = lines.counted;
        self.figures = lines.all.into_iter().collect();
        self.fields = lines.fields;
        self.change =
            YearChange::not_compared("Fields are counted as of the as-of day, not over calendar time.");
    }
}

impl AlternativeResult {
    fn of(clinic: &ClinicHistory, selection: &Selection, measure: Measure) -> Self {
        let cases = Cases::of(clinic, selection, measure).cases;
        let curves = curve::curves(measure, &cases);
        Self {
            measure,
            name: measure.definition().name,
            counted: counted(measure.definition().kind, &cases),
            figures: figures(measure, &cases, &curves),
            curve: curves.into_iter().next(),
        }
    }
}

/// Whether the value the measure needs is recorded for any case.
fn recorded(cases: &[Case]) -> bool {
    cases.iter().any(|case| case.recorded)
}

/// Why a measure has no figure.
fn why_none(answer: &MeasureResult) -> String {
    let n = answer.definition.unit.count(answer.counted.n);
    if answer.counted.n == 0 {
        return "No cases match this measure and selection.".to_owned();
    }
    if answer.recorded == Some(0) {
        return format!("Not recorded: how the brace was tolerated is not recorded for any of the {n}.");
    }
    format!("Too few of the {n} have been observed long enough to give a share.")
}

/// The figures of a measure, the main one first.
fn figures(measure: Measure, cases: &[Case], curves: &[Curve]) -> Vec<Figure> {
    let kind = measure.definition().kind;
    match kind {
        MeasureKind::FreeOf | MeasureKind::Incidence => {
            let mut figures: Vec<Figure> =
                curves.first().map(|curve| curve.horizons.clone()).unwrap_or_default();
            figures.extend(curves.first().and_then(|curve| curve.median_figure()));
            figures
        }
        MeasureKind::Number => {
            let mut figures: Vec<Figure> = leading(measure, cases).into_iter().collect();
            let ratio = Ratio::of(cases);
            let limits = ratio.mean_limits();
            figures.extend(ratio.value().map(|value| figure("mean", value, limits)));
            if let Some(middle) = middle(cases) {
                figures.push(figure("first quartile", middle.quartiles.0, None));
                figures.push(figure("third quartile", middle.quartiles.1, None));
            }
            figures
        }
        _ => leading(measure, cases).into_iter().collect(),
    }
}

/// The main figure of cases that come child by child.
pub(crate) fn leading<'a>(
    measure: Measure,
    cases: impl IntoIterator<Item = &'a Case> + Clone,
) -> Option<Figure> {
    match measure.definition().kind {
        MeasureKind::Share => {
            let ratio = Ratio::of(cases);
            Some(figure("share", ratio.value()?, ratio.share_limits()))
        }
        MeasureKind::Rate => {
            let ratio = Ratio::of(cases);
            let limits = ratio.rate_limits().map(|(low, high)| (100.0 * low, 100.0 * high));
            Some(figure("per 100", 100.0 * ratio.value()?, limits))
        }
        MeasureKind::Number => Some(Figure { label: "median".to_owned(), estimate: middle(cases)?.median }),
        MeasureKind::FreeOf | MeasureKind::Incidence => {
            let cases: Vec<Case> = cases.into_iter().copied().collect();
            curve::curves(measure, &cases).into_iter().next()?.horizons.into_iter().next()
        }
        MeasureKind::Wear | MeasureKind::Missing => None,
    }
}

fn broken_down(measure: Measure, cases: &[Case], by: GroupBy) -> Breakdown {
    let kind = measure.definition().kind;
    let group = |(code, cases): &(i32, Vec<Case>)| Group {
        code: *code,
        counted: counted(kind, cases),
        figure: if recorded(cases) { leading(measure, cases) } else { None },
        recorded: recorded(cases),
    };
    Breakdown { by, groups: classes(cases, by).par_iter().map(group).collect() }
}
