//! The points that a person tapped on a picture.

use crate::field::{FieldSpec, FieldType, FieldValue, ShownValues};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::{fmt, str::FromStr};

/// The most points of a measurement.
const MOST: usize = 16;

/// Points tapped on a kept picture, in whole pixels from its upper left corner, in the order in which the measurement
/// asks for them; "812,403 640,588" in files.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct PictureTaps(Vec<(u16, u16)>);

/// A text that is no list of points, or a list without a point or with too many.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error(
    "these are not points of a picture: one to {} pairs of whole numbers are expected, such as “812,403 640,588”",
    MOST
)]
pub struct PictureTapsError;

impl PictureTaps {
    /// One to sixteen points.
    ///
    /// # Errors
    /// When there is none, or more.
    pub fn new(points: Vec<(u16, u16)>) -> Result<Self, PictureTapsError> {
        if points.is_empty() || points.len() > MOST { Err(PictureTapsError) } else { Ok(Self(points)) }
    }

    /// The points.
    #[must_use]
    pub fn points(&self) -> &[(u16, u16)] {
        &self.0
    }
}

impl fmt::Display for PictureTaps {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (n, (x, y)) in self.0.iter().enumerate() {
            let gap = if n == 0 { "" } else { " " };
            write!(f, "{gap}{x},{y}")?;
        }
        Ok(())
    }
}

impl FromStr for PictureTaps {
    type Err = PictureTapsError;

    fn from_str(text: &str) -> Result<Self, PictureTapsError> {
        let number = |text: &str| {
            let plain = text.bytes().all(|byte| byte.is_ascii_digit());
            text.parse::<u16>().ok().filter(|_| plain)
        };
        let point = |pair: &str| {
            let (x, y) = pair.split_once(',')?;
            Some((number(x)?, number(y)?))
        };
        let points: Option<Vec<(u16, u16)>> = text.split(' ').take(MOST + 1).map(point).collect();
        points.ok_or(PictureTapsError).and_then(Self::new)
    }
}

impl Serialize for PictureTaps {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for PictureTaps {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        crate::text::deserialize(deserializer, "points of a picture")
    }
}

impl FieldValue for PictureTaps {
    const TAKES: FieldType = FieldType::Taps;

    fn show(&self, _spec: &'static FieldSpec, shown: &mut ShownValues) {
        shown.put(self.to_string());
    }
}
