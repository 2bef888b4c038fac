//! What is wrong with a picture: too small, blurred, too dark, too bright, without contrast.
//!
//! Blur is measured by the variance of the Laplacian (Pech-Pacheco and others 2000, "Diatom autofocusing in brightfield
//! microscopy: a comparative study", from memory), divided by the variance of the shades, so that a picture of little
//! contrast is not called blurred for that. Every threshold is our judgement: no source gives one for photographs of
//! feet. Each was set on rendered feet; `docs/photographs.md` has how they do on others. A finding is shown and never
//! refuses a picture.

use crate::GreyPlane;

/// Something that is wrong with a picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PictureFinding {
    /// The longer side has fewer pixels than measuring needs.
    Small {
        /// The longer side, in pixels.
        longer_side: u32,
    },
    /// Edges are soft.
    Blurred,
    /// The middle is too dark.
    Dark,
    /// Much of the middle is white.
    Bright,
    /// The middle is nearly of one shade.
    NoContrast,
}

impl PictureFinding {
    /// One sentence for the person who took the picture.
    #[must_use]
    pub fn sentence(self) -> String {
        match self {
            Self::Small { longer_side } => format!(
                "The picture is small ({longer_side} pixels on its longer side): angles on it are less exact."
            ),
            Self::Blurred => "The picture looks blurred. Hold the camera still and let it focus on the foot.".into(),
            Self::Dark => "The foot is dark. Take the picture with more light from the front.".into(),
            Self::Bright => {
                "Much of the picture is white, so that edges are lost. Take it with less light, or without flash.".into()
            }
            Self::NoContrast => "Nothing can be told apart in the middle of the picture.".into(),
        }
    }
}

/// Below this many pixels on the longer side a picture is small (judgement): at four pixels of tap error a line of
/// a third of the picture then has a direction to within 2°.
const SMALL_SIDE: usize = 1_000;
/// The longer side at which blur is measured, so that pictures of different size are alike.
const BLUR_SIDE: usize = 1_000;
/// Below this share a picture looks blurred (judgement).
const BLUR_LEAST: f64 = 0.012;
/// Below this standard deviation of the shades nothing can be told apart (judgement).
const LEAST_CONTRAST: f64 = 6.0;
/// The median shade below which the middle is dark (judgement).
const DARK: u8 = 45;
/// The shade from which a pixel is white, and the share of the middle that may be (judgement).
const WHITE: u8 = 250;
const MOST_WHITE: f64 = 0.35;

/// What is wrong with a picture, judged by its middle; empty if nothing was found.
#[must_use]
pub fn quality(picture: &GreyPlane) -> Vec<PictureFinding> {
    let mut findings = Vec::new();
    let longer = picture.width().max(picture.height());
    if longer < SMALL_SIDE {
        findings.push(PictureFinding::Small { longer_side: u32::try_from(longer).unwrap_or(u32::MAX) });
    }
    let middle = picture.within(BLUR_SIDE).middle();
    let shades = ShadeCounts::of(&middle);
    findings.extend(shades.findings());
    if shades.deviation() >= LEAST_CONTRAST && sharpness(&middle) < BLUR_LEAST {
        findings.push(PictureFinding::Blurred);
    }
    findings
}

/// How often each shade is there.
struct ShadeCounts([u64; 256]);

impl ShadeCounts {
    fn of(plane: &GreyPlane) -> Self {
        let mut counts = [0; 256];
        for shade in plane.rows().flatten() {
            if let Some(count) = counts.get_mut(usize::from(*shade)) {
                *count += 1;
            }
        }
        Self(counts)
    }

    fn findings(&self) -> Vec<PictureFinding> {
        let mut findings = Vec::new();
        if self.median() < DARK {
            findings.push(PictureFinding::Dark);
        }
        let white: u64 = self.0.iter().skip(usize::from(WHITE)).sum();
        if white as f64 > MOST_WHITE * self.total() {
            findings.push(PictureFinding::Bright);
        }
        if self.deviation() < LEAST_CONTRAST {
            findings.push(PictureFinding::NoContrast);
        }
        findings
    }

    fn total(&self) -> f64 {
        self.0.iter().sum::<u64>() as f64
    }

    fn median(&self) -> u8 {
        let half = self.total() / 2.0;
        let mut below = 0;
        let at = self.0.iter().position(|count| {
            below += count;
            below as f64 >= half
        });
        at.and_then(|at| u8::try_from(at).ok()).unwrap_or(0)
    }

    fn deviation(&self) -> f64 {
        let moment = |power: i32| {
            let shades = self.0.iter().enumerate();
            shades.map(|(shade, count)| (shade as f64).powi(power) * *count as f64).sum::<f64>()
                / self.total()
        };
        (moment(2) - moment(1).powi(2)).max(0.0).sqrt()
    }
}

/// The variance of the Laplacian of the shades, divided by the variance of the shades; 0 where there is none.
pub(crate) fn sharpness(plane: &GreyPlane) -> f64 {
    let (mut laplacian, mut shades) = (Moments::default(), Moments::default());
    for y in 1..plane.height().saturating_sub(1) {
        for x in 1..plane.width().saturating_sub(1) {
            let at = |x, y| f64::from(plane.shade(x, y));
            let here = at(x, y);
            laplacian.add(at(x - 1, y) + at(x + 1, y) + at(x, y - 1) + at(x, y + 1) - 4.0 * here);
            shades.add(here);
        }
    }
    let contrast = shades.variance();
    if contrast > 0.0 { laplacian.variance() / contrast } else { 0.0 }
}

#[derive(Default)]
struct Moments {
    count: f64,
    sum: f64,
    squares: f64,
}

impl Moments {
    fn add(&mut self, value: f64) {
        self.count += 1.0;
        self.sum += value;
        self.squares += value * value;
    }

    fn variance(&self) -> f64 {
        if self.count == 0.0 {
            return 0.0;
        }
        (self.squares / self.count - (self.sum / self.count).powi(2)).max(0.0)
    }
}
