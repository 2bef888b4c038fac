//! Reading whole numbers from bytes, the highest first, without going beyond their end.

use crate::fault::VideoFault;

/// A whole number of up to eight bytes.
pub fn number(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0, |number, byte| number << 8 | u64::from(*byte))
}

/// A piece of a length, from a place on.
pub fn piece(bytes: &[u8], at: usize, length: usize) -> Option<&[u8]> {
    bytes.get(at..at.checked_add(length)?)
}

/// Reads one value after the other.
#[derive(Debug, Clone, Copy)]
pub struct ByteReader<'a> {
    /// What has not been read.
    pub rest: &'a [u8],
}

impl<'a> ByteReader<'a> {
    pub const fn new(bytes: &'a [u8]) -> Self {
        Self { rest: bytes }
    }

    /// The next bytes.
    pub fn take(&mut self, length: usize) -> Result<&'a [u8], VideoFault> {
        let (taken, rest) = self.rest.split_at_checked(length).ok_or(VideoFault::Damaged)?;
        self.rest = rest;
        Ok(taken)
    }

    pub fn u8(&mut self) -> Result<u8, VideoFault> {
        self.take(1).map(|bytes| bytes.first().copied().unwrap_or(0))
    }

    pub fn u16(&mut self) -> Result<u16, VideoFault> {
        self.take(2).map(|bytes| u16::try_from(number(bytes)).unwrap_or(0))
    }

    pub fn u32(&mut self) -> Result<u32, VideoFault> {
        self.take(4).map(|bytes| u32::try_from(number(bytes)).unwrap_or(0))
    }

    /// A number with its sign, in two's complement.
    pub fn i32(&mut self) -> Result<i32, VideoFault> {
        self.u32().map(u32::cast_signed)
    }

    pub fn u64(&mut self) -> Result<u64, VideoFault> {
        self.take(8).map(number)
    }
}
