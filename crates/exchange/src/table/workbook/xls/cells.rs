//! The records of a sheet that hold cells.

use super::{
    Globals,
    record::{self, Bytes, Record},
};
use crate::table::{
    CellKind,
    workbook::{
        budget::WorkbookFault,
        builder::{MergedArea, SheetBuilder},
        serial::{NumberFormat, shown},
    },
};

/// How a formula without a saved value is shown; the formula itself is not decoded.
const FORMULA: &str = "=…";

/// The cells of a sheet while they are read.
pub(super) struct SheetRecords<'g, 'b> {
    globals: &'g Globals,
    builder: SheetBuilder<'b>,
    /// The formula whose text is in the next record.
    text_of: Option<(usize, usize)>,
    /// Formulas whose value is saved as blank.
    blank: Vec<(usize, usize)>,
    /// Whether any formula has another value than blank.
    computed: bool,
}

impl<'g, 'b> SheetRecords<'g, 'b> {
    pub(super) const fn new(globals: &'g Globals, builder: SheetBuilder<'b>) -> Self {
        Self { globals, builder, text_of: None, blank: Vec::new(), computed: false }
    }

    pub(super) fn take(&mut self, record: Record<'_>) -> Result<(), WorkbookFault> {
        let mut data = Bytes::of(record.data);
        match record.kind {
            record::NUMBER => {
                let (place, style) = head(&mut data)?;
                self.number(place, style, data.f64()?)
            }
            record::SHORT_NUMBER => {
                let (place, style) = head(&mut data)?;
                self.number(place, style, short_number(data.u32()?))
            }
            record::SHORT_NUMBERS => self.short_numbers(data),
            record::SHARED_TEXT => {
                let (place, _) = head(&mut data)?;
                let missing = || WorkbookFault::broken("a cell of it names a text that is not there");
                let text = self.globals.strings.get(data.u32()? as usize).ok_or_else(missing)?;
                self.builder.push(place, text, CellKind::Text)
            }
            record::TEXT | record::RICH_TEXT => {
                let (place, _) = head(&mut data)?;
                let text = self.globals.coding.long(&mut data)?;
                self.builder.push(place, &text, CellKind::Text)
            }
            record::YES_OR_ERROR => {
                let (place, _) = head(&mut data)?;
                let (value, is_error) = (data.u8()?, data.u8()? != 0);
                self.yes_or_error(place, value, is_error)
            }
            record::FORMULA => self.formula(data),
            record::FORMULA_TEXT => self.formula_text(data),
            record::MERGED => self.merged(data),
            _ => Ok(()),
        }
    }

    fn number(&mut self, place: (usize, usize), style: usize, number: f64) -> Result<(), WorkbookFault> {
        let format = self.globals.formats.get(style).copied().unwrap_or(NumberFormat::Number);
        let (text, kind) = shown(number, format, self.globals.epoch);
        self.builder.push(place, &text, kind)
    }

    /// Numbers in several columns of a row.
    fn short_numbers(&mut self, mut data: Bytes<'_>) -> Result<(), WorkbookFault> {
        let (row, first) = (usize::from(data.u16()?), usize::from(data.u16()?));
        let mut column = first;
        // Each has a style and a number; the last column follows.
        while data.len() >= 8 {
            let (style, number) = (usize::from(data.u16()?), short_number(data.u32()?));
            self.number((row, column), style, number)?;
            column += 1;
        }
        if usize::from(data.u16()?) + 1 != column {
            return Err(WorkbookFault::broken("a row of it has another number of cells than it says"));
        }
        Ok(())
    }

    fn yes_or_error(
        &mut self,
        place: (usize, usize),
        value: u8,
        is_error: bool,
    ) -> Result<(), WorkbookFault> {
        match (is_error, value) {
            (true, code) => self.builder.push(place, error_text(code), CellKind::Error),
            (false, 0) => self.builder.push(place, "no", CellKind::Text),
            (false, _) => self.builder.push(place, "yes", CellKind::Text),
        }
    }

    /// A formula with the value that was saved.
    fn formula(&mut self, mut data: Bytes<'_>) -> Result<(), WorkbookFault> {
        let (place, style) = head(&mut data)?;
        let number = data.f64()?;
        let [kind, _, value, _, _, _, mark @ ..] = number.to_le_bytes();
        self.text_of = None;
        // A number has no such mark.
        if mark != [0xFF, 0xFF] {
            self.computed = true;
            return self.number(place, style, number);
        }
        self.computed |= kind != 3;
        match kind {
            0 => {
                self.text_of = Some(place);
                Ok(())
            }
            1 => self.yes_or_error(place, value, false),
            2 => self.yes_or_error(place, value, true),
            3 => {
                self.blank.push(place);
                Ok(())
            }
            _ => Err(WorkbookFault::broken("a formula of it has a value of an unknown kind")),
        }
    }

    fn formula_text(&mut self, mut data: Bytes<'_>) -> Result<(), WorkbookFault> {
        let Some(place) = self.text_of.take() else { return Ok(()) };
        let text = self.globals.coding.long(&mut data)?;
        self.builder.push(place, &text, CellKind::Text)
    }

    fn merged(&mut self, mut data: Bytes<'_>) -> Result<(), WorkbookFault> {
        for _ in 0..data.u16()? {
            let [top, bottom, left, right] =
                [data.u16()?, data.u16()?, data.u16()?, data.u16()?].map(usize::from);
            self.builder.merge(MergedArea { first: (top, left), last: (bottom, right) })?;
        }
        Ok(())
    }

    /// Where no formula of the sheet has a value, none was ever computed: a program other than a spreadsheet
    /// program wrote them. Elsewhere blank is what the formula gave.
    pub(super) fn finish(mut self) -> Result<SheetBuilder<'b>, WorkbookFault> {
        if !self.computed {
            for place in std::mem::take(&mut self.blank) {
                self.builder.push(place, FORMULA, CellKind::Formula)?;
            }
        }
        Ok(self.builder)
    }
}

/// Row, column and style of a cell.
fn head(data: &mut Bytes<'_>) -> Result<((usize, usize), usize), WorkbookFault> {
    let (row, column, style) = (data.u16()?, data.u16()?, data.u16()?);
    Ok(((row.into(), column.into()), style.into()))
}

/// A number in four bytes: a whole number of 30 bits or the upper half of a long one, perhaps in hundredths.
fn short_number(code: u32) -> f64 {
    let value = if code & 2 == 0 {
        f64::from_bits(u64::from(code & !3) << 32)
    } else {
        f64::from(code.cast_signed() >> 2)
    };
    if code & 1 == 0 { value } else { value / 100.0 }
}

const fn error_text(code: u8) -> &'static str {
    match code {
        0x00 => "#NULL!",
        0x07 => "#DIV/0!",
        0x0F => "#VALUE!",
        0x17 => "#REF!",
        0x1D => "#NAME?",
        0x24 => "#NUM!",
        0x2A => "#N/A",
        _ => "#ERROR",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_in_four_bytes() {
        // 1 is 3FF00000 in the upper half; 250 hundredths are 250 << 2 with both marks.
        assert_eq!(short_number(0x3FF0_0000), 1.0);
        assert_eq!(short_number(250 << 2 | 3), 2.5);
        assert_eq!(short_number(4100 << 2 | 2), 4100.0);
        assert_eq!(short_number((-3_i32 << 2).cast_unsigned() | 2), -3.0);
    }
}
