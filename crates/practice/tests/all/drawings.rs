//! Every level is drawn as the table of numbers says, measured from the finished drawing.

use crate::measure::{Border, crease_reach, dorsiflexion, great_toe_is_right, head_covered, heel, notch};
use practice::{
    DrawnPart, DrawnPoint, FRAME, FootDrawing, FootLook, FootView, GeometryItem, LabelAnchor, SignGeometry,
    StrokeWeight,
};
use record::{HalfPoint, Side, Sign};

/// What a drawing measures on the sign's own item, in the unit of the table.
fn measured(drawing: &FootDrawing) -> f64 {
    match SignGeometry::of(drawing.sign).item {
        GeometryItem::BorderDeviation => Border::of(drawing).deviation(),
        GeometryItem::CreaseReach => crease_reach(drawing),
        GeometryItem::HeadCovered => head_covered(drawing),
        GeometryItem::Dorsiflexion => dorsiflexion(drawing),
        GeometryItem::BoneDepth => heel(drawing).0,
        other => panic!("{other:?} decides no level"),
    }
}

/// How far a measurement may lie from the table: the drawing is made of short straight lines, and a ruler is laid along
/// a few points of a border.
fn tolerance(sign: Sign) -> f64 {
    match sign {
        Sign::LateralBorder => 1.2,
        Sign::MedialCrease | Sign::PosteriorCrease => 2.5,
        Sign::TalarHead => 1.0,
        Sign::RigidEquinus => 0.5,
        Sign::EmptyHeel => 0.3,
    }
}

/// Drawings of a value with many looks and both sides.
fn drawings(sign: Sign, value: f64) -> impl Iterator<Item = FootDrawing> {
    (0..150_u64).flat_map(move |seed| {
        Side::BOTH.map(|side| FootDrawing::of_value(sign, value, side, &FootLook::of(seed * 7_919 + 1)))
    })
}

#[test]
fn every_level_measures_what_the_table_says_on_every_foot() {
    let mut off = Vec::new();
    for sign in Sign::ALL {
        let table = SignGeometry::of(sign);
        for level in HalfPoint::ALL {
            let (from, to) = table.level(level).range;
            for value in [from, table.level(level).typical, to] {
                let differs = |drawing: FootDrawing| (measured(&drawing) - value).abs();
                let all: Vec<f64> = drawings(sign, value).map(differs).collect();
                let worst = all.iter().copied().fold(0.0, f64::max);
                println!("{sign:?} {level:?} at {value}: off by at most {worst:.2}");
                off.extend(
                    (worst > tolerance(sign))
                        .then(|| format!("{sign:?} {level:?}: {value} is drawn {worst:.2} off")),
                );
            }
        }
    }
    assert!(off.is_empty(), "{off:#?}");
}

#[test]
fn measured_ranges_of_neighbouring_levels_never_meet() {
    for sign in Sign::ALL {
        let table = SignGeometry::of(sign);
        let range = |level: HalfPoint| {
            let (from, to) = table.level(level).range;
            let all = [from, to]
                .into_iter()
                .flat_map(|value| drawings(sign, value))
                .map(|drawing| measured(&drawing));
            all.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
                (low.min(value), high.max(value))
            })
        };
        let [zero, half, one] = HalfPoint::ALL.map(range);
        let apart = |a: (f64, f64), b: (f64, f64)| a.1 < b.0 || b.1 < a.0;
        println!("{sign:?}: {zero:.1?} {half:.1?} {one:.1?}");
        assert!(
            apart(zero, half) && apart(half, one) && apart(zero, one),
            "{sign:?}: {zero:?} {half:?} {one:?}"
        );
    }
}

/// The second item of each sign differs too, or what draws it does.
#[test]
fn a_curve_begins_at_the_metatarsals_or_at_the_calcaneocuboid_joint() {
    let leaves = |level: HalfPoint| {
        let typical = SignGeometry::of(Sign::LateralBorder).level(level).typical;
        drawings(Sign::LateralBorder, typical)
            .map(|drawing| Border::of(&drawing).leaves())
            .collect::<Vec<_>>()
    };
    assert!(leaves(HalfPoint::Zero).iter().all(Option::is_none), "a straight border leaves no line");
    // A border that curves with a radius of some 60 to 90 hundredths of the length is one hundredth off the line 11 to
    // 14 hundredths after its beginning, which is 54 and 34. The bent foot is shorter from heel to toes than the
    // straight one, by up to a tenth.
    for at in leaves(HalfPoint::Half) {
        assert!((54.0..72.0).contains(&at.unwrap()), "{at:?}");
    }
    for at in leaves(HalfPoint::One) {
        assert!((34.0..52.0).contains(&at.unwrap()), "{at:?}");
    }
}

#[test]
fn only_the_worst_crease_draws_the_contour_in() {
    for (sign, mild, severe) in [(Sign::MedialCrease, 6.5, 10.0), (Sign::PosteriorCrease, 2.5, 4.5)] {
        let table = SignGeometry::of(sign);
        let depths = |level: HalfPoint| {
            drawings(sign, table.level(level).typical).map(|drawing| notch(&drawing)).collect::<Vec<_>>()
        };
        let most = |all: Vec<f64>| all.into_iter().fold(0.0, f64::max);
        let least = depths(HalfPoint::One).into_iter().fold(f64::INFINITY, f64::min);
        let (zero, half) = (most(depths(HalfPoint::Zero)), most(depths(HalfPoint::Half)));
        println!("{sign:?}: {zero:.1} {half:.1} {least:.1}");
        assert!(zero < mild && half < mild && least > severe, "{sign:?}: {zero:.1} {half:.1} {least:.1}");
    }
}

#[test]
fn creases_are_fine_or_one_or_two_deep_or_one_deep() {
    for sign in [Sign::MedialCrease, Sign::PosteriorCrease] {
        let mut counts = Vec::new();
        for level in HalfPoint::ALL {
            for drawing in drawings(sign, SignGeometry::of(sign).level(level).typical) {
                let of = |weight: StrokeWeight| {
                    drawing
                        .shapes
                        .iter()
                        .filter(|shape| shape.part == DrawnPart::Crease && shape.stroke == weight)
                        .count()
                };
                counts.push((level, of(StrokeWeight::Fine), of(StrokeWeight::Deep)));
            }
        }
        counts.sort_unstable();
        counts.dedup();
        use HalfPoint::{Half, One, Zero};
        assert_eq!(counts, [(Zero, 4, 0), (Half, 1, 1), (Half, 1, 2), (One, 0, 1)], "{sign:?}");
    }
}

#[test]
fn the_finger_meets_bone_except_in_an_empty_heel() {
    let table = SignGeometry::of(Sign::EmptyHeel);
    for level in HalfPoint::ALL {
        let stated = table.level(level);
        for drawing in drawings(Sign::EmptyHeel, stated.typical) {
            let (_, gap) = heel(&drawing);
            assert!((gap - stated.also.unwrap()).abs() < 1.0, "{level:?}: {gap:.2}");
        }
    }
}

fn mirrored((x, y): DrawnPoint) -> DrawnPoint {
    (((FRAME - x) * 1_000.0).round() / 1_000.0, y)
}

#[test]
fn a_left_foot_is_exactly_the_mirrored_right_foot() {
    for sign in Sign::ALL {
        for seed in 0..40 {
            let look = FootLook::of(seed);
            let value = SignGeometry::of(sign).value(seed as f64 / 39.0);
            let right = FootDrawing::of_value(sign, value, Side::Right, &look);
            let left = FootDrawing::of_value(sign, value, Side::Left, &look);
            assert_eq!(right.shapes.len(), left.shapes.len());
            for (one, other) in right.shapes.iter().zip(&left.shapes) {
                let there: Vec<DrawnPoint> = one.points.iter().copied().map(mirrored).collect();
                assert_eq!(there, other.points, "{sign:?} {seed}");
                let back: Vec<DrawnPoint> = there.into_iter().map(mirrored).collect();
                assert_eq!(back, one.points, "twice mirrored is the first");
                assert_eq!(
                    (one.part, one.closed, one.stroke, one.fill, one.layer),
                    (other.part, other.closed, other.stroke, other.fill, other.layer)
                );
            }
            for (one, other) in right.labels.iter().zip(&left.labels) {
                assert!((one.at.0 + other.at.0 - FRAME).abs() < 1e-9 && one.at.1 == other.at.1);
                assert_eq!((one.text.as_str(), one.anchor.mirrored()), (other.text.as_str(), other.anchor));
            }
        }
    }
    assert_eq!(LabelAnchor::Start.mirrored(), LabelAnchor::End);
}

/// The great toe is at the inner side: seen from the sole with the toes up a right foot has it on the viewer's right,
/// seen from the front on the viewer's left.
#[test]
fn the_great_toe_is_on_the_inner_side_of_the_foot_that_is_named() {
    for sign in Sign::ALL {
        let on_the_right = match FootView::of(sign) {
            FootView::Sole => true,
            FootView::Instep => false,
            _ => continue,
        };
        for seed in 0..40 {
            for side in Side::BOTH {
                let drawing =
                    FootDrawing::of_value(sign, SignGeometry::of(sign).value(0.5), side, &FootLook::of(seed));
                assert_eq!(
                    great_toe_is_right(&drawing),
                    on_the_right == (side == Side::Right),
                    "{sign:?} {side}"
                );
            }
        }
    }
}

/// A foot that is bent turns its front to the inner side, whichever foot it is.
#[test]
fn the_border_curves_to_the_inner_side() {
    for side in Side::BOTH {
        for drawing in
            (0..40).map(|seed| FootDrawing::of_value(Sign::LateralBorder, 22.0, side, &FootLook::of(seed)))
        {
            let toes: Vec<&DrawnPoint> = drawing
                .shapes
                .iter()
                .filter(|shape| shape.part == DrawnPart::Toe)
                .flat_map(|shape| &shape.points)
                .collect();
            let mean = toes.iter().map(|point| point.0).sum::<f64>() / toes.len() as f64;
            let heel = drawing.shapes.iter().find(|shape| shape.part == DrawnPart::Skin).unwrap().points[0].0;
            assert_eq!(mean > heel, side == Side::Right, "{side}: toes at {mean:.0}, heel at {heel:.0}");
        }
    }
}

#[test]
fn everything_lies_within_the_frame() {
    // What the frame cuts off on purpose: leg, finger, lines for comparison, and the front of a heel drawn large.
    use DrawnPart::{Finger, LegLine, Mark, RightAngle, Skin, SoleLine, StraightEdge, Tibia};
    let lines = [Finger, Tibia, LegLine, StraightEdge, SoleLine, RightAngle, Mark];
    for sign in Sign::ALL {
        for tenth in 0..=10 {
            let value = SignGeometry::of(sign).value(f64::from(tenth) / 10.0);
            for drawing in drawings(sign, value).take(60) {
                let shown = drawing.shapes.iter().filter(|shape| !lines.contains(&shape.part));
                let shown =
                    shown.filter(|shape| shape.part != Skin || matches!(drawing.view, FootView::Sole));
                for shape in shown
                    .filter(|shape| drawing.view != FootView::HeelSection || shape.part != DrawnPart::ToeLine)
                {
                    let out = shape
                        .points
                        .iter()
                        .find(|(x, y)| !(0.0..=FRAME).contains(x) || !(0.0..=FRAME).contains(y));
                    assert_eq!(out, None, "{sign:?} at {value:.1}: {:?}", shape.part);
                }
            }
        }
    }
}

#[test]
fn looks_differ_and_follow_from_their_seed() {
    assert_eq!(FootLook::of(5), FootLook::of(5));
    let mut shades: Vec<String> = (0..60).map(|seed| format!("{:?}", FootLook::of(seed).shade())).collect();
    shades.sort();
    shades.dedup();
    assert_eq!(shades.len(), 3, "every shade of skin is drawn");
    let distinct = (0..60).filter(|seed| FootLook::of(*seed) != FootLook::of(seed + 1)).count();
    assert_eq!(distinct, 60);
}
