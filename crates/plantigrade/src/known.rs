//! Children looked at lately, so that a page asked for again is not computed again.

use guidance::Outlook;
use pages::{AttentionFilter, AttentionView};
use record::{ChildId, Day, Entry};
use std::{
    collections::HashMap,
    sync::{Arc, Mutex},
};

/// Children remembered before the memory of them is emptied: some 25 kB each.
const REMEMBERED: usize = 512;

/// A child's entries and what they add up to on a day.
#[derive(Debug)]
pub struct Known {
    /// In the order written.
    pub entries: Vec<Entry>,
    /// What follows.
    pub outlook: Outlook,
}

/// The memory of them. This process is the only one that writes, and tells it of every write.
#[derive(Default)]
pub struct Lately {
    inner: Mutex<Inner>,
}

#[derive(Default)]
struct Inner {
    writes: u64,
    children: HashMap<(ChildId, Day), Arc<Known>>,
}

impl Lately {
    /// Gives what is remembered, or computes it. What was read before a write is not kept after it.
    ///
    /// # Errors
    /// Those of the computation.
    pub fn get<E>(
        &self,
        child: ChildId,
        as_of: Day,
        compute: impl FnOnce() -> Result<Known, E>,
    ) -> Result<Arc<Known>, E> {
        let (writes, found) = self.look(child, as_of);
        if let Some(found) = found {
            return Ok(found);
        }
        let known = Arc::new(compute()?);
        if let Ok(mut inner) = self.inner.lock()
            && inner.writes == writes
        {
            if inner.children.len() >= REMEMBERED {
                inner.children.clear();
            }
            inner.children.insert((child, as_of), Arc::clone(&known));
        }
        Ok(known)
    }

    fn look(&self, child: ChildId, as_of: Day) -> (u64, Option<Arc<Known>>) {
        self.inner
            .lock()
            .map_or((u64::MAX, None), |inner| (inner.writes, inner.children.get(&(child, as_of)).cloned()))
    }

    /// Forgets a child who was written about; every child where none is named.
    pub fn forget(&self, child: Option<ChildId>) {
        if let Ok(mut inner) = self.inner.lock() {
            inner.writes += 1;
            match child {
                Some(child) => inner.children.retain(|(kept, _), _| *kept != child),
                None => inner.children.clear(),
            }
        }
    }
}

/// Lists kept before the memory of them is emptied.
const LISTS: usize = 64;

/// Which page of which list, on which day.
type Asked = (AttentionFilter, usize, Day);

/// Pages of the list of what needs attention, remembered until anything is written.
#[derive(Default)]
pub struct Lists {
    kept: Mutex<Kept>,
}

#[derive(Default)]
struct Kept {
    commits: u64,
    views: Vec<(Asked, Arc<AttentionView>)>,
}

impl Lists {
    /// Gives what is remembered since `commits`, or computes it. Whoever reads `commits` before computing
    /// never keeps an older list under a newer number.
    ///
    /// # Errors
    /// Those of the computation.
    pub fn get<E>(
        &self,
        commits: u64,
        asked: Asked,
        compute: impl FnOnce() -> Result<AttentionView, E>,
    ) -> Result<Arc<AttentionView>, E> {
        if let Ok(kept) = self.kept.lock()
            && kept.commits == commits
            && let Some((_, view)) = kept.views.iter().find(|(key, _)| *key == asked)
        {
            return Ok(Arc::clone(view));
        }
        let view = Arc::new(compute()?);
        if let Ok(mut kept) = self.kept.lock() {
            if kept.commits < commits || kept.views.len() >= LISTS {
                *kept = Kept { commits: commits.max(kept.commits), views: Vec::new() };
            }
            if kept.commits == commits {
                kept.views.push((asked, Arc::clone(&view)));
            }
        }
        Ok(view)
    }
}
