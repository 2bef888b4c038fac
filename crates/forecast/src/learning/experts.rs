//! The chance of a tenotomy as a mixture of experts, weighed by their results on the clinic's own feet.
//!
//! # Experts
//!
//! - The sign model, recalibrated: logit *a* + *b* × logit, for a grid of *a* and *b*. A slope below 1
//!   moderates chances that are too extreme; 0 leaves one rate for all. (*a*, *b*) = (0, 1) is the sign
//!   model itself.
//! - The published rule of thumb and the clinic's running average (`rule`).
//! - The average of the last feet, in which older ones fade, for a clinic that changes.
//! - The clinic's own share by hindfoot score and by whether casting has just begun.
//! - A logistic regression on the clinic's own feet (`own_line`).
//!
//! # Weights, and what they guarantee
//!
//! Let expert *k* give the outcome the chance *p*(*k*, *j*) at forecast *j* of a foot with *J* forecasts.
//! When the outcome is known, and not before, the weight of *k* is multiplied by the product of
//! *p*(*k*, *j*)^(1/*M*), *M* = max(*J*, 3), and the weights are scaled to 1. The forecast is the mean
//! under the weights. Since the exponents sum to at most 1, Hölder's inequality gives
//! Σ *w*(*k*) Π *p*(*k*, *j*)^(1/*M*) ≤ Π (Σ *w*(*k*) *p*(*k*, *j*))^(1/*M*): the loss of the mixture on the
//! foot, Σ −ln (Σ *w* *p*) / *M*, is at most −ln of the factor by which the sum of the weights shrinks.
//! These factors telescope, so over all feet the mixture loses at most ln(1/*w*₀(*k*)) more than expert *k*,
//! *w*₀ the prior weight. This is the bound of the Bayesian mixture (Vovk 1990; Cesa-Bianchi & Lugosi 2006;
//! cited from memory), for several forecasts of one outcome.
//!
//! After each foot a share of every weight goes back to the prior (fixed share, Herbster & Warmuth 1998, cited
//! from memory), so that an expert that was wrong for long can regain weight when the clinic changes; this costs at
//! most −ln(1 − share) a foot. Over 300 feet the mixture thus loses at most (1.97 + 0.60) / 300 = 0.009 of log
//! score a foot to the running average, *w*₀ = 0.14, and (2.30 + 0.60) / 300 = 0.010 to the rule of thumb,
//! *w*₀ = 0.1; a test checks this bound.
//!
//! The bound is for outcomes that arrive one after the other. Feet still in casts have no weight yet; with about
//! fifteen of them, their information is missing.

use super::line::{Line, logistic};
use super::own_line::{FACTS, Facts, facts, own_line};
use super::rule::{RunningRate, last_hindfoot, rule_of_thumb};
use crate::SeenFoot;

/// Share of the weights that goes back to the prior after a foot; assumed.
const SHARE: f64 = 0.002;
/// The smallest number of forecasts by which the evidence of one foot is divided.
const FORECASTS: f64 = 3.0;
/// The factor on the weight of older feet after each foot, in the average of the last feet; assumed.
const LATELY_FADE: f64 = 0.97;
/// The same for the shares by score.
const SCORES_FADE: f64 = 0.997;
/// Weight of the running average in a share by score, forecasts; assumed.
const SCORE_WEIGHT: f64 = 6.0;
/// The largest chance that an expert gives.
const SURELY: f64 = 0.995;

/// Intercepts of the grid, in units of their prior spread 0.7 (assumed).
const INTERCEPTS: [f64; 9] = [-2.0, -1.4, -0.9, -0.4, 0.0, 0.4, 0.9, 1.4, 2.0];
const INTERCEPT_SD: f64 = 0.7;
/// Slopes of the grid with their prior weights; assumed.
const SLOPES: [(f64, f64); 7] =
    [(0.0, 0.08), (0.25, 0.1), (0.5, 0.17), (0.75, 0.22), (1.0, 0.28), (1.3, 0.1), (1.7, 0.05)];
/// Prior weights: the grid as a whole, rule, running average, last feet, by score; assumed.
const PRIOR: [f64; 5] = [0.4, 0.1, 0.14, 0.06, 0.1];
const GRID: usize = INTERCEPTS.len() * SLOPES.len();
const EXPERTS: usize = GRID + 4 + OWN_SLOPES.len();
/// Slopes of the own line, each an expert, with their prior weights; assumed.
const OWN_SLOPES: [(f64, f64); 4] = [(0.4, 0.05), (0.7, 0.06), (1.0, 0.06), (1.4, 0.03)];
/// Classes of the hindfoot score in half points or unknown, for at most two visits and for more.
const SCORES: usize = 16;

type Weights = [f64; EXPERTS];

/// The values on which the experts rest, at one forecast.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Opinions {
    /// The chance by the signs.
    pub(crate) signs: f64,
    rule: f64,
    running: f64,
    lately: f64,
    by_score: f64,
    own_line: f64,
    score: usize,
    facts: Facts,
}

/// The experts and their weights.
#[derive(Debug, Clone)]
pub(crate) struct CutExperts {
    running: RunningRate,
    lately: RunningRate,
    scores: [RunningRate; SCORES],
    line: Line<FACTS>,
    /// `None` if the sign model is certain.
    weights: Option<Box<Weights>>,
}

fn logit(chance: f64) -> f64 {
    let chance = chance.clamp(1e-4, 1.0 - 1e-4);
    (chance / (1.0 - chance)).ln()
}

fn prior() -> Weights {
    let mut weights = [0.0; EXPERTS];
    for (row, intercept) in weights.chunks_exact_mut(SLOPES.len()).zip(INTERCEPTS) {
        for (cell, (_, slope)) in row.iter_mut().zip(SLOPES) {
            *cell = slope * (-0.5 * (intercept / INTERCEPT_SD).powi(2)).exp();
        }
    }
    let sum: f64 = weights[..GRID].iter().sum();
    weights[..GRID].iter_mut().for_each(|weight| *weight *= PRIOR[0] / sum);
    weights[GRID..GRID + 4].copy_from_slice(&PRIOR[1..]);
    weights[GRID + 4..].copy_from_slice(&OWN_SLOPES.map(|(_, weight)| weight));
    weights
}

impl Opinions {
    /// The chance of each expert.
    fn each(&self) -> Weights {
        self.each_by(self.signs)
    }

    /// The same for another chance by the signs.
    fn each_by(&self, signs: f64) -> Weights {
        let by_signs = logit(signs);
        let mut each = [0.0; EXPERTS];
        for (row, intercept) in each.chunks_exact_mut(SLOPES.len()).zip(INTERCEPTS) {
            for (cell, (slope, _)) in row.iter_mut().zip(SLOPES) {
                *cell = logistic(slope.mul_add(by_signs, intercept));
            }
        }
        each[GRID..GRID + 4].copy_from_slice(&[self.rule, self.running, self.lately, self.by_score]);
        let own_line = logit(self.own_line);
        each[GRID + 4..].copy_from_slice(&OWN_SLOPES.map(|(slope, _)| logistic(slope * own_line)));
        each.map(|chance| chance.clamp(1.0 - SURELY, SURELY))
    }
}

impl CutExperts {
    pub(crate) fn new() -> Self {
        Self {
            running: RunningRate::START,
            lately: RunningRate::START,
            scores: [RunningRate::EMPTY; SCORES],
            line: own_line(),
            weights: Some(Box::new(prior())),
        }
    }

    /// A mixture for a certain sign model.
    pub(crate) fn certain() -> Self {
        Self { weights: None, ..Self::new() }
    }

    /// The values on which the experts rest for a foot, as of a day.
    pub(crate) fn opinions(
        &self,
        signs: f64,
        born_day: Option<i32>,
        foot: &SeenFoot,
        as_of: i32,
    ) -> Opinions {
        let score = last_hindfoot(foot, as_of).map_or(7, |halves| usize::from(halves.min(6)));
        let begun = foot.visits.iter().filter(|visit| visit.day <= as_of).count() > 2;
        let score = score + if begun { 8 } else { 0 };
        let running = self.running.rate();
        let facts = facts(logit(signs), born_day, foot, as_of);
        Opinions {
            signs,
            rule: rule_of_thumb(foot, as_of),
            running,
            lately: self.lately.rate(),
            by_score: self.scores[score].shrunk_to(running, SCORE_WEIGHT),
            own_line: self.line.chance(&facts),
            score,
            facts,
        }
    }

    /// The chance of a tenotomy.
    pub(crate) fn chance(&self, opinions: &Opinions) -> f64 {
        let Some(weights) = &self.weights else { return opinions.signs };
        mean(weights, &opinions.each())
    }

    /// Its 90 % interval, from that of the chance by the signs and those of the clinic's own rates.
    pub(crate) fn interval(&self, opinions: &Opinions, (low, high): (f64, f64)) -> (f64, f64) {
        let Some(weights) = &self.weights else { return (low, high) };
        let (least, most) = self.running.interval();
        let (below, above) = (opinions.running - least, most - opinions.running);
        let at = |signs: f64, off: f64| {
            let off_by = |rate: f64| (rate + off).clamp(0.0, 1.0);
            let moved = Opinions {
                running: off_by(opinions.running),
                lately: off_by(opinions.lately),
                by_score: off_by(opinions.by_score),
                own_line: off_by(opinions.own_line),
                ..*opinions
            };
            mean(weights, &moved.each_by(signs))
        };
        (at(low, -below), at(high, above))
    }

    /// Learns from a foot with a known decision: first the experts are weighed by their chances, then the foot is
    /// counted.
    pub(crate) fn learn(&mut self, foot: &[Opinions], cut: bool) {
        if let Some(weights) = &mut self.weights
            && !foot.is_empty()
        {
            weigh(weights, foot, cut);
            self.line.learn(foot.iter().map(|opinions| opinions.facts), cut);
        }
        for opinions in foot {
            self.scores[opinions.score].learn_fading(cut, SCORES_FADE);
        }
        self.running.learn(cut);
        self.lately.learn_fading(cut, LATELY_FADE);
    }
}

fn mean(weights: &Weights, each: &Weights) -> f64 {
    weights.iter().zip(each).map(|(weight, chance)| weight * chance).sum()
}

fn weigh(weights: &mut Weights, foot: &[Opinions], cut: bool) {
    let exponent = 1.0 / FORECASTS.max(foot.len() as f64);
    let mut losses = [0.0; EXPERTS];
    for opinions in foot {
        for (loss, chance) in losses.iter_mut().zip(opinions.each()) {
            *loss -= exponent * if cut { chance } else { 1.0 - chance }.ln();
        }
    }
    weights.iter_mut().zip(losses).for_each(|(weight, loss)| *weight *= (-loss).exp());
    let sum: f64 = weights.iter().sum();
    for (weight, prior) in weights.iter_mut().zip(prior()) {
        *weight = (1.0 - SHARE) * *weight / sum + SHARE * prior;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::{RngExt, SeedableRng, rngs::StdRng};
    use record::{HalfPoint, Side};

    fn foot(rng: &mut StdRng) -> SeenFoot {
        let visits = (0..1 + (rng.random::<f64>() * 7.0) as i32).map(|number| crate::SeenVisit {
            day: 7 * number,
            signs: std::array::from_fn(|_| Some(HalfPoint::ALL[(rng.random::<f64>() * 3.0) as usize])),
            cast: true,
            ..crate::SeenVisit::default()
        });
        SeenFoot { visits: visits.collect(), ..SeenFoot::unseen(Side::Left) }
    }

    /// The bound of the module's description, foot by foot, whatever the signs say and whatever happens:
    /// here the signs are wrong, right or thrown, and the clinic turns round in the middle.
    #[test]
    fn the_mixture_loses_little_to_any_expert_whatever_happens() {
        for seed in 0..12 {
            let mut rng = StdRng::seed_from_u64(seed);
            let mut experts = CutExperts::new();
            let (mut own, mut each) = (0.0, [0.0; EXPERTS]);
            let feet = 300;
            for number in 0..feet {
                let seen = foot(&mut rng);
                let rate = [0.9, 0.2][usize::from(seed % 2 == 0 && number > 150)];
                let cut = rng.random::<f64>() < rate;
                let mut all = Vec::new();
                let exponent = 1.0 / FORECASTS.max(seen.visits.len() as f64);
                for visit in &seen.visits {
                    let signs = match seed % 3 {
                        0 => 0.05,
                        1 => 0.95,
                        _ => rng.random(),
                    };
                    let opinions = experts.opinions(signs, Some(0), &seen, visit.day);
                    let loss = |chance: f64| -exponent * if cut { chance } else { 1.0 - chance }.ln();
                    own += loss(experts.chance(&opinions));
                    each.iter_mut().zip(opinions.each()).for_each(|(sum, chance)| *sum += loss(chance));
                    all.push(opinions);
                }
                experts.learn(&all, cut);
            }
            for (loss, prior) in each.iter().zip(prior()) {
                let most = loss - prior.ln() - f64::from(feet) * (1.0 - SHARE).ln();
                assert!(own <= most + 1e-9, "seed {seed}: {own} against {loss}, at most {most}");
            }
        }
    }

    #[test]
    fn prior_weights_sum_to_one() {
        let sum: f64 = prior().iter().sum();
        assert!((sum - 1.0).abs() < 1e-12, "{sum}");
    }
}
