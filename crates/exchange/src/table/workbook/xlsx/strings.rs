//! The texts that cells share.

use crate::table::MOST_TEXT_BYTES;
use crate::table::workbook::{
    budget::{Budget, WorkbookFault},
    xml::{Node, PartXml},
};
use std::io::Read;

/// All shared texts in one piece.
#[derive(Default)]
pub(super) struct SharedStrings {
    text: String,
    ends: Vec<u32>,
}

impl SharedStrings {
    pub(super) fn read<R: Read>(part: Option<PartXml<R>>) -> Result<Self, WorkbookFault> {
        let mut strings = Self::default();
        let Some(mut xml) = part else { return Ok(strings) };
        loop {
            match xml.next()? {
                Node::Start(element) if element.local_name().into_inner() == "si" => {}
                Node::Eof => return Ok(strings),
                _ => continue,
            }
            rich_text(&mut xml, "si", &mut strings.text)?;
            strings.ends.push(u32::try_from(strings.text.len()).unwrap_or(u32::MAX));
            Budget::listed(strings.ends.len())?;
            if strings.text.len() > MOST_TEXT_BYTES {
                let what = format!("its texts are longer than {} MB", MOST_TEXT_BYTES >> 20);
                return Err(WorkbookFault::TooLarge(what));
            }
        }
    }

    pub(super) fn get(&self, index: usize) -> Option<&str> {
        let end = *self.ends.get(index)?;
        let start = index.checked_sub(1).and_then(|before| self.ends.get(before)).copied().unwrap_or(0);
        self.text.get(start as usize..end as usize)
    }
}

/// The text within an element up to its end: the pieces of one format or several, without the reading aids
/// that are written above them.
pub(super) fn rich_text<R: Read>(
    xml: &mut PartXml<R>,
    element: &str,
    into: &mut String,
) -> Result<(), WorkbookFault> {
    let (mut aid, mut piece, start) = (false, String::new(), into.len());
    loop {
        let text = match xml.next()? {
            Node::Start(start) => {
                aid |= start.local_name().into_inner() == "rPh";
                start.local_name().into_inner() == "t" && !aid
            }
            Node::End(end) => {
                let name = end.local_name().into_inner();
                if name == element {
                    return Ok(());
                }
                aid &= name != "rPh";
                false
            }
            Node::Eof => return Ok(()),
            _ => false,
        };
        if text {
            piece.clear();
            xml.text(&mut piece)?;
            into.push_str(&unescaped(&piece));
            Budget::value(into.len() - start)?;
        }
    }
}

/// Text in which a character that XML cannot hold is written as `_x000D_`.
pub(super) fn unescaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find("_x") {
        let code = rest.get(at + 2..at + 6).filter(|_| rest.get(at + 6..at + 7) == Some("_"));
        let character = code.and_then(|code| u32::from_str_radix(code, 16).ok()).and_then(char::from_u32);
        let taken = if character.is_some() { at + 7 } else { at + 2 };
        out.push_str(rest.get(..at).unwrap_or_default());
        match character {
            Some(character) => out.push(character),
            None => out.push_str("_x"),
        }
        rest = rest.get(taken..).unwrap_or_default();
    }
    out.push_str(rest);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn characters_that_xml_cannot_hold() {
        assert_eq!(unescaped("one_x000D_\ntwo"), "one\r\ntwo");
        assert_eq!(unescaped("_x005F_x000D_"), "_x000D_");
        assert_eq!(unescaped("a_xyz_x00"), "a_xyz_x00");
    }
}
