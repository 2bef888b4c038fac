//! Children looked at lately, so that a page asked for again is not computed again.

use axum::body::Bytes;
use guidance::Outlook;
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
        let mut outlived = HashMap::new();
        if let Ok(mut inner) = self.inner.lock()
            && inner.writes == writes
        {
            if inner.children.len() >= REMEMBERED {
                outlived = std::mem::take(&mut inner.children);
            }
            inner.children.insert((child, as_of), Arc::clone(&known));
        }
        // Let go of only now, because it takes a while and others wait for the lock.
        drop(outlived);
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

/// Bytes of drawn pages kept before they are let go.
const DRAWN_BYTES: usize = 32 << 20;

/// Which page for which session: what is drawn for one person is never shown to another.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Sheet {
    /// The token that the forms of the session carry.
    pub csrf: String,
    /// Which page, with everything that decides what it shows.
    pub page: String,
    /// The day on which it is drawn.
    pub today: Day,
}

/// Pages drawn lately, kept until anything is written.
pub struct Drawn {
    most_bytes: usize,
    kept: Mutex<Kept>,
}

impl Default for Drawn {
    fn default() -> Self {
        Self::holding(DRAWN_BYTES)
    }
}

#[derive(Default)]
struct Kept {
    commits: u64,
    bytes: usize,
    pages: HashMap<Sheet, Bytes>,
}

impl Drawn {
    /// Keeps at most so many bytes of pages; 0 keeps none, so that every page is drawn when it is asked for.
    #[must_use]
    pub fn holding(most_bytes: usize) -> Self {
        Self { most_bytes, kept: Mutex::default() }
    }

    /// A page drawn since the last write.
    #[must_use]
    pub fn get(&self, commits: u64, sheet: &Sheet) -> Option<Bytes> {
        let kept = self.kept.lock().ok()?;
        if kept.commits == commits { kept.pages.get(sheet).cloned() } else { None }
    }

    /// Keeps a page. Whoever read `commits` before drawing never keeps an older page under a newer number.
    pub fn put(&self, commits: u64, sheet: Sheet, page: Bytes) {
        let Ok(mut kept) = self.kept.lock() else { return };
        if commits < kept.commits {
            return;
        }
        let bytes = page.len() + sheet.page.len() + sheet.csrf.len();
        if commits > kept.commits || kept.bytes + bytes > self.most_bytes {
            *kept = Kept { commits, ..Kept::default() };
        }
        if bytes > self.most_bytes {
            return;
        }
        kept.bytes += bytes;
        kept.pages.insert(sheet, page);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sheet(csrf: &str, page: &str) -> Sheet {
        Sheet { csrf: csrf.into(), page: page.into(), today: Day::from_number(20_000) }
    }

    #[test]
    fn a_page_is_kept_for_its_session_until_the_next_write() {
        let drawn = Drawn::default();
        drawn.put(7, sheet("mine", "/attention"), Bytes::from_static(b"a"));
        assert_eq!(drawn.get(7, &sheet("mine", "/attention")).as_deref(), Some(&b"a"[..]));
        assert_eq!(drawn.get(7, &sheet("theirs", "/attention")), None);
        assert_eq!(drawn.get(8, &sheet("mine", "/attention")), None, "something was written");
        drawn.put(8, sheet("mine", "/attention"), Bytes::from_static(b"b"));
        drawn.put(7, sheet("mine", "/attention"), Bytes::from_static(b"late"));
        assert_eq!(drawn.get(8, &sheet("mine", "/attention")).as_deref(), Some(&b"b"[..]));
    }

    #[test]
    fn where_nothing_is_to_be_kept_nothing_is() {
        let drawn = Drawn::holding(0);
        drawn.put(7, sheet("mine", "/attention"), Bytes::from_static(b"a"));
        assert_eq!(drawn.get(7, &sheet("mine", "/attention")), None);
    }

    #[test]
    fn memory_stays_bounded() {
        let drawn = Drawn::default();
        let page = Bytes::from(vec![0; DRAWN_BYTES / 4]);
        for number in 0..20 {
            drawn.put(1, sheet("mine", &number.to_string()), page.clone());
            let bytes = drawn.kept.lock().map(|kept| kept.pages.values().map(Bytes::len).sum::<usize>());
            assert!(bytes.is_ok_and(|bytes| bytes <= DRAWN_BYTES));
        }
    }
}
