//! The three scores against their published definitions, and what happens to what was not assessed.

use proptest::prelude::*;
use record::{
    Angle, AngleItem, Dimeglio, DimeglioSign, Grade,
    HalfPoint::{self, Half, One, Zero},
    Halves, Pirani, Sign, SubScore, Walking, WalkingItem,
};
use rstest::rstest;

fn pirani(points: [HalfPoint; 6]) -> Pirani {
    let mut foot = Pirani::default();
    for (sign, point) in Sign::ALL.into_iter().zip(points) {
        foot.set(sign, Some(point));
    }
    foot
}

/// The six signs, their sub-score and what 0, 0.5 and 1 mean. Signs, grouping and scale: Dyer & Davis
/// 2006, 10.1302/0301-620X.88B8.17482. The levels' wording is FROM MEMORY, in the trade's words on the
/// left of each pair and in this program's on the right; check both against a handbook page.
type Row = (Sign, SubScore, &'static str, [(&'static str, &'static str); 3]);
const PIRANI: [Row; 6] = [
    (
        Sign::LateralBorder,
        SubScore::Midfoot,
        "curved lateral border",
        [
            ("straight heel to 5th metatarsal head", "straight"),
            ("mild curve, distal (metatarsal level)", "bends near the toes"),
            ("marked curve, at calcaneocuboid joint", "bends at mid-foot"),
        ],
    ),
    (
        Sign::MedialCrease,
        SubScore::Midfoot,
        "medial crease",
        [
            ("several fine creases", "fine lines"),
            ("1-2 deep creases", "one or two deep"),
            ("deep crease that changes arch contour", "changes the arch"),
        ],
    ),
    (
        Sign::TalarHead,
        SubScore::Midfoot,
        "lateral head of talus",
        [
            ("covered by navicular, not felt laterally", "covered, not felt"),
            ("partly covered, felt less", "partly covered"),
            ("uncovered, easily felt", "uncovered, easily felt"),
        ],
    ),
    (
        Sign::PosteriorCrease,
        SubScore::Hindfoot,
        "posterior crease",
        [
            ("several fine creases", "fine lines"),
            ("1-2 deep creases", "one or two deep"),
            ("deep crease that changes heel contour", "changes the heel"),
        ],
    ),
    (
        Sign::RigidEquinus,
        SubScore::Hindfoot,
        "rigid equinus",
        [
            ("normal dorsiflexion (past neutral easily)", "well past neutral"),
            ("reaches or just passes neutral", "to neutral or just past"),
            ("does not reach neutral", "short of neutral"),
        ],
    ),
    (
        Sign::EmptyHeel,
        SubScore::Hindfoot,
        "empty heel",
        [
            ("tuberosity easily felt (chin)", "bone felt at once"),
            ("felt through a layer (nose tip)", "bone felt deep"),
            ("not felt, soft (cheek)", "bone not felt"),
        ],
    ),
];

#[test]
fn pirani_signs_and_levels_are_those_of_the_trade() {
    assert_eq!(PIRANI.map(|(sign, ..)| sign), Sign::ALL);
    for (sign, part, name, levels) in PIRANI {
        assert_eq!(sign.part(), part);
        assert_eq!(sign.name().to_lowercase(), name);
        for (point, (trade, ours)) in HalfPoint::ALL.into_iter().zip(levels) {
            assert_eq!(sign.meaning(point), ours, "{name}: {trade}");
        }
    }
    assert_eq!(HalfPoint::ALL.map(|point| point.halves().value()), [0.0, 0.5, 1.0]);
    assert_eq!(HalfPoint::ALL.map(HalfPoint::text), ["0", "0.5", "1"]);
}

/// Sums done by hand. Sub-scores run 0–3, the total 0–6 (Dyer & Davis 2006).
#[rstest]
#[case([Zero; 6], 0.0, 0.0, "0")]
#[case([Half; 6], 1.5, 1.5, "3")]
#[case([One; 6], 3.0, 3.0, "6")]
#[case([Half, Half, Zero, One, One, Half], 1.0, 2.5, "3.5")]
#[case([One, One, One, Zero, Zero, Zero], 3.0, 0.0, "3")]
#[case([Zero, Zero, Half, Zero, One, Zero], 0.5, 1.0, "1.5")]
fn pirani_sums(
    #[case] points: [HalfPoint; 6],
    #[case] midfoot: f64,
    #[case] hindfoot: f64,
    #[case] total: &str,
) {
    let foot = pirani(points);
    assert_eq!(foot.midfoot().map(Halves::value), Some(midfoot));
    assert_eq!(foot.hindfoot().map(Halves::value), Some(hindfoot));
    assert_eq!(foot.total().map(Halves::value), Some(midfoot + hindfoot));
    assert_eq!(foot.total().map(|sum| sum.to_string()).as_deref(), Some(total));
}

#[test]
fn nothing_assessed_is_not_nought() {
    let foot = Pirani::default();
    assert_eq!((foot.midfoot(), foot.hindfoot(), foot.total()), (None, None, None));
    assert!(foot.is_empty() && !pirani([Zero; 6]).is_empty());
    assert_eq!(Dimeglio::default().total(), None);
    assert_eq!(Dimeglio::default().grade(), None);
    assert_eq!(Walking::default().total(), None);
    assert_eq!(Walking::default().may_need_more(), None);
    assert!(Dimeglio::default().is_empty() && Walking::default().is_empty());
}

/// Points of an angle: 90 to 45 = 4, 45 to 20 = 3, 20 to 0 = 2, 0 to −20 = 1, beyond −20 = 0. FROM
/// MEMORY. The edges are not assigned in the original; by this program's own rule an edge counts in the
/// more severe band.
#[rstest]
#[case(90, 4)]
#[case(46, 4)]
#[case(45, 4)] // edge
#[case(44, 3)]
#[case(21, 3)]
#[case(20, 3)] // edge
#[case(19, 2)]
#[case(1, 2)]
#[case(0, 2)] // edge
#[case(-1, 1)]
#[case(-19, 1)]
#[case(-20, 1)] // edge
#[case(-21, 0)]
#[case(i16::MAX, 4)]
#[case(i16::MIN, 0)]
fn dimeglio_bands(#[case] deg: i16, #[case] points: u8) {
    for item in AngleItem::ALL {
        let mut foot = dimeglio([0; 4], [false; 4]);
        foot.set_angle(item, Some(Angle::Deg(deg)));
        assert_eq!(foot.angle(item).map(Angle::points), Some(points));
        assert_eq!(foot.total(), Some(points), "{}", item.name());
    }
}

fn dimeglio(points: [u8; 4], signs: [bool; 4]) -> Dimeglio {
    let mut foot = Dimeglio::default();
    for (item, points) in AngleItem::ALL.into_iter().zip(points) {
        foot.set_angle(item, Some(Angle::Points(points)));
    }
    for (sign, present) in DimeglioSign::ALL.into_iter().zip(signs) {
        foot.set_sign(sign, Some(present));
    }
    foot
}

/// Four angles of 0–4 and one point each for posterior crease, medial crease, cavus and poor muscle
/// condition. FROM MEMORY, but that there are four parameters of 0–4 and extra points was read in Flynn
/// 1998.
#[test]
fn dimeglio_items_are_those_of_the_trade() {
    assert_eq!(
        AngleItem::ALL.map(|item| item.name().to_lowercase()),
        ["equinus", "varus", "derotation of the calcaneopedal block", "forefoot adduction"]
    );
    assert_eq!(
        DimeglioSign::ALL.map(|sign| sign.name().to_lowercase()),
        ["posterior crease", "medial crease", "cavus", "poor muscle condition"]
    );
    for sign in DimeglioSign::ALL {
        let mut foot = dimeglio([0; 4], [false; 4]);
        foot.set_sign(sign, Some(true));
        assert_eq!(foot.total(), Some(1));
    }
    assert_eq!(dimeglio([4; 4], [true; 4]).total(), Some(20)); // 4 × 4 + 4
}

/// Grades: I below 5, II 5 to below 10, III 10 to below 15, IV 15 to 20. FROM MEMORY.
#[rstest]
#[case([1, 1, 1, 1], 0, 4, Grade::I)]
#[case([1, 1, 1, 1], 1, 5, Grade::II)]
#[case([2, 2, 2, 2], 1, 9, Grade::II)]
#[case([2, 2, 2, 2], 2, 10, Grade::III)]
#[case([3, 3, 3, 3], 2, 14, Grade::III)]
#[case([3, 3, 3, 3], 3, 15, Grade::IV)]
#[case([4, 4, 4, 4], 4, 20, Grade::IV)]
#[case([0, 0, 0, 0], 0, 0, Grade::I)]
fn dimeglio_grades(#[case] points: [u8; 4], #[case] signs: usize, #[case] total: u8, #[case] grade: Grade) {
    let foot = dimeglio(points, std::array::from_fn(|index| index < signs));
    assert_eq!(foot.total(), Some(total));
    assert_eq!(foot.grade(), Some(grade));
}

#[test]
fn grades_have_their_words() {
    let words = [Grade::I, Grade::II, Grade::III, Grade::IV].map(Grade::words);
    assert_eq!(
        words,
        ["grade I, benign", "grade II, moderate", "grade III, severe", "grade IV, very severe"]
    );
}

/// Points that cannot be right are never added up, and never bring the sum down with an overflow.
#[test]
fn impossible_points_have_no_total() {
    for points in [5, 64, 200, u8::MAX] {
        for place in 0..4 {
            let mut angles = [4; 4];
            angles[place] = points;
            assert_eq!(dimeglio(angles, [true; 4]).total(), None);
            assert_eq!(dimeglio([points; 4], [true; 4]).grade(), None);
            let mut items = [3; 4];
            items[place] = points;
            assert_eq!(walking(items).total(), None);
        }
    }
    assert_eq!(walking([4, 3, 3, 3]).total(), None);
}

fn walking([ankle, pain, shoes, carer]: [u8; 4]) -> Walking {
    Walking { ankle: Some(ankle), pain: Some(pain), shoes: Some(shoes), carer: Some(carer) }
}

/// Smythe 2019, 10.1186/s13047-019-0323-4, table 1 (read, CC BY 4.0): four items of 0–3, total 0–12, a
/// total of 8 or less means that the foot needs more treatment (sensitivity 79 %, specificity 100 %).
#[rstest]
#[case([0, 0, 0, 0], 0, true)]
#[case([2, 2, 2, 1], 7, true)]
#[case([2, 2, 2, 2], 8, true)]
#[case([3, 2, 2, 2], 9, false)]
#[case([3, 3, 3, 3], 12, false)]
fn walking_age_cut_off(#[case] items: [u8; 4], #[case] total: u8, #[case] more: bool) {
    assert_eq!(walking(items).total(), Some(total));
    assert_eq!(walking(items).may_need_more(), Some(more));
}

/// The meanings of 0–3 in the same table, reworded there and again here.
#[test]
fn walking_age_items() {
    assert_eq!(Walking::REFER_AT_OR_BELOW, 8);
    let ankle = WalkingItem::Ankle.meanings();
    assert_eq!(ankle[0], "short of neutral, with another deformity"); // not to neutral with another deformity
    assert_eq!(ankle[1], "short of neutral, nothing else"); // not to neutral alone
    assert_eq!(ankle[2], "to neutral"); // neutral
    assert_eq!(ankle[3], "past neutral"); // beyond neutral
    let pain = ["often limits", "sometimes limits", "there, but limits nothing", "none"];
    assert_eq!(WalkingItem::Pain.meanings(), pain); // often limits; sometimes limits; present, no limit; none
    assert_eq!(WalkingItem::Shoes.meanings(), ["never", "sometimes", "usually", "always"]);
    let carer = ["very unhappy", "unhappy", "content", "very content"];
    assert_eq!(WalkingItem::Carer.meanings(), carer); // very dissatisfied … very satisfied
}

#[test]
fn keys_of_items_are_those_of_the_wire() {
    let foot = serde_json::to_value(pirani([Half; 6])).unwrap();
    for sign in Sign::ALL {
        assert_eq!(Sign::from_key(sign.key()), Some(sign));
        assert_eq!(foot[sign.key()], 0.5);
    }
    for key in ["", "elbow", "Empty heel", "EMPTY_HEEL"] {
        assert_eq!(Sign::from_key(key), None, "{key}");
    }
    for point in HalfPoint::ALL {
        assert_eq!(HalfPoint::from_text(point.text()), Some(point));
        assert_eq!(HalfPoint::from_halves(point.halves()), Some(point));
    }
    assert_eq!((HalfPoint::from_text("0.50"), HalfPoint::from_halves(Halves(3))), (None, None));
    let foot = serde_json::to_value(dimeglio([2; 4], [true; 4])).unwrap();
    for key in AngleItem::ALL.map(AngleItem::key) {
        assert_eq!(foot[key]["points"], 2);
    }
    for key in DimeglioSign::ALL.map(DimeglioSign::key) {
        assert_eq!(foot[key], true);
    }
    let foot = serde_json::to_value(walking([3; 4])).unwrap();
    for key in WalkingItem::ALL.map(WalkingItem::key) {
        assert_eq!(foot[key], 3);
    }
}

proptest! {
    /// Whatever the other five are, taking one sign away takes the total away, and the sub-score it
    /// belongs to; the other sub-score stays as it was.
    #[test]
    fn a_pirani_score_short_of_one_sign_has_no_total(
        points in prop::array::uniform6(prop::sample::select(HalfPoint::ALL.to_vec())),
        gone in prop::sample::select(Sign::ALL.to_vec()),
    ) {
        let whole = pirani(points);
        prop_assert!(whole.total().is_some() && whole.missing().next().is_none());
        let mut foot = whole;
        foot.set(gone, None);
        prop_assert_eq!(foot.total(), None);
        prop_assert_eq!(foot.missing().collect::<Vec<_>>(), vec![gone]);
        let (midfoot, hindfoot) = match gone.part() {
            SubScore::Midfoot => (None, whole.hindfoot()),
            SubScore::Hindfoot => (whole.midfoot(), None),
        };
        prop_assert_eq!((foot.midfoot(), foot.hindfoot()), (midfoot, hindfoot));
    }

    #[test]
    fn a_dimeglio_score_short_of_one_item_has_no_total(
        points in prop::array::uniform4(0..=4_u8),
        signs in prop::array::uniform4(any::<bool>()),
        gone in 0..4_usize,
    ) {
        let whole = dimeglio(points, signs);
        let sum = points.iter().sum::<u8>() + signs.iter().map(|&sign| u8::from(sign)).sum::<u8>();
        prop_assert_eq!(whole.total(), Some(sum));
        let (mut no_angle, mut no_sign) = (whole, whole);
        no_angle.set_angle(AngleItem::ALL[gone], None);
        no_sign.set_sign(DimeglioSign::ALL[gone], None);
        prop_assert_eq!((no_angle.total(), no_angle.grade()), (None, None));
        prop_assert_eq!((no_sign.total(), no_sign.grade()), (None, None));
    }

    #[test]
    fn a_walking_age_score_short_of_one_item_has_no_total(
        items in prop::array::uniform4(0..=3_u8),
        gone in prop::sample::select(WalkingItem::ALL.to_vec()),
    ) {
        let mut foot = walking(items);
        prop_assert_eq!(foot.total(), Some(items.iter().sum::<u8>()));
        foot.set(gone, None);
        prop_assert_eq!((foot.total(), foot.may_need_more()), (None, None));
    }

    /// More degrees of deformity never score fewer points.
    #[test]
    fn bands_never_fall(a in any::<i16>(), b in any::<i16>()) {
        let (less, more) = (a.min(b), a.max(b));
        prop_assert!(Angle::Deg(less).points() <= Angle::Deg(more).points());
    }
}
