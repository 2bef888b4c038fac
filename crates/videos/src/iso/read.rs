//! Reads a file: the film that is in it, and what else was found.

use super::{
    boxes::{Boxes, IsoBox},
    fragments::Fragments,
    movie::{self, FilmTrack},
    samples::{self, Sample},
};
use crate::{
    besides::Besides,
    bytes::piece,
    fault::VideoFault,
    film::{Film, FilmPicture},
    limits::VideoLimits,
};
use std::ops::Range;

/// The parts of a file that matter.
#[derive(Default)]
struct Parts<'a> {
    movie: Option<IsoBox<'a>>,
    fragments: Vec<IsoBox<'a>>,
    /// Where pictures and sound may lie.
    media: Vec<Range<u64>>,
    position: bool,
}

impl<'a> Parts<'a> {
    fn of(bytes: &'a [u8]) -> Result<Self, VideoFault> {
        let mut parts = Self::default();
        for found in Boxes::of_file(bytes) {
            let found = found?;
            match &found.name {
                b"moov" if parts.movie.is_some() => return Err(VideoFault::OtherStructure),
                b"moov" => parts.movie = Some(found),
                b"moof" => parts.fragments.push(found),
                b"mdat" => {
                    let start = found.at as u64;
                    parts.media.push(start..start.saturating_add(found.body.len() as u64));
                }
                _ => {}
            }
            parts.position |= found.name != *b"mdat" && says_where(found.body);
        }
        Ok(parts)
    }
}

/// Whether bytes look as if they said where a video was taken: only to tell the person, because all of it is left out.
fn says_where(bytes: &[u8]) -> bool {
    let has = |words: &[u8]| bytes.windows(words.len()).any(|found| found == words);
    [b"\xa9xyz".as_slice(), b"loci", b"location", b"gpmd", b"GPSLatitude"].into_iter().any(has)
}

/// Reads the film of a file.
pub fn read(bytes: &[u8], limits: &VideoLimits) -> Result<(Film, Besides), VideoFault> {
    let parts = Parts::of(bytes)?;
    // Recorders write the description last.
    let without = if parts.media.is_empty() { VideoFault::NoFilm } else { VideoFault::Truncated };
    let movie = parts.movie.ok_or(without)?;
    let tracks = movie::tracks(&movie)?;
    let track = match tracks.film {
        Some(track) => track,
        None if tracks.sound => return Err(VideoFault::SoundOnly),
        None => return Err(VideoFault::NoFilm),
    };
    let mut samples = samples::listed(&track.samples, limits)?;
    match Fragments::of(&movie, track.id)? {
        Some(fragments) => {
            for fragment in &parts.fragments {
                fragments.add(fragment, limits, &mut samples)?;
            }
        }
        None if parts.fragments.is_empty() => {}
        None => return Err(VideoFault::OtherStructure),
    }
    let besides =
        Besides { taken_at: movie::taken_at(&movie)?, position: parts.position, sound: tracks.sound };
    Ok((film(bytes, track, &samples, &parts.media, limits)?, besides))
}

/// Copies the pictures. Each has to lie where the file keeps pictures, and all of them together cannot be more than the
/// file, so that one piece of it is not copied a thousand times.
fn film(
    bytes: &[u8],
    track: FilmTrack<'_>,
    samples: &[Sample],
    media: &[Range<u64>],
    limits: &VideoLimits,
) -> Result<Film, VideoFault> {
    let sum = samples.iter().fold(0_usize, |sum, sample| sum.saturating_add(sample.frame.length));
    if sum > bytes.len() {
        return Err(VideoFault::Damaged);
    }
    // Without sound only the differences of these matter.
    let least = samples.iter().map(|sample| sample.frame.shift).min().unwrap_or(0);
    let most = i64::from(limits.most_seconds) * i64::from(track.timescale);
    if samples.iter().any(|sample| sample.frame.shift - least > most) {
        return Err(VideoFault::Damaged);
    }
    let entry = track.entry;
    let (mut data, mut frames) = (Vec::with_capacity(sum), Vec::with_capacity(samples.len()));
    for sample in samples {
        let end = sample.start.saturating_add(sample.frame.length as u64);
        if !media.iter().any(|media| media.start <= sample.start && end <= media.end) {
            return Err(VideoFault::Damaged);
        }
        let start = usize::try_from(sample.start).map_err(|_| VideoFault::Damaged)?;
        let picture = piece(bytes, start, sample.frame.length).ok_or(VideoFault::Damaged)?;
        let before = data.len();
        if !entry.codec.copy_picture(picture, &mut data)? {
            return Err(VideoFault::Damaged);
        }
        let shift = sample.frame.shift - least;
        frames.push(FilmPicture { length: data.len() - before, shift, ..sample.frame });
    }
    let is_likely = |side: &u32| (1..=2 * limits.most_side).contains(&(side >> 16));
    let shown = |side: u32, coded: u32| Some(side).filter(is_likely).unwrap_or(coded << 16);
    Ok(Film {
        codec: entry.codec,
        config: entry.config,
        width: entry.width,
        height: entry.height,
        shown: (shown(track.shown.0, entry.width), shown(track.shown.1, entry.height)),
        matrix: track.matrix,
        timescale: track.timescale,
        frames,
        last_ticks: samples.last().map_or(0, |sample| sample.ticks),
        data,
        extras: entry.extras,
    })
}
