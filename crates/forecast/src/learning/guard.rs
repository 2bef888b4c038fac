//! A guard against a sign model that does not fit the clinic.
//!
//! There is a second, plain model: the number of visits that feet of this clinic still needed at a given
//! midfoot score. Every finished foot is a trial of both models by the chances that they gave to the outcome.
//! The weights of the two are their posterior chances under these trials (a foot counts once, whatever its
//! number of visits; older trials fade), and the forecast is the mixture. A sign model that fits has nearly
//! all the weight; if it does not fit, the clinic's own counts replace it. (For tenotomy see `experts`, for
//! windows `calibration`.) The prior weight of the sign model, 0.9, and the fading, 1 % a foot, are assumed.

/// The number of visits to come that are distinguished; later ones count as the last.
pub(crate) const VISITS: usize = 32;

const PRIOR_LOG_ODDS: f64 = 2.197_224_577_336_219_6; // ln(0.9 / 0.1)
const FADE: f64 = 0.99;
/// Weight of the prior counts, in feet; assumed.
const GUESS_WEIGHT: f64 = 3.0;
/// The largest log odds; about the memory of a hundred feet at half a unit each.
const LIMIT: f64 = 50.0;

/// Row for a visit with an incomplete midfoot score.
const UNWRITTEN: usize = 7;

/// Chances of the decision falling at each visit to come, the next first.
pub(crate) type AtVisit = [f64; VISITS];

/// The odds of the sign model against the plain one.
#[derive(Debug, Clone, Copy)]
struct ModelOdds {
    log_odds: f64,
}

impl ModelOdds {
    const START: Self = Self { log_odds: PRIOR_LOG_ODDS };
    /// The sign model is certain.
    const CERTAIN: Self = Self { log_odds: f64::INFINITY };

    fn plain_share(self) -> f64 {
        1.0 / (1.0 + self.log_odds.exp())
    }

    /// One foot: the chances of the outcome by the sign model and by the plain one, at each of its visits.
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

/// The plain model of visits to come, and the odds of the sign model against it.
#[derive(Debug, Clone)]
pub(crate) struct Guard {
    counts: [AtVisit; 8],
    cast_visits: ModelOdds,
}

/// The prior: about one visit for each half point of midfoot. Assumed; a few feet outweigh it.
fn guess(row: usize) -> AtVisit {
    let mean = if row == UNWRITTEN { 4.0 } else { 1.3 + 0.8 * row as f64 };
    let spread = 0.6 + 0.3 * mean;
    let raw: AtVisit = std::array::from_fn(|number| {
        let cast_visit = number as f64 + 1.0;
        (-0.5 * ((cast_visit - mean) / spread).powi(2)).exp() + 0.01 * 0.8_f64.powf(cast_visit)
    });
    let sum: f64 = raw.iter().sum();
    raw.map(|chance| GUESS_WEIGHT * chance / sum)
}

fn row(midfoot: Option<u8>) -> usize {
    midfoot.map_or(UNWRITTEN, |halves| usize::from(halves.min(6)))
}

impl Guard {
    pub(crate) fn new() -> Self {
        Self { counts: std::array::from_fn(guess), cast_visits: ModelOdds::START }
    }

    /// No guard: the sign model is certain.
    pub(crate) fn off() -> Self {
        Self { cast_visits: ModelOdds::CERTAIN, ..Self::new() }
    }

    /// The forecast of the plain model after a visit with this midfoot score.
    pub(crate) fn plain(&self, midfoot: Option<u8>) -> AtVisit {
        let counts = &self.counts[row(midfoot)];
        let sum: f64 = counts.iter().sum();
        counts.map(|count| count / sum)
    }

    /// Share of the plain model of visits.
    pub(crate) fn plain_share(&self) -> f64 {
        self.cast_visits.plain_share()
    }

    /// Takes a finished foot as a trial of both models: the chances that they gave to the visit of the decision.
    pub(crate) fn trial(&mut self, cast_visits: &[(f64, f64)]) {
        self.cast_visits.trial(cast_visits);
    }

    /// Counts a visit of a finished foot, with the number of visits from there to the decision.
    pub(crate) fn learn(&mut self, midfoot: Option<u8>, cast_visits: usize, weight: f64) {
        let at = cast_visits.clamp(1, VISITS) - 1;
        self.counts[row(midfoot)][at] += weight;
    }
}
