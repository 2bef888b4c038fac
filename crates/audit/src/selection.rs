//! The selection of children and feet, and the properties by which results are broken down.

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
                // Exported tables hold the older key, so it stays the one that is written.
                let key = if key == "not-recorded" { "not-said" } else { key };
                Self::ALL.iter().copied().find(|class| class.key() == key)
            }
        }
    };
}

classes! {
    /// Severity of a foot at its first cast, by its Pirani total. Feet with 4 or more needed at least four
    /// casts (Dyer and Davis 2006); of those with 5 or more 85 % had a tenotomy (Scher and others).
    Severity {
        /// 0 to 3.5.
        Mild = "mild", "Pirani 0 to 3.5";
        /// 4 and 4.5.
        Moderate = "moderate", "Pirani 4 to 4.5";
        /// 5 to 6.
        Severe = "severe", "Pirani 5 to 6";
        /// No complete score up to the first cast.
        NotScored = "not-scored", "no complete score";
    }
}

classes! {
    /// The aetiology of the clubfoot.
    Aetiology {
        /// Idiopathic and not complex.
        Idiopathic = "idiopathic", "idiopathic";
        /// Recorded as complex by a clinician, without another cause.
        Complex = "complex", "complex";
        /// Syndromic or neurogenic.
        OtherCause = "other-cause", "syndromic or neurogenic";
        /// Positional.
        Positional = "positional", "positional";
        /// Not recorded.
        NotSaid = "not-said", "aetiology not recorded";
    }
}

classes! {
    /// Right or left foot; for a child, also both.
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
    /// The class of a Pirani total.
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
    /// The class of a recorded diagnosis.
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

/// A property by which a measure is broken down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum GroupBy {
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

impl GroupBy {
    /// Every property.
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
            Self::Clinician => "By clinician who applied the first cast",
            Self::Year => "By year of time zero",
            Self::Severity => "By severity at the first cast",
            Self::Aetiology => "By aetiology",
            Self::Side => "By side",
        }
    }
}

/// The classes of a foot, or of a child by its feet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CaseKeys {
    /// Index of the site.
    pub site: u16,
    /// Index of the clinician.
    pub clinician: u16,
    /// Severity.
    pub severity: Severity,
    /// Aetiology.
    pub aetiology: Aetiology,
    /// Side.
    pub feet: Feet,
}

impl CaseKeys {
    /// The classes of a foot.
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

    /// The classes of a child: site and clinician of the foot cast first, the more severe class of the two feet.
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

/// Which children and feet are included. An empty selection includes everyone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct Selection {
    /// Time zero on or after this day.
    pub from: Option<Day>,
    /// Time zero on or before this day.
    pub to: Option<Day>,
    /// Index of a site.
    pub site: Option<u16>,
    /// Index of a clinician.
    pub clinician: Option<u16>,
    /// Severity.
    pub severity: Option<Severity>,
    /// Aetiology.
    pub aetiology: Option<Aetiology>,
    /// Side; for measures of children, those with that foot affected.
    pub feet: Option<Feet>,
}

impl Selection {
    /// Whether a case with these classes is selected.
    #[must_use]
    pub fn takes(&self, keys: &CaseKeys) -> bool {
        let feet = |wanted: Feet| wanted == keys.feet || (keys.feet == Feet::Both && wanted != Feet::Both);
        self.site.is_none_or(|site| site == keys.site)
            && self.clinician.is_none_or(|clinician| clinician == keys.clinician)
            && self.severity.is_none_or(|severity| severity == keys.severity)
            && self.aetiology.is_none_or(|aetiology| aetiology == keys.aetiology)
            && self.feet.is_none_or(feet)
    }

    /// Whether a time zero is within the selected days.
    #[must_use]
    pub fn spans(&self, zero: i32) -> bool {
        self.from.is_none_or(|day| zero >= day.number()) && self.to.is_none_or(|day| zero <= day.number())
    }
}
