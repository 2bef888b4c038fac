//! The formats of cells, as far as they tell numbers from days.

use crate::table::workbook::{
    budget::{Budget, WorkbookFault},
    serial::NumberFormat,
    xml::{Node, PartXml, attribute, number},
};
use std::{collections::HashMap, io::Read};

/// The format of each cell style, in the order in which cells name them.
pub(super) fn read<R: Read>(part: Option<PartXml<R>>) -> Result<Vec<NumberFormat>, WorkbookFault> {
    let (mut own, mut formats, mut of_cells) = (HashMap::new(), Vec::new(), false);
    let Some(mut xml) = part else { return Ok(formats) };
    loop {
        match xml.next()? {
            Node::Start(element) => match element.local_name().into_inner() {
                "numFmt" => {
                    let code = attribute(&element, "formatCode")?.unwrap_or_default();
                    if let Some(id) = number(&element, "numFmtId")? {
                        own.insert(id, NumberFormat::of_code(&code));
                    }
                    Budget::listed(own.len())?;
                }
                "cellXfs" => of_cells = true,
                "xf" if of_cells => {
                    let id = number(&element, "numFmtId")?.unwrap_or(0);
                    formats.push(own.get(&id).copied().unwrap_or_else(|| NumberFormat::built_in(id)));
                    Budget::listed(formats.len())?;
                }
                _ => {}
            },
            Node::End(element) if element.local_name().into_inner() == "cellXfs" => of_cells = false,
            Node::Eof => return Ok(formats),
            _ => {}
        }
    }
}
