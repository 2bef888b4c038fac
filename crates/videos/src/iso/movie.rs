//! The tracks of a movie (ISO/IEC 14496-12, 8.2 to 8.5): which of them is the film, and how its pictures are coded.

use super::boxes::{Boxes, IsoBox, find, need};
use crate::{
    bytes::{ByteReader, number, piece},
    codec::{self, Codec},
    fault::VideoFault,
    film::{FilmTurn, UPRIGHT},
};

/// The bytes of a picture's entry before its boxes.
const ENTRY_HEAD: usize = 78;
/// The most ticks in a second.
const MOST_TIMESCALE: u32 = 10_000_000;
/// From 1904 to 1970, in seconds: 66 years, 17 of them leap years.
const SINCE_1904: i64 = (66 * 365 + 17) * 86_400;

/// The track of the film.
#[derive(Debug, Clone)]
pub struct FilmTrack<'a> {
    pub id: u32,
    pub timescale: u32,
    pub matrix: FilmTurn,
    pub shown: (u32, u32),
    pub samples: IsoBox<'a>,
    pub entry: PictureEntry,
}

/// How the pictures are coded.
#[derive(Debug, Clone)]
pub struct PictureEntry {
    pub codec: Codec,
    pub config: Vec<u8>,
    pub width: u32,
    pub height: u32,
    pub extras: Vec<u8>,
}

/// The kinds of tracks of a movie.
#[derive(Debug, Clone)]
pub struct Tracks<'a> {
    pub film: Option<FilmTrack<'a>>,
    pub sound: bool,
}

/// When it was taken, in seconds since 1970; `None` where the file does not say.
pub fn taken_at(movie: &IsoBox<'_>) -> Result<Option<i64>, VideoFault> {
    let head = need(movie, b"mvhd")?;
    let length = if head.body.first() == Some(&1) { 8 } else { 4 };
    let at = number(piece(head.body, 4, length).ok_or(VideoFault::Damaged)?);
    let at = i64::try_from(at).unwrap_or(0) - SINCE_1904;
    Ok((at > 0).then_some(at))
}

/// Finds the film among the tracks: the first that is enabled. Every other track is left out.
pub fn tracks<'a>(movie: &IsoBox<'a>) -> Result<Tracks<'a>, VideoFault> {
    let (mut films, mut sound) = (Vec::new(), false);
    for part in Boxes::within(movie, 0)? {
        let track = part?;
        if track.name != *b"trak" {
            // A movie that is packed, by an old way of QuickTime.
            if track.name == *b"cmov" {
                return Err(VideoFault::OtherStructure);
            }
            continue;
        }
        let media = need(&track, b"mdia")?;
        let handler = need(&media, b"hdlr")?;
        match piece(handler.body, 8, 4) {
            Some(b"vide") => films.push((track, media)),
            Some(b"soun") => sound = true,
            _ => {}
        }
    }
    let enabled = |(track, _): &&(IsoBox<'a>, IsoBox<'a>)| {
        find(track, b"tkhd")
            .ok()
            .flatten()
            .is_some_and(|head| head.body.get(3).is_some_and(|flags| flags & 1 == 1))
    };
    let film = films.iter().find(enabled).or(films.first());
    let film = film.map(|(track, media)| film_track(track, media)).transpose()?;
    Ok(Tracks { film, sound })
}

fn film_track<'a>(track: &IsoBox<'a>, media: &IsoBox<'a>) -> Result<FilmTrack<'a>, VideoFault> {
    let (id, matrix, shown) = head_of_track(&need(track, b"tkhd")?)?;
    let head = need(media, b"mdhd")?;
    let at = if head.body.first() == Some(&1) { 20 } else { 12 };
    let timescale = number(piece(head.body, at, 4).ok_or(VideoFault::Damaged)?);
    let timescale = u32::try_from(timescale).unwrap_or(0);
    if timescale == 0 || timescale > MOST_TIMESCALE {
        return Err(VideoFault::Damaged);
    }
    let information = need(media, b"minf")?;
    if let Some(data) = find(&information, b"dinf")? {
        in_this_file(&data)?;
    }
    let samples = need(&information, b"stbl")?;
    let entry = picture_entry(&need(&samples, b"stsd")?)?;
    Ok(FilmTrack { id, timescale, matrix, shown, samples, entry })
}

fn head_of_track(head: &IsoBox<'_>) -> Result<(u32, FilmTurn, (u32, u32)), VideoFault> {
    let long = head.body.first() == Some(&1);
    let mut reader = ByteReader::new(head.body);
    reader.take(if long { 20 } else { 12 })?;
    let id = reader.u32()?;
    // Reserved, duration, and what a picture does not have.
    reader.take(if long { 4 + 8 + 16 } else { 4 + 4 + 16 })?;
    let mut matrix = UPRIGHT;
    for value in &mut matrix {
        *value = reader.i32()?;
    }
    Ok((id, plain(matrix), (reader.u32()?, reader.u32()?)))
}

/// A matrix that turns or mirrors by right angles; any other is exchanged for none.
fn plain(matrix: FilmTurn) -> FilmTurn {
    let [a, b, u, c, d, v, _, _, w] = matrix;
    let unit = |value: i32| matches!(value, 0 | 0x1_0000 | -0x1_0000);
    let is_plain = [a, b, c, d].into_iter().all(unit)
        && (u, v, w) == (0, 0, 0x4000_0000)
        && (a == 0) == (d == 0)
        && (b == 0) == (c == 0)
        && (a == 0) != (b == 0);
    if is_plain { matrix } else { UPRIGHT }
}

/// Refuses a film whose pictures are in another file.
fn in_this_file(data: &IsoBox<'_>) -> Result<(), VideoFault> {
    let Some(references) = find(data, b"dref")? else { return Ok(()) };
    for reference in Boxes::within(&references, 8)? {
        if reference?.body.get(3).is_none_or(|flags| flags & 1 == 0) {
            return Err(VideoFault::OtherStructure);
        }
    }
    Ok(())
}

fn picture_entry(descriptions: &IsoBox<'_>) -> Result<PictureEntry, VideoFault> {
    let mut entries = Boxes::within(descriptions, 8)?;
    let entry = entries.next().ok_or(VideoFault::Damaged)??;
    if entries.next().is_some() {
        return Err(VideoFault::OtherStructure);
    }
    let side = |at: usize| piece(entry.body, at, 2).map(|side| u32::try_from(number(side)).unwrap_or(0));
    let (width, height) = (side(24).ok_or(VideoFault::Damaged)?, side(26).ok_or(VideoFault::Damaged)?);
    let config = |name: &[u8; 4]| -> Result<IsoBox<'_>, VideoFault> {
        let mut boxes = Boxes::within(&entry, ENTRY_HEAD)?;
        let found = boxes.find(|found| found.as_ref().map_or(true, |found| found.name == *name));
        found.ok_or(VideoFault::OtherStructure)?
    };
    let (codec, config) = match &entry.name {
        b"avc1" | b"avc3" => codec::h264(config(b"avcC")?.body, entry.name == *b"avc3")?,
        b"hvc1" | b"hev1" => codec::h265(config(b"hvcC")?.body, entry.name == *b"hev1")?,
        b"vp09" => codec::vp(config(b"vpcC")?.body, Codec::Vp9)?,
        b"av01" => codec::av1(config(b"av1C")?.body)?,
        b"encv" => return Err(VideoFault::Protected),
        _ => return Err(VideoFault::OtherCodec),
    };
    Ok(PictureEntry { codec, config, width, height, extras: extras(&entry)? })
}

/// The meaning of the colours and the shape of the pixels. A colour profile is not copied: it may name the device.
fn extras(entry: &IsoBox<'_>) -> Result<Vec<u8>, VideoFault> {
    let mut out = Vec::new();
    for found in Boxes::within(entry, ENTRY_HEAD)? {
        let found = found?;
        let body = match (&found.name, found.body) {
            (b"sinf", _) => return Err(VideoFault::Protected),
            (b"colr", [b'n', b'c', b'l', b'x', ..]) => found.body.get(..11),
            (b"colr", [b'n', b'c', b'l', b'c', ..]) => found.body.get(..10),
            (b"pasp", _) => found.body.get(..8),
            _ => None,
        };
        if let Some(body) = body {
            super::write::put(&mut out, &found.name, body);
        }
    }
    Ok(out)
}
