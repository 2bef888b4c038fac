//! Lengths in standard shoe sizes.
//!
//! - **Mondopoint**: the size is the mean length of the feet that a shoe suits, in millimetres (ISO 9407:1991
//!   as described, at second hand), so a size is the middle of an interval. Here it is the next step of 5 mm at
//!   or above the foot, because a boot for a mean foot shorter than this one would hurt.
//! - **Paris points**: 1.5 × (foot in cm + 1.0 to 1.5); a point is 6.67 mm (a page of measuring tables, read).
//! - **UK child's size**: 3 × the length of the last in inches − 12; size 0 is a last of 4 inches, a size
//!   8.47 mm, a third of an inch (encyclopaedia, zero point and step read).
//! - **US child's size**: about the UK child's size + 1 (from memory).
//!
//! The last is assumed to be as long as the inside of the boot. Sizes printed on shoes differ by maker: they
//! help to find a shoe, the inner length decides.

use std::fmt;

const INCH_MM: f64 = 25.4;

/// The length of a foot and of the inside of its boot in standard sizes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sizes {
    /// Mondopoint, mm, the next step of 5 at or above the foot.
    pub mondopoint_mm: u16,
    /// Paris points, with 1.0 and with 1.5 cm added to the foot.
    pub paris: (f64, f64),
    /// UK child's size for the shortest and the longest inside wanted.
    pub uk_child: (f64, f64),
    /// US child's size for the same.
    pub us_child: (f64, f64),
}

/// Paris points of a foot, with an allowance in cm.
#[must_use]
pub fn paris_points(foot_mm: f64, allowance_cm: f64) -> f64 {
    1.5 * (foot_mm / 10.0 + allowance_cm)
}

/// UK child's size of a last.
#[must_use]
pub fn uk_child(last_mm: f64) -> f64 {
    3.0 * last_mm / INCH_MM - 12.0
}

/// US child's size of a last, from memory.
#[must_use]
pub fn us_child(last_mm: f64) -> f64 {
    uk_child(last_mm) + 1.0
}

/// Mondopoint of a foot: whole steps of 5 mm, none shorter than the foot.
#[must_use]
pub const fn mondopoint(foot_mm: u16) -> u16 {
    foot_mm.saturating_add(4) / 5 * 5
}

impl Sizes {
    /// The sizes for a foot whose boot should be between two inside lengths.
    #[must_use]
    pub fn of(foot_mm: u16, inside_mm: (u16, u16)) -> Self {
        let (short, long) = (f64::from(inside_mm.0), f64::from(inside_mm.1));
        let foot = f64::from(foot_mm);
        Self {
            mondopoint_mm: mondopoint(foot_mm),
            paris: (paris_points(foot, 1.0), paris_points(foot, 1.5)),
            uk_child: (uk_child(short), uk_child(long)),
            us_child: (us_child(short), us_child(long)),
        }
    }
}

/// A size rounded to the half, as printed on a shoe; "below 0" if it is below the scale.
struct Half(f64);

impl fmt::Display for Half {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // A rounded −0.2 is minus zero, which would print with its sign.
        let half = (self.0 * 2.0).round() / 2.0 + 0.0;
        if half < 0.0 { f.write_str("below 0") } else { write!(f, "{half}") }
    }
}

/// In words, such as "5", "4.5–5", or "0.5 or smaller" if the lower end is below the scale.
#[must_use]
pub fn range_words(range: (f64, f64)) -> String {
    let (low, high) = (Half(range.0).to_string(), Half(range.1).to_string());
    match low.as_str() {
        _ if low == high => low,
        "below 0" => format!("{high} or smaller"),
        _ => format!("{low}–{high}"),
    }
}
