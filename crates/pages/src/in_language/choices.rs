//! Words with a fixed set of values. Each value has a message of its own, so that none can fall to the words of another.

use super::PageLanguage;
use course::Phase;
use guidance::{
    Scope, Urgency,
    relapse::{FoundDeformity, RelapseSignKind},
};
use record::{
    BirthOrder, ContactWay, ProblemKind, Purpose, RelapseGrade, RemovalReason, ShoulderWidth, Side, Sides,
    Sign,
};

impl PageLanguage {
    /// "Right foot", "Left foot", "Child".
    #[must_use]
    pub fn scope(self, scope: Scope) -> String {
        self.named(match scope {
            Scope::Foot(Side::Right) => "scope-right",
            Scope::Foot(Side::Left) => "scope-left",
            Scope::Child => "scope-child",
        })
    }

    /// "right foot", "left foot", "both feet", "no affected foot recorded".
    #[must_use]
    pub fn feet(self, sides: Option<Sides>) -> String {
        self.named(match sides {
            Some(Sides::Right) => "feet-right",
            Some(Sides::Left) => "feet-left",
            Some(Sides::Both) => "feet-both",
            None => "feet-none",
        })
    }

    /// The phase of a foot.
    #[must_use]
    pub fn phase(self, phase: Phase) -> String {
        self.named(match phase {
            Phase::Referred => "phase-referred",
            Phase::InCorrection => "phase-in-correction",
            Phase::WaitingForTenotomy => "phase-waiting-for-tenotomy",
            Phase::TenotomyCast => "phase-tenotomy-cast",
            Phase::FullTimeBracing => "phase-full-time-bracing",
            Phase::NightTimeBracing => "phase-night-time-bracing",
            Phase::AfterBracing => "phase-after-bracing",
            Phase::AfterSurgery => "phase-after-surgery",
            Phase::Discharged => "phase-discharged",
            Phase::Transferred => "phase-transferred",
            Phase::LostToFollowUp => "phase-lost",
            Phase::Died => "phase-died",
        })
    }

    /// What an appointment is for.
    #[must_use]
    pub fn purpose(self, purpose: Purpose) -> String {
        self.named(match purpose {
            Purpose::First => "purpose-first",
            Purpose::Cast => "purpose-cast",
            Purpose::Tenotomy => "purpose-tenotomy",
            Purpose::BraceFitting => "purpose-brace-fitting",
            Purpose::BraceReview => "purpose-brace-review",
            Purpose::Review => "purpose-review",
            Purpose::Other => "purpose-other",
        })
    }

    /// How soon the clinic must act.
    #[must_use]
    pub fn urgency(self, urgency: Urgency) -> String {
        self.named(match urgency {
            Urgency::Today => "urgency-today",
            Urgency::ThisWeek => "urgency-this-week",
            Urgency::Soon => "urgency-soon",
            Urgency::Watch => "urgency-watch",
        })
    }

    /// "born first".
    #[must_use]
    pub fn birth_order(self, order: Option<BirthOrder>) -> String {
        self.named(match order {
            Some(BirthOrder::First) => "born-first",
            Some(BirthOrder::Second) => "born-second",
            Some(BirthOrder::Third) => "born-third",
            Some(BirthOrder::Fourth) => "born-fourth",
            None => "born-order-unknown",
        })
    }

    /// A problem with a cast or a brace.
    #[must_use]
    pub fn problem(self, problem: ProblemKind) -> String {
        self.named(match problem {
            ProblemKind::CastSlipped => "problem-cast-slipped",
            ProblemKind::ToesNotSeen => "problem-toes-not-seen",
            ProblemKind::ToesColour => "problem-toes-colour",
            ProblemKind::Swelling => "problem-swelling",
            ProblemKind::SkinBroken => "problem-skin-broken",
            ProblemKind::SkinRed => "problem-skin-red",
            ProblemKind::Blister => "problem-blister",
            ProblemKind::Bleeding => "problem-bleeding",
            ProblemKind::Fever => "problem-fever",
            ProblemKind::Crying => "problem-crying",
            ProblemKind::HeelSlipsOut => "problem-heel-slips-out",
            ProblemKind::Outgrown => "problem-outgrown",
            ProblemKind::BraceBroken => "problem-brace-broken",
            ProblemKind::NotTolerated => "problem-not-tolerated",
            ProblemKind::Family => "problem-family",
            ProblemKind::Other => "problem-other",
        })
    }

    /// A boot at the beginning of a sentence: "Right boot", "Left boot".
    #[must_use]
    pub fn boot(self, side: Side) -> String {
        self.named(match side {
            Side::Right => "boot-right",
            Side::Left => "boot-left",
        })
    }

    /// Why a cast came off.
    #[must_use]
    pub fn removal_reason(self, why: RemovalReason) -> String {
        self.named(match why {
            RemovalReason::Planned => "removal-planned",
            RemovalReason::Slipped => "removal-slipped",
            RemovalReason::Sore => "removal-sore",
            RemovalReason::Circulation => "removal-circulation",
            RemovalReason::Damaged => "removal-damaged",
            RemovalReason::ByFamily => "removal-by-family",
            RemovalReason::Other => "removal-other",
        })
    }

    /// A way to reach a family.
    #[must_use]
    pub fn contact_way(self, way: ContactWay) -> String {
        self.named(match way {
            ContactWay::Phone => "way-telephone",
            ContactWay::Message => "way-message",
            ContactWay::Letter => "way-letter",
            ContactWay::HomeVisit => "way-home-visit",
            ContactWay::Through => "way-through",
        })
    }

    /// A sign of the Pirani score, with a small first letter.
    #[must_use]
    pub fn score_sign(self, sign: Sign) -> String {
        self.named(match sign {
            Sign::LateralBorder => "sign-lateral-border",
            Sign::MedialCrease => "sign-medial-crease",
            Sign::TalarHead => "sign-talar-head",
            Sign::PosteriorCrease => "sign-posterior-crease",
            Sign::RigidEquinus => "sign-rigid-equinus",
            Sign::EmptyHeel => "sign-empty-heel",
        })
    }

    /// A sign of relapse.
    #[must_use]
    pub fn relapse_sign(self, sign: RelapseSignKind) -> String {
        use FoundDeformity::{Fixed, Flexible};
        self.named(match sign {
            RelapseSignKind::Equinus(Flexible) => "relapse-sign-equinus",
            RelapseSignKind::Equinus(Fixed) => "relapse-sign-equinus-fixed",
            RelapseSignKind::EarlyHeelRise => "relapse-sign-heel-rise",
            RelapseSignKind::HeelVarus(Flexible) => "relapse-sign-heel-varus",
            RelapseSignKind::HeelVarus(Fixed) => "relapse-sign-heel-varus-fixed",
            RelapseSignKind::Adductus(Flexible) => "relapse-sign-adductus",
            RelapseSignKind::Adductus(Fixed) => "relapse-sign-adductus-fixed",
            RelapseSignKind::Supination => "relapse-sign-supination",
            RelapseSignKind::EvertorsWeak => "relapse-sign-evertors-weak",
            RelapseSignKind::EvertorsNotWorking => "relapse-sign-evertors-not-working",
            RelapseSignKind::Cavus(Flexible) => "relapse-sign-cavus",
            RelapseSignKind::Cavus(Fixed) => "relapse-sign-cavus-fixed",
        })
    }

    /// A grade of relapse.
    #[must_use]
    pub fn relapse_grade(self, grade: RelapseGrade) -> String {
        self.named(match grade {
            RelapseGrade::Ia => "relapse-grade-ia",
            RelapseGrade::Ib => "relapse-grade-ib",
            RelapseGrade::Iia => "relapse-grade-iia",
            RelapseGrade::Iib => "relapse-grade-iib",
            RelapseGrade::Iii => "relapse-grade-iii",
        })
    }

    /// Which width of the shoulders.
    #[must_use]
    pub fn shoulder_width(self, width: ShoulderWidth) -> String {
        self.named(match width {
            ShoulderWidth::Biacromial => "width-biacromial",
            ShoulderWidth::Bideltoid => "width-bideltoid",
        })
    }
}
