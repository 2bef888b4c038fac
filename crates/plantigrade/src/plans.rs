//! Imports that were looked at and wait to be confirmed; the browser holds only a token.

use crate::importing::PlannedImport;
use exchange::Report;
use record::UserId;
use std::sync::{Arc, Mutex};

/// Plans kept at a time: they hold whole files.
const KEPT: usize = 8;

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
    /// Keeps a plan; the oldest goes where there are too many.
    pub fn keep(&self, token: String, owner: UserId, plan: PlannedImport) {
        if let Ok(mut kept) = self.kept.lock() {
            if kept.len() >= KEPT {
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
