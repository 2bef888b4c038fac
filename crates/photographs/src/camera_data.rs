//! What the camera wrote beside the picture: how it was held, when, and whether a position is there.

use crate::container::FileParts;
use exif::{Exif, Field, In, Reader, Tag, Value};
use image::metadata::Orientation;
use jiff::civil::DateTime;

/// What is read of the data of the camera; all of it is dropped from the picture that is kept.
#[derive(Debug, Clone, Copy)]
pub(crate) struct CameraData {
    /// How the picture has to be turned to be upright.
    pub turn: Orientation,
    /// The local time of the camera's clock.
    pub taken_at: Option<DateTime>,
    /// Whether a geographic position was found.
    pub position: bool,
}

impl CameraData {
    pub(crate) fn of(parts: &FileParts<'_>) -> Self {
        let exif = parts.exif.and_then(read);
        let exif = exif.as_ref();
        let xmp = parts.xmp.unwrap_or_default();
        Self {
            turn: exif.and_then(turn).unwrap_or(Orientation::NoTransforms),
            taken_at: exif.and_then(taken_at),
            position: exif.is_some_and(has_position) || holds(xmp, b"GPSL"),
        }
    }
}

/// Reads what can be read: one damaged field does not hide the others.
fn read(data: &[u8]) -> Option<Exif> {
    let read = Reader::new().continue_on_error(true).read_raw(data.to_vec());
    read.or_else(|fault| fault.distill_partial_result(|_| ())).ok()
}

fn turn(exif: &Exif) -> Option<Orientation> {
    let value = exif.get_field(Tag::Orientation, In::PRIMARY)?.value.get_uint(0)?;
    Orientation::from_exif(u8::try_from(value).ok()?)
}

/// When the picture was taken; never when the file was changed.
fn taken_at(exif: &Exif) -> Option<DateTime> {
    [Tag::DateTimeOriginal, Tag::DateTimeDigitized]
        .iter()
        .find_map(|tag| local_time(exif.get_field(*tag, In::PRIMARY)?))
}

fn local_time(field: &Field) -> Option<DateTime> {
    let Value::Ascii(lines) = &field.value else { return None };
    let time = exif::DateTime::from_ascii(lines.first()?).ok()?;
    let small = |value: u8| i8::try_from(value).ok();
    let year = i16::try_from(time.year).ok().filter(|year| *year > 0)?;
    let (month, day) = (small(time.month)?, small(time.day)?);
    let (hour, minute, second) = (small(time.hour)?, small(time.minute)?, small(time.second)?);
    DateTime::new(year, month, day, hour, minute, second, 0).ok()
}

fn has_position(exif: &Exif) -> bool {
    let places = [Tag::GPSLatitude, Tag::GPSLongitude, Tag::GPSDestLatitude, Tag::GPSDestLongitude];
    exif.fields().any(|field| places.contains(&field.tag))
}

fn holds(text: &[u8], word: &[u8]) -> bool {
    text.windows(word.len()).any(|part| part == word)
}
