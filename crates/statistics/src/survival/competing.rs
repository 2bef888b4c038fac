//! Competing risks: several kinds of event, of which the first excludes the others.

use super::{Interval, spells::check_times, timeline::Timeline};
use crate::error::{Result, StatError, same_length};

/// Time under observation that ends in one of several kinds of event, or censored.
#[derive(Debug, Clone, Copy)]
pub struct CompetingRisks<'a> {
    pub(crate) start: Option<&'a [f64]>,
    pub(crate) stop: &'a [f64],
    pub(crate) cause: &'a [u32],
    pub(crate) causes: usize,
}

impl<'a> CompetingRisks<'a> {
    /// Rows that end at `stop` with cause `1..=causes`, or censored where the cause is 0.
    ///
    /// # Errors
    /// No rows, slices of different length, a time that is not a number or below zero, a cause out of
    /// range.
    pub fn new(stop: &'a [f64], cause: &'a [u32], causes: usize) -> Result<Self> {
        same_length("the cause", stop.len(), cause.len())?;
        check_times(stop)?;
        if let Some(row) = cause.iter().position(|cause| *cause as usize > causes) {
            let wanted = "0 for censored or the number of a cause";
            return Err(StatError::Value { row, value: f64::from(cause[row]), wanted });
        }
        Ok(Self { start: None, stop, cause, causes })
    }

    /// The same rows with late entry.
    ///
    /// # Errors
    /// As [`super::Spells::entering`].
    ///
    /// ```
    /// use statistics::survival::{CompetingRisks, Interval, cumulative_incidence};
    /// let data = CompetingRisks::new(&[1.0, 3.0], &[0, 1], 1)?.entering(&[0.0, 2.0])?;
    /// assert_eq!(cumulative_incidence(&data, &Interval::default())[0].at(3.0), 1.0);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    pub fn entering(self, start: &'a [f64]) -> Result<Self> {
        let event = vec![false; self.stop.len()];
        super::Spells::new(self.stop, &event)?.entering(start)?;
        Ok(Self { start: Some(start), ..self })
    }

    /// The number of rows.
    #[must_use]
    pub fn len(&self) -> usize {
        self.stop.len()
    }

    /// Whether there are no rows. Never the case.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.stop.is_empty()
    }
}

/// One step of a cumulative incidence.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct IncidencePoint {
    /// Time.
    pub time: f64,
    /// Rows at risk just before.
    pub at_risk: f64,
    /// Events of this cause at this time.
    pub events: f64,
    /// Share of rows that have had this event by then, in the presence of the other causes.
    pub incidence: f64,
    /// Standard error.
    pub std_err: f64,
    /// Lower limit; `None` if the scale of the interval has none.
    pub lower: Option<f64>,
    /// Upper limit; `None` as for the lower.
    pub upper: Option<f64>,
}

/// Cumulative incidence of one cause.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct CumulativeIncidence {
    /// The cause, from 1.
    pub cause: u32,
    /// Number of events of this cause.
    pub events: usize,
    /// One step for each distinct time at which a row ends.
    pub points: Vec<IncidencePoint>,
}

impl CumulativeIncidence {
    /// The incidence at a time: 0 before the first step, constant after the last.
    ///
    /// ```
    /// use statistics::survival::{CompetingRisks, Interval, cumulative_incidence};
    /// let data = CompetingRisks::new(&[1.0, 2.0, 3.0, 4.0], &[1, 2, 1, 0], 2)?;
    /// let first = &cumulative_incidence(&data, &Interval::default())[0];
    /// assert_eq!([first.at(0.5), first.at(2.5), first.at(9.0)], [0.0, 0.25, 0.5]);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    #[must_use]
    pub fn at(&self, time: f64) -> f64 {
        let after = self.points.partition_point(|point| point.time <= time);
        after.checked_sub(1).map_or(0.0, |last| self.points[last].incidence)
    }
}

/// Numbers at risk and numbers of ends by cause, at each time.
pub(crate) struct CauseTally {
    pub times: Vec<f64>,
    pub at_risk: Vec<f64>,
    /// By time, then cause from 0 for censored.
    pub ends: Vec<f64>,
    pub kinds: usize,
}

impl CauseTally {
    /// Counts the rows of one group, or all rows.
    pub fn of(data: &CompetingRisks, timeline: &Timeline, only: Option<(&[u32], u32)>) -> Self {
        let kinds = data.causes + 1;
        let count = timeline.times.len();
        let mut ends = vec![0.0; count * kinds];
        let mut at_risk = vec![0.0; count];
        for (row, cause) in data.cause.iter().enumerate() {
            if only.is_none_or(|(group, wanted)| group[row] == wanted) {
                let rank = timeline.stop[row] as usize;
                ends[rank * kinds + *cause as usize] += 1.0;
                at_risk[rank] += 1.0;
                if let Some(below) = timeline.entry(row).checked_sub(1) {
                    at_risk[below] -= 1.0;
                }
            }
        }
        for rank in (1..count).rev() {
            at_risk[rank - 1] += at_risk[rank];
        }
        Self { times: timeline.times.clone(), at_risk, ends, kinds }
    }

    pub fn ends(&self, rank: usize) -> &[f64] {
        &self.ends[rank * self.kinds..(rank + 1) * self.kinds]
    }
}

/// The estimate of Aalen and Johansen for every cause, F_k(t) = Σ S(s−) d_k/n.
///
/// The covariance of (S, F_k) is carried forward step by step with multinomial increments (Aalen and
/// Johansen 1978; Andersen, Borgan, Gill and Keiding 1993, section 4.4, the Greenwood-type estimator).
/// It equals the variance of R's `etm`, and without late entry the infinitesimal jackknife of R survival's
/// `survfit`; R's `cmprsk` uses another estimator and differs by some per cent.
///
/// ```
/// use statistics::survival::{CompetingRisks, Interval, cumulative_incidence};
/// let data = CompetingRisks::new(&[1.0, 2.0, 3.0, 4.0], &[1, 2, 1, 0], 2)?;
/// let curves = cumulative_incidence(&data, &Interval::default());
/// assert_eq!(curves[0].at(4.0), 0.5);
/// # Ok::<(), statistics::StatError>(())
/// ```
#[must_use]
pub fn cumulative_incidence(data: &CompetingRisks, interval: &Interval) -> Vec<CumulativeIncidence> {
    let timeline = Timeline::of(data.start, data.stop);
    let tally = CauseTally::of(data, &timeline, None);
    curves(&tally, data.causes, interval)
}

/// As [`cumulative_incidence`], separately for each group `0..groups`: by group, then by cause.
///
/// # Errors
/// A group code that is not below `groups`, or a length other than the number of rows.
///
/// ```
/// use statistics::survival::{CompetingRisks, Interval, cumulative_incidence_by_group};
/// let data = CompetingRisks::new(&[1.0, 2.0, 3.0, 4.0], &[1, 2, 0, 1], 2)?;
/// let curves = cumulative_incidence_by_group(&data, &[0, 0, 1, 1], 2, &Interval::default())?;
/// assert_eq!((curves[0][0].at(2.0), curves[0][1].at(2.0)), (0.5, 0.5));
/// assert_eq!((curves[1][0].at(4.0), curves[1][1].at(4.0)), (1.0, 0.0));
/// # Ok::<(), statistics::StatError>(())
/// ```
pub fn cumulative_incidence_by_group(
    data: &CompetingRisks,
    group: &[u32],
    groups: usize,
    interval: &Interval,
) -> Result<Vec<Vec<CumulativeIncidence>>> {
    super::kaplan_meier::check_codes("the group", data.len(), group, groups)?;
    let timeline = Timeline::of(data.start, data.stop);
    let one = |wanted| curves(&CauseTally::of(data, &timeline, Some((group, wanted))), data.causes, interval);
    Ok((0..groups as u32).map(one).collect())
}

fn curves(tally: &CauseTally, causes: usize, interval: &Interval) -> Vec<CumulativeIncidence> {
    (1..=causes).map(|cause| curve(tally, cause, interval)).collect()
}

/// The event-free share S, the incidence F, and their covariances.
struct State {
    survival: f64,
    incidence: f64,
    ss: f64,
    sf: f64,
    ff: f64,
}

impl State {
    fn step(&mut self, at_risk: f64, all: f64, own: f64) {
        let (h, k) = (all / at_risk, own / at_risk);
        let before = self.survival * self.survival / at_risk;
        self.ff += 2.0 * k * self.sf + k * k * self.ss + before * k * (1.0 - k);
        self.sf = (1.0 - h) * (self.sf + k * self.ss) - before * k * (1.0 - h);
        self.ss = (1.0 - h) * (1.0 - h) * self.ss + before * h * (1.0 - h);
        self.incidence += self.survival * k;
        self.survival *= (at_risk - all) / at_risk;
    }
}

fn curve(tally: &CauseTally, cause: usize, interval: &Interval) -> CumulativeIncidence {
    let mut state = State { survival: 1.0, incidence: 0.0, ss: 0.0, sf: 0.0, ff: 0.0 };
    let mut points = Vec::with_capacity(tally.times.len());
    let mut total = 0.0;
    for (rank, time) in tally.times.iter().enumerate() {
        let (ends, at_risk) = (tally.ends(rank), tally.at_risk[rank]);
        let leaving: f64 = ends.iter().sum();
        if leaving == 0.0 {
            continue;
        }
        let own = ends[cause];
        state.step(at_risk, leaving - ends[0], own);
        total += own;
        let std_err = state.ff.max(0.0).sqrt();
        let limits = interval.of(state.incidence, std_err);
        points.push(IncidencePoint {
            time: *time,
            at_risk,
            events: own,
            incidence: state.incidence,
            std_err,
            lower: limits.map(|limits| limits.0),
            upper: limits.map(|limits| limits.1),
        });
    }
    CumulativeIncidence { cause: cause as u32, events: total as usize, points }
}
