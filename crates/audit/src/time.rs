//! Over calendar time: a control chart, and the last year beside the one before in a sentence.
//!
//! Shares, numbers and rates count on the day their value was known, so that feet still on the way do
//! not make the last months look better than they are. Times to an event count as events per hundred
//! years under observation within each stretch of the calendar.

use crate::{
    Case, Measure,
    cases::timed,
    definition::{Kind, Scale, Unit},
    ratio::{PairedSums, Ratio, difference},
    spread,
    verdict::{Late, Verdict, verdict, which},
    words,
};
use record::Day;
use serde::Serialize;
use statistics::control::{
    Chart, g_chart, p_chart, p_prime_chart, run_chart, u_chart, u_prime_chart, xmr_chart,
};

/// Days of a year under observation.
const YEAR_DAYS: f64 = 365.25;
/// Most points of a chart.
const POINTS: usize = 40;
/// Fewest feet or children a point should have on average.
const EACH: f64 = 8.0;
/// Fewest points of which a chart is made.
pub(crate) const FEWEST_POINTS: usize = 6;

/// Which chart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum ChartKind {
    /// Shares.
    P,
    /// Rates.
    U,
    /// Single measurements.
    Xmr,
    /// How many between rare events.
    G,
}

impl ChartKind {
    /// The name as it is printed.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::P => "p chart",
            Self::U => "u chart",
            Self::Xmr => "XmR chart",
            Self::G => "g chart",
        }
    }

    /// Why this one.
    #[must_use]
    pub const fn why(self) -> &'static str {
        match self {
            Self::P => {
                "A p chart, because each point is a share of those who reached their outcome then. Its limits use the effective number of independent feet."
            }
            Self::U => {
                "A u chart, because each point is a number of events over an exposure that differs from point to point. Its limits allow for two feet of one child."
            }
            Self::Xmr => {
                "An XmR chart of the means, because a mean of days or casts follows no binomial or Poisson law; the limits come from how far neighbouring points differ."
            }
            Self::G => {
                "A g chart, because the event is too rare for shares: each point is how many newly came between one event and the next. Low runs mean it has become more common."
            }
        }
    }
}

/// A point of a chart.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ControlPoint {
    /// First day.
    pub from: Day,
    /// Last day.
    pub to: Day,
    /// Feet, children, casts or years under observation.
    pub of: f64,
    /// Events, where there are events.
    pub events: Option<f64>,
    /// The value.
    pub value: f64,
    /// Lower limit.
    pub lower: f64,
    /// Upper limit.
    pub upper: f64,
    /// Whether it lies outside its limits.
    pub outside: bool,
}

/// A control chart.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ControlChart {
    /// Which.
    pub kind: ChartKind,
    /// What a value is, in words.
    pub value_words: String,
    /// Centre line.
    pub centre: f64,
    /// Points in order.
    pub points: Vec<ControlPoint>,
    /// By how much feet of one child going together widens the limits.
    pub design_effect: f64,
    /// How many times as wide as chance alone gives the limits are drawn, where points are more spread.
    pub widened: Option<f64>,
    /// Whether runs and trends say that more than chance is at work.
    pub runs: bool,
}

impl ControlChart {
    /// Why this chart, and why its limits are wider than chance alone gives, where they are.
    #[must_use]
    pub fn why(&self) -> String {
        let kind = self.kind.why();
        self.widened.map_or_else(
            || kind.to_owned(),
            |times| {
                format!(
                    "{kind} Limits widened {times:.1} times, because neighbouring points differ more than chance alone would make them (Laney 2002)."
                )
            },
        )
    }
}

/// What changed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Change {
    /// In sentences: the years, the chart, and which of the two says what.
    pub sentence: String,
    /// What is to be thought of it.
    pub verdict: Verdict,
    /// The last year less the one before: value, limits and p, where it can be computed.
    pub difference: Option<(f64, f64, f64, f64)>,
}

impl Change {
    pub(crate) fn none() -> Self {
        Self::said("Nothing to compare yet.")
    }

    pub(crate) fn said(sentence: &str) -> Self {
        Self { sentence: sentence.to_owned(), verdict: Verdict::TooFew, difference: None }
    }
}

/// Both.
pub(crate) struct Over {
    pub chart: Option<ControlChart>,
    pub change: Change,
}

/// A measure over time.
pub(crate) fn over_time(measure: Measure, cases: &[Case], as_of: Day) -> Over {
    let kind = measure.definition().kind;
    if measure == Measure::Correction {
        let settled = within_six_months(cases, as_of.number());
        return of_kind((measure, Kind::Share), &settled, as_of);
    }
    of_kind((measure, kind), cases, as_of)
}

fn of_kind(of: (Measure, Kind), cases: &[Case], as_of: Day) -> Over {
    let chart = chart(of, cases, as_of);
    let change = change(of, cases, as_of, chart.as_ref());
    Over { chart, change }
}

/// Correction is reached within months by nearly every foot: over time it is the share braced within six
/// months of the first cast, each foot counted on the day its six months were over.
fn within_six_months(cases: &[Case], as_of: i32) -> Vec<Case> {
    const SIX_MONTHS: i32 = 182;
    let ripe = cases.iter().filter(|case| case.enter == 0 && case.zero + SIX_MONTHS <= as_of);
    let settled = |case: &Case| Case {
        at: case.zero + SIX_MONTHS,
        value: if case.cause == 1 && case.time <= SIX_MONTHS { 1.0 } else { 0.0 },
        ..*case
    };
    ripe.map(settled).collect()
}

/// What a case gives to a stretch of days, both ends in it: y and x.
fn gives(case: &Case, timed: bool, (from, to): (i32, i32)) -> (f64, f64) {
    if !timed {
        let within = (from..=to).contains(&case.at);
        return if within { (case.value.into(), case.of.into()) } else { (0.0, 0.0) };
    }
    let end = case.zero + (case.time - case.enter);
    // At risk on the days after time zero up to the end.
    let days = end.min(to) - case.zero.max(from - 1);
    let event = case.cause == 1 && (from..=to).contains(&end);
    (f64::from(u8::from(event)), f64::from(days.max(0)) / YEAR_DAYS)
}

/// A stretch of the calendar with its sums.
struct Stretch {
    from: i32,
    to: i32,
    y: f64,
    x: f64,
    n: usize,
}

/// Stretches of so many months, the last one ending on the as-of day.
fn stretches(as_of: Day, first: i32, months: i32) -> Vec<Stretch> {
    let mut all = Vec::new();
    let mut to = as_of;
    while to.number() >= first && all.len() < POINTS {
        let before = as_of.plus_months(-months * (all.len() as i32 + 1));
        all.push(Stretch { from: before.number() + 1, to: to.number(), y: 0.0, x: 0.0, n: 0 });
        to = before;
    }
    all.reverse();
    all
}

fn fill(stretches: &mut [Stretch], cases: &[Case], timed: bool) {
    for case in cases {
        let (begin, end) =
            if timed { (case.zero, case.zero + (case.time - case.enter)) } else { (case.at, case.at) };
        let first = stretches.partition_point(|stretch| stretch.to < begin);
        for stretch in &mut stretches[first..] {
            if stretch.from > end {
                break;
            }
            let (y, x) = gives(case, timed, (stretch.from, stretch.to));
            stretch.y += y;
            stretch.x += x;
            stretch.n += usize::from(x > 0.0);
        }
    }
}

fn chart(of: (Measure, Kind), cases: &[Case], as_of: Day) -> Option<ControlChart> {
    let timed = timed(of.1);
    let events = cases.iter().filter(|case| case.cause == 1).count();
    let first = cases.iter().map(|case| if timed { case.zero } else { case.at }).min()?;
    for months in [3, 6, 12] {
        let mut stretches = stretches(as_of, first, months);
        fill(&mut stretches, cases, timed);
        stretches.retain(|stretch| stretch.x > 0.0);
        let points = stretches.len().max(1) as f64;
        let each = if timed { events as f64 } else { cases.len() as f64 } / points;
        let enough = if timed { each >= 2.0 } else { each >= EACH };
        if stretches.len() >= FEWEST_POINTS && (enough || (months == 12 && !timed)) {
            return drawn(of, cases, &stretches);
        }
    }
    if timed { rare(cases) } else { None }
}

fn drawn(of: (Measure, Kind), cases: &[Case], stretches: &[Stretch]) -> Option<ControlChart> {
    let (measure, kind) = of;
    let timed = timed(kind);
    let effect = effect(cases, timed);
    let y: Vec<f64> = stretches.iter().map(|stretch| stretch.y / effect).collect();
    let x: Vec<f64> = stretches.iter().map(|stretch| stretch.x / effect).collect();
    let values: Vec<f64> = stretches.iter().map(|stretch| stretch.y / stretch.x).collect();
    let (which, (chart, widened)) = match kind {
        Kind::Share => (ChartKind::P, spread::allowed_for(p_chart(&y, &x).ok()?, p_prime_chart(&y, &x).ok())),
        Kind::Number => (ChartKind::Xmr, (xmr_chart(&values).ok()?.values, None)),
        _ => (ChartKind::U, spread::allowed_for(u_chart(&y, &x).ok()?, u_prime_chart(&y, &x).ok())),
    };
    let hundred = if which == ChartKind::U { 100.0 } else { 1.0 };
    let least = if measure.definition().scale == Scale::Share || kind != Kind::Number {
        0.0
    } else {
        f64::NEG_INFINITY
    };
    let point = |(stretch, point): (&Stretch, &statistics::control::ChartPoint)| ControlPoint {
        from: Day::from_number(stretch.from),
        to: Day::from_number(stretch.to),
        of: stretch.x,
        events: (kind != Kind::Number).then_some(stretch.y),
        value: hundred * point.value,
        lower: (hundred * point.lower).max(least),
        upper: hundred * point.upper,
        outside: point.outside,
    };
    Some(ControlChart {
        kind: which,
        value_words: value_words(of),
        centre: hundred * chart.centre,
        points: stretches.iter().zip(&chart.points).map(point).collect(),
        design_effect: effect,
        widened,
        runs: runs(&chart),
    })
}

/// What the values of a chart are.
fn value_words((measure, kind): (Measure, Kind)) -> String {
    let definition = measure.definition();
    match (kind, definition.scale) {
        _ if measure == Measure::Correction => "share braced within six months of the first cast".to_owned(),
        (Kind::Share, _) => format!("share of {} that reached their outcome then", definition.unit.words()),
        (Kind::Number, Scale::Days) => "mean days".to_owned(),
        (Kind::Number, _) => "mean number".to_owned(),
        (Kind::Rate, _) => "problems per 100 casts".to_owned(),
        _ => format!("events per 100 {}-years", if definition.unit == Unit::Foot { "foot" } else { "child" }),
    }
}

fn effect(cases: &[Case], timed: bool) -> f64 {
    let mut ratio = Ratio::default();
    for case in cases {
        let x = if timed { f64::from(case.time - case.enter) / YEAR_DAYS } else { case.of.into() };
        ratio.add(case.child, case.value.into(), x);
    }
    ratio.done().design_effect()
}

fn runs(chart: &Chart) -> bool {
    let values: Vec<f64> = chart.points.iter().map(|point| point.value).collect();
    values.len() >= 2 * FEWEST_POINTS && run_chart(&values).is_ok_and(|run| run.signal())
}

/// How many newly came between one event and the next.
fn rare(cases: &[Case]) -> Option<ControlChart> {
    let end = |case: &Case| case.zero + (case.time - case.enter);
    let mut days: Vec<i32> = cases.iter().filter(|case| case.cause == 1).map(end).collect();
    days.sort_unstable();
    days.dedup();
    if days.len() < FEWEST_POINTS {
        return None;
    }
    let mut zeros: Vec<i32> = cases.iter().map(|case| case.zero).collect();
    zeros.sort_unstable();
    let begun = |day: i32| zeros.partition_point(|zero| *zero <= day);
    let between: Vec<f64> = days.windows(2).map(|pair| (begun(pair[1]) - begun(pair[0])) as f64).collect();
    let chart = g_chart(&between).ok()?;
    let point = |(days, point): (&[i32], &statistics::control::ChartPoint)| ControlPoint {
        from: Day::from_number(days[0]),
        to: Day::from_number(days[1]),
        of: point.value,
        events: Some(1.0),
        value: point.value,
        lower: point.lower,
        upper: point.upper,
        outside: point.outside,
    };
    Some(ControlChart {
        kind: ChartKind::G,
        value_words: "newly begun between one event and the next".to_owned(),
        centre: chart.centre,
        points: days.windows(2).zip(&chart.points).map(point).collect(),
        design_effect: 1.0,
        widened: None,
        runs: runs(&chart),
    })
}

/// Fewest of each year between which a comparison is made.
const FEWEST: usize = 5;

fn change(of: (Measure, Kind), cases: &[Case], as_of: Day, chart: Option<&ControlChart>) -> Change {
    let timed = timed(of.1);
    let years = [(as_of.number() - 729, as_of.number() - 365), (as_of.number() - 364, as_of.number())];
    let mut sums = [Ratio::default(), Ratio::default()];
    let mut pairs = Vec::new();
    for case in cases {
        let [first, second] = years.map(|year| gives(case, timed, year));
        for (sum, (y, x)) in sums.iter_mut().zip([first, second]) {
            if x > 0.0 {
                sum.add(case.child, y, x);
            }
        }
        if first.1 > 0.0 || second.1 > 0.0 {
            pairs.push(PairedSums { child: case.child, first, second });
        }
    }
    let [before, now] = sums.map(Ratio::done);
    let enough = before.n >= FEWEST && now.n >= FEWEST && (!timed || before.y + now.y >= FEWEST as f64);
    let found = if enough { difference(&pairs) } else { None };
    let late = Late::of(chart, as_of);
    let verdict = verdict(found.as_ref(), late);
    let mut sentences = vec![words::change(of, &before, &now, found.as_ref(), as_of)];
    sentences.extend(chart.map(|chart| words::signals(chart, late.more + late.less)));
    sentences.extend(which(found.as_ref(), late));
    let sentence = sentences.join(" ");
    let difference = found.map(|one| (one.value, one.lower, one.upper, one.p));
    Change { sentence, verdict, difference }
}
