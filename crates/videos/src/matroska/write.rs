//! Writes a film as a WebM file: length, track, a list of places to jump to, then the pictures. Every length is known,
//! also where the recorder did not know it, so that a browser shows how long the film is and can jump in it.

use super::elements::id;
use crate::{
    codec::Codec,
    film::{Film, FilmPicture},
};

/// The track of the film.
const TRACK: u64 = 1;
/// The highest time of a block after its cluster, in milliseconds: 16 bits with a sign.
const MOST_AFTER_MS: u64 = 30_000;
/// What the file says of the program that wrote it: nothing. The element itself has to be there.
const NO_NAME: &[u8] = b"-";

/// Adds an element. Its length is written in eight bytes, so that it never depends on its value.
fn put(out: &mut Vec<u8>, id: u32, body: &[u8]) {
    let bytes = id.to_be_bytes();
    out.extend(bytes.iter().skip_while(|byte| **byte == 0));
    let length = u64::try_from(body.len()).unwrap_or(u64::MAX) | 1 << 56;
    out.extend(length.to_be_bytes());
    out.extend(body);
}

fn put_number(out: &mut Vec<u8>, id: u32, number: u64) {
    put(out, id, &number.to_be_bytes());
}

fn element(id: u32, fill: impl FnOnce(&mut Vec<u8>)) -> Vec<u8> {
    let (mut body, mut out) = (Vec::new(), Vec::new());
    fill(&mut body);
    put(&mut out, id, &body);
    out
}

/// Writes the file.
pub fn write(film: &Film) -> Vec<u8> {
    let kind = element(id::EBML, |out| {
        for (id, number) in [(0x4286, 1), (0x42f7, 1), (id::MOST_ID_BYTES, 4), (id::MOST_SIZE_BYTES, 8)] {
            put_number(out, id, number);
        }
        put(out, id::DOC_TYPE, b"webm");
        put_number(out, 0x4287, 4);
        put_number(out, 0x4285, 2);
    });
    let (clusters, places) = clusters(film);
    let before = [info(film), track(film)].concat();
    let first = before.len() + cues(&places, 0).len();
    let cues = cues(&places, u64::try_from(first).unwrap_or(0));
    let mut out = kind;
    put(&mut out, id::SEGMENT, &[before, cues, clusters].concat());
    out
}

fn info(film: &Film) -> Vec<u8> {
    element(id::INFO, |out| {
        put_number(out, id::TICK_NS, 1_000_000);
        put(out, id::MUXING_APP, NO_NAME);
        put(out, id::WRITING_APP, NO_NAME);
        // A film has less than 2^53 milliseconds.
        #[allow(clippy::cast_precision_loss)]
        let duration = film.ticks() as f64;
        put(out, id::DURATION, &duration.to_be_bytes());
    })
}

const fn codec_name(codec: Codec) -> &'static [u8] {
    match codec {
        Codec::H264 { .. } => b"V_MPEG4/ISO/AVC",
        Codec::H265 { .. } => b"V_MPEGH/ISO/HEVC",
        Codec::Vp8 => b"V_VP8",
        Codec::Vp9 => b"V_VP9",
        Codec::Av1 => b"V_AV1",
    }
}

fn track(film: &Film) -> Vec<u8> {
    element(id::TRACKS, |out| {
        out.extend(element(id::TRACK, |out| {
            for (id, number) in
                [(id::TRACK_NUMBER, TRACK), (id::TRACK_UID, TRACK), (id::TRACK_TYPE, 1), (id::LACING, 0)]
            {
                put_number(out, id, number);
            }
            put(out, id::CODEC, codec_name(film.codec));
            if !film.config.is_empty() {
                put(out, id::CODEC_PRIVATE, &film.config);
            }
            out.extend(element(id::VIDEO, |out| {
                put_number(out, id::WIDTH, u64::from(film.width));
                put_number(out, id::HEIGHT, u64::from(film.height));
            }));
        }));
    })
}

/// The clusters, each from a picture that can be decoded by itself, with the time of each and where it begins.
fn clusters(film: &Film) -> (Vec<u8>, Vec<(u64, u64)>) {
    let (mut out, mut places) = (Vec::new(), Vec::new());
    let (mut cluster, mut begun) = (Vec::new(), None);
    let mut data = film.data.as_slice();
    for frame in &film.frames {
        let is_far = begun.is_some_and(|begun| frame.at - begun > MOST_AFTER_MS);
        if begun.is_none() || frame.is_key || is_far {
            close(&mut out, &mut cluster);
            places.push((frame.at, u64::try_from(out.len()).unwrap_or(0)));
            put_number(&mut cluster, id::CLUSTER_TIME, frame.at);
            begun = Some(frame.at);
        }
        let (picture, rest) = data.split_at_checked(frame.length).unwrap_or((data, &[]));
        data = rest;
        block(&mut cluster, frame, frame.at - begun.unwrap_or(frame.at), picture);
    }
    close(&mut out, &mut cluster);
    (out, places)
}

fn close(out: &mut Vec<u8>, cluster: &mut Vec<u8>) {
    if !cluster.is_empty() {
        put(out, id::CLUSTER, cluster);
        cluster.clear();
    }
}

fn block(cluster: &mut Vec<u8>, frame: &FilmPicture, after: u64, picture: &[u8]) {
    let mut body = vec![0x81];
    body.extend(i16::try_from(after).unwrap_or(i16::MAX).to_be_bytes());
    body.push(if frame.is_key { 0x80 } else { 0 });
    body.extend(picture);
    put(cluster, id::SIMPLE_BLOCK, &body);
}

/// Where each cluster begins, counted from the beginning of the segment's contents.
fn cues(places: &[(u64, u64)], first: u64) -> Vec<u8> {
    element(id::CUES, |out| {
        for (time, place) in places {
            out.extend(element(id::CUE, |out| {
                put_number(out, id::CUE_TIME, *time);
                out.extend(element(id::CUE_PLACE, |out| {
                    put_number(out, id::CUE_TRACK, TRACK);
                    put_number(out, id::CUE_CLUSTER, first + place);
                }));
            }));
        }
    })
}
