//! Words with a fixed set of values. Each value has a message of its own, so that none can fall to the words of another.

use super::PageLanguage;
use course::Phase;
use guidance::{Scope, Urgency};
use record::{BirthOrder, ProblemKind, Purpose, Side, Sides};

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
}
