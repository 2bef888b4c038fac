//! The manual: one page for each part, served by the program itself, without a network.
//!
//! Every page of the program names its [`HelpTopic`] where it is drawn ([`crate::page`]), and the frame links to it.
//! The texts are in `manual.md`, the words of the trade come from `GLOSSARY.md` itself, the drawings of feet from
//! `drawing`, and the samples of the pictures from the code that draws the pictures.

mod drawing;
mod levels;
mod picture;
mod signs;
mod text;

pub(crate) use signs::anchor as sign_anchor;

use crate::{Frame, HelpPart, HelpTopic, frame};
use maud::{Markup, html};

/// The text of the manual.
const MANUAL: &str = include_str!("manual.md");
/// The glossary of the project.
const GLOSSARY: &str = include_str!("../../../../GLOSSARY.md");
/// The section of the glossary for people who change the program.
const FOR_DEVELOPERS: &str = "For developers";

/// A section of the manual: anchor, heading, text.
struct Section {
    anchor: &'static str,
    heading: &'static str,
    text: &'static str,
}

/// A part of the manual as a page.
#[must_use]
pub fn help(frame: &Frame, part: HelpPart) -> Markup {
    let body = html! {
        div.help {
            @if part != HelpPart::Contents && frame.user.is_some() { p.help-back { a href=(HelpPart::Contents.href()) { "All of the help" } } }
            h1 { (part.title()) }
            @match part {
                HelpPart::Contents => (contents()),
                HelpPart::Signs => (signs::body()),
                HelpPart::Picture => (picture::body()),
                HelpPart::Words => (glossary()),
                part => (manual(part)),
            }
            (caution())
        }
    };
    let topic =
        HelpTopic::ALL.iter().copied().find(|topic| topic.part() == part).unwrap_or(HelpTopic::Manual);
    frame::page(frame, topic, part.title(), &body)
}

fn caution() -> Markup {
    html! { p.caution { "This manual says how the program is used. It is no clinical advice: local training and protocol, and the treating clinician, take precedence." } }
}

/// The sections of a part, from `manual.md`.
fn sections(part: HelpPart) -> Vec<Section> {
    let own = MANUAL.split("\n# ").find_map(|text| {
        let (key, text) = text.split_once('\n')?;
        (key.trim().trim_start_matches("# ") == part.key()).then_some(text)
    });
    own.into_iter().flat_map(|text| text.split("\n## ").skip(1)).filter_map(section).collect()
}

/// A heading is written `Heading {anchor}`.
fn section(text: &'static str) -> Option<Section> {
    let (head, text) = text.split_once('\n')?;
    let (heading, anchor) = head.split_once(" {")?;
    Some(Section { anchor: anchor.trim_end_matches('}'), heading, text })
}

fn manual(part: HelpPart) -> Markup {
    let sections = sections(part);
    html! {
        (jumps(&sections.iter().map(|section| (section.anchor.to_owned(), section.heading)).collect::<Vec<_>>()))
        @for Section { anchor, heading, text } in &sections {
            section id=(anchor) aria-labelledby={ (anchor) "-head" } {
                h2 id={ (anchor) "-head" } { (heading) }
                (text::blocks(text))
            }
        }
    }
}

/// Links to the sections of a page.
fn jumps(sections: &[(String, &str)]) -> Markup {
    html! {
        @if sections.len() > 1 { nav.help-jumps aria-label="On this page" { ul { @for (anchor, heading) in sections { li { a href={ "#" (anchor) } { (heading) } } } } } }
    }
}

fn contents() -> Markup {
    html! {
        section id=(HelpTopic::Manual.anchor()) aria-label="Contents" {
            p.lead { "The " strong { "?" } " at the top of a page opens the part about that page. Search a part with the search of your browser (Ctrl-F); every part can be printed." }
            ul.help-contents {
                @for part in HelpPart::ALL.into_iter().filter(|part| *part != HelpPart::Contents) {
                    li {
                        a.help-part href=(part.href()) { (part.title()) }
                        span.hint { (sections_in_words(part)) }
                    }
                }
            }
        }
    }
}

/// What a part holds, in a line.
fn sections_in_words(part: HelpPart) -> String {
    match part {
        HelpPart::Signs => "The six signs at each level, movement and length, the Dimeglio score, atypical feet, with drawings".into(),
        HelpPart::Picture => "Lines, bands and symbols of the course picture and of the small pictures of results".into(),
        HelpPart::Words => "The terms of the trade and of the program".into(),
        part => sections(part).iter().map(|section| section.heading).collect::<Vec<_>>().join(" · "),
    }
}

/// The sections of the glossary that a clinic needs: heading and text.
fn glossary_sections() -> impl Iterator<Item = (&'static str, &'static str)> {
    let sections = GLOSSARY.split("\n## ").skip(1).filter_map(|text| text.split_once('\n'));
    sections.filter(|(heading, _)| heading.trim() != FOR_DEVELOPERS)
}

fn glossary() -> Markup {
    let sections: Vec<(String, &str, &str)> = glossary_sections()
        .map(|(heading, text)| (heading.to_lowercase().replace(' ', "-"), heading, text))
        .collect();
    html! {
        p id=(HelpTopic::Words.anchor()) { "Each term as this program uses it. A sentence that states a fact gives its source; “from memory” is to be checked before anyone relies on it. This page explains terms and is not advice." }
        (jumps(&sections.iter().map(|(anchor, heading, _)| (anchor.clone(), *heading)).collect::<Vec<_>>()))
        @for (anchor, heading, text) in &sections {
            section.help-words id=(anchor) aria-labelledby={ (anchor) "-head" } {
                h2 id={ (anchor) "-head" } { (heading) }
                (text::blocks(text))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_part_and_every_topic_is_written() {
        for part in HelpPart::ALL {
            let drawn =
                matches!(part, HelpPart::Contents | HelpPart::Signs | HelpPart::Picture | HelpPart::Words);
            assert!(drawn || !sections(part).is_empty(), "{part:?} has no text");
        }
        let written: usize = HelpPart::ALL.into_iter().map(|part| sections(part).len()).sum();
        assert_eq!(written, MANUAL.matches("\n## ").count(), "a section belongs to no part");
    }

    #[test]
    fn a_section_is_short() {
        for section in HelpPart::ALL.into_iter().flat_map(sections) {
            let lines = section.text.lines().filter(|line| !line.trim().is_empty()).count();
            assert!((3..=12).contains(&lines), "“{}” has {lines} lines", section.heading);
        }
    }

    /// Both files are one text: what the glossary says is what the page shows.
    #[test]
    fn the_words_are_those_of_the_glossary() {
        let page = glossary().into_string();
        let terms: Vec<&str> = glossary_sections()
            .flat_map(|(_, text)| text.lines().filter(|line| line.starts_with("- **")))
            .collect();
        assert!(terms.len() > 90, "{}", terms.len());
        assert_eq!(page.matches("<li><strong>").count(), terms.len());
        assert!(GLOSSARY.contains(&format!("\n## {FOR_DEVELOPERS}\n")), "the section left out exists");
        assert!(!page.contains("Golden file"));
    }
}
