//! Which levels a clinic has confirmed.

use practice::{ConfirmedLevels, LevelConfirmed, LevelStanding, SignGeometry};
use record::{HalfPoint, Sign};

fn by(source: &str) -> LevelConfirmed {
    LevelConfirmed { source: source.into(), by: "Ida".into(), when: "4 March 2025".into() }
}

fn statement(sign: Sign, level: HalfPoint) -> String {
    SignGeometry::of(sign).statement(level)
}

#[test]
fn a_level_counts_as_confirmed_for_the_words_and_numbers_that_were_confirmed() {
    let (sign, level) = (Sign::MedialCrease, HalfPoint::Half);
    let mut levels = ConfirmedLevels::default();
    assert_eq!(levels.standing(sign, level), LevelStanding::FromMemory);
    levels.add(sign, level, by("a handbook"), &statement(sign, level));
    assert_eq!(levels.standing(sign, level), LevelStanding::Confirmed(&by("a handbook")));
    assert_eq!(levels.standing(sign, HalfPoint::One), LevelStanding::FromMemory);
    assert_eq!((levels.count(), levels.has_all_of(sign)), (1, false));
    // The words of another level are not those of this one.
    levels.add(sign, HalfPoint::One, by("a handbook"), &statement(sign, level));
    assert_eq!(levels.standing(sign, HalfPoint::One), LevelStanding::ChangedSince(&by("a handbook")));
    assert_eq!(levels.count(), 1);
    for level in HalfPoint::ALL {
        levels.add(sign, level, by("a later edition"), &statement(sign, level));
    }
    assert!(levels.has_all_of(sign) && !levels.has_all_of(Sign::EmptyHeel));
    assert_eq!(levels.standing(sign, level), LevelStanding::Confirmed(&by("a later edition")));
}
