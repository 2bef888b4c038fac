//! What a page and a paper of the same name share: lines with room to write, and the words of a piece of a page.

use super::band::{Who, who_facts_in};
use crate::in_language::PageLanguage;
use maud::{Markup, html};
use messages::{PaperBit, PaperCell, PaperText};
use record::Day;

/// A line of a paper on its page.
pub(crate) fn paper_text(text: &PaperText) -> Markup {
    html! { @for bit in text.bits() { (paper_bit(bit)) } }
}

fn paper_bit(bit: &PaperBit) -> Markup {
    html! {
        @match bit {
            PaperBit::Words(words) => { (words) },
            PaperBit::Strong(words) => { strong { (words) } },
            PaperBit::Blank => { span.blank aria-hidden="true" {} span.sr { "(to fill in) " } },
            PaperBit::Number(unit) => { span.blank-number {} " " (unit) },
            PaperBit::Day => "____ / ____ / ______",
            PaperBit::Line => span.blank-line {},
            PaperBit::Tick(words) if words.is_empty() => "☐",
            PaperBit::Tick(words) => { span.tick { (words) } " " },
        }
    }
}

/// Lines of a paper below each other.
pub(crate) fn paper_lines(lines: &[PaperText]) -> Markup {
    html! { @for (n, line) in lines.iter().enumerate() { @if n > 0 { br; } (paper_text(line)) } }
}

/// The words of a piece of a page, so that a paper says the same in the same words.
pub(crate) fn words_of(piece: &Markup) -> String {
    let mut words = String::with_capacity(piece.0.len());
    let mut in_tag = false;
    for character in piece.0.chars() {
        match character {
            '<' => in_tag = true,
            '>' => in_tag = false,
            _ if in_tag => {}
            character => words.push(character),
        }
    }
    // Within words these signs are escaped, so that what is left between the signs of an element is text.
    unescaped(&words).trim().to_owned()
}

/// The words of text as it stands in a page, where signs of markup are escaped.
pub(crate) fn unescaped(text: &str) -> String {
    let text = text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"");
    text.replace("&amp;", "&")
}

/// A child in a table of a paper: name, what tells it from others, and its twins.
pub(crate) fn who_cell(language: PageLanguage, who: &Who, today: Day) -> PaperCell {
    let name = PaperText::default().strong(who.shown_name_in(language));
    let facts = words_of(&who_facts_in(language, who, today)).into();
    PaperCell::lines([name, facts].into_iter().chain(who.twin_words_in(language).map(PaperText::from)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_of_a_piece_are_those_that_are_read() {
        let piece = html! { p.hint { "Ada & <Bea> " strong title="x" { "\"3 < 4\"" } } };
        assert_eq!(words_of(&piece), "Ada & <Bea> \"3 < 4\"");
        assert_eq!(words_of(&html! { "&amp;lt;" }), "&amp;lt;");
        let text = PaperText::of("Weight ").with(PaperBit::Number("g".to_owned())).and(", ").tick("asked");
        assert_eq!(words_of(&paper_text(&text)), "Weight  g, asked");
    }
}
