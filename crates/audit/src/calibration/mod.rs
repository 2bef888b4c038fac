//! Scoring alike: what the people of one clinic need to know, and to do, to give the same foot the same score.
//!
//! [`feet_for_width`] says how many feet two people have to score for a kappa known to within a distance,
//! [`ScoringPlan`] which feet of this month and by whom, [`RaterQuarters`] how each person compares with the others
//! quarter by quarter, and [`ScoringTalk`] what two people could look at together.
//!
//! Nothing here orders people by how well they score: two people who differ do not show which of them is right. There
//! is no pass mark, because no published number of feet and no published kappa makes a rater (`docs/learning-to-score.md`).

mod needed;
mod plan;
mod quarters;
mod talk;

pub use needed::{
    FEWEST_IN_MONTH, FeetNeeded, FewestFeet, MOST_IN_MONTH, PlanningShares, SUPPOSED_KAPPA, feet_for_width,
    wanted_in_month,
};
pub use plan::{
    FootToScore, ScoringPlan, ScoringProposal, ScoringVisit, SeverityThird, WhyNotProposed,
    last_scored_twice, scored_so_far,
};
pub use quarters::{FEWEST_IN_QUARTER, RaterQuarter, RaterQuarters, SignLean};
pub use talk::{FEWEST_TO_TALK, ScoringTalk};

use crate::{
    ClinicHistory, Clinician,
    pairs::NumberedPairs,
    raters::{NumberedPair, RaterAgreement},
};
use record::Day;

/// Everything about scoring alike in a clinic, from the feet that two people scored blind.
#[derive(Debug, Clone, PartialEq)]
pub struct ClinicCalibration {
    /// The as-of day.
    pub as_of: Day,
    /// The agreement of all raters.
    pub agreement: RaterAgreement,
    /// Each rater beside the others, in the order of `who`.
    pub raters: Vec<RaterQuarters>,
    /// What two people could look at together, in the order of the signs.
    pub talks: Vec<ScoringTalk>,
    /// Agreement of all raters in each quarter that has pairs, the first of which begins on the day.
    pub by_quarter: Vec<(Day, RaterAgreement)>,
    /// The raters, by their number.
    pub who: Vec<Clinician>,
}

impl ClinicCalibration {
    /// From the pairs of a clinic up to its as-of day.
    #[must_use]
    pub fn of(clinic: &ClinicHistory) -> Self {
        let NumberedPairs { who, pairs, .. } = NumberedPairs::of(clinic, None, None);
        Self::of_pairs(&pairs, who, clinic.as_of)
    }

    /// From numbered pairs; `who` has the raters by their number.
    #[must_use]
    pub fn of_pairs(pairs: &[NumberedPair], who: Vec<Clinician>, as_of: Day) -> Self {
        let mut pairs: Vec<NumberedPair> =
            pairs.iter().copied().filter(|(_, pair)| pair.on <= as_of).collect();
        pairs.sort_by_key(|(child, pair)| (*child, pair.on));
        let numbers = (0..who.len()).filter_map(|number| u16::try_from(number).ok());
        Self {
            as_of,
            agreement: RaterAgreement::of(&pairs, as_of),
            raters: numbers.filter_map(|rater| RaterQuarters::of(rater, &pairs)).collect(),
            talks: ScoringTalk::all(&pairs),
            by_quarter: by_quarter(&pairs, as_of),
            who,
        }
    }

    /// The agreement of one rater with all others: only the pairs of which that person made a score.
    #[must_use]
    pub fn of_person(clinic: &ClinicHistory, person: &Clinician) -> Option<RaterAgreement> {
        let NumberedPairs { who, pairs, .. } = NumberedPairs::of(clinic, None, None);
        let rater = u16::try_from(who.binary_search(person).ok()?).ok()?;
        let own: Vec<NumberedPair> =
            pairs.into_iter().filter(|(_, pair)| pair.raters.contains(&rater)).collect();
        Some(RaterAgreement::of(&own, clinic.as_of))
    }
}

fn by_quarter(pairs: &[NumberedPair], as_of: Day) -> Vec<(Day, RaterAgreement)> {
    let mut begins: Vec<Day> = pairs.iter().map(|(_, pair)| quarters::begin(pair.on)).collect();
    begins.sort_unstable();
    begins.dedup();
    let of = |begin: Day| {
        let own: Vec<NumberedPair> =
            pairs.iter().copied().filter(|(_, pair)| quarters::begin(pair.on) == begin).collect();
        (begin, RaterAgreement::of(&own, as_of))
    };
    begins.into_iter().map(of).collect()
}
