//! The planted children: their stories are written by hand, so that every phase, every attention rule and
//! every corner case occurs somewhere in the clinic.
//!
//! To plant another: write its story in a file of its own, collect the file's stories in a list
//! `STORIES`, and add that list to [`LISTS`]. A list added at the end does not change the children before it.

use super::{
    brace_fitting, bracing, casting, contradictions,
    story::{Story, StoryWriter},
    twins, wear,
};
use rand::{RngExt, SeedableRng, rngs::StdRng};
use record::{Day, Entry};

/// Every list of planted stories.
const LISTS: &[&[Story]] = &[
    casting::STORIES,
    bracing::STORIES,
    wear::STORIES,
    brace_fitting::STORIES,
    contradictions::STORIES,
    twins::STORIES,
];

/// Number of planted children.
#[must_use]
pub fn count() -> usize {
    LISTS.iter().map(|list| list.len()).sum()
}

/// The entries of the first `children` planted children, child by child.
pub fn entries(children: usize, seed: u64, today: Day) -> Vec<Entry> {
    let mut rng = StdRng::seed_from_u64(seed);
    let mut logs: Vec<Vec<Entry>> = Vec::with_capacity(children.min(count()));
    for (number, story) in LISTS.iter().copied().flatten().take(children).enumerate() {
        let mut own = StdRng::seed_from_u64(rng.random());
        let mut writer = StoryWriter::new(&mut own, number, today);
        story(&mut writer);
        logs.push(writer.into_entries());
    }
    // The twins are the last two; a smaller clinic does not have both.
    if children >= count()
        && let [.., first, second] = logs.as_mut_slice()
    {
        twins::join(first, second);
    }
    logs.into_iter().flatten().collect()
}
