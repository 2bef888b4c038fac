//! The few marks of the manual and the glossary as HTML: headings, paragraphs, two kinds of lists, and within a line
//! emphasis, strong words, code and links. Anything else is text.

use maud::{Markup, html};

/// A block of text.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Block<'a> {
    Paragraph(Vec<&'a str>),
    Items(Vec<Vec<&'a str>>),
    Steps(Vec<Vec<&'a str>>),
}

/// Paragraphs and lists, separated by empty lines or by their marks.
pub(super) fn blocks(text: &str) -> Markup {
    html! {
        @for block in read(text) {
            @match block {
                Block::Paragraph(lines) => p { (joined(&lines)) },
                Block::Items(items) => ul.plain-list { @for lines in &items { li { (joined(lines)) } } },
                Block::Steps(items) => ol.help-steps { @for lines in &items { li { (joined(lines)) } } },
            }
        }
    }
}

fn joined(lines: &[&str]) -> Markup {
    inline(&lines.join(" "))
}

fn read(text: &str) -> Vec<Block<'_>> {
    let mut blocks: Vec<Block<'_>> = Vec::new();
    let mut open = false;
    for line in text.lines().map(str::trim) {
        if line.is_empty() {
            open = false;
            continue;
        }
        match (item(line), open, blocks.last_mut()) {
            (Some((true, words)), true, Some(Block::Steps(items))) => items.push(vec![words]),
            (Some((false, words)), true, Some(Block::Items(items))) => items.push(vec![words]),
            (Some((true, words)), ..) => blocks.push(Block::Steps(vec![vec![words]])),
            (Some((false, words)), ..) => blocks.push(Block::Items(vec![vec![words]])),
            (None, true, Some(Block::Paragraph(lines))) => lines.push(line),
            (None, true, Some(Block::Steps(items) | Block::Items(items))) => {
                if let Some(last) = items.last_mut() {
                    last.push(line);
                }
            }
            (None, ..) => blocks.push(Block::Paragraph(vec![line])),
        }
        open = true;
    }
    blocks
}

/// The words of a list item, and whether it is numbered.
fn item(line: &str) -> Option<(bool, &str)> {
    if let Some(words) = line.strip_prefix("- ") {
        return Some((false, words));
    }
    let (number, words) = line.split_once(". ")?;
    let numbered = !number.is_empty() && number.len() < 3 && number.bytes().all(|byte| byte.is_ascii_digit());
    numbered.then_some((true, words))
}

/// One line with its marks.
pub(super) fn inline(text: &str) -> Markup {
    let mut rest = text;
    let mut parts: Vec<Markup> = Vec::new();
    while let Some((before, marked, after)) = next_mark(rest) {
        parts.push(html! { (before) });
        parts.push(marked);
        rest = after;
    }
    html! { @for part in &parts { (part) } (rest) }
}

/// The text before the next mark, what is marked, and the text after it.
fn next_mark(text: &str) -> Option<(&str, Markup, &str)> {
    let at = text.find(['*', '`', '['])?;
    let (before, from) = text.split_at_checked(at)?;
    let found = if let Some(rest) = from.strip_prefix("**") {
        rest.split_once("**").map(|(words, after)| (html! { strong { (words) } }, after))
    } else if let Some(rest) = from.strip_prefix('*') {
        rest.split_once('*').map(|(words, after)| (html! { em { (words) } }, after))
    } else if let Some(rest) = from.strip_prefix('`') {
        rest.split_once('`').map(|(words, after)| (html! { code { (words) } }, after))
    } else {
        link(from)
    };
    let (marked, after) = found?;
    Some((before, marked, after))
}

/// A link to a page of the program; a link to a file is shown as its words.
fn link(from: &str) -> Option<(Markup, &str)> {
    let (words, rest) = from.strip_prefix('[')?.split_once("](")?;
    let (target, after) = rest.split_once(')')?;
    let own = target.starts_with('/') && !target.starts_with("//");
    Some((html! { @if own { a href=(target) { (words) } } @else { (words) } }, after))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_become_elements_and_nothing_else_does() {
        let html = inline("**Press** *Save* in `a` or [the day](/day), 3 < 4 * 2").into_string();
        assert_eq!(
            html,
            "<strong>Press</strong> <em>Save</em> in <code>a</code> or <a href=\"/day\">the day</a>, 3 &lt; 4 * 2"
        );
        assert_eq!(inline("[far](https://far.example) [x](//y)").into_string(), "far x");
    }

    #[test]
    fn lists_and_paragraphs_are_told_apart() {
        let html = blocks("One\ntwo\n\n1. a\n2. b\n   c\n- d\n\nEnd in 12. May").into_string();
        assert_eq!(
            html,
            "<p>One two</p><ol class=\"help-steps\"><li>a</li><li>b c</li></ol><ul class=\"plain-list\"><li>d</li></ul><p>End in 12. May</p>"
        );
    }
}
