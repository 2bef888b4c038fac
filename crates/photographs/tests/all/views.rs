//! Views and sets of views.

use photographs::*;
use std::collections::BTreeSet;

#[test]
fn what_was_taken_is_missing_no_more() {
    use PhotographView::{Behind, BothFeet, BroughtUp, Front, OuterSide, Sole, Squatting, StandingBehind};
    assert_eq!(missing_views(&[Sole, Front, Squatting], ViewSet::OneFoot), [OuterSide, Behind, BroughtUp]);
    assert_eq!(missing_views(&[StandingBehind], ViewSet::BothFeet), [BothFeet]);
    assert_eq!(missing_views(ViewSet::BothFeetWalking.views(), ViewSet::BothFeetWalking), []);
}

/// A set of one foot holds views of one foot only; a child that does not stand is asked for no standing view.
#[test]
fn sets_fit_what_the_child_can_do() {
    for view in ViewSet::OneFoot.views() {
        assert_eq!((view.feet(), view.stage()), (ViewFeet::One, ViewStage::FromBirth), "{}", view.words());
    }
    let sets = [
        (ViewSet::BothFeet, ViewStage::FromBirth),
        (ViewSet::BothFeetStanding, ViewStage::Stands),
        (ViewSet::BothFeetWalking, ViewStage::Walks),
    ];
    for (set, stage) in sets {
        assert!(
            set.views().iter().all(|view| view.feet() == ViewFeet::Both && view.stage() <= stage),
            "{set:?}"
        );
        assert!(set.views().iter().any(|view| view.stage() == stage), "{set:?}");
    }
    let mut standard: BTreeSet<PhotographView> = ViewSet::OneFoot.views().iter().copied().collect();
    standard.extend(ViewSet::BothFeetWalking.views());
    let left: Vec<_> = PhotographView::ALL.iter().filter(|view| !standard.contains(view)).collect();
    assert_eq!(left, [&PhotographView::ThighAndFoot]);
}

/// The keys are those of the wire form and never change.
#[test]
fn keys_of_views_and_angles_are_stable() {
    let views: Vec<&str> = PhotographView::ALL.iter().map(|view| view.key()).collect();
    let expected = [
        "front",
        "sole",
        "outer-side",
        "behind",
        "brought-up",
        "thigh-and-foot",
        "both-feet",
        "standing-front",
        "standing-behind",
        "squatting",
    ];
    assert_eq!(views, expected);
    let angles: Vec<&str> = PhotographAngle::ALL.iter().map(|angle| angle.key()).collect();
    assert_eq!(angles, ["thigh-foot", "forefoot-adduction", "heel-varus", "dorsiflexion"]);
    for view in PhotographView::ALL {
        assert!(
            view.how_to_take().ends_with('.') && view.how_to_take().contains("amera"),
            "{}",
            view.words()
        );
    }
}
