//! The XML of a part, node by node, with a bound to the length and depth of each.

use super::budget::{Budget, WorkbookFault};
use memchr::memrchr;
use quick_xml::{
    Reader, XmlVersion,
    escape::resolve_predefined_entity,
    events::{BytesEnd, BytesRef, BytesStart, Event},
};
use std::{
    borrow::Cow,
    cell::RefCell,
    io::{self, BufReader, Read},
    rc::Rc,
};

/// How much is read at a time, bytes.
const BUFFER_BYTES: usize = 64 << 10;
/// Most elements within each other. The names of open elements are held.
const MOST_DEPTH: usize = 64;

/// Where a source leaves the reason when it breaks off, because an error of reading has no room for it.
pub(super) type FaultSlot = Rc<RefCell<Option<WorkbookFault>>>;

/// What comes next in a part.
pub(super) enum Node<'x> {
    /// An element begins; one without content ends with the next node.
    Start(BytesStart<'x>),
    /// An element ends.
    End(BytesEnd<'x>),
    /// Text, or a piece of it.
    Text(Cow<'x, str>),
    /// A comment or anything else without content.
    Other,
    /// The part ends.
    Eof,
}

/// A part that is read as XML.
pub(super) struct PartXml<R: Read> {
    reader: Reader<BufReader<Bounded<R>>>,
    buffer: Vec<u8>,
    depth: usize,
    name: String,
    fault: FaultSlot,
}

impl<R: Read> PartXml<R> {
    pub(super) fn new(source: R, name: &str, fault: FaultSlot) -> Self {
        let bounded = Bounded { source, since_tag: 0, fault: Rc::clone(&fault) };
        let mut reader = Reader::from_reader(BufReader::with_capacity(BUFFER_BYTES, bounded));
        reader.config_mut().expand_empty_elements = true;
        Self { reader, buffer: Vec::new(), depth: 0, name: name.to_owned(), fault }
    }

    /// The next node.
    pub(super) fn next(&mut self) -> Result<Node<'_>, WorkbookFault> {
        self.buffer.clear();
        let event = self.reader.read_event_into(&mut self.buffer).map_err(|error| {
            let fault = self.fault.borrow_mut().take();
            fault.unwrap_or_else(|| {
                WorkbookFault::Broken(format!("its part {} is damaged ({error})", self.name))
            })
        })?;
        Ok(match event {
            Event::Start(start) => {
                self.depth += 1;
                if self.depth > MOST_DEPTH {
                    return Err(WorkbookFault::Broken(format!(
                        "its part {} is nested too deeply",
                        self.name
                    )));
                }
                Node::Start(start)
            }
            Event::End(end) => {
                self.depth = self.depth.saturating_sub(1);
                Node::End(end)
            }
            Event::Text(text) => Node::Text(match text.into_inner() {
                Cow::Borrowed(text) if !text.contains('\r') => Cow::Borrowed(text),
                text => Cow::Owned(text.replace("\r\n", "\n").replace('\r', "\n")),
            }),
            Event::CData(text) => Node::Text(text.into_inner()),
            Event::GeneralRef(reference) => Node::Text(resolved(&reference)?),
            Event::Eof if self.depth > 0 => {
                return Err(WorkbookFault::Broken(format!("its part {} is cut off", self.name)));
            }
            Event::Eof => Node::Eof,
            _ => Node::Other,
        })
    }

    /// The text up to the end of the element just begun, without that of elements within it.
    pub(super) fn text(&mut self, into: &mut String) -> Result<(), WorkbookFault> {
        let (depth, start) = (self.depth, into.len());
        while self.depth >= depth {
            match self.next()? {
                Node::Text(text) => into.push_str(&text),
                Node::Eof => break,
                _ => {}
            }
            Budget::value(into.len() - start)?;
        }
        Ok(())
    }
}

/// The character that a reference such as `&amp;` stands for. Only those of XML itself are known: a file
/// can define others as texts of any length.
fn resolved(reference: &BytesRef<'_>) -> Result<Cow<'static, str>, WorkbookFault> {
    let unknown =
        || WorkbookFault::Broken(format!("it holds the unknown character reference &{};", &**reference));
    match reference.resolve_char_ref() {
        Ok(Some(character)) => Ok(Cow::Owned(character.to_string())),
        Ok(None) => resolve_predefined_entity(reference).map(Cow::Borrowed).ok_or_else(unknown),
        Err(_) => Err(unknown()),
    }
}

/// An attribute by its whole name, as written.
pub(super) fn attribute<'e>(
    element: &'e BytesStart<'_>,
    name: &str,
) -> Result<Option<Cow<'e, str>>, WorkbookFault> {
    for attribute in element.attributes().with_checks(false) {
        let attribute = attribute.map_err(|error| WorkbookFault::Broken(error.to_string()))?;
        if attribute.key.0 == name {
            let value = attribute.normalized_value(XmlVersion::Implicit1_0);
            return value.map(Some).map_err(|error| WorkbookFault::Broken(error.to_string()));
        }
    }
    Ok(None)
}

/// A number in an attribute; `None` where there is none.
pub(super) fn number(element: &BytesStart<'_>, name: &str) -> Result<Option<usize>, WorkbookFault> {
    let Some(text) = attribute(element, name)? else { return Ok(None) };
    let number = text.trim().parse::<usize>();
    number.map(Some).map_err(|_| {
        WorkbookFault::Broken(format!("there is “{}” where a number is expected", record::quoted(&text)))
    })
}

/// Whether an attribute says yes; `false` where there is none.
pub(super) fn is_on(element: &BytesStart<'_>, name: &str) -> Result<bool, WorkbookFault> {
    Ok(attribute(element, name)?.is_some_and(|value| matches!(value.trim(), "1" | "true" | "on")))
}

/// Lets through what is read, unless a single value grows too long.
struct Bounded<R> {
    source: R,
    since_tag: usize,
    fault: FaultSlot,
}

impl<R: Read> Read for Bounded<R> {
    fn read(&mut self, buf: &mut [u8]) -> io::Result<usize> {
        let bytes = self.source.read(buf)?;
        let piece = buf.get(..bytes).unwrap_or_default();
        self.since_tag = match memrchr(b'<', piece) {
            Some(last) => bytes - last,
            None => self.since_tag + bytes,
        };
        if let Err(fault) = Budget::value(self.since_tag) {
            *self.fault.borrow_mut() = Some(fault);
            return Err(io::ErrorKind::InvalidData.into());
        }
        Ok(bytes)
    }
}
