//! A guard against a sign model that does not fit the clinic.
//!
//! Beside the sign model stands a plain one: how many sittings feet of this clinic still had before
//! them when their midfoot was written so. Every finished foot is a trial of both: each said beforehand
//! how likely what happened was. The weights of the two are their posterior chances under these trials
//! (a foot counts once, whatever its number of sittings; older trials fade), and the forecast is the
//! mixture. Where the sign model is right it keeps nearly all the weight; where it is wrong the clinic's
//! own counts take over. (For tenotomy see `experts`, for windows `calibration`.) The prior weight of the sign model, 0.9, and the
//! fading, 1 % a foot, are assumed.

/// Sittings to come that are told apart; what would come later counts at the last.
pub(crate) const SITTINGS: usize = 32;

const PRIOR_LOG_ODDS: f64 = 2.197_224_577_336_219_6; // ln(0.9 / 0.1)
const FADE: f64 = 0.99;
/// Weight of the first guess of the counts, in feet; assumed.
const GUESS_WEIGHT: f64 = 3.0;
/// Beyond this the weights no longer change; about the memory of a hundred feet at half a unit each.
const LIMIT: f64 = 50.0;

/// Row for a sitting whose midfoot was not fully written.
const UNWRITTEN: usize = 7;

/// Chances of the decision falling at each sitting to come, the next first.
pub(crate) type AtSitting = [f64; SITTINGS];

/// The standing of the sign model against a plain one.
#[derive(Debug, Clone, Copy)]
struct Standing {
    log_odds: f64,
}

impl Standing {
    const START: Self = Self { log_odds: PRIOR_LOG_ODDS };
    /// The sign model is right for certain.
    const CERTAIN: Self = Self { log_odds: f64::INFINITY };

    fn plain_share(self) -> f64 {
        1.0 / (1.0 + self.log_odds.exp())
    }

    /// One foot: at each of its sittings, what the sign model and the plain one gave to what happened.
    fn trial(&mut self, given: &[(f64, f64)]) {
        if given.is_empty() || self.log_odds.is_infinite() {
            return;
        }
        let gain = |(signs, plain): &(f64, f64)| signs.max(1e-6).ln() - plain.max(1e-6).ln();
        let mean = given.iter().map(gain).sum::<f64>() / given.len() as f64;
        let faded = PRIOR_LOG_ODDS + FADE * (self.log_odds - PRIOR_LOG_ODDS);
        self.log_odds = (faded + mean).clamp(-LIMIT, LIMIT);
    }
}

/// The plain model of sittings to come, and its standing against the sign model.
#[derive(Debug, Clone)]
pub(crate) struct Guard {
    counts: [AtSitting; 8],
    sittings: Standing,
}

/// A first guess: about one sitting for each half point of midfoot. Assumed; a handful of feet outweigh it.
fn guess(row: usize) -> AtSitting {
    let mean = if row == UNWRITTEN { 4.0 } else { 1.3 + 0.8 * row as f64 };
    let spread = 0.6 + 0.3 * mean;
    let raw: AtSitting = std::array::from_fn(|number| {
        let sitting = number as f64 + 1.0;
        (-0.5 * ((sitting - mean) / spread).powi(2)).exp() + 0.01 * 0.8_f64.powf(sitting)
    });
    let sum: f64 = raw.iter().sum();
    raw.map(|chance| GUESS_WEIGHT * chance / sum)
}

fn row(midfoot: Option<u8>) -> usize {
    midfoot.map_or(UNWRITTEN, |halves| usize::from(halves.min(6)))
}

impl Guard {
    pub(crate) fn new() -> Self {
        Self { counts: std::array::from_fn(guess), sittings: Standing::START }
    }

    /// No guard: the sign model is right.
    pub(crate) fn off() -> Self {
        Self { sittings: Standing::CERTAIN, ..Self::new() }
    }

    /// What the plain model says after a sitting with this midfoot.
    pub(crate) fn plain(&self, midfoot: Option<u8>) -> AtSitting {
        let counts = &self.counts[row(midfoot)];
        let sum: f64 = counts.iter().sum();
        counts.map(|count| count / sum)
    }

    /// Share of the plain model of sittings.
    pub(crate) fn plain_share(&self) -> f64 {
        self.sittings.plain_share()
    }

    /// A finished foot as a trial of both: what each gave to the sitting of the decision.
    pub(crate) fn trial(&mut self, sittings: &[(f64, f64)]) {
        self.sittings.trial(sittings);
    }

    /// Counts a sitting of a finished foot: it had so many sittings before it, the decision included.
    pub(crate) fn learn(&mut self, midfoot: Option<u8>, sittings: usize, weight: f64) {
        let at = sittings.clamp(1, SITTINGS) - 1;
        self.counts[row(midfoot)][at] += weight;
    }
}
