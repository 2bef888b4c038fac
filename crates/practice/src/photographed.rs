//! Practice on photographs of feet that two people scored alike at the visit of the same day.
//!
//! A photograph is flat and still: of 79 feet the scores from photographs agreed fully with the examination in 38
//! (Smythe and others 2020, read in abstract). What two people gave with the foot in their hands is therefore the
//! reference, and a difference does not show that the picture was read wrongly. The answers are counted apart from
//! those on drawn feet.

use crate::progress::ReferenceAgreement;
use record::{HalfPoint, PhotographView, Sign};

/// The signs that can be scored on a photograph of a view (our own choice, without source): the outer border and the
/// inner crease on the sole, the crease above the heel from behind, and how far the foot comes up where it is held
/// brought up with the knee straight. The head of the talus and the empty heel are felt, and no picture shows them.
#[must_use]
pub const fn signs_in_view(view: PhotographView) -> &'static [Sign] {
    match view {
        PhotographView::Sole => &[Sign::LateralBorder, Sign::MedialCrease],
        PhotographView::Behind => &[Sign::PosteriorCrease],
        PhotographView::BroughtUp => &[Sign::RigidEquinus],
        _ => &[],
    }
}

/// The level that counts as the reference for a sign: the one that all gave, if at least two people scored the sign.
/// `given` has what each of them gave; `None` where one left the sign out.
#[must_use]
pub fn level_agreed(given: &[Option<HalfPoint>]) -> Option<HalfPoint> {
    let (first, others) = given.split_first()?;
    let first = (*first)?;
    (!others.is_empty() && others.iter().all(|other| *other == Some(first))).then_some(first)
}

/// Agreement of a person with such references, sign by sign, for the signs that a photograph can show.
#[derive(Debug, Clone, PartialEq)]
pub struct PhotographProgress(pub Vec<(Sign, ReferenceAgreement)>);

impl PhotographProgress {
    /// From a person's answers: sign, level given, reference.
    #[must_use]
    pub fn of(answers: &[(Sign, HalfPoint, HalfPoint)]) -> Self {
        let of = |sign: Sign| {
            let levels: Vec<(HalfPoint, HalfPoint)> = answers
                .iter()
                .filter(|(of, ..)| *of == sign)
                .map(|(_, given, reference)| (*given, *reference))
                .collect();
            (sign, ReferenceAgreement::of_levels(&levels))
        };
        let shown = Sign::ALL.into_iter().filter(|sign| !crate::is_felt(*sign));
        Self(shown.map(of).collect())
    }

    /// Answers to all signs.
    #[must_use]
    pub fn answered(&self) -> usize {
        self.0.iter().map(|(_, agreement)| agreement.n).sum()
    }
}
