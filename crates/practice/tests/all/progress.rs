//! Agreement with the drawn answer: by hand, and for raters whose errors are known.

use practice::{
    AgreementUnknown, BLOCK, CaseKey, FEWEST_FEET, PracticeAnswer, PracticeProgress, ReferenceAgreement,
};
use record::{Day, HalfPoint, Sign, UserId};
use uuid::Uuid;

use HalfPoint::{Half, One, Zero};

fn person() -> UserId {
    UserId::new(Uuid::from_u128(1))
}

fn answer(on: i32, given: HalfPoint, reference: HalfPoint) -> PracticeAnswer {
    let on = Day::new(2025, 1, 1).unwrap().plus_days(on);
    PracticeAnswer { person: person(), on, case: CaseKey::new(1), sign: Sign::MedialCrease, given, reference }
}

fn agreement(pairs: &[(HalfPoint, HalfPoint)]) -> ReferenceAgreement {
    let answers: Vec<PracticeAnswer> = pairs.iter().map(|(given, drawn)| answer(0, *given, *drawn)).collect();
    ReferenceAgreement::of(&answers.iter().collect::<Vec<_>>())
}

#[test]
fn kappa_is_that_of_a_table_worked_by_hand() {
    // 15 feet, five drawn at each level. Given: 0 → 4 × 0, 1 × ½; ½ → 4 × ½, 1 × 1; 1 → 5 × 1.
    let pairs = [
        vec![(Zero, Zero); 4],
        vec![(Half, Zero)],
        vec![(Half, Half); 4],
        vec![(One, Half)],
        vec![(One, One); 5],
    ]
    .concat();
    let found = agreement(&pairs);
    assert_eq!((found.n, found.same), (15, 13));
    // Linear weights: observed = (13 + 2 × ½) / 15 = 14/15.
    // Given 4, 5, 6 of 15, drawn a third each: expected disagreement (in steps of ½ as ½, of 1 as 1) is
    // ⅓·(1/15)·(4·(0 + ½ + 1) + 5·(½ + 0 + ½) + 6·(1 + ½ + 0)) = (6 + 5 + 9)/45 = 20/45; observed is 1/15 = 3/45.
    let kappa = found.kappa.unwrap();
    assert!((kappa.value - (1.0 - 3.0 / 20.0)).abs() < 1e-12, "{kappa:?}");
    let (low, high) = kappa.limits.unwrap();
    assert!(low < kappa.value && kappa.value < high && high <= 1.0 && low > 0.5, "{kappa:?}");
    // Two feet were given half a point too much: 1/15.
    assert!((found.mean_difference.unwrap() - 1.0 / 15.0).abs() < 1e-12);
    // Wilson, 13 of 15: centre (0.8667 + 3.8415/30)/(1 + 3.8415/15) = 0.7919, half 0.1705.
    let (low, high) = found.same_limits.unwrap();
    assert!((low - 0.6212).abs() < 5e-4 && (high - 0.9626).abs() < 5e-4, "{low} {high}");
}

#[test]
fn below_fifteen_feet_nothing_is_said() {
    let pairs = vec![(Half, Half); FEWEST_FEET - 1];
    let found = agreement(&pairs);
    assert_eq!(found.kappa, Err(AgreementUnknown::TooFew { n: 14 }));
    assert_eq!(found.mean_difference, None);
    assert_eq!(found.kappa.unwrap_err().to_string(), "cannot be told from 14 of at least 15 feet");
    assert_eq!(agreement(&[]).same_limits, None);
}

#[test]
fn one_level_throughout_has_no_kappa() {
    assert_eq!(agreement(&[(One, One); 20]).kappa, Err(AgreementUnknown::OneLevel));
}

#[test]
fn full_agreement_gives_no_interval_that_looks_certain() {
    let pairs = [vec![(Zero, Zero); 8], vec![(One, One); 8]].concat();
    let found = agreement(&pairs);
    let kappa = found.kappa.unwrap();
    assert!((kappa.value - 1.0).abs() < 1e-12);
    assert_eq!(kappa.limits, None);
    // 16 of 16 by Wilson: from n/(n + z²) = 16/19.84 = 0.806.
    assert!((found.same_limits.unwrap().0 - 0.8064).abs() < 5e-4);
}

#[test]
fn blocks_are_of_fifteen_feet_in_order() {
    // 15 feet wrong by half a point, then 15 right, then 4.
    let mut answers: Vec<PracticeAnswer> =
        (0..15).map(|on| answer(on, Half, if on % 2 == 0 { Zero } else { One })).collect();
    answers
        .extend((15..30).map(|on| if on % 2 == 0 { answer(on, Zero, Zero) } else { answer(on, One, One) }));
    answers.extend((30..34).map(|on| answer(on, One, One)));
    // Saved in another order than scored: the days decide.
    answers.reverse();
    let progress = PracticeProgress::of(&answers, person(), Day::new(2025, 12, 31).unwrap());
    let sign = progress.signs.iter().find(|sign| sign.sign == Sign::MedialCrease).unwrap();
    let feet: Vec<(usize, usize)> = sign.blocks.iter().map(|block| block.feet).collect();
    assert_eq!(feet, [(1, 15), (16, 30), (31, 34)]);
    let same: Vec<usize> = sign.blocks.iter().map(|block| block.agreement.same).collect();
    assert_eq!(same, [0, 15, 4]);
    assert!(sign.blocks[0].agreement.kappa.unwrap().value < 0.1);
    assert!(sign.blocks[2].agreement.kappa.is_err(), "four feet are too few");
    assert_eq!((sign.all.n, progress.answered(), BLOCK), (34, 34, 15));
    assert_eq!(progress.days.unwrap().1, Day::new(2025, 1, 1).unwrap().plus_days(33));
    assert!(
        progress.signs.iter().filter(|one| one.sign != Sign::MedialCrease).all(|one| one.blocks.is_empty())
    );
}

#[test]
fn other_people_and_later_days_do_not_count() {
    let mut answers: Vec<PracticeAnswer> = (0..20).map(|on| answer(on, One, One)).collect();
    answers.push(PracticeAnswer { person: UserId::new(Uuid::from_u128(2)), ..answers[0] });
    let progress = PracticeProgress::of(&answers, person(), answers[9].on);
    assert_eq!(progress.answered(), 10);
}

/// A rater who is right with a known probability and otherwise half a point off: the interval of kappa over 60 feet
/// holds the true kappa about 19 times in 20.
#[test]
fn the_interval_holds_the_true_kappa_of_a_simulated_person() {
    let levels = [Zero, Half, One];
    let mut state = 0x1234_5678_9abc_def1_u64;
    let mut share = || {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        (state >> 11) as f64 / (1_u64 << 53) as f64
    };
    let mut draw = |n: usize| -> Vec<(HalfPoint, HalfPoint)> {
        (0..n)
            .map(|_| {
                let drawn = (share() * 3.0) as usize;
                let given =
                    if share() < 0.75 { drawn } else { [1, if share() < 0.5 { 0 } else { 2 }, 1][drawn] };
                (levels[given], levels[drawn])
            })
            .collect()
    };
    // The true table: right 3/4; wrong is ½ for both ends. Disagreement observed 1/4 · ½ = 1/8. Given: 0 ⅓·¾ + ⅓·⅛ =
    // 7/24, ½ ⅓·¾ + ⅔·¼ = 10/24, 1 7/24. Expected: ⅓·(7/24·1.5 + 10/24·1 + 7/24·1.5) = 31/72. Kappa 1 − (1/8)/(31/72).
    let truth = 1.0 - (1.0 / 8.0) / (31.0 / 72.0);
    let (mut held, mut sum) = (0, 0.0);
    for _ in 0..400 {
        let kappa = agreement(&draw(60)).kappa.unwrap();
        let (low, high) = kappa.limits.unwrap();
        held += u32::from((low..=high).contains(&truth));
        sum += kappa.value;
    }
    // 95 % of 400 is 380 with a standard error of 4.4; a large-sample interval of 60 feet may fall a little short.
    println!("true {truth:.3}, mean {:.3}, held in {held} of 400", sum / 400.0);
    assert!((sum / 400.0 - truth).abs() < 0.02, "{}", sum / 400.0);
    assert!((362..=396).contains(&held), "{held}");
}
