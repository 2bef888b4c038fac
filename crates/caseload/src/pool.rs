//! Sampled paths of children, from which new children are drawn.

/// The path of one child if every place were available, as plain numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ChildPath {
    /// Correcting casts of the right and the left foot; 0 for a foot that is not affected.
    pub casts: [u8; 2],
    /// Whether each foot has a tenotomy.
    pub tenotomy: [bool; 2],
    /// Age at referral, days.
    pub age_days: u16,
    /// Whether a foot is complex.
    pub complex: bool,
}

impl ChildPath {
    /// The number of visits with a correcting cast; both feet are cast together.
    #[must_use]
    pub fn cast_visits(&self) -> u8 {
        self.casts[0].max(self.casts[1]).max(1)
    }

    /// Whether the child needs a place on a theatre list.
    #[must_use]
    pub fn needs_tenotomy(&self) -> bool {
        self.tenotomy[0] || self.tenotomy[1]
    }
}

/// Paths in worlds of the same size. A world is one draw of the unknown properties of the clinic, such as its tenotomy
/// rate. A run uses one world, so that the bands contain that uncertainty too.
#[derive(Debug, Clone)]
pub struct PathPool {
    pub(super) paths: Vec<ChildPath>,
    pub(super) per_world: usize,
}

impl PathPool {
    /// A pool of worlds. Every world is cut to the size of the smallest; `None` if there is no world or one is empty.
    #[must_use]
    pub fn new(worlds: &[Vec<ChildPath>]) -> Option<Self> {
        let per_world = worlds.iter().map(Vec::len).min().filter(|&smallest| smallest > 0)?;
        let paths = worlds.iter().flat_map(|world| world.iter().take(per_world).copied()).collect();
        Some(Self { paths, per_world })
    }

    /// Number of worlds.
    #[must_use]
    pub fn worlds(&self) -> usize {
        self.paths.len() / self.per_world
    }

    /// The paths of one world; those of the last one if the index is too large.
    #[must_use]
    pub fn world(&self, number: usize) -> &[ChildPath] {
        let from = number.min(self.worlds() - 1) * self.per_world;
        self.paths.get(from..from + self.per_world).unwrap_or(&self.paths)
    }
}

impl PathPool {
    /// Chances of 0, 1, 2 … more casts for a child with this number of casts who needs at least one more visit, from
    /// the paths with at least as many. One more cast if there is no such path.
    #[must_use]
    pub fn more_casts(&self, so_far: u16) -> Vec<f64> {
        let mut chances: Vec<f64> = Vec::new();
        for more in self.paths.iter().filter_map(|path| u16::from(path.cast_visits()).checked_sub(so_far)) {
            let more = usize::from(more);
            if chances.len() <= more {
                chances.resize(more + 1, 0.0);
            }
            if let Some(chance) = chances.get_mut(more) {
                *chance += 1.0;
            }
        }
        let all: f64 = chances.iter().sum();
        if all == 0.0 {
            return vec![0.0, 1.0];
        }
        chances.iter().map(|chance| chance / all).collect()
    }

    /// Share of children with a tenotomy of either foot.
    #[must_use]
    pub fn tenotomy_share(&self) -> f64 {
        self.paths.iter().filter(|path| path.needs_tenotomy()).count() as f64 / self.paths.len() as f64
    }
}
