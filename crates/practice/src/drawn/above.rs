//! A right leg and foot seen from the front and above, toes up: the great toe is on the left, the outer side on the
//! right.

use super::{
    line::{FootCurve, arc, closed, ellipse, open, straight, towards},
    look::FootLook,
    shape::{DrawnLabel, DrawnPart, DrawnPoint, DrawnShape, FillClass, LabelAnchor, Sketch, StrokeWeight},
    sole::finger,
};

/// Toes: along, across, and the two radii, the great toe first.
const TOES: [(f64, f64, f64, f64); 5] = [
    (93.0, -15.0, 10.0, 8.4),
    (95.0, -2.8, 8.0, 5.4),
    (91.5, 5.6, 7.4, 4.9),
    (87.0, 12.8, 6.8, 4.5),
    (81.0, 18.6, 6.0, 4.2),
];
const OUTLINE: [DrawnPoint; 19] = [
    (-26.0, 19.0),
    (-6.0, 17.5),
    (12.0, 18.5),
    (28.0, 20.0),
    (46.0, 21.0),
    (62.0, 21.5),
    (75.0, 22.0),
    (82.0, 18.5),
    (86.0, 8.0),
    (88.0, -4.0),
    (87.5, -14.0),
    (84.5, -22.0),
    (77.0, -25.0),
    (68.0, -24.0),
    (54.0, -19.5),
    (38.0, -17.5),
    (22.0, -17.5),
    (2.0, -17.0),
    (-26.0, -18.5),
];
/// Where the head of the talus lies.
const HEAD: DrawnPoint = (34.0, 3.0);
/// Half the angle that the navicular spans in front of the head.
const HALF_SPAN_DEG: f64 = 55.0;

struct InstepSeen<'a> {
    look: &'a FootLook,
    curve: FootCurve,
    heel: DrawnPoint,
    scale: f64,
}

impl InstepSeen<'_> {
    fn at(&self, (u, v): DrawnPoint) -> DrawnPoint {
        let (x, y) = self.curve.place((u, v * self.look.width));
        (self.heel.0 + x * self.scale, self.heel.1 - y * self.scale)
    }

    fn drawn(&self) -> Vec<DrawnShape> {
        let toe = |(u, v, along, across): (f64, f64, f64, f64)| {
            let size = self.look.toes * self.scale;
            ellipse(self.at((u, v)), (along * size, across * size * self.look.width), self.curve.direction(u))
        };
        let mut shapes: Vec<DrawnShape> =
            TOES.into_iter().map(|of| DrawnShape::area(DrawnPart::Toe, FillClass::Skin, toe(of))).collect();
        let outline: Vec<DrawnPoint> = OUTLINE.iter().map(|point| self.at(*point)).collect();
        shapes.push(DrawnShape::area(DrawnPart::Skin, FillClass::Skin, open(&outline)).open());
        shapes.extend(TOES.into_iter().map(|(u, v, along, across)| {
            let nail: Vec<DrawnPoint> = ellipse((u + along * 0.5, v), (across * 0.5, along * 0.32), 0.0)
                .into_iter()
                .map(|point| self.at(point))
                .collect();
            DrawnShape { closed: true, ..DrawnShape::line(DrawnPart::ToeLine, StrokeWeight::Fine, nail) }
        }));
        shapes
    }
}

/// The foot turned outwards as far as it goes, with the thumb on the talar head: how much of its front the navicular
/// covers, in %.
pub(super) fn talar_head(look: &FootLook, severity: f64, covered: f64) -> Sketch {
    // An uncovered head goes with a foot that cannot be turned out: 34° out to 20° in, from memory.
    let deg = 34.0 - 54.0 * severity.clamp(0.0, 1.0) + look.chance(0x7a1).between(-4.0, 4.0);
    let curve = FootCurve { from: 34.0, to: 62.0, deg };
    let scale = 1.72 * look.length;
    let lean = curve.place((100.0, 0.0)).0 * scale;
    let seen = InstepSeen { look, curve, heel: (114.0 - lean * 0.42, 196.0), scale };
    let mut shapes = seen.drawn();
    let head = seen.at(HEAD);
    let radius = 12.0 * look.length * 1.6;
    shapes.extend(talus(&seen));
    shapes.push(DrawnShape::area(
        DrawnPart::TalarHead,
        FillClass::TalarHead,
        ellipse(head, (radius, radius), 0.0),
    ));
    // The neck of the talus points up the drawing. The uncovered share is at the outer side.
    let middle = -2.0 * HALF_SPAN_DEG * (1.0 - covered / 100.0);
    let navicular = navicular(head, radius, middle);
    shapes.push(DrawnShape::area(DrawnPart::Navicular, FillClass::Bone, navicular));
    let thumb_deg = 72.0;
    let tip = towards(head, thumb_deg, radius * 0.98);
    shapes.extend(finger(towards(tip, thumb_deg + 18.0, 84.0), tip, 13.0));
    let end = towards(head, middle, radius + 34.0);
    let named = towards(head, middle, radius + 14.0);
    shapes.push(DrawnShape::line(DrawnPart::Mark, StrokeWeight::Mark, straight(named, end)).with_answer());
    shapes.push(
        DrawnShape::line(
            DrawnPart::Mark,
            StrokeWeight::Mark,
            arc(head, radius + 3.0, middle + HALF_SPAN_DEG, HALF_SPAN_DEG),
        )
        .with_answer(),
    );
    let anchor = if end.0 < head.0 - 8.0 { LabelAnchor::End } else { LabelAnchor::Middle };
    let labels = vec![
        DrawnLabel::new((head.0 + radius + 22.0, head.1 + 40.0), LabelAnchor::Start, "thumb"),
        DrawnLabel::new(end, anchor, "navicular").with_answer(),
    ];
    Sketch { shapes, labels }
}

/// Body and neck of the talus, below the head.
fn talus(seen: &InstepSeen<'_>) -> Vec<DrawnShape> {
    let body = [
        (2.0, -8.0),
        (8.0, -11.5),
        (17.0, -10.5),
        (23.0, -5.0),
        (30.0, -3.5),
        (31.0, 9.0),
        (24.0, 10.5),
        (17.0, 13.0),
        (8.0, 13.0),
        (2.0, 9.0),
    ];
    let body = closed(&body.map(|point| seen.at(point)));
    vec![DrawnShape::area(DrawnPart::Talus, FillClass::Bone, body)]
}

/// The navicular: a shell about the head, with its middle in a direction.
fn navicular(head: DrawnPoint, radius: f64, middle_deg: f64) -> Vec<DrawnPoint> {
    let (from, to) = (middle_deg - HALF_SPAN_DEG, middle_deg + HALF_SPAN_DEG);
    let mut outline = arc(head, radius + 2.0, from, to);
    let outer = (0..=20).map(|step| {
        let share = f64::from(step) / 20.0;
        // Thickest in the middle.
        let thick = 4.0 + 13.0 * (std::f64::consts::PI * share).sin().powf(0.7);
        towards(head, to + (from - to) * share, radius + 2.0 + thick)
    });
    outline.extend(outer);
    outline
}
