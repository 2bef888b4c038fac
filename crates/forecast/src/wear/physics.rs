//! How the temperature goes on over a step, and what that says of the states at its ends.
//!
//! Over a step from `before` to `now` the weight of each pair of states is the chance of the pair by the
//! Poisson rates times the density of `now`. With no change between, `now` lies about one exponential's
//! end. With one change, `now` depends on its moment; the moment is laid out on a grid, each of its cells
//! a line from one end to the other. With two changes (a short take-off), on a grid of start and length.
//! Densities are Student's t with five degrees of freedom, so that sunshine on a boot or a faulty sample
//! does not outweigh a day.

use super::levels::{Levels, Priors};
use super::steps::Steps;
use statistics::hidden_markov::{Step, TwoStates};

/// Off is 0, worn is 1, here as in every array of states.
const OFF: usize = 0;
const WORN: usize = 1;
/// Cells of the moment of one change.
const CELLS: usize = 8;
/// Starts and lengths of two changes within a step.
const SIXTHS: usize = 6;
/// Steps from this length on may hide a whole take-off.
const MAY_HIDE_S: f64 = 20.0 * 60.0;
/// A deviation of a level goes on for about so long, seconds.
const CARRIED_S: f64 = 4.0 * 3600.0;
/// How well an exponential is kept to, as a share of the way that is left.
const WAY_SD: f64 = 0.08;
/// Weight of the prior on a time constant, as one step over eight degrees a piece.
const MINUTES_WEIGHT: f64 = 3.0 * 64.0;

/// Parameters of the steps.
#[derive(Debug, Clone)]
pub(super) struct Physics {
    pub(super) warming_s: f64,
    pub(super) cooling_s: f64,
    pub(super) take_offs_per_s: f64,
    pub(super) put_ons_per_s: f64,
    /// SD of what one step adds: off, worn.
    noise_c: [f64; 2],
}

/// One step, made ready.
struct Way<'a> {
    table: &'a Table,
    before: f64,
    now: f64,
    /// Off and worn level at the end of the step.
    levels: [f64; 2],
    /// SD about where an undisturbed step ends: off, worn.
    sd: [f64; 2],
    /// Where an undisturbed step ends: off, worn.
    ends: [f64; 2],
}

/// What is the same for every step of one length.
#[derive(Debug, Clone, Default)]
struct Table {
    seconds: f64,
    /// Chance of each pair.
    chance: Step,
    /// Chance of no change, and of two, from each state to itself.
    still: [f64; 2],
    /// What is left of a deviation after a whole step: of a passing one in each state, and of a level.
    left: [f64; 2],
    carried: f64,
    /// After q/8 of the step, by state.
    eighths: [[f64; CELLS + 1]; 2],
    /// After q/12 of the step, by state.
    twelfths: [[f64; 2 * SIXTHS + 1]; 2],
}

/// What the passes over a series came to.
#[derive(Debug, Default)]
pub(super) struct Passed {
    pub(super) chain: TwoStates,
    weights: Vec<Step>,
    /// For each step and pair of states, the share of the step that is worn.
    pub(super) worn: Vec<Step>,
}

impl Passed {
    /// Every step in one state.
    pub(super) fn all_in(&mut self, state: usize, count: usize) {
        let mut pair = Step::default();
        pair[state][state] = 1.0;
        self.chain.pairs = vec![pair; count];
        self.worn = vec![[[0.0, 0.5], [0.5, 1.0]]; count];
    }
}

/// Student's t with five degrees of freedom, up to its constant.
fn density(off: f64, sd: f64) -> f64 {
    let z = off / sd;
    let base = 1.0 + 0.2 * z * z;
    1.0 / (base * base * base * sd)
}

impl Table {
    fn new(physics: &Physics, seconds: f64) -> Self {
        let constants = [physics.cooling_s, physics.warming_s];
        let (on, off) = (physics.put_ons_per_s, physics.take_offs_per_s);
        let settled = (-(on + off) * seconds).exp();
        let worn = on / (on + off);
        let up = worn * (1.0 - settled);
        let down = (1.0 - worn) * (1.0 - settled);
        Self {
            seconds,
            chance: [[1.0 - up, up], [down, 1.0 - down]],
            still: [(-on * seconds).exp(), (-off * seconds).exp()],
            left: constants.map(|constant| (-seconds / constant).exp()),
            carried: (-seconds / CARRIED_S).exp(),
            eighths: constants.map(|constant| {
                std::array::from_fn(|q| (-seconds * q as f64 / (CELLS as f64 * constant)).exp())
            }),
            twelfths: constants.map(|constant| {
                std::array::from_fn(|q| (-seconds * q as f64 / (2.0 * SIXTHS as f64 * constant)).exp())
            }),
        }
    }
}

impl Physics {
    pub(super) fn start(priors: &Priors) -> Self {
        Self {
            warming_s: priors.minutes.0 * 60.0,
            cooling_s: priors.minutes.1 * 60.0,
            take_offs_per_s: 1.0 / (8.0 * 3600.0),
            put_ons_per_s: 1.0 / (4.0 * 3600.0),
            noise_c: [0.3, 0.3],
        }
    }

    /// Forward and backward over all steps.
    pub(super) fn smooth(&self, steps: &Steps, levels: &Levels, passed: &mut Passed) {
        passed.weights.clear();
        passed.worn.clear();
        self.walk(steps, levels, passed);
        let first = self.at_a_loss(steps, levels, 0);
        let on = self.put_ons_per_s / (self.put_ons_per_s + self.take_offs_per_s);
        let start = [(1.0 - on) * first[OFF], on * first[WORN]];
        // Densities of t are never zero, so no step is impossible; should rounding make one so, the
        // chances stay even and the hours undecided.
        if passed.chain.smooth_into(start, &passed.weights).is_err() {
            passed.chain.pairs = vec![[[0.25; 2]; 2]; passed.weights.len()];
        }
    }

    /// Densities of a sample whose predecessor is not known.
    fn at_a_loss(&self, steps: &Steps, levels: &Levels, sample: usize) -> [f64; 2] {
        let block = usize::from(steps.block[sample]);
        let celsius = steps.celsius[sample];
        let off = (levels.off_sd.powi(2) + levels.off.variance[block]).sqrt();
        let worn = (levels.worn_sd.powi(2) + levels.worn.variance[block]).sqrt();
        let level = |state| levels.level(steps, sample, state);
        [density(celsius - level(OFF), off), density(celsius - level(WORN), worn)]
    }

    fn walk(&self, steps: &Steps, levels: &Levels, passed: &mut Passed) {
        let mut table = Table::default();
        for step in 0..steps.at_s.len() - 1 {
            let seconds = steps.seconds(step);
            if seconds != table.seconds {
                table = Table::new(self, seconds);
            }
            let (weight, worn) = if seconds > steps.gap_s {
                let seen = self.at_a_loss(steps, levels, step + 1);
                let weight = table.chance.map(|from| [from[OFF] * seen[OFF], from[WORN] * seen[WORN]]);
                (weight, Step::default())
            } else {
                self.way(&table, steps, levels, step).weighed(self)
            };
            passed.weights.push(weight);
            passed.worn.push(worn);
        }
    }

    fn way<'a>(&self, table: &'a Table, steps: &Steps, levels: &Levels, step: usize) -> Way<'a> {
        let (before, now) = (steps.celsius[step], steps.celsius[step + 1]);
        let block = usize::from(steps.block[step + 1]);
        let at = [levels.off_level(steps, step + 1, block), levels.worn.mean[block]];
        let spread = [
            levels.off_sd.powi(2) + levels.off.variance[block],
            levels.worn_sd.powi(2) + levels.worn.variance[block],
        ];
        let mut way = Way { table, before, now, levels: at, sd: [0.0; 2], ends: [0.0; 2] };
        for state in [OFF, WORN] {
            let away = before - at[state];
            // What of the deviation belongs to the level and goes on; the rest passes.
            let most = 2.0 * spread[state].sqrt();
            let own = away.clamp(-most, most);
            let passing = away - own;
            way.ends[state] = at[state] + own * table.carried + passing * table.left[state];
            let fresh = spread[state] * (1.0 - table.carried * table.carried);
            // A deviation within the spread may yet be a passing one.
            let unsure = 0.25 * own.abs() * (table.carried - table.left[state]);
            let rough = WAY_SD * passing * (1.0 - table.left[state]);
            way.sd[state] = (self.noise_c[state].powi(2)
                + fresh.min(0.25 * spread[state])
                + unsure * unsure
                + rough * rough)
                .sqrt();
        }
        way
    }

    /// One maximisation: time constants, rates and what a step adds.
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

impl Way<'_> {
    fn weighed(&self, physics: &Physics) -> (Step, Step) {
        let table = self.table;
        let seen: [f64; 2] = std::array::from_fn(|at| density(self.now - self.ends[at], self.sd[at]));
        let mut weight = [[0.0; 2]; 2];
        let mut worn = [[0.0, 0.5], [0.5, 1.0]];
        let still = [OFF, WORN].map(|at| (self.now - self.ends[at]).abs() < 2.0 * self.sd[at]);
        for (from, to) in [(OFF, WORN), (WORN, OFF)] {
            // Where staying explains the step, a change can only have come at its very end or beginning.
            let cells = match (still[from], still[to]) {
                (true, false) => CELLS - 1..CELLS,
                (false, true) => 0..1,
                _ => 0..CELLS,
            };
            let (chance, share) = self.one_change(from, cells);
            weight[from][to] = table.chance[from][to] * chance;
            worn[from][to] = share;
        }
        for state in [OFF, WORN] {
            weight[state][state] = table.still[state] * seen[state];
            let astray = !still[state];
            if table.seconds >= MAY_HIDE_S || (astray && table.seconds >= 400.0) {
                let (extra, share) = self.two_changes(state, physics);
                let all = weight[state][state] + extra;
                let own = state as f64;
                worn[state][state] = own + (share - own) * extra / all;
                weight[state][state] = all;
            }
        }
        (weight, worn)
    }

    /// From one state to the other at any moment of the step: the density of `now`, and the share worn.
    fn one_change(&self, from: usize, cells: std::ops::Range<usize>) -> (f64, f64) {
        let to = 1 - from;
        let [first, second] = [&self.table.eighths[from], &self.table.eighths[to]];
        let end = |q: usize| {
            let turned = self.levels[from] + (self.before - self.levels[from]) * first[q];
            self.levels[to] + (turned - self.levels[to]) * second[CELLS - q]
        };
        let noise = self.sd[to].min(self.sd[from]).max(physics_floor(self.levels));
        let (mut total, mut moment) = (0.0, 0.0);
        let mut left = end(cells.start);
        for cell in cells {
            let right = end(cell + 1);
            let length = right - left;
            let spread = (noise * noise + length * length / 12.0).sqrt();
            let chance = density(self.now - 0.5 * (left + right), spread);
            // Where in the cell: along the line, as far as the noise lets one see.
            let seen = length * length / (length * length + 12.0 * noise * noise);
            let along = if length == 0.0 { 0.5 } else { ((self.now - left) / length).clamp(0.0, 1.0) };
            total += chance;
            moment += chance * (cell as f64 + 0.5 + seen * (along - 0.5));
            left = right;
        }
        let before_share = moment / (total * CELLS as f64);
        (total / CELLS as f64, if from == WORN { before_share } else { 1.0 - before_share })
    }

    /// From a state to the other and back within the step: weight, and the share worn.
    fn two_changes(&self, state: usize, physics: &Physics) -> (f64, f64) {
        let other = 1 - state;
        let rates = [physics.put_ons_per_s, physics.take_offs_per_s];
        let cell = self.table.seconds / SIXTHS as f64;
        let [own, away] = [&self.table.twelfths[state], &self.table.twelfths[other]];
        let noise = self.sd[state];
        let start = self.ends[state];
        let (mut total, mut outside) = (0.0, 0.0);
        for length in 1..SIXTHS {
            let stays = (-rates[other] * cell * length as f64).exp();
            for begin in 0..SIXTHS - length {
                // In twelfths: begins in the middle of a sixth.
                let (b, l) = (2 * begin + 1, 2 * length);
                let rest = 2 * SIXTHS - b - l;
                let left = self.levels[state] + (self.before - self.levels[state]) * own[b];
                let turned = self.levels[other] + (left - self.levels[other]) * away[l];
                let undisturbed = self.levels[state] + (self.before - self.levels[state]) * own[2 * SIXTHS];
                let end =
                    start - undisturbed + self.levels[state] + (turned - self.levels[state]) * own[rest];
                let spread = (noise * noise + 0.02 * (end - start) * (end - start)).sqrt();
                let chance = stays * density(self.now - end, spread);
                total += chance;
                outside += chance * length as f64;
            }
        }
        let share = outside / (total * SIXTHS as f64);
        let weight = rates[state] * rates[other] * cell * cell * self.table.still[state] * total;
        (weight, if state == WORN { 1.0 - share } else { share })
    }
}

/// No change is placed more sharply than a hundredth of the distance of the levels.
fn physics_floor(levels: [f64; 2]) -> f64 {
    (0.01 * (levels[1] - levels[0]).abs()).max(0.05)
}
