//! Angles between tapped lines, with the error that the taps bring in.

use crate::{PixelLine, PixelPoint, propagation::spread};

/// How exactly a person taps a point: the standard deviation of each coordinate, in pixels of the kept picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TapError {
    /// In pixels.
    pub sd_px: f64,
}

impl TapError {
    /// With a finger or a mouse on the whole picture, of 2,000 pixels (judgement; readings of one picture that
    /// are repeated show the true one, see [`crate::ReadingError`]).
    pub const USUAL: Self = Self { sd_px: 3.0 };
    /// Of a point that was set in an enlarged part of the picture (judgement).
    pub const MAGNIFIED: Self = Self { sd_px: 1.5 };
}

/// The angle from one line to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AngleBetween {
    /// From the first to the second, in degrees, above −180 and at most 180: above zero clockwise on the screen.
    pub signed_deg: f64,
    /// The standard deviation that the error of the taps brings in, in degrees.
    pub sd_deg: f64,
}

impl AngleBetween {
    /// Half the width of the 95 % interval from the error of the taps alone, in degrees.
    #[must_use]
    pub fn error_deg(self) -> f64 {
        Z95 * self.sd_deg
    }
}

/// The normal deviate of a 95 % interval.
pub(crate) const Z95: f64 = 1.959_963_984_540_054;

/// The angle from the direction of one line to that of another; neither has to touch the other, and nothing is taken
/// to be horizontal. `None` if a line has no length or a point is not a number.
///
/// ```
/// use photographs::{PixelLine, PixelPoint, TapError, angle_between};
/// let point = PixelPoint::new;
/// let down = PixelLine::new(point(0.0, 0.0), point(0.0, 100.0));
/// let left = PixelLine::new(point(50.0, 0.0), point(-50.0, 0.0));
/// // From downward to leftward is clockwise, as a clock hand goes from 6 to 9.
/// let angle = angle_between(down, left, TapError { sd_px: 1.0 }).unwrap();
/// assert!((angle.signed_deg - 90.0).abs() < 1e-9);
/// // Each line of 100 px has a direction to within √2 / 100, both together to within 2 / 100 of a radian.
/// assert!((angle.sd_deg - 0.02_f64.to_degrees()).abs() < 1e-6);
/// ```
#[must_use]
pub fn angle_between(a: PixelLine, b: PixelLine, tap: TapError) -> Option<AngleBetween> {
    measured(&[a.from, a.to, b.from, b.to], tap, |[a, b, c, d]| turn((*a, *b), (*c, *d)))
}

/// The angle at a point from the line towards `a` to the line towards `b`. The point belongs to both lines, and its
/// error counts in both. `None` if two points coincide or one is not a number.
#[must_use]
pub fn angle_at(vertex: PixelPoint, a: PixelPoint, b: PixelPoint, tap: TapError) -> Option<AngleBetween> {
    measured(&[vertex, a, b], tap, |[vertex, a, b]| turn((*vertex, *a), (*vertex, *b)))
}

/// An angle of tapped points with its error.
pub(crate) fn measured<const N: usize>(
    points: &[PixelPoint; N],
    tap: TapError,
    angle: impl Fn(&[PixelPoint; N]) -> Option<f64>,
) -> Option<AngleBetween> {
    let signed_deg = angle(points)?;
    let sd_deg = spread(points, tap.sd_px, angle, |one, other| wrapped(one - other))?;
    Some(AngleBetween { signed_deg, sd_deg })
}

/// The turn from one line to another in degrees, above zero clockwise on the screen, where `y` runs downward.
pub(crate) fn turn(a: (PixelPoint, PixelPoint), b: (PixelPoint, PixelPoint)) -> Option<f64> {
    let (first, second) = (direction(a)?, direction(b)?);
    Some(wrapped((second - first).to_degrees()))
}

fn direction((from, to): (PixelPoint, PixelPoint)) -> Option<f64> {
    let (dx, dy) = (to.x - from.x, to.y - from.y);
    let known = from.is_finite() && to.is_finite() && dx.hypot(dy) > 1e-6;
    known.then(|| dy.atan2(dx))
}

/// An angle in degrees, above −180 and at most 180.
pub(crate) fn wrapped(deg: f64) -> f64 {
    let turned = deg.rem_euclid(360.0);
    if turned > 180.0 { turned - 360.0 } else { turned }
}
