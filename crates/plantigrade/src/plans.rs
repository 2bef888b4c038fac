//! Imports that were looked at and wait to be confirmed; the browser holds only a token. The files are in memory only,
//! and forgotten some time after they were last looked at.

use crate::{clock::Clock, importing::PlannedImport};
use exchange::Report;
use record::UserId;
use std::sync::{Arc, Mutex};

/// Plans kept at a time: they hold whole files.
const KEPT: usize = 8;
/// Plans of one person kept at a time.
pub const KEPT_EACH: usize = 3;
/// Minutes after which a plan that nobody looked at is forgotten.
pub const KEPT_MINUTES: i64 = 30;
/// What the uploaded files of all plans and the tables read from them may take of memory, in bytes. The last
/// plan is kept whatever it takes.
const KEPT_BYTES: usize = 64 << 20;

/// Plans by token, of one person each.
#[derive(Default)]
pub struct Plans {
    kept: Mutex<Vec<Kept>>,
}

struct Kept {
    token: String,
    owner: UserId,
    plan: Arc<PlannedImport>,
    /// When it was last looked at, in seconds since 1970.
    used: i64,
}

impl Kept {
    fn is(&self, token: &str, owner: UserId) -> bool {
        self.token == token && self.owner == owner
    }
}

fn forget_old(kept: &mut Vec<Kept>, now: i64) {
    kept.retain(|each| now - each.used < KEPT_MINUTES * 60);
}

impl Plans {
    /// Keeps a plan; the oldest go where there are too many or they take too much memory.
    pub fn keep(&self, token: String, owner: UserId, plan: PlannedImport) {
        if let Ok(mut kept) = self.kept.lock() {
            let bytes = |plan: &PlannedImport| plan.bytes.len() + plan.sheet.table.bytes();
            let taken = |kept: &[Kept]| kept.iter().map(|each| bytes(&each.plan)).sum::<usize>();
            let now = Clock::machine_seconds();
            forget_old(&mut kept, now);
            while kept.iter().filter(|each| each.owner == owner).count() >= KEPT_EACH {
                let oldest = kept.iter().position(|each| each.owner == owner);
                oldest.map(|oldest| kept.remove(oldest));
            }
            let room = KEPT_BYTES.saturating_sub(bytes(&plan));
            while !kept.is_empty() && (kept.len() >= KEPT || taken(&kept) > room) {
                kept.remove(0);
            }
            kept.push(Kept { token, owner, plan: Arc::new(plan), used: now });
        }
    }

    /// Forgets every plan, with the files that were uploaded for it.
    pub fn forget_all(&self) {
        if let Ok(mut kept) = self.kept.lock() {
            kept.clear();
        }
    }

    /// Forgets the plans that nobody looked at for some time.
    pub fn forget_old(&self, now: i64) {
        if let Ok(mut kept) = self.kept.lock() {
            forget_old(&mut kept, now);
        }
    }

    /// The plan of a token, for whoever made it.
    #[must_use]
    pub fn get(&self, token: &str, owner: UserId) -> Option<Arc<PlannedImport>> {
        let mut kept = self.kept.lock().ok()?;
        let now = Clock::machine_seconds();
        forget_old(&mut kept, now);
        kept.iter_mut().find(|each| each.is(token, owner)).map(|each| {
            each.used = now;
            Arc::clone(&each.plan)
        })
    }

    /// Puts a plan in the place of the one it was made from. `false`, and nothing is changed, where that one
    /// is no longer the plan of the token, or was written meanwhile.
    #[must_use]
    pub fn replace(
        &self,
        token: &str,
        owner: UserId,
        from: &Arc<PlannedImport>,
        plan: PlannedImport,
    ) -> bool {
        let Ok(mut kept) = self.kept.lock() else { return false };
        let found = kept.iter_mut().find(|each| each.is(token, owner) && Arc::ptr_eq(&each.plan, from));
        found.is_some_and(|each| {
            each.plan = Arc::new(plan);
            true
        })
    }

    /// Notes that a plan was written, so that a second confirmation writes nothing.
    pub fn written(&self, token: &str, owner: UserId, report: Report, entries: usize) {
        let Ok(mut kept) = self.kept.lock() else { return };
        if let Some(each) = kept.iter_mut().find(|each| each.is(token, owner)) {
            let report = Arc::new(report);
            each.plan = Arc::new(PlannedImport { report, written: Some(entries), ..each.plan.again() });
        }
    }
}
