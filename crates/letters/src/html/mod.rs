//! A document as a page: to read on a telephone, and to print on A4.

mod colleague;
mod diary_sheet;
mod drawing;
mod look;
mod sign;

pub use colleague::colleague_page;
pub use look::{DocumentLook, Printed};

use crate::{
    diary::{DiaryCode, geometry::EXAMPLE_HOURS},
    document::{Block, DatedLine, FamilyDocument, FamilyDrawing, SignPicture, WayPoint},
    parts::feet_key,
    wording::Wording,
};
pub(crate) use drawing::shapes as drawing_shapes;
use maud::{DOCTYPE, Markup, Render, html};
use messages::{Language, MessageFault, Sentence};
pub(crate) use sign::shapes as sign_shapes;

/// The style sheet of documents.
pub const STYLE: &str = concat!(include_str!("letters.css"), include_str!("colleague.css"));

/// What the page needs besides the document.
#[derive(Debug, Clone, Copy)]
pub struct PageFrame<'a> {
    /// The address of the style sheet.
    pub style: &'a str,
    /// Shown above the document on the screen and not printed: what the staff can do with it.
    pub above: Option<&'a Markup>,
}

/// The whole page with the texts of the program, in one language.
///
/// # Errors
/// When a message is missing in the language. Half a document is never made.
pub fn page(
    document: &FamilyDocument,
    language: Language,
    frame: PageFrame<'_>,
) -> Result<Markup, MessageFault> {
    let wording = Wording::built_in(language);
    page_as(document, Printed { wording: &wording, beside: None, look: DocumentLook::default() }, frame)
}

/// The whole page as it is printed: in the wording of the clinic, beside another language where that is given, and
/// with its look.
///
/// # Errors
/// As [`page`].
pub fn page_as(
    document: &FamilyDocument,
    printed: Printed<'_>,
    frame: PageFrame<'_>,
) -> Result<Markup, MessageFault> {
    let language = printed.wording.language();
    let write = Writer { printed };
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

struct Writer<'a> {
    printed: Printed<'a>,
}

type Drawn = Result<Markup, MessageFault>;

impl Writer<'_> {
    /// A sentence, with that of the other language beside it.
    fn text(&self, sentence: &Sentence) -> Drawn {
        let text = self.printed.wording.text(sentence)?;
        let beside = self.printed.beside.map(|other| other.text(sentence)).transpose()?;
        Ok(self.pair(&text, beside.as_deref()))
    }

    /// What is the same in every language but for how it is written.
    fn written(&self, write: impl Fn(Language) -> String) -> Markup {
        let beside = self.printed.beside.map(|other| write(other.language()));
        self.pair(&write(self.printed.wording.language()), beside.as_deref())
    }

    fn pair(&self, text: &str, beside: Option<&str>) -> Markup {
        let Some((other, beside)) = self.printed.beside.zip(beside) else { return text.render() };
        let is_same = text == beside;
        html! {
            @if is_same { (text) }
            @else { span.pair { span { (text) } span.beside lang=(other.language().tag()) dir="ltr" { (beside) } } }
        }
    }

    fn named(&self, id: &'static str) -> Drawn {
        self.text(&Sentence::new(id))
    }

    fn texts(&self, sentences: &[Sentence]) -> Result<Vec<Markup>, MessageFault> {
        sentences.iter().map(|sentence| self.text(sentence)).collect()
    }

    fn document(&self, document: &FamilyDocument) -> Drawn {
        let title = self.text(&document.title)?;
        let whose = self.texts(&document.whose)?;
        let Printed { wording, beside, look } = self.printed;
        // English has no such sentence.
        let awaits = Sentence::new("translation-awaits-review");
        let notice = wording.awaits_review().then(|| wording.text(&awaits)).transpose()?;
        let sorted = match (look.pictures_first, beside) {
            (true, _) => Some(look::pictures_first(&document.blocks)),
            (false, Some(_)) => Some(look::signs_first(&document.blocks)),
            (false, None) => None,
        };
        let blocks = sorted.as_deref().unwrap_or(&document.blocks);
        let blocks: Vec<Markup> = blocks.iter().map(|block| self.block(block)).collect::<Result<_, _>>()?;
        Ok(html! {
            main.sheet.(document.kind.key()).large[look.large].pictures[look.pictures_first].two[beside.is_some()] {
                @if let Some(head) = colleague::head_of(&document.blocks) { (head) }
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
                self.texts(sentences).map(|texts| html! { p { @for (n, text) in texts.iter().enumerate() { @if n > 0 { " " } (text) } } })
            }
            Block::DiarySheet(code) => self.diary_sheet(*code),
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
            // Drawn above the title.
            Block::Head(_) => Ok(html! {}),
            Block::ForColleagues(block) => self.for_colleagues(block),
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
                self.written(|language| language.day(line.day)),
                line.time.as_deref().map(|time| self.written(|language| language.time(time))),
                self.text(&line.what)?,
            ));
        }
        Ok(html! {
            table.dates {
                thead { tr { @for head in &heads { th scope="col" { (head) } } } }
                tbody { @for (day, time, what) in &rows {
                    tr { th scope="row" { (day) } td { @if let Some(time) = time { (time) } } td { (what) } }
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

    /// The words on the sheet are in one language: there is no room for two.
    fn diary_sheet(&self, code: DiaryCode) -> Drawn {
        let wording = self.printed.wording;
        let text = |sentence: &Sentence| wording.text(sentence);
        let week =
            |n: u8| text(&Sentence::new("diary-week").with("day", code.from.plus_days(i32::from(n) * 7)));
        let words = diary_sheet::SheetWords {
            weeks: (0..code.weeks).map(week).collect::<Result<_, _>>()?,
            days: code.days().map(|day| wording.language().short_day(day)).collect(),
            hours: text(&Sentence::new("diary-hours"))?,
            skin: text(&Sentence::new("diary-skin"))?,
            example: text(&Sentence::new("diary-example").with("hours", i64::from(EXAMPLE_HOURS)))?,
        };
        Ok(diary_sheet::diary_sheet(code, &words))
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
        let shows = self.printed.wording.text(&Sentence::new(drawing.message()))?;
        let drawn = drawing::picture(drawing, &shows);
        // The list says what the drawing shows, with the same numbers.
        Ok(html! {
            div.drawn {
                (drawn)
                ol { @for text in &texts { li { (text) } } }
            }
        })
    }
}
