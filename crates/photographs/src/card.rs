//! Lengths beside a card of known size that lies in the plane of what is measured.

use crate::{
    PixelPoint, TapError,
    angle::Z95,
    card_camera::{CardCamera, CardView},
    homography::Homography,
    propagation::spread_of_each,
};

/// Long and short side of a bank or identity card, in millimetres (ISO/IEC 7810, size ID-1). Its corners are rounded
/// with a radius of about 3 mm (from memory), so the point to tap is where the two edges would meet.
pub const CARD_MM: (f64, f64) = (85.60, 53.98);

/// A plane with a scale, from the corners of a card in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CardScale {
    corners: [PixelPoint; 4],
    card: [PixelPoint; 4],
    corner_error: TapError,
    /// The angle at which the camera looked at the card; 0 is straight from above. In degrees.
    pub tilt_deg: f64,
    /// About how far the camera was, in millimetres; not better than within a factor of two, as the focal length is
    /// not known.
    pub distance_mm: f64,
    /// Root mean square distance of the corners from those of a card, in pixels.
    pub residual_px: f64,
}

/// A length in the plane of the card.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlaneLength {
    /// In millimetres.
    pub mm: f64,
    /// Half the width of the 95 % interval from the error of the taps, in millimetres: of the two points and of the
    /// four corners.
    pub error_mm: f64,
    /// By how much the length would be too long, in millimetres, for each millimetre that what is measured is nearer
    /// to the camera than the card; about, as the distance is.
    pub per_mm_off_plane: f64,
}

/// Why a card gives no scale, or two points no length.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CardFault {
    /// A point outside the picture, or not a number.
    #[error("A point is not within the picture.")]
    Outside,
    /// The corners do not go round a card.
    #[error("These are not the corners of a card, one after the other round its edge. Tap them again.")]
    NotConvex,
    /// Too small for its error.
    #[error(
        "The card is too small in the picture: its short side has {short_side_px:.0} pixels, {least_px:.0} are needed. Take the picture from nearer, or with the card next to the foot."
    )]
    TooSmall {
        /// The shortest side, in pixels.
        short_side_px: f64,
        /// What is needed, in pixels.
        least_px: f64,
    },
    /// No camera sees a card like this.
    #[error(
        "No card of 85.6 × 54 mm looks like this, whichever way it is held. Look whether each corner is where the edges would meet, whether the picture was cropped, and whether the card is bent."
    )]
    NoCard,
    /// Seen at too flat an angle.
    #[error(
        "The card is seen at a slant of {tilt_deg:.0}°. Take the picture from straight above; up to {most_deg:.0}° is possible."
    )]
    Tilted {
        /// The angle, in degrees.
        tilt_deg: f64,
        /// The most, in degrees.
        most_deg: f64,
    },
    /// Either side could be the long one.
    #[error(
        "It cannot be told which side of the card is the long one. Take the picture from straight above."
    )]
    Ambiguous,
    /// The length is too uncertain.
    #[error(
        "The length could be wrong by {error_mm:.0} mm. Take the picture with the card next to the foot, both filling the frame."
    )]
    Uncertain {
        /// The error that it would have, in millimetres.
        error_mm: f64,
    },
}

/// The flattest angle at which a card gives a scale, in degrees (judgement; beyond it the far edge is blurred).
const MOST_TILT_DEG: f64 = 40.0;
/// The shortest side of a card, in standard deviations of a tap (judgement): lengths are then exact to some 4 %.
const LEAST_SIDE_SD: f64 = 25.0;
/// By how much a lens moves a corner, as a share of the diagonal of the card (judgement).
const LENS_SHARE: f64 = 0.003;
/// The most that the misfit of a card may be: three standard deviations of the one number that is left over.
const MOST_MISFIT: f64 = 9.0;
/// The error beyond which a length is not given, in millimetres (judgement): less than a size of a shoe, 6.67 mm.
const MOST_ERROR_MM: f64 = 5.0;

impl CardScale {
    /// A scale from the corners of a card that lies beside the foot, its long side along the foot and its middle beside
    /// the middle of the foot: there the errors of the corners carry over least. The corners are tapped one after the other round its edge, from any corner and either way, on a picture of `picture` pixels that was not cropped.
    ///
    /// # Errors
    /// Corners that are not those of a card, or from which no exact scale follows.
    pub fn of(corners: &[PixelPoint; 4], picture: (u32, u32), tap: TapError) -> Result<Self, CardFault> {
        let (width, height) = (f64::from(picture.0), f64::from(picture.1));
        let inside =
            |point: &PixelPoint| (0.0..=width).contains(&point.x) && (0.0..=height).contains(&point.y);
        if !corners.iter().all(inside) {
            return Err(CardFault::Outside);
        }
        let corners = clockwise(corners).ok_or(CardFault::NotConvex)?;
        let sides = sides(&corners);
        let short_side_px = sides.iter().copied().fold(f64::INFINITY, f64::min);
        let least_px = LEAST_SIDE_SD * tap.sd_px;
        if short_side_px < least_px {
            return Err(CardFault::TooSmall { short_side_px, least_px });
        }
        Self::seen(&corners, (width, height), tap)
    }

    /// The card either way round, as a camera may have seen it.
    fn seen(corners: &[PixelPoint; 4], picture: (f64, f64), tap: TapError) -> Result<Self, CardFault> {
        let [a, b, c, d] = *corners;
        let sd_px = tap.sd_px.hypot(LENS_SHARE * a.distance(c).max(b.distance(d)));
        let ways = [[a, b, c, d], [b, c, d, a]].map(|seen| {
            let camera = CardView { card: &CARD, seen: &seen, picture, sd_px }.camera();
            camera.filter(|camera| camera.misfit <= MOST_MISFIT).map(|camera| (seen, camera))
        });
        let straight = |way: &Option<([PixelPoint; 4], CardCamera)>| {
            way.is_some_and(|(_, camera)| camera.tilt_deg <= MOST_TILT_DEG)
        };
        let (corners, camera) = match ways {
            [Some(_), Some(_)] if ways.iter().all(straight) => return Err(CardFault::Ambiguous),
            [Some(one), Some(other)] => {
                if straight(&ways[1]) {
                    other
                } else {
                    one
                }
            }
            [Some(way), None] | [None, Some(way)] => way,
            [None, None] => return Err(CardFault::NoCard),
        };
        let CardCamera { residual_px, tilt_deg, distance_mm, .. } = camera;
        if tilt_deg > MOST_TILT_DEG {
            return Err(CardFault::Tilted { tilt_deg, most_deg: MOST_TILT_DEG });
        }
        Ok(Self { corners, card: CARD, corner_error: tap, tilt_deg, distance_mm, residual_px })
    }

    /// The corners clockwise on the screen, a long side first.
    #[must_use]
    pub const fn corners(&self) -> &[PixelPoint; 4] {
        &self.corners
    }

    /// The length between two points in the plane of the card, such as the back of the heel and the tip of the longest
    /// toe. The perspective of the picture is taken out. `ends` is how exactly these two were tapped, which may be worse
    /// than the corners.
    ///
    /// # Errors
    /// A point that is not a number or lies beyond the horizon, or a length that is too uncertain.
    pub fn length(&self, from: PixelPoint, to: PixelPoint, ends: TapError) -> Result<PlaneLength, CardFault> {
        let [a, b, c, d] = self.corners;
        let points = [a, b, c, d, from, to];
        let length = |points: &[PixelPoint; 6]| {
            let [a, b, c, d, from, to] = *points;
            let map = Homography::of(&[a, b, c, d], &self.card)?;
            Some(map.apply(from)?.distance(map.apply(to)?)).filter(|mm| mm.is_finite())
        };
        let mm = length(&points).ok_or(CardFault::Outside)?;
        let (corner, end) = (self.corner_error.sd_px, ends.sd_px);
        let each = [corner, corner, corner, corner, end, end];
        let sd =
            spread_of_each(&points, &each, length, |one, other| one - other).ok_or(CardFault::Outside)?;
        let error_mm = Z95 * sd;
        if error_mm > MOST_ERROR_MM {
            return Err(CardFault::Uncertain { error_mm });
        }
        Ok(PlaneLength { mm, error_mm, per_mm_off_plane: mm / self.distance_mm })
    }
}

/// The corners of a card about its middle, from the upper left one clockwise, the long side first.
pub(crate) const CARD: [PixelPoint; 4] = {
    let (x, y) = (CARD_MM.0 / 2.0, CARD_MM.1 / 2.0);
    [PixelPoint::new(-x, -y), PixelPoint::new(x, -y), PixelPoint::new(x, y), PixelPoint::new(-x, y)]
};

fn sides(&[a, b, c, d]: &[PixelPoint; 4]) -> [f64; 4] {
    [a.distance(b), b.distance(c), c.distance(d), d.distance(a)]
}

/// The corners in clockwise order on the screen; `None` if they do not make a convex figure.
fn clockwise(&[a, b, c, d]: &[PixelPoint; 4]) -> Option<[PixelPoint; 4]> {
    let bend =
        |p: PixelPoint, q: PixelPoint, r: PixelPoint| (q.x - p.x) * (r.y - q.y) - (q.y - p.y) * (r.x - q.x);
    let bends = [bend(a, b, c), bend(b, c, d), bend(c, d, a), bend(d, a, b)];
    if bends.iter().all(|bend| *bend > 0.0) {
        return Some([a, b, c, d]);
    }
    bends.iter().all(|bend| *bend < 0.0).then_some([a, d, c, b])
}
