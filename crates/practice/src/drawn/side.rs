//! A right leg and foot seen from the outer side, toes to the right: how far the foot comes up, and the heel.

use super::{
    line::{apart, arc, bow, closed, nearest, nearest_place, open, reached, straight, towards, turned},
    look::FootLook,
    shape::{DrawnLabel, DrawnPart, DrawnPoint, DrawnShape, FillClass, LabelAnchor, Sketch, StrokeWeight},
    sole::finger,
};

/// From the ankle down to the sole.
const SOLE: f64 = 33.0;

/// The foot at a right angle, from the ankle: from the heel cord by heel, sole and toes to the instep.
const FOOT: [DrawnPoint; 24] = [
    (-16.0, -2.0),
    (-18.5, 5.0),
    (-23.5, 12.0),
    (-25.5, 20.0),
    (-23.5, 27.5),
    (-18.0, 32.0),
    (-10.0, 33.5),
    (-2.0, 33.0),
    (8.0, 31.5),
    (20.0, 31.0),
    (32.0, 32.0),
    (44.0, 33.5),
    (53.0, 33.5),
    (58.5, 32.4),
    (63.5, 33.0),
    (69.0, 32.0),
    (71.5, 27.5),
    (69.0, 22.5),
    (63.0, 20.5),
    (54.0, 17.5),
    (42.0, 10.5),
    (30.0, 2.0),
    (22.0, -6.5),
    (18.0, -16.0),
];

/// A leg and foot from the side.
struct LegSeen<'a> {
    look: &'a FootLook,
    ankle: DrawnPoint,
    scale: f64,
    up_deg: f64,
}

impl LegSeen<'_> {
    fn leg(&self, (x, y): DrawnPoint) -> DrawnPoint {
        (self.ankle.0 + x * self.scale, self.ankle.1 + y * self.scale)
    }

    /// A place of the foot, brought up about the ankle.
    fn foot(&self, (x, y): DrawnPoint) -> DrawnPoint {
        let long = if x > 0.0 { x * self.look.length } else { x };
        turned(self.leg((long, y)), self.ankle, -self.up_deg)
    }

    fn outline(&self, foot: &[DrawnPoint]) -> Vec<DrawnPoint> {
        let plump = self.look.plump * 3.0;
        let back = [
            (-27.0 - plump, -92.0),
            (-29.5 - plump, -72.0),
            (-25.0 - plump, -50.0),
            (-18.0, -29.0),
            (-15.0, -14.0),
        ];
        let front = [(17.5, -30.0), (19.5, -50.0), (21.5 + plump * 0.5, -72.0), (22.0 + plump * 0.5, -92.0)];
        let mut anchors: Vec<DrawnPoint> = back.into_iter().map(|point| self.leg(point)).collect();
        anchors.extend(foot.iter().map(|point| self.foot(*point)));
        anchors.extend(front.into_iter().map(|point| self.leg(point)));
        open(&anchors)
    }

    fn drawn(&self) -> Vec<DrawnShape> {
        let mut shapes = vec![DrawnShape::area(DrawnPart::Skin, FillClass::Skin, self.outline(&FOOT)).open()];
        // The outer toes in front of the great toe, from the little one forward.
        for (x, y) in [(50.0, 27.0), (55.0, 26.5), (60.0, 26.0), (64.5, 26.5)] {
            let toe = bow(
                self.foot((x + 1.5, y + 6.0)),
                self.foot((x + 5.0, y - 1.0)),
                self.foot((x - 1.5, y - 2.5)),
            );
            shapes.push(DrawnShape::line(DrawnPart::ToeLine, StrokeWeight::Fine, toe));
        }
        let ankle = arc(self.leg((-1.0, 1.0)), 7.0 * self.scale, -70.0, 150.0);
        shapes.push(DrawnShape::line(DrawnPart::SkinLine, StrokeWeight::Fine, ankle));
        shapes
    }
}

/// Knee straight, the foot brought up as far as it goes, by so many degrees past the right angle.
pub(super) fn rigid_equinus(look: &FootLook, up_deg: f64) -> Sketch {
    let seen = LegSeen { look, ankle: (84.0, 138.0), scale: 1.45, up_deg };
    let mut shapes = seen.drawn();
    // A flat hand under the front of the foot.
    let palm = |x: f64, y: f64| seen.foot((x, SOLE + y));
    let hand = closed(&[
        palm(28.0, 2.0),
        palm(48.0, 1.8),
        palm(66.0, 2.2),
        palm(72.0, 5.0),
        palm(68.0, 9.5),
        palm(48.0, 11.0),
        palm(28.0, 11.0),
        palm(22.0, 6.5),
    ]);
    shapes.push(DrawnShape::area(DrawnPart::Hand, FillClass::Hand, hand));
    let sole = |x: f64| {
        turned((seen.ankle.0 + x * seen.scale, seen.ankle.1 + SOLE * seen.scale), seen.ankle, -up_deg)
    };
    let line = |part, stroke, points| DrawnShape::line(part, stroke, points).with_answer();
    shapes.push(line(DrawnPart::LegLine, StrokeWeight::Dashed, straight((seen.ankle.0, 6.0), seen.ankle)));
    let height = seen.ankle.1;
    shapes.push(line(DrawnPart::RightAngle, StrokeWeight::Dashed, straight((6.0, height), (236.0, height))));
    shapes.push(line(DrawnPart::SoleLine, StrokeWeight::Mark, straight(sole(-28.0), sole(76.0))));
    let reach = 74.0;
    shapes.push(line(
        DrawnPart::Mark,
        StrokeWeight::Mark,
        straight(seen.ankle, towards(seen.ankle, 90.0 - up_deg, 96.0)),
    ));
    shapes.push(line(DrawnPart::Mark, StrokeWeight::Mark, arc(seen.ankle, reach, 90.0, 90.0 - up_deg)));
    let sign = if up_deg < -0.5 { "−" } else { "" };
    let words = format!("{sign}{:.0}°", up_deg.abs());
    let beside = DrawnLabel::new((4.0, height + 14.0), LabelAnchor::Start, "right angle");
    // Between the lines where they are far enough apart, otherwise on the other side of them.
    let between = if up_deg.abs() > 14.0 { up_deg / 2.0 - 2.0 } else { up_deg.signum() * 16.0 };
    let angle = DrawnLabel::new(towards(seen.ankle, 90.0 - between, 112.0), LabelAnchor::Middle, words);
    Sketch { shapes, labels: vec![beside.with_answer(), angle.with_answer()] }
}

/// The heel bone, from the ankle, in a heel that is not empty.
const HEEL_BONE: [DrawnPoint; 15] = [
    (-23.4, 18.0),
    (-24.2, 23.0),
    (-22.4, 27.6),
    (-18.0, 30.4),
    (-11.0, 30.2),
    (-1.0, 27.4),
    (10.0, 26.2),
    (17.5, 24.5),
    (20.5, 19.5),
    (18.5, 14.0),
    (11.0, 14.5),
    (5.0, 11.5),
    (-1.0, 12.5),
    (-8.0, 12.0),
    (-17.0, 13.5),
];
/// About this place of the foot the heel bone turns when its hind end is drawn up.
const FRONT_OF_HEEL_BONE: DrawnPoint = (17.0, 17.0);
const TALUS: [DrawnPoint; 12] = [
    (-12.0, 4.5),
    (-9.5, -1.5),
    (-2.0, -4.8),
    (6.0, -3.6),
    (12.0, 0.5),
    (19.0, 3.5),
    (26.5, 6.0),
    (29.0, 11.0),
    (25.0, 15.0),
    (14.0, 11.0),
    (4.0, 8.0),
    (-6.0, 9.0),
];

/// The heel in section with a pressing finger: depth of the bone under the skin at the corner of the heel, and what is
/// left between fingertip and bone, both in % of the length of the foot.
pub(super) fn empty_heel(look: &FootLook, depth: f64, gap: f64) -> Sketch {
    let up_deg = look.chance(0xee1).between(-10.0, 0.0);
    // Drawn large, so that the toes lie beyond the frame.
    let seen = LegSeen { look, ankle: (134.0, 88.0), scale: 2.75, up_deg };
    let skin = seen.outline(&FOOT);
    let length = foot_length(&seen);
    // The corner where sole and back of the heel meet.
    let corner = seen.foot((-21.8, 29.6));
    let (depth, gap) = (depth / 100.0 * length, gap.max(0.0) / 100.0 * length);
    let bone = heel_bone(&seen, corner, depth);
    let meets = nearest_place(corner, &bone);
    let inward = (meets.0 - corner.0).atan2(corner.1 - meets.1).to_degrees();
    let sunk = (depth - gap).max(0.0);
    let tip = towards(corner, inward, sunk);
    let half_width = 15.0;
    let press = Press { corner, inward, sunk, half_width };
    let pressed: Vec<DrawnPoint> = skin.iter().map(|point| press.moved(*point)).collect();
    let mut shapes = vec![DrawnShape::area(DrawnPart::Skin, FillClass::Skin, pressed).open()];
    shapes.extend(leg_bones(&seen));
    shapes.push(DrawnShape::area(DrawnPart::HeelBone, FillClass::Bone, bone));
    shapes.extend(finger(towards(tip, inward + 180.0, 92.0), tip, half_width));
    let rest = skin.into_iter().filter(|point| apart(*point, corner) < 15.0 * seen.scale).collect();
    shapes.push(DrawnShape::line(DrawnPart::SkinAtRest, StrokeWeight::Dashed, rest));
    if gap > 0.04 * length {
        let marked = straight(towards(tip, inward, 1.0), towards(tip, inward, gap - 1.0));
        shapes.push(DrawnShape::line(DrawnPart::Mark, StrokeWeight::Mark, marked).with_answer());
    }
    Sketch { shapes, labels: Vec::new() }
}

/// From the back of the heel to the tip of the great toe.
fn foot_length(seen: &LegSeen<'_>) -> f64 {
    let heel = seen.foot((-25.5, 20.0));
    FOOT.iter().map(|point| apart(seen.foot(*point), heel)).fold(0.0, f64::max)
}

/// The heel bone with its nearest point as deep under the corner as is asked: its hind end is drawn up.
fn heel_bone(seen: &LegSeen<'_>, corner: DrawnPoint, depth: f64) -> Vec<DrawnPoint> {
    let outline = closed(&HEEL_BONE.map(|point| seen.foot(point)));
    let about = seen.foot(FRONT_OF_HEEL_BONE);
    // As its hind end rises it comes forward a little, or it would stand out of the skin behind.
    let drawn_up = |deg: f64| -> Vec<DrawnPoint> {
        let forward = 0.16 * deg.max(0.0) * seen.scale;
        outline.iter().map(|point| turned(*point, about, deg)).map(|(x, y)| (x + forward, y)).collect()
    };
    drawn_up(reached(depth, (-4.0, 55.0), |deg| nearest(corner, &drawn_up(deg))))
}

/// A fingertip that presses on the skin.
struct Press {
    corner: DrawnPoint,
    /// The direction in which it presses.
    inward: f64,
    sunk: f64,
    half_width: f64,
}

impl Press {
    /// Where a place of the skin comes to lie.
    fn moved(&self, point: DrawnPoint) -> DrawnPoint {
        let (sin, cos) = (self.inward + 90.0).to_radians().sin_cos();
        let off = ((point.0 - self.corner.0) * sin - (point.1 - self.corner.1) * cos).abs();
        if apart(point, self.corner) > 4.0 * self.half_width {
            return point;
        }
        towards(point, self.inward, self.sunk * (-(off / (self.half_width * 1.12)).powi(4)).exp())
    }
}

/// Tibia and talus above the heel bone, for orientation.
fn leg_bones(seen: &LegSeen<'_>) -> Vec<DrawnShape> {
    let shaft = [
        (-8.0, -94.0),
        (-8.5, -50.0),
        (-10.0, -22.0),
        (-12.0, -9.5),
        (-4.0, -7.0),
        (5.0, -7.5),
        (11.5, -10.0),
        (9.0, -22.0),
        (6.5, -50.0),
        (7.0, -94.0),
    ];
    let tibia = open(&shaft.map(|point| seen.leg(point)));
    let talus = closed(&TALUS.map(|point| seen.foot(point)));
    vec![
        DrawnShape::area(DrawnPart::Tibia, FillClass::Bone, tibia).open(),
        DrawnShape::area(DrawnPart::Talus, FillClass::Bone, talus),
    ]
}
