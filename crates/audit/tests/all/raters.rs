//! Agreement of raters: calculated by hand, and the effect of two feet of one child.

use crate::rows::{basis, on};
use audit::{
    ClinicAgreement, ClinicHistory, Clinician, ScoredTwice,
    raters::{NumberedPair, RatedItem, RaterAgreement, RaterScore},
};
use record::{Side, Sign, UserId};
use uuid::Uuid;

const ROUNDING: f64 = 1e-12;

fn scored(sign: u8, total: u8) -> RaterScore {
    RaterScore { signs: [Some(sign), None, None, None, None, None], total: Some(total), dimeglio: None }
}

fn pair(child: u32, day: i32, raters: [u16; 2], signs: [u8; 2], totals: [u8; 2]) -> NumberedPair {
    let scores = [scored(signs[0], totals[0]), scored(signs[1], totals[1])];
    (child, ScoredTwice { side: Side::Right, on: on(day), raters, scores, amended: false })
}

fn item(agreement: &RaterAgreement, item: RatedItem) -> audit::raters::ItemAgreement {
    agreement.items.iter().find(|one| one.item == item).unwrap().clone()
}

/// Signs (0,0) (0,1) (1,1) (2,2): the same in 3 of 4. Shares of the first 1/2, 1/4, 1/4, of the second
/// 1/4, 1/2, 1/4: by chance 1/8 + 1/8 + 1/16 = 5/16. Kappa (3/4 − 5/16)/(11/16) = 7/11.
/// With linear weights a difference of one step counts one half: observed 7/8; by chance
/// 1 − [½(p01 + p10 + p12 + p21) + (p02 + p20)] with p01 1/4, p10 1/16, p12 1/16, p21 1/8, p02 1/8,
/// p20 1/16: 1 − (1/4 + 3/16) = 9/16. Kappa (7/8 − 9/16)/(7/16) = 5/7.
#[test]
fn kappa_of_a_sign_by_hand() {
    let pairs = [
        pair(1, 0, [0, 1], [0, 0], [6, 6]),
        pair(2, 0, [0, 1], [0, 1], [6, 7]),
        pair(3, 0, [0, 1], [1, 1], [8, 8]),
        pair(4, 0, [0, 1], [2, 2], [10, 11]),
    ];
    let agreement = RaterAgreement::of(&pairs, on(10));
    let sign = item(&agreement, RatedItem::Sign(Sign::LateralBorder));
    assert_eq!((sign.n, sign.children), (4, 4));
    assert!((sign.same.unwrap() - 0.75).abs() < ROUNDING);
    assert!((sign.plain_kappa.unwrap().value - 7.0 / 11.0).abs() < ROUNDING);
    assert!((sign.kappa.unwrap().value - 5.0 / 7.0).abs() < ROUNDING);
    assert_eq!(sign.kappa.unwrap().lower, None, "four children give no interval");
    assert_eq!((sign.icc, sign.limits), (None, None));
    // Differences of totals 0, −½, 0, −½: bias −1/4, sd √(1/12); limits −1/4 ± 1.96 √(1/12).
    let (low, high) = item(&agreement, RatedItem::Total).limits.unwrap();
    let half = 1.959_963_984_540_054 * (1.0_f64 / 12.0).sqrt();
    assert!((low.value + 0.25 + half).abs() < 1e-9 && (high.value + 0.25 - half).abs() < 1e-9);
    let missing = item(&agreement, RatedItem::Sign(Sign::EmptyHeel));
    assert!(missing.n == 0 && missing.kappa.is_none() && missing.why_none.unwrap().ends_with('.'));
}

fn many(double: bool) -> Vec<NumberedPair> {
    let one = |n: u32| {
        let sign = (n % 3) as u8;
        let other = if n.is_multiple_of(5) { (sign + 1) % 3 } else { sign };
        pair(
            n,
            n as i32,
            [0, 1],
            [sign, other],
            [4 + (n % 7) as u8, 4 + (n % 7) as u8 + u8::from(n.is_multiple_of(4))],
        )
    };
    (0..60).flat_map(|n| std::iter::repeat_n(one(n), if double { 2 } else { 1 })).collect()
}

#[test]
fn a_second_foot_like_the_first_adds_no_certainty() {
    let (single, double) =
        (RaterAgreement::of(&many(false), on(100)), RaterAgreement::of(&many(true), on(100)));
    for (one, two) in single.items.iter().zip(&double.items) {
        assert_eq!(two.n, 2 * one.n);
        if let (Some(one), Some(two)) = (one.kappa, two.kappa) {
            assert!((one.value - two.value).abs() < ROUNDING);
            assert!((one.lower.unwrap() - two.lower.unwrap()).abs() < 1e-9, "{one:?} {two:?}");
            assert!(one.lower.unwrap() < one.value && one.value < one.upper.unwrap());
        }
    }
}

#[test]
fn drift_is_reported_for_the_rater_who_drifts_only() {
    // Rater 0 gives the same score as rater 1 until day 400, then one point more in three of four feet.
    let steady = (0..80).map(|n| pair(n, n as i32 * 5, [0, 1], [0, 0], [6 + (n % 2) as u8, 6]));
    let moved =
        (100..180).map(|n| pair(n, 400 + n as i32, [0, 1], [0, 0], [if n % 4 == 0 { 6 } else { 8 }, 6]));
    let all: Vec<NumberedPair> = steady.clone().chain(moved).collect();
    let line = |pairs: &[NumberedPair], as_of: i32| RaterAgreement::of(pairs, on(as_of)).raters[0].clone();
    let drifted = line(&all, 400 + 365);
    assert!(drifted.sentence.ends_with("more than chance explains."), "{}", drifted.sentence);
    assert!(!drifted.sentence.contains("no more"), "{}", drifted.sentence);
    let same = line(&steady.collect::<Vec<_>>(), 500);
    assert!(same.sentence.contains("no more than chance"), "{}", same.sentence);
    // Differences 0 and ½ in turn: bias 1/4 over 80 feet of 80 children.
    assert!((same.bias.value - 0.25).abs() < ROUNDING);
    let few = line(&all[..3], 500);
    assert!(few.sentence.starts_with("Too few scores to show"), "{}", few.sentence);
}

/// sd of differences 0 and ½ in turn is ½·√(80/79)/2…: n = 2 (1.96 + 0.8416)² (sd/½)², rounded up.
#[test]
fn how_many_pairs_are_needed() {
    let pairs: Vec<NumberedPair> =
        (0..80).map(|n| pair(n, n as i32, [0, 1], [0, 0], [6 + (n % 2) as u8, 6])).collect();
    let line = &RaterAgreement::of(&pairs, on(100)).raters[0];
    let variance: f64 = 80.0 * 0.0625 / 79.0;
    assert_eq!(line.needed, (2.0 * 2.8016_f64.powi(2) * variance / 0.25).ceil() as usize);
}

#[test]
fn no_pairs_and_pairs_after_the_as_of_day() {
    let none = RaterAgreement::of(&[], on(0));
    assert_eq!((none.n, none.raters.len(), none.items.len()), (0, 0, 10));
    assert!(none.items.iter().all(|item| item.kappa.is_none() && item.why_none.is_some()));
    let later = RaterAgreement::of(&[pair(1, 50, [0, 1], [0, 0], [1, 1])], on(49));
    assert_eq!(later.n, 0, "what was scored after the as-of day is not known on it");
}

/// An interval half as wide again as wanted needs (3/2)² = 9/4 as many feet: with 60 feet 75 more.
#[test]
fn feet_still_needed_follow_the_square_of_the_width() {
    let agreement = RaterAgreement::of(&many(false), on(100));
    for item in agreement.items.iter().filter(|item| item.kappa.is_some_and(|kappa| kappa.lower.is_some())) {
        let kappa = item.kappa.unwrap();
        let half = (kappa.upper.unwrap() - kappa.lower.unwrap()) / 2.0;
        let whole = item.n as f64 * (half / 0.2) * (half / 0.2);
        let needed = item.still_needed.unwrap() as f64;
        assert!((needed - (whole - item.n as f64).max(0.0)).abs() < 1.0, "{item:?}");
    }
    assert!(agreement.items.iter().any(|item| item.still_needed.is_some()));
    let few = RaterAgreement::of(&many(false)[..9], on(100));
    assert!(few.items.iter().all(|item| item.still_needed.is_none()), "nine children give no interval");
}

/// Totals in halves (6, 6) (6, 7) (8, 8) and again (6, 7): means 3, 3¼, 4, differences 0, −½, 0.
#[test]
fn differences_are_given_by_mean_with_the_number_of_feet() {
    let totals = [(1, [6, 6]), (2, [6, 7]), (3, [8, 8]), (2, [6, 7])];
    let pairs: Vec<NumberedPair> =
        totals.iter().map(|(child, totals)| pair(*child, 0, [0, 1], [0, 0], *totals)).collect();
    let total = item(&RaterAgreement::of(&pairs, on(10)), RatedItem::Total);
    let found: Vec<_> =
        total.differences.iter().map(|one| (one.mean, one.difference, one.feet, one.children)).collect();
    assert_eq!(found, [(3.0, 0.0, 1, 1), (3.25, -0.5, 2, 1), (4.0, 0.0, 1, 1)]);
    assert!(
        item(&RaterAgreement::of(&pairs, on(10)), RatedItem::Sign(Sign::LateralBorder))
            .differences
            .is_empty()
    );
}

fn clinic(order: impl Iterator<Item = u32>) -> ClinicHistory {
    let mut clinic = ClinicHistory::new(basis(on(100)));
    for n in order {
        let raters = [1_u128, 2 + u128::from(n % 2)]
            .map(|user| clinic.rater(Clinician::User(UserId::new(Uuid::from_u128(user)))));
        let mut row = crate::rows::child(n.into(), [None, None]);
        let (_, ScoredTwice { on, scores, .. }) = many(false)[n as usize];
        row.pairs = Box::new([ScoredTwice { side: Side::Right, on, raters, scores, amended: n == 7 }]);
        row.unpaired = u16::from(n == 9);
        clinic.children.push(row);
    }
    clinic
}

#[test]
fn the_order_of_children_and_raters_changes_nothing() {
    let one = ClinicAgreement::of(&clinic(0..60), None, None);
    let other = ClinicAgreement::of(&clinic((0..60).rev()), None, None);
    assert_eq!(one, other);
    assert_eq!((one.agreement.n, one.who.len(), one.amended, one.unpaired), (60, 3, 1, 1));
    let late = ClinicAgreement::of(&clinic(0..60), Some(on(10)), Some(on(19)));
    assert_eq!((late.agreement.n, late.agreement.children), (10, 10), "both ends count");
}
