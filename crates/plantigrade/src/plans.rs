//! Imports that were looked at and wait to be confirmed; the browser holds only a token.

use crate::importing::PlannedImport;
use exchange::Report;
use record::UserId;
use std::sync::{Arc, Mutex};

/// Plans kept at a time: they hold whole files.
const KEPT: usize = 8;
/// What the files of all kept plans may take of memory, in bytes. The last one is kept whatever it takes.
const KEPT_BYTES: usize = 128 << 20;

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

impl Plans {
    /// Keeps a plan; the oldest go where there are too many or they take too much memory.
    pub fn keep(&self, token: String, owner: UserId, plan: PlannedImport) {
        if let Ok(mut kept) = self.kept.lock() {
            let room = KEPT_BYTES.saturating_sub(plan.sheet.table.bytes());
            let taken = |kept: &[Kept]| kept.iter().map(|each| each.plan.sheet.table.bytes()).sum::<usize>();
            while kept.len() >= KEPT || (!kept.is_empty() && taken(&kept) > room) {
                kept.remove(0);
            }
            kept.push(Kept { token, owner, plan: Arc::new(plan) });
        }
    }

    /// The plan of a token, for whoever made it.
    #[must_use]
    pub fn get(&self, token: &str, owner: UserId) -> Option<Arc<PlannedImport>> {
        let kept = self.kept.lock().ok()?;
        kept.iter().find(|each| each.token == token && each.owner == owner).map(|each| Arc::clone(&each.plan))
    }

    /// Notes that a plan was written, so that a second confirmation writes nothing.
    pub fn written(&self, token: &str, owner: UserId, report: Report, entries: usize) {
        let Ok(mut kept) = self.kept.lock() else { return };
        let found = kept.iter_mut().find(|each| each.token == token && each.owner == owner);
        if let Some(each) = found {
            let (file_name, sheet) = (each.plan.file_name.clone(), Arc::clone(&each.plan.sheet));
            each.plan = Arc::new(PlannedImport { file_name, sheet, report, written: Some(entries) });
        }
    }
}
