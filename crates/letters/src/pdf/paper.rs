//! Papers that the clinic prints for itself, such as the list of a day, as the data that their template reads.

use super::{
    KEPT_FOR, PaperSize,
    content::{Made, leading_em, place, run_data, usual},
    data,
    fault::PdfFault,
    typefaces::FontScript,
    typeset,
    world::SheetWorld,
};
use messages::{ClinicPaper, PaperBit, PaperBlock, PaperCell, PaperChild, PaperRow, PaperTable, PaperText};
use serde_json::{Value, json};
use typst::comemo;

/// A paper of the clinic as a PDF. The day on which the paper was made is written into it.
///
/// # Errors
/// When no typeface has a character of a name, or the typesetting fails. Half a paper is never made.
pub fn paper_pdf(paper: &ClinicPaper, size: PaperSize) -> Result<Vec<u8>, PdfFault> {
    let content = PaperWriter { usual: usual(paper.language) }.paper(paper)?;
    let made = typeset(&SheetWorld::of_paper(data(&paper.kind, size, paper.made, vec![content])));
    comemo::evict(KEPT_FOR);
    made
}

/// The writer of texts in the script of a paper.
struct PaperWriter {
    usual: FontScript,
}

impl PaperWriter {
    fn paper(&self, paper: &ClinicPaper) -> Made {
        Ok(json!({
            "lang": paper.language.tag(),
            "family": place(self.usual),
            "leading": leading_em(self.usual),
            "title": self.runs(&paper.title)?,
            "whose": paper.whose.as_ref().map(|whose| self.whose(whose)).transpose()?,
            "blocks": self.blocks(&paper.blocks)?,
            "foot": self.all(&paper.foot)?,
            "caution": self.runs(&paper.caution)?,
            "most_pages": paper.most_pages,
        }))
    }

    fn whose(&self, whose: &PaperChild) -> Made {
        let (name, feet) = (self.runs(&whose.name)?, self.runs(&whose.feet)?);
        Ok(json!({ "name": name, "facts": self.all(&whose.facts)?, "feet": feet }))
    }

    fn blocks(&self, blocks: &[PaperBlock]) -> Made {
        blocks.iter().map(|block| self.block(block)).collect()
    }

    fn block(&self, block: &PaperBlock) -> Made {
        Ok(match block {
            PaperBlock::Heading(words) => json!({ "kind": "heading", "runs": self.runs(words)? }),
            PaperBlock::Paragraph(text) => json!({ "kind": "paragraph", "bits": self.bits(text)? }),
            PaperBlock::List(items) => json!({ "kind": "list", "items": self.lines(items)? }),
            PaperBlock::Warning(lines) => json!({ "kind": "warning", "lines": self.lines(lines)? }),
            PaperBlock::Small(text) => json!({ "kind": "small", "bits": self.bits(text)? }),
            PaperBlock::Table(table) => self.table(table)?,
            PaperBlock::Together(parts) => json!({ "kind": "together", "parts": self.blocks(parts)? }),
        })
    }

    fn table(&self, table: &PaperTable) -> Made {
        let PaperTable { heads, widths, names, rows } = table;
        let rows = rows.iter().map(|row| self.row(row)).collect::<Made>()?;
        let heads = self.all(heads)?;
        Ok(json!({ "kind": "table", "heads": heads, "widths": widths, "names": names, "rows": rows }))
    }

    fn row(&self, row: &PaperRow) -> Made {
        let cell = |cell: &PaperCell| -> Made {
            Ok(json!({ "lines": self.lines(&cell.lines)?, "span": cell.span }))
        };
        let cells = row.cells.iter().map(cell).collect::<Made>()?;
        Ok(json!({ "cells": cells, "marked": row.marked }))
    }

    fn lines(&self, lines: &[PaperText]) -> Made {
        lines.iter().map(|line| self.bits(line)).collect()
    }

    fn bits(&self, text: &PaperText) -> Made {
        let bit = |bit: &PaperBit| -> Result<Value, PdfFault> {
            let (kind, words) = match bit {
                PaperBit::Words(words) => ("words", words.as_str()),
                PaperBit::Strong(words) => ("strong", words.as_str()),
                PaperBit::Blank => ("blank", ""),
                PaperBit::Number(unit) => ("number", unit.as_str()),
                PaperBit::Day => ("day", ""),
                PaperBit::Line => ("line", ""),
                PaperBit::Tick(words) => ("tick", words.as_str()),
            };
            Ok(json!({ "kind": kind, "runs": self.runs(words)? }))
        };
        text.bits().iter().map(bit).collect()
    }

    fn all(&self, texts: &[String]) -> Made {
        texts.iter().map(|text| self.runs(text)).collect()
    }

    fn runs(&self, text: &str) -> Made {
        run_data(text, self.usual)
    }
}
