//! Imports that were looked at and wait to be confirmed; the browser holds only a token.

use crate::importing::PlannedImport;
use exchange::Report;
use record::UserId;
use std::sync::{Arc, Mutex};

/// Plans kept at a time: they hold whole files.
const KEPT: usize = 8;
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
}

impl Kept {
    fn is(&self, token: &str, owner: UserId) -> bool {
        self.token == token && self.owner == owner
    }
}

impl Plans {
    /// Keeps a plan; the oldest go where there are too many or they take too much memory.
    pub fn keep(&self, token: String, owner: UserId, plan: PlannedImport) {
        if let Ok(mut kept) = self.kept.lock() {
            let bytes = |plan: &PlannedImport| plan.bytes.len() + plan.sheet.table.bytes();
            let taken = |kept: &[Kept]| kept.iter().map(|each| bytes(&each.plan)).sum::<usize>();
            let room = KEPT_BYTES.saturating_sub(bytes(&plan));
            while !kept.is_empty() && (kept.len() >= KEPT || taken(&kept) > room) {
                kept.remove(0);
            }
            kept.push(Kept { token, owner, plan: Arc::new(plan) });
        }
    }

    /// Forgets every plan, with the files that were uploaded for it.
    pub fn forget_all(&self) {
        if let Ok(mut kept) = self.kept.lock() {
            kept.clear();
        }
    }

    /// The plan of a token, for whoever made it.
    #[must_use]
    pub fn get(&self, token: &str, owner: UserId) -> Option<Arc<PlannedImport>> {
        let kept = self.kept.lock().ok()?;
        kept.iter().find(|each| each.is(token, owner)).map(|each| Arc::clone(&each.plan))
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
