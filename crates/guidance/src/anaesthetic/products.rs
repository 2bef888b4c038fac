//! The drugs and products, and how they are written.

/// A local anaesthetic that is injected. All of them are amides.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LocalAnaesthetic {
    /// Lidocaine (lignocaine) without adrenaline.
    Lidocaine,
    /// Lidocaine (lignocaine) with adrenaline (epinephrine).
    LidocaineAdrenaline,
    /// Bupivacaine without adrenaline.
    Bupivacaine,
}

/// A local anaesthetic that is put on the skin.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TopicalProduct {
    /// Cream with 2.5 % lidocaine and 2.5 % prilocaine.
    LidocainePrilocaine,
    /// Gel with 4 % tetracaine (amethocaine).
    TetracaineGel,
}

impl LocalAnaesthetic {
    /// Every one.
    pub const ALL: [Self; 3] = [Self::Lidocaine, Self::LidocaineAdrenaline, Self::Bupivacaine];

    /// Its key in forms and in the file.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Lidocaine => "lidocaine",
            Self::LidocaineAdrenaline => "lidocaine-adrenaline",
            Self::Bupivacaine => "bupivacaine",
        }
    }

    /// From its key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|drug| drug.key() == key)
    }

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Lidocaine => "lidocaine without adrenaline",
            Self::LidocaineAdrenaline => "lidocaine with adrenaline",
            Self::Bupivacaine => "bupivacaine without adrenaline",
        }
    }

    /// The solutions that are usual for injection, micrograms in a millilitre, with their words (common practice,
    /// no source). Within them no number means a solution in both units.
    pub(super) const fn usual_ug_per_ml(self) -> (u32, u32, &'static str) {
        match self {
            Self::Lidocaine | Self::LidocaineAdrenaline => (5_000, 20_000, "0.5 to 2 %, 5 to 20 mg/mL"),
            Self::Bupivacaine => (1_250, 7_500, "0.125 to 0.75 %, 1.25 to 7.5 mg/mL"),
        }
    }
}

impl TopicalProduct {
    /// Both.
    pub const ALL: [Self; 2] = [Self::LidocainePrilocaine, Self::TetracaineGel];

    /// Its key in forms and in the file.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::LidocainePrilocaine => "lidocaine-prilocaine",
            Self::TetracaineGel => "tetracaine-gel",
        }
    }

    /// From its key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|product| product.key() == key)
    }

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::LidocainePrilocaine => "lidocaine–prilocaine cream",
            Self::TetracaineGel => "tetracaine 4 % gel",
        }
    }

    /// The unit in which it is measured out.
    #[must_use]
    pub const fn unit(self) -> &'static str {
        match self {
            Self::LidocainePrilocaine => "g",
            Self::TetracaineGel => "tube",
        }
    }

    /// An amount in words, from thousandths of its unit: "0.5 g".
    #[must_use]
    pub fn amount_words(self, thousandths: u32) -> String {
        format!("{} {}", record::bounds::number_words(f64::from(thousandths) / 1000.0), self.unit())
    }
}
