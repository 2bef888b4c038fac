//! What a file says about itself before anything is unpacked: its kind, its size in pixels, its parts with data of the
//! camera, and whether it is complete. The name of a file is never asked.
//!
//! JPEG: ISO/IEC 10918-1, annex B (markers and segments). PNG: W3C Recommendation, 3rd edition (chunks; `eXIf`).
//! Exif and XMP within them: CIPA DC-008 and ISO 16684-1. All from memory; the tests hold it to files of two writers.

use crate::PictureFault;

/// The kinds of file that are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PictureKind {
    /// JPEG.
    Jpeg,
    /// PNG.
    Png,
}

/// A complete file, not yet unpacked.
#[derive(Debug, Clone, Copy)]
pub(crate) struct FileParts<'a> {
    pub kind: PictureKind,
    pub width: u32,
    pub height: u32,
    /// The Exif data, from its TIFF header on.
    pub exif: Option<&'a [u8]>,
    /// The XMP text.
    pub xmp: Option<&'a [u8]>,
}

const PNG_SIGNATURE: &[u8] = b"\x89PNG\r\n\x1a\n";
const EXIF_MARK: &[u8] = b"Exif\0\0";
const XMP_MARK: &[u8] = b"http://ns.adobe.com/xap/1.0/\0";
const XMP_KEYWORD: &[u8] = b"XML:com.adobe.xmp\0";
/// The brands of files of the HEIF family, at byte 8.
const HEIF_BRANDS: [&[u8]; 10] =
    [b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1", b"avif", b"avis"];

pub(crate) fn parts(bytes: &[u8]) -> Result<FileParts<'_>, PictureFault> {
    if bytes.is_empty() {
        return Err(PictureFault::Empty);
    }
    if bytes.starts_with(&[0xff, 0xd8, 0xff]) {
        return JpegWalk::of(bytes);
    }
    if bytes.starts_with(PNG_SIGNATURE) {
        return png(bytes);
    }
    let brand = bytes.get(8..12).filter(|_| bytes.get(4..8) == Some(b"ftyp"));
    let heif = brand.is_some_and(|brand| HEIF_BRANDS.contains(&brand));
    Err(if heif { PictureFault::Heic } else { PictureFault::OtherFormat })
}

/// A walk over the segments of a JPEG file to its end marker.
struct JpegWalk<'a> {
    bytes: &'a [u8],
    at: usize,
    size: Option<(u32, u32)>,
    scans: usize,
    exif: Option<&'a [u8]>,
    xmp: Option<&'a [u8]>,
}

impl<'a> JpegWalk<'a> {
    fn of(bytes: &'a [u8]) -> Result<FileParts<'a>, PictureFault> {
        let mut walk = Self { bytes, at: 2, size: None, scans: 0, exif: None, xmp: None };
        loop {
            match walk.marker()? {
                0xd9 => break,
                0x01 | 0xd0..=0xd8 => {}
                marker => walk.segment(marker)?,
            }
        }
        let (width, height) = walk.size.filter(|_| walk.scans > 0).ok_or(PictureFault::Damaged)?;
        Ok(FileParts { kind: PictureKind::Jpeg, width, height, exif: walk.exif, xmp: walk.xmp })
    }

    fn byte(&mut self) -> Result<u8, PictureFault> {
        let byte = self.bytes.get(self.at).copied().ok_or(PictureFault::Truncated)?;
        self.at += 1;
        Ok(byte)
    }

    /// The next marker. The compressed data of a scan are passed over: within them 0xff is followed by 0 or by a
    /// restart marker.
    fn marker(&mut self) -> Result<u8, PictureFault> {
        loop {
            while self.byte()? != 0xff {}
            let mut next = self.byte()?;
            while next == 0xff {
                next = self.byte()?;
            }
            if next != 0 {
                return Ok(next);
            }
        }
    }

    fn segment(&mut self, marker: u8) -> Result<(), PictureFault> {
        let length = usize::from(u16::from_be_bytes([self.byte()?, self.byte()?]));
        let end = self.at + length.checked_sub(2).ok_or(PictureFault::Damaged)?;
        let data = self.bytes.get(self.at..end).ok_or(PictureFault::Truncated)?;
        self.at = end;
        match marker {
            0xc4 | 0xc8 | 0xcc => {}
            0xc0..=0xcf => self.frame(data)?,
            0xda => self.scans += 1,
            0xe1 => self.application(data),
            _ => {}
        }
        Ok(())
    }

    fn frame(&mut self, data: &[u8]) -> Result<(), PictureFault> {
        let [_, h1, h0, w1, w0, ..] = *data else { return Err(PictureFault::Damaged) };
        let size = (u32::from(u16::from_be_bytes([w1, w0])), u32::from(u16::from_be_bytes([h1, h0])));
        // A second frame would be a second size, of which only one was held against the limits.
        if size.0 == 0 || size.1 == 0 || self.size.is_some() {
            return Err(PictureFault::Damaged);
        }
        self.size = Some(size);
        Ok(())
    }

    fn application(&mut self, data: &'a [u8]) {
        if let Some(exif) = data.strip_prefix(EXIF_MARK) {
            self.exif.get_or_insert(exif);
        } else if let Some(xmp) = data.strip_prefix(XMP_MARK) {
            self.xmp.get_or_insert(xmp);
        }
    }
}

fn png(bytes: &[u8]) -> Result<FileParts<'_>, PictureFault> {
    let (mut rest, mut size, mut exif, mut xmp) = (bytes.get(8..).unwrap_or_default(), None, None, None);
    loop {
        let (head, tail) = rest.split_at_checked(8).ok_or(PictureFault::Truncated)?;
        let [a, b, c, d, name @ ..] = head else { return Err(PictureFault::Truncated) };
        let length = u32::from_be_bytes([*a, *b, *c, *d]) as usize;
        let (data, tail) = tail.split_at_checked(length).ok_or(PictureFault::Truncated)?;
        // Four bytes of checksum, which the decoder looks at.
        let (_, tail) = tail.split_at_checked(4).ok_or(PictureFault::Truncated)?;
        match name {
            b"IHDR" if size.is_none() => size = png_size(data),
            b"eXIf" if exif.is_none() => exif = Some(data),
            b"iTXt" if data.starts_with(XMP_KEYWORD) => xmp = Some(data),
            b"IEND" => break,
            _ => {}
        }
        rest = tail;
    }
    let (width, height) = size.ok_or(PictureFault::Damaged)?;
    Ok(FileParts { kind: PictureKind::Png, width, height, exif, xmp })
}

fn png_size(data: &[u8]) -> Option<(u32, u32)> {
    let (width, rest) = data.split_first_chunk::<4>()?;
    let (height, _) = rest.split_first_chunk::<4>()?;
    Some((u32::from_be_bytes(*width), u32::from_be_bytes(*height))).filter(|(w, h)| *w > 0 && *h > 0)
}
