//! Imports that were looked at and wait to be confirmed; the browser holds only a token.

use record::UserId;
use std::{
    collections::HashMap,
    sync::{Arc, Mutex},
};

/// Plans kept at a time: they hold whole files.
const KEPT: usize = 8;

/// Plans by token, of one person each.
pub struct Plans<T = crate::importing::Plan> {
    inner: Mutex<Inner<T>>,
}

struct Inner<T> {
    order: Vec<String>,
    plans: HashMap<String, (UserId, Arc<T>)>,
}

impl<T> Default for Plans<T> {
    fn default() -> Self {
        Self { inner: Mutex::new(Inner { order: Vec::new(), plans: HashMap::new() }) }
    }
}

impl<T> Plans<T> {
    /// Keeps a plan; the oldest goes where there are too many.
    pub fn keep(&self, token: String, owner: UserId, plan: T) {
        let Ok(mut inner) = self.inner.lock() else { return };
        while inner.order.len() >= KEPT {
            let oldest = inner.order.remove(0);
            inner.plans.remove(&oldest);
        }
        inner.order.push(token.clone());
        inner.plans.insert(token, (owner, Arc::new(plan)));
    }

    /// The plan of a token, for whoever made it.
    #[must_use]
    pub fn get(&self, token: &str, owner: UserId) -> Option<Arc<T>> {
        let inner = self.inner.lock().ok()?;
        inner.plans.get(token).filter(|(whose, _)| *whose == owner).map(|(_, plan)| Arc::clone(plan))
    }

    /// Replaces a plan by what became of it.
    pub fn replace(&self, token: &str, owner: UserId, plan: T) {
        if let Ok(mut inner) = self.inner.lock()
            && let Some(kept) = inner.plans.get_mut(token).filter(|(whose, _)| *whose == owner)
        {
            kept.1 = Arc::new(plan);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use uuid::Uuid;

    #[test]
    fn a_plan_is_for_its_owner_and_old_ones_go() {
        let (mine, other) = (UserId::new(Uuid::from_u128(1)), UserId::new(Uuid::from_u128(2)));
        let plans = Plans::<usize>::default();
        for n in 0..=KEPT {
            plans.keep(n.to_string(), mine, n);
        }
        assert_eq!(plans.get("0", mine), None, "the oldest went");
        assert_eq!(plans.get("1", mine).as_deref(), Some(&1));
        assert_eq!(plans.get("1", other), None, "somebody else's");
    }
}
