//! A right leg and heel seen from behind: the inner side is on the left.

use super::{
    line::{bow, contour, open},
    look::FootLook,
    shape::{DrawnPart, DrawnPoint, DrawnShape, FillClass, Sketch, StrokeWeight},
    sole::{corner, crease_shapes, pointer},
};

const MIDDLE: f64 = 120.0;

/// Leg and heel from behind.
struct HeelSeen<'a> {
    look: &'a FootLook,
    /// How far the contours are drawn in, and at which height.
    notch: (f64, f64),
}

impl HeelSeen<'_> {
    /// Half the width at a height without the notch, for the inner or outer contour.
    fn plain(&self, y: f64, inner: bool) -> f64 {
        let plump = self.look.plump * 2.0;
        let ankle = if inner { 1.0 } else { 0.4 };
        let anchors = [
            (4.0, 37.0 + plump),
            (34.0, 41.0 + plump),
            (72.0, 36.0 + plump),
            (108.0, 28.5 + plump),
            (132.0, 27.0 + ankle + plump),
            (150.0, 27.5 + plump),
            (172.0, 28.5 + plump),
            (192.0, 31.5 + plump),
            (208.0, 32.0 + plump),
        ];
        contour(&anchors, y) * self.look.width
    }

    fn half(&self, y: f64, inner: bool) -> f64 {
        let (depth, at) = self.notch;
        let off = (y - at).abs();
        self.plain(y, inner) - depth * (-(off / 4.2).powi(2)).exp()
            + 0.2 * depth * (-((off - 11.0) / 5.5).powi(2)).exp()
    }

    /// Heights of the anchors of a contour, closer together where it is drawn in.
    fn heights(&self) -> impl Iterator<Item = f64> {
        let (_, at) = self.notch;
        let step = |first: f64, by: f64, steps: i32| (0..steps).map(move |step| first + by * f64::from(step));
        let above = step(4.0, 6.0, 35).take_while(move |y| *y < at - 18.0);
        let below = step(4.0, 6.0, 35).skip_while(move |y| *y <= at + 18.0);
        above.chain(step(at - 15.0, 1.5, 21)).chain(below)
    }

    fn outline(&self) -> Vec<DrawnPoint> {
        let side = |inner: bool| {
            let sign = if inner { -1.0 } else { 1.0 };
            self.heights().map(|y| (MIDDLE + sign * self.half(y, inner), y)).collect::<Vec<_>>()
        };
        let bottom = self.half(208.0, true);
        let mut anchors = side(true);
        anchors.extend([
            (MIDDLE - bottom * 0.86, 221.0),
            (MIDDLE - bottom * 0.45, 229.0),
            (MIDDLE, 231.0),
            (MIDDLE + bottom * 0.45, 229.0),
            (MIDDLE + bottom * 0.86, 221.0),
        ]);
        anchors.extend(side(false).into_iter().rev());
        open(&anchors)
    }

    /// A crease across the middle, by a share of the width there.
    fn crease(&self, y: f64, reach: f64, lean: f64) -> Vec<DrawnPoint> {
        let (left, right) = (y - 2.0 + lean, y - 2.0 - lean);
        let from = (MIDDLE - self.half(left, true) * reach, left);
        bow(from, (MIDDLE, y + 6.0), (MIDDLE + self.half(right, false) * reach, right))
    }

    fn drawn(&self) -> Sketch {
        let mut shapes = vec![DrawnShape::area(DrawnPart::Skin, FillClass::Skin, self.outline()).open()];
        for sign in [-1.0, 1.0] {
            let cord =
                bow((MIDDLE + sign * 9.0, 88.0), (MIDDLE + sign * 5.0, 118.0), (MIDDLE + sign * 6.5, 140.0));
            shapes.push(DrawnShape::line(DrawnPart::SkinLine, StrokeWeight::Fine, cord));
        }
        let ankle = |x: f64, y: f64, sign: f64| bow((x, y - 9.0), (x - sign * 7.0, y), (x, y + 9.0));
        for (sign, y) in [(-1.0, 134.0), (1.0, 141.0)] {
            let x = MIDDLE + sign * (self.plain(y, sign < 0.0) - 3.0);
            shapes.push(DrawnShape::line(DrawnPart::SkinLine, StrokeWeight::Fine, ankle(x, y, sign)));
        }
        let pad = bow((MIDDLE - 20.0, 206.0), (MIDDLE, 216.0), (MIDDLE + 20.0, 206.0));
        shapes.push(DrawnShape::line(DrawnPart::SkinLine, StrokeWeight::Fine, pad));
        let labels = vec![corner("inner", true), corner("outer", false)];
        Sketch { shapes, labels }
    }
}

/// Leg and heel with the creases above the heel: reach of the longest and notch of each contour, in % of the width.
pub(super) fn posterior_crease(look: &FootLook, severity: f64, reach: f64, notch: f64) -> Sketch {
    let mut chance = look.chance(0x9057);
    let at = chance.between(164.0, 172.0);
    let mut seen = HeelSeen { look, notch: (0.0, at) };
    seen.notch.0 = notch.max(0.0) / 100.0 * 2.0 * seen.plain(at, true);
    let mut sketch = seen.drawn();
    let mut crease = |y: f64, share: f64, deep: bool| {
        let lean = chance.between(-1.0, 1.0);
        sketch.shapes.extend(crease_shapes(seen.crease(y, share * reach / 100.0, lean), deep));
    };
    if severity < 0.25 {
        for (place, share) in [(-15.0, 0.75), (-6.0, 1.0), (3.0, 0.8), (12.0, 0.9)] {
            crease(at + place, share, false);
        }
    } else if severity < 0.75 {
        crease(at - 18.0, 0.5, false);
        if look.chance(0x9058).below(3) > 0 {
            crease(at + 10.0, 0.82, true)
        }
        crease(at - 3.0, 1.0, true);
    } else {
        crease(at, 1.0, true);
    }
    let tip = (MIDDLE + seen.half(at, false) + 5.0, at);
    sketch.shapes.extend(pointer((tip.0 + 26.0, tip.1 - 8.0), tip));
    sketch
}
