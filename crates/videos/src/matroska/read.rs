//! Reads a file: the film that is in it, and what else was found.

use super::elements::{Element, contents, elements, head, id, sized, whole};
use crate::{
    besides::Besides,
    bytes::ByteReader,
    codec::{self, Codec},
    fault::VideoFault,
    film::{Film, FilmPicture, UPRIGHT},
    limits::VideoLimits,
};

/// From 1970 to 2001, in seconds: 31 years, 8 of them leap years. Dates are counted from there (RFC 8794, 7.6).
const UNTIL_2001: i64 = (31 * 365 + 8) * 86_400;
const NS_PER_SECOND: u64 = 1_000_000_000;
/// Ticks in a second of the film.
const TIMESCALE: u32 = 1000;
/// The track type of pictures, and that of sound.
const PICTURES: u64 = 1;
const SOUND: u64 = 2;
/// The flag of a block that can be decoded by itself, and those that say that several are packed into it.
const KEY: u8 = 0x80;
const LACED: u8 = 0x06;

/// A track of the file.
#[derive(Debug, Clone, Default)]
struct Track {
    number: u64,
    kind: u64,
    codec: Vec<u8>,
    private: Vec<u8>,
    frame_ns: u64,
    width: u32,
    height: u32,
    is_encoded: bool,
}

/// What has been read so far.
struct Reading<'a> {
    bytes: &'a [u8],
    limits: &'a VideoLimits,
    besides: Besides,
    /// Nanoseconds of a tick.
    tick_ns: u64,
    track: Option<(Track, Codec, Vec<u8>)>,
    /// When each picture is shown, in nanoseconds, its length, and whether it can be decoded by itself.
    pictures: Vec<(u64, usize, bool)>,
    last_ns: Option<u64>,
    /// The length of the whole, in ticks, where the file says it.
    whole_ticks: Option<f64>,
    data: Vec<u8>,
}

/// Reads the film of a file.
pub fn read(bytes: &[u8], limits: &VideoLimits) -> Result<(Film, Besides), VideoFault> {
    let first = head(bytes, 0)?;
    let kind = contents(bytes, &first)?;
    is_readable(kind)?;
    let segment = head(bytes, first.at + kind.len())?;
    if segment.id != id::SEGMENT {
        return Err(VideoFault::OtherStructure);
    }
    let end = match segment.length {
        None => bytes.len(),
        Some(length) => segment.at.checked_add(length).ok_or(VideoFault::Truncated)?,
    };
    let bytes = bytes.get(..end).ok_or(VideoFault::Truncated)?;
    let mut reading = Reading {
        bytes,
        limits,
        besides: Besides::default(),
        tick_ns: 1_000_000,
        track: None,
        pictures: Vec::new(),
        last_ns: None,
        whole_ticks: None,
        data: Vec::new(),
    };
    reading.segment(segment.at)?;
    reading.film()
}

/// Whether the head of a file is one of WebM or Matroska with identifiers and lengths of the usual sizes.
fn is_readable(kind: &[u8]) -> Result<(), VideoFault> {
    let mut is_known = false;
    for found in elements(kind) {
        let Element { id, body } = found?;
        match id {
            id::DOC_TYPE => {
                let name = body.split(|byte| *byte == 0).next().unwrap_or_default();
                is_known = name == b"webm" || name == b"matroska";
            }
            id::MOST_ID_BYTES if whole(body)? > 4 => return Err(VideoFault::OtherStructure),
            id::MOST_SIZE_BYTES if whole(body)? > 8 => return Err(VideoFault::OtherStructure),
            _ => {}
        }
    }
    if is_known { Ok(()) } else { Err(VideoFault::OtherFormat) }
}

/// Whether tags say where a video was taken: only to tell the person, because all of it is left out.
fn says_where(bytes: &[u8]) -> bool {
    let has = |words: &[u8]| bytes.windows(words.len()).any(|found| found.eq_ignore_ascii_case(words));
    [b"location".as_slice(), b"latitude"].into_iter().any(has)
}

impl<'a> Reading<'a> {
    /// The parts of the file.
    fn segment(&mut self, mut at: usize) -> Result<(), VideoFault> {
        while at < self.bytes.len() {
            let found = head(self.bytes, at)?;
            if found.id == id::CLUSTER {
                at = self.cluster(found.at, found.length)?;
                continue;
            }
            let body = contents(self.bytes, &found)?;
            at = found.at + body.len();
            match found.id {
                id::INFO => self.info(body)?,
                id::TRACKS if self.track.is_none() => self.tracks(body)?,
                id::TRACKS => return Err(VideoFault::OtherStructure),
                id::TAGS => self.besides.position |= says_where(body),
                // A second file behind the first.
                id::EBML | id::SEGMENT => break,
                _ => {}
            }
        }
        Ok(())
    }

    fn info(&mut self, body: &[u8]) -> Result<(), VideoFault> {
        for found in elements(body) {
            let Element { id, body } = found?;
            match id {
                id::TICK_NS => self.tick_ns = whole(body)?,
                id::DURATION => self.whole_ticks = decimal(body),
                id::DATE_UTC => {
                    let seconds = whole(body)?.cast_signed().div_euclid(NS_PER_SECOND.cast_signed());
                    self.besides.taken_at = Some(seconds + UNTIL_2001);
                }
                _ => {}
            }
        }
        if self.tick_ns == 0 { Err(VideoFault::Damaged) } else { Ok(()) }
    }

    fn tracks(&mut self, body: &[u8]) -> Result<(), VideoFault> {
        let mut films = Vec::new();
        for found in elements(body) {
            let found = found?;
            if found.id != id::TRACK {
                continue;
            }
            let track = track(found.body)?;
            self.besides.sound |= track.kind == SOUND;
            if track.kind == PICTURES {
                films.push(track);
            }
        }
        let [track] = <[Track; 1]>::try_from(films).map_err(|films| match films.len() {
            0 if self.besides.sound => VideoFault::SoundOnly,
            0 => VideoFault::NoFilm,
            _ => VideoFault::OtherStructure,
        })?;
        if track.is_encoded {
            return Err(VideoFault::Protected);
        }
        let (codec, config) = match track.codec.as_slice() {
            b"V_VP8" => (Codec::Vp8, Vec::new()),
            b"V_VP9" => (Codec::Vp9, Vec::new()),
            b"V_AV1" => codec::av1(&track.private)?,
            _ => return Err(VideoFault::OtherCodec),
        };
        self.track = Some((track, codec, config));
        Ok(())
    }

    /// The blocks of a cluster. Returns where what follows begins: where its length is not known, that is where
    /// something begins that cannot be in it.
    fn cluster(&mut self, start: usize, length: Option<usize>) -> Result<usize, VideoFault> {
        let end = match length {
            Some(length) => start.checked_add(length).ok_or(VideoFault::Truncated)?,
            None => self.bytes.len(),
        };
        if end > self.bytes.len() {
            return Err(VideoFault::Truncated);
        }
        let (mut at, mut time) = (start, None);
        while at < end {
            let found = head(self.bytes, at)?;
            if length.is_none() && id::ends_cluster(found.id) {
                return Ok(at);
            }
            let body = contents(self.bytes, &found)?;
            at = found.at + body.len();
            if at > end {
                return Err(VideoFault::Damaged);
            }
            match found.id {
                id::CLUSTER_TIME => time = Some(whole(body)?),
                id::SIMPLE_BLOCK => self.block(body, time, None)?,
                id::BLOCK_GROUP => self.group(body, time)?,
                id::ENCRYPTED_BLOCK => return Err(VideoFault::Protected),
                _ => {}
            }
        }
        Ok(end)
    }

    fn group(&mut self, body: &[u8], time: Option<u64>) -> Result<(), VideoFault> {
        let (mut block, mut duration, mut is_key) = (None, None, true);
        for found in elements(body) {
            let Element { id, body } = found?;
            match id {
                id::BLOCK if block.is_none() => block = Some(body),
                id::BLOCK => return Err(VideoFault::Damaged),
                id::BLOCK_DURATION => duration = Some(whole(body)?),
                id::REFERENCE => is_key = false,
                _ => {}
            }
        }
        self.last_ns = duration.filter(|ticks| *ticks > 0).map(|ticks| ticks.saturating_mul(self.tick_ns));
        self.block(block.ok_or(VideoFault::Damaged)?, time, Some(is_key))
    }

    /// A block: the picture of the film, or sound, which is left where it is.
    fn block(&mut self, block: &[u8], time: Option<u64>, in_group: Option<bool>) -> Result<(), VideoFault> {
        let (track, codec, _) = self.track.as_ref().ok_or(VideoFault::OtherStructure)?;
        let (number, length) = sized(block, 0).map_err(|_| VideoFault::Damaged)?;
        if number != Some(track.number) {
            return Ok(());
        }
        let mut reader = ByteReader::new(block);
        reader.take(length)?;
        let (after, flags) = (reader.u16()?.cast_signed(), reader.u8()?);
        if flags & LACED != 0 {
            return Err(VideoFault::OtherStructure);
        }
        if self.pictures.len() >= self.limits.most_frames {
            return Err(VideoFault::ManyFrames { most_frames: self.limits.most_frames });
        }
        let ticks =
            time.and_then(|time| time.checked_add_signed(i64::from(after))).ok_or(VideoFault::Damaged)?;
        let before = self.data.len();
        if !codec.copy_picture(reader.rest, &mut self.data)? {
            return Err(VideoFault::Damaged);
        }
        let is_key = in_group.unwrap_or(flags & KEY != 0);
        if in_group.is_none() {
            self.last_ns = None;
        }
        self.pictures.push((ticks.saturating_mul(self.tick_ns), self.data.len() - before, is_key));
        Ok(())
    }

    /// How long the last picture is shown, in nanoseconds, by the length of the whole; `None` where that makes no sense.
    fn rest_of_whole(&self, frames: &[FilmPicture]) -> Option<u64> {
        #[allow(clippy::cast_precision_loss)]
        let whole_ms = self.whole_ticks? * self.tick_ns as f64 / 1e6;
        let last = u32::try_from(frames.last()?.at).ok()?;
        let rest = (whole_ms - f64::from(last)).round();
        let is_likely = (1.0..=f64::from(self.limits.most_seconds) * 1000.0).contains(&rest);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        is_likely.then(|| rest as u64 * 1_000_000)
    }

    /// The film, in milliseconds from its first picture.
    fn film(mut self) -> Result<(Film, Besides), VideoFault> {
        let Some((track, codec, config)) = self.track.take() else { return Err(VideoFault::NoFilm) };
        let first = self.pictures.iter().map(|(ns, ..)| *ns).min().unwrap_or(0);
        let ms = |ns: u64| ns.saturating_add(500_000) / 1_000_000;
        let frames: Vec<FilmPicture> = self
            .pictures
            .iter()
            .map(|(ns, length, is_key)| FilmPicture {
                length: *length,
                at: ms(ns - first),
                shift: 0,
                is_key: *is_key,
            })
            .collect();
        if !frames.is_sorted_by_key(|frame| frame.at) {
            return Err(VideoFault::OtherStructure);
        }
        let of_track = (track.frame_ns > 0).then_some(track.frame_ns);
        let last = self.last_ns.or_else(|| self.rest_of_whole(&frames)).or(of_track).map(ms);
        Ok((
            Film {
                codec,
                config,
                width: track.width,
                height: track.height,
                shown: (track.width << 16, track.height << 16),
                matrix: UPRIGHT,
                timescale: TIMESCALE,
                last_ticks: last.unwrap_or_else(|| usual_gap(&frames)).max(1),
                frames,
                data: self.data,
                extras: Vec::new(),
            },
            self.besides,
        ))
    }
}

/// A number with decimals, of four or eight bytes.
fn decimal(body: &[u8]) -> Option<f64> {
    let value = match body.len() {
        4 => f64::from(f32::from_be_bytes(body.try_into().ok()?)),
        8 => f64::from_be_bytes(body.try_into().ok()?),
        _ => return None,
    };
    value.is_finite().then_some(value)
}

/// How long a picture is shown on average: the last one too, where the file does not say.
fn usual_gap(frames: &[FilmPicture]) -> u64 {
    let ticks = frames.last().map_or(0, |last| last.at);
    let gaps = u64::try_from(frames.len().saturating_sub(1)).unwrap_or(0);
    if gaps == 0 { 1 } else { ticks.div_ceil(gaps).max(1) }
}

fn track(body: &[u8]) -> Result<Track, VideoFault> {
    let mut track = Track::default();
    for found in elements(body) {
        let Element { id, body } = found?;
        match id {
            id::TRACK_NUMBER => track.number = whole(body)?,
            id::TRACK_TYPE => track.kind = whole(body)?,
            id::CODEC => track.codec = body.split(|byte| *byte == 0).next().unwrap_or_default().to_vec(),
            id::CODEC_PRIVATE => track.private = body.to_vec(),
            id::FRAME_NS => track.frame_ns = whole(body)?,
            id::ENCODINGS => track.is_encoded = true,
            id::VIDEO => sides(body, &mut track)?,
            _ => {}
        }
    }
    Ok(track)
}

fn sides(body: &[u8], track: &mut Track) -> Result<(), VideoFault> {
    let side = |body: &[u8]| -> Result<u32, VideoFault> {
        Ok(u32::try_from(whole(body)?).unwrap_or(u32::MAX).min(0xffff))
    };
    for found in elements(body) {
        let Element { id, body } = found?;
        match id {
            id::WIDTH => track.width = side(body)?,
            id::HEIGHT => track.height = side(body)?,
            _ => {}
        }
    }
    Ok(())
}
