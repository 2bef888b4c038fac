//! Pictures that are listed piece by piece (movie fragments, ISO/IEC 14496-12, 8.8), as recorders in browsers write them.

use super::{
    boxes::{Boxes, IsoBox, find, need},
    samples::Sample,
};
use crate::{bytes::ByteReader, fault::VideoFault, film::FilmPicture, limits::VideoLimits};

/// What holds where a fragment does not say otherwise.
#[derive(Debug, Clone, Copy, Default)]
struct Defaults {
    ticks: u32,
    length: u32,
    flags: u32,
}

/// A picture with this flag cannot be decoded by itself.
const NOT_BY_ITSELF: u32 = 0x1_0000;

/// The fragments of a movie.
#[derive(Debug, Clone)]
pub struct Fragments {
    track: u32,
    defaults: Defaults,
}

impl Fragments {
    /// Of a movie whose film is a track; `None` where it has no fragments.
    pub fn of(movie: &IsoBox<'_>, track: u32) -> Result<Option<Self>, VideoFault> {
        let Some(extends) = find(movie, b"mvex")? else { return Ok(None) };
        for found in Boxes::within(&extends, 0)? {
            let found = found?;
            let mut reader = ByteReader::new(found.body);
            if found.name != *b"trex" || (reader.u32()?, reader.u32()?).1 != track {
                continue;
            }
            reader.u32()?;
            let defaults = Defaults { ticks: reader.u32()?, length: reader.u32()?, flags: reader.u32()? };
            return Ok(Some(Self { track, defaults }));
        }
        Err(VideoFault::Damaged)
    }

    /// Adds the pictures of the film that a fragment lists.
    pub fn add(
        &self,
        fragment: &IsoBox<'_>,
        limits: &VideoLimits,
        samples: &mut Vec<Sample>,
    ) -> Result<(), VideoFault> {
        let mut is_first = true;
        for found in Boxes::within(fragment, 0)? {
            let found = found?;
            if found.name != *b"traf" {
                continue;
            }
            let head = need(&found, b"tfhd")?;
            if (ByteReader::new(head.body.get(4..).unwrap_or_default())).u32()? == self.track {
                self.add_track(fragment, &found, (&head, is_first), limits, samples)?;
            }
            is_first = false;
        }
        Ok(())
    }

    fn add_track(
        &self,
        fragment: &IsoBox<'_>,
        track: &IsoBox<'_>,
        (head, is_first): (&IsoBox<'_>, bool),
        limits: &VideoLimits,
        samples: &mut Vec<Sample>,
    ) -> Result<(), VideoFault> {
        let mut reader = ByteReader::new(head.body);
        let flags = reader.u32()? & 0x00ff_ffff;
        reader.u32()?;
        let begin = u64::try_from(fragment.start).unwrap_or(u64::MAX);
        let base = match flags {
            flags if flags & 0x1 != 0 => reader.u64()?,
            flags if flags & 0x2_0000 != 0 || is_first => begin,
            // It would begin where the pictures of the track before it end.
            _ => return Err(VideoFault::OtherStructure),
        };
        if flags & 0x2 != 0 && reader.u32()? != 1 {
            return Err(VideoFault::OtherStructure);
        }
        let mut defaults = self.defaults;
        for (flag, value) in
            [(0x8, &mut defaults.ticks), (0x10, &mut defaults.length), (0x20, &mut defaults.flags)]
        {
            if flags & flag != 0 {
                *value = reader.u32()?;
            }
        }
        let ended = samples.last().map_or(0, |last| last.frame.at.saturating_add(last.ticks));
        let mut at = begins(track)?.unwrap_or(ended).max(ended);
        let mut next = base;
        for found in Boxes::within(track, 0)? {
            let found = found?;
            if found.name == *b"trun" {
                run(&found, (base, &mut next, &mut at), defaults, limits, samples)?;
            }
        }
        Ok(())
    }
}

/// When the first picture of a fragment is decoded, where that is said.
fn begins(track: &IsoBox<'_>) -> Result<Option<u64>, VideoFault> {
    let Some(found) = find(track, b"tfdt")? else { return Ok(None) };
    let mut reader = ByteReader::new(found.body);
    let long = reader.u32()? >> 24 == 1;
    Ok(Some(if long { reader.u64()? } else { u64::from(reader.u32()?) }))
}

/// Adds the pictures of a run, which follow each other in the file.
fn run(
    found: &IsoBox<'_>,
    (base, next, at): (u64, &mut u64, &mut u64),
    defaults: Defaults,
    limits: &VideoLimits,
    samples: &mut Vec<Sample>,
) -> Result<(), VideoFault> {
    let mut reader = ByteReader::new(found.body);
    let head = reader.u32()?;
    let (version, flags) = (head >> 24, head & 0x00ff_ffff);
    let count = usize::try_from(reader.u32()?).unwrap_or(usize::MAX);
    if count > limits.most_frames.saturating_sub(samples.len()) {
        return Err(VideoFault::ManyFrames { most_frames: limits.most_frames });
    }
    if flags & 0x1 != 0 {
        *next = base.checked_add_signed(i64::from(reader.i32()?)).ok_or(VideoFault::Damaged)?;
    }
    let mut first_flags = if flags & 0x4 != 0 { Some(reader.u32()?) } else { None };
    for _ in 0..count {
        let mut value = |flag: u32, otherwise: u32| {
            if flags & flag != 0 { reader.u32() } else { Ok(otherwise) }
        };
        let (ticks, length) = (value(0x100, defaults.ticks)?, value(0x200, defaults.length)?);
        let of_picture = value(0x400, defaults.flags)?;
        let shift = value(0x800, 0)?;
        let shift = if version == 0 { i64::from(shift) } else { i64::from(shift.cast_signed()) };
        let is_key = first_flags.take().unwrap_or(of_picture) & NOT_BY_ITSELF == 0;
        let length = usize::try_from(length).unwrap_or(usize::MAX);
        let frame = FilmPicture { length, at: *at, shift, is_key };
        samples.push(Sample { start: *next, frame, ticks: u64::from(ticks) });
        *next = next.saturating_add(u64::try_from(length).unwrap_or(u64::MAX));
        *at = at.saturating_add(u64::from(ticks));
    }
    Ok(())
}
