//! What is wrong with a picture: too small, blurred, too dark, too bright, without contrast.
//!
//! Blur is measured at the strongest edges: how much weaker their slope becomes when the picture is smoothed says how
//! wide they are (Zhuo and Sim 2011, "Defocus map estimation from a single image", from memory). The usual measure, the
//! variance of the Laplacian divided by the variance of the shades, was tried first and dropped: on rendered feet the
//! noise of the sensor counted for more than the blur. Every threshold is our judgement: no source gives one for
//! photographs of feet; `docs/photographs.md` has how they do on rendered feet. A finding is shown and never refuses a
//! picture.

use crate::{
    edge_blur::edge_blur_px,
    grey_plane::{GreyPlane, JUDGED_SIDE},
};

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

/// Below this many pixels on the longer side a picture is small (judgement): at three pixels of tap error a line of
/// a third of the picture then has a direction to within 2°.
const SMALL_SIDE: usize = 1_000;
/// The standard deviation of the blur of edges from which a picture looks blurred, in pixels at that size (judgement).
const MOST_BLUR: f64 = 2.5;
/// Below this standard deviation of the shades nothing can be told apart (judgement).
const LEAST_CONTRAST: f64 = 6.0;
/// The median shade below which the middle is dark (judgement).
const DARK: u8 = 45;
/// The shade from which a pixel is white, and the share of the middle that may be (judgement).
const WHITE: u8 = 250;
const MOST_WHITE: f64 = 0.6;

/// What is wrong with a picture, judged by its middle; empty if nothing was found.
#[must_use]
pub fn quality(picture: &GreyPlane) -> Vec<PictureFinding> {
    let mut findings = Vec::new();
    let longer = picture.width().max(picture.height());
    if longer < SMALL_SIDE {
        findings.push(PictureFinding::Small { longer_side: u32::try_from(longer).unwrap_or(u32::MAX) });
    }
    let middle = picture.within(JUDGED_SIDE).middle();
    // Most of the middle of the middle is foot; farther out the sheet around it would be judged.
    findings.extend(ShadeCounts::of(&middle.middle()).of_light());
    let contrast = ShadeCounts::of(&middle).deviation();
    if contrast < LEAST_CONTRAST {
        findings.push(PictureFinding::NoContrast);
    }
    if contrast >= LEAST_CONTRAST && edge_blur_px(picture).is_some_and(|blur| blur > MOST_BLUR) {
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

    fn of_light(&self) -> Option<PictureFinding> {
        let white: u64 = self.0.iter().skip(usize::from(WHITE)).sum();
        if white as f64 > MOST_WHITE * self.total() {
            return Some(PictureFinding::Bright);
        }
        (self.median() < DARK).then_some(PictureFinding::Dark)
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
