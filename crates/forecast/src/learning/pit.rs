//! The places of outcomes in their own forecasts, and the map that follows from them.

/// Ends of the cells of the unit interval: fine at both ends, where windows end.
const ENDS: [f64; CELLS + 1] = [
    0.0, 0.005, 0.02, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.98, 0.99, 0.995, 0.999, 1.0,
];
const CELLS: usize = 18;

/// Prior of the tails: shares of outcomes beyond uniform in the four cells at the low end and the six at the high end.
/// Assumed; late outcomes have more weight, because there is no smallest pace of a foot.
const LOW: [f64; 4] = [0.025, 0.025, 0.02, 0.01];
const HIGH: [f64; 6] = [0.025, 0.03, 0.025, 0.025, 0.03, 0.025];

/// Marks by cell.
#[derive(Debug, Clone, Default)]
pub(crate) struct Marks {
    cells: [f64; CELLS],
}

/// The share of outcomes up to each end of a cell.
#[derive(Debug, Clone)]
pub(crate) struct Map {
    shares: [f64; CELLS],
}

impl Marks {
    /// Adds a mark spread evenly from `below` to `upto`; older ones fade, so that about `memory` marks count.
    pub(crate) fn learn(&mut self, below: f64, upto: f64, memory: f64) {
        self.cells.iter_mut().for_each(|cell| *cell *= 1.0 - 1.0 / memory);
        let below = below.clamp(0.0, 1.0);
        let upto = upto.clamp(below, 1.0);
        let width = upto - below;
        if width < 1e-9 {
            let cell = ENDS[1..].iter().position(|end| below < *end).unwrap_or(CELLS - 1);
            self.cells[cell] += 1.0;
            return;
        }
        for (cell, ends) in self.cells.iter_mut().zip(ENDS.windows(2)) {
            *cell += (ends[1].min(upto) - ends[0].max(below)).max(0.0) / width;
        }
    }

    /// The map of these marks, shrunk to a prior map with a weight in marks.
    pub(crate) fn over(&self, prior: &Map, weight: f64) -> Map {
        let sum = weight + self.cells.iter().sum::<f64>();
        Map { shares: std::array::from_fn(|cell| (self.cells[cell] + weight * prior.shares[cell]) / sum) }
    }
}

impl Map {
    /// The prior for a clinic without a past.
    pub(crate) fn guess() -> Self {
        let more: f64 = LOW.iter().chain(&HIGH).sum();
        let mut shares: [f64; CELLS] =
            std::array::from_fn(|cell| (1.0 - more) * (ENDS[cell + 1] - ENDS[cell]));
        shares.iter_mut().zip(LOW).for_each(|(share, more)| *share += more);
        shares[CELLS - HIGH.len()..].iter_mut().zip(HIGH).for_each(|(share, more)| *share += more);
        Self { shares }
    }

    /// Maps chances that sum to about 1.
    pub(crate) fn apply(&self, chances: &mut [f64]) {
        let sum: f64 = chances.iter().sum();
        if sum <= 0.0 {
            return;
        }
        // `upto` runs through the forecast, `mapped` through the map, cell by cell.
        let (mut cell, mut below_cell, mut upto, mut before) = (0, 0.0, 0.0, 0.0);
        for chance in chances.iter_mut() {
            upto += *chance / sum;
            while cell + 1 < CELLS && upto >= ENDS[cell + 1] {
                below_cell += self.shares[cell];
                cell += 1;
            }
            let within = (upto - ENDS[cell]) / (ENDS[cell + 1] - ENDS[cell]);
            let mapped = below_cell + self.shares[cell] * within.clamp(0.0, 1.0);
            *chance = (mapped - before).max(0.0);
            before = mapped;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn uniform() -> Map {
        Map { shares: std::array::from_fn(|cell| ENDS[cell + 1] - ENDS[cell]) }
    }

    #[test]
    fn even_marks_leave_a_forecast_as_it_is() {
        let mut chances = vec![0.1, 0.25, 0.4, 0.2, 0.05];
        let before = chances.clone();
        uniform().apply(&mut chances);
        for (found, wanted) in chances.iter().zip(before) {
            assert!((found - wanted).abs() < 1e-12, "{found} for {wanted}");
        }
    }

    /// A hundred outcomes were in the upper half of their forecasts, so with 25 uniform marks added the upper half of
    /// the next forecast weighs (100 + 12.5) / 125 = 0.9.
    #[test]
    fn late_outcomes_move_the_weight_to_late_days() {
        let mut marks = Marks::default();
        (0..100).for_each(|_| marks.learn(0.5, 1.0, f64::INFINITY));
        let mut chances = vec![0.5, 0.3, 0.2];
        marks.over(&uniform(), 25.0).apply(&mut chances);
        assert!((chances[0] - 0.1).abs() < 1e-12, "{chances:?}");
        assert!((chances[1] - 0.54).abs() < 1e-12, "0.9 × 0.3 / 0.5: {chances:?}");
    }

    /// Of marks at one place only the last one has its full weight: 1 + 0.9 + 0.81 …, ten in the end.
    #[test]
    fn old_marks_fade() {
        let mut marks = Marks::default();
        (0..400).for_each(|_| marks.learn(0.2, 0.2, 10.0));
        let sum: f64 = marks.cells.iter().sum();
        assert!((sum - 10.0).abs() < 1e-9, "{sum}");
    }

    #[test]
    fn the_first_guess_is_heavier_at_both_ends_and_a_map_keeps_the_whole() {
        let guess = Map::guess();
        assert!((guess.shares.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        let within: f64 = guess.shares[3..13].iter().sum();
        assert!(within < ENDS[13] - ENDS[3], "{within}");
        let mut chances = vec![0.0, 0.2, 0.0, 0.7, 0.1];
        guess.apply(&mut chances);
        assert!((chances.iter().sum::<f64>() - 1.0).abs() < 1e-9 && chances[0] == 0.0, "{chances:?}");
    }
}
