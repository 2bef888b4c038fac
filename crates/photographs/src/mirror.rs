//! Whether a picture looks like the other foot: a question for the person who saves it, never a decision.
//!
//! A picture that was saved for the wrong side, or that a camera mirrored, looks like the mirror image of the pictures
//! of its side in the same view. Each picture is reduced to the edges of a grid of cells, by direction (histograms of
//! oriented gradients: Dalal and Triggs 2005, from memory), and laid over each earlier picture as it is and mirrored, at
//! several turns, sizes and places; the best likeness of each way counts. The question is asked where the mirror image
//! is clearly more like the earlier pictures. Two feet that are mirror images of themselves in a view cannot be told
//! apart by this. The threshold was set on rendered feet; `docs/photographs.md` has false alarms and hits on others.

use crate::GreyPlane;
use record::PhotographView;
use std::sync::LazyLock;

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

/// The difference from which the question is asked, where one earlier picture was compared, and where many were: chance
/// moves the mean of many less.
const LEAST_MARGIN: (f64, f64) = (0.09, 0.0);
/// At most so many earlier pictures of each side are compared, the first of the list.
const MOST_COMPARED: usize = 4;

/// Whether the two feet of a child look different enough in a view for this question. From behind a foot is nearly its
/// own mirror image, and of rendered feet one right picture in eight was asked about; in views of both feet there is no
/// other foot.
#[must_use]
pub const fn view_tells_feet_apart(view: PhotographView) -> bool {
    match view {
        PhotographView::Front
        | PhotographView::Sole
        | PhotographView::OuterSide
        | PhotographView::BroughtUp
        | PhotographView::ThighAndFoot => true,
        PhotographView::Behind
        | PhotographView::BothFeet
        | PhotographView::StandingFront
        | PhotographView::StandingBehind
        | PhotographView::Squatting => false,
    }
}

/// Asks when the mirror image of a picture is clearly more like the earlier pictures of the same view. `same_side` are
/// those of the side for which the picture is to be saved, `other_side` those of the other foot, the newest first;
/// thumbnails are enough. Ask only
/// in views of which [`view_tells_feet_apart`] holds. `None` when there is nothing to ask, or no earlier picture to
/// compare with.
#[must_use]
pub fn looks_like_other_side(
    picture: &GreyPlane,
    same_side: &[GreyPlane],
    other_side: &[GreyPlane],
) -> Option<MirrorDoubt> {
    let found = mirror_margin(picture, same_side, other_side)?;
    let (one, many) = LEAST_MARGIN;
    let least = many + (one - many) / found.compared as f64;
    (found.margin >= least).then_some(found)
}

/// How much more the mirror image of a picture is like the earlier ones, whether that is worth a question or not;
/// `None` without an earlier picture. The pictures are those of [`looks_like_other_side`].
#[must_use]
pub fn mirror_margin(
    picture: &GreyPlane,
    same_side: &[GreyPlane],
    other_side: &[GreyPlane],
) -> Option<MirrorDoubt> {
    let (plain, mirrored) = (Variants::of(picture), Variants::of(&picture.mirrored()));
    let more = |earlier: &GreyPlane| {
        let edges = EdgeGrid::of(earlier, 0.0, 1.0);
        mirrored.likeness(&edges) - plain.likeness(&edges)
    };
    let same = same_side.iter().take(MOST_COMPARED).map(more);
    let other = other_side.iter().take(MOST_COMPARED).map(|earlier| -more(earlier));
    let margins: Vec<f64> = same.chain(other).collect();
    let compared = margins.len();
    let margin = margins.iter().sum::<f64>() / compared as f64;
    (compared > 0).then_some(MirrorDoubt { margin, compared })
}

/// The grid of a picture at several turns and sizes.
struct Variants(Vec<EdgeGrid>);

impl Variants {
    fn of(picture: &GreyPlane) -> Self {
        let turns = [-20.0, -10.0, 0.0, 10.0, 20.0];
        let sizes = [0.88, 1.0, 1.14];
        let each = turns.into_iter().flat_map(|turn| sizes.map(|size| EdgeGrid::of(picture, turn, size)));
        Self(each.collect())
    }

    fn likeness(&self, other: &EdgeGrid) -> f64 {
        self.0.iter().map(|grid| grid.likeness(other)).fold(-1.0, f64::max)
    }
}

/// Cells on a side of the grid, pixels on a side of a cell, directions of edges.
const CELLS: usize = 20;
const CELL: usize = 4;
const DIRECTIONS: usize = 8;
/// How many cells a picture may be moved.
const MOVES: i64 = 3;
/// The foot is expected in the middle: the weight of a cell falls off with its distance, as a normal curve of this
/// standard deviation, in cells.
const REACH: f64 = 6.5;

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
                let turn = down.atan2(across).rem_euclid(std::f64::consts::PI) / std::f64::consts::PI;
                let at = turn * DIRECTIONS as f64;
                let (first, share) = (at.floor(), at - at.floor());
                let Some(cell) = cells.get_mut(y / CELL * CELLS + x / CELL) else { continue };
                for (direction, part) in [(first as usize, 1.0 - share), (first as usize + 1, share)] {
                    if let Some(sum) = cell.get_mut(direction % DIRECTIONS) {
                        *sum += (across.hypot(down) * part) as f32;
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

    /// The weighted correlation of the cells that lie on each other.
    fn correlation(&self, other: &Self, dx: i64, dy: i64) -> f64 {
        let overlap = |shift: i64| CELLS - shift.unsigned_abs() as usize;
        let begin = |shift: i64| usize::try_from(shift).unwrap_or(0);
        let (width, mut sums) = (overlap(dx), CorrelationSums::default());
        for row in 0..overlap(dy) {
            let mine_at = (row + begin(-dy)) * CELLS + begin(-dx);
            let theirs_at = (row + begin(dy)) * CELLS + begin(dx);
            let rows = (self.0.get(mine_at..mine_at + width), other.0.get(theirs_at..theirs_at + width));
            let (Some(mine), Some(theirs)) = rows else { continue };
            let weights = WEIGHTS.iter().skip(theirs_at);
            mine.iter().zip(theirs).zip(weights).for_each(|((x, y), weight)| sums.add(x, y, *weight));
        }
        sums.correlation()
    }
}

/// The weight of each cell.
static WEIGHTS: LazyLock<Vec<f32>> = LazyLock::new(|| {
    let off = |at: usize| at as f64 - (CELLS as f64 - 1.0) / 2.0;
    let weight = |at: usize| {
        let (across, down) = (off(at % CELLS), off(at / CELLS));
        (-(across * across + down * down) / (2.0 * REACH * REACH)).exp() as f32
    };
    (0..CELLS * CELLS).map(weight).collect()
});

/// Sums over cells, for each direction by itself, so that the processor adds eight at a time.
#[derive(Default)]
struct CorrelationSums {
    weight: f32,
    x: Cell,
    y: Cell,
    xx: Cell,
    yy: Cell,
    xy: Cell,
}

impl CorrelationSums {
    fn add(&mut self, mine: &Cell, theirs: &Cell, weight: f32) {
        self.weight += weight;
        let sums = self.x.iter_mut().zip(&mut self.y).zip(&mut self.xx).zip(&mut self.yy).zip(&mut self.xy);
        for (((((sx, sy), sxx), syy), sxy), (x, y)) in sums.zip(mine.iter().zip(theirs)) {
            let (wx, wy) = (weight * x, weight * y);
            *sx += wx;
            *sy += wy;
            *sxx += wx * x;
            *syy += wy * y;
            *sxy += wx * y;
        }
    }

    fn correlation(&self) -> f64 {
        let total = |sums: &Cell| sums.iter().map(|sum| f64::from(*sum)).sum::<f64>();
        let count = f64::from(self.weight) * DIRECTIONS as f64;
        let (x, y) = (total(&self.x), total(&self.y));
        let spread = ((total(&self.xx) - x * x / count) * (total(&self.yy) - y * y / count)).max(0.0).sqrt();
        if spread > 0.0 { (total(&self.xy) - x * y / count) / spread } else { 0.0 }
    }
}

/// A square of shades from the middle of a picture, as large as its shorter side, with a margin of one pixel for slopes.
struct Patch {
    shades: Vec<f64>,
}

const PATCH: usize = CELLS * CELL + 2;

impl Patch {
    fn of(picture: &GreyPlane, turn_deg: f64, size: f64) -> Self {
        let picture = picture.within(2 * CELLS * CELL);
        let (width, height) = (picture.width() as f64, picture.height() as f64);
        let step = width.min(height) / (CELLS * CELL) as f64 / size;
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
