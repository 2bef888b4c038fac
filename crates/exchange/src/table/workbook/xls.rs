//! XLS, the old binary format: records in one stream of a compound file. Versions 5 (1995) and 8 (1997 to
//! 2003) are read.

mod cells;
mod compound;
mod record;
mod text;

use super::{
    ReadSheet, SheetState,
    budget::{Budget, WorkbookFault},
    builder::SheetBuilder,
    serial::{Epoch, NumberFormat},
};
use crate::table::{Grid, heading_cells};
use cells::SheetRecords;
use compound::CompoundFile;
use record::{Bytes, Records};
use std::collections::HashMap;
use text::{SharedTexts, TextCoding};

/// What the workbook says of itself.
pub(super) struct Globals {
    coding: TextCoding,
    epoch: Epoch,
    /// The format of each cell style.
    formats: Vec<NumberFormat>,
    strings: SharedTexts,
}

struct SheetEntry {
    name: String,
    state: SheetState,
    start: usize,
}

/// Reads the sheets picked by name.
pub(super) fn read(
    bytes: &[u8],
    budget: &Budget,
    picked: &dyn Fn(&str) -> bool,
) -> Result<Vec<ReadSheet>, WorkbookFault> {
    let file = CompoundFile::open(bytes)?;
    if file.has("EncryptedPackage") {
        return Err(WorkbookFault::Locked);
    }
    let stream = match file.stream("Workbook")? {
        Some(stream) => Some(stream),
        None => file.stream("Book")?,
    };
    let missing = || WorkbookFault::broken("it holds no sheets; it may be a text document or a presentation");
    let stream = stream.ok_or_else(missing)?;
    let (globals, entries) = globals(&stream)?;
    let mut sheets = Vec::new();
    for SheetEntry { name, state, start } in entries {
        let grid = if picked(&name) { Some(sheet(&stream, start, &globals, budget)?) } else { None };
        sheets.push(ReadSheet { name, state, grid });
    }
    Ok(sheets)
}

/// Everything before the first sheet.
fn globals(stream: &[u8]) -> Result<(Globals, Vec<SheetEntry>), WorkbookFault> {
    let (mut coding, mut epoch) = (TextCoding::default(), Epoch::Year1900);
    let (mut own, mut styles, mut entries) = (HashMap::new(), Vec::new(), Vec::new());
    let mut strings = SharedTexts::default();
    let mut records = Records::at(stream, 0)?;
    while let Some(record) = records.next()? {
        let mut data = Bytes::of(record.data);
        match record.kind {
            record::BEGIN => coding.set_version(data.u16()?),
            record::LOCKED => return Err(WorkbookFault::Locked),
            record::CODE_PAGE => coding.set_page(data.u16()?),
            record::DATE_MODE if data.u16()? == 1 => epoch = Epoch::Year1904,
            record::FORMAT => {
                let number = usize::from(data.u16()?);
                let code =
                    if coding.is_wide() { coding.long(&mut data)? } else { coding.short(&mut data)? };
                own.insert(number, NumberFormat::of_code(&code));
            }
            record::STYLE => {
                data.skip(2)?;
                styles.push(usize::from(data.u16()?));
            }
            record::SHEET => {
                Budget::sheets(entries.len() + 1)?;
                if let Some(entry) = sheet_entry(&mut data, &coding)? {
                    entries.push(entry);
                }
            }
            record::SHARED_TEXTS => strings = SharedTexts::read(records.with_continued(record))?,
            record::END => break,
            _ => {}
        }
    }
    let of_style = |number: &usize| own.get(number).copied().unwrap_or(NumberFormat::built_in(*number));
    let formats = styles.iter().map(of_style).collect();
    Ok((Globals { coding, epoch, formats, strings }, entries))
}

/// A sheet of cells; `None` for a chart or a macro.
fn sheet_entry(data: &mut Bytes<'_>, coding: &TextCoding) -> Result<Option<SheetEntry>, WorkbookFault> {
    let start = data.u32()? as usize;
    let (state, kind) = (data.u8()? & 0x03, data.u8()?);
    let state = if state == 0 { SheetState::Visible } else { SheetState::Hidden };
    let name = coding.short(data)?;
    Ok((kind == 0).then_some(SheetEntry { name, state, start }))
}

fn sheet(stream: &[u8], start: usize, globals: &Globals, budget: &Budget) -> Result<Grid, WorkbookFault> {
    let mut reading = SheetRecords::new(globals, SheetBuilder::new(budget));
    let mut records = Records::at(stream, start)?;
    // Charts within the sheet have records of their own, which look like cells.
    let mut within = 0_usize;
    while let Some(record) = records.next()? {
        match record.kind {
            record::BEGIN => within += 1,
            record::END if within <= 1 => break,
            record::END => within -= 1,
            _ if within == 1 => reading.take(record)?,
            _ => {}
        }
    }
    reading.finish()?.finish(heading_cells::is_group)
}
