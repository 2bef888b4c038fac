//! Workbooks put together by hand, for what no library writes.

use std::io::{Cursor, Write};
use zip::{CompressionMethod, ZipWriter, write::SimpleFileOptions};

const RELATIONS: &str = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";

/// A packed file of these parts.
pub fn package(parts: &[(&str, &[u8])]) -> Vec<u8> {
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    let packed = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
    for (name, bytes) in parts {
        // A reader tells an ODS file by this part, which is therefore not packed.
        let stored = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
        let level = if bytes.len() > 64 << 20 { 1 } else { 9 };
        let how = if *name == "mimetype" { stored } else { packed.compression_level(Some(level)) };
        writer.start_file(*name, how).unwrap();
        writer.write_all(bytes).unwrap();
    }
    writer.finish().unwrap().into_inner()
}

/// An XLSX workbook.
#[derive(Default)]
pub struct Book {
    /// Attributes and elements of the workbook besides its sheets.
    pub properties: String,
    /// Name, state and the XML of each sheet.
    pub sheets: Vec<(String, &'static str, String)>,
    /// The XML of the shared texts.
    pub strings: String,
}

impl Book {
    /// With one sheet of these rows.
    pub fn of(rows: &str) -> Self {
        let mut book = Self::default();
        book.add("Visits", "visible", rows);
        book
    }

    pub fn add(&mut self, name: &str, state: &'static str, rows: &str) {
        let xml = format!("<worksheet><sheetData>{rows}</sheetData></worksheet>");
        self.sheets.push((name.to_owned(), state, xml));
    }

    pub fn bytes(&self) -> Vec<u8> {
        let (mut list, mut relations) = (String::new(), String::new());
        let mut parts: Vec<(String, Vec<u8>)> = Vec::new();
        for (number, (name, state, xml)) in self.sheets.iter().enumerate() {
            list += &format!(
                "<sheet name=\"{name}\" sheetId=\"{number}\" state=\"{state}\" r:id=\"r{number}\"/>"
            );
            relations += &format!(
                "<Relationship Id=\"r{number}\" Type=\"{RELATIONS}/worksheet\" Target=\"worksheets/sheet{number}.xml\"/>"
            );
            parts.push((format!("xl/worksheets/sheet{number}.xml"), xml.clone().into_bytes()));
        }
        relations += &format!("<Relationship Id=\"s\" Type=\"{RELATIONS}/styles\" Target=\"styles.xml\"/>");
        relations += &format!(
            "<Relationship Id=\"t\" Type=\"{RELATIONS}/sharedStrings\" Target=\"/xl/sharedStrings.xml\"/>"
        );
        let properties = &self.properties;
        parts.extend([
            ("_rels/.rels".to_owned(), format!("<Relationships><Relationship Id=\"a\" Type=\"{RELATIONS}/officeDocument\" Target=\"xl/workbook.xml\"/></Relationships>").into_bytes()),
            ("xl/workbook.xml".to_owned(), format!("<workbook>{properties}<sheets>{list}</sheets></workbook>").into_bytes()),
            ("xl/_rels/workbook.xml.rels".to_owned(), format!("<Relationships>{relations}</Relationships>").into_bytes()),
            ("xl/styles.xml".to_owned(), b"<styleSheet><cellXfs><xf numFmtId=\"0\"/><xf numFmtId=\"14\"/></cellXfs></styleSheet>".to_vec()),
        ]);
        if !self.strings.is_empty() {
            parts.push(("xl/sharedStrings.xml".to_owned(), self.strings.clone().into_bytes()));
        }
        let parts: Vec<(&str, &[u8])> =
            parts.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())).collect();
        package(&parts)
    }
}

/// Cells of text, in a row of this number from 1.
pub fn row(number: usize, texts: &[&str]) -> String {
    let cell = |text: &&str| format!("<c t=\"inlineStr\"><is><t>{text}</t></is></c>");
    format!("<row r=\"{number}\">{}</row>", texts.iter().map(cell).collect::<String>())
}

/// An ODS workbook with this content within `office:spreadsheet`.
pub fn ods(tables: &str) -> Vec<u8> {
    let content = format!(
        "<office:document-content><office:automatic-styles><style:style style:name=\"hide\"><style:table-properties table:display=\"false\"/></style:style></office:automatic-styles><office:body><office:spreadsheet>{tables}</office:spreadsheet></office:body></office:document-content>"
    );
    package(&[
        ("mimetype", b"application/vnd.oasis.opendocument.spreadsheet"),
        ("content.xml", content.as_bytes()),
    ])
}
