//! What a column can mean.

use record::{AngleItem, DimeglioSign, FieldSpec, FieldType, Kind, Sign, WalkingItem};

/// A column that a kind of entry declares for one of its fields.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct FieldColumn {
    pub(crate) kind: Kind,
    pub(crate) key: &'static str,
    is_day: bool,
}

impl FieldColumn {
    /// The columns of every kind that declares any.
    pub(crate) fn all() -> impl Iterator<Item = Self> {
        Kind::ALL.iter().copied().flat_map(Self::of_kind)
    }

    /// The columns of a kind.
    pub(crate) fn of_kind(kind: Kind) -> impl Iterator<Item = Self> {
        let declared = kind.spec().fields.iter().filter(|spec| !spec.columns.is_empty());
        declared.map(move |spec| Self { kind, key: spec.key, is_day: spec.takes == FieldType::Day })
    }

    /// The field.
    pub(crate) fn spec(self) -> Option<&'static FieldSpec> {
        self.kind.spec().fields.iter().find(|spec| spec.key == self.key)
    }
}

macro_rules! meanings {
    ($($(#[$doc:meta])* $name:ident = $key:literal, $words:literal;)*) => {
        /// What a column holds. The key is the word used in a map file.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum Meaning {
            $($(#[$doc])* $name,)*
            /// One of the six signs of the Pirani score.
            Sign(Sign),
            /// An angle of the Dimeglio score, in degrees or points.
            Angle(AngleItem),
            /// A sign of the Dimeglio score worth one point.
            DimeglioSign(DimeglioSign),
            /// An item of the walking-age score.
            Walking(WalkingItem),
            /// A field of a kind of entry that declares columns of its own.
            Field(FieldColumn),
        }

        const PLAIN: &[(Meaning, &str, &str)] = &[$((Meaning::$name, $key, $words)),*];
    };
}

meanings! {
    /// Hospital number.
    Number = "number", "hospital number";
    /// Whole name in one column.
    Name = "name", "name";
    /// Family name.
    FamilyName = "family_name", "family name";
    /// Given name.
    GivenName = "given_name", "given name";
    /// Day of birth.
    Born = "born", "date of birth";
    /// Age at the visit, for children whose day of birth is not known.
    Age = "age", "age at the visit";
    /// Sex.
    Sex = "sex", "sex";
    /// Name of a carer.
    Carer = "carer", "carer's name";
    /// What the carer is to the child.
    CarerRelation = "carer_relation", "carer's relation";
    /// Telephone of the carer.
    Phone = "phone", "telephone";
    /// Language of the carer.
    Language = "language", "language";
    /// Address.
    Address = "address", "address";
    /// Weeks of gestation at birth.
    GestationWeeks = "gestation_weeks", "gestation in weeks";
    /// Birth weight, grams or kilograms.
    BirthWeight = "birth_weight", "birth weight";
    /// Idiopathic, syndromic and so on.
    Nature = "nature", "diagnosis";
    /// Whether the foot is complex or atypical.
    Complex = "complex", "complex or atypical foot";
    /// Treatment before this clinic.
    EarlierTreatment = "earlier_treatment", "earlier treatment";
    /// Day of referral.
    ReferralDate = "referral_date", "date of referral";
    /// Who referred.
    ReferredFrom = "referred_from", "referred from";
    /// Day of a visit.
    VisitDate = "visit_date", "date of visit";
    /// Number of the visit in a row of its own.
    VisitNumber = "visit_number", "visit number (not imported)";
    /// Which foot, or both.
    Side = "side", "side";
    /// Pirani total as written.
    Total = "total", "Pirani total";
    /// Midfoot contracture score as written.
    Midfoot = "midfoot", "midfoot contracture score";
    /// Hindfoot contracture score as written.
    Hindfoot = "hindfoot", "hindfoot contracture score";
    /// Dimeglio total as written.
    DimeglioTotal = "dimeglio_total", "Dimeglio total";
    /// Abduction in degrees.
    Abduction = "abduction", "abduction";
    /// Dorsiflexion in degrees.
    Dorsiflexion = "dorsiflexion", "dorsiflexion";
    /// Length of the foot in millimetres or centimetres.
    FootLength = "foot_length", "foot length";
    /// Number of a cast.
    CastNumber = "cast_number", "cast number";
    /// Day a cast was put on.
    CastDate = "cast_date", "date of cast";
    /// How many casts in all.
    CastCount = "cast_count", "number of casts in all";
    /// Material of a cast.
    CastMaterial = "cast_material", "cast material";
    /// Day of the tenotomy.
    TenotomyDate = "tenotomy_date", "date of tenotomy";
    /// Whether a tenotomy was done at the visit.
    Tenotomy = "tenotomy", "tenotomy done";
    /// Whether a brace is worn or was fitted.
    Brace = "brace", "brace";
    /// Day the brace was fitted.
    BraceDate = "brace_date", "date brace fitted";
    /// Hours of brace prescribed.
    BraceHours = "brace_hours", "brace hours prescribed";
    /// What was done.
    Done = "done", "what was done";
    /// Who saw the child.
    SeenBy = "seen_by", "seen by";
    /// Remarks.
    Remarks = "remarks", "remarks";
    /// Next appointment.
    NextAppointment = "next_appointment", "next appointment";
    /// A note that belongs to the score.
    ScoreNote = "score_note", "note on the score";
    /// An entry whole, as the export writes what no other column carries.
    Details = "details", "entry in full";
    /// Whether the child came.
    Attended = "attended", "attended";
    /// Day of discharge.
    DischargeDate = "discharge_date", "date of discharge";
    /// Day of death.
    DeathDate = "death_date", "date of death";
    /// Whether the foot had relapsed.
    Relapse = "relapse", "relapsed";
    /// The name of the measurement, where each row is one.
    Item = "item", "name of the measurement";
    /// The value of the measurement, where each row is one.
    ItemValue = "item_value", "value of the measurement";
    /// Day of a relapse.
    RelapseDate = "relapse_date", "date of relapse";
    /// Order of the parts of a date, as a file of refused rows carries it.
    DateOrder = "date_order", "order of day and month";
    /// A column this program added to a file of refused rows.
    Why = "why", "why refused (not imported)";
    /// Left out on purpose.
    Ignore = "ignore", "not imported";
}

impl Meaning {
    /// Every meaning.
    pub fn all() -> impl Iterator<Item = Self> {
        let plain = PLAIN.iter().map(|&(meaning, ..)| meaning);
        let signs = Sign::ALL.into_iter().map(Self::Sign);
        let angles = AngleItem::ALL.into_iter().map(Self::Angle);
        let marks = DimeglioSign::ALL.into_iter().map(Self::DimeglioSign);
        let walking = WalkingItem::ALL.into_iter().map(Self::Walking);
        let declared = FieldColumn::all().map(Self::Field);
        plain.chain(signs).chain(angles).chain(marks).chain(walking).chain(declared)
    }

    /// The word used in a map file, `visit_date`.
    #[must_use]
    pub fn key(self) -> String {
        match self {
            Self::Sign(sign) => sign.key().to_owned(),
            Self::Angle(item) => format!("dimeglio_{}", item.key()),
            Self::DimeglioSign(sign) => format!("dimeglio_{}", sign.key()),
            Self::Walking(item) => format!("walking_{}", item.key()),
            Self::Field(column) => format!("{}_{}", column.kind.wire(), column.key),
            _ => self.plain().0.to_owned(),
        }
    }

    /// The human words.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::Sign(sign) => sign.name().to_lowercase(),
            Self::Angle(item) => format!("Dimeglio {}", item.name().to_lowercase()),
            Self::DimeglioSign(sign) => format!("Dimeglio {}", sign.name().to_lowercase()),
            Self::Walking(item) => format!("walking age: {}", item.name().to_lowercase()),
            Self::Field(column) => {
                let label = column.spec().map_or("", |spec| spec.label);
                format!("{}: {}", column.kind.words(), label.to_lowercase())
            }
            _ => self.plain().1.to_owned(),
        }
    }

    fn plain(self) -> (&'static str, &'static str) {
        PLAIN.iter().find(|(meaning, ..)| *meaning == self).map_or(("", ""), |&(_, key, words)| (key, words))
    }

    /// From the word used in a map file.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::all().find(|meaning| meaning.key() == key)
    }

    /// Whether it is about one foot.
    #[must_use]
    pub const fn is_of_foot(self) -> bool {
        self.is_measured()
            || matches!(
                self,
                Self::CastNumber
                    | Self::CastDate
                    | Self::CastMaterial
                    | Self::ScoreNote
                    | Self::TenotomyDate
                    | Self::Tenotomy
                    | Self::Relapse
                    | Self::RelapseDate
                    | Self::Nature
                    | Self::Complex
                    | Self::EarlierTreatment
            )
    }

    /// Whether a column holds a sum of signs or items of one foot.
    #[must_use]
    pub(crate) const fn is_sum(self) -> bool {
        matches!(self, Self::Total | Self::Midfoot | Self::Hindfoot | Self::DimeglioTotal)
    }

    /// Whether it is measured or scored on one foot.
    #[must_use]
    pub const fn is_measured(self) -> bool {
        matches!(
            self,
            Self::Sign(_)
                | Self::Angle(_)
                | Self::DimeglioSign(_)
                | Self::Walking(_)
                | Self::Total
                | Self::Midfoot
                | Self::Hindfoot
                | Self::DimeglioTotal
                | Self::Abduction
                | Self::Dorsiflexion
                | Self::FootLength
        )
    }

    /// Whether its cells are dates.
    #[must_use]
    pub const fn is_date(self) -> bool {
        matches!(
            self,
            Self::Born
                | Self::VisitDate
                | Self::CastDate
                | Self::TenotomyDate
                | Self::BraceDate
                | Self::NextAppointment
                | Self::ReferralDate
                | Self::DischargeDate
                | Self::DeathDate
                | Self::RelapseDate
                | Self::Field(FieldColumn { is_day: true, .. })
        )
    }

    /// Whether it belongs to one visit, so that it may be there once for each of several visits.
    #[must_use]
    pub const fn is_of_visit(self) -> bool {
        self.is_measured()
            || matches!(
                self,
                Self::VisitDate
                    | Self::Done
                    | Self::CastNumber
                    | Self::CastDate
                    | Self::CastMaterial
                    | Self::Tenotomy
                    | Self::Relapse
                    | Self::SeenBy
                    | Self::ScoreNote
                    | Self::Details
                    | Self::Remarks
                    | Self::NextAppointment
                    | Self::Attended
                    | Self::BraceHours
                    | Self::Brace
                    | Self::Side
                    | Self::Field(_)
            )
    }
}
