//! Feet scored twice, as stored in the rows of a clinic, and the agreement of its raters.

use crate::{
    ChildHistory, ClinicHistory, Clinician, KnownBy,
    history::{RaterScore, ScoredTwice},
    raters::{NumberedPair, RaterAgreement},
};
use course::pairing::{PairedScore, Rater, ScorePair};
use record::{ChildId, Day, Sign};
use serde::Serialize;
use std::collections::BTreeMap;

impl ScoredTwice<Clinician> {
    pub(crate) fn of(pair: &ScorePair<'_>) -> Self {
        let scores = pair.scores.map(|score| scored(&score));
        let raters = pair.scores.map(|score| match score.rater {
            Rater::Writer(user) => Clinician::User(user),
            Rater::Named(name) => Clinician::Named(name.to_owned()),
        });
        Self { side: pair.side, on: pair.on, raters, scores, amended: pair.amended }
    }
}

fn scored(score: &PairedScore<'_>) -> RaterScore {
    RaterScore {
        signs: Sign::ALL.map(|sign| score.pirani.sign(sign).map(|point| point.halves().0)),
        total: None,
        dimeglio: score.dimeglio.total(),
    }
}

/// Agreement of the raters of a clinic, with their identities.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ClinicAgreement {
    /// Only pairs from this day on.
    pub from: Option<Day>,
    /// Only pairs up to this day.
    pub to: Option<Day>,
    /// Which entries count as known on the day.
    pub known_by: KnownBy,
    /// The agreement over the pairs; raters are indices in `who`.
    pub agreement: RaterAgreement,
    /// The raters.
    #[serde(skip)]
    pub who: Vec<Clinician>,
    /// Pairs with a score that was corrected afterwards; they count as first made.
    pub amended: usize,
    /// Second scores without a matching first score, which do not count.
    pub unpaired: usize,
}

impl ClinicAgreement {
    /// Agreement over the pairs of a clinic within a range of days. It does not depend on the order of
    /// children or raters in the clinic.
    #[must_use]
    pub fn of(clinic: &ClinicHistory, from: Option<Day>, to: Option<Day>) -> Self {
        let NumberedPairs { by_child, who, pairs } = NumberedPairs::of(clinic, from, to);
        let amended = by_child.values().flatten().filter(|pair| pair.amended).count();
        let unpaired = clinic.children.iter().map(|child| usize::from(child.unpaired)).sum();
        let agreement = RaterAgreement::of(&pairs, clinic.as_of);
        Self { from, to, known_by: clinic.known_by, agreement, who, amended, unpaired }
    }
}

/// The pairs of a clinic with numbers for children and raters.
pub(crate) struct NumberedPairs {
    by_child: PairsByChild,
    /// The raters, by their number.
    pub(crate) who: Vec<Clinician>,
    /// The pairs, child by child.
    pub(crate) pairs: Vec<NumberedPair>,
}

impl NumberedPairs {
    /// The pairs within a range of days. Sorted by id, because indices in the clinic change as entries are added.
    pub(crate) fn of(clinic: &ClinicHistory, from: Option<Day>, to: Option<Day>) -> Self {
        let within = |pair: &&ScoredTwice<u16>| {
            from.is_none_or(|from| pair.on >= from) && to.is_none_or(|to| pair.on <= to)
        };
        let of_child = |child: &ChildHistory| {
            let pairs: Vec<_> = child.pairs.iter().filter(within).copied().collect();
            (!pairs.is_empty()).then_some((child.child, pairs))
        };
        let by_child: PairsByChild = clinic.children.iter().filter_map(of_child).collect();
        let who = raters(clinic, &by_child);
        let place = |rater: u16| {
            let found = who.binary_search(&name(clinic, rater)).unwrap_or(usize::MAX);
            u16::try_from(found).unwrap_or(u16::MAX)
        };
        let numbered = |(child, pairs): (usize, &Vec<ScoredTwice<u16>>)| {
            let child = u32::try_from(child).unwrap_or(u32::MAX);
            pairs.iter().map(|pair| (child, pair.with_raters(place))).collect::<Vec<_>>()
        };
        let pairs = by_child.values().enumerate().flat_map(numbered).collect();
        Self { by_child, who, pairs }
    }
}

/// The pairs of each child, in order of id.
type PairsByChild = BTreeMap<ChildId, Vec<ScoredTwice<u16>>>;

/// Everybody who scored one of the pairs, each once, in order.
fn raters(clinic: &ClinicHistory, by_child: &PairsByChild) -> Vec<Clinician> {
    let raters = by_child.values().flatten().flat_map(|pair| pair.raters);
    let mut who: Vec<Clinician> = raters.map(|rater| name(clinic, rater)).collect();
    who.sort_unstable();
    who.dedup();
    who
}

fn name(clinic: &ClinicHistory, rater: u16) -> Clinician {
    let unknown = || Clinician::Named(String::new());
    clinic.raters.get(usize::from(rater)).cloned().unwrap_or_else(unknown)
}
