//! Survival data: time under observation, and how it ended.

use crate::error::{Result, StatError, same_length};

/// Times under observation, one row for each spell, checked once.
///
/// A row is at risk at time `t` when `start < t ≤ stop`; without starts a row is at risk from the
/// beginning, time 0 included. Times may be in any unit; whole days are exact.
///
/// ```
/// use statistics::survival::Spells;
/// let spells = Spells::new(&[6.0, 6.0, 7.0], &[true, false, true])?;
/// assert_eq!(spells.len(), 3);
/// # Ok::<(), statistics::StatError>(())
/// ```
#[derive(Debug, Clone, Copy)]
pub struct Spells<'a> {
    pub(crate) start: Option<&'a [f64]>,
    pub(crate) stop: &'a [f64],
    pub(crate) event: &'a [bool],
    pub(crate) weight: Option<&'a [f64]>,
}

impl<'a> Spells<'a> {
    /// Spells that start at the beginning and end at `stop`, with the event or censored.
    ///
    /// # Errors
    /// No rows, slices of different length, a time that is not a number or below zero.
    pub fn new(stop: &'a [f64], event: &'a [bool]) -> Result<Self> {
        same_length("the event", stop.len(), event.len())?;
        check_times(stop)?;
        Ok(Self { start: None, stop, event, weight: None })
    }

    /// The same rows with late entry: a row is under observation only after its `start` (left truncation,
    /// or one of several consecutive spells of one subject).
    ///
    /// # Errors
    /// A start that is not a number, or not before its stop.
    ///
    /// ```
    /// use statistics::survival::{Interval, KaplanMeier, Spells};
    /// // Only one row is under observation at time 1.
    /// let spells = Spells::new(&[1.0, 3.0], &[false, true])?.entering(&[0.0, 2.0])?;
    /// assert_eq!(KaplanMeier::of(&spells, &Interval::default()).points[0].at_risk, 1.0);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    pub fn entering(self, start: &'a [f64]) -> Result<Self> {
        same_length("the start", self.len(), start.len())?;
        for (row, (start, stop)) in start.iter().zip(self.stop).enumerate() {
            if !start.is_finite() {
                return Err(StatError::NotFinite { row, what: "the start" });
            }
            if start >= stop {
                return Err(StatError::EmptySpell { row, start: *start, stop: *stop });
            }
        }
        Ok(Self { start: Some(start), ..self })
    }

    /// The same rows with case weights: a row of weight 2 counts as two rows.
    ///
    /// # Errors
    /// A weight that is not above zero.
    ///
    /// ```
    /// use statistics::survival::{Interval, KaplanMeier, Spells};
    /// let spells = Spells::new(&[1.0, 2.0], &[true, true])?.weighted(&[3.0, 1.0])?;
    /// assert_eq!(KaplanMeier::of(&spells, &Interval::default()).survival_at(1.0), 0.25);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    pub fn weighted(self, weight: &'a [f64]) -> Result<Self> {
        same_length("the weight", self.len(), weight.len())?;
        let wrong = |value: &f64| !(value.is_finite() && *value > 0.0);
        match weight.iter().position(wrong) {
            Some(row) => Err(StatError::Weight { row, value: weight[row] }),
            None => Ok(Self { weight: Some(weight), ..self }),
        }
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

    /// The number of rows that ended with the event.
    ///
    /// ```
    /// use statistics::survival::Spells;
    /// assert_eq!(Spells::new(&[1.0, 2.0], &[true, false])?.events(), 1);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    #[must_use]
    pub fn events(&self) -> usize {
        self.event.iter().filter(|event| **event).count()
    }

    pub(crate) fn weight(&self, row: usize) -> f64 {
        self.weight.map_or(1.0, |weight| weight[row])
    }
}

pub(crate) fn check_times(stop: &[f64]) -> Result<()> {
    if stop.is_empty() {
        return Err(StatError::NoRows);
    }
    // The comparison is negated so that "not a number" fails as well.
    match stop.iter().position(|time| !(*time >= 0.0 && time.is_finite())) {
        None => Ok(()),
        Some(row) if stop[row].is_finite() => Err(StatError::NegativeTime { row, value: stop[row] }),
        Some(row) => Err(StatError::NotFinite { row, what: "the time" }),
    }
}

/// The rows of each distinct code, in the order of the codes.
pub(crate) fn rows_by_code(codes: &[u32]) -> Vec<Vec<usize>> {
    let mut order: Vec<usize> = (0..codes.len()).collect();
    order.sort_by_key(|row| codes[*row]);
    order.chunk_by(|a, b| codes[*a] == codes[*b]).map(<[usize]>::to_vec).collect()
}
