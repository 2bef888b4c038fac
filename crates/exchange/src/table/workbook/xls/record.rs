//! Records: a kind, a length and data; and the numbers within them.

use crate::table::workbook::budget::WorkbookFault;

pub(super) const BEGIN: u16 = 0x0809;
pub(super) const END: u16 = 0x000A;
pub(super) const CONTINUED: u16 = 0x003C;
pub(super) const LOCKED: u16 = 0x002F;
pub(super) const CODE_PAGE: u16 = 0x0042;
pub(super) const DATE_MODE: u16 = 0x0022;
pub(super) const FORMAT: u16 = 0x041E;
pub(super) const STYLE: u16 = 0x00E0;
pub(super) const SHEET: u16 = 0x0085;
pub(super) const SHARED_TEXTS: u16 = 0x00FC;
pub(super) const NUMBER: u16 = 0x0203;
pub(super) const SHORT_NUMBER: u16 = 0x027E;
pub(super) const SHORT_NUMBERS: u16 = 0x00BD;
pub(super) const SHARED_TEXT: u16 = 0x00FD;
pub(super) const TEXT: u16 = 0x0204;
pub(super) const RICH_TEXT: u16 = 0x00D6;
pub(super) const YES_OR_ERROR: u16 = 0x0205;
pub(super) const FORMULA: u16 = 0x0006;
pub(super) const FORMULA_TEXT: u16 = 0x0207;
pub(super) const MERGED: u16 = 0x00E5;

/// One record.
#[derive(Debug, Clone, Copy)]
pub(super) struct Record<'s> {
    pub(super) kind: u16,
    pub(super) data: &'s [u8],
}

/// The records of a stream, from a place on.
pub(super) struct Records<'s> {
    rest: &'s [u8],
}

impl<'s> Records<'s> {
    pub(super) fn at(stream: &'s [u8], start: usize) -> Result<Self, WorkbookFault> {
        let rest = stream.get(start..).ok_or_else(cut_off)?;
        Ok(Self { rest })
    }

    /// The next record; `None` at the end of the stream.
    pub(super) fn next(&mut self) -> Result<Option<Record<'s>>, WorkbookFault> {
        let Some((head, rest)) = self.rest.split_at_checked(4) else { return Ok(None) };
        let mut head = Bytes::of(head);
        let (kind, length) = (head.u16()?, usize::from(head.u16()?));
        let (data, rest) = rest.split_at_checked(length).ok_or_else(cut_off)?;
        self.rest = rest;
        Ok(Some(Record { kind, data }))
    }

    /// The data of a record and of those that continue it.
    pub(super) fn with_continued(&mut self, record: Record<'s>) -> Vec<&'s [u8]> {
        let mut pieces = vec![record.data];
        loop {
            let before = self.rest;
            match self.next() {
                Ok(Some(next)) if next.kind == CONTINUED => pieces.push(next.data),
                _ => {
                    self.rest = before;
                    return pieces;
                }
            }
        }
    }
}

pub(super) fn cut_off() -> WorkbookFault {
    WorkbookFault::broken("it is cut off")
}

/// Bytes that are read from their beginning.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bytes<'s> {
    rest: &'s [u8],
}

impl<'s> Bytes<'s> {
    pub(super) const fn of(rest: &'s [u8]) -> Self {
        Self { rest }
    }

    pub(super) fn take(&mut self, count: usize) -> Result<&'s [u8], WorkbookFault> {
        let (taken, rest) = self.rest.split_at_checked(count).ok_or_else(cut_off)?;
        self.rest = rest;
        Ok(taken)
    }

    pub(super) fn skip(&mut self, count: usize) -> Result<(), WorkbookFault> {
        self.take(count).map(|_| ())
    }

    pub(super) const fn len(&self) -> usize {
        self.rest.len()
    }

    fn array<const N: usize>(&mut self) -> Result<[u8; N], WorkbookFault> {
        let (taken, rest) = self.rest.split_first_chunk::<N>().ok_or_else(cut_off)?;
        self.rest = rest;
        Ok(*taken)
    }

    pub(super) fn u8(&mut self) -> Result<u8, WorkbookFault> {
        self.array::<1>().map(|[byte]| byte)
    }

    pub(super) fn u16(&mut self) -> Result<u16, WorkbookFault> {
        self.array().map(u16::from_le_bytes)
    }

    pub(super) fn u32(&mut self) -> Result<u32, WorkbookFault> {
        self.array().map(u32::from_le_bytes)
    }

    pub(super) fn f64(&mut self) -> Result<f64, WorkbookFault> {
        self.array().map(f64::from_le_bytes)
    }
}
