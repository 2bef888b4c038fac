//! Many runs.

use super::{ReadyClinic, Tally, Workspace, run};
use rayon::prelude::*;

/// So many runs, in the order of their numbers. The number of threads changes nothing.
#[must_use]
pub fn simulate(clinic: &ReadyClinic, seed: u64, runs: u32) -> Vec<Tally> {
    (0..runs)
        .into_par_iter()
        .map_init(Workspace::default, |work, number| run(clinic, seed, number, work))
        .collect()
}
