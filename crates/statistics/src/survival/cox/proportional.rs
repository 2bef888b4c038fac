//! Tests of proportional hazards.

use super::{
    CoxFit,
    fit::{add_information, add_score},
    sweep::{Moments, size, sweep},
};
use crate::{
    error::{Result, StatError},
    estimate::ChiSquaredTest,
    matrix::{Matrix, dot},
};

/// The scale of time along which a coefficient may change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum TimeScale {
    /// One minus the Kaplan–Meier curve of all rows just before the time: the default, as in R survival.
    /// A few late events then do not dominate the test.
    #[default]
    KaplanMeier,
    /// Time itself.
    Identity,
    /// Logarithm of time; undefined with an event at time 0.
    Log,
}

/// Results of the test: one for each term, and one for all terms together.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct ProportionalHazardsTest {
    /// By term.
    pub terms: Vec<ChiSquaredTest>,
    /// All terms at once.
    pub global: ChiSquaredTest,
}

impl CoxFit {
    /// Tests whether the coefficients change with time: the score test of adding z · g(t), as in R
    /// survival's `cox.zph` from version 3 on (Grambsch and Therneau 1994 have an approximation of it).
    ///
    /// # Errors
    /// [`TimeScale::Log`] with an event at time 0.
    ///
    /// ```
    /// use statistics::survival::{Cox, Spells, TimeScale};
    /// let x = [1.0, 0.0, 1.0, 0.0];
    /// let fit = Cox::new(Spells::new(&[1.0, 2.0, 3.0, 4.0], &[true; 4])?, vec![&x])?.fit()?;
    /// let test = fit.proportional_hazards(TimeScale::KaplanMeier)?;
    /// assert_eq!((test.terms.len(), test.global.df), (1, 1));
    /// assert!(test.global.p > 0.05);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    pub fn proportional_hazards(&self, scale: TimeScale) -> Result<ProportionalHazardsTest> {
        let each: Vec<Vec<usize>> = (0..self.data.width).map(|column| vec![column]).collect();
        self.proportional_hazards_by(scale, &each)
    }

    /// The same with several columns tested as one term, for covariates with more than two levels.
    ///
    /// # Errors
    /// As [`Self::proportional_hazards`], or an unknown column.
    ///
    /// ```
    /// use statistics::survival::{Cox, Spells, TimeScale};
    /// let x = [1.0, 0.0, 1.0, 0.0];
    /// let fit = Cox::new(Spells::new(&[1.0, 2.0, 3.0, 4.0], &[true; 4])?, vec![&x])?.fit()?;
    /// let test = fit.proportional_hazards_by(TimeScale::Identity, &[vec![0]])?;
    /// assert_eq!(test.terms[0], test.global);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    pub fn proportional_hazards_by(
        &self,
        scale: TimeScale,
        terms: &[Vec<usize>],
    ) -> Result<ProportionalHazardsTest> {
        let width = self.data.width;
        if terms.iter().flatten().any(|column| *column >= width) {
            return Err(StatError::Undefined("a term names a covariate that the model does not have"));
        }
        let (score, information) = self.drift(scale)?;
        let test = |columns: &[usize]| -> Result<ChiSquaredTest> {
            let which: Vec<usize> = (0..width).chain(columns.iter().map(|column| width + column)).collect();
            let part: Vec<f64> = which.iter().map(|i| score[*i]).collect();
            let factor = information.select(&which).cholesky(1e-13)?;
            Ok(ChiSquaredTest::of(dot(&factor.solve(&part), &part), columns.len()))
        };
        let all: Vec<usize> = (0..width).collect();
        let terms = terms.iter().map(|term| test(term)).collect::<Result<_>>()?;
        Ok(ProportionalHazardsTest { terms, global: test(&all)? })
    }

    /// Score and information of (z, z · g(t)) at the estimate. The score of z itself is 0 there.
    fn drift(&self, scale: TimeScale) -> Result<(Vec<f64>, Matrix)> {
        let width = self.data.width;
        let g = self.time_values(scale)?;
        let mut score = vec![0.0; 2 * width];
        let upper_size = size(width, Moments::Second) - 1 - width;
        let mut parts = [vec![0.0; upper_size], vec![0.0; upper_size], vec![0.0; upper_size]];
        sweep(&self.data, &self.beta, self.ties, Moments::Second, |step| {
            let g = g[step.block];
            add_score(step, width, g, &mut score[width..]);
            for (part, factor) in parts.iter_mut().zip([1.0, g, g * g]) {
                add_information(step, width, factor, part);
            }
        });
        let [plain, mixed, drift] = parts.map(|part| Matrix::from_upper(width, &part));
        let mut information = Matrix::zeros(2 * width);
        for i in 0..width {
            for j in 0..width {
                information.set(i, j, plain.at(i, j));
                information.set(i, width + j, mixed.at(i, j));
                information.set(width + i, j, mixed.at(i, j));
                information.set(width + i, width + j, drift.at(i, j));
            }
        }
        Ok((score, information))
    }

    /// g(t) at each block, less its mean over the events.
    fn time_values(&self, scale: TimeScale) -> Result<Vec<f64>> {
        let blocks = &self.data.blocks;
        let mut values: Vec<f64> = match scale {
            TimeScale::Identity => blocks.iter().map(|block| block.time).collect(),
            TimeScale::Log if blocks.iter().any(|block| block.dead > block.begin && block.time <= 0.0) => {
                return Err(StatError::Undefined("an event at time 0 has no place on a logarithmic scale"));
            }
            TimeScale::Log => {
                blocks.iter().map(|block| if block.time > 0.0 { block.time.ln() } else { 0.0 }).collect()
            }
            TimeScale::KaplanMeier => self.pooled_curve(),
        };
        let deaths = |block: &super::prepared::Block| (block.dead - block.begin) as f64;
        let sum: f64 = blocks.iter().zip(&values).map(|(block, value)| deaths(block) * value).sum();
        let mean = sum / self.events as f64;
        values.iter_mut().for_each(|value| *value -= mean);
        Ok(values)
    }

    /// One minus the curve of all strata together, unweighted, just before each block's time.
    fn pooled_curve(&self) -> Vec<f64> {
        let blocks = &self.data.blocks;
        let mut order: Vec<usize> = (0..blocks.len()).collect();
        order.sort_by(|a, b| blocks[*a].time.total_cmp(&blocks[*b].time));
        let mut entered = self.entry_times();
        entered.sort_by(f64::total_cmp);
        let mut values = vec![0.0; blocks.len()];
        let (mut survival, mut ended) = (1.0, 0.0);
        for same in order.chunk_by(|a, b| blocks[*a].time == blocks[*b].time) {
            let time = blocks[same[0]].time;
            let came = if self.data.late.is_some() {
                entered.partition_point(|entry| *entry <= time) as f64
            } else {
                self.n as f64
            };
            let deaths: usize = same.iter().map(|block| blocks[*block].dead - blocks[*block].begin).sum();
            let all: usize = same.iter().map(|block| blocks[*block].end - blocks[*block].begin).sum();
            same.iter().for_each(|block| values[*block] = 1.0 - survival);
            survival *= 1.0 - deaths as f64 / (came - ended);
            ended += all as f64;
        }
        values
    }

    /// The first time at which each row is at risk with rows of all strata. A row that enters
    /// between two times of its own stratum may be at risk earlier in the pooled curve.
    fn entry_times(&self) -> Vec<f64> {
        self.data.late.as_ref().map_or_else(Vec::new, |late| late.first_time.clone())
    }
}
