//! Run charts: values in order around their median.

use crate::error::{Result, StatError, finite};

/// The results of a run chart.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct RunChart {
    /// Median of the values.
    pub median: f64,
    /// Points that are not on the median; only they count in runs.
    pub useful: usize,
    /// Runs: series of useful points on one side of the median.
    pub runs: usize,
    /// Smallest and largest number of runs within the 95 % limits of chance.
    pub expected_runs: (usize, usize),
    /// Number of useful points in the longest run.
    pub longest_run: usize,
    /// The longest run that is not a signal, round(log2(useful)) + 3.
    pub longest_expected: usize,
    /// Largest number of points in a row that rise, or fall; equal neighbours count once.
    pub longest_trend: usize,
    /// Six or more useful points in a row on one side: a shift.
    pub shift: bool,
    /// Five or more points in a row that rise, or fall: a trend.
    pub trend: bool,
    /// More or fewer runs than expected.
    pub unusual_runs: bool,
    /// The longest run is longer than `longest_expected`.
    pub long_run: bool,
}

impl RunChart {
    /// Whether any of the rules signals more than chance.
    ///
    /// ```
    /// use statistics::control::run_chart;
    /// assert!(!run_chart(&[3., 5., 4., 3., 3., 5., 3., 4., 5., 5., 3., 5.])?.signal());
    /// assert!(run_chart(&[3., 4., 3., 4., 3., 4., 9., 8., 9., 8., 9., 8.])?.signal());
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    #[must_use]
    pub fn signal(&self) -> bool {
        self.shift || self.trend || self.unusual_runs || self.long_run
    }
}

/// A run chart with the rules of Perla, Provost and Murray 2011 (shift of six, trend of five, number of
/// runs) and the longest run of Anhøj and Olesen 2014. The limits of the number of runs are computed from its exact
/// distribution given the points above and below (Swed and Eisenhart 1943; Wald and Wolfowitz 1940)
/// with 2.5 % left on each side. The fourth rule, an "astronomical point", is a matter of judgement and
/// not computed. Several rules together give more false alarms than any one of them.
///
/// # Errors
/// Fewer than ten values, for which the rules have no meaning, or a value that is not a number.
///
/// ```
/// use statistics::control::run_chart;
/// let chart = run_chart(&[3., 4., 3., 4., 3., 4., 9., 8., 9., 8., 9., 8.])?;
/// assert!(chart.shift && chart.unusual_runs == (chart.runs < chart.expected_runs.0 || chart.runs > chart.expected_runs.1));
/// # Ok::<(), statistics::StatError>(())
/// ```
pub fn run_chart(values: &[f64]) -> Result<RunChart> {
    finite("a value", values)?;
    if values.len() < 10 {
        return Err(StatError::Undefined("a run chart needs at least ten values"));
    }
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let median = 0.5 * (sorted[(values.len() - 1) / 2] + sorted[values.len() / 2]);
    let sides: Vec<bool> =
        values.iter().filter(|value| **value != median).map(|value| *value > median).collect();
    let lengths: Vec<usize> = sides.chunk_by(|a, b| a == b).map(<[bool]>::len).collect();
    let (useful, runs) = (sides.len(), lengths.len());
    let above = sides.iter().filter(|side| **side).count();
    let expected_runs = runs_limits(above, useful - above);
    let longest_run = lengths.into_iter().max().unwrap_or(0);
    let longest_expected = if useful == 0 { 0 } else { (useful as f64).log2().round() as usize + 3 };
    let longest_trend = longest_trend(values);
    Ok(RunChart {
        median,
        useful,
        runs,
        expected_runs,
        longest_run,
        longest_expected,
        longest_trend,
        shift: longest_run >= 6,
        trend: longest_trend >= 5,
        unusual_runs: runs < expected_runs.0 || runs > expected_runs.1,
        long_run: longest_run > longest_expected,
    })
}

fn longest_trend(values: &[f64]) -> usize {
    let mut distinct = values.to_vec();
    distinct.dedup();
    let rises: Vec<bool> = distinct.windows(2).map(|pair| pair[1] > pair[0]).collect();
    rises.chunk_by(|a, b| a == b).map(|steps| steps.len() + 1).max().unwrap_or(1)
}

/// The limits of the number of runs with at most 2.5 % beyond each, given the points on each side.
fn runs_limits(a: usize, b: usize) -> (usize, usize) {
    if a == 0 || b == 0 {
        return (usize::from(a + b > 0), usize::from(a + b > 0));
    }
    let shares: Vec<f64> = (0..=a + b).map(|runs| runs_probability(runs, a, b)).collect();
    let total = |range: &[f64]| range.iter().sum::<f64>();
    let low = (2..shares.len()).find(|runs| total(&shares[..=*runs]) > 0.025).unwrap_or(2);
    let high = (2..shares.len()).rev().find(|runs| total(&shares[*runs..]) > 0.025).unwrap_or(a + b);
    (low, high)
}

/// Probability of this number of runs of `a` and `b` points in random order.
fn runs_probability(runs: usize, a: usize, b: usize) -> f64 {
    let half = runs / 2;
    let ways =
        |n: usize, parts: usize| if parts == 0 { f64::NEG_INFINITY } else { ln_choose(n - 1, parts - 1) };
    let all = ln_choose(a + b, a);
    let both = |x: usize, y: usize| (ways(a, x) + ways(b, y) - all).exp();
    match runs {
        0 | 1 => 0.0,
        _ if runs.is_multiple_of(2) => 2.0 * both(half, half),
        _ => both(half + 1, half) + both(half, half + 1),
    }
}

fn ln_choose(n: usize, k: usize) -> f64 {
    if k > n {
        return f64::NEG_INFINITY;
    }
    let ln = |m: usize| crate::special::ln_gamma(m as f64 + 1.0);
    ln(n) - ln(k) - ln(n - k)
}
