//! Two settings compared, on the same children and the same random numbers.

use super::{RunBand, Tally, WaitKind};
use serde::Serialize;

/// The measures that are compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ComparedMeasure {
    /// Mean days from referral to the first cast.
    FirstCastDays,
    /// Mean days from ready to tenotomy.
    TenotomyDays,
    /// Mean days from ready to the brace.
    FittingDays,
    /// Mean days by which reviews are late.
    ReviewDays,
    /// Casts in a hundred that stay on past their window because there is no place.
    PastWindowPercent,
    /// Holding casts.
    HoldingCasts,
    /// Children waiting for a first cast at the end.
    WaitingAtEnd,
}

impl ComparedMeasure {
    /// All measures, in the order shown.
    pub const ALL: [Self; 7] = [
        Self::FirstCastDays,
        Self::TenotomyDays,
        Self::FittingDays,
        Self::ReviewDays,
        Self::PastWindowPercent,
        Self::HoldingCasts,
        Self::WaitingAtEnd,
    ];

    /// In words, with the unit.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::FirstCastDays => "Days from referral to first cast, mean",
            Self::TenotomyDays => "Days from ready to tenotomy, mean",
            Self::FittingDays => "Days from ready to brace, mean",
            Self::ReviewDays => "Days a review is late, mean",
            Self::PastWindowPercent => "Casts in 100 on past their window, no place found",
            Self::HoldingCasts => "Holding casts",
            Self::WaitingAtEnd => "Children waiting for a first cast at the end",
        }
    }

    /// Its value in a run; `None` if there is nothing to average. Children still waiting count with their days so
    /// far, so that a clinic does not look better by never seeing them.
    #[must_use]
    pub fn of(self, run: &Tally) -> Option<f64> {
        let wait = |kind: WaitKind| run.waits[kind as usize].mean_days_of_all();
        match self {
            Self::FirstCastDays => wait(WaitKind::FirstCast),
            Self::TenotomyDays => wait(WaitKind::Tenotomy),
            Self::FittingDays => wait(WaitKind::Fitting),
            Self::ReviewDays => wait(WaitKind::Review),
            Self::PastWindowPercent => run.share_past_window().map(|share| 100.0 * share),
            Self::HoldingCasts => Some(run.casts.holding.into()),
            Self::WaitingAtEnd => Some(run.waits[WaitKind::FirstCast as usize].open.into()),
        }
    }
}

/// One measure in both settings.
#[derive(Debug, Clone, Serialize)]
pub struct Difference {
    /// Which.
    pub measure: ComparedMeasure,
    /// In the first setting.
    pub first: Option<RunBand>,
    /// In the other.
    pub other: Option<RunBand>,
    /// The other minus the first, run by run.
    pub change: Option<RunBand>,
}

/// The comparison of two settings.
#[derive(Debug, Clone, Serialize)]
pub struct Comparison {
    /// Every measure.
    pub differences: Vec<Difference>,
}

impl Comparison {
    /// Compares runs of the same seed, pair by pair.
    #[must_use]
    pub fn of(first: &[Tally], other: &[Tally]) -> Self {
        let of = |measure: ComparedMeasure| {
            let all = |runs: &[Tally]| {
                let mut values: Vec<f64> = runs.iter().filter_map(|run| measure.of(run)).collect();
                RunBand::of(&mut values)
            };
            let pairs = first.iter().zip(other);
            let mut changes: Vec<f64> =
                pairs.filter_map(|(first, other)| Some(measure.of(other)? - measure.of(first)?)).collect();
            Difference { measure, first: all(first), other: all(other), change: RunBand::of(&mut changes) }
        };
        Self { differences: ComparedMeasure::ALL.into_iter().map(of).collect() }
    }

    /// One measure.
    #[must_use]
    pub fn difference(&self, measure: ComparedMeasure) -> Option<&Difference> {
        self.differences.iter().find(|difference| difference.measure == measure)
    }
}
