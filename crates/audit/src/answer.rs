//! The answer to a measure: figures with their method, numbers and day.

use crate::{
    By, Case, Cases, Clinic, Definition, KnownBy, Measure, Reason, Selection,
    chart::ControlChart,
    classes::classes,
    curve::{self, Curve},
    definition::Kind,
    figure::{Counted, Figure, VERSION, counted, figure},
    funnel::{Funnel, funnel},
    ratio::{Ratio, middle},
    tables::{FieldLine, WearLine, missing, wear},
    time::{Change, Over, over_time},
};
use rayon::prelude::*;
use record::Day;
use serde::Serialize;

/// A measure within a class.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Group {
    /// Number of the site or clinician, the year, or the place of the class in its list.
    pub code: i32,
    /// How many.
    pub counted: Counted,
    /// The leading figure; `None` where nobody is left to compute it from.
    pub figure: Option<Figure>,
    /// Whether anybody wrote what the measure asks for; without that there is no figure.
    pub recorded: bool,
}

/// The same by another definition.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OtherLine {
    /// Which measure.
    pub measure: Measure,
    /// Its name, which says by which definition.
    pub name: &'static str,
    /// How many.
    pub counted: Counted,
    /// Its figures, the leading one first.
    pub figures: Vec<Figure>,
    /// The curve of its event.
    pub curve: Option<Curve>,
}

/// A measure along one thing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Breakdown {
    /// Along what.
    pub by: By,
    /// The classes in which there is anyone.
    pub groups: Vec<Group>,
}

/// How many of the cohort were left out, and why.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct LeftOut {
    /// Why.
    pub reason: Reason,
    /// Feet or children.
    pub n: u32,
}

/// A measure of a clinic as known on a day.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Answer {
    /// Which.
    pub measure: Measure,
    /// Its definition.
    pub definition: &'static Definition,
    /// As of which day.
    pub as_of: Day,
    /// Which entries count as known on it.
    pub known_by: KnownBy,
    /// By which version.
    pub version: &'static str,
    /// Whose.
    pub selection: Selection,
    /// How many.
    pub counted: Counted,
    /// The figures, the leading one first.
    pub figures: Vec<Figure>,
    /// Why there is none.
    pub why_none: Option<String>,
    /// Who was left out.
    pub left_out: Vec<LeftOut>,
    /// Of how many anybody wrote what the measure asks for, where silence may say that nobody did.
    pub recorded: Option<usize>,
    /// Events that came after the end of treatment and do not count.
    pub after_end: u32,
    /// The curves of a time to an event: the event first, then what excludes it.
    pub curves: Vec<Curve>,
    /// The same by another definition, where there is one; nothing in an overview.
    pub other: Option<OtherLine>,
    /// Over time.
    pub chart: Option<ControlChart>,
    /// What changed, in a sentence.
    pub change: Change,
    /// Along site, clinician, year, severity, aetiology and side; empty in an overview.
    pub by: Vec<Breakdown>,
    /// Sites and clinicians beside each other; empty in an overview.
    pub funnels: Vec<Funnel>,
    /// Wear by quarter of bracing.
    pub wear: Vec<WearLine>,
    /// Fields and how often they are written.
    pub fields: Vec<FieldLine>,
}

/// How much is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Depth {
    /// Figures, curves and what changed.
    Overview,
    /// Everything.
    Whole,
}

/// Every measure at once, for the page of results.
#[must_use]
pub fn results(clinic: &Clinic, selection: &Selection) -> Vec<Answer> {
    Measure::ALL.par_iter().map(|measure| Answer::of(clinic, selection, *measure, Depth::Overview)).collect()
}

impl Answer {
    /// One measure.
    #[must_use]
    pub fn of(clinic: &Clinic, selection: &Selection, measure: Measure, depth: Depth) -> Self {
        let definition = measure.definition();
        let mut answer = Self {
            measure,
            definition,
            as_of: clinic.as_of,
            known_by: clinic.known_by,
            version: VERSION,
            selection: *selection,
            counted: Counted::default(),
            figures: Vec::new(),
            why_none: None,
            left_out: Vec::new(),
            recorded: None,
            after_end: 0,
            curves: Vec::new(),
            other: None,
            chart: None,
            change: Change::none(),
            by: Vec::new(),
            funnels: Vec::new(),
            wear: Vec::new(),
            fields: Vec::new(),
        };
        match definition.kind {
            Kind::Wear => answer.of_wear(clinic, selection),
            Kind::Missing => answer.of_fields(clinic, selection),
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
                "How the brace was tolerated was written of {n} of {}; of the others silence counts as tolerated.",
                unit.count(self.counted.n)
            )
        });
        let after_end = (self.after_end > 0).then(|| {
            format!(
                "Of {} the event came after the end of treatment and does not count: it is seen only of those who come back because of it.",
                unit.count(self.after_end as usize)
            )
        });
        recorded.into_iter().chain(after_end).collect()
    }

    fn of_cases(&mut self, clinic: &Clinic, selection: &Selection, depth: Depth) {
        let Cases { cases, left_out, after_end } = Cases::of(clinic, selection, self.measure);
        let reasons = Reason::ALL.into_iter().zip(left_out).filter(|(_, n)| *n > 0);
        self.left_out = reasons.map(|(reason, n)| LeftOut { reason, n }).collect();
        self.after_end = after_end;
        self.counted = counted(self.definition.kind, &cases);
        if self.measure == Measure::BraceTolerance {
            self.recorded = Some(cases.iter().filter(|case| case.recorded).count());
        }
        if !recorded(&cases) {
            // That nobody wrote it says nothing about it, nor about how it changed.
            self.counted.events = None;
            self.counted.event_children = None;
            self.counted.free_children = None;
            return;
        }
        self.curves = curve::curves(self.measure, &cases);
        self.figures = figures(self.measure, &cases, &self.curves);
        let Over { chart, change } = over_time(self.measure, &cases, clinic.as_of);
        (self.chart, self.change) = (chart, change);
        if depth == Depth::Whole {
            self.other = self.measure.other().map(|other| OtherLine::of(clinic, selection, other));
            self.by = By::ALL.par_iter().map(|by| broken_down(self.measure, &cases, *by)).collect();
            self.funnels = [By::Site, By::Clinician]
                .into_iter()
                .filter_map(|by| funnel(self.measure, &cases, by))
                .collect();
        }
    }

    fn of_wear(&mut self, clinic: &Clinic, selection: &Selection) {
        let (lines, children) = wear(clinic, selection, self.measure == Measure::WearLogged);
        self.counted = Counted { n: children, children, ..Counted::default() };
        self.figures = lines
            .iter()
            .filter_map(|line| {
                Some(Figure {
                    label: line.label.clone(),
                    value: line.hours?,
                    lower: line.lower,
                    upper: line.upper,
                })
            })
            .collect();
        self.wear = lines;
        self.change = Change::said("Wear is shown by quarter of bracing, not over calendar time.");
    }

    fn of_fields(&mut self, clinic: &Clinic, selection: &Selection) {
        let lines = missing(clinic, selection);
        self.counted = lines.counted;
        self.figures = lines.all.into_iter().collect();
        self.fields = lines.fields;
        self.change =
            Change::said("Fields are counted as they stand on the as-of day, not over calendar time.");
    }
}

impl OtherLine {
    fn of(clinic: &Clinic, selection: &Selection, measure: Measure) -> Self {
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

/// Whether there is anybody, and anybody wrote what the measure asks for.
fn recorded(cases: &[Case]) -> bool {
    cases.iter().any(|case| case.recorded)
}

/// Why a measure has no figure.
fn why_none(answer: &Answer) -> String {
    let n = answer.definition.unit.count(answer.counted.n);
    if answer.counted.n == 0 {
        return "Nobody belongs to this measure as selected.".to_owned();
    }
    if answer.recorded == Some(0) {
        return format!("Not recorded: of none of the {n} did anybody write how the brace was tolerated.");
    }
    format!("Too few of the {n} are watched for long enough to read a share.")
}

/// The figures of a measure, the leading one first.
fn figures(measure: Measure, cases: &[Case], curves: &[Curve]) -> Vec<Figure> {
    let kind = measure.definition().kind;
    match kind {
        Kind::FreeOf | Kind::Incidence => {
            let mut figures: Vec<Figure> =
                curves.first().map(|curve| curve.horizons.clone()).unwrap_or_default();
            figures.extend(curves.first().and_then(|curve| curve.median_figure()));
            figures
        }
        Kind::Number => {
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

/// The leading figure of cases of one child after the other.
pub(crate) fn leading<'a>(
    measure: Measure,
    cases: impl IntoIterator<Item = &'a Case> + Clone,
) -> Option<Figure> {
    match measure.definition().kind {
        Kind::Share => {
            let ratio = Ratio::of(cases);
            Some(figure("share", ratio.value()?, ratio.share_limits()))
        }
        Kind::Rate => {
            let ratio = Ratio::of(cases);
            let limits = ratio.rate_limits().map(|(low, high)| (100.0 * low, 100.0 * high));
            Some(figure("per 100", 100.0 * ratio.value()?, limits))
        }
        Kind::Number => {
            let middle = middle(cases)?;
            Some(figure("median", middle.median, middle.lower.zip(middle.upper)))
        }
        Kind::FreeOf | Kind::Incidence => {
            let cases: Vec<Case> = cases.into_iter().copied().collect();
            curve::curves(measure, &cases).into_iter().next()?.horizons.into_iter().next()
        }
        Kind::Wear | Kind::Missing => None,
    }
}

fn broken_down(measure: Measure, cases: &[Case], by: By) -> Breakdown {
    let kind = measure.definition().kind;
    let group = |(code, cases): &(i32, Vec<Case>)| Group {
        code: *code,
        counted: counted(kind, cases),
        figure: if recorded(cases) { leading(measure, cases) } else { None },
        recorded: recorded(cases),
    };
    Breakdown { by, groups: classes(cases, by).par_iter().map(group).collect() }
}
