//! Files as cameras write them: JPEG and PNG with Exif and XMP, made here byte by byte.

use image::{ImageFormat, RgbImage};
use std::io::Cursor;

pub const TAKEN: &[u8; 20] = b"2025:03:14 15:09:26\0";

/// An Exif block, little endian: orientation, time and, where wanted, a position (52° 31′ N, 13° 24′ E).
pub fn exif(orientation: u16, taken: &[u8; 20], position: bool) -> Vec<u8> {
    let count = if position { 3_u16 } else { 2 };
    let first = 8_u32;
    let exif_at = first + 2 + 12 * u32::from(count) + 4;
    let time_at = exif_at + 2 + 12 + 4;
    let gps_at = time_at + 20;
    let degrees_at = gps_at + 2 + 12 * 4 + 4;
    let mut out = b"II\x2a\0".to_vec();
    out.extend(first.to_le_bytes());
    out.extend(count.to_le_bytes());
    field(&mut out, 0x0112, 3, 1, [orientation.to_le_bytes(), [0, 0]].concat());
    field(&mut out, 0x8769, 4, 1, exif_at.to_le_bytes().to_vec());
    if position {
        field(&mut out, 0x8825, 4, 1, gps_at.to_le_bytes().to_vec());
    }
    out.extend([0; 4]);
    out.extend(1_u16.to_le_bytes());
    field(&mut out, 0x9003, 2, 20, time_at.to_le_bytes().to_vec());
    out.extend([0; 4]);
    out.extend(taken);
    if position {
        out.extend(4_u16.to_le_bytes());
        field(&mut out, 1, 2, 2, b"N\0\0\0".to_vec());
        field(&mut out, 2, 5, 3, degrees_at.to_le_bytes().to_vec());
        field(&mut out, 3, 2, 2, b"E\0\0\0".to_vec());
        field(&mut out, 4, 5, 3, (degrees_at + 24).to_le_bytes().to_vec());
        out.extend([0; 4]);
        for value in [52_u32, 1, 31, 1, 0, 1, 13, 1, 24, 1, 0, 1] {
            out.extend(value.to_le_bytes());
        }
    }
    out
}

fn field(out: &mut Vec<u8>, tag: u16, kind: u16, count: u32, value: Vec<u8>) {
    out.extend(tag.to_le_bytes());
    out.extend(kind.to_le_bytes());
    out.extend(count.to_le_bytes());
    out.extend(value);
}

pub const XMP: &[u8] =
    b"http://ns.adobe.com/xap/1.0/\0<x:xmpmeta><rdf:Description exif:GPSLatitude=\"52,31N\"/></x:xmpmeta>";

pub fn written(picture: &RgbImage, format: ImageFormat) -> Vec<u8> {
    let mut bytes = Vec::new();
    picture.write_to(&mut Cursor::new(&mut bytes), format).unwrap();
    bytes
}

/// A JPEG with segments of application 1 behind its first marker.
pub fn with_segments(jpeg: &[u8], segments: &[&[u8]]) -> Vec<u8> {
    let mut out = jpeg[..2].to_vec();
    for segment in segments {
        out.extend([0xff, 0xe1]);
        out.extend(u16::try_from(segment.len() + 2).unwrap().to_be_bytes());
        out.extend(*segment);
    }
    out.extend(&jpeg[2..]);
    out
}

pub fn jpeg_with_exif(picture: &RgbImage, exif: &[u8]) -> Vec<u8> {
    with_segments(&written(picture, ImageFormat::Jpeg), &[&[b"Exif\0\0", exif].concat()])
}

/// A PNG with a chunk behind its header.
pub fn with_chunk(png: &[u8], name: &[u8; 4], data: &[u8]) -> Vec<u8> {
    let (head, rest) = png.split_at(8 + 4 + 4 + 13 + 4);
    [head, &chunk(name, data), rest].concat()
}

pub fn chunk(name: &[u8; 4], data: &[u8]) -> Vec<u8> {
    let named = [name.as_slice(), data].concat();
    let mut crc = 0xffff_ffff_u32;
    for byte in &named {
        crc ^= u32::from(*byte);
        for _ in 0..8 {
            crc = if crc & 1 == 1 { (crc >> 1) ^ 0xedb8_8320 } else { crc >> 1 };
        }
    }
    [&u32::try_from(data.len()).unwrap().to_be_bytes(), named.as_slice(), &(!crc).to_be_bytes()].concat()
}

/// A picture with a shade of its own in each corner, and some pattern.
pub fn cornered(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, y| {
        let corner = (x * 2 / width, y * 2 / height);
        image::Rgb(match corner {
            (0, 0) => [220, 30, 30],
            (1, 0) => [30, 200, 30],
            (0, _) => [30, 30, 220],
            _ => [230, 230, 230],
        })
    })
}

/// A picture with some of everything, that does not compress to nothing.
pub fn patterned(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, y| {
        let wave = |of: u32, step: f64| ((f64::from(of) * step).sin() * 60.0 + 128.0) as u8;
        image::Rgb([wave(x, 0.11), wave(y, 0.13), wave(x + y, 0.07)])
    })
}
