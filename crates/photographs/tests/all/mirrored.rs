//! How often a picture of the other foot is asked about, and how often one of the right foot.

use crate::world::{
    drawn::{DrawnFoot, Shot, drawn},
    quantile,
};
use photographs::*;
use rand::{RngExt, SeedableRng, rngs::StdRng};
use rayon::prelude::*;
use record::Side;

const SIZE: (u32, u32) = (160, 120);

/// Earlier pictures and a new one.
struct Case {
    same: Vec<GreyPlane>,
    other: Vec<GreyPlane>,
    /// Of the side that is said.
    right: GreyPlane,
    /// Of the other foot.
    wrong: GreyPlane,
}

fn case(view: PhotographView, earlier: (usize, usize), seed: u64) -> Case {
    let mut rng = StdRng::seed_from_u64(seed);
    let side = if rng.random_range(0..2) == 0 { Side::Right } else { Side::Left };
    let foot = DrawnFoot::any(&mut rng);
    let sibling = foot.sibling(&mut rng);
    let picture = |foot: &DrawnFoot, side: Side, rng: &mut StdRng| {
        let shot = Shot::by_guide(view, SIZE, rng);
        drawn(&foot.later(rng), side, &shot, rng)
    };
    Case {
        same: (0..earlier.0).map(|_| picture(&foot, side, &mut rng)).collect(),
        other: (0..earlier.1).map(|_| picture(&sibling, side.other(), &mut rng)).collect(),
        right: picture(&foot, side, &mut rng),
        wrong: picture(&sibling, side.other(), &mut rng),
    }
}

/// The margins of pictures of the right and of the wrong foot.
fn margins(
    view: PhotographView,
    earlier: (usize, usize),
    seed: u64,
    pairs: u64,
) -> (Vec<MirrorDoubt>, Vec<MirrorDoubt>) {
    let pair = |at: u64| {
        let case = case(view, earlier, seed + at);
        let margin = |picture| mirror_margin(picture, &case.same, &case.other).unwrap();
        (margin(&case.right), margin(&case.wrong))
    };
    (0..pairs).into_par_iter().map(pair).unzip()
}

const VIEWS: [PhotographView; 4] =
    [PhotographView::Sole, PhotographView::OuterSide, PhotographView::Front, PhotographView::Behind];

#[test]
#[ignore = "prints the margins from which the threshold was set"]
fn margins_of_right_and_wrong_pictures() {
    for view in VIEWS {
        for earlier in [(1, 0), (3, 0), (3, 3)] {
            let (right, wrong) = margins(view, earlier, 90_000, 200);
            let spread = |doubts: Vec<MirrorDoubt>| {
                let mut values: Vec<f64> = doubts.iter().map(|doubt| doubt.margin).collect();
                let shares = [0.02, 0.1, 0.25, 0.5, 0.75, 0.9, 0.98];
                shares.map(|share| format!("{:.3}", quantile(&mut values, share))).join(" ")
            };
            println!("{} {earlier:?}: right {} | wrong {}", view.words(), spread(right), spread(wrong));
        }
    }
}

/// Of pictures of the right and of the wrong foot, the shares about which is asked.
fn asked(view: PhotographView, earlier: (usize, usize), seed: u64, pairs: u64) -> (f64, f64) {
    let pair = |at: u64| {
        let case = case(view, earlier, seed + at);
        let asks = |picture| looks_like_other_side(picture, &case.same, &case.other).is_some();
        (asks(&case.right), asks(&case.wrong))
    };
    let asked: Vec<(bool, bool)> = (0..pairs).into_par_iter().map(pair).collect();
    let share =
        |of: fn(&(bool, bool)) -> bool| asked.iter().filter(|one| of(one)).count() as f64 / pairs as f64;
    (share(|one| one.0), share(|one| one.1))
}

/// The table of `docs/photographs.md`: a thousand pairs for each row, of other feet than those from which the threshold
/// was set.
#[test]
#[ignore = "takes minutes"]
fn false_alarms_and_hits_of_a_thousand_pairs() {
    println!("| view | earlier of the side | earlier of the other | false alarms, % | hits, % |");
    for earlier in [(1, 0), (3, 0), (3, 3)] {
        for view in VIEWS {
            let (alarms, hits) = asked(view, earlier, 40_000, 1000);
            println!(
                "| {} | {} | {} | {:.1} | {:.1} |",
                view.words(),
                earlier.0,
                earlier.1,
                100.0 * alarms,
                100.0 * hits
            );
        }
    }
}

/// The last rows of that table with fewer pairs, because a thousand take the better part of an hour.
#[test]
#[ignore = "takes minutes"]
fn false_alarms_and_hits_with_three_earlier_pictures_of_each_foot() {
    const PAIRS: u64 = 150;
    for view in [PhotographView::OuterSide, PhotographView::Front, PhotographView::Behind] {
        let (alarms, hits) = asked(view, (3, 3), 40_000, PAIRS);
        println!("| {} | 3 | 3 | {:.1} | {:.1} | {PAIRS} |", view.words(), 100.0 * alarms, 100.0 * hits);
    }
}

/// A small part of that table, with bounds.
#[test]
fn the_other_foot_is_asked_about_and_the_right_one_seldom() {
    let (alarms, hits) = asked(PhotographView::OuterSide, (2, 1), 50_000, 60);
    println!("of 60 pairs: false alarms {:.0} %, hits {:.0} %", 100.0 * alarms, 100.0 * hits);
    assert!(alarms <= 0.05 && hits >= 0.8, "{alarms} {hits}");
}

#[test]
fn views_from_behind_and_of_both_feet_do_not_tell_feet_apart() {
    let apart = |view: &&PhotographView| view_tells_feet_apart(**view);
    assert_eq!(PhotographView::ALL.iter().filter(apart).count(), 5);
    assert!(!view_tells_feet_apart(PhotographView::Behind));
    for view in PhotographView::ALL.iter().filter(|view| view.feet() == ViewFeet::Both) {
        assert!(!view_tells_feet_apart(*view), "{}", view.words());
    }
}

#[test]
fn nothing_is_asked_without_an_earlier_picture() {
    let case = case(PhotographView::Sole, (0, 0), 7);
    assert_eq!(looks_like_other_side(&case.right, &[], &[]), None);
}

#[test]
fn a_mirrored_picture_of_the_same_foot_is_asked_about() {
    let case = case(PhotographView::Sole, (2, 0), 8);
    let doubt = looks_like_other_side(&case.same[0].mirrored(), &case.same, &[]).unwrap();
    assert_eq!(doubt.compared, 2);
    assert!(doubt.question().ends_with('?'));
    assert_eq!(looks_like_other_side(&case.same[0], &case.same, &[]), None);
}
