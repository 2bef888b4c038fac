//! The planted children: told by hand, so that every phase, every attention rule and every corner case
//! is met somewhere in the clinic.
//!
//! To plant another: write its story in a file of its own, gather the file's stories in a list
//! `STORIES`, and add that list to [`LISTS`]. A list added at the end leaves the children before it as
//! they were.

use super::{bracing, casting, child::Teller, doubtful, fitted, worn};
use rand::{RngExt, SeedableRng, rngs::StdRng};
use record::{Day, Entry};

/// One child's story, told backwards from today.
pub type Story = fn(&mut Teller<'_>);

/// Every list of planted stories.
const LISTS: &[&[Story]] =
    &[casting::STORIES, bracing::STORIES, worn::STORIES, fitted::STORIES, doubtful::STORIES];

/// How many children are planted.
#[must_use]
pub fn count() -> usize {
    LISTS.iter().map(|list| list.len()).sum()
}

/// The entries of the first so many planted children, child by child.
pub fn tell(children: usize, seed: u64, today: Day) -> Vec<Entry> {
    let mut rng = StdRng::seed_from_u64(seed);
    let mut entries = Vec::with_capacity(children.min(count()) * 40);
    for (number, story) in LISTS.iter().copied().flatten().take(children).enumerate() {
        let mut own = StdRng::seed_from_u64(rng.random());
        let mut teller = Teller::new(&mut own, number, today);
        story(&mut teller);
        entries.extend(teller.done());
    }
    entries
}
