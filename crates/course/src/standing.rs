//! Whether the clinic still follows the child.
//!
//! Discharge, transfer and death end care. A declaration of loss counts only while care goes on, and a visit
//! on a later day cancels it. A referral or registration on a later day opens care again after discharge,
//! transfer and loss, but not after death. Of two ends the later one counts.

use crate::{Phase, Standing};
use record::{Body, Day};

impl Standing {
    /// The phase shown instead of the treatment phase; `None` while the child is followed.
    pub(crate) const fn phase(self) -> Option<Phase> {
        match self {
            Self::Active => None,
            Self::Discharged(_) => Some(Phase::Discharged),
            Self::Transferred(_) => Some(Phase::Transferred),
            Self::Died(_) => Some(Phase::Died),
            Self::Lost(_) => Some(Phase::LostToFollowUp),
        }
    }

    /// Whether care has ended here; loss to follow-up does not count.
    pub(crate) const fn is_over(self) -> bool {
        matches!(self, Self::Discharged(_) | Self::Transferred(_) | Self::Died(_))
    }

    /// The standing after an entry.
    pub(crate) const fn after(self, body: &Body, on: Day) -> Self {
        match (self, body) {
            (Self::Died(_), _) => self,
            (_, Body::Death(_)) => Self::Died(on),
            (_, Body::Discharge(_)) => Self::Discharged(on),
            (_, Body::Transfer(_)) => Self::Transferred(on),
            (Self::Active, Body::LostDeclared(_)) => Self::Lost(on),
            (_, Body::Referral(_) | Body::Registration(_)) => Self::Active,
            _ => self,
        }
    }
}
