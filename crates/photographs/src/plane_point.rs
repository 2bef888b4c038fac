//! Points and lines of a picture, in pixels.

/// A point of a picture: `x` to the right and `y` downward from the upper left corner, in pixels of the kept picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PixelPoint {
    /// To the right.
    pub x: f64,
    /// Downward.
    pub y: f64,
}

impl PixelPoint {
    /// A point.
    #[must_use]
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// The distance to another point, in pixels.
    #[must_use]
    pub fn distance(self, other: Self) -> f64 {
        (other.x - self.x).hypot(other.y - self.y)
    }

    /// Whether both numbers are finite.
    #[must_use]
    pub const fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite()
    }

    /// The point in the mirror image of a picture of this width.
    #[must_use]
    pub const fn mirrored(self, width: f64) -> Self {
        Self { x: width - self.x, y: self.y }
    }
}

/// A line with a direction, from one tapped point to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PixelLine {
    /// Where it begins.
    pub from: PixelPoint,
    /// Where it ends.
    pub to: PixelPoint,
}

impl PixelLine {
    /// A line.
    #[must_use]
    pub const fn new(from: PixelPoint, to: PixelPoint) -> Self {
        Self { from, to }
    }

    /// Its length in pixels.
    #[must_use]
    pub fn length(self) -> f64 {
        self.from.distance(self.to)
    }
}
