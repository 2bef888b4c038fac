//! Which standard views there are for a foot and a child, and which are missing.

use record::PhotographView;

/// What a series of photographs shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ViewSet {
    /// One foot of a child of any age.
    OneFoot,
    /// Both feet of a child that does not stand yet.
    BothFeet,
    /// Both feet of a child that stands.
    BothFeetStanding,
    /// Both feet of a child that walks.
    BothFeetWalking,
}

impl ViewSet {
    /// Its standard views, in the order in which they are taken. [`PhotographView::ThighAndFoot`] is no standard view:
    /// it is taken when that angle is to be measured.
    #[must_use]
    pub const fn views(self) -> &'static [PhotographView] {
        use PhotographView::{
            Behind, BothFeet, BroughtUp, Front, OuterSide, Sole, Squatting, StandingBehind, StandingFront,
        };
        match self {
            Self::OneFoot => &[Front, Sole, OuterSide, Behind, BroughtUp],
            Self::BothFeet => &[BothFeet],
            Self::BothFeetStanding => &[BothFeet, StandingFront, StandingBehind],
            Self::BothFeetWalking => &[BothFeet, StandingFront, StandingBehind, Squatting],
        }
    }
}

/// The standard views of a set that have not been taken, in the order in which they are taken.
#[must_use]
pub fn missing_views(taken: &[PhotographView], which: ViewSet) -> Vec<PhotographView> {
    which.views().iter().copied().filter(|view| !taken.contains(view)).collect()
}
