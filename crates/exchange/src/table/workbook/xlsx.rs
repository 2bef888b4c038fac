//! XLSX: a package of XML parts.

mod strings;
mod styles;

use super::{
    ReadSheet, SheetState,
    budget::{Budget, WorkbookFault},
    builder::{MergedArea, SheetBuilder},
    package::{CountedPart, Package},
    serial::{Epoch, NumberFormat, shown},
    xml::{Node, PartXml, attribute, is_on, number},
};
use crate::{
    table::{CellKind, heading_cells},
    text::column_index,
};
use quick_xml::events::BytesStart;
use std::collections::HashMap;
use strings::SharedStrings;

type Part<'p, 'a> = PartXml<CountedPart<'p, 'a>>;

/// What the workbook says of itself.
struct Book {
    folder: String,
    sheets: Vec<SheetEntry>,
    /// Parts by the id under which the workbook names them.
    parts: HashMap<String, String>,
    strings: Option<String>,
    styles: Option<String>,
    epoch: Epoch,
    /// Whether the program that wrote it left the formulas to be computed on opening.
    uncomputed: bool,
}

struct SheetEntry {
    name: String,
    state: SheetState,
    part_id: String,
}

/// What is needed to read the cells of a sheet.
struct CellContext {
    strings: SharedStrings,
    formats: Vec<NumberFormat>,
    epoch: Epoch,
    uncomputed: bool,
}

/// Reads the sheets picked by name.
pub(super) fn read(
    bytes: &[u8],
    budget: &Budget,
    picked: &dyn Fn(&str) -> bool,
) -> Result<Vec<ReadSheet>, WorkbookFault> {
    let mut package = Package::open(bytes, budget)?;
    let main = main_part(&mut package)?;
    if main.to_lowercase().ends_with(".bin") {
        return Err(WorkbookFault::broken("it is in the binary format XLSB: save it as XLSX first"));
    }
    let book = book(&mut package, &main)?;
    let context = CellContext {
        strings: match &book.strings {
            Some(part) => SharedStrings::read(package.part(part)?)?,
            None => SharedStrings::default(),
        },
        formats: match &book.styles {
            Some(part) => styles::read(package.part(part)?)?,
            None => Vec::new(),
        },
        epoch: book.epoch,
        uncomputed: book.uncomputed,
    };
    let mut sheets = Vec::new();
    for entry in &book.sheets {
        let Some(part) = book.parts.get(&entry.part_id) else { continue };
        let grid = if picked(&entry.name) {
            let part = package.part(part)?;
            let part = part.ok_or_else(|| {
                WorkbookFault::Broken(format!(
                    "the sheet “{}” is missing from it",
                    record::quoted(&entry.name)
                ))
            })?;
            Some(sheet(part, &context, budget)?)
        } else {
            None
        };
        sheets.push(ReadSheet { name: entry.name.clone(), state: entry.state, grid });
    }
    Ok(sheets)
}

/// The part that holds the list of sheets.
fn main_part(package: &mut Package<'_>) -> Result<String, WorkbookFault> {
    let missing = || WorkbookFault::broken("it does not say where its sheets are");
    let mut xml = package.part("_rels/.rels")?.ok_or_else(missing)?;
    loop {
        match xml.next()? {
            Node::Start(element) if element.local_name().into_inner() == "Relationship" => {
                let kind = attribute(&element, "Type")?.unwrap_or_default();
                if let (true, Some(target)) =
                    (kind.ends_with("/officeDocument"), attribute(&element, "Target")?)
                {
                    return Ok(target.trim_start_matches('/').to_owned());
                }
            }
            Node::Eof => return Err(missing()),
            _ => {}
        }
    }
}

fn book(package: &mut Package<'_>, main: &str) -> Result<Book, WorkbookFault> {
    let (folder, file) = main.rsplit_once('/').map_or(("", main), |(folder, file)| (folder, file));
    let folder = if folder.is_empty() { String::new() } else { format!("{folder}/") };
    let mut book = Book {
        sheets: Vec::new(),
        parts: HashMap::new(),
        strings: None,
        styles: None,
        epoch: Epoch::Year1900,
        uncomputed: false,
        folder,
    };
    let relations = format!("{}_rels/{file}.rels", book.folder);
    if let Some(xml) = package.part(&relations)? {
        book.relate(xml)?;
    }
    let missing = || WorkbookFault::broken("its list of sheets is missing");
    let mut xml = package.part(main)?.ok_or_else(missing)?;
    loop {
        match xml.next()? {
            Node::Start(element) => book.note(&element)?,
            Node::Eof => return Ok(book),
            _ => {}
        }
    }
}

impl Book {
    /// Takes the names of the parts.
    fn relate(&mut self, mut xml: Part<'_, '_>) -> Result<(), WorkbookFault> {
        loop {
            match xml.next()? {
                Node::Start(element) if element.local_name().into_inner() == "Relationship" => {
                    let id = attribute(&element, "Id")?.unwrap_or_default().into_owned();
                    let kind = attribute(&element, "Type")?.unwrap_or_default();
                    let target = attribute(&element, "Target")?.unwrap_or_default();
                    let path = match target.strip_prefix('/') {
                        Some(absolute) => absolute.to_owned(),
                        None => format!("{}{target}", self.folder),
                    };
                    match kind.rsplit('/').next() {
                        Some("worksheet") => {
                            Budget::sheets(self.parts.len() + 1)?;
                            self.parts.insert(id, path);
                        }
                        Some("sharedStrings") => self.strings = Some(path),
                        Some("styles") => self.styles = Some(path),
                        _ => {}
                    }
                }
                Node::Eof => return Ok(()),
                _ => {}
            }
        }
    }

    fn note(&mut self, element: &BytesStart<'_>) -> Result<(), WorkbookFault> {
        match element.local_name().into_inner() {
            "sheet" => {
                Budget::sheets(self.sheets.len() + 1)?;
                let name = attribute(element, "name")?.unwrap_or_default().into_owned();
                let state = match attribute(element, "state")?.as_deref() {
                    Some("hidden" | "veryHidden") => SheetState::Hidden,
                    _ => SheetState::Visible,
                };
                let part_id = part_id(element)?;
                self.sheets.push(SheetEntry { name, state, part_id });
            }
            "workbookPr" if is_on(element, "date1904")? => self.epoch = Epoch::Year1904,
            "calcPr" => self.uncomputed = is_on(element, "fullCalcOnLoad")?,
            _ => {}
        }
        Ok(())
    }
}

/// The id of a sheet's part: `r:id`, whatever the prefix is.
fn part_id(element: &BytesStart<'_>) -> Result<String, WorkbookFault> {
    for attribute in element.attributes().with_checks(false) {
        let attribute = attribute.map_err(|error| WorkbookFault::Broken(error.to_string()))?;
        if attribute.key.0.ends_with(":id") {
            return Ok(attribute.value.into_owned());
        }
    }
    Ok(String::new())
}

fn sheet(
    mut xml: Part<'_, '_>,
    context: &CellContext,
    budget: &Budget,
) -> Result<crate::table::Grid, WorkbookFault> {
    let mut builder = SheetBuilder::new(budget);
    let (mut row, mut column) = (0, 0);
    loop {
        match xml.next()? {
            Node::Start(element) => match element.local_name().into_inner() {
                "row" => {
                    row = number(&element, "r")?.map_or(row, |number| number.saturating_sub(1));
                    column = 0;
                }
                "c" => {
                    let begun = CellBegun::of(&element)?;
                    let place = begun.place.unwrap_or((row, column));
                    column = place.1 + 1;
                    begun.take(&mut xml, place, context, &mut builder)?;
                }
                "mergeCell" => {
                    let area = attribute(&element, "ref")?.unwrap_or_default();
                    if let Some(area) = merged_area(&area) {
                        builder.merge(area)?;
                    }
                }
                _ => {}
            },
            Node::End(element) if element.local_name().into_inner() == "row" => row += 1,
            Node::Eof => return builder.finish(heading_cells::is_group),
            _ => {}
        }
    }
}

/// What the tag of a cell says.
struct CellBegun {
    place: Option<(usize, usize)>,
    style: usize,
    kind: CellCode,
}

/// The type of a cell as the file names it.
#[derive(Clone, Copy, PartialEq, Eq)]
enum CellCode {
    Number,
    Shared,
    Text,
    Inline,
    Yes,
    Error,
    IsoDate,
}

impl CellBegun {
    fn of(element: &BytesStart<'_>) -> Result<Self, WorkbookFault> {
        let mut begun = Self { place: None, style: 0, kind: CellCode::Number };
        for attribute in element.attributes().with_checks(false) {
            let attribute = attribute.map_err(|error| WorkbookFault::Broken(error.to_string()))?;
            let value = &*attribute.value;
            match attribute.key.0 {
                "r" => {
                    let place = place(value);
                    let wrong = || {
                        WorkbookFault::Broken(format!(
                            "it has a cell with the place “{}”",
                            record::quoted(value)
                        ))
                    };
                    begun.place = Some(place.ok_or_else(wrong)?);
                }
                "s" => begun.style = value.parse().unwrap_or(usize::MAX),
                "t" => begun.kind = cell_code(value)?,
                _ => {}
            }
        }
        Ok(begun)
    }

    /// Reads the cell to its end and adds it.
    fn take(
        self,
        xml: &mut Part<'_, '_>,
        place: (usize, usize),
        context: &CellContext,
        builder: &mut SheetBuilder<'_>,
    ) -> Result<(), WorkbookFault> {
        let (mut value, mut inline, mut formula) = (String::new(), String::new(), None::<String>);
        loop {
            let field = match xml.next()? {
                Node::Start(element) => match element.local_name().into_inner() {
                    "v" => 'v',
                    "f" => 'f',
                    "is" => 'i',
                    _ => ' ',
                },
                Node::End(element) if element.local_name().into_inner() == "c" => break,
                Node::Eof => break,
                _ => ' ',
            };
            match field {
                'v' => xml.text(&mut value)?,
                'f' => xml.text(formula.get_or_insert_default())?,
                'i' => strings::rich_text(xml, "is", &mut inline)?,
                _ => {}
            }
        }
        let unsaved = value.is_empty() || (context.uncomputed && value == "0");
        if let Some(formula) = formula.filter(|_| unsaved && self.kind != CellCode::Text) {
            return builder.push(place, &formula_text(&formula), CellKind::Formula);
        }
        self.push(place, &value, inline, context, builder)
    }

    fn push(
        &self,
        place: (usize, usize),
        value: &str,
        inline: String,
        context: &CellContext,
        builder: &mut SheetBuilder<'_>,
    ) -> Result<(), WorkbookFault> {
        match self.kind {
            CellCode::Inline => builder.push(place, &inline, CellKind::Text),
            _ if value.is_empty() => Ok(()),
            CellCode::Shared => {
                let text = value.trim().parse().ok().and_then(|index| context.strings.get(index));
                let missing = || WorkbookFault::broken("a cell of it names a text that is not there");
                builder.push(place, text.ok_or_else(missing)?, CellKind::Text)
            }
            CellCode::Text => builder.push(place, &strings::unescaped(value), CellKind::Text),
            CellCode::Yes => {
                let yes = matches!(value.trim(), "1" | "true" | "TRUE");
                builder.push(place, if yes { "yes" } else { "no" }, CellKind::Text)
            }
            CellCode::Error => builder.push(place, value, CellKind::Error),
            CellCode::IsoDate => {
                let (text, kind) = super::iso_date(value);
                builder.push(place, text, kind)
            }
            CellCode::Number => {
                let number = value.trim().parse::<f64>().ok().filter(|number| number.is_finite());
                let Some(number) = number else { return builder.push(place, value, CellKind::Text) };
                let format = context.formats.get(self.style).copied().unwrap_or(NumberFormat::Number);
                let (text, kind) = shown(number, format, context.epoch);
                builder.push(place, &text, kind)
            }
        }
    }
}

/// How a formula without a saved value is shown.
fn formula_text(formula: &str) -> String {
    let short: String = formula.chars().take(60).collect();
    if short.is_empty() { "=…".to_owned() } else { format!("={short}") }
}

fn cell_code(name: &str) -> Result<CellCode, WorkbookFault> {
    Ok(match name {
        "n" => CellCode::Number,
        "s" => CellCode::Shared,
        "str" => CellCode::Text,
        "inlineStr" => CellCode::Inline,
        "b" => CellCode::Yes,
        "e" => CellCode::Error,
        "d" => CellCode::IsoDate,
        other => return Err(WorkbookFault::Broken(format!("it has a cell of the unknown type “{other}”"))),
    })
}

/// "C5" as row and column, from 0.
fn place(text: &str) -> Option<(usize, usize)> {
    let digits = text.find(|c: char| c.is_ascii_digit())?;
    let (letters, number) = (text.get(..digits)?, text.get(digits..)?);
    let row = number.parse::<usize>().ok()?.checked_sub(1)?;
    Some((row, column_index(letters)?))
}

/// "A1:B2".
fn merged_area(text: &str) -> Option<MergedArea> {
    let (first, last) = text.split_once(':')?;
    Some(MergedArea { first: place(first)?, last: place(last)? })
}
