//! One drawn foot with a known answer to every sign, from a seed.

use crate::{
    chance::Chance,
    drawn::{FootDrawing, FootLook},
    geometry::{DRAWING_VERSION, SignGeometry},
};
use record::{HalfPoint, Pirani, Side, Sign, UserId};
use std::fmt;

/// The name of a case. The same name is the same foot for ever, as long as the drawings are of the same version.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct CaseKey {
    /// The seed from which everything about the foot follows.
    pub seed: u64,
    /// The version of the drawings, [`DRAWING_VERSION`] for a new case.
    pub drawing: u16,
}

/// A case that was drawn by another version of the drawings: it could look different from what was scored, so it is
/// not drawn again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DrawnByOtherVersion {
    /// The version that drew it.
    pub drawing: u16,
}

impl fmt::Display for DrawnByOtherVersion {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { drawing } = self;
        write!(
            f,
            "the foot was drawn by version {drawing} of the drawings, and this is version {DRAWING_VERSION}: it cannot be shown as it was"
        )
    }
}

impl std::error::Error for DrawnByOtherVersion {}

impl CaseKey {
    /// A case as a form sends it: two whole numbers. `None` for anything else.
    #[must_use]
    pub fn read(seed: &str, drawing: &str) -> Option<Self> {
        Some(Self { seed: seed.parse().ok()?, drawing: drawing.parse().ok()? })
    }

    /// A case of the drawings of this version.
    #[must_use]
    pub const fn new(seed: u64) -> Self {
        Self { seed, drawing: DRAWING_VERSION }
    }

    /// The case that a person is asked next about a sign, after so many answers about it. It stays the same until it
    /// is answered, so that loading a page again shows no other foot.
    #[must_use]
    pub fn next_for(person: UserId, sign: Sign, answered: usize) -> Self {
        let id = person.uuid().as_u128();
        let (high, low) = ((id >> 64) as u64, id as u64);
        let mut chance = Chance::new(high ^ low.rotate_left(29), 1 + sign as u64);
        let own = chance.next();
        let mut chance = Chance::new(own, answered as u64);
        // A seed of 53 bits survives every number format on its way through a form.
        Self::new(chance.next() >> 11)
    }
}

/// A drawn foot with the answer to every sign.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrawnCase {
    /// Its name.
    pub key: CaseKey,
    /// Which foot is drawn.
    pub side: Side,
    /// How it looks besides the signs.
    pub look: FootLook,
    /// The level at which each sign is drawn. All six are known.
    pub reference: Pirani,
}

impl DrawnCase {
    /// The foot of a name.
    ///
    /// # Errors
    /// When another version of the drawings drew it.
    pub fn of(key: CaseKey) -> Result<Self, DrawnByOtherVersion> {
        if key.drawing != DRAWING_VERSION {
            return Err(DrawnByOtherVersion { drawing: key.drawing });
        }
        let mut chance = Chance::new(key.seed, 0xca5e);
        let side = if chance.below(2) == 0 { Side::Right } else { Side::Left };
        // How severe the foot is on the whole; the signs lie around it, as they do in children.
        let whole = chance.share();
        let mut reference = Pirani::default();
        for sign in Sign::ALL {
            reference.set(sign, Some(level_at(whole + chance.between(-0.35, 0.35))));
        }
        Ok(Self { key, side, look: FootLook::of(key.seed), reference })
    }

    /// The level at which a sign is drawn.
    #[must_use]
    pub fn level(&self, sign: Sign) -> HalfPoint {
        // Every sign was set when the case was made.
        self.reference.sign(sign).unwrap_or(HalfPoint::Zero)
    }

    /// The value of the sign's item in the drawing, somewhere within the range of its level.
    #[must_use]
    pub fn value(&self, sign: Sign) -> f64 {
        let (from, to) = SignGeometry::of(sign).level(self.level(sign)).range;
        Chance::new(self.key.seed, 0x7a1e + sign as u64).between(from, to)
    }

    /// The drawing of a sign.
    #[must_use]
    pub fn drawing(&self, sign: Sign) -> FootDrawing {
        FootDrawing::of_value(sign, self.value(sign), self.side, &self.look)
    }
}

fn level_at(severity: f64) -> HalfPoint {
    if severity < 1.0 / 3.0 {
        HalfPoint::Zero
    } else if severity < 2.0 / 3.0 {
        HalfPoint::Half
    } else {
        HalfPoint::One
    }
}
