//! What can be recorded about a child, in the order in which it is likely to be needed.
//!
//! The order follows from the state of the child, so that the hand of a clinician goes to what is done at
//! that stage: in casts the visit, in the brace years measuring and fitting, after the end of care a new
//! referral. It is common practice, no source. Nothing that could be needed is left out; it only recedes. The
//! brace is not offered at all before a foot has come to the end of its casts: a brace on a foot that is not
//! corrected slips, hurts and does not hold (from memory).

use crate::Outlook;
use course::{Phase, Standing};
use record::{Kind, Purpose};

/// Something that can be recorded about a child.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ChildAction {
    /// A visit: findings and treatment of both feet.
    Visit,
    /// Measurements, and the fitting of the brace.
    BraceFitting,
    /// Problems with the brace, and advice.
    BraceProblems,
    /// Hours in the brace.
    Wear,
    /// One entry of a kind that has a form of its own.
    Entry(Kind),
}

/// The actions that are offered for a child.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChildActions {
    /// Those that come first, the likeliest at the head.
    pub first: Vec<ChildAction>,
    /// The others.
    pub more: Vec<ChildAction>,
}

/// Where a child is in its treatment, as far as its actions depend on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum CareStage {
    /// Nothing but casts so far, or not even those.
    Casts,
    /// A tenotomy is booked: the boots may be measured.
    BeforeTenotomy,
    /// In the last cast, or corrected without tenotomy: the brace comes next.
    LastCast,
    /// In the brace, no foot in casts.
    Brace,
    /// One foot in casts and the other in the brace.
    CastsAndBrace,
    /// After bracing or other surgery, or a relapse that is cast again.
    Later,
}

impl ChildActions {
    /// The actions for a child as known on the day of its outlook.
    #[must_use]
    pub fn of(outlook: &Outlook) -> Self {
        let first = first(outlook);
        let more = others(outlook).into_iter().filter(|action| !first.contains(action)).collect();
        Self { first, more }
    }
}

fn stage(outlook: &Outlook) -> CareStage {
    let course = &outlook.course;
    let brace_next = outlook.steps.iter().any(|step| step.action.purpose() == Purpose::BraceFitting);
    let any = |phases: &[Phase]| course.feet.iter().any(|foot| phases.contains(&foot.phase));
    let braced = any(&[Phase::FullTimeBracing, Phase::NightTimeBracing]);
    let in_casts =
        any(&[Phase::Referred, Phase::InCorrection, Phase::WaitingForTenotomy, Phase::TenotomyCast]);
    match (braced, in_casts) {
        (true, true) => CareStage::CastsAndBrace,
        (true, false) => CareStage::Brace,
        _ if brace_next || any(&[Phase::TenotomyCast]) => CareStage::LastCast,
        _ if any(&[Phase::WaitingForTenotomy]) => CareStage::BeforeTenotomy,
        _ if !course.braces.is_empty() || any(&[Phase::AfterBracing, Phase::AfterSurgery]) => {
            CareStage::Later
        }
        _ => CareStage::Casts,
    }
}

fn first(outlook: &Outlook) -> Vec<ChildAction> {
    use ChildAction::{BraceFitting, Entry, Visit, Wear};
    let (appointment, contact) = (Entry(Kind::AppointmentMade), Entry(Kind::ContactAttempt));
    match outlook.course.standing {
        Standing::Died(_) => vec![Entry(Kind::Note)],
        Standing::Discharged(_) | Standing::Transferred(_) => {
            vec![Entry(Kind::Referral), Entry(Kind::Note), contact]
        }
        Standing::Lost(_) => vec![contact, appointment, Visit],
        Standing::Active => match stage(outlook) {
            CareStage::Casts | CareStage::BeforeTenotomy => {
                vec![Visit, appointment, contact, Entry(Kind::Problem)]
            }
            CareStage::LastCast => vec![Visit, BraceFitting, appointment, contact],
            CareStage::Brace => vec![BraceFitting, Visit, Wear, appointment],
            CareStage::CastsAndBrace => vec![Visit, BraceFitting, appointment, contact],
            CareStage::Later => vec![Visit, appointment, contact],
        },
    }
}

/// Everything else that is offered. After the end of care only what can still be true of the child: a visit
/// that was not recorded, its details, a death.
fn others(outlook: &Outlook) -> Vec<ChildAction> {
    use ChildAction::{BraceFitting, BraceProblems, Entry, Visit, Wear};
    match outlook.course.standing {
        Standing::Died(_) => {
            return vec![Visit, Entry(Kind::ContactAttempt), Entry(Kind::Registration)];
        }
        Standing::Discharged(_) | Standing::Transferred(_) => {
            return vec![Visit, Entry(Kind::Registration), Entry(Kind::Death)];
        }
        Standing::Active | Standing::Lost(_) => {}
    }
    let mut all = vec![Visit];
    match stage(outlook) {
        CareStage::Casts => {}
        CareStage::BeforeTenotomy => all.push(BraceFitting),
        _ => all.extend([BraceFitting, BraceProblems, Wear]),
    }
    let mut forms: Vec<(u16, Kind)> =
        Kind::ALL.iter().filter_map(|kind| Some((kind.spec().form?.rank, *kind))).collect();
    forms.sort_by_key(|(rank, _)| *rank);
    all.extend(forms.into_iter().map(|(_, kind)| Entry(kind)));
    all
}
