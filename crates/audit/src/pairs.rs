//! Feet scored twice, as the rows of a clinic hold them, and what they say of its raters.

use crate::{
    Clinic, Clinician, KnownBy,
    raters::{Agreement, Scored},
};
use course::pairing::{BlindPair, PairScore, Rater};
use record::{ChildId, Day, Side, Sign};
use serde::Serialize;
use std::collections::BTreeMap;

/// A foot scored by two people at one visit. A rater is an `R`: who it was, as it is read from the log
/// ([`Clinician`]), or its place in [`Clinic::raters`], as the rows hold it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ScoredTwice<R> {
    /// Which foot.
    pub side: Side,
    /// The day.
    pub on: Day,
    /// Who made the first score and who the second.
    pub raters: [R; 2],
    /// What each gave, blind.
    pub scores: [Scored; 2],
    /// Whether either was corrected after both were written.
    pub amended: bool,
}

impl<R> ScoredTwice<R> {
    /// The same with its raters named otherwise.
    pub(crate) fn with_raters<S>(self, name: impl FnMut(R) -> S) -> ScoredTwice<S> {
        let Self { side, on, raters, scores, amended } = self;
        ScoredTwice { side, on, raters: raters.map(name), scores, amended }
    }
}

impl ScoredTwice<Clinician> {
    pub(crate) fn of(pair: &BlindPair<'_>) -> Self {
        let scores = pair.scores.map(|score| scored(&score));
        let raters = pair.scores.map(|score| match score.rater {
            Rater::Writer(user) => Clinician::User(user),
            Rater::Named(name) => Clinician::Named(name.to_owned()),
        });
        Self { side: pair.side, on: pair.on, raters, scores, amended: pair.amended }
    }
}

fn scored(score: &PairScore<'_>) -> Scored {
    Scored {
        signs: Sign::ALL.map(|sign| score.pirani.sign(sign).map(|point| point.halves().0)),
        total: None,
        dimeglio: score.dimeglio.total(),
    }
}

/// Agreement of the raters of a clinic, with who they are.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ClinicAgreement {
    /// Only pairs from this day on.
    pub from: Option<Day>,
    /// Only pairs up to this day.
    pub to: Option<Day>,
    /// Which entries count as known on the day.
    pub known_by: KnownBy,
    /// What the pairs say; raters are places in `who`.
    pub agreement: Agreement,
    /// The raters.
    #[serde(skip)]
    pub who: Vec<Clinician>,
    /// Pairs of which a score was corrected afterwards; they count as they were made.
    pub amended: usize,
    /// Second scores that belong to no first one, and do not count.
    pub unpaired: usize,
}

impl ClinicAgreement {
    /// Agreement over the pairs of a clinic within some days. It does not depend on the order of children
    /// or raters in the clinic.
    #[must_use]
    pub fn of(clinic: &Clinic, from: Option<Day>, to: Option<Day>) -> Self {
        let within = |pair: &&ScoredTwice<u16>| {
            from.is_none_or(|from| pair.on >= from) && to.is_none_or(|to| pair.on <= to)
        };
        // By id, because places in the clinic change as it is written about.
        let mut by_child: BTreeMap<ChildId, Vec<ScoredTwice<u16>>> = BTreeMap::new();
        for child in &clinic.children {
            let pairs: Vec<_> = child.pairs.iter().filter(within).copied().collect();
            if !pairs.is_empty() {
                by_child.insert(child.child, pairs);
            }
        }
        let mut who: Vec<Clinician> = by_child
            .values()
            .flatten()
            .flat_map(|pair| pair.raters)
            .map(|rater| name(clinic, rater))
            .collect();
        who.sort_unstable();
        who.dedup();
        let place = |rater: u16| {
            let found = who.binary_search(&name(clinic, rater)).unwrap_or(usize::MAX);
            u16::try_from(found).unwrap_or(u16::MAX)
        };
        let numbered = |(child, pairs): (usize, &Vec<ScoredTwice<u16>>)| {
            let child = u32::try_from(child).unwrap_or(u32::MAX);
            pairs.iter().map(|pair| (child, pair.with_raters(place))).collect::<Vec<_>>()
        };
        let pairs: Vec<_> = by_child.values().enumerate().flat_map(numbered).collect();
        let amended = by_child.values().flatten().filter(|pair| pair.amended).count();
        let unpaired = clinic.children.iter().map(|child| usize::from(child.unpaired)).sum();
        let agreement = Agreement::of(&pairs, clinic.as_of);
        Self { from, to, known_by: clinic.known_by, agreement, who, amended, unpaired }
    }
}

fn name(clinic: &Clinic, rater: u16) -> Clinician {
    let nobody = || Clinician::Named(String::new());
    clinic.raters.get(usize::from(rater)).cloned().unwrap_or_else(nobody)
}
