//! The units of which coded pictures are made. Only those that a decoder needs are copied: units for the user may hold
//! any text, such as the place or the device.

use crate::{bytes::ByteReader, fault::VideoFault};

/// Whether a unit of H.264 is kept, by its first byte (ITU-T H.264, table 7-1): slices, parameter sets, delimiters, ends.
pub const fn is_h264_picture(first: u8) -> bool {
    matches!(first & 0x1f, 1..=5 | 7..=11)
}

/// The same for H.265 (ITU-T H.265, table 7-1).
pub const fn is_h265_picture(first: u8) -> bool {
    matches!(first >> 1 & 0x3f, 0..=37)
}

/// Copies the units of a picture, each behind its length, that are to be kept.
pub fn copy_units(
    picture: &[u8],
    length_bytes: usize,
    keep: impl Fn(u8) -> bool,
    out: &mut Vec<u8>,
) -> Result<(), VideoFault> {
    let mut reader = ByteReader::new(picture);
    while !reader.rest.is_empty() {
        let length = reader.take(length_bytes)?;
        let size = usize::try_from(crate::bytes::number(length)).map_err(|_| VideoFault::Damaged)?;
        let unit = reader.take(size)?;
        if unit.first().is_some_and(|first| keep(*first)) {
            out.extend_from_slice(length);
            out.extend_from_slice(unit);
        }
    }
    Ok(())
}

/// Whether a unit of AV1 is kept, by its type (AV1 bitstream specification, 6.2.2): sequence, delimiter, frame header,
/// tiles, frame. Metadata, padding and lists of tiles are not.
const fn is_av1_picture(kind: u8) -> bool {
    matches!(kind, 1 | 2 | 3 | 4 | 6 | 7)
}

/// Copies the units of a picture of AV1 that are to be kept.
pub fn copy_obus(picture: &[u8], out: &mut Vec<u8>) -> Result<(), VideoFault> {
    let mut reader = ByteReader::new(picture);
    while !reader.rest.is_empty() {
        let whole = reader.rest;
        let head = reader.u8()?;
        if head & 0x80 != 0 {
            return Err(VideoFault::Damaged);
        }
        if head & 0x04 != 0 {
            reader.u8()?;
        }
        let size = if head & 0x02 == 0 { reader.rest.len() } else { little_size(&mut reader)? };
        reader.take(size)?;
        let unit = whole.get(..whole.len() - reader.rest.len()).ok_or(VideoFault::Damaged)?;
        if is_av1_picture(head >> 3 & 0x0f) {
            out.extend_from_slice(unit);
        }
    }
    Ok(())
}

/// A size in groups of seven bits, the lowest first (AV1 bitstream specification, 4.10.5).
fn little_size(reader: &mut ByteReader<'_>) -> Result<usize, VideoFault> {
    let mut size = 0_u64;
    for place in 0..8 {
        let byte = reader.u8()?;
        size |= u64::from(byte & 0x7f) << (7 * place);
        if byte & 0x80 == 0 {
            return usize::try_from(size).map_err(|_| VideoFault::Damaged);
        }
    }
    Err(VideoFault::Damaged)
}
