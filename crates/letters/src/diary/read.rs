//! Reads a picture of a diary. What cannot be told is asked, never guessed.
//!
//! The code says whose the diary is, and where about the sheet lies; the marks in the corners say exactly. Each row is
//! then shifted by up to a millimetre or so to where the lines of its boxes are, because paper is seldom flat. A box is
//! judged by the share of ink within its lines, against the white of the paper around it and the black of the marks, so
//! that shadows do not matter.

use super::{
    code::DiaryCode,
    geometry::{self, CODE, HOURS, MARK, Place},
    picture::GreyPicture,
    plane::{PlaneMap, Point},
};
use record::Day;

/// The fewest pixels for a millimetre with which boxes can be judged.
const FEWEST_PIXELS_PER_MM: f64 = 3.5;
/// A box with less ink is empty, with more than `TICKED` ticked; between, it is asked (judgement, no source; the tests of this room try them on drawn pictures).
const EMPTY: f64 = 0.05;
/// See [`EMPTY`].
const TICKED: f64 = 0.11;
/// A box with more ink may be crossed out rather than ticked.
const FULL: f64 = 0.62;
/// The share of ink on the lines of the boxes with which a row counts as seen.
const SEEN: f64 = 0.3;
/// How far a row may be from where the marks say, in millimetres.
const SHIFT: f64 = 1.4;
/// How far a mark may be from where the code says, in millimetres.
const MARK_SEARCH: f64 = 24.0;

/// Why a picture cannot be read at all.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum DiaryUnread {
    /// No code.
    #[error(
        "No code of a wear diary was found on the picture. Take it again from above, in good light, with the whole sheet on it."
    )]
    NoCode,
    /// A code of something else.
    #[error("The code on the picture is not that of a wear diary of this program.")]
    OtherCode,
    /// More than one diary.
    #[error("There is more than one diary on the picture. Take one picture of each.")]
    SeveralCodes,
    /// A corner is missing.
    #[error(
        "The black square in a corner of the diary was not found. Take the picture again with the whole sheet on it, flat, and nothing lying over it."
    )]
    NoMarks,
    /// It is too small.
    #[error(
        "The diary is too small on the picture to be read. Take it again from nearer, so that the sheet fills the picture."
    )]
    TooSmall,
}

/// What stands in the row of a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RowReading {
    /// Exactly one box is ticked.
    Hours(u8),
    /// No box is ticked.
    Nothing,
    /// More than one box is ticked.
    Several,
    /// A box may be ticked or crossed out.
    CrossedOut,
    /// A mark is too faint to be told.
    Faint,
    /// The row cannot be seen.
    NotSeen,
}

impl RowReading {
    /// Why somebody has to look at the paper; `None` where the hours were read.
    #[must_use]
    pub const fn question(self) -> Option<&'static str> {
        Some(match self {
            Self::Hours(_) => return None,
            Self::Nothing => "No box is ticked. Leave it empty if nobody knows.",
            Self::Several => "More than one box is ticked. Look at the paper.",
            Self::CrossedOut => "A box is filled or crossed out. Look at the paper.",
            Self::Faint => "A mark is too faint to be told. Look at the paper.",
            Self::NotSeen => "This row cannot be seen well on the picture. Look at the paper.",
        })
    }
}

/// A day of the diary.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DiaryRow {
    /// The day.
    pub day: Day,
    /// What stands there.
    pub reading: RowReading,
}

/// A diary as it was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DiaryReading {
    /// Whose it is, and which days.
    pub code: DiaryCode,
    /// Every day in order.
    pub rows: Vec<DiaryRow>,
}

/// Reads a picture.
///
/// # Errors
/// When there is no diary on it, more than one, or too little of it.
pub fn read_diary(picture: &GreyPicture) -> Result<DiaryReading, DiaryUnread> {
    let (code, corners) = code_on(picture)?;
    let sheet = Sheet::found(picture, code, corners)?;
    let row = |(n, day): (u8, Day)| DiaryRow { day, reading: sheet.row(n) };
    Ok(DiaryReading { code, rows: (0..).zip(code.days()).map(row).collect() })
}

/// The one code of a diary on a picture, with its corners clockwise from the upper left.
fn code_on(picture: &GreyPicture) -> Result<(DiaryCode, [Point; 4]), DiaryUnread> {
    let (width, height) = (picture.width(), picture.height());
    let mut prepared = rqrr::PreparedImage::prepare_from_greyscale(width, height, |x, y| picture.shade(x, y));
    let (mut found, mut other) = (Vec::new(), false);
    for grid in prepared.detect_grids() {
        let Ok((_, text)) = grid.decode() else { continue };
        match DiaryCode::from_text(&text) {
            Ok(code) => found.push((code, grid.bounds.map(|at| (f64::from(at.x), f64::from(at.y))))),
            Err(_) => other = true,
        }
    }
    match found.as_slice() {
        [one] => Ok(*one),
        [] if other => Err(DiaryUnread::OtherCode),
        [] => Err(DiaryUnread::NoCode),
        _ => Err(DiaryUnread::SeveralCodes),
    }
}

/// A sheet on a picture.
struct Sheet<'a> {
    picture: &'a GreyPicture,
    map: PlaneMap,
    /// The shade of black as a share of that of white.
    black: f64,
}

impl<'a> Sheet<'a> {
    /// Finds the marks, the nearest to the code first, each by those before it.
    fn found(picture: &'a GreyPicture, code: DiaryCode, corners: [Point; 4]) -> Result<Self, DiaryUnread> {
        let mut pairs: Vec<(Point, Point)> = CODE.corners().into_iter().zip(corners).collect();
        let [upper_left, upper_right, lower_right, lower_left] = geometry::marks(code.weeks);
        let mut marks = Vec::new();
        let mut shades = Vec::new();
        for mark in [upper_right, upper_left, lower_right, lower_left] {
            let spread = marks.len() == 3;
            let map = if spread { PlaneMap::fitting(&pairs) } else { PlaneMap::without_perspective(&pairs) };
            let map = map.ok_or(DiaryUnread::NoMarks)?;
            let (at, shade) = mark_near(picture, &map, mark).ok_or(DiaryUnread::NoMarks)?;
            pairs.push((mark.middle(), at));
            marks.push((mark.middle(), at));
            shades.push(shade);
        }
        // The corners of the code are known to a pixel only; the marks lie further apart and are known better.
        let map = PlaneMap::fitting(&marks).ok_or(DiaryUnread::NoMarks)?;
        let middle = (geometry::WIDTH / 2.0, geometry::height(code.weeks) / 2.0);
        if map.pixels_per_mm(middle) < FEWEST_PIXELS_PER_MM {
            return Err(DiaryUnread::TooSmall);
        }
        let black = shades.iter().sum::<f64>() / shades.len() as f64;
        Ok(Self { picture, map, black })
    }

    fn shade(&self, (x, y): Point) -> Option<f64> {
        self.picture.at(self.map.at((x, y)))
    }

    /// The share of ink at a place, against the white around it.
    fn ink(&self, at: Point, white: f64) -> Option<f64> {
        let shade = self.shade(at)? / white;
        Some(((1.0 - shade) / (1.0 - self.black)).clamp(0.0, 1.0))
    }

    /// What stands in a row.
    fn row(&self, row: u8) -> RowReading {
        let Some((shift, seen)) = self.shift_of(row) else { return RowReading::NotSeen };
        if seen < SEEN {
            return RowReading::NotSeen;
        }
        let top = geometry::row(row);
        let boxes = (0..HOURS).map(|hours| self.box_ink(moved(geometry::hour_box(top, hours), shift)));
        let Some(inks) = boxes.collect::<Option<Vec<f64>>>() else { return RowReading::NotSeen };
        judged(&inks)
    }

    /// Where the boxes of a row are really: the shift with the most ink on their lines, and that ink.
    fn shift_of(&self, row: u8) -> Option<(Point, f64)> {
        let top = geometry::row(row);
        let boxes: Vec<Place> = (0..HOURS).map(|hours| geometry::hour_box(top, hours)).collect();
        let whites: Option<Vec<f64>> = boxes.iter().map(|place| self.white_around(*place)).collect();
        let whites = whites?;
        let steps = |by: f64, most: f64| {
            let count = (most / by).round() as i32;
            (-count..=count).map(move |n| f64::from(n) * by)
        };
        let seen = |shift: Point| {
            let inks =
                boxes.iter().zip(&whites).map(|(place, white)| self.line_ink(moved(*place, shift), *white));
            let inks: Option<Vec<f64>> = inks.collect();
            inks.map(|inks| inks.iter().sum::<f64>() / inks.len() as f64)
        };
        let best = |around: Point, by: f64, most: f64| {
            let shifts =
                steps(by, most).flat_map(|x| steps(by, most).map(move |y| (around.0 + x, around.1 + y)));
            let tried = shifts.filter_map(|shift| Some((shift, seen(shift)?)));
            tried.max_by(|a, b| a.1.total_cmp(&b.1))
        };
        let (coarse, _) = best((0.0, 0.0), 0.2, SHIFT)?;
        best(coarse, 0.05, 0.15)
    }

    /// The mean ink on the lines of a box.
    fn line_ink(&self, place: Place, white: f64) -> Option<f64> {
        let inks: Option<Vec<f64>> = on_lines(place).map(|at| self.ink(at, white)).collect();
        inks.map(|inks| inks.iter().sum::<f64>() / inks.len() as f64)
    }

    /// The white of the paper around a box: the median between it and its neighbours.
    fn white_around(&self, place: Place) -> Option<f64> {
        let out = 0.5;
        let ring = Place { x: place.x - out, y: place.y - out, side: place.side + 2.0 * out };
        let shades: Option<Vec<f64>> = on_lines(ring).map(|at| self.shade(at)).collect();
        let mut shades = shades?;
        shades.sort_by(f64::total_cmp);
        // Lines and strokes darken some of it and nothing makes it brighter than paper.
        shades.get(shades.len() * 3 / 4).copied().filter(|white| *white > 20.0)
    }

    /// The share of ink within the lines of a box.
    fn box_ink(&self, place: Place) -> Option<f64> {
        const ACROSS: u8 = 14;
        let white = self.white_around(place)?;
        let rim = 0.65;
        let step = (place.side - 2.0 * rim) / f64::from(ACROSS - 1);
        let at = |n: u8| {
            (place.x + rim + f64::from(n % ACROSS) * step, place.y + rim + f64::from(n / ACROSS) * step)
        };
        let inks: Option<Vec<f64>> = (0..ACROSS * ACROSS).map(|n| self.ink(at(n), white)).collect();
        // Light shades are paper and its grain; a pencil is darker.
        inks.map(|inks| {
            inks.iter().map(|ink| if *ink < 0.18 { 0.0 } else { *ink }).sum::<f64>() / inks.len() as f64
        })
    }
}

fn moved(place: Place, (x, y): Point) -> Place {
    Place { x: place.x + x, y: place.y + y, ..place }
}

/// Points along the four lines of a place.
fn on_lines(place: Place) -> impl Iterator<Item = Point> {
    let parts = [0.1, 0.3, 0.5, 0.7, 0.9];
    parts.into_iter().flat_map(move |part| {
        let along = part * place.side;
        [
            (place.x + along, place.y),
            (place.x + along, place.y + place.side),
            (place.x, place.y + along),
            (place.x + place.side, place.y + along),
        ]
    })
}

/// What the ink in the boxes of a row says.
fn judged(inks: &[f64]) -> RowReading {
    if inks.iter().any(|ink| *ink > FULL) {
        return RowReading::CrossedOut;
    }
    if inks.iter().any(|ink| (EMPTY..=TICKED).contains(ink)) {
        return RowReading::Faint;
    }
    let mut ticked = (0..).zip(inks).filter(|(_, ink)| **ink > TICKED).map(|(hours, _)| hours);
    match (ticked.next(), ticked.next()) {
        (None, _) => RowReading::Nothing,
        (Some(hours), None) => RowReading::Hours(hours),
        (Some(_), Some(_)) => RowReading::Several,
    }
}

/// The middle of the black square near where a mark should be, in pixels, and its shade as a share of the white around.
fn mark_near(picture: &GreyPicture, map: &PlaneMap, mark: Place) -> Option<(Point, f64)> {
    const PER_MM: f64 = 4.0;
    let (middle_x, middle_y) = mark.middle();
    let across = (2.0 * MARK_SEARCH * PER_MM) as usize;
    let place = |x: f64, y: f64| {
        let mm = |n: f64| (n + 0.5) / PER_MM - MARK_SEARCH;
        (middle_x + mm(x), middle_y + mm(y))
    };
    let patch: Vec<Option<f64>> = (0..across * across)
        .map(|n| picture.at(map.at(place((n % across) as f64, (n / across) as f64))))
        .collect();
    let mut shades: Vec<f64> = patch.iter().flatten().copied().collect();
    shades.sort_by(f64::total_cmp);
    let share = |of: f64| shades.get((shades.len() as f64 * of) as usize).copied();
    let (dark, light) = (share(0.005)?, share(0.8)?);
    if light - dark < 25.0 {
        return None;
    }
    let limit = (dark + light) / 2.0;
    let is_dark: Vec<bool> = patch.iter().map(|shade| shade.is_some_and(|shade| shade < limit)).collect();
    let spot =
        spots(&is_dark, across).into_iter().filter(|spot| spot.is_square(MARK * PER_MM)).min_by(|a, b| {
            let far = |spot: &Spot| spot.far_from((across as f64) / 2.0);
            far(a).total_cmp(&far(b))
        })?;
    let (x, y) = spot.middle();
    let inside: Vec<f64> = spot.pixels.iter().filter_map(|n| patch.get(*n).copied().flatten()).collect();
    let shade = inside.iter().sum::<f64>() / inside.len().max(1) as f64;
    Some((map.at(place(x, y)), (shade / light).min(0.9)))
}

/// Dark pixels that touch each other.
struct Spot {
    pixels: Vec<usize>,
    across: usize,
}

impl Spot {
    fn middle(&self) -> Point {
        let count = self.pixels.len().max(1) as f64;
        let sum = self
            .pixels
            .iter()
            .fold((0.0, 0.0), |(x, y), n| (x + (n % self.across) as f64, y + (n / self.across) as f64));
        (sum.0 / count, sum.1 / count)
    }

    fn far_from(&self, middle: f64) -> f64 {
        let (x, y) = self.middle();
        (x - middle).hypot(y - middle)
    }

    /// Whether it is a square of about this side: as wide as high, and filled. The map may be off by a quarter here.
    fn is_square(&self, side: f64) -> bool {
        let columns = self.pixels.iter().map(|n| n % self.across);
        let rows = self.pixels.iter().map(|n| n / self.across);
        let span = |low: Option<usize>, high: Option<usize>| {
            low.zip(high).map_or(0.0, |(low, high)| (high - low + 1) as f64)
        };
        let width = span(columns.clone().min(), columns.max());
        let height = span(rows.clone().min(), rows.max());
        let near = |length: f64| (0.6 * side..1.6 * side).contains(&length);
        let filled = self.pixels.len() as f64 / (width * height).max(1.0);
        near(width) && near(height) && (0.7..1.43).contains(&(width / height.max(1.0))) && filled > 0.72
    }
}

/// The spots of a square patch.
fn spots(is_dark: &[bool], across: usize) -> Vec<Spot> {
    let mut met = vec![false; is_dark.len()];
    let mut found = Vec::new();
    for start in 0..is_dark.len() {
        let (mut open, mut pixels) = (vec![start], Vec::new());
        while let Some(at) = open.pop() {
            let is_new = is_dark.get(at).copied().unwrap_or(false) && !met.get(at).copied().unwrap_or(true);
            if !is_new {
                continue;
            }
            if let Some(seen) = met.get_mut(at) {
                *seen = true;
            }
            pixels.push(at);
            let column = at % across;
            open.extend((column > 0).then(|| at - 1));
            open.extend((column + 1 < across).then_some(at + 1));
            open.extend(at.checked_sub(across));
            open.push(at + across);
        }
        if !pixels.is_empty() {
            found.push(Spot { pixels, across });
        }
    }
    found
}
