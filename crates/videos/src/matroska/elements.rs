//! The elements of which a file is made (RFC 8794): an identifier, a length, contents.

use crate::{
    bytes::{number, piece},
    fault::VideoFault,
};

/// Identifiers (RFC 8794, section 11, and RFC 9559, section 5.1).
pub mod id {
    pub const EBML: u32 = 0x1a45_dfa3;
    pub const DOC_TYPE: u32 = 0x4282;
    pub const MOST_ID_BYTES: u32 = 0x42f2;
    pub const MOST_SIZE_BYTES: u32 = 0x42f3;
    pub const SEGMENT: u32 = 0x1853_8067;
    pub const SEEK_HEAD: u32 = 0x114d_9b74;
    pub const INFO: u32 = 0x1549_a966;
    pub const TICK_NS: u32 = 0x2a_d7b1;
    pub const DURATION: u32 = 0x4489;
    pub const DATE_UTC: u32 = 0x4461;
    pub const MUXING_APP: u32 = 0x4d80;
    pub const WRITING_APP: u32 = 0x5741;
    pub const TRACKS: u32 = 0x1654_ae6b;
    pub const TRACK: u32 = 0xae;
    pub const TRACK_NUMBER: u32 = 0xd7;
    pub const TRACK_UID: u32 = 0x73c5;
    pub const TRACK_TYPE: u32 = 0x83;
    pub const LACING: u32 = 0x9c;
    pub const CODEC: u32 = 0x86;
    pub const CODEC_PRIVATE: u32 = 0x63a2;
    pub const FRAME_NS: u32 = 0x23_e383;
    pub const ENCODINGS: u32 = 0x6d80;
    pub const VIDEO: u32 = 0xe0;
    pub const WIDTH: u32 = 0xb0;
    pub const HEIGHT: u32 = 0xba;
    pub const CLUSTER: u32 = 0x1f43_b675;
    pub const CLUSTER_TIME: u32 = 0xe7;
    pub const SIMPLE_BLOCK: u32 = 0xa3;
    pub const ENCRYPTED_BLOCK: u32 = 0xaf;
    pub const BLOCK_GROUP: u32 = 0xa0;
    pub const BLOCK: u32 = 0xa1;
    pub const BLOCK_DURATION: u32 = 0x9b;
    pub const REFERENCE: u32 = 0xfb;
    pub const CUES: u32 = 0x1c53_bb6b;
    pub const CUE: u32 = 0xbb;
    pub const CUE_TIME: u32 = 0xb3;
    pub const CUE_PLACE: u32 = 0xb7;
    pub const CUE_TRACK: u32 = 0xf7;
    pub const CUE_CLUSTER: u32 = 0xf1;
    pub const CHAPTERS: u32 = 0x1043_a770;
    pub const TAGS: u32 = 0x1254_c367;
    pub const ATTACHMENTS: u32 = 0x1941_a469;

    /// Whether an element can follow a cluster whose length is not known.
    pub const fn ends_cluster(id: u32) -> bool {
        matches!(
            id,
            SEEK_HEAD | INFO | TRACKS | CLUSTER | CUES | CHAPTERS | TAGS | ATTACHMENTS | SEGMENT | EBML
        )
    }
}

/// The head of an element.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ElementHead {
    pub id: u32,
    /// Where its contents begin.
    pub at: usize,
    /// The length of the contents; `None` where it is not known.
    pub length: Option<usize>,
}

/// An element whose length is known.
#[derive(Debug, Clone, Copy)]
pub struct Element<'a> {
    pub id: u32,
    pub body: &'a [u8],
}

/// A number that says its own length, with its mark. Returns the number of bytes too.
fn marked(bytes: &[u8], at: usize, most: usize) -> Result<(u64, usize), VideoFault> {
    let first = *bytes.get(at).ok_or(VideoFault::Truncated)?;
    let length = first.leading_zeros() as usize + 1;
    if length > most {
        return Err(VideoFault::Damaged);
    }
    Ok((number(piece(bytes, at, length).ok_or(VideoFault::Truncated)?), length))
}

/// A number that says its own length; `None` if all its bits are set. Returns the number of bytes too.
pub fn sized(bytes: &[u8], at: usize) -> Result<(Option<u64>, usize), VideoFault> {
    let (marked, length) = marked(bytes, at, 8)?;
    let all = (1_u64 << (7 * length)) - 1;
    let value = marked & all;
    Ok(((value != all).then_some(value), length))
}

/// Reads the head of the element at a place.
pub fn head(bytes: &[u8], at: usize) -> Result<ElementHead, VideoFault> {
    let (id, id_bytes) = marked(bytes, at, 4)?;
    let (length, length_bytes) = sized(bytes, at + id_bytes)?;
    let length =
        length.map(|length| usize::try_from(length).map_err(|_| VideoFault::Truncated)).transpose()?;
    Ok(ElementHead { id: u32::try_from(id).unwrap_or(0), at: at + id_bytes + length_bytes, length })
}

/// The contents of an element whose length has to be known.
pub fn contents<'a>(bytes: &'a [u8], head: &ElementHead) -> Result<&'a [u8], VideoFault> {
    let length = head.length.ok_or(VideoFault::OtherStructure)?;
    piece(bytes, head.at, length).ok_or(VideoFault::Truncated)
}

/// The elements within some bytes, one after the other.
pub fn elements(bytes: &[u8]) -> impl Iterator<Item = Result<Element<'_>, VideoFault>> {
    let mut at = 0;
    std::iter::from_fn(move || {
        if at >= bytes.len() {
            return None;
        }
        let found = head(bytes, at).and_then(|head| {
            let body = contents(bytes, &head)?;
            at = head.at + body.len();
            Ok(Element { id: head.id, body })
        });
        // Within an element of known length nothing may be missing.
        Some(found.map_err(|fault| {
            at = bytes.len();
            if fault == VideoFault::Truncated { VideoFault::Damaged } else { fault }
        }))
    })
}

/// A whole number of an element, without sign.
pub fn whole(body: &[u8]) -> Result<u64, VideoFault> {
    if body.len() > 8 { Err(VideoFault::Damaged) } else { Ok(number(body)) }
}
