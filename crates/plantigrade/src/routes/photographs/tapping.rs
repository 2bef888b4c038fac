//! Points that a form sets on a photograph, and taps that come without the script.

use crate::forms::Reader;
use pages::{
    EnlargedPart, HOW_FOUND, HOW_MAGNIFIED, PART_SHOWN, PART_SIDE, TAPPED_PART, TAPPED_WHOLE, TapFields,
    WHOLE_SIDE, fields::Filled, how_set, tap_fields,
};
use photographs::{PixelPoint, TapError};
use record::{PictureTaps, PictureTapsError};

/// The side of the part that is shown around a rough tap, and of that in which a point is set, in pixels of the picture.
const ROUGH_SPAN: u16 = 320;
const FINE_SPAN: u16 = 60;

/// The points of a form.
pub(super) struct SetPoints {
    points: Vec<(u16, u16)>,
    errors: Vec<TapError>,
}

impl SetPoints {
    /// The points of a form, or the form with what is wrong: a point that is missing, or one that the program found and
    /// nobody confirmed.
    pub(super) fn read(filled: &Filled, count: usize) -> Result<Self, Filled> {
        let mut reader = Reader::of(filled);
        let mut set = Self { points: Vec::new(), errors: Vec::new() };
        for (number, fields) in (1..).zip(tap_fields(count)) {
            let point = (pixel(&mut reader, fields.across), pixel(&mut reader, fields.down));
            let error = error_of(filled, fields, point);
            if error == TapError::FOUND && filled.value(fields.seen) != "yes" {
                let text = format!("Look at corner {number} in the enlarged part and tick it, or move it.");
                reader.wrong(fields.seen, text);
            }
            set.points.push(point);
            set.errors.push(error);
        }
        if reader.errors.is_empty() {
            Ok(set)
        } else {
            Err(Filled { errors: reader.errors, ..filled.clone() })
        }
    }

    /// As points of the picture.
    pub(super) fn pixels(&self) -> Vec<PixelPoint> {
        self.points.iter().map(|(x, y)| PixelPoint::new(f64::from(*x), f64::from(*y))).collect()
    }

    /// The largest error of some of the points.
    pub(super) fn largest_error(&self, from: usize, to: usize) -> TapError {
        let errors = self.errors.get(from..to).unwrap_or(&self.errors);
        TapError { sd_px: errors.iter().map(|error| error.sd_px).fold(0.0, f64::max) }
    }

    /// As they are recorded.
    pub(super) fn taps(self) -> Result<PictureTaps, PictureTapsError> {
        PictureTaps::new(self.points)
    }
}

fn error_of(filled: &Filled, fields: &TapFields, point: (u16, u16)) -> TapError {
    let how = filled.value(fields.how);
    if how == how_set(HOW_FOUND, point) {
        TapError::FOUND
    } else if how == how_set(HOW_MAGNIFIED, point) {
        TapError::MAGNIFIED
    } else {
        TapError::USUAL
    }
}

fn pixel(reader: &mut Reader<'_>, name: &'static str) -> u16 {
    let text = reader.needed(name, "Tap this point, or type where it is.");
    let number = text.trim().parse().ok();
    if number.is_none() && !text.is_empty() {
        reader.wrong(name, "A whole number of pixels is expected.");
    }
    number.unwrap_or(0)
}

/// The form with a point set, as found or in an enlarged part.
pub(super) fn with_point(filled: Filled, fields: &TapFields, how: &str, point: (u16, u16)) -> Filled {
    let filled = filled.with(fields.across, point.0.to_string()).with(fields.down, point.1.to_string());
    filled.with(fields.how, how_set(how, point)).with(fields.seen, "")
}

/// The form after a tap without the script, with the part of the picture that is tapped next: first roughly on the
/// whole picture, then on the part around that, then in one so large that a finger can set the point. `None` where
/// the form came by a button.
pub(super) fn after_tap(
    filled: &Filled,
    count: usize,
    size: (u16, u16),
) -> Option<(Filled, Option<EnlargedPart>)> {
    if let Some((x, y)) = tapped(filled, TAPPED_WHOLE) {
        let empty =
            |fields: &TapFields| filled.given(fields.across).is_none() || filled.given(fields.down).is_none();
        let point = tap_fields(count).iter().position(empty)?;
        let scale = f64::from(size.0.max(size.1)) / f64::from(WHOLE_SIDE);
        let middle = (within(x * scale, size.0), within(y * scale, size.1));
        return Some((filled.clone(), Some(EnlargedPart { point, middle, span: ROUGH_SPAN })));
    }
    let (x, y) = tapped(filled, TAPPED_PART)?;
    let part = EnlargedPart::read(filled.value(PART_SHOWN))?;
    let fields = tap_fields(count).get(part.point)?;
    let from_middle = |tapped: f64| (tapped / f64::from(PART_SIDE) - 0.5) * f64::from(part.span);
    let (middle_x, middle_y) = part.middle;
    let middle = (
        within(f64::from(middle_x) + from_middle(x), size.0),
        within(f64::from(middle_y) + from_middle(y), size.1),
    );
    if part.span > FINE_SPAN {
        return Some((filled.clone(), Some(EnlargedPart { middle, span: FINE_SPAN, ..part })));
    }
    Some((with_point(filled.clone(), fields, HOW_MAGNIFIED, middle), None))
}

/// Where a picture was tapped. Pressing Enter in a field sends its upper left corner, which is no tap.
fn tapped(filled: &Filled, name: &str) -> Option<(f64, f64)> {
    let number = |axis: &str| filled.value(&format!("{name}.{axis}")).trim().parse::<f64>().ok();
    let (x, y) = number("x").zip(number("y"))?;
    (x.is_finite() && y.is_finite() && (x, y) != (0.0, 0.0)).then_some((x, y))
}

/// A whole number of pixels within a picture.
pub(super) fn within(pixels: f64, most: u16) -> u16 {
    let rounded = pixels.round().clamp(0.0, f64::from(most));
    // Between 0 and a number of 16 bits.
    rounded as u16
}
