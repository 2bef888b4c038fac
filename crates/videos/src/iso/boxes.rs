//! The boxes of which a file is made (ISO/IEC 14496-12, 4.2): a length, a name, contents.

use crate::{
    bytes::{number, piece},
    fault::VideoFault,
};

/// A box.
#[derive(Debug, Clone, Copy)]
pub struct IsoBox<'a> {
    pub name: [u8; 4],
    /// Where it begins in the file.
    pub start: usize,
    /// Where its contents begin in the file.
    pub at: usize,
    pub body: &'a [u8],
}

/// The boxes within some bytes, one after the other. Nothing within them is looked at, so that boxes within boxes
/// cost nothing however deep they are.
#[derive(Debug, Clone)]
pub struct Boxes<'a> {
    bytes: &'a [u8],
    at: usize,
    /// Where the bytes begin in the file.
    base: usize,
    is_file: bool,
}

impl<'a> Boxes<'a> {
    /// Those of a whole file: the last of them may reach to its end without saying its length.
    pub const fn of_file(bytes: &'a [u8]) -> Self {
        Self { bytes, at: 0, base: 0, is_file: true }
    }

    /// Those within a box, behind some bytes of its own.
    pub fn within(outer: &IsoBox<'a>, behind: usize) -> Result<Self, VideoFault> {
        let bytes = outer.body.get(behind..).ok_or(VideoFault::Damaged)?;
        Ok(Self { bytes, at: 0, base: outer.at + behind, is_file: false })
    }

    /// What does not fit: in a file it ends too early, in a box it contradicts that.
    const fn short(&self) -> VideoFault {
        if self.is_file { VideoFault::Truncated } else { VideoFault::Damaged }
    }

    fn read(&mut self) -> Result<Option<IsoBox<'a>>, VideoFault> {
        let rest = self.bytes.get(self.at..).unwrap_or_default();
        // QuickTime ends some lists with four zeros.
        if rest.is_empty() || (!self.is_file && rest.len() < 8 && rest.iter().all(|byte| *byte == 0)) {
            return Ok(None);
        }
        let short = self.short();
        let head = piece(rest, 0, 8).ok_or_else(|| short.clone())?;
        let (size, name) = head.split_at(4);
        let name = <[u8; 4]>::try_from(name).map_err(|_| VideoFault::Damaged)?;
        let (head, size) = match number(size) {
            0 if self.is_file => (8, rest.len() as u64),
            1 => (16, number(piece(rest, 8, 8).ok_or_else(|| short.clone())?)),
            size => (8, size),
        };
        let size = usize::try_from(size).map_err(|_| short.clone())?;
        if size < head {
            return Err(VideoFault::Damaged);
        }
        let body = piece(rest, head, size - head).ok_or(short)?;
        let start = self.base + self.at;
        self.at += size;
        Ok(Some(IsoBox { name, start, at: start + head, body }))
    }
}

impl<'a> Iterator for Boxes<'a> {
    type Item = Result<IsoBox<'a>, VideoFault>;

    fn next(&mut self) -> Option<Self::Item> {
        let read = self.read();
        if read.is_err() {
            // Nothing behind it can be found.
            self.at = self.bytes.len();
        }
        read.transpose()
    }
}

/// The first box with a name within a box.
pub fn find<'a>(outer: &IsoBox<'a>, name: &[u8; 4]) -> Result<Option<IsoBox<'a>>, VideoFault> {
    for found in Boxes::within(outer, 0)? {
        let found = found?;
        if found.name == *name {
            return Ok(Some(found));
        }
    }
    Ok(None)
}

/// The same for a box without which the outer one makes no sense.
pub fn need<'a>(outer: &IsoBox<'a>, name: &[u8; 4]) -> Result<IsoBox<'a>, VideoFault> {
    find(outer, name)?.ok_or(VideoFault::Damaged)
}
