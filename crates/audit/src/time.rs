//! Results over calendar time: a control chart, and the last year compared with the one before in a sentence.
//!
//! Shares, numbers and rates count on the day their value became known, so that feet still in treatment do
//! not make the last months look better than they are. Times to an event count as events per hundred
//! years under observation within each calendar period.

use crate::{
    Case, Measure,
    cases::timed,
    chart::{ChartKind, ControlChart, ControlPoint, FEWEST_POINTS},
    definition::{MeasureKind, MeasureScale, Unit},
    ratio::{Ratio, RatioPair, difference},
    sentences, spread,
    verdict::{RecentSignals, Verdict, signs_in_words, verdict},
};
use record::Day;
use serde::Serialize;
use statistics::control::{
    Chart, ChartPoint, g_chart, p_chart, p_prime_chart, run_chart, u_chart, u_prime_chart, xmr_chart,
};

/// Days of a year under observation.
const YEAR_DAYS: f64 = 365.25;
/// The largest number of points of a chart.
const POINTS: usize = 40;
/// Fewest feet or children per point, on average.
const EACH: f64 = 8.0;

/// The change between the last two years.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct YearChange {
    /// In sentences: the comparison of the years, the chart, and which of the two shows a change.
    pub sentence: String,
    /// The verdict on the change.
    pub verdict: Verdict,
    /// The last year minus the one before: value, limits and p; `None` if it cannot be computed.
    pub difference: Option<(f64, f64, f64, f64)>,
}

impl YearChange {
    pub(crate) fn none() -> Self {
        Self::not_compared("Nothing to compare yet.")
    }

    pub(crate) fn not_compared(sentence: &str) -> Self {
        Self { sentence: sentence.to_owned(), verdict: Verdict::TooFew, difference: None }
    }
}

/// Chart and change.
pub(crate) struct OverTime {
    pub chart: Option<ControlChart>,
    pub change: YearChange,
}

/// A measure over time.
pub(crate) fn over_time(measure: Measure, cases: &[Case], as_of: Day) -> OverTime {
    let kind = measure.definition().kind;
    if measure == Measure::Correction {
        let settled = within_six_months(cases, as_of.number());
        return of_kind((measure, MeasureKind::Share), &settled, as_of);
    }
    of_kind((measure, kind), cases, as_of)
}

fn of_kind(of: (Measure, MeasureKind), cases: &[Case], as_of: Day) -> OverTime {
    let chart = chart(of, cases, as_of);
    let change = change(of, cases, as_of, chart.as_ref());
    OverTime { chart, change }
}

/// Nearly every foot reaches correction within months, so over time the measure is the share braced within
/// six months of the first cast; each foot counts on the day its six months are over.
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

/// What a case adds to a period, both ends included: y and x.
fn gives(case: &Case, timed: bool, (from, to): (i32, i32)) -> (f64, f64) {
    if !timed {
        let within = (from..=to).contains(&case.at);
        return if within { (case.value.into(), case.of.into()) } else { (0.0, 0.0) };
    }
    let end = case.zero + (case.time - case.enter);
    // At risk from the day after time zero to the end.
    let days = end.min(to) - case.zero.max(from - 1);
    let event = case.cause == 1 && (from..=to).contains(&end);
    (f64::from(u8::from(event)), f64::from(days.max(0)) / YEAR_DAYS)
}

/// A calendar period with its sums.
struct CalendarPeriod {
    from: i32,
    to: i32,
    y: f64,
    x: f64,
    n: usize,
}

/// Consecutive periods of this many months, the last one ending on the as-of day.
fn periods(as_of: Day, first: i32, months: i32) -> Vec<CalendarPeriod> {
    let mut all = Vec::new();
    let mut to = as_of;
    while to.number() >= first && all.len() < POINTS {
        let before = as_of.plus_months(-months * (all.len() as i32 + 1));
        all.push(CalendarPeriod { from: before.number() + 1, to: to.number(), y: 0.0, x: 0.0, n: 0 });
        to = before;
    }
    all.reverse();
    all
}

fn fill(periods: &mut [CalendarPeriod], cases: &[Case], timed: bool) {
    for case in cases {
        let (begin, end) =
            if timed { (case.zero, case.zero + (case.time - case.enter)) } else { (case.at, case.at) };
        let first = periods.partition_point(|period| period.to < begin);
        for period in &mut periods[first..] {
            if period.from > end {
                break;
            }
            let (y, x) = gives(case, timed, (period.from, period.to));
            period.y += y;
            period.x += x;
            period.n += usize::from(x > 0.0);
        }
    }
}

fn chart(of: (Measure, MeasureKind), cases: &[Case], as_of: Day) -> Option<ControlChart> {
    let timed = timed(of.1);
    let events = cases.iter().filter(|case| case.cause == 1).count();
    let first = cases.iter().map(|case| if timed { case.zero } else { case.at }).min()?;
    for months in [3, 6, 12] {
        let mut periods = periods(as_of, first, months);
        fill(&mut periods, cases, timed);
        periods.retain(|period| period.x > 0.0);
        let points = periods.len().max(1) as f64;
        let each = if timed { events as f64 } else { cases.len() as f64 } / points;
        let enough = if timed { each >= 2.0 } else { each >= EACH };
        if periods.len() >= FEWEST_POINTS && (enough || (months == 12 && !timed)) {
            return drawn(of, cases, &periods);
        }
    }
    if timed { rare(cases) } else { None }
}

fn drawn(of: (Measure, MeasureKind), cases: &[Case], periods: &[CalendarPeriod]) -> Option<ControlChart> {
    let effect = effect(cases, timed(of.1));
    let (kind, (chart, widened)) = charted(of.1, periods, effect)?;
    let hundred = if kind == ChartKind::U { 100.0 } else { 1.0 };
    let least = lowest_limit(of);
    let point = |(period, point): (&CalendarPeriod, &ChartPoint)| ControlPoint {
        from: Day::from_number(period.from),
        to: Day::from_number(period.to),
        of: period.x,
        events: (of.1 != MeasureKind::Number).then_some(period.y),
        value: hundred * point.value,
        lower: (hundred * point.lower).max(least),
        upper: hundred * point.upper,
        outside: point.outside,
    };
    Some(ControlChart {
        kind,
        value_words: value_words(of),
        centre: hundred * chart.centre,
        points: periods.iter().zip(&chart.points).map(point).collect(),
        design_effect: effect,
        widened,
        runs: runs(&chart),
    })
}

/// The chart of a kind of measure, and by how much its limits were widened.
fn charted(
    kind: MeasureKind,
    periods: &[CalendarPeriod],
    effect: f64,
) -> Option<(ChartKind, (Chart, Option<f64>))> {
    let y: Vec<f64> = periods.iter().map(|period| period.y / effect).collect();
    let x: Vec<f64> = periods.iter().map(|period| period.x / effect).collect();
    let values: Vec<f64> = periods.iter().map(|period| period.y / period.x).collect();
    Some(match kind {
        MeasureKind::Share => {
            (ChartKind::P, spread::allowed_for(p_chart(&y, &x).ok()?, p_prime_chart(&y, &x).ok()))
        }
        MeasureKind::Number => (ChartKind::Xmr, (xmr_chart(&values).ok()?.values, None)),
        _ => (ChartKind::U, spread::allowed_for(u_chart(&y, &x).ok()?, u_prime_chart(&y, &x).ok())),
    })
}

/// Shares, rates and events are never below 0; a difference of scores may be.
fn lowest_limit((measure, kind): (Measure, MeasureKind)) -> f64 {
    let never_negative = measure.definition().scale == MeasureScale::Share || kind != MeasureKind::Number;
    if never_negative { 0.0 } else { f64::NEG_INFINITY }
}

/// What the values of a chart are.
fn value_words((measure, kind): (Measure, MeasureKind)) -> String {
    let definition = measure.definition();
    match (kind, definition.scale) {
        _ if measure == Measure::Correction => "share braced within six months of the first cast".to_owned(),
        (MeasureKind::Share, _) => {
            format!("share of {} whose outcome became known in the period", definition.unit.words())
        }
        (MeasureKind::Number, MeasureScale::Days) => "mean days".to_owned(),
        (MeasureKind::Number, _) => "mean number".to_owned(),
        (MeasureKind::Rate, _) => "problems per 100 casts".to_owned(),
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

/// The chart of the numbers of new cases between one event and the next.
fn rare(cases: &[Case]) -> Option<ControlChart> {
    let days = event_days(cases);
    if days.len() < FEWEST_POINTS {
        return None;
    }
    let mut zeros: Vec<i32> = cases.iter().map(|case| case.zero).collect();
    zeros.sort_unstable();
    let begun = |day: i32| zeros.partition_point(|zero| *zero <= day);
    let between: Vec<f64> = days.windows(2).map(|pair| (begun(pair[1]) - begun(pair[0])) as f64).collect();
    let chart = g_chart(&between).ok()?;
    let point = |(days, point): (&[i32], &ChartPoint)| between_events((days[0], days[1]), point);
    Some(ControlChart {
        kind: ChartKind::G,
        value_words: "new cases between one event and the next".to_owned(),
        centre: chart.centre,
        points: days.windows(2).zip(&chart.points).map(point).collect(),
        design_effect: 1.0,
        widened: None,
        runs: runs(&chart),
    })
}

/// Days with an event, each once, in order.
fn event_days(cases: &[Case]) -> Vec<i32> {
    let end = |case: &Case| case.zero + (case.time - case.enter);
    let mut days: Vec<i32> = cases.iter().filter(|case| case.cause == 1).map(end).collect();
    days.sort_unstable();
    days.dedup();
    days
}

fn between_events((from, to): (i32, i32), point: &ChartPoint) -> ControlPoint {
    ControlPoint {
        from: Day::from_number(from),
        to: Day::from_number(to),
        of: point.value,
        events: Some(1.0),
        value: point.value,
        lower: point.lower,
        upper: point.upper,
        outside: point.outside,
    }
}

/// Fewest cases, or events for times to an event over both years, for which the years are compared.
const FEWEST: usize = 5;

fn change(
    of: (Measure, MeasureKind),
    cases: &[Case],
    as_of: Day,
    chart: Option<&ControlChart>,
) -> YearChange {
    let timed = timed(of.1);
    let ([before, now], pairs) = years(cases, timed, as_of);
    let enough = before.n >= FEWEST && now.n >= FEWEST && (!timed || before.y + now.y >= FEWEST as f64);
    let found = if enough { difference(&pairs) } else { None };
    let late = RecentSignals::of(chart, as_of);
    let verdict = verdict(found.as_ref(), late);
    let mut sentences = vec![sentences::change(of, &before, &now, found.as_ref(), as_of)];
    sentences.extend(chart.map(|chart| sentences::signals(chart, late.more + late.less)));
    sentences.extend(signs_in_words(found.as_ref(), late));
    let sentence = sentences.join(" ");
    let difference = found.map(|one| (one.value, one.lower, one.upper, one.p));
    YearChange { sentence, verdict, difference }
}

/// The ratios of the year before the last and of the last year, and their pairs by case.
fn years(cases: &[Case], timed: bool, as_of: Day) -> ([Ratio; 2], Vec<RatioPair>) {
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
            pairs.push(RatioPair { child: case.child, first, second });
        }
    }
    (sums.map(Ratio::done), pairs)
}
