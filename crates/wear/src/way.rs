//! One step of the chain: the weight of each pair of states at its two ends, and the share worn between.

use super::physics::{OFF, Physics, WORN};
use statistics::hidden_markov::StepWeights as Step;

/// Cells of the grid for the moment of one change.
const CELLS: usize = 8;
/// Parts of a step in the grid for the starts and lengths of two changes.
const PARTS: usize = 5;
/// Steps of at least this length may contain a whole take-off, seconds.
const MAY_HIDE_S: f64 = 20.0 * 60.0;
/// Shorter steps do not contain two changes, seconds.
const MAY_HOLD_TWO_S: f64 = 400.0;
/// Time constant of a deviation from a level, seconds.
const CARRIED_S: f64 = 4.0 * 3600.0;
/// SD of the deviation from the exponential, as a share of the way still to go.
const WAY_SD: f64 = 0.08;
/// The worn share of a step for each pair of states, if a change falls in its middle.
pub(super) const HALVES: Step = [[0.0, 0.5], [0.5, 1.0]];

/// The values that are the same for every step of one length.
#[derive(Debug, Clone, Default)]
pub(super) struct Table {
    pub(super) seconds: f64,
    /// Chance of each pair.
    pub(super) chance: Step,
    /// Chance of no change, by state.
    still: [f64; 2],
    /// Chance of two changes per square of a part, by the state at both ends.
    twice: [f64; 2],
    /// The ends of steps with two changes, by the state at both ends.
    twice_ends: [Twice; 2],
    /// The share of a deviation left after a whole step: of a transient one in each state, and of one of the level.
    left: [f64; 2],
    carried: f64,
    /// The share left after q/8 of the step, by state.
    eighths: [[f64; CELLS + 1]; 2],
    /// Factors of the variance of the end of a step without changes: of the spread of the level, and by state
    /// of the square of the lasting and of the transient deviation.
    fresh: f64,
    unsure: [f64; 2],
    rough: [f64; 2],
    /// Variance added by every step, by state.
    noise: [f64; 2],
    /// The ends of steps with a change in the last or first cell, by the state that explains the step.
    edges: [Edge; 2],
    /// See [`super::Priors::left_out`].
    left_out: f64,
}

/// One change within one cell, off to worn and worn to off: the end is the new level, plus the distance of the
/// levels times one factor, plus the deviation before times another. Factors for the middle of the cell and for its
/// length.
#[derive(Debug, Clone, Copy, Default)]
struct Edge {
    distance: [f64; 2],
    deviation: [f64; 2],
    distance_length: [f64; 2],
    deviation_length: [f64; 2],
    /// Chance of a change in the cell.
    chance: [f64; 2],
    /// Cells before it.
    before: [f64; 2],
}

/// Starts and lengths of two changes.
const STARTS: usize = PARTS * (PARTS - 1) / 2;
/// The same, filled up to a multiple of four with starts that have no chance.
const ROOM_FOR_STARTS: usize = STARTS.next_multiple_of(4);

/// Two changes within a step: the end is that of a step without changes, plus the distance of the levels times
/// one factor, plus the deviation before times another.
#[derive(Debug, Clone, Copy, Default)]
struct Twice {
    distance: [f32; ROOM_FOR_STARTS],
    deviation: [f32; ROOM_FOR_STARTS],
    /// Chance that the stay between the changes lasts this long, and its length in parts.
    stays: [f32; ROOM_FOR_STARTS],
    length: [f32; ROOM_FOR_STARTS],
}

/// A step: temperatures at its ends, and the levels with their variances.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Ends {
    pub(super) before: f64,
    pub(super) now: f64,
    /// Off and worn level at the end of the step.
    pub(super) levels: [f64; 2],
    /// Variance about each.
    pub(super) spread: [f64; 2],
    /// The largest deviation from each that counts as one of the level, °C.
    pub(super) most: [f64; 2],
}

/// One step, prepared.
struct Way<'a> {
    table: &'a Table,
    before: f64,
    now: f64,
    levels: [f64; 2],
    /// Deviation from each level before.
    away: [f64; 2],
    /// The end of a step without changes, and the variance about it: off, worn.
    ends: [f64; 2],
    variance: [f64; 2],
    /// Variance about the end of a step with one change.
    turned: f64,
}

/// Density of Student's t with five degrees of freedom, up to a constant, from the square of the distance.
pub(super) fn density(square: f64, variance: f64) -> f64 {
    let base = variance + 0.2 * square;
    // This equals v³ / (b³ √v); written so, the division does not wait for the root.
    variance.sqrt() * (variance * variance / (base * base * base))
}

impl Table {
    pub(super) fn new(physics: &Physics, seconds: f64, left_out: f64) -> Self {
        let constants = [physics.cooling_s, physics.warming_s];
        let rates = [physics.put_ons_per_s, physics.take_offs_per_s];
        let all = rates[OFF] + rates[WORN];
        let settled = (-all * seconds).exp();
        let worn = rates[OFF] / all;
        let up = worn * (1.0 - settled);
        let down = (1.0 - worn) * (1.0 - settled);
        let still = rates.map(|rate| (-rate * seconds).exp());
        let left = constants.map(|constant| (-seconds / constant).exp());
        let carried = (-seconds / CARRIED_S).exp();
        let part = seconds / PARTS as f64;
        let parts = |constant: f64, q: usize, of: usize| (-seconds * q as f64 / (of as f64 * constant)).exp();
        let chance = [[1.0 - up, up], [down, 1.0 - down]];
        let eighths = constants.map(|constant| std::array::from_fn(|q| parts(constant, q, CELLS)));
        let halved: [[f64; 2 * PARTS + 1]; 2] =
            constants.map(|constant| std::array::from_fn(|q| parts(constant, q, 2 * PARTS)));
        Self {
            seconds,
            chance,
            still,
            twice: still.map(|still| rates[OFF] * rates[WORN] * part * part * still),
            twice_ends: [OFF, WORN].map(|state| {
                let other = 1 - state;
                let stays = |length: usize| (-rates[other] * part * length as f64).exp();
                Twice::new(&halved[state], &halved[other], stays)
            }),
            left,
            carried,
            eighths,
            edges: [OFF, WORN].map(|own| Edge::new(own, &chance, &eighths)),
            fresh: (1.0 - carried * carried).min(0.25),
            // A deviation within the spread may still be a transient one.
            unsure: left.map(|left| (0.25 * (carried - left)).powi(2)),
            rough: left.map(|left| (WAY_SD * (1.0 - left)).powi(2)),
            noise: physics.noise_c.map(|noise| noise * noise),
            left_out,
        }
    }

    /// The weight of each pair of states, and with `SHARES` the worn share of the step for each, if one state explains
    /// the step and two changes of the other can be left out. The third value is that other state, unless the step is
    /// too short for two changes. `None` if more has to be summed ([`Table::weighed`]).
    #[inline(always)]
    pub(super) fn at_once<const SHARES: bool>(&self, ends: Ends) -> Option<(Step, Step, Option<usize>)> {
        let way = self.way(&ends);
        let (still, seen) = way.staying();
        if still[OFF] == still[WORN] {
            return None;
        }
        let short = self.seconds < MAY_HOLD_TWO_S;
        if !short && (self.seconds >= MAY_HIDE_S || !way.others_two_are_small(still, seen)) {
            return None;
        }
        let own = usize::from(still[WORN]);
        let (weight, worn) = way.changed_at_the_edge::<SHARES>(own, seen);
        Some((weight, worn, (!short).then_some(1 - own)))
    }

    /// As [`Table::at_once`], for any step. If one state explains the step, two changes of the other are added if they
    /// may have weight; otherwise they are left out and the third value is that other state.
    #[inline(never)]
    pub(super) fn weighed<const SHARES: bool>(&self, ends: &Ends) -> (Step, Step, Option<usize>) {
        let way = self.way(ends);
        let (still, seen) = way.staying();
        if still[OFF] == still[WORN] {
            let (weight, worn) = way.sum_all::<SHARES>(still[OFF], seen);
            return (weight, worn, None);
        }
        let own = usize::from(still[WORN]);
        let (weight, worn) = way.changed_at_the_edge::<SHARES>(own, seen);
        if self.seconds < MAY_HOLD_TWO_S {
            return (weight, worn, None);
        }
        let small = way.others_two_are_small(still, seen);
        let (weight, worn) = way.with_two::<SHARES>(weight, worn, own, !small);
        (weight, worn, small.then_some(1 - own))
    }

    /// Adds two changes, from a state to the other and back.
    #[inline(never)]
    pub(super) fn add_two<const SHARES: bool>(
        &self,
        ends: &Ends,
        state: usize,
        weight: &mut Step,
        worn: &mut Step,
    ) {
        self.way(ends).add_two::<SHARES>(state, weight, worn);
    }

    #[inline(always)]
    fn way(&self, at: &Ends) -> Way<'_> {
        let away = both(|state| at.before - at.levels[state]);
        // The part of the deviation that belongs to the level lasts; the rest is transient.
        let own = both(|state| away[state].max(-at.most[state]).min(at.most[state]));
        let passing = both(|state| away[state] - own[state]);
        let ends =
            both(|state| at.levels[state] + own[state] * self.carried + passing[state] * self.left[state]);
        let variance = both(|state| {
            self.noise[state]
                + self.fresh * at.spread[state]
                + self.unsure[state] * own[state] * own[state]
                + self.rough[state] * passing[state] * passing[state]
        });
        let floor = least_sd(at.levels);
        let turned = variance[OFF].min(variance[WORN]).max(floor * floor);
        Way { table: self, before: at.before, now: at.now, levels: at.levels, away, ends, variance, turned }
    }
}

impl Edge {
    fn new(own: usize, chance: &Step, eighths: &[[f64; CELLS + 1]; 2]) -> Self {
        let mut edge = Self::default();
        for (from, to) in [(OFF, WORN), (WORN, OFF)] {
            let cell = if from == own { CELLS - 1 } else { 0 };
            let second = |q: usize| eighths[to][CELLS - q];
            let (left, right) = (second(cell), second(cell + 1));
            let (first, last) = (eighths[from][cell] * left, eighths[from][cell + 1] * right);
            edge.distance[from] = 0.5 * (left + right);
            edge.distance_length[from] = right - left;
            edge.deviation[from] = 0.5 * (first + last);
            edge.deviation_length[from] = last - first;
            edge.chance[from] = chance[from][to] / CELLS as f64;
            edge.before[from] = cell as f64;
        }
        edge
    }
}

/// A value for each of the two states.
#[inline(always)]
fn both<T>(of: impl Fn(usize) -> T) -> [T; 2] {
    [of(OFF), of(WORN)]
}

impl Way<'_> {
    /// The end of a step that changes after this many eighths.
    #[inline]
    fn turned_after(&self, from: usize, eighths: usize) -> f64 {
        let to = 1 - from;
        let [first, second] = [&self.table.eighths[from], &self.table.eighths[to]];
        let turned = self.levels[from] + (self.before - self.levels[from]) * first[eighths];
        self.levels[to] + (turned - self.levels[to]) * second[CELLS - eighths]
    }

    /// A change within one cell that ends between the two temperatures: the density of `now`, and the moment
    /// in cells from the start of the cell.
    #[inline]
    fn along<const SHARES: bool>(&self, left: f64, right: f64) -> (f64, f64) {
        let length = right - left;
        let squared = length * length;
        let off = self.now - 0.5 * (left + right);
        let chance = density(off * off, self.turned + squared / 12.0);
        if !SHARES {
            return (chance, 0.5);
        }
        // The place in the cell, as far as the noise allows an estimate.
        let seen = squared / (squared + 12.0 * self.turned);
        let along = if length == 0.0 { 0.5 } else { ((self.now - left) / length).clamp(0.0, 1.0) };
        (chance, 0.5 + seen * (along - 0.5))
    }

    /// Whether staying in each state explains the step, and its weight.
    #[inline(always)]
    fn staying(&self) -> ([bool; 2], [f64; 2]) {
        let square = both(|state| (self.now - self.ends[state]) * (self.now - self.ends[state]));
        let still = both(|state| square[state] < 4.0 * self.variance[state]);
        let seen = both(|state| self.table.still[state] * density(square[state], self.variance[state]));
        (still, seen)
    }

    /// Whether two changes of the state that does not explain the step have almost no weight.
    #[inline(always)]
    fn others_two_are_small(&self, still: [bool; 2], seen: [f64; 2]) -> bool {
        let left_out = self.table.left_out;
        if still[WORN] {
            self.two_are_small(OFF, left_out * seen[WORN] - seen[OFF])
        } else {
            self.two_are_small(WORN, left_out * seen[OFF] - seen[WORN])
        }
    }

    /// If staying explains the step, a change can only be in its last or first cell.
    #[inline(always)]
    fn changed_at_the_edge<const SHARES: bool>(&self, own: usize, seen: [f64; 2]) -> (Step, Step) {
        let (chance, share) = self.at_the_edge::<SHARES>(&self.table.edges[own]);
        let weight = [[seen[OFF], chance[OFF]], [chance[WORN], seen[WORN]]];
        (weight, [[0.0, share[OFF]], [share[WORN], 1.0]])
    }

    /// One change in one cell, from off and from worn: the weight, and the worn share of the step.
    #[inline(always)]
    fn at_the_edge<const SHARES: bool>(&self, edge: &Edge) -> ([f64; 2], [f64; 2]) {
        let distance = [self.levels[OFF] - self.levels[WORN], self.levels[WORN] - self.levels[OFF]];
        let length = both(|from| {
            distance[from] * edge.distance_length[from] + self.away[from] * edge.deviation_length[from]
        });
        let off = both(|from| {
            let level = self.levels[from] - distance[from];
            self.now - level - distance[from] * edge.distance[from] - self.away[from] * edge.deviation[from]
        });
        let variance = both(|from| self.turned + length[from] * length[from] * (1.0 / 12.0));
        let weight = both(|from| edge.chance[from] * density(off[from] * off[from], variance[from]));
        if !SHARES {
            return (weight, [0.5; 2]);
        }
        // The place in the cell, as far as the noise allows an estimate.
        let before = both(|from| {
            let half = 0.5 * length[from].abs();
            let along = off[from].max(-half).min(half) * length[from] / (12.0 * variance[from]);
            (edge.before[from] + 0.5 + along) * (1.0 / CELLS as f64)
        });
        (weight, [1.0 - before[OFF], before[WORN]])
    }

    /// Sums over all moments of one change, and of two if the step is long enough.
    #[inline(never)]
    fn sum_all<const SHARES: bool>(&self, still: bool, seen: [f64; 2]) -> (Step, Step) {
        let (mut weight, mut worn) = ([[seen[OFF], 0.0], [0.0, seen[WORN]]], HALVES);
        for (from, to) in [(OFF, WORN), (WORN, OFF)] {
            let (chance, share) = self.in_all_cells::<SHARES>(from);
            weight[from][to] = self.table.chance[from][to] * chance;
            worn[from][to] = share;
        }
        let seconds = self.table.seconds;
        if seconds >= MAY_HIDE_S || (!still && seconds >= MAY_HOLD_TWO_S) {
            self.add_two::<SHARES>(OFF, &mut weight, &mut worn);
            self.add_two::<SHARES>(WORN, &mut weight, &mut worn);
        }
        (weight, worn)
    }

    /// Adds two changes: of the state that explains the step if it is long enough to contain them, and of
    /// the other on request.
    #[inline(never)]
    fn with_two<const SHARES: bool>(
        &self,
        mut weight: Step,
        mut worn: Step,
        own: usize,
        other_too: bool,
    ) -> (Step, Step) {
        if self.table.seconds >= MAY_HIDE_S {
            self.add_two::<SHARES>(own, &mut weight, &mut worn);
        }
        if other_too {
            self.add_two::<SHARES>(1 - own, &mut weight, &mut worn);
        }
        (weight, worn)
    }

    /// From one state to the other at any moment of the step: the density of `now`, and the share worn.
    fn in_all_cells<const SHARES: bool>(&self, from: usize) -> (f64, f64) {
        let (mut total, mut moments) = (0.0, 0.0);
        let mut left = self.turned_after(from, 0);
        for cell in 0..CELLS {
            let right = self.turned_after(from, cell + 1);
            let (chance, moment) = self.along::<SHARES>(left, right);
            total += chance;
            moments += chance * (cell as f64 + moment);
            left = right;
        }
        let before = moments / (total * CELLS as f64);
        (total / CELLS as f64, if from == WORN { before } else { 1.0 - before })
    }

    /// Whether two changes within the step weigh at most `room`: no density exceeds the inverse of its SD.
    #[inline(always)]
    fn two_are_small(&self, state: usize, room: f64) -> bool {
        let most = STARTS as f64 * self.table.twice[state];
        room >= 0.0 && most * most <= room * room * self.variance[state]
    }

    /// Adds two changes to staying.
    fn add_two<const SHARES: bool>(&self, state: usize, weight: &mut Step, worn: &mut Step) {
        let (extra, share) = self.two_changes(state);
        let all = weight[state][state] + extra;
        if SHARES {
            let own = state as f64;
            worn[state][state] = own + (share - own) * extra / all;
        }
        weight[state][state] = all;
    }

    /// From a state to the other and back within the step: weight, and the share worn.
    fn two_changes(&self, state: usize) -> (f64, f64) {
        let grid = &self.table.twice_ends[state];
        let distance = self.levels[1 - state] - self.levels[state];
        let missed = (self.now - self.ends[state]) as f32;
        let (distance, away) = (distance as f32, self.away[state] as f32);
        let variance = self.variance[state] as f32;
        // Four at once, in single precision: these weights are a small part of any step.
        let (mut totals, mut outsides) = ([0.0_f32; 4], [0.0_f32; 4]);
        for at in (0..ROOM_FOR_STARTS).step_by(4) {
            for lane in 0..4 {
                let further = distance * grid.distance[at + lane] + away * grid.deviation[at + lane];
                let off = missed - further;
                let spread = variance + 0.02 * further * further;
                let base = spread + 0.2 * off * off;
                let chance = grid.stays[at + lane] * spread.sqrt() * (spread * spread / (base * base * base));
                totals[lane] += chance;
                outsides[lane] += chance * grid.length[at + lane];
            }
        }
        let sum = |lanes: [f32; 4]| f64::from((lanes[0] + lanes[1]) + (lanes[2] + lanes[3]));
        let (total, outside) = (sum(totals), sum(outsides));
        let share = outside / (total * PARTS as f64);
        (self.table.twice[state] * total, if state == WORN { 1.0 - share } else { share })
    }
}

impl Twice {
    /// Starts in the middle of each part, and every length that fits.
    fn new(own: &[f64], away: &[f64], stays: impl Fn(usize) -> f64) -> Self {
        let mut grid = Self::default();
        let mut at = 0;
        for length in 1..PARTS {
            for begin in 0..PARTS - length {
                // In halved.
                let (b, l) = (2 * begin + 1, 2 * length);
                let rest = own[2 * PARTS - b - l];
                grid.distance[at] = ((1.0 - away[l]) * rest) as f32;
                grid.deviation[at] = (own[b] * away[l] * rest - own[2 * PARTS]) as f32;
                grid.stays[at] = stays(length) as f32;
                grid.length[at] = length as f32;
                at += 1;
            }
        }
        grid
    }
}

/// The smallest SD with which a change is placed: a hundredth of the distance of the levels.
fn least_sd(levels: [f64; 2]) -> f64 {
    (0.01 * (levels[1] - levels[0]).abs()).max(0.05)
}
