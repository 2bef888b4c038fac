//! Many runs.

use super::{ReadyClinic, Tally, Workspace, run};
use rayon::prelude::*;

/// The runs in the order of their numbers. The result does not depend on the number of threads.
#[must_use]
pub fn simulate(clinic: &ReadyClinic, seed: u64, runs: u32) -> Vec<Tally> {
    (0..runs)
        .into_par_iter()
        .map_init(Workspace::default, |work, number| run(clinic, seed, number, work))
        .collect()
}
