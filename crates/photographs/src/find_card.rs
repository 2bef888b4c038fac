//! Finding a card in a picture: edges, lines, four-sided figures, sides fitted more finely than pixels, and corners that
//! are as round as those of a card.
//!
//! What is found is a proposal for a person, who looks at every corner. Where two figures could be the card, or none fits
//! well, there is none.

use crate::{
    CARD_MM, CardScale, PixelLine, PixelPoint, TapError,
    card::CARD,
    card_shapes::card_shapes,
    edge_lines::edge_lines,
    edge_strokes::edge_strokes,
    grey_plane::{GreyPlane, JUDGED_SIDE},
    homography::Homography,
    side_fit::{FittedSide, fitted_side, shade_at, steepest},
};

/// A card that was found in a picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FoundCard {
    /// The corners where the edges would meet, one after the other round the card, in pixels.
    pub corners: [PixelPoint; 4],
    /// Root mean square distance of the edges from the four lines, in pixels.
    pub misfit_px: f64,
    /// The angle at which the camera looked at the card, in degrees.
    pub tilt_deg: f64,
}

/// Why no card is proposed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum CardSearchFault {
    /// Nothing in the picture is certain enough to be a card.
    #[error("No card was found in the picture. Tap its corners yourself.")]
    NotFound,
    /// More than one.
    #[error(
        "More than one thing in the picture could be the card. Tap the corners of the right one yourself."
    )]
    Several,
}

/// The radius of the corners of a card, in millimetres (ISO/IEC 7810, 3.18 ± 0.30 mm, from memory).
pub const CARD_RADIUS_MM: f64 = 3.18;

impl TapError {
    /// Of corners that [`find_card`] found and a person confirmed. Measured on rendered pictures, with room for what
    /// these do not have, such as a bent card or a thick edge (judgement): `docs/photographs.md`.
    pub const FOUND: Self = Self { sd_px: 1.0 };
}

/// How far the edge of a corner is from where the sides meet, along the diagonal between them, as a share of the radius:
/// √2 − 1.
const ROUNDING: f64 = 0.414_213_562_373_095;
/// The least and the most of that distance that counts as the corner of a card, and of its mean over the corners that do,
/// as shares of that of a card, which is 1.32 mm. It is 0 for paper and tiles, and 3.3 mm and more for telephones. Blur
/// adds to it (judgement, from drawn pictures).
const ROUND: (f64, f64) = (0.6, 1.4);
const ROUND_MEAN: (f64, f64) = (0.75, 1.3);
/// The fewest corners that have to be round; one may be hidden.
const LEAST_ROUND: usize = 3;
/// The least change of shade at a corner, as a share of that at the sides.
const LEAST_CORNER_SHARE: f64 = 0.4;
/// Fewer pixels for each millimetre do not show how round a corner is (judgement): the long side of a card has 300.
const LEAST_PX_PER_MM: f64 = 3.5;
/// The most that edges may be off their lines, in pixels.
const MOST_MISFIT_PX: f64 = 0.75;
/// The mean share of the four sides that has to be edge.
const LEAST_SHARE: f64 = 0.7;
/// Two figures whose corners are all nearer than this share of the diagonal are the same.
const SAME: f64 = 0.012;

/// Looks for the one card of 85.60 × 53.98 mm in a picture.
///
/// # Errors
/// That there is none that is certain enough, or more than one.
pub fn find_card(picture: &GreyPlane) -> Result<FoundCard, CardSearchFault> {
    let small = picture.within(JUDGED_SIDE);
    let size = (small.width() as f64, small.height() as f64);
    let scale = picture.width() as f64 / size.0;
    // A fifth shorter, because a side that runs away from the camera is foreshortened.
    let least_side = 0.8 * LEAST_PX_PER_MM * CARD_MM.1 / scale;
    let shapes = card_shapes(&edge_lines(&edge_strokes(&small)), size, least_side);
    let mut found: Vec<FoundCard> = Vec::new();
    for shape in shapes {
        let corners = shape.corners.map(|corner| PixelPoint::new(corner.x * scale, corner.y * scale));
        if found.iter().any(|card| card.is_at(&corners)) {
            continue;
        }
        let card = confirmed(picture, corners, scale);
        found.extend(card.filter(|card| !found.iter().any(|other| other.is_at(&card.corners))));
    }
    match found.as_slice() {
        [] => Err(CardSearchFault::NotFound),
        [card] => Ok(*card),
        _ => Err(CardSearchFault::Several),
    }
}

impl FoundCard {
    /// Whether its corners are near these, whichever is named first.
    fn is_at(&self, corners: &[PixelPoint; 4]) -> bool {
        let [a, _, c, _] = self.corners;
        let near = SAME * a.distance(c);
        let has = |corner: &PixelPoint| corners.iter().any(|own| own.distance(*corner) <= near);
        self.corners.iter().all(has)
    }
}

/// A figure whose sides are straight edges, that a camera could see of a card, and whose corners are round.
fn confirmed(picture: &GreyPlane, corners: [PixelPoint; 4], scale: f64) -> Option<FoundCard> {
    let (corners, _) = fitted(picture, &corners, 4.0 * scale)?;
    let (corners, sides) = fitted(picture, &corners, 4.0)?;
    let misfit_px = (sides.iter().map(|side| side.misfit_px.powi(2)).sum::<f64>() / 4.0).sqrt();
    let share = sides.iter().map(|side| side.share).sum::<f64>() / 4.0;
    if misfit_px > MOST_MISFIT_PX || share < LEAST_SHARE {
        return None;
    }
    // One side may run along something by chance; of a tile in a floor every side goes on.
    if sides.iter().filter(|side| side.goes_on(picture)).count() > 1 {
        return None;
    }
    let slope = LEAST_CORNER_SHARE * sides.iter().map(|side| side.slope).sum::<f64>() / 4.0;
    let size = (u32::try_from(picture.width()).ok()?, u32::try_from(picture.height()).ok()?);
    let card = CardScale::of(&corners, size, TapError::FOUND).ok()?;
    has_round_corners(picture, card.corners(), slope).then_some(FoundCard {
        corners: *card.corners(),
        misfit_px,
        tilt_deg: card.tilt_deg,
    })
}

/// The corners where lines meet that were fitted to the four sides.
fn fitted(
    picture: &GreyPlane,
    &[a, b, c, d]: &[PixelPoint; 4],
    reach: f64,
) -> Option<([PixelPoint; 4], [FittedSide; 4])> {
    let side = |from: PixelPoint, to: PixelPoint| fitted_side(picture, PixelLine::new(from, to), reach);
    let sides = [side(a, b)?, side(b, c)?, side(c, d)?, side(d, a)?];
    let [ab, bc, cd, da] = sides.map(|side| side.line);
    Some(([meet(da, ab)?, meet(ab, bc)?, meet(bc, cd)?, meet(cd, da)?], sides))
}

fn meet(one: PixelLine, other: PixelLine) -> Option<PixelPoint> {
    let (ux, uy) = (one.to.x - one.from.x, one.to.y - one.from.y);
    let (vx, vy) = (other.to.x - other.from.x, other.to.y - other.from.y);
    let along = ((other.from.x - one.from.x) * vy - (other.from.y - one.from.y) * vx) / (ux * vy - uy * vx);
    let point = PixelPoint::new(one.from.x + along * ux, one.from.y + along * uy);
    point.is_finite().then_some(point)
}

/// Whether the corners are as round as those of a card. The corners go clockwise, the long side first.
fn has_round_corners(picture: &GreyPlane, corners: &[PixelPoint; 4], least_slope: f64) -> bool {
    let Some(map) = Homography::of(&CARD, corners) else { return false };
    let of_card = CARD_RADIUS_MM * ROUNDING;
    let share = |corner: &PixelPoint| Some(edge_of_corner(picture, &map, *corner, least_slope)? / of_card);
    let within = |(least, most): (f64, f64), value: f64| (least..=most).contains(&value);
    let round: Vec<f64> = CARD.iter().filter_map(share).filter(|share| within(ROUND, *share)).collect();
    round.len() >= LEAST_ROUND && within(ROUND_MEAN, round.iter().sum::<f64>() / round.len() as f64)
}

/// Where the edge crosses the diagonal of a corner, in millimetres from where the sides meet; `None` where it cannot be
/// told.
fn edge_of_corner(
    picture: &GreyPlane,
    map: &Homography,
    corner: PixelPoint,
    least_slope: f64,
) -> Option<f64> {
    let (inward_x, inward_y) =
        (-corner.x.signum() / std::f64::consts::SQRT_2, -corner.y.signum() / std::f64::consts::SQRT_2);
    let on_card = |mm: f64| PixelPoint::new(corner.x + inward_x * mm, corner.y + inward_y * mm);
    let (tip, inside) = (map.apply(corner)?, map.apply(on_card(4.0))?);
    let px_per_mm = tip.distance(inside) / 4.0;
    if px_per_mm < LEAST_PX_PER_MM {
        return None;
    }
    // In pixels along the diagonal, which over so few millimetres is straight enough.
    let at = |px: f64| {
        let share = px / tip.distance(inside);
        PixelPoint::new(tip.x + (inside.x - tip.x) * share, tip.y + (inside.y - tip.y) * share)
    };
    let (off, slope) = steepest(|px| shade_at(picture, at(px)), (-1.5 * px_per_mm, 5.0 * px_per_mm))?;
    (slope >= least_slope).then_some(off / px_per_mm)
}
