//! A document as a page: to read on a telephone, and to print on A4.

mod drawing;
mod sign;

use crate::{
    document::{Block, DatedLine, FamilyDocument, FamilyDrawing, SignPicture, WayPoint},
    language::{Language, MessageFault},
    sentence::{Sentence, feet_key},
};
pub(crate) use drawing::shapes as drawing_shapes;
use maud::{DOCTYPE, Markup, html};
use record::Day;
pub(crate) use sign::shapes as sign_shapes;

/// The style sheet of documents.
pub const STYLE: &str = include_str!("letters.css");

/// What the page needs besides the document.
#[derive(Debug, Clone, Copy)]
pub struct PageFrame<'a> {
    /// The address of the style sheet.
    pub style: &'a str,
    /// Shown above the document on the screen and not printed: what the staff can do with it.
    pub above: Option<&'a Markup>,
}

/// The whole page.
///
/// # Errors
/// When a message is missing in the language. Half a document is never made.
pub fn page(
    document: &FamilyDocument,
    language: Language,
    frame: PageFrame<'_>,
) -> Result<Markup, MessageFault> {
    let write = Writer { language };
    let body = write.document(document)?;
    // The title of the page is in every history of a browser: it names the kind and no child.
    Ok(html! {
        (DOCTYPE)
        html lang=(language.tag()) dir=[language.is_right_to_left().then_some("rtl")] {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (document.kind.words()) }
                link rel="stylesheet" href=(frame.style);
            }
            body {
                @if let Some(above) = frame.above { div.staff-only { (above) } }
                (body)
            }
        }
    })
}

struct Writer {
    language: Language,
}

type Drawn = Result<Markup, MessageFault>;

impl Writer {
    fn text(&self, sentence: &Sentence) -> Result<String, MessageFault> {
        self.language.text(sentence)
    }

    fn named(&self, id: &'static str) -> Result<String, MessageFault> {
        self.text(&Sentence::new(id))
    }

    fn texts(&self, sentences: &[Sentence]) -> Result<Vec<String>, MessageFault> {
        sentences.iter().map(|sentence| self.text(sentence)).collect()
    }

    fn document(&self, document: &FamilyDocument) -> Drawn {
        let title = self.text(&document.title)?;
        let whose = self.texts(&document.whose)?;
        let awaits = self.language.awaits_review();
        let notice = awaits.then(|| self.named("translation-awaits-review")).transpose()?;
        let blocks: Vec<Markup> =
            document.blocks.iter().map(|block| self.block(block)).collect::<Result<_, _>>()?;
        Ok(html! {
            main.sheet.(document.kind.key()) {
                header {
                    h1 { bdi { (title) } }
                    p.whose { @for part in &whose { span { bdi { (part) } } " " } }
                }
                @for block in &blocks { (block) }
                @if let Some(notice) = &notice { p.unreviewed { (notice) } }
            }
        })
    }

    fn block(&self, block: &Block) -> Drawn {
        match block {
            Block::Heading(sentence) => self.text(sentence).map(|text| html! { h2 { (text) } }),
            Block::Paragraph(sentences) => {
                self.texts(sentences).map(|texts| html! { p { (texts.join(" ")) } })
            }
            Block::DiaryWeek(from) => self.diary_week(*from),
            Block::Question(question, answer) => {
                let (question, answer) = (self.text(question)?, self.text(answer)?);
                Ok(html! { div.question { h3 { (question) } p { (answer) } } })
            }
            Block::List(sentences) => self.list("plain", sentences),
            Block::Way(points) => self.way(points),
            Block::Dates(lines) => self.dates(lines),
            Block::Emergency(signs) => self.emergency(signs),
            Block::Ring(sentences) => {
                let (head, list) = (self.named("ring-head")?, self.list("plain", sentences)?);
                Ok(html! { section.ring { h2 { (head) } (list) } })
            }
            Block::Telephone(number) => self.telephone(number.as_deref()),
            Block::Table(rows) => self.table(rows),
            Block::Drawing(drawing, sentences) => self.drawing(*drawing, sentences),
        }
    }

    fn list(&self, class: &str, sentences: &[Sentence]) -> Drawn {
        let texts = self.texts(sentences)?;
        Ok(html! { ul.(class) { @for text in &texts { li { (text) } } } })
    }

    fn way(&self, points: &[WayPoint]) -> Drawn {
        let mut drawn = Vec::with_capacity(points.len());
        for point in points {
            let name = self.named(point.stage.message())?;
            let here = match point.here.as_slice() {
                [] => None,
                feet => Some(self.text(&Sentence::new("you-are-here").with("feet", feet_key(feet)))?),
            };
            drawn.push((name, here, point.passed));
        }
        Ok(html! {
            ol.way {
                @for (name, here, passed) in &drawn {
                    li.passed[*passed].here[here.is_some()] aria-current=[here.as_ref().map(|_| "step")] {
                        span.mark aria-hidden="true" {}
                        span.name { (name) }
                        @if let Some(here) = here { strong.you { (here) } }
                    }
                }
            }
        })
    }

    fn dates(&self, lines: &[DatedLine]) -> Drawn {
        let heads = [self.named("dates-day")?, self.named("dates-time")?, self.named("dates-what")?];
        let mut rows = Vec::with_capacity(lines.len());
        for line in lines {
            rows.push((
                self.language.day(line.day),
                line.time.as_deref().map_or_else(String::new, |time| self.language.time(time)),
                self.text(&line.what)?,
            ));
        }
        Ok(html! {
            table.dates {
                thead { tr { @for head in &heads { th scope="col" { (head) } } } }
                tbody { @for (day, time, what) in &rows {
                    tr { th scope="row" { (day) } td { (time) } td { (what) } }
                } }
            }
        })
    }

    fn emergency(&self, signs: &[(SignPicture, Sentence)]) -> Drawn {
        let (head, why) = (self.named("emergency-head")?, self.named("emergency-why")?);
        let mut drawn = Vec::with_capacity(signs.len());
        for (picture, sentence) in signs {
            drawn.push((sign::picture(*picture), self.text(sentence)?));
        }
        Ok(html! {
            section.emergency {
                h2 { (head) }
                ul.signs { @for (picture, text) in &drawn { li { (picture) span { (text) } } } }
                p { (why) }
            }
        })
    }

    fn telephone(&self, number: Option<&str>) -> Drawn {
        let label = self.named(if number.is_some() { "telephone-label" } else { "telephone-blank" })?;
        Ok(html! {
            p.telephone {
                span { (label) } " "
                @match number {
                    Some(number) => strong { bdi dir="ltr" { (number) } },
                    None => span.blank {},
                }
            }
        })
    }

    fn diary_week(&self, from: Day) -> Drawn {
        let head = self.text(&Sentence::new("diary-week").with("day", from))?;
        let (hours, skin) = (self.named("diary-hours")?, self.named("diary-skin")?);
        let days: Vec<String> = (0..7).map(|n| self.language.short_day(from.plus_days(n))).collect();
        Ok(html! {
            table.diary {
                caption { (head) }
                thead { tr { td {} @for day in &days { th scope="col" { (day) } } } }
                tbody {
                    tr { th scope="row" { (hours) } @for _ in &days { td.box {} } }
                    tr.low { th scope="row" { (skin) } @for _ in &days { td.box {} } }
                }
            }
        })
    }

    fn table(&self, rows: &[(Sentence, Sentence)]) -> Drawn {
        let mut drawn = Vec::with_capacity(rows.len());
        for (label, value) in rows {
            drawn.push((self.text(label)?, self.text(value)?));
        }
        Ok(html! {
            table.settings { tbody { @for (label, value) in &drawn {
                tr { th scope="row" { (label) } td { bdi { (value) } } }
            } } }
        })
    }

    fn drawing(&self, drawing: FamilyDrawing, sentences: &[Sentence]) -> Drawn {
        let texts = self.texts(sentences)?;
        let drawn = drawing::picture(drawing, &self.named(drawing.message())?);
        // The list says what the drawing shows, with the same numbers.
        Ok(html! {
            div.drawn {
                (drawn)
                ol { @for text in &texts { li { (text) } } }
            }
        })
    }
}
