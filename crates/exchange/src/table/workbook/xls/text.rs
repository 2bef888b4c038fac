//! Texts: in one byte or two for each character, in the encoding that the workbook names, or shared by many
//! cells in a list that is cut into several records.

use super::record::{Bytes, cut_off};
use crate::table::{
    MOST_TEXT_BYTES,
    workbook::budget::{Budget, WorkbookFault},
};
use encoding_rs::Encoding;

/// How texts are written.
#[derive(Debug, Clone, Copy)]
pub(super) struct TextCoding {
    /// Since version 8 each text says whether it has one byte or two for each character.
    wide: bool,
    page: &'static Encoding,
}

impl Default for TextCoding {
    fn default() -> Self {
        Self { wide: true, page: encoding_rs::WINDOWS_1252 }
    }
}

impl TextCoding {
    pub(super) const fn is_wide(&self) -> bool {
        self.wide
    }

    pub(super) const fn set_version(&mut self, version: u16) {
        self.wide = version >= 0x0600;
    }

    pub(super) fn set_page(&mut self, page: u16) {
        let label = match page {
            932 => "shift_jis".to_owned(),
            936 => "gbk".to_owned(),
            949 => "euc-kr".to_owned(),
            950 => "big5".to_owned(),
            10_000 | 0x8001 => "macintosh".to_owned(),
            10_007 => "x-mac-cyrillic".to_owned(),
            866 => "ibm866".to_owned(),
            page => format!("windows-{page}"),
        };
        self.page = Encoding::for_label(label.as_bytes()).unwrap_or(encoding_rs::WINDOWS_1252);
    }

    /// A text whose length is one byte.
    pub(super) fn short(&self, data: &mut Bytes<'_>) -> Result<String, WorkbookFault> {
        let count = usize::from(data.u8()?);
        self.characters(data, count)
    }

    /// A text whose length is two bytes.
    pub(super) fn long(&self, data: &mut Bytes<'_>) -> Result<String, WorkbookFault> {
        let count = usize::from(data.u16()?);
        self.characters(data, count)
    }

    fn characters(&self, data: &mut Bytes<'_>, count: usize) -> Result<String, WorkbookFault> {
        if count == 0 {
            return Ok(String::new());
        }
        if !self.wide {
            return Ok(self.page.decode_without_bom_handling(data.take(count)?).0.into_owned());
        }
        let width = width_of(data.u8()?);
        let mut letters = Vec::with_capacity(count);
        widen(data.take(count * width)?, width, &mut letters);
        Ok(String::from_utf16_lossy(&letters))
    }
}

/// Bytes for each character, from the options of a text.
const fn width_of(options: u8) -> usize {
    if options & 1 == 0 { 1 } else { 2 }
}

fn widen(bytes: &[u8], width: usize, letters: &mut Vec<u16>) {
    if width == 1 {
        letters.extend(bytes.iter().map(|&byte| u16::from(byte)));
    } else {
        letters.extend(bytes.as_chunks::<2>().0.iter().map(|two| u16::from_le_bytes(*two)));
    }
}

/// The texts that cells share.
#[derive(Default)]
pub(super) struct SharedTexts {
    text: String,
    ends: Vec<u32>,
}

impl SharedTexts {
    /// Reads the list from the data of its record and of those that continue it.
    pub(super) fn read(pieces: Vec<&[u8]>) -> Result<Self, WorkbookFault> {
        let mut pieces = pieces.into_iter();
        let mut piece = Bytes::of(pieces.next().unwrap_or_default());
        piece.skip(4)?;
        let count = piece.u32()? as usize;
        let mut source = Continued { piece, pieces };
        let (mut texts, mut letters) = (Self::default(), Vec::new());
        for _ in 0..count {
            letters.clear();
            source.text(&mut letters)?;
            let decoded = char::decode_utf16(letters.iter().copied());
            texts.text.extend(decoded.map(|letter| letter.unwrap_or(char::REPLACEMENT_CHARACTER)));
            texts.ends.push(u32::try_from(texts.text.len()).unwrap_or(u32::MAX));
            Budget::listed(texts.ends.len())?;
            if texts.text.len() > MOST_TEXT_BYTES {
                let what = format!("its texts are longer than {} MB", MOST_TEXT_BYTES >> 20);
                return Err(WorkbookFault::TooLarge(what));
            }
        }
        Ok(texts)
    }

    pub(super) fn get(&self, index: usize) -> Option<&str> {
        let end = *self.ends.get(index)?;
        let start = index.checked_sub(1).and_then(|before| self.ends.get(before)).copied().unwrap_or(0);
        self.text.get(start as usize..end as usize)
    }
}

/// Data that goes on in further records.
struct Continued<'s> {
    piece: Bytes<'s>,
    pieces: std::vec::IntoIter<&'s [u8]>,
}

impl Continued<'_> {
    /// Goes on in the next record where this one is used up.
    fn turn(&mut self) -> Result<(), WorkbookFault> {
        while self.piece.len() == 0 {
            self.piece = Bytes::of(self.pieces.next().ok_or_else(cut_off)?);
        }
        Ok(())
    }

    fn text(&mut self, letters: &mut Vec<u16>) -> Result<(), WorkbookFault> {
        self.turn()?;
        let (mut left, options) = (usize::from(self.piece.u16()?), self.piece.u8()?);
        let formats = if options & 8 == 0 { 0 } else { usize::from(self.piece.u16()?) };
        let aids = if options & 4 == 0 { 0 } else { self.piece.u32()? as usize };
        let mut width = width_of(options);
        while left > 0 {
            if self.piece.len() == 0 {
                self.turn()?;
                // The rest of a text begins with its width anew.
                width = width_of(self.piece.u8()?);
            }
            let here = left.min(self.piece.len() / width);
            if here == 0 && self.piece.len() > 0 {
                return Err(cut_off());
            }
            widen(self.piece.take(here * width)?, width, letters);
            left -= here;
        }
        self.pass_over(formats.saturating_mul(4).saturating_add(aids))
    }

    fn pass_over(&mut self, mut bytes: usize) -> Result<(), WorkbookFault> {
        while bytes > 0 {
            self.turn()?;
            let here = bytes.min(self.piece.len());
            self.piece.skip(here)?;
            bytes -= here;
        }
        Ok(())
    }
}
