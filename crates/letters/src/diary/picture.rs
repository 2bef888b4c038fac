//! A picture as shades of grey.

/// A picture: 0 is black, 255 is white.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GreyPicture {
    width: usize,
    height: usize,
    shades: Vec<u8>,
}

impl GreyPicture {
    /// A picture from its rows, the upper first; `None` if the number of shades is not width times height, or it is
    /// empty.
    #[must_use]
    pub fn new(width: usize, height: usize, shades: Vec<u8>) -> Option<Self> {
        let fits = width > 0 && width.checked_mul(height) == Some(shades.len()) && height > 0;
        fits.then_some(Self { width, height, shades })
    }

    /// Pixels across.
    #[must_use]
    pub const fn width(&self) -> usize {
        self.width
    }

    /// Pixels down.
    #[must_use]
    pub const fn height(&self) -> usize {
        self.height
    }

    /// The shade of a pixel; white outside.
    #[must_use]
    pub fn shade(&self, x: usize, y: usize) -> u8 {
        if x >= self.width {
            return u8::MAX;
        }
        self.shades.get(y * self.width + x).copied().unwrap_or(u8::MAX)
    }

    /// The shade at a place between pixels; `None` outside.
    pub(crate) fn at(&self, (x, y): (f64, f64)) -> Option<f64> {
        // The middle of the first pixel is half a pixel from the corner.
        let (x, y) = (x - 0.5, y - 0.5);
        if !(0.0..(self.width - 1) as f64).contains(&x) || !(0.0..(self.height - 1) as f64).contains(&y) {
            return None;
        }
        let (left, top) = (x.floor(), y.floor());
        let (right_part, low_part) = (x - left, y - top);
        let shade = |dx: usize, dy: usize| f64::from(self.shade(left as usize + dx, top as usize + dy));
        let upper = shade(0, 0) * (1.0 - right_part) + shade(1, 0) * right_part;
        let lower = shade(0, 1) * (1.0 - right_part) + shade(1, 1) * right_part;
        Some(upper * (1.0 - low_part) + lower * low_part)
    }

    /// The same picture with at most so many pixels on its longer side: the means of whole squares of pixels.
    #[must_use]
    pub fn within(self, most: usize) -> Self {
        let by = self.width.max(self.height).div_ceil(most.max(1));
        if by <= 1 {
            return self;
        }
        let (width, height) = ((self.width / by).max(1), (self.height / by).max(1));
        let mean = |x: usize, y: usize| {
            let pixels = (0..by * by).map(|n| u32::from(self.shade(x * by + n % by, y * by + n / by)));
            u8::try_from(pixels.sum::<u32>() / (by * by) as u32).unwrap_or(u8::MAX)
        };
        let shades = (0..width * height).map(|n| mean(n % width, n / width)).collect();
        Self { width, height, shades }
    }
}
