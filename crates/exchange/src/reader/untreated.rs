//! Feet that are scored 0 throughout: on record, but not treated.

use super::Reader;
use crate::{
    Meaning,
    values::{self, Read},
};
use record::Side;
use std::collections::{HashMap, HashSet};

impl Reader<'_> {
    /// If both feet have columns of their own and nothing says which is affected: each foot that is 0 in every
    /// row of a child whose other foot is not.
    pub(super) fn always_zero(&self) -> HashSet<(String, Side)> {
        if !self.layout.sided || self.layout.side.is_some() {
            return HashSet::new();
        }
        let mut seen: HashMap<String, [(bool, bool); 2]> = HashMap::new();
        for row in self.table.rows() {
            let of_child = seen.entry(self.key(row)).or_default();
            for &(side, meaning, at) in self.layout.visits.iter().flat_map(|visit| &visit.foot) {
                let Some(side) = side else { continue };
                let text = self.text(row, Some(at));
                let scores = matches!(
                    meaning,
                    Meaning::Sign(_) | Meaning::Total | Meaning::Midfoot | Meaning::Hindfoot
                );
                if text.is_empty()
                    || matches!(meaning, Meaning::Abduction | Meaning::Dorsiflexion | Meaning::FootLength)
                {
                    continue;
                }
                let zero = scores && values::number(text) == Read::Value(0.0);
                let [right, left] = of_child;
                let foot = if side == Side::Left { left } else { right };
                *foot = (foot.0 || zero, foot.1 || !zero);
            }
        }
        let mut out = HashSet::new();
        for (key, [right, left]) in seen {
            if right == (true, false) && left.1 {
                out.insert((key, Side::Right));
            } else if left == (true, false) && right.1 {
                out.insert((key, Side::Left));
            }
        }
        out
    }
}
