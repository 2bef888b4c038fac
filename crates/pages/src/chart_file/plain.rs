//! A drawing of a page as plain SVG: no classes, links, roles or labels; what rules set is an attribute.

use super::rules::{Element, attributes};

/// A tag as it is written: its name, its attributes, and whether it opens, closes or stands alone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Piece<'a> {
    Open { name: &'a str, attributes: Vec<(&'a str, &'a str)>, alone: bool },
    Close(&'a str),
    Text(&'a str),
}

/// Takes markup of this program apart, in which every value is in double quotes and every special sign is escaped.
pub(super) fn pieces(markup: &str) -> Vec<Piece<'_>> {
    let mut found = Vec::new();
    let mut rest = markup;
    while let Some((text, after)) = rest.split_once('<') {
        if !text.is_empty() {
            found.push(Piece::Text(text));
        }
        let Some((tag, next)) = tag_end(after) else { return found };
        found.push(match tag.strip_prefix('/') {
            Some(name) => Piece::Close(name.trim()),
            None => opened(tag),
        });
        rest = next;
    }
    if !rest.is_empty() {
        found.push(Piece::Text(rest));
    }
    found
}

/// What is within a tag, and what follows it; a sign within quotes does not end it.
fn tag_end(text: &str) -> Option<(&str, &str)> {
    let mut quoted = false;
    for (at, letter) in text.char_indices() {
        match letter {
            '"' => quoted = !quoted,
            '>' if !quoted => return Some((text.get(..at)?, text.get(at + 1..)?)),
            _ => {}
        }
    }
    None
}

fn opened(tag: &str) -> Piece<'_> {
    let (tag, alone) = tag.strip_suffix('/').map_or((tag, false), |tag| (tag, true));
    let (name, mut rest) = tag.split_once(char::is_whitespace).unwrap_or((tag, ""));
    let mut attributes = Vec::new();
    while let Some((attribute, after)) = rest.split_once("=\"") {
        let (value, next) = after.split_once('"').unwrap_or((after, ""));
        attributes.push((attribute.trim(), value));
        rest = next;
    }
    Piece::Open { name, attributes, alone }
}

/// What only a page can use.
fn is_of_page(attribute: &str) -> bool {
    ["class", "role", "href", "tabindex", "focusable", "xmlns", "id"].contains(&attribute)
        || attribute.starts_with("aria-")
        || attribute.starts_with("data-")
}

/// The plain drawing. `size` is written into its outermost element.
pub(super) fn plain(drawing: &[Piece<'_>], size: (f64, f64)) -> String {
    let mut out = String::new();
    let mut path: Vec<Element> = Vec::new();
    for piece in drawing {
        match piece {
            Piece::Text(text) => out.push_str(text),
            Piece::Close(name) => {
                path.pop();
                out.push_str(&format!("</{}>", plain_name(name)));
            }
            Piece::Open { name, attributes: given, alone } => {
                path.push(Element { name: (*name).to_owned(), classes: classes(given) });
                let outermost = path.len() == 1;
                out.push_str(&format!("<{}", plain_name(name)));
                if outermost {
                    out.push_str(&format!(" width=\"{}\" height=\"{}\"", size.0, size.1));
                    out.push_str(" xmlns=\"http://www.w3.org/2000/svg\" font-family=\"Noto Sans, Segoe UI, Helvetica, Arial, sans-serif\"");
                }
                write_attributes(&mut out, given, &path);
                out.push_str(if *alone { "/>" } else { ">" });
                if *alone {
                    path.pop();
                }
            }
        }
    }
    out
}

/// A link leads nowhere from a file: it becomes a group.
fn plain_name(name: &str) -> &str {
    if name == "a" { "g" } else { name }
}

fn classes(attributes: &[(&str, &str)]) -> Vec<String> {
    let class = attributes.iter().find(|(name, _)| *name == "class").map_or("", |(_, value)| value);
    class.split_whitespace().map(str::to_owned).collect()
}

fn write_attributes(out: &mut String, given: &[(&str, &str)], path: &[Element]) {
    let kept: Vec<&(&str, &str)> = given.iter().filter(|(name, _)| !is_of_page(name)).collect();
    for (name, value) in &kept {
        out.push_str(&format!(" {name}=\"{value}\""));
    }
    for (name, value) in attributes(path) {
        if kept.iter().all(|(given, _)| *given != name) {
            out.push_str(&format!(" {name}=\"{value}\""));
        }
    }
}
