//! Which feet two people should score this month, and who.
//!
//! The rules, in this order:
//! - A foot of a child whose care here has ended is never proposed, and none of a child who is not expected anyway:
//!   nobody is called in to be scored.
//! - A child is asked once in the month, and one foot of it, because its two feet are not independent. A child already
//!   scored twice in the month is asked again only if the other children are too few, and the proposal says so.
//! - The feet spread over the severity: the third of the score that has the fewest feet so far comes first.
//! - The two people are different, and those two who have scored the fewest feet together come first. Where it is known
//!   who will see the child, that person makes the first score.

use crate::{
    ChildHistory, ClinicHistory, Clinician,
    pairs::NumberedPairs,
    raters::{RatedItem, RaterScore},
};
use course::{AppointmentState, Course, FootCourse, Phase, Standing};
use record::{ChildId, Day, DayRange, Halves, Side};
use std::collections::BTreeMap;

/// A third of the Pirani total. Thirds of the scale are our own choice: no published classes were found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum SeverityThird {
    /// 0 to 2.
    Mild,
    /// 2.5 to 4.
    Middle,
    /// 4.5 to 6.
    Severe,
}

impl SeverityThird {
    /// All three.
    pub const ALL: [Self; 3] = [Self::Mild, Self::Middle, Self::Severe];

    /// The third of a total.
    #[must_use]
    pub const fn of(total: Halves) -> Self {
        match total.0 {
            0..=4 => Self::Mild,
            5..=8 => Self::Middle,
            _ => Self::Severe,
        }
    }

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Mild => "total of 0 to 2",
            Self::Middle => "total of 2.5 to 4",
            Self::Severe => "total of 4.5 to 6",
        }
    }
}

/// A foot that could be scored at a visit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FootToScore {
    /// Which foot.
    pub side: Side,
    /// Its third by the last complete total; `None` if it has none.
    pub third: Option<SeverityThird>,
}

/// A visit at which feet could be scored.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ScoringVisit {
    /// The child.
    pub child: ChildId,
    /// The day of its next appointment in the month.
    pub on: Day,
    /// Its feet.
    pub feet: Vec<FootToScore>,
    /// Who is going to see the child, where that is known.
    pub seen_by: Option<Clinician>,
    /// The last day on which a foot of it was scored by two people.
    pub twice_on: Option<Day>,
}

/// Why a child is not proposed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum WhyNotProposed {
    /// Care here has ended, or the child is lost to follow-up.
    NotFollowed,
    /// No appointment in the month.
    NotExpected,
    /// No foot that is treated or followed here.
    NoFoot,
    /// Scored by two people in this month already, and others are enough.
    AskedThisMonth,
    /// Enough others were found.
    NotNeeded,
}

impl WhyNotProposed {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::NotFollowed => "no longer followed here",
            Self::NotExpected => "not expected in this month",
            Self::NoFoot => "no foot that is followed here",
            Self::AskedThisMonth => "already scored by two people in this month",
            Self::NotNeeded => "not needed: enough others",
        }
    }
}

impl ScoringVisit {
    /// The visit of a child in the rest of a month.
    ///
    /// # Errors
    /// Why nothing can be proposed for the child.
    pub fn of(course: &Course, twice_on: Option<Day>, month: DayRange) -> Result<Self, WhyNotProposed> {
        if course.standing != Standing::Active {
            return Err(WhyNotProposed::NotFollowed);
        }
        let expected = course.appointments.iter().filter(|appointment| {
            appointment.state == AppointmentState::Expected
                && appointment.for_day >= course.as_of
                && month.contains(appointment.for_day)
        });
        let on = expected.map(|appointment| appointment.for_day).min().ok_or(WhyNotProposed::NotExpected)?;
        let feet: Vec<FootToScore> =
            course.feet.iter().filter(|foot| is_followed(foot)).map(to_score).collect();
        if feet.is_empty() {
            return Err(WhyNotProposed::NoFoot);
        }
        Ok(Self { child: course.child, on, feet, seen_by: None, twice_on })
    }
}

const fn is_followed(foot: &FootCourse) -> bool {
    !matches!(foot.phase, Phase::Discharged | Phase::Transferred | Phase::LostToFollowUp | Phase::Died)
}

fn to_score(foot: &FootCourse) -> FootToScore {
    let total = foot.scores.iter().rev().find_map(|scored| scored.pirani.total().or(scored.stated_total));
    FootToScore { side: foot.side, third: total.map(SeverityThird::of) }
}

/// A foot to be scored by two people.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ScoringProposal {
    /// The child.
    pub child: ChildId,
    /// Which foot.
    pub side: Side,
    /// The day of the visit.
    pub on: Day,
    /// The third of its last total; `None` if it has none.
    pub third: Option<SeverityThird>,
    /// Who makes the first and who the second, blind score.
    pub by: [Clinician; 2],
    /// Whether the child was scored by two people in this month already: there are too few others.
    pub asked_again: bool,
}

/// The feet proposed for a month.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ScoringPlan {
    /// The days of the month.
    pub month: DayRange,
    /// How many feet were wanted.
    pub wanted: usize,
    /// The feet, in order of day.
    pub proposals: Vec<ScoringProposal>,
    /// Children for whom nothing is proposed, and why.
    pub left_out: Vec<(ChildId, WhyNotProposed)>,
    /// Whether there are fewer than two people who could score; then nothing is proposed.
    pub too_few_people: bool,
}

/// What has been scored by two people so far.
#[derive(Debug, Clone, Default)]
struct Tally {
    feet: BTreeMap<SeverityThird, usize>,
    couples: BTreeMap<[Clinician; 2], usize>,
    scores: BTreeMap<Clinician, usize>,
}

impl Tally {
    fn add(&mut self, by: &[Clinician; 2], third: Option<SeverityThird>) {
        *self.couples.entry(couple(by[0].clone(), by[1].clone())).or_default() += 1;
        by.iter().for_each(|one| *self.scores.entry(one.clone()).or_default() += 1);
        if let Some(third) = third {
            *self.feet.entry(third).or_default() += 1;
        }
    }

    /// How often two people have scored together, then how often both have scored at all.
    fn load(&self, one: &Clinician, other: &Clinician) -> (usize, usize) {
        let of = |who: &Clinician| self.scores.get(who).copied().unwrap_or(0);
        let together = self.couples.get(&couple(one.clone(), other.clone())).copied().unwrap_or(0);
        (together, of(one) + of(other))
    }
}

fn couple(one: Clinician, other: Clinician) -> [Clinician; 2] {
    if one <= other { [one, other] } else { [other, one] }
}

/// The two people and the third of every foot of a clinic that was scored twice on a day or later, for
/// [`ScoringPlan::of`]. The third is that of the first score.
#[must_use]
pub fn scored_so_far(clinic: &ClinicHistory, from: Day) -> Vec<([Clinician; 2], Option<SeverityThird>)> {
    let NumberedPairs { who, pairs, .. } = NumberedPairs::of(clinic, Some(from), Some(clinic.as_of));
    let both = |raters: [u16; 2]| {
        let [one, other] = raters.map(|rater| who.get(usize::from(rater)).cloned());
        Some([one?, other?])
    };
    let third = |score: &RaterScore| RatedItem::Total.of(score).map(|total| SeverityThird::of(Halves(total)));
    pairs.iter().filter_map(|(_, pair)| Some((both(pair.raters)?, third(&pair.scores[0])))).collect()
}

/// The last day on which a foot of a child was scored by two people.
#[must_use]
pub fn last_scored_twice(child: &ChildHistory) -> Option<Day> {
    child.pairs.iter().map(|pair| pair.on).max()
}

impl ScoringPlan {
    /// The plan of a month: visits or reasons child by child, the people who could score, the two people and the third
    /// of every foot scored twice so far, and how many feet are wanted.
    #[must_use]
    pub fn of(
        month: DayRange,
        children: Vec<(ChildId, Result<ScoringVisit, WhyNotProposed>)>,
        people: &[Clinician],
        so_far: &[([Clinician; 2], Option<SeverityThird>)],
        wanted: usize,
    ) -> Self {
        let mut tally = Tally::default();
        so_far.iter().for_each(|(by, third)| tally.add(by, *third));
        let mut people = people.to_vec();
        people.sort_unstable();
        people.dedup();
        let mut plan = Self {
            month,
            wanted,
            proposals: Vec::new(),
            left_out: Vec::new(),
            too_few_people: people.len() < 2,
        };
        let mut visits: BTreeMap<ChildId, ScoringVisit> = BTreeMap::new();
        for (child, visit) in children {
            match visit {
                Err(why) => plan.left_out.push((child, why)),
                // One child is one person to ask, even if it were listed twice: the earlier visit counts.
                Ok(visit) if visits.get(&child).is_none_or(|other| visit.on < other.on) => {
                    visits.insert(child, visit);
                }
                Ok(_) => {}
            }
        }
        let asked = |visit: &ScoringVisit| visit.twice_on.is_some_and(|on| month.contains(on));
        let (again, fresh): (Vec<_>, Vec<_>) = visits.into_values().partition(asked);
        plan.choose(fresh, &people, &mut tally, WhyNotProposed::NotNeeded);
        plan.choose(again, &people, &mut tally, WhyNotProposed::AskedThisMonth);
        plan.proposals.sort_by_key(|one| (one.on, one.child));
        plan.left_out.sort_unstable();
        plan
    }

    /// How many feet are missing to what was wanted.
    #[must_use]
    pub const fn short_of(&self) -> usize {
        self.wanted.saturating_sub(self.proposals.len())
    }

    /// Takes visits until enough are found; the rest is left out with a reason.
    fn choose(
        &mut self,
        mut visits: Vec<ScoringVisit>,
        people: &[Clinician],
        tally: &mut Tally,
        rest: WhyNotProposed,
    ) {
        visits.sort_by_key(|visit| (visit.on, visit.child));
        while self.short_of() > 0 && !self.too_few_people {
            let Some((place, foot)) = rarest(&visits, tally) else { break };
            let visit = visits.remove(place);
            let Some(by) = two_people(&visit, people, tally) else { continue };
            tally.add(&by, foot.third);
            let asked_again = rest == WhyNotProposed::AskedThisMonth;
            let ScoringVisit { child, on, .. } = visit;
            self.proposals.push(ScoringProposal {
                child,
                side: foot.side,
                on,
                third: foot.third,
                by,
                asked_again,
            });
        }
        self.left_out.extend(visits.into_iter().map(|visit| (visit.child, rest)));
    }
}

/// The visit and foot in the third with the fewest feet so far; a foot without a total comes last, an earlier day first.
fn rarest(visits: &[ScoringVisit], tally: &Tally) -> Option<(usize, FootToScore)> {
    let feet = visits
        .iter()
        .enumerate()
        .flat_map(|(place, visit)| visit.feet.iter().map(move |foot| (place, *foot)));
    feet.min_by_key(|(place, foot)| {
        let count = foot.third.map(|third| tally.feet.get(&third).copied().unwrap_or(0));
        (count.is_none(), count, *place)
    })
}

/// Two different people; where it is known who sees the child, that person first.
fn two_people(visit: &ScoringVisit, people: &[Clinician], tally: &Tally) -> Option<[Clinician; 2]> {
    let firsts: Vec<&Clinician> = match &visit.seen_by {
        Some(one) => vec![one],
        None => people.iter().collect(),
    };
    let couples = firsts
        .into_iter()
        .flat_map(|one| people.iter().filter(move |other| *other != one).map(move |other| (one, other)));
    let (one, other) = couples.min_by_key(|(one, other)| tally.load(one, other))?;
    Some([one.clone(), other.clone()])
}
