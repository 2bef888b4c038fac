//! The findings of a relapse, and the grade that they make up.
//!
//! The grades are those of Bhaskar & Patni 2013, 10.4103/0019-5413.114921 (read): IA dorsiflexion fallen
//! from 15° to neutral, flexible; IB dynamic adduction or supination, flexible; IIA rigid equinus; IIB rigid
//! adduction; III two or more fixed of equinus, varus and adduction. A grade recorded by a clinician is shown
//! next to it and takes precedence.
//!
//! **Noise.** Dorsiflexion is measured by hand; one reading has a standard error of 2.86°, and a change is
//! beyond error from 7.94° in one study (10.3233/BMR-170862, children with cerebral palsy) and from 10 to 23°
//! in another (Johansen 2020); nothing was found for infants. So a fall counts from
//! `bracing.dorsiflexion_loss_deg` on, "to neutral" means up to `relapse.flexible_to_deg`, and a foot short of
//! neutral counts as rigid equinus only if it was recorded as fixed or is short of neutral by more than that
//! noise.

use crate::words::degrees;
use crate::{Protocol, Reason};
use course::{AssessmentSeen, FootCourse};
use record::{Day, Deformity, EntryId, Evertors, RelapseGrade};

const ORDER: &str = "review of relapse in Orthop J Madhya Pradesh (read): dorsiflexion goes first, then heel varus and adductus, cavus rarely";
const GRADES: &str = "Bhaskar & Patni 2013, 10.4103/0019-5413.114921";
const SUPINATION: &str = "Baskar 2022, 10.1097/bpo.0000000000002119";
const EVERTORS: &str = "van Schelven 2022, 10.1080/17453674.2021.1982576 (few feet)";

/// Which sign of relapse; a deformity with whether it is fixed, so that it does not correct by hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RelapseSignKind {
    /// Equinus.
    Equinus(FoundDeformity),
    /// The heel rises early.
    EarlyHeelRise,
    /// The heel is turned in.
    HeelVarus(FoundDeformity),
    /// The forefoot is turned in.
    Adductus(FoundDeformity),
    /// The foot supinates in swing.
    Supination,
    /// The evertors are weak.
    EvertorsWeak,
    /// The evertors do not work.
    EvertorsNotWorking,
    /// A high arch.
    Cavus(FoundDeformity),
}

/// A deformity that was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FoundDeformity {
    /// It corrects by hand.
    Flexible,
    /// It does not.
    Fixed,
}

impl RelapseSignKind {
    /// In English.
    #[must_use]
    pub const fn words(self) -> &'static str {
        use FoundDeformity::{Fixed, Flexible};
        match self {
            Self::Equinus(Flexible) => "equinus, corrects by hand",
            Self::Equinus(Fixed) => "equinus, fixed",
            Self::EarlyHeelRise => "early heel rise",
            Self::HeelVarus(Flexible) => "heel turned in, corrects by hand",
            Self::HeelVarus(Fixed) => "heel turned in, fixed",
            Self::Adductus(Flexible) => "forefoot turned in, corrects by hand",
            Self::Adductus(Fixed) => "forefoot turned in, fixed",
            Self::Supination => "supination in swing",
            Self::EvertorsWeak => "evertors weak",
            Self::EvertorsNotWorking => "evertors not working",
            Self::Cavus(Flexible) => "high arch, corrects by hand",
            Self::Cavus(Fixed) => "high arch, fixed",
        }
    }
}

/// A current sign of relapse.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RelapseSign {
    /// The day it was seen.
    pub on: Day,
    /// The entry.
    pub entry: EntryId,
    /// Which sign.
    pub what: RelapseSignKind,
    /// Whether it is fixed (does not correct by hand).
    pub fixed: bool,
    source: &'static str,
}

impl RelapseSign {
    /// The sign as a reason.
    #[must_use]
    pub fn reason(&self) -> Reason {
        let fact = format!("{} on {}", self.what.words(), self.on.words());
        let rule = if self.fixed {
            "A brace does not correct a fixed deformity: see the foot within days."
        } else {
            "An early sign of relapse: ask how the brace is worn, and assess whether casts are needed."
        };
        Reason::new(fact, self.entry, rule, self.source)
    }
}

/// A grade that follows from the findings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Graded {
    /// The grade.
    pub grade: RelapseGrade,
    /// The findings it is based on.
    pub fact: String,
    /// The entry of the latest of them.
    pub entry: Option<EntryId>,
}

impl Graded {
    /// The grade as a reason.
    #[must_use]
    pub fn reason(&self) -> Reason {
        let rule =
            format!("Grade {}. A grade recorded by the clinician takes precedence.", self.grade.words());
        Reason::new(self.fact.clone(), self.entry, rule, GRADES)
    }
}

/// The findings of relapse of one foot since bracing began.
#[derive(Debug, Clone)]
pub struct RelapseFindings {
    /// Current signs, in the published order of appearance.
    pub signs: Vec<RelapseSign>,
    equinus: Option<Deformity>,
    heel_varus: Option<Deformity>,
    adductus: Option<Deformity>,
    supination: Option<bool>,
    /// Best and last dorsiflexion: degrees, day, entry.
    best: Option<(i16, Day, EntryId)>,
    last: Option<(i16, Day, EntryId)>,
    loss_deg: i16,
    neutral_deg: i16,
}

impl RelapseFindings {
    /// The findings of a foot since a day; the last examination of each sign counts.
    #[must_use]
    pub fn of(foot: &FootCourse, since: Day, protocol: &Protocol) -> Self {
        let examined: Vec<&AssessmentSeen> = foot.scores.iter().filter(|scored| scored.on >= since).collect();
        let measured =
            || examined.iter().filter_map(|scored| Some((scored.dorsiflexion_deg?, scored.on, scored.entry)));
        let deformity = |of: fn(&AssessmentSeen) -> Option<Deformity>| last(&examined, of);
        let seen = |of: fn(&AssessmentSeen) -> Option<bool>| last(&examined, of);
        let equinus = deformity(|scored| scored.signs.equinus);
        let heel_varus = deformity(|scored| scored.signs.heel_varus);
        let adductus = deformity(|scored| scored.signs.adductus);
        let supination = seen(|scored| scored.signs.dynamic_supination);
        let rise = seen(|scored| scored.signs.early_heel_rise);
        let evertors = last(&examined, |scored| scored.signs.evertors);
        let signs = [
            of_deformity(equinus, RelapseSignKind::Equinus),
            of_answer(rise, RelapseSignKind::EarlyHeelRise, ORDER),
            of_deformity(heel_varus, RelapseSignKind::HeelVarus),
            of_deformity(adductus, RelapseSignKind::Adductus),
            of_answer(supination, RelapseSignKind::Supination, SUPINATION),
            of_evertors(evertors),
            of_deformity(deformity(|scored| scored.signs.cavus), RelapseSignKind::Cavus),
        ];
        Self {
            signs: signs.into_iter().flatten().collect(),
            equinus: equinus.map(|found| found.0),
            heel_varus: heel_varus.map(|found| found.0),
            adductus: adductus.map(|found| found.0),
            supination: supination.map(|found| found.0),
            // The first of several equal best values.
            best: measured().reduce(|best, next| if next.0 > best.0 { next } else { best }),
            last: measured().next_back(),
            loss_deg: protocol.dorsiflexion_loss_deg,
            neutral_deg: protocol.relapse_flexible_to_deg,
        }
    }

    /// The most severe grade that follows; `None` if the findings make up no grade, or nothing was examined.
    #[must_use]
    pub fn grade(&self) -> Option<Graded> {
        let fixed = |found: Option<Deformity>| found == Some(Deformity::Fixed);
        let short = self.last.is_some_and(|(deg, ..)| deg < -self.neutral_deg);
        let equinus = fixed(self.equinus) || (self.equinus.is_none() && short);
        let rigid = [
            ("equinus", equinus),
            ("heel turned in", fixed(self.heel_varus)),
            ("forefoot turned in", fixed(self.adductus)),
        ];
        let names: Vec<&str> = rigid.iter().filter(|part| part.1).map(|part| part.0).collect();
        let graded = |grade, fact: String| Some(Graded { grade, fact, entry: self.entry() });
        if names.len() >= 2 {
            return graded(RelapseGrade::Iii, format!("fixed: {}", names.join(", ")));
        }
        if equinus {
            return graded(RelapseGrade::Iia, "rigid equinus".to_owned());
        }
        if fixed(self.adductus) {
            return graded(RelapseGrade::Iib, "forefoot turned in, fixed".to_owned());
        }
        if self.supination == Some(true) || self.adductus == Some(Deformity::Flexible) {
            return graded(RelapseGrade::Ib, "dynamic supination or adduction, flexible".to_owned());
        }
        self.fallen()
    }

    /// Dorsiflexion fallen from 15° or more to neutral, by more than the measuring error.
    fn fallen(&self) -> Option<Graded> {
        let ((best, on, _), (now, day, entry)) = (self.best?, self.last?);
        let fell = best >= 15 && now <= self.neutral_deg && best - now >= self.loss_deg;
        fell.then(|| Graded {
            grade: RelapseGrade::Ia,
            fact: format!(
                "dorsiflexion {} on {}, {} on {}",
                degrees(best),
                on.words(),
                degrees(now),
                day.words()
            ),
            entry: Some(entry),
        })
    }

    fn entry(&self) -> Option<EntryId> {
        self.signs.iter().max_by_key(|sign| sign.on).map(|sign| sign.entry).or(self.last.map(|last| last.2))
    }
}

type Found<T> = Option<(T, Day, EntryId)>;

/// The last recorded value of a finding, with its day and entry.
fn last<T>(examined: &[&AssessmentSeen], of: fn(&AssessmentSeen) -> Option<T>) -> Found<T> {
    examined.iter().rev().find_map(|scored| Some((of(scored)?, scored.on, scored.entry)))
}

fn of_deformity(found: Found<Deformity>, kind: fn(FoundDeformity) -> RelapseSignKind) -> Option<RelapseSign> {
    let (deformity, on, entry) = found?;
    let deformity = match deformity {
        Deformity::Absent => return None,
        Deformity::Flexible => FoundDeformity::Flexible,
        Deformity::Fixed => FoundDeformity::Fixed,
    };
    let fixed = deformity == FoundDeformity::Fixed;
    Some(RelapseSign { on, entry, what: kind(deformity), fixed, source: ORDER })
}

fn of_answer(found: Found<bool>, what: RelapseSignKind, source: &'static str) -> Option<RelapseSign> {
    let (there, on, entry) = found?;
    there.then_some(RelapseSign { on, entry, what, fixed: false, source })
}

fn of_evertors(found: Found<Evertors>) -> Option<RelapseSign> {
    let (power, on, entry) = found?;
    let what = match power {
        Evertors::Strong => return None,
        Evertors::Weak => RelapseSignKind::EvertorsWeak,
        Evertors::None => RelapseSignKind::EvertorsNotWorking,
    };
    Some(RelapseSign { on, entry, what, fixed: false, source: EVERTORS })
}

/// The arguments for and against a tendon transfer, in words. Ossified cuneiform and age: Opel 2014,
/// 10.4236/ojo.2014.43010; that the foot supinates in swing and corrects by hand: from memory.
#[must_use]
pub fn transfer_criteria(
    foot: &FootCourse,
    since: Day,
    months: Option<i32>,
    protocol: &Protocol,
) -> Vec<String> {
    let examined: Vec<&AssessmentSeen> = foot.scores.iter().filter(|scored| scored.on >= since).collect();
    let answer = |of: fn(&AssessmentSeen) -> Option<bool>, yes: &str, no: &str, open: &str| match last(
        &examined, of,
    ) {
        Some((true, on, _)) => format!("{yes} ({})", on.words()),
        Some((false, on, _)) => format!("{no} ({})", on.words()),
        None => open.to_owned(),
    };
    vec![
        transfer_age(months, protocol),
        answer(
            |scored| scored.signs.dynamic_supination,
            "supinates in swing",
            "does not supinate in swing",
            "supination in swing not examined",
        ),
        answer(
            is_any_fixed,
            "does not correct by hand: casts first",
            "corrects by hand",
            "whether it corrects by hand is not recorded",
        ),
        answer(
            |scored| scored.signs.lateral_cuneiform_ossified,
            "lateral cuneiform ossified",
            "lateral cuneiform not ossified yet",
            "ossification of the lateral cuneiform not recorded",
        ),
    ]
}

fn transfer_age(months: Option<i32>, protocol: &Protocol) -> String {
    let (from, until) = (i32::from(protocol.transfer_from_months), i32::from(protocol.transfer_until_months));
    match months {
        None => "age not known".to_owned(),
        Some(months) if months < from => format!("too young: {months} months, usual from {from}"),
        Some(months) if months > until => format!("older than usual: {months} months, usual to {until}"),
        Some(months) => format!("usual age: {months} months, usual from {from} to {until}"),
    }
}

/// Whether any deformity is fixed; `None` if none was examined.
fn is_any_fixed(scored: &AssessmentSeen) -> Option<bool> {
    let signs = [scored.signs.equinus, scored.signs.heel_varus, scored.signs.adductus];
    signs.iter().any(Option::is_some).then(|| signs.contains(&Some(Deformity::Fixed)))
}
