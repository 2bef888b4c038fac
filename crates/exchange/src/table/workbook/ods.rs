//! ODS: a package with one part for all sheets, in which equal cells and rows are written once with a
//! number of repetitions.

use super::{
    ReadSheet, SheetState,
    budget::{Budget, WorkbookFault},
    builder::{MergedArea, SheetBuilder},
    iso_date,
    package::{CountedPart, Package},
    xml::{Node, PartXml, attribute, number},
};
use crate::table::{CellKind, heading_cells};
use quick_xml::events::BytesStart;
use std::collections::HashSet;

type Part<'p, 'a> = PartXml<CountedPart<'p, 'a>>;

/// Reads the sheets picked by name.
pub(super) fn read(
    bytes: &[u8],
    budget: &Budget,
    picked: &dyn Fn(&str) -> bool,
) -> Result<Vec<ReadSheet>, WorkbookFault> {
    let mut package = Package::open(bytes, budget)?;
    if let Some(xml) = package.part("META-INF/manifest.xml")? {
        refuse_locked(xml)?;
    }
    let missing = || WorkbookFault::broken("its contents are missing");
    let mut xml = package.part("content.xml")?.ok_or_else(missing)?;
    let (mut hidden_styles, mut style, mut sheets) = (HashSet::new(), String::new(), Vec::new());
    let mut linked = false;
    loop {
        match xml.next()? {
            Node::Start(element) => match element.local_name().into_inner() {
                "style" => style = attribute(&element, "style:name")?.unwrap_or_default().into_owned(),
                "table-properties" if attribute(&element, "table:display")?.as_deref() == Some("false") => {
                    hidden_styles.insert(style.clone());
                    Budget::listed(hidden_styles.len())?;
                }
                // Copies of tables of other files.
                "dde-links" => linked = true,
                "table" if !linked => {
                    Budget::sheets(sheets.len() + 1)?;
                    let name = attribute(&element, "table:name")?.unwrap_or_default().into_owned();
                    let of_style = attribute(&element, "table:style-name")?;
                    let hidden = of_style.is_some_and(|style| hidden_styles.contains(&*style));
                    let state = if hidden { SheetState::Hidden } else { SheetState::Visible };
                    let take = picked(&name);
                    let mut reading = SheetReading::new(budget, take);
                    reading.read(&mut xml)?;
                    let grid =
                        if take { Some(reading.builder.finish(heading_cells::is_group)?) } else { None };
                    sheets.push(ReadSheet { name, state, grid });
                }
                _ => {}
            },
            Node::Eof => return Ok(sheets),
            _ => {}
        }
    }
}

fn refuse_locked(mut xml: Part<'_, '_>) -> Result<(), WorkbookFault> {
    loop {
        match xml.next()? {
            Node::Start(element) if element.local_name().into_inner() == "encryption-data" => {
                return Err(WorkbookFault::Locked);
            }
            Node::Eof => return Ok(()),
            _ => {}
        }
    }
}

/// A sheet while it is read.
struct SheetReading<'b> {
    builder: SheetBuilder<'b>,
    take: bool,
    row: usize,
    rows: usize,
    column: usize,
    /// The cells of the present row that hold anything.
    cells: Vec<CellRun>,
}

/// Equal cells next to each other.
struct CellRun {
    column: usize,
    count: usize,
    text: String,
    kind: CellKind,
    /// Rows and columns that the first of them covers.
    span: (usize, usize),
}

impl<'b> SheetReading<'b> {
    fn new(budget: &'b Budget, take: bool) -> Self {
        let cells = Vec::new();
        Self { builder: SheetBuilder::new(budget), take, row: 0, rows: 1, column: 0, cells }
    }

    /// Up to the end of the table. A table within a cell is passed over.
    fn read(&mut self, xml: &mut Part<'_, '_>) -> Result<(), WorkbookFault> {
        let mut within = 0_usize;
        loop {
            let cell = match xml.next()? {
                Node::Start(element) => match element.local_name().into_inner() {
                    "table" => {
                        within += 1;
                        None
                    }
                    "table-row" if within == 0 => {
                        self.rows = number(&element, "table:number-rows-repeated")?.unwrap_or(1);
                        self.column = 0;
                        None
                    }
                    "table-cell" | "covered-table-cell" if within == 0 => Some(CellTag::of(&element)?),
                    _ => None,
                },
                Node::End(element) => match (element.local_name().into_inner(), within) {
                    ("table", 0) => return Ok(()),
                    ("table", _) => {
                        within -= 1;
                        None
                    }
                    ("table-row", 0) => {
                        self.end_row()?;
                        None
                    }
                    _ => None,
                },
                Node::Eof => return Ok(()),
                _ => None,
            };
            if let Some(tag) = cell {
                self.cell(tag, xml)?;
            }
        }
    }

    fn cell(&mut self, tag: CellTag, xml: &mut Part<'_, '_>) -> Result<(), WorkbookFault> {
        let shown = shown_text(xml)?;
        let (column, count) = (self.column, tag.count);
        self.column = column.saturating_add(count);
        let span = tag.span;
        let (text, kind) = tag.value(shown);
        if !text.is_empty() && self.take {
            Budget::place(self.row, column)?;
            self.cells.push(CellRun { column, count, text, kind, span });
        }
        Ok(())
    }

    fn end_row(&mut self) -> Result<(), WorkbookFault> {
        let (first, rows) = (self.row, self.rows);
        self.row = first.saturating_add(rows);
        if self.cells.is_empty() {
            return Ok(());
        }
        let cells = std::mem::take(&mut self.cells);
        for row in first..self.row {
            for run in &cells {
                for column in run.column..run.column.saturating_add(run.count) {
                    self.builder.push((row, column), &run.text, run.kind)?;
                }
            }
        }
        for run in cells.iter().filter(|run| run.span != (1, 1)) {
            let last = (first.saturating_add(run.span.0) - 1, run.column.saturating_add(run.span.1) - 1);
            self.builder.merge(MergedArea { first: (first, run.column), last })?;
        }
        Ok(())
    }
}

/// What the tag of a cell says.
struct CellTag {
    count: usize,
    span: (usize, usize),
    value_type: String,
    value: Option<String>,
    formula: Option<String>,
    is_error: bool,
}

impl CellTag {
    fn of(element: &BytesStart<'_>) -> Result<Self, WorkbookFault> {
        let text =
            |name: &str| Ok::<_, WorkbookFault>(attribute(element, name)?.map(|value| value.into_owned()));
        let value_type = text("office:value-type")?.unwrap_or_default();
        let value = match value_type.as_str() {
            "float" | "percentage" | "currency" => text("office:value")?,
            "date" => text("office:date-value")?,
            "time" => text("office:time-value")?,
            "boolean" => text("office:boolean-value")?,
            "string" => text("office:string-value")?,
            _ => None,
        };
        let covers = |name: &str| Ok::<_, WorkbookFault>(number(element, name)?.unwrap_or(1).max(1));
        Ok(Self {
            count: covers("table:number-columns-repeated")?,
            span: (covers("table:number-rows-spanned")?, covers("table:number-columns-spanned")?),
            is_error: attribute(element, "calcext:value-type")?.as_deref() == Some("error"),
            formula: text("table:formula")?,
            value_type,
            value,
        })
    }

    /// The value with its kind; `shown` is what the cell shows.
    fn value(self, shown: String) -> (String, CellKind) {
        let value = self.value.unwrap_or_default();
        match self.value_type.as_str() {
            _ if self.is_error => (shown, CellKind::Error),
            "" if self.formula.is_some() => ("=…".to_owned(), CellKind::Formula),
            "float" | "percentage" | "currency" => match value.parse::<f64>() {
                Ok(number) if number.is_finite() => (number.to_string(), CellKind::Number),
                _ => (value, CellKind::Text),
            },
            "date" | "time" => {
                let (text, kind) = iso_date(&value);
                (text.to_owned(), kind)
            }
            "boolean" => (if value == "true" { "yes" } else { "no" }.to_owned(), CellKind::Text),
            "string" if !value.is_empty() => (value, CellKind::Text),
            _ => (shown, CellKind::Text),
        }
    }
}

/// The paragraphs of a cell up to its end, one on each line, without comments.
fn shown_text(xml: &mut Part<'_, '_>) -> Result<String, WorkbookFault> {
    let (mut text, mut depth, mut comment, mut paragraphs) = (String::new(), 1_usize, 0_usize, 0_usize);
    while depth > 0 {
        match xml.next()? {
            Node::Start(element) => {
                depth += 1;
                match element.local_name().into_inner() {
                    "annotation" | "table" | "frame" if comment == 0 => comment = depth,
                    _ if comment > 0 => {}
                    "p" | "h" => {
                        paragraphs += 1;
                        text.push_str(if paragraphs > 1 { "\n" } else { "" });
                    }
                    "s" => {
                        let spaces = number(&element, "text:c")?.unwrap_or(1).min(100);
                        text.push_str(&" ".repeat(spaces));
                    }
                    "tab" => text.push('\t'),
                    "line-break" => text.push('\n'),
                    _ => {}
                }
            }
            Node::End(_) => {
                comment = if comment == depth { 0 } else { comment };
                depth -= 1;
            }
            Node::Text(piece) if comment == 0 && paragraphs > 0 => text.push_str(&piece),
            Node::Eof => break,
            _ => {}
        }
        Budget::value(text.len())?;
    }
    Ok(text)
}
