//! How the pictures of a film are coded, and what a decoder needs before the first of them.

use crate::{
    bytes::{ByteReader, number},
    fault::VideoFault,
    units::{copy_obus, copy_units, is_h264_picture, is_h265_picture},
};

/// The codings that browsers show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Codec {
    /// H.264; the bytes of a length, and whether parameter sets may come among the pictures.
    H264 {
        length_bytes: usize,
        inband: bool,
    },
    /// H.265 likewise.
    H265 {
        length_bytes: usize,
        inband: bool,
    },
    Vp8,
    Vp9,
    Av1,
}

impl Codec {
    /// The name of a sample entry (ISO/IEC 14496-15 and the bindings of VP9 and AV1).
    pub const fn entry_name(self) -> [u8; 4] {
        match self {
            Self::H264 { inband: false, .. } => *b"avc1",
            Self::H264 { inband: true, .. } => *b"avc3",
            Self::H265 { inband: false, .. } => *b"hvc1",
            Self::H265 { inband: true, .. } => *b"hev1",
            Self::Vp8 => *b"vp08",
            Self::Vp9 => *b"vp09",
            Self::Av1 => *b"av01",
        }
    }

    /// The box with what the decoder needs.
    pub const fn config_name(self) -> [u8; 4] {
        match self {
            Self::H264 { .. } => *b"avcC",
            Self::H265 { .. } => *b"hvcC",
            Self::Vp8 | Self::Vp9 => *b"vpcC",
            Self::Av1 => *b"av1C",
        }
    }

    /// Copies a picture without the units that no decoder needs. Returns whether anything is left.
    pub fn copy_picture(self, picture: &[u8], out: &mut Vec<u8>) -> Result<bool, VideoFault> {
        let before = out.len();
        match self {
            Self::H264 { length_bytes, .. } => copy_units(picture, length_bytes, is_h264_picture, out)?,
            Self::H265 { length_bytes, .. } => copy_units(picture, length_bytes, is_h265_picture, out)?,
            Self::Av1 => copy_obus(picture, out)?,
            Self::Vp8 | Self::Vp9 => out.extend_from_slice(picture),
        }
        Ok(out.len() > before)
    }
}

/// How many bytes the lengths of units have.
const fn length_bytes(coded: u8) -> Result<usize, VideoFault> {
    match coded & 3 {
        0 => Ok(1),
        1 => Ok(2),
        3 => Ok(4),
        _ => Err(VideoFault::Damaged),
    }
}

/// Parameter sets behind their number: those of one type are copied, with their number. Returns what was copied.
fn sets(
    reader: &mut ByteReader<'_>,
    count: usize,
    is_wanted: impl Fn(u8) -> bool,
) -> Result<(usize, Vec<u8>), VideoFault> {
    let (mut copied, mut out) = (0, Vec::new());
    for _ in 0..count {
        let length = reader.take(2)?;
        let set = reader.take(usize::try_from(number(length)).map_err(|_| VideoFault::Damaged)?)?;
        if set.first().is_some_and(|first| is_wanted(*first)) {
            out.extend_from_slice(length);
            out.extend_from_slice(set);
            copied += 1;
        }
    }
    Ok((copied, out))
}

fn counted(count: usize) -> u8 {
    u8::try_from(count).unwrap_or(u8::MAX)
}

/// What a decoder of H.264 needs (ISO/IEC 14496-15, 5.3.3.1), with its coding.
pub fn h264(config: &[u8], inband: bool) -> Result<(Codec, Vec<u8>), VideoFault> {
    let mut reader = ByteReader::new(config);
    let head = reader.take(5)?;
    let [1, _, _, _, lengths] = *head else { return Err(VideoFault::Damaged) };
    let mut out = head.to_vec();
    let count = usize::from(reader.u8()? & 0x1f);
    let (copied, sequence) = sets(&mut reader, count, |first| first & 0x1f == 7)?;
    out.push(0xe0 | counted(copied));
    out.extend(sequence);
    let count = usize::from(reader.u8()?);
    let (copied, pictures) = sets(&mut reader, count, |first| first & 0x1f == 8)?;
    out.push(counted(copied));
    out.extend(pictures);
    // Of the higher profiles: the kind of colours and the depths; no further parameter sets.
    if let Some(more) = reader.rest.get(..3).filter(|_| reader.rest.len() >= 4) {
        out.extend_from_slice(more);
        out.push(0);
    }
    Ok((Codec::H264 { length_bytes: length_bytes(lengths)?, inband }, out))
}

/// What a decoder of H.265 needs (ISO/IEC 14496-15, 8.3.3.1), with its coding. Of the lists only those of parameter sets
/// are kept.
pub fn h265(config: &[u8], inband: bool) -> Result<(Codec, Vec<u8>), VideoFault> {
    let mut reader = ByteReader::new(config);
    let head = reader.take(22)?;
    let lengths = head.last().copied().unwrap_or(0);
    if head.first() != Some(&1) {
        return Err(VideoFault::Damaged);
    }
    let (mut lists, mut kept) = (Vec::new(), 0);
    for _ in 0..reader.u8()? {
        let kind = reader.u8()?;
        let count = usize::from(reader.u16()?);
        let wanted = matches!(kind & 0x3f, 32..=34);
        let (copied, out) = sets(&mut reader, count, |first| wanted && first >> 1 & 0x3f == kind & 0x3f)?;
        if copied > 0 {
            // Only its highest bit and the type.
            lists.push(kind & 0xbf);
            lists.extend(u16::try_from(copied).unwrap_or(u16::MAX).to_be_bytes());
            lists.extend(out);
            kept += 1;
        }
    }
    let mut out = head.to_vec();
    out.push(kept);
    out.extend(lists);
    Ok((Codec::H265 { length_bytes: length_bytes(lengths)?, inband }, out))
}

/// What a decoder of VP8 or VP9 needs: version, profile, level, depth and colours, without data behind them.
pub fn vp(config: &[u8], codec: Codec) -> Result<(Codec, Vec<u8>), VideoFault> {
    let mut out = config.get(..10).ok_or(VideoFault::Damaged)?.to_vec();
    out.extend([0, 0]);
    Ok((codec, out))
}

/// What a decoder of AV1 needs: four bytes and the head of the sequence.
pub fn av1(config: &[u8]) -> Result<(Codec, Vec<u8>), VideoFault> {
    let (head, units) = config.split_at_checked(4).ok_or(VideoFault::Damaged)?;
    if head.first() != Some(&0x81) {
        return Err(VideoFault::Damaged);
    }
    let mut out = head.to_vec();
    copy_obus(units, &mut out)?;
    Ok((Codec::Av1, out))
}
