//! What two people could look at together: the sign on which they differed most often.
//!
//! It names both and blames neither: two people who differ do not show which of them is right.

use crate::raters::{NumberedPair, RatedItem};
use record::Sign;
use std::collections::BTreeSet;

/// Below this number of feet scored by both no conversation is proposed. Our own choice.
pub const FEWEST_TO_TALK: usize = 5;
/// One difference in a few feet is chance.
const FEWEST_DIFFERENCES: usize = 2;

/// Two people, and the sign on which they differed most often.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ScoringTalk {
    /// The sign.
    pub sign: Sign,
    /// The two, by their numbers, the lower first.
    pub raters: [u16; 2],
    /// Feet for which both gave a level.
    pub n: usize,
    /// Of these, feet for which the levels differ.
    pub differ: usize,
    /// Of these, feet for which each of the two gave the higher level.
    pub higher: [usize; 2],
}

impl ScoringTalk {
    /// One for every two people who differ, in the order of the signs and then of the numbers of the raters. It is no
    /// order of how well anybody scores.
    pub(super) fn all(pairs: &[NumberedPair]) -> Vec<Self> {
        let couple = |pair: &NumberedPair| {
            let [a, b] = pair.1.raters;
            if a <= b { [a, b] } else { [b, a] }
        };
        let couples: BTreeSet<[u16; 2]> = pairs.iter().map(couple).filter(|[a, b]| a != b).collect();
        let mut all: Vec<Self> = couples
            .into_iter()
            .filter_map(|raters| {
                let own: Vec<&NumberedPair> = pairs.iter().filter(|pair| couple(pair) == raters).collect();
                most(Sign::ALL.map(|sign| Self::of(sign, raters, &own)))
            })
            .collect();
        all.sort_by_key(|talk| (talk.sign as usize, talk.raters));
        all
    }

    fn of(sign: Sign, raters: [u16; 2], own: &[&NumberedPair]) -> Self {
        let mut talk = Self { sign, raters, n: 0, differ: 0, higher: [0, 0] };
        for (_, pair) in own {
            let [first, second] = pair.scores.map(|score| RatedItem::Sign(sign).of(&score));
            let (Some(first), Some(second)) = (first, second) else { continue };
            let (a, b) = if pair.raters[0] == raters[0] { (first, second) } else { (second, first) };
            talk.n += 1;
            talk.differ += usize::from(a != b);
            talk.higher[0] += usize::from(a > b);
            talk.higher[1] += usize::from(b > a);
        }
        talk
    }

    /// What is proposed, with the names of the two.
    #[must_use]
    pub fn sentence(&self, names: [&str; 2]) -> String {
        let Self { n, differ, higher, .. } = self;
        let [one, other] = names;
        let sign = self.sign.name().to_lowercase();
        let way = match higher {
            [0, most] => format!("{other} gave the higher level in all {most}"),
            [most, 0] => format!("{one} gave the higher level in all {most}"),
            [a, b] => format!("{one} gave the higher level in {a}, {other} in {b}"),
        };
        format!(
            "{one} and {other}, {sign}: different levels for {differ} of {n} feet; {way}. Proposed: score the next foot side by side and say what each looks at and feels for before either names a level. Which of the two is right cannot be told from this."
        )
    }
}

/// The sign that differs in the largest share of feet; the first of those that are alike.
fn most(signs: [ScoringTalk; 6]) -> Option<ScoringTalk> {
    let told = signs.into_iter().filter(|talk| talk.n >= FEWEST_TO_TALK && talk.differ >= FEWEST_DIFFERENCES);
    told.reduce(|best, talk| if talk.differ * best.n > best.differ * talk.n { talk } else { best })
}
