//! The forward and backward pass over the steps of a series, and what is learned from it.
//!
//! Over a step from `before` to `now` the weight of each pair of states is the chance of the pair by the
//! Poisson rates times the density of `now`. Without a change, `now` lies near the end of one exponential.
//! With one change, `now` depends on the moment of the change, which is summed over a grid; within a cell the
//! end is taken as linear. With two changes (a short take-off) the sum is over a grid of start and length.
//! Densities are Student's t with five degrees of freedom, so that sunshine on a boot or a faulty sample
//! does not outweigh a day.
//!
//! Over nearly every step nothing changes. There the grids have almost no weight and are left out if a bound
//! shows it ([`Priors::left_out`]).

use super::levels::Levels;
use super::physics::{OFF, Physics, WORN};
use super::priors::Priors;
use super::steps::Steps;
use super::way::{Ends, HALVES, Table, density};
use statistics::hidden_markov::{StepWeights as Step, TwoStates};

/// Weight of the prior on a time constant: three steps of eight degrees.
const MINUTES_WEIGHT: f64 = 3.0 * 64.0;

/// The result of the passes over a series.
#[derive(Debug, Default)]
pub(super) struct Passes {
    pub(super) chain: TwoStates,
    weights: Vec<Step>,
    /// For each step and pair of states, the share of the step that is worn.
    pub(super) worn: Vec<Step>,
}

impl Passes {
    /// Puts every step in one state.
    pub(super) fn all_in(&mut self, state: usize, count: usize) {
        let mut pair = Step::default();
        pair[state][state] = 1.0;
        self.chain.pairs = vec![pair; count];
        self.worn = vec![[[0.0, 0.5], [0.5, 1.0]]; count];
    }
}

/// Consecutive steps that the same state explains.
#[derive(Debug, Default)]
struct Run {
    /// The other state.
    other: Option<usize>,
    length: usize,
}

/// The factor on [`Priors::left_out`] in the pass from which levels and rates are learned, which need not be as exact.
const LEFT_OUT_TO_LEARN: f64 = 7.0;

/// The number of steps at either end of a run in which two changes are summed in full.
const EDGE: usize = 3;

impl Run {
    fn goes_on(&mut self, quiet: Option<usize>) -> bool {
        self.length += 1;
        quiet == self.other
    }

    fn begin(&mut self, quiet: Option<usize>) {
        *self = Self { other: quiet, length: 1 };
    }

    /// The steps near the end that are not summed in full yet, if the run ended before `step`.
    fn end(&self, step: usize) -> (usize, std::ops::Range<usize>) {
        // The step that ended it has been counted already.
        let length = if self.other.is_some() { self.length } else { 0 };
        (self.other.unwrap_or(OFF), step - length.saturating_sub(EDGE).min(EDGE)..step)
    }
}

impl Physics {
    /// Forward and backward pass over all steps. Only with `SHARES` are the worn shares of the steps computed.
    pub(super) fn smooth<const SHARES: bool>(&self, steps: &Steps, levels: &Levels, passes: &mut Passes) {
        self.weigh::<SHARES>(steps, levels, passes);
        let first = self.without_predecessor(steps, levels, 0);
        let on = self.put_ons_per_s / (self.put_ons_per_s + self.take_offs_per_s);
        let start = [(1.0 - on) * first[OFF], on * first[WORN]];
        // Densities of t are never zero, so no step is impossible. If rounding makes one so, the chances are even
        // and the hours undecided.
        if passes.chain.smooth_into(start, &passes.weights).is_err() {
            passes.chain.pairs = vec![[[0.25; 2]; 2]; passes.weights.len()];
        }
    }

    /// Densities of a sample with an unknown predecessor.
    fn without_predecessor(&self, steps: &Steps, levels: &Levels, sample: usize) -> [f64; 2] {
        let spread = levels.spread(steps, sample);
        let away = [OFF, WORN].map(|state| steps.celsius[sample] - levels.level(steps, sample, state));
        [density(away[OFF] * away[OFF], spread[OFF]), density(away[WORN] * away[WORN], spread[WORN])]
    }

    /// The start of a step.
    #[inline(always)]
    fn ends(&self, steps: &Steps, levels: &Levels, step: usize) -> Ends {
        let block = usize::from(steps.block[step + 1]);
        let spread = levels.spread(steps, step + 1);
        Ends {
            before: steps.celsius[step],
            now: steps.celsius[step + 1],
            levels: [levels.off_level(steps, step + 1, block), levels.worn.mean[block]],
            spread,
            most: spread.map(|variance| 2.0 * variance.sqrt()),
        }
    }

    fn weigh<const SHARES: bool>(&self, steps: &Steps, levels: &Levels, passes: &mut Passes) {
        let count = steps.at_s.len() - 1;
        passes.weights.resize(count, Step::default());
        passes.worn.resize(if SHARES { count } else { 0 }, HALVES);
        let mut table = Table::default();
        let (mut ends, mut hour) = (Ends::default(), u32::MAX);
        let mut run = Run::default();
        let left_out = if SHARES { self.left_out } else { LEFT_OUT_TO_LEARN * self.left_out };
        for step in 0..count {
            let seconds = steps.seconds(step);
            if seconds != table.seconds {
                table = Table::new(self, seconds, left_out);
            }
            let mut put = |weight: Step, worn: Step| {
                passes.weights[step] = weight;
                if SHARES {
                    passes.worn[step] = worn;
                }
            };
            let mut quiet = None;
            if seconds > steps.gap_s {
                let seen = self.without_predecessor(steps, levels, step + 1);
                let weight = table.chance.map(|from| [from[OFF] * seen[OFF], from[WORN] * seen[WORN]]);
                put(weight, Step::default());
            } else {
                if steps.bin[step + 1] != hour {
                    hour = steps.bin[step + 1];
                    ends = self.ends(steps, levels, step);
                } else {
                    let block = usize::from(steps.block[step + 1]);
                    (ends.before, ends.now) = (steps.celsius[step], steps.celsius[step + 1]);
                    ends.levels = [levels.off_level(steps, step + 1, block), levels.worn.mean[block]];
                }
                // Most steps need only this, which stays in registers; the rest is a call.
                if let Some((weight, worn, other)) = table.at_once::<SHARES>(ends) {
                    put(weight, worn);
                    quiet = other;
                } else {
                    let (weight, worn, other) = table.weighed::<SHARES>(&{ ends });
                    put(weight, worn);
                    quiet = other;
                }
            }
            let near_the_begin = if run.goes_on(quiet) {
                // Inside a run two changes of the other state have no weight; near its ends they are summed.
                run.length <= EDGE
            } else {
                self.sum_end_of_run::<SHARES>(steps, levels, passes, &table, run.end(step));
                run.begin(quiet);
                true
            };
            if let Some(other) = quiet.filter(|_| near_the_begin) {
                let (weight, mut worn) = (&mut passes.weights[step], HALVES);
                table.add_two::<SHARES>(&{ ends }, other, weight, &mut worn);
                if SHARES {
                    passes.worn[step][other][other] = worn[other][other];
                }
            }
        }
        self.sum_end_of_run::<SHARES>(steps, levels, passes, &table, run.end(count));
    }

    /// Sums two changes in full for the last steps of a run that has ended.
    fn sum_end_of_run<const SHARES: bool>(
        &self,
        steps: &Steps,
        levels: &Levels,
        passes: &mut Passes,
        table: &Table,
        (other, range): (usize, std::ops::Range<usize>),
    ) {
        for step in range {
            let seconds = steps.seconds(step);
            let own = (seconds != table.seconds).then(|| Table::new(self, seconds, self.left_out));
            let ends = self.ends(steps, levels, step);
            let mut worn = HALVES;
            own.as_ref().unwrap_or(table).add_two::<SHARES>(
                &ends,
                other,
                &mut passes.weights[step],
                &mut worn,
            );
            if SHARES {
                passes.worn[step][other][other] = worn[other][other];
            }
        }
    }

    /// One maximisation: time constants, rates and the noise of a step.
    pub(super) fn learn(&mut self, steps: &Steps, levels: &Levels, chain: &TwoStates, priors: &Priors) {
        let typical = steps.sampling_s.max(240.0);
        let prior = [priors.minutes.1 * 60.0, priors.minutes.0 * 60.0];
        let mut squares = [MINUTES_WEIGHT; 2];
        let mut products = prior.map(|constant| MINUTES_WEIGHT * (-typical / constant).exp());
        let (mut changes, mut hours) = ([0.0; 2], [0.0; 2]);
        let mut noise = [(20.0, 20.0 * 0.2 * 0.2); 2];
        for (step, pair) in chain.pairs.iter().enumerate() {
            let seconds = steps.seconds(step);
            changes[OFF] += pair[OFF][WORN];
            changes[WORN] += pair[WORN][OFF];
            for state in [OFF, WORN] {
                hours[state] += seconds * (pair[state][state] + 0.5 * (pair[OFF][WORN] + pair[WORN][OFF]));
                if pair[state][state] < 0.95 || (seconds / typical - 1.0).abs() > 0.25 {
                    continue;
                }
                let level = levels.level(steps, step + 1, state);
                let (x, y) = (steps.celsius[step] - level, steps.celsius[step + 1] - level);
                if x.abs() > 3.0 {
                    squares[state] += x * x;
                    products[state] += x * y;
                } else if x.abs() < 1.5 && (x - y).abs() < 1.5 {
                    noise[state].0 += 1.0;
                    noise[state].1 += (y - x) * (y - x);
                }
            }
        }
        let constant = |state: usize| {
            let left = (products[state] / squares[state]).clamp(1e-4, 0.99);
            (-typical / left.ln()).clamp(prior[state] / 4.0, prior[state] * 4.0)
        };
        (self.cooling_s, self.warming_s) = (constant(OFF), constant(WORN));
        let rate = |state: usize| (changes[state] + 2.0) / (hours[state] + 12.0 * 3600.0);
        (self.put_ons_per_s, self.take_offs_per_s) = (rate(OFF), rate(WORN));
        self.noise_c = noise.map(|(weight, sum): (f64, f64)| (sum / weight).sqrt().clamp(0.08, 1.0));
    }
}
