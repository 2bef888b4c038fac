//! Whose results are asked for, and along what they are broken down.

use crate::{ChildHistory, FootHistory};
use record::{Day, Halves, Nature, Side};
use serde::Serialize;

macro_rules! classes {
    ($(#[$doc:meta])* $name:ident { $($(#[$one:meta])* $variant:ident = $key:literal, $words:literal;)* }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
        #[serde(rename_all = "kebab-case")]
        pub enum $name { $($(#[$one])* $variant,)* }

        impl $name {
            /// Every class, in order.
            pub const ALL: &[Self] = &[$(Self::$variant),*];

            /// A stable key.
            #[must_use]
            pub const fn key(self) -> &'static str { match self { $(Self::$variant => $key,)* } }

            /// In words.
            #[must_use]
            pub const fn words(self) -> &'static str { match self { $(Self::$variant => $words,)* } }

            /// From its key.
            #[must_use]
            pub fn of_key(key: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|class| class.key() == key)
            }
        }
    };
}

classes! {
    /// How severe a foot was at its first cast, by its Pirani total. From 4 up feet needed four casts and
    /// more (Dyer and Davis 2006), from 5 up 85 % had a tenotomy (Scher and others).
    Severity {
        /// 0 to 3.5.
        Mild = "mild", "Pirani 0 to 3.5";
        /// 4 and 4.5.
        Moderate = "moderate", "Pirani 4 to 4.5";
        /// 5 to 6.
        Severe = "severe", "Pirani 5 to 6";
        /// No full score up to the first cast.
        NotScored = "not-scored", "not fully scored";
    }
}

classes! {
    /// Where the clubfoot comes from.
    Aetiology {
        /// Idiopathic, not called complex.
        Idiopathic = "idiopathic", "idiopathic";
        /// Called complex by a clinician, without another cause.
        Complex = "complex", "complex";
        /// Syndromic or neurogenic.
        OtherCause = "other-cause", "syndromic or neurogenic";
        /// Positional.
        Positional = "positional", "positional";
        /// Nobody has said.
        NotSaid = "not-said", "aetiology not written";
    }
}

classes! {
    /// Which foot; of a child, whether both.
    Feet {
        /// Right.
        Right = "right", "right";
        /// Left.
        Left = "left", "left";
        /// Both feet of a child.
        Both = "both", "both";
    }
}

impl Severity {
    /// From a total.
    #[must_use]
    pub const fn of(total: Option<Halves>) -> Self {
        match total {
            None => Self::NotScored,
            Some(Halves(0..8)) => Self::Mild,
            Some(Halves(8..10)) => Self::Moderate,
            Some(_) => Self::Severe,
        }
    }
}

impl Aetiology {
    /// From what was written.
    #[must_use]
    pub const fn of(nature: Option<Nature>, complex: Option<bool>) -> Self {
        match (nature, complex) {
            (Some(Nature::Syndromic | Nature::Neurogenic), _) => Self::OtherCause,
            (Some(Nature::Positional), _) => Self::Positional,
            (_, Some(true)) => Self::Complex,
            (Some(Nature::Idiopathic | Nature::NotClubfoot), _) => Self::Idiopathic,
            (None, _) => Self::NotSaid,
        }
    }
}

/// Along what a measure is broken down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum By {
    /// Site.
    Site,
    /// Clinician.
    Clinician,
    /// Calendar year of time zero.
    Year,
    /// Severity at the first cast.
    Severity,
    /// Aetiology.
    Aetiology,
    /// Side.
    Side,
}

impl By {
    /// Every one.
    pub const ALL: [Self; 6] =
        [Self::Site, Self::Clinician, Self::Year, Self::Severity, Self::Aetiology, Self::Side];

    /// A stable key.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Site => "site",
            Self::Clinician => "clinician",
            Self::Year => "year",
            Self::Severity => "severity",
            Self::Aetiology => "aetiology",
            Self::Side => "side",
        }
    }

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Site => "By site",
            Self::Clinician => "By clinician who put on the first cast",
            Self::Year => "By year of time zero",
            Self::Severity => "By severity at the first cast",
            Self::Aetiology => "By aetiology",
            Self::Side => "By side",
        }
    }
}

/// The classes of a foot, or of a child by its feet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Keys {
    /// Number of the site.
    pub site: u16,
    /// Number of the clinician.
    pub clinician: u16,
    /// Severity.
    pub severity: Severity,
    /// Aetiology.
    pub aetiology: Aetiology,
    /// Side.
    pub feet: Feet,
}

impl Keys {
    /// Of a foot.
    #[must_use]
    pub const fn of_foot(foot: &FootHistory) -> Self {
        Self {
            site: foot.site,
            clinician: foot.clinician,
            severity: Severity::of(foot.first_total),
            aetiology: Aetiology::of(foot.nature, foot.complex),
            feet: match foot.side {
                Side::Right => Feet::Right,
                Side::Left => Feet::Left,
            },
        }
    }

    /// Of a child: site and clinician of the foot cast first, the severer class of the two feet.
    #[must_use]
    pub fn of_child(child: &ChildHistory) -> Option<Self> {
        let first = child.feet().min_by_key(|foot| foot.first_cast.number().unwrap_or(i32::MAX))?;
        let mut keys = Self::of_foot(first);
        for foot in child.feet() {
            let other = Self::of_foot(foot);
            let scored = other.severity != Severity::NotScored;
            if scored && (keys.severity == Severity::NotScored || other.severity > keys.severity) {
                keys.severity = other.severity;
            }
            if keys.aetiology == Aetiology::NotSaid || other.aetiology == Aetiology::OtherCause {
                keys.aetiology = other.aetiology;
            }
        }
        if child.both() {
            keys.feet = Feet::Both;
        }
        Some(keys)
    }
}

/// Whose results are asked for. Empty takes everyone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct Selection {
    /// Time zero from this day.
    pub from: Option<Day>,
    /// Time zero up to this day.
    pub to: Option<Day>,
    /// Number of a site.
    pub site: Option<u16>,
    /// Number of a clinician.
    pub clinician: Option<u16>,
    /// Severity.
    pub severity: Option<Severity>,
    /// Aetiology.
    pub aetiology: Option<Aetiology>,
    /// Side: of children, those with that foot affected.
    pub feet: Option<Feet>,
}

impl Selection {
    /// Whether these classes are asked for.
    #[must_use]
    pub fn takes(&self, keys: &Keys) -> bool {
        let feet = |wanted: Feet| wanted == keys.feet || (keys.feet == Feet::Both && wanted != Feet::Both);
        self.site.is_none_or(|site| site == keys.site)
            && self.clinician.is_none_or(|clinician| clinician == keys.clinician)
            && self.severity.is_none_or(|severity| severity == keys.severity)
            && self.aetiology.is_none_or(|aetiology| aetiology == keys.aetiology)
            && self.feet.is_none_or(feet)
    }

    /// Whether a time zero lies in the period asked for.
    #[must_use]
    pub fn spans(&self, zero: i32) -> bool {
        self.from.is_none_or(|day| zero >= day.number()) && self.to.is_none_or(|day| zero <= day.number())
    }
}
