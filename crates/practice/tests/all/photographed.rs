//! Practice on photographs: which signs a picture shows, and what counts as a reference.

use practice::{PhotographProgress, is_felt, level_agreed, signs_in_view};
use record::{
    HalfPoint::{self, Half, One, Zero},
    PhotographView, Sign, ViewFeet,
};

#[test]
fn no_picture_shows_what_is_felt_and_only_pictures_of_one_foot_show_a_sign() {
    let mut shown = Vec::new();
    for view in PhotographView::ALL.iter().copied() {
        let signs = signs_in_view(view);
        assert!(signs.iter().all(|sign| !is_felt(*sign)), "{view:?}");
        assert!(signs.is_empty() || view.feet() == ViewFeet::One, "{view:?}");
        shown.extend(signs);
    }
    // The four signs that are seen, each in one view.
    assert_eq!(shown.len(), 4);
    assert!(Sign::ALL.into_iter().all(|sign| shown.contains(&sign) != is_felt(sign)), "{shown:?}");
}

#[test]
fn a_reference_needs_two_people_who_gave_the_same_level() {
    for (given, expected) in [
        (vec![], None),
        (vec![Some(Half)], None),
        (vec![Some(Half), Some(Half)], Some(Half)),
        (vec![Some(Half), Some(One)], None),
        (vec![Some(Half), None], None),
        (vec![None, None], None),
        (vec![Some(Zero), Some(Zero), Some(Zero)], Some(Zero)),
        (vec![Some(Zero), Some(Zero), Some(Half)], None),
    ] {
        assert_eq!(level_agreed(&given), expected, "{given:?}");
    }
}

#[test]
fn agreement_is_counted_for_each_sign_by_itself_and_not_told_from_few() {
    let answers: Vec<(Sign, HalfPoint, HalfPoint)> =
        (0..14).map(|n| (Sign::LateralBorder, if n < 11 { Half } else { One }, Half)).collect();
    let progress = PhotographProgress::of(&answers);
    assert_eq!((progress.0.len(), progress.answered()), (4, 14));
    let (sign, agreement) = &progress.0[0];
    assert_eq!((*sign, agreement.n, agreement.same), (Sign::LateralBorder, 14, 11));
    // Below 15 feet kappa and mean are not told.
    assert!(agreement.kappa.is_err() && agreement.mean_difference.is_none());
    let more: Vec<_> = answers.iter().copied().chain([(Sign::LateralBorder, Zero, One)]).collect();
    let agreement = &PhotographProgress::of(&more).0[0].1;
    // 15 feet: three half a point too high, one a whole point too low: (1.5 − 1) / 15.
    assert!((agreement.mean_difference.unwrap() - 0.5 / 15.0).abs() < 1e-12, "{agreement:?}");
}
