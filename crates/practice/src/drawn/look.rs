//! How one foot differs from another without being scored differently.

use crate::chance::Chance;

/// A shade of skin; creases have to be seen on every one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SkinShade {
    /// Light.
    Light,
    /// Middle.
    Middle,
    /// Dark.
    Dark,
}

/// The look of a foot: size, shape and skin, and how exactly it is seen from the front. None of it changes a sign.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FootLook {
    /// The seed of the small differences.
    pub(super) seed: u64,
    /// Length, where 1 is the middle.
    pub(super) length: f64,
    /// Width of the foot in proportion, where 1 is the middle.
    pub(super) width: f64,
    /// From 0, slender, to 1, plump.
    pub(super) plump: f64,
    /// Size of the toes.
    pub(super) toes: f64,
    /// How far the view is turned, in degrees, clockwise.
    pub(super) turn_deg: f64,
    /// The shade of the skin.
    pub(super) shade: SkinShade,
}

impl FootLook {
    /// The foot of the textbook drawings.
    pub const TEXTBOOK: Self = Self {
        seed: 0,
        length: 1.0,
        width: 1.0,
        plump: 0.4,
        toes: 1.0,
        turn_deg: 0.0,
        shade: SkinShade::Light,
    };

    /// The look that follows from a seed.
    #[must_use]
    pub fn of(seed: u64) -> Self {
        let mut chance = Chance::new(seed, 0x100c);
        let shades = [SkinShade::Light, SkinShade::Middle, SkinShade::Dark];
        let shade = usize::try_from(chance.below(3)).ok().and_then(|place| shades.get(place)).copied();
        Self {
            seed,
            length: chance.between(0.9, 1.04),
            width: chance.between(0.92, 1.12),
            plump: chance.share(),
            toes: chance.between(0.92, 1.08),
            turn_deg: chance.between(-6.0, 6.0),
            shade: shade.unwrap_or(SkinShade::Light),
        }
    }

    /// The numbers for the small differences of one sign.
    pub(super) const fn chance(&self, purpose: u64) -> Chance {
        Chance::new(self.seed, purpose)
    }

    /// The shade of the skin.
    #[must_use]
    pub const fn shade(&self) -> SkinShade {
        self.shade
    }
}
