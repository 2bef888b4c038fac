//! Whether a picture looks like the other foot: a question for the person who saves it, never a decision.
//!
//! A picture that was saved for the wrong side, or that a camera mirrored, looks like the mirror image of the pictures
//! of its side in the same view. Each picture is reduced to the edges of a grid of cells, by direction (histograms of
//! oriented gradients: Dalal and Triggs 2005, from memory), and laid over each earlier picture as it is and mirrored, at
//! several turns, sizes and places; the best likeness of each way counts. The question is asked where the mirror image
//! is clearly more like the earlier pictures. Two feet that are mirror images of themselves in a view cannot be told
//! apart by this. The threshold was set on rendered feet; `docs/photographs.md` has false alarms and hits on others.

use crate::GreyPlane;

/// A doubt whether a picture shows the side that it is saved for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MirrorDoubt {
    /// By how much the mirror image is more like the earlier pictures, as a difference of correlations.
    pub margin: f64,
    /// How many earlier pictures it was compared with.
    pub compared: usize,
}

impl MirrorDoubt {
    /// The question for the person who saves the picture.
    #[must_use]
    pub fn question(self) -> &'static str {
        "This picture looks more like the other foot, or like a mirrored picture, than the earlier ones of this view do. Which foot does it show?"
    }
}

/// The difference from which the question is asked.
const LEAST_MARGIN: f64 = 0.06;
/// At most so many earlier pictures of each side are compared, the first of the list.
const MOST_COMPARED: usize = 4;

/// Asks when the mirror image of a picture is clearly more like the earlier pictures of the same view. `same_side` are
/// those of the side for which the picture is to be saved, `other_side` those of the other foot, the newest first;
/// thumbnails are enough. `None` when there is nothing to ask, or no earlier picture to compare with.
#[must_use]
pub fn looks_like_other_side(
    picture: &GreyPlane,
    same_side: &[GreyPlane],
    other_side: &[GreyPlane],
) -> Option<MirrorDoubt> {
    let (compared, margin) = mirror_margin(picture, same_side, other_side)?;
    (margin >= LEAST_MARGIN).then_some(MirrorDoubt { margin, compared })
}

/// How many pictures were compared, and how much more the mirror image is like them.
fn mirror_margin(picture: &GreyPlane, same: &[GreyPlane], other: &[GreyPlane]) -> Option<(usize, f64)> {
    let (plain, mirrored) = (Variants::of(picture), Variants::of(&picture.mirrored()));
    let more = |earlier: &GreyPlane| {
        let edges = EdgeGrid::of(earlier, 0.0, 1.0);
        mirrored.likeness(&edges) - plain.likeness(&edges)
    };
    let margins: Vec<f64> = same
        .iter()
        .take(MOST_COMPARED)
        .map(more)
        .chain(other.iter().take(MOST_COMPARED).map(|earlier| -more(earlier)))
        .collect();
    let compared = margins.len();
    (compared > 0).then(|| (compared, margins.iter().sum::<f64>() / compared as f64))
}

/// The grid of a picture at several turns and sizes.
struct Variants(Vec<EdgeGrid>);

impl Variants {
    fn of(picture: &GreyPlane) -> Self {
        let turns = [-24.0, -12.0, 0.0, 12.0, 24.0];
        let sizes = [0.85, 1.0, 1.18];
        let each = turns.into_iter().flat_map(|turn| sizes.map(|size| EdgeGrid::of(picture, turn, size)));
        Self(each.collect())
    }

    fn likeness(&self, other: &EdgeGrid) -> f64 {
        self.0.iter().map(|grid| grid.likeness(other)).fold(-1.0, f64::max)
    }
}

/// Cells on a side of the grid, pixels on a side of a cell, directions of edges.
const CELLS: usize = 16;
const CELL: usize = 4;
const DIRECTIONS: usize = 8;
/// How many cells a picture may be moved.
const MOVES: i64 = 3;

type Cell = [f32; DIRECTIONS];

/// How much edge there is in each direction in each cell.
struct EdgeGrid(Vec<Cell>);

impl EdgeGrid {
    /// Of a picture turned by degrees about its middle and made larger.
    fn of(picture: &GreyPlane, turn_deg: f64, size: f64) -> Self {
        let patch = Patch::of(picture, turn_deg, size);
        let mut cells = vec![[0.0_f32; DIRECTIONS]; CELLS * CELLS];
        for y in 0..CELLS * CELL {
            for x in 0..CELLS * CELL {
                let (across, down) = patch.slope(x, y);
                let strength = across.hypot(down);
                let at = down.atan2(across).rem_euclid(std::f64::consts::PI) / std::f64::consts::PI
                    * DIRECTIONS as f64;
                let (first, share) = (at.floor(), at - at.floor());
                let Some(cell) = cells.get_mut(y / CELL * CELLS + x / CELL) else { continue };
                for (direction, part) in [(first as usize, 1.0 - share), (first as usize + 1, share)] {
                    if let Some(sum) = cell.get_mut(direction % DIRECTIONS) {
                        *sum += (strength * part) as f32;
                    }
                }
            }
        }
        // A strong edge counts more than a weak one, but not in proportion.
        cells.iter_mut().flatten().for_each(|sum| *sum = sum.sqrt());
        Self(cells)
    }

    /// The best correlation with another grid, over the places to which this one can be moved.
    fn likeness(&self, other: &Self) -> f64 {
        let moves = (-MOVES..=MOVES).flat_map(|dx| (-MOVES..=MOVES).map(move |dy| (dx, dy)));
        moves.map(|(dx, dy)| self.correlation(other, dx, dy)).fold(-1.0, f64::max)
    }

    /// The correlation of the cells that lie on each other.
    fn correlation(&self, other: &Self, dx: i64, dy: i64) -> f64 {
        let range = |shift: i64| {
            let shift = shift.unsigned_abs() as usize;
            CELLS - shift
        };
        let begin = |shift: i64| usize::try_from(shift).unwrap_or(0);
        let (width, mut sums) = (range(dx), CorrelationSums::default());
        for row in 0..range(dy) {
            let mine = (row + begin(-dy)) * CELLS + begin(-dx);
            let theirs = (row + begin(dy)) * CELLS + begin(dx);
            let (Some(mine), Some(theirs)) =
                (self.0.get(mine..mine + width), other.0.get(theirs..theirs + width))
            else {
                continue;
            };
            sums.add(mine.as_flattened(), theirs.as_flattened());
        }
        sums.correlation()
    }
}

#[derive(Default)]
struct CorrelationSums {
    count: f64,
    x: f32,
    y: f32,
    xx: f32,
    yy: f32,
    xy: f32,
}

impl CorrelationSums {
    fn add(&mut self, mine: &[f32], theirs: &[f32]) {
        self.count += mine.len() as f64;
        for (x, y) in mine.iter().zip(theirs) {
            self.x += x;
            self.y += y;
            self.xx += x * x;
            self.yy += y * y;
            self.xy += x * y;
        }
    }

    fn correlation(&self) -> f64 {
        let about = |product: f32, one: f32, other: f32| {
            f64::from(product) - f64::from(one) * f64::from(other) / self.count
        };
        let spread = (about(self.xx, self.x, self.x) * about(self.yy, self.y, self.y)).sqrt();
        if spread > 0.0 { about(self.xy, self.x, self.y) / spread } else { 0.0 }
    }
}

/// A square of shades from the middle of a picture, with a margin of one pixel for slopes.
struct Patch {
    shades: Vec<f64>,
}

const PATCH: usize = CELLS * CELL + 2;

impl Patch {
    fn of(picture: &GreyPlane, turn_deg: f64, size: f64) -> Self {
        let picture = picture.within(2 * CELLS * CELL);
        let (width, height) = (picture.width() as f64, picture.height() as f64);
        let step = width.max(height) / (CELLS * CELL) as f64 / size;
        let (sine, cosine) = turn_deg.to_radians().sin_cos();
        let middle = (PATCH as f64 - 1.0) / 2.0;
        let mut shades = Vec::with_capacity(PATCH * PATCH);
        for y in 0..PATCH {
            for x in 0..PATCH {
                let (across, down) = ((x as f64 - middle) * step, (y as f64 - middle) * step);
                let (at_x, at_y) = (cosine * across - sine * down, sine * across + cosine * down);
                shades.push(picture.between(width / 2.0 + at_x, height / 2.0 + at_y));
            }
        }
        Self { shades }
    }

    fn slope(&self, x: usize, y: usize) -> (f64, f64) {
        let at = |x: usize, y: usize| self.shades.get(y * PATCH + x).copied().unwrap_or(0.0);
        (at(x + 2, y + 1) - at(x, y + 1), at(x + 1, y + 2) - at(x + 1, y))
    }
}
