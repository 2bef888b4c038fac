//! A right foot seen from the sole, toes up: the great toe is on the right, the outer border on the left.

use super::{
    line::{FootCurve, apart, bow, closed, contour, ellipse, reached, straight, towards, turned},
    look::FootLook,
    shape::{DrawnLabel, DrawnPart, DrawnPoint, DrawnShape, FillClass, LabelAnchor, Sketch, StrokeWeight},
};

/// The outer border of the straight foot, from its middle line.
const OUTER: f64 = -20.0;
/// From the middle of the little toe to the border at the head of the fifth metatarsal, as a share of the length.
const FIFTH_HEAD: f64 = 0.0766;
/// Toes: along, across, and the two radii, the great toe first.
const TOES: [(f64, f64, f64, f64); 5] = [
    (95.5, 14.6, 9.6, 8.2),
    (96.5, 2.6, 7.6, 5.2),
    (93.4, -5.6, 7.0, 4.7),
    (89.2, -12.4, 6.4, 4.3),
    (83.6, -17.6, 5.6, 3.9),
];

/// A foot seen from the sole.
struct SoleSeen<'a> {
    look: &'a FootLook,
    curve: FootCurve,
    /// How far the inner contour is drawn in, in units along the foot, and where.
    notch: (f64, f64),
    heel: DrawnPoint,
    scale: f64,
}

impl<'a> SoleSeen<'a> {
    fn new(look: &'a FootLook, curve: FootCurve) -> Self {
        let scale = 1.95 * look.length;
        // The curved foot leans to the right: the heel stands further left, the whole in the middle of the frame.
        let lean = curve.place((100.0, 0.0)).0 * scale;
        Self { look, curve, notch: (0.0, 46.0), heel: (118.0 - lean / 2.0, 226.0), scale }
    }

    /// From the place on the straight foot to the place in the drawing.
    fn at(&self, u: f64, v: f64) -> DrawnPoint {
        let (x, y) = self.curve.place((u, v * self.look.width));
        (self.heel.0 + x * self.scale, self.heel.1 - y * self.scale)
    }

    /// The inner contour, from the middle line.
    fn inner(&self, u: f64) -> f64 {
        let plump = self.look.plump;
        let anchors = [
            (8.0, 14.6),
            (18.0, 17.6),
            (30.0, 16.8 + plump),
            (46.0, 14.6 + 2.6 * plump),
            (58.0, 17.2 + plump),
            (66.0, 21.0),
            (74.0, 23.4),
        ];
        let smooth = contour(&anchors, u);
        let (depth, at) = self.notch;
        let off = (u - at).abs();
        // Drawn in at the crease, and swollen a little on both sides of it.
        smooth - depth * (-(off / 2.6).powi(2)).exp() + 0.22 * depth * (-((off - 6.5) / 3.2).powi(2)).exp()
    }

    fn outline(&self) -> Vec<DrawnPoint> {
        let mut places: Vec<DrawnPoint> =
            vec![(0.0, 0.0), (1.6, -8.0), (6.5, -15.0), (14.0, -19.0), (21.0, OUTER)];
        places.extend((0..13).map(|step| (25.0 + 4.0 * f64::from(step), OUTER)));
        places.extend([
            (76.5, -20.0),
            (80.5, -18.4),
            (83.5, -13.5),
            (86.5, -5.0),
            (88.5, 4.0),
            (88.8, 12.0),
            (87.0, 19.0),
            (82.0, 23.4),
        ]);
        places.extend((0..34).map(|step| 74.0 - 2.0 * f64::from(step)).map(|u| (u, self.inner(u))));
        places.extend([(3.8, 10.6), (1.1, 5.8)]);
        closed(&places.into_iter().map(|(u, v)| self.at(u, v)).collect::<Vec<_>>())
    }

    fn toes(&self) -> impl Iterator<Item = Vec<DrawnPoint>> + '_ {
        // A toe is turned with the foot and not bent: it keeps its size on the outside of a curve.
        TOES.into_iter().map(|(u, v, along, across)| {
            let size = self.look.toes * self.scale;
            ellipse(self.at(u, v), (along * size, across * size * self.look.width), self.curve.direction(u))
        })
    }

    /// From the end of the heel to the end of the longest toe.
    fn length(&self) -> f64 {
        self.toes().flatten().map(|tip| apart(tip, self.heel)).fold(0.0, f64::max)
    }

    /// The outer border at the head of the fifth metatarsal: where it is [`FIFTH_HEAD`] of the length from the middle of
    /// the little toe.
    fn fifth_head(&self) -> DrawnPoint {
        let [.., (u, v, ..)] = TOES;
        let (toe, away) = (self.at(u, v), FIFTH_HEAD * self.length());
        let along = reached(-away, (60.0, 82.0), |u| -apart(self.at(u, OUTER), toe));
        self.at(along, OUTER)
    }

    fn drawn(&self) -> Sketch {
        let mut shapes: Vec<DrawnShape> =
            self.toes().map(|toe| DrawnShape::area(DrawnPart::Toe, FillClass::Skin, toe)).collect();
        shapes.push(DrawnShape::area(DrawnPart::Skin, FillClass::Skin, self.outline()));
        shapes.extend(TOES.into_iter().map(|(u, v, along, across)| {
            let pad = bow(
                self.at(u + along * 0.25, v - across * 0.6),
                self.at(u - along * 0.35, v),
                self.at(u + along * 0.25, v + across * 0.6),
            );
            DrawnShape::line(DrawnPart::ToeLine, StrokeWeight::Fine, pad)
        }));
        shapes.push(DrawnShape::line(
            DrawnPart::SkinLine,
            StrokeWeight::Fine,
            bow(self.at(70.0, 16.0), self.at(77.0, 6.0), self.at(76.0, -9.0)),
        ));
        Sketch { shapes, labels: Vec::new() }
    }

    /// The width of the sole at a place.
    fn width(&self, u: f64) -> f64 {
        self.inner(u) - OUTER
    }

    /// A crease from the inner contour, reaching across by a share of the width.
    fn crease(&self, u: f64, reach: f64, sag: f64) -> Vec<DrawnPoint> {
        let from = self.inner(u) - 0.3;
        let to = from - reach * self.width(u);
        bow(self.at(u, from), self.at(u - sag, f64::midpoint(from, to)), self.at(u + 1.0, to))
    }
}

/// By how many degrees the foot curves for the outer border to lie off the straight line by a share of the length.
fn curve_for(deviation: f64, begins: f64, look: &FootLook) -> FootCurve {
    let curve = |deg: f64| FootCurve { from: begins, to: begins.max(44.0) + 30.0, deg };
    let deviation_at = |deg: f64| {
        let seen = SoleSeen { look, curve: curve(deg), notch: (0.0, 46.0), heel: (0.0, 0.0), scale: 1.0 };
        (seen.fifth_head().0 - OUTER * look.width) / seen.length()
    };
    curve(reached(deviation, (0.0, 85.0), deviation_at))
}

/// The foot at rest, its outer border curved: the deviation in % of the length, and where the curve begins.
pub(super) fn lateral_border(look: &FootLook, deviation: f64, begins: f64) -> Sketch {
    // The length of the straight foot is 104 units, so that a place in % of it is one in units.
    let curve = curve_for(deviation.max(0.0) / 100.0, begins * 1.04, look);
    let seen = SoleSeen::new(look, curve);
    let mut sketch = seen.drawn();
    let edge = OUTER - 0.8;
    let (from, to) = (seen.at(2.0, edge), seen.at(2.0, edge).1 - 100.0 * seen.scale);
    sketch.shapes.push(
        DrawnShape::line(DrawnPart::StraightEdge, StrokeWeight::Dashed, straight(from, (from.0, to)))
            .with_answer(),
    );
    let border = seen.fifth_head();
    if border.0 - from.0 > 5.0 {
        let at = seen.at(begins * 1.04, OUTER);
        let (tip, base) = ((at.0 - 3.0, at.1), (at.0 - 24.0, at.1));
        sketch.shapes.extend(pointer(base, tip));
        sketch.shapes.push(
            DrawnShape::line(DrawnPart::Mark, StrokeWeight::Mark, straight((from.0, border.1), border))
                .with_answer(),
        );
    }
    sketch
}

/// The arch, with its creases: reach of the longest in % of the width, notch of the contour in % of the width.
pub(super) fn medial_crease(look: &FootLook, severity: f64, reach: f64, notch: f64) -> Sketch {
    let mut chance = look.chance(0x3ed1);
    let curve = FootCurve { from: 36.0, to: 74.0, deg: chance.between(6.0, 14.0) };
    let mut seen = SoleSeen::new(look, curve);
    let at = chance.between(44.0, 48.0);
    seen.notch = (notch.max(0.0) / 100.0 * 35.0, at);
    let mut sketch = seen.drawn();
    let longest = reach / 100.0;
    let mut crease = |u: f64, share: f64, deep: bool| {
        let points = seen.crease(u, longest * share, if deep { 5.0 } else { 2.5 });
        sketch.shapes.extend(crease_shapes(points, deep));
    };
    if severity < 0.25 {
        for (place, share) in [(-9.0, 0.8), (-3.0, 1.0), (3.0, 0.7), (8.5, 0.9)] {
            crease(at + place + chance.between(-0.8, 0.8), share, false);
        }
    } else if severity < 0.75 {
        crease(at - 11.0, 0.45, false);
        let two = chance.below(3) > 0;
        if two {
            crease(at + 5.5, 0.75, true)
        }
        crease(at - 1.5, 1.0, true);
    } else {
        crease(at, 1.0, true);
    }
    let (u, v) = (at, seen.inner(at));
    let tip = seen.at(u, v + 1.5);
    sketch.shapes.extend(pointer((tip.0 + 32.0, tip.1), (tip.0 + 4.0, tip.1)));
    sketch
}

/// A crease; a deep one with its shade.
pub(super) fn crease_shapes(points: Vec<DrawnPoint>, deep: bool) -> Vec<DrawnShape> {
    if deep {
        vec![
            DrawnShape::line(DrawnPart::CreaseShade, StrokeWeight::Shade, points.clone()),
            DrawnShape::line(DrawnPart::Crease, StrokeWeight::Deep, points),
        ]
    } else {
        vec![DrawnShape::line(DrawnPart::Crease, StrokeWeight::Fine, points)]
    }
}

/// An arrow of the answer.
pub(super) fn pointer(base: DrawnPoint, tip: DrawnPoint) -> Vec<DrawnShape> {
    let back = (base.0 - tip.0).atan2(tip.1 - base.1).to_degrees();
    let barb = |deg: f64| towards(tip, back + deg, 8.0);
    let head = vec![barb(-28.0), tip, barb(28.0)];
    [straight(base, tip), head]
        .into_iter()
        .map(|points| DrawnShape::line(DrawnPart::Mark, StrokeWeight::Mark, points).with_answer())
        .collect()
}

/// A fingertip from its base to its tip, with its nail.
pub(super) fn finger(base: DrawnPoint, tip: DrawnPoint, half_width: f64) -> Vec<DrawnShape> {
    let deg = (tip.0 - base.0).atan2(base.1 - tip.1).to_degrees();
    let length = apart(base, tip);
    // Drawn upwards with its tip at the top, then turned.
    let side = |sign: f64| {
        [(length, 1.04), (length * 0.5, 1.0), (half_width * 1.1, 0.97), (half_width * 0.35, 0.72)]
            .map(|(down, share)| (tip.0 + sign * share * half_width, tip.1 + down))
    };
    let [a, b, c, d] = side(-1.0);
    let [e, f, g, h] = side(1.0);
    let outline = super::line::open(&[a, b, c, d, (tip.0, tip.1), h, g, f, e]);
    let nail = ellipse((tip.0, tip.1 + half_width * 0.75), (half_width * 0.55, half_width * 0.5), 0.0);
    let placed = |points: Vec<DrawnPoint>| points.into_iter().map(|point| turned(point, tip, deg)).collect();
    vec![
        DrawnShape::area(DrawnPart::Finger, FillClass::Hand, placed(outline)).open(),
        DrawnShape::line(DrawnPart::FingerNail, StrokeWeight::Fine, placed(nail)),
    ]
}

/// Words where the fields of the frame are usually empty.
pub(super) fn corner(text: &str, left: bool) -> DrawnLabel {
    if left {
        DrawnLabel::new((8.0, 18.0), LabelAnchor::Start, text)
    } else {
        DrawnLabel::new((232.0, 18.0), LabelAnchor::End, text)
    }
}
