//! The measures, each with its written definition.

use serde::Serialize;

/// What a measure counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Unit {
    /// An affected foot; every interval treats the two feet of a child as one cluster.
    Foot,
    /// A child.
    Child,
}

impl Unit {
    /// The number with the singular or plural.
    #[must_use]
    pub fn count(self, n: usize) -> String {
        match (self, n) {
            (Self::Foot, 1) => "1 foot".to_owned(),
            (Self::Foot, n) => format!("{n} feet"),
            (Self::Child, 1) => "1 child".to_owned(),
            (Self::Child, n) => format!("{n} children"),
        }
    }

    /// The plural.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Foot => "feet",
            Self::Child => "children",
        }
    }
}

/// How a measure is computed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MeasureKind {
    /// Share of those for whom the answer is known.
    Share,
    /// A number for each of those for whom it is known.
    Number,
    /// Events per hundred of what they happen to, such as casts.
    Rate,
    /// Time free of an event; children no longer seen are censored.
    FreeOf,
    /// Time to an event with competing events.
    Incidence,
    /// Hours a day by quarter of bracing.
    Wear,
    /// Fields recorded out of those expected.
    Missing,
}

/// The scale of a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MeasureScale {
    /// A share from 0 to 1, shown as a percentage.
    Share,
    /// Days.
    Days,
    /// A count.
    Count,
    /// Events per hundred.
    PerHundred,
    /// Hours a day.
    Hours,
}

/// One measure's definition, as it is printed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Definition {
    /// A stable key, as in addresses and files.
    pub key: &'static str,
    /// Its name.
    pub name: &'static str,
    /// The question it answers.
    pub question: &'static str,
    /// What a measure counts.
    pub unit: Unit,
    /// How it is computed.
    pub kind: MeasureKind,
    /// The scale of its values.
    pub scale: MeasureScale,
    /// Who is included.
    pub who: &'static str,
    /// From when time counts.
    pub time_zero: &'static str,
    /// What counts.
    pub event: &'static str,
    /// When observation ends.
    pub censoring: &'static str,
    /// Events that exclude it (competing events).
    pub competing: &'static str,
    /// How figure and interval are computed.
    pub method: &'static str,
    /// Source of the definition.
    pub source: &'static str,
    /// Days at which a curve is read; the first gives the main figure.
    pub horizons_days: &'static [i32],
}

macro_rules! measures {
    ($($(#[$doc:meta])* $name:ident => $definition:expr;)*) => {
        /// The measures.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum Measure { $($(#[$doc])* $name,)* }

        impl Measure {
            /// Every measure, in the order of a foot's course.
            pub const ALL: &[Self] = &[$(Self::$name),*];

            /// Its definition.
            #[must_use]
            pub const fn definition(self) -> &'static Definition {
                match self { $(Self::$name => const { &$definition },)* }
            }
        }
    };
}

const NONE: &str = "none";
const OWN: &str = "the clinic's own working definition; no published one was found";
const SHARE: &str = "Share with Wilson's 95 % confidence interval (1927) at the effective number of independent feet (Korn and Graubard 1998), which allows for two feet of one child.";
const NUMBER: &str = "Median with Woodruff's 95 % confidence interval (1952) and mean with Student's t, both with variance clustered by child; quartiles by linear interpolation.";
const CURVE: &str = "Kaplan–Meier; standard error by the infinitesimal jackknife over children, 95 % confidence interval on the log–log scale.";
const INCIDENCE: &str = "Aalen–Johansen; standard error by the infinitesimal jackknife over children, 95 % confidence interval on the log–log scale.";
const AS_OF: &str = "the as-of day; the end of treatment";
const LAST_SEEN: &str = "the last visit; the end of treatment";
const GAP: &str = "no visit within 3 weeks in casts, 4 weeks around a tenotomy, 6 months in the brace (J Foot Ankle Surg 2021, S1067-2516(21)00458-0)";
const PLANNED: &str = "the clinic's own working definition, by the intervals of its protocol; published series each define drop-out in their own way";
const OTHER_ENDS: &str = "drop-out by the planned interval of a child not seen again; death or transfer";
const BRACED: &str = "braced feet; a foot braced elsewhere enters on the day it became known here if the day its brace began is recorded, and is left out if it is not";
const BRACE_ON: &str = "the first brace";

const YEAR: i32 = 365;
const BLANK: Definition = Definition {
    key: "",
    name: "",
    question: "",
    unit: Unit::Foot,
    kind: MeasureKind::Share,
    scale: MeasureScale::Share,
    who: "",
    time_zero: "",
    event: "",
    censoring: NONE,
    competing: NONE,
    method: "",
    source: OWN,
    horizons_days: &[],
};
const NUMBERS: Definition =
    Definition { kind: MeasureKind::Number, scale: MeasureScale::Days, method: NUMBER, ..BLANK };
const INCIDENCES: Definition = Definition {
    kind: MeasureKind::Incidence,
    censoring: AS_OF,
    competing: OTHER_ENDS,
    method: INCIDENCE,
    ..BLANK
};

measures! {
    /// Referral to first cast.
    WaitFirstCast => Definition {
        key: "wait-first-cast", name: "Wait for the first cast", unit: Unit::Child,
        question: "How many days pass from referral to the first cast?",
        who: "children with a first cast here and a referral recorded for that day or earlier; without a referral the wait is not known",
        time_zero: "the first referral; a registration does not count as one",
        event: "the first cast of either foot", ..NUMBERS
    };
    /// Age at first cast.
    AgeFirstCast => Definition {
        key: "age-first-cast", name: "Age at the first cast", unit: Unit::Child,
        question: "How old are children when casting begins?",
        who: "children with a first cast here and a day of birth",
        time_zero: "birth", event: "the first cast of either foot",
        source: "as in the published series, which report the age at the start of casting", ..NUMBERS
    };
    /// Casts to correction.
    Casts => Definition {
        key: "casts", name: "Casts to correction",
        question: "How many casts does a foot need?", scale: MeasureScale::Count,
        who: "feet that reached the tenotomy or the brace, not treated before arrival here, with at least one cast here",
        time_zero: "the first cast", event: "casts for correction in the first episode; the cast after the tenotomy and holding casts are not counted",
        source: "as in the published series; some of them include the cast after the tenotomy, which adds one", ..NUMBERS
    };
    /// Days in casting.
    DaysCasting => Definition {
        key: "days-casting", name: "Days in casts",
        question: "How long is a foot in casts, from the first cast to the brace?",
        who: "feet braced after their first casts here and not braced before; feet still in casts are not included, so read it together with “Correction reached”",
        time_zero: "the first cast", event: "the brace", ..NUMBERS
    };
    /// Tenotomy share.
    Tenotomy => Definition {
        key: "tenotomy", name: "Tenotomy",
        question: "What share of feet has a tenotomy?", method: SHARE,
        who: "feet braced after their first casts here and not braced before, so that it is known whether they had one",
        time_zero: "the first cast", event: "a tenotomy on or before the day of the brace",
        source: "as in the published series: tenotomies among feet treated to correction", ..BLANK
    };
    /// Booking to tenotomy.
    WaitTenotomy => Definition {
        key: "wait-tenotomy", name: "Wait for the tenotomy",
        question: "How many days pass from booking a tenotomy to doing it?",
        who: "feet with a tenotomy and a booking recorded on or before its day",
        time_zero: "the first booking", event: "the tenotomy", ..NUMBERS
    };
    /// Tenotomy to brace.
    WaitBrace => Definition {
        key: "wait-brace", name: "Tenotomy to brace",
        question: "How many days pass from the tenotomy to the brace?",
        who: "feet with a tenotomy in the first episode, braced on or after it",
        time_zero: "the first tenotomy", event: "the brace",
        source: "the cast after a tenotomy stays on for about 21 days (published protocols); the rest is waiting time", ..NUMBERS
    };
    /// Correction reached.
    Correction => Definition {
        key: "correction", name: "Correction reached",
        question: "What share of feet that begin casting reaches the brace within six months?",
        who: "feet with a first cast here", time_zero: "the first cast",
        event: "the first brace on or after that cast, including for a foot braced elsewhere before",
        competing: "drop-out by the planned interval of a child not seen again; death or transfer; surgery other than a tenotomy",
        horizons_days: &[182, 91, YEAR], ..INCIDENCES
    };
    /// Cast problems.
    CastProblems => Definition {
        key: "cast-problems", name: "Problems with casts",
        question: "How often does a cast slip, hide the toes, cause swelling or injure the skin?",
        kind: MeasureKind::Rate, scale: MeasureScale::PerHundred,
        who: "feet with a first cast here", time_zero: "the first cast",
        event: "a problem recorded while the foot was in a cast: slipped, toes not visible or discoloured, swelling, broken skin, blister",
        method: "Problems per 100 casts of any episode; ratio with variance clustered by child, 95 % confidence interval on the log scale.", ..BLANK
    };
    /// Brace tolerance.
    BraceTolerance => Definition {
        key: "brace-tolerance", name: "Brace tolerated", unit: Unit::Child,
        question: "What share of children still tolerates the brace after one and two years?",
        kind: MeasureKind::FreeOf, who: "children with a brace; a child braced elsewhere as for “Free of relapse, by time in the brace”. Shown as not recorded if no record says how the brace was tolerated: hours of wear, not tolerated, or stopped",
        time_zero: BRACE_ON,
        event: "the brace recorded as not tolerated, or bracing stopped before the fourth birthday, but not by discharge or death",
        censoring: LAST_SEEN, method: CURVE, horizons_days: &[YEAR, 2 * YEAR],
        source: "the clinic's own working definition; published series each define adherence in their own way", ..BLANK
    };
    /// Drop-out by the planned interval.
    DropOut => Definition {
        key: "drop-out", name: "Drop-out, by the planned interval", unit: Unit::Child,
        question: "What share of children stops coming?",
        who: "children with a first cast here", time_zero: "the first cast of either foot",
        event: "the last day in time for a planned visit has passed and the child has not been seen since; the event is dated midway between the last visit and the day the next was due. A child who came back has not dropped out",
        censoring: "the first visit after which the next visit can still take place in time; the end of treatment",
        competing: "death or transfer", source: PLANNED,
        horizons_days: &[2 * YEAR, YEAR, 4 * YEAR], ..INCIDENCES
    };
    /// Drop-out by the published definition.
    DropOutPublished => Definition {
        key: "drop-out-published", name: "Drop-out, by the published definition", unit: Unit::Child,
        question: "What share of children would a published series count as drop-outs?",
        who: "children with a first cast here", time_zero: "the first cast of either foot",
        event: "the first day on which there had been no visit within 3 weeks in casts, 4 weeks around a tenotomy or 6 months in the brace, whatever was planned and whether or not the child came back",
        competing: "death or transfer", source: GAP,
        horizons_days: &[2 * YEAR, YEAR, 4 * YEAR], ..INCIDENCES
    };
    /// Relapse-free by time.
    RelapseFree => Definition {
        key: "relapse-free", name: "Free of relapse, by time in the brace",
        question: "What share of feet is still corrected at a given time after the brace was fitted?",
        kind: MeasureKind::FreeOf, who: BRACED, time_zero: BRACE_ON,
        event: "the first of: a recorded relapse, a new course of casts, surgery other than a tenotomy",
        censoring: LAST_SEEN, method: CURVE, horizons_days: &[2 * YEAR, YEAR, 4 * YEAR],
        source: "the clinic's own working definition: of 84 published studies 57 % defined relapse (Gelfer 2019)", ..BLANK
    };
    /// Relapse-free by age.
    RelapseFreeAge => Definition {
        key: "relapse-free-age", name: "Free of relapse, by age",
        question: "What share of feet is free of relapse at two, four and six years of age?",
        kind: MeasureKind::FreeOf, who: "braced feet of children with a day of birth; each counts from its age when the brace was fitted, a foot braced elsewhere from its age when it became known here",
        time_zero: "birth, entering at that age",
        event: "as “Free of relapse, by time in the brace”",
        censoring: LAST_SEEN, method: "Kaplan–Meier with late entry; standard error by the infinitesimal jackknife over children, 95 % confidence interval on the log–log scale.",
        horizons_days: &[4 * YEAR + 1, 2 * YEAR, 6 * YEAR + 1],
        source: "as in Sangiorgio 2017 (10.5435/JAAOS-D-16-00522), which reports relapse by age", ..BLANK
    };
    /// Relapse with drop-out as a competing event.
    Relapse => Definition {
        key: "relapse", name: "Relapse, with drop-out as a competing event",
        question: "What share of feet has a recorded relapse while still in follow-up?",
        who: BRACED, time_zero: BRACE_ON,
        event: "as “Free of relapse, by time in the brace”",
        horizons_days: &[2 * YEAR, YEAR, 4 * YEAR], ..INCIDENCES
    };
    /// Second tenotomy.
    SecondTenotomy => Definition {
        key: "second-tenotomy", name: "Second tenotomy",
        question: "What share of feet needs a second tenotomy?",
        who: "feet with a tenotomy", time_zero: "the first tenotomy", event: "a second tenotomy of the same foot",
        horizons_days: &[2 * YEAR, 4 * YEAR], ..INCIDENCES
    };
    /// Tendon transfer.
    TendonTransfer => Definition {
        key: "tendon-transfer", name: "Tendon transfer",
        question: "What share of feet has the tibialis anterior tendon transferred?",
        who: BRACED, time_zero: BRACE_ON,
        event: "transfer of the tibialis anterior tendon", horizons_days: &[4 * YEAR, 2 * YEAR], ..INCIDENCES
    };
    /// Major surgery.
    MajorSurgery => Definition {
        key: "major-surgery", name: "Major surgery",
        question: "What share of feet has a posterior or posteromedial release?",
        who: "feet with a first cast here", time_zero: "the first cast",
        event: "posterior or posteromedial release", horizons_days: &[4 * YEAR, 2 * YEAR], ..INCIDENCES
    };
    /// Wear as logged.
    WearLogged => Definition {
        key: "wear-logged", name: "Wear, from loggers", unit: Unit::Child,
        question: "How many hours a day was the brace worn, according to the logger?",
        kind: MeasureKind::Wear, scale: MeasureScale::Hours,
        who: "children with logged wear in that quarter of bracing", time_zero: "the first brace",
        event: "mean hours a day over the days logged; never mixed with reported hours",
        method: "Mean over children, each counting once; Student's t.",
        source: "quarters as in Richards, J Pediatr Orthop", ..BLANK
    };
    /// Wear as reported.
    WearReported => Definition {
        key: "wear-reported", name: "Wear, as reported by families", unit: Unit::Child,
        question: "How many hours a day was the brace worn, according to the family?",
        kind: MeasureKind::Wear, scale: MeasureScale::Hours,
        who: "children with reported wear in that quarter of bracing", time_zero: "the first brace",
        event: "mean hours a day over the days reported; never mixed with logged hours",
        method: "Mean over children, each counting once; Student's t.",
        source: "quarters as in Richards, J Pediatr Orthop; families report about 1.3 times the logged hours (Sangiorgio 2016)", ..BLANK
    };
    /// Missing data.
    Missing => Definition {
        key: "missing", name: "Fields recorded",
        question: "Which fields are missing, and how often?", kind: MeasureKind::Missing,
        who: "feet, or children for a field of the child, for which the field is expected by now",
        time_zero: "the first cast, or the first entry if there is none", event: "the field is recorded",
        method: "Share recorded; Wilson's 95 % confidence interval at the effective number of independent feet.", ..BLANK
    };
}

impl Measure {
    /// From its key.
    #[must_use]
    pub fn of_key(key: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|measure| measure.definition().key == key)
    }

    /// Its key.
    #[must_use]
    pub const fn key(self) -> &'static str {
        self.definition().key
    }

    /// The same outcome by another definition, shown as a second line.
    #[must_use]
    pub const fn other(self) -> Option<Self> {
        match self {
            Self::DropOut => Some(Self::DropOutPublished),
            Self::DropOutPublished => Some(Self::DropOut),
            _ => None,
        }
    }

    /// The names of the competing causes: the event first.
    #[must_use]
    pub const fn causes(self) -> &'static [&'static str] {
        match self {
            Self::Correction => &["in the brace", "dropped out", "died or transferred", "other surgery"],
            Self::DropOut | Self::DropOutPublished => &["dropped out", "died or transferred"],
            Self::Relapse => &["relapsed", "dropped out", "died or transferred"],
            Self::SecondTenotomy => &["second tenotomy", "dropped out", "died or transferred"],
            Self::TendonTransfer => &["tendon transferred", "dropped out", "died or transferred"],
            Self::MajorSurgery => &["released", "dropped out", "died or transferred"],
            _ => &[],
        }
    }

    /// How its main figure is computed, in a few words; [`Definition::method`] gives the full text.
    #[must_use]
    pub const fn method_short(self) -> &'static str {
        match self.definition().kind {
            MeasureKind::Share | MeasureKind::Missing => "share, Wilson’s interval, clustered by child",
            MeasureKind::Number => "median, Woodruff’s interval, clustered by child",
            MeasureKind::Rate => "rate, interval on the log scale, clustered by child",
            MeasureKind::FreeOf => "Kaplan–Meier, clustered by child",
            MeasureKind::Incidence => "Aalen–Johansen, clustered by child",
            MeasureKind::Wear => "mean over children, Student’s t",
        }
    }

    /// `true` if a rise is better, `false` if it is worse, `None` if neither.
    #[must_use]
    pub const fn rises_well(self) -> Option<bool> {
        match self {
            Self::Correction
            | Self::BraceTolerance
            | Self::RelapseFree
            | Self::RelapseFreeAge
            | Self::Missing => Some(true),
            Self::WaitFirstCast
            | Self::WaitTenotomy
            | Self::WaitBrace
            | Self::CastProblems
            | Self::DropOut
            | Self::DropOutPublished
            | Self::Relapse
            | Self::SecondTenotomy
            | Self::MajorSurgery => Some(false),
            _ => None,
        }
    }
}

impl Serialize for Measure {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.key())
    }
}
