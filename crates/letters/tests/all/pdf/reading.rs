//! A PDF as a screen reader meets it: the structure tree with the text of each element, in the order of reading.
//!
//! A second way to the text than that of the library that wrote it: the operators of each page are read, glyphs become
//! text by the tables of the file (`ToUnicode`), or by the text that a sequence says it stands for (`ActualText`).

use lopdf::{Dictionary, Document, Encoding, Object, ObjectId, content::Content};
use std::collections::BTreeMap;

/// An element of the structure tree.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tagged {
    /// Its type: "H1", "P", "L".
    pub role: String,
    /// The text of its own, without that of elements within it.
    pub text: String,
    /// Its alternative text.
    pub alt: Option<String>,
    /// How deep it is.
    pub depth: usize,
}

/// A PDF that was read.
pub struct ReadPdf {
    pub file: Document,
    /// Elements in the order of reading.
    pub tagged: Vec<Tagged>,
    /// All text of each page as it is drawn, also what is repeated and not read aloud.
    pub page_texts: Vec<String>,
}

type Sequences = BTreeMap<(ObjectId, i64), String>;

impl ReadPdf {
    pub fn of(bytes: &[u8]) -> Self {
        let file = Document::load_mem(bytes).unwrap();
        let mut sequences = Sequences::new();
        let pages = file.page_iter();
        let page_texts = pages.map(|page| read_page(&file, page, &mut sequences)).collect();
        let root = file.catalog().unwrap().get(b"StructTreeRoot").unwrap();
        let root = dictionary(&file, root);
        let mut tagged = Vec::new();
        for kid in kids(&file, root) {
            walk(&file, &kid, None, 0, &sequences, &mut tagged);
        }
        Self { file, tagged, page_texts }
    }

    /// All text, in the order of reading.
    pub fn text(&self) -> String {
        self.tagged.iter().map(|element| element.text.as_str()).collect::<Vec<_>>().join(" ")
    }

    pub fn pages(&self) -> usize {
        self.file.page_iter().count()
    }

    /// Elements of a role.
    pub fn count(&self, role: &str) -> usize {
        self.tagged.iter().filter(|element| element.role == role).count()
    }

    /// The fonts of all pages: name and dictionary.
    pub fn fonts(&self) -> Vec<(String, Dictionary)> {
        let mut fonts = BTreeMap::new();
        for page in self.file.page_iter() {
            for font in self.file.get_page_fonts(page).unwrap().into_values() {
                let name = String::from_utf8(font.get(b"BaseFont").unwrap().as_name().unwrap().to_vec());
                fonts.insert(name.unwrap(), font.clone());
            }
        }
        fonts.into_iter().collect()
    }
}

pub fn dictionary<'f>(file: &'f Document, object: &'f Object) -> &'f Dictionary {
    file.dereference(object).unwrap().1.as_dict().unwrap()
}

fn kids(file: &Document, of: &Dictionary) -> Vec<Object> {
    match of.get(b"K").map(|kids| file.dereference(kids).unwrap().1.clone()) {
        Ok(Object::Array(kids)) => kids,
        Ok(kid) => vec![kid],
        Err(_) => Vec::new(),
    }
}

fn string(object: &Object) -> Option<String> {
    lopdf::decode_text_string(object).ok()
}

fn walk(
    file: &Document,
    element: &Object,
    page: Option<ObjectId>,
    depth: usize,
    sequences: &Sequences,
    found: &mut Vec<Tagged>,
) {
    let element = dictionary(file, element);
    let Ok(role) = element.get(b"S").and_then(Object::as_name) else { return };
    let page = element.get(b"Pg").and_then(Object::as_reference).ok().or(page);
    let place = found.len();
    found.push(Tagged {
        role: String::from_utf8(role.to_vec()).unwrap(),
        text: element.get(b"ActualText").ok().and_then(string).unwrap_or_default(),
        alt: element.get(b"Alt").ok().and_then(string),
        depth,
    });
    for kid in kids(file, element) {
        let (_, kid) = file.dereference(&kid).unwrap();
        let sequence = match kid {
            Object::Integer(id) => page.map(|page| (page, *id)),
            Object::Dictionary(marked) if marked.has(b"MCID") => {
                let page = marked.get(b"Pg").and_then(Object::as_reference).ok().or(page);
                page.map(|page| (page, marked.get(b"MCID").unwrap().as_i64().unwrap()))
            }
            _ => None,
        };
        match sequence {
            Some(key) => {
                let text = sequences.get(&key).cloned().unwrap_or_default();
                found[place].text.push_str(&text);
            }
            None if kid.as_dict().is_ok_and(|kid| kid.has(b"S")) => {
                walk(file, kid, page, depth + 1, sequences, found);
            }
            None => {}
        }
    }
}

/// A sequence that is open while a page is read.
struct Open {
    id: Option<i64>,
    says: Option<String>,
}

fn read_page(file: &Document, page: ObjectId, sequences: &mut Sequences) -> String {
    let mut drawn = String::new();
    let fonts = file.get_page_fonts(page).unwrap();
    let encodings: BTreeMap<&Vec<u8>, Encoding<'_>> =
        fonts.iter().map(|(name, font)| (name, font.get_font_encoding(file).unwrap())).collect();
    let content = Content::decode(&file.get_page_content(page)).unwrap();
    let (mut open, mut font): (Vec<Open>, Option<&Encoding<'_>>) = (Vec::new(), None);
    for operation in &content.operations {
        let operands = &operation.operands;
        match operation.operator.as_str() {
            "BMC" => open.push(Open { id: None, says: None }),
            "BDC" => open.push(begun(file, page, operands)),
            "EMC" => {
                let ended = open.pop().unwrap();
                if let Some(says) = ended.says {
                    drawn.push_str(&says);
                    add(page, &open, &says, sequences);
                }
            }
            "ET" => drawn.push(' '),
            "Tf" => font = encodings.get(&operands[0].as_name().unwrap().to_vec()),
            "Tj" => drawn.push_str(&glyphs(page, &open, font, &operands[0], sequences)),
            "TJ" => operands[0]
                .as_array()
                .unwrap()
                .iter()
                .for_each(|piece| drawn.push_str(&glyphs(page, &open, font, piece, sequences))),
            "'" | "\"" => panic!("an operator that this test does not read"),
            _ => {}
        }
    }
    assert!(open.is_empty(), "a sequence was not closed");
    drawn
}

fn begun(file: &Document, page: ObjectId, operands: &[Object]) -> Open {
    let properties = match &operands[1] {
        Object::Dictionary(properties) => properties.clone(),
        Object::Name(name) => {
            let (own, _) = file.get_page_resources(page).unwrap();
            let all = own.unwrap().get(b"Properties").unwrap();
            dictionary(file, dictionary(file, all).get(name).unwrap()).clone()
        }
        other => panic!("{other:?}"),
    };
    Open {
        id: properties.get(b"MCID").and_then(Object::as_i64).ok(),
        says: properties.get(b"ActualText").ok().and_then(string),
    }
}

fn glyphs(
    page: ObjectId,
    open: &[Open],
    font: Option<&Encoding<'_>>,
    piece: &Object,
    sequences: &mut Sequences,
) -> String {
    let Object::String(bytes, _) = piece else { return String::new() };
    // What a sequence says it stands for takes the place of its glyphs.
    if open.iter().any(|sequence| sequence.says.is_some()) {
        return String::new();
    }
    let text = Document::decode_text(font.unwrap(), bytes).unwrap();
    add(page, open, &text, sequences);
    text
}

fn add(page: ObjectId, open: &[Open], text: &str, sequences: &mut Sequences) {
    if let Some(id) = open.iter().rev().find_map(|sequence| sequence.id) {
        sequences.entry((page, id)).or_default().push_str(text);
    }
}
