//! A document as the data that the template reads.

use super::{fault::PdfFault, logo_file, runs::runs, typefaces::FontScript};
use crate::{
    document::{Block, DatedLine, FamilyDocument, FamilyDrawing, SignPicture, WayPoint},
    letterhead::DocumentHead,
    parts::feet_key,
    wording::Wording,
};
use messages::{Language, Sentence};
use serde_json::{Value, json};

pub(super) type Made = Result<Value, PdfFault>;

/// The name of the file of a photograph, by its place among them.
pub(super) fn photograph_file(number: usize) -> String {
    format!("photograph-{number}.jpg")
}

/// The data of one document for a family.
///
/// # Errors
/// When a message is missing in the language, or no typeface has a character.
pub(super) fn content(document: &FamilyDocument, wording: &Wording) -> Made {
    let FamilyDocument { title, whose, blocks, .. } = document;
    content_of((title, whose.as_slice(), blocks.as_slice()), wording)
}

/// The data of title, whose it is, and parts.
///
/// # Errors
/// As [`content`].
pub(super) fn content_of(
    (title, whose, blocks): (&Sentence, &[Sentence], &[Block]),
    wording: &Wording,
) -> Made {
    let text = DocumentText::of_wording(wording);
    let notice = wording.awaits_review().then(|| text.named("translation-awaits-review"));
    let blocks: Vec<Value> = blocks.iter().map(|block| text.block(block)).collect::<Result<_, _>>()?;
    Ok(json!({
        "lang": text.language.tag(),
        "family": place(text.usual),
        "leading": leading_em(text.usual),
        "title": text.of(title)?,
        "whose": text.all(whose)?,
        "blocks": blocks,
        "notice": notice.transpose()?,
        // What only letters to colleagues have.
        "kind_words": null,
        "most_pages": null,
        "behind": [],
    }))
}

/// The families by their number in the data.
pub(super) fn families() -> Vec<&'static str> {
    FontScript::ALL.into_iter().map(FontScript::family).collect()
}

/// A text as runs, each with the number of its typeface.
///
/// # Errors
/// When no typeface has a character of the text.
pub(super) fn run_data(text: &str, usual: FontScript) -> Made {
    let runs = runs(text, usual)?;
    Ok(runs.into_iter().map(|(script, run)| json!([place(script), run])).collect())
}

/// The number of a family in the data.
pub(super) fn place(script: FontScript) -> usize {
    FontScript::ALL.into_iter().position(|other| other == script).unwrap_or(0)
}

/// The script of a language, which signs and digits at the beginning of a text take.
pub(super) const fn usual(language: Language) -> FontScript {
    match language {
        Language::English
        | Language::Spanish
        | Language::French
        | Language::Portuguese
        | Language::Swahili => FontScript::Latin,
        Language::Hindi => FontScript::Devanagari,
        Language::Bengali => FontScript::Bengali,
        Language::Arabic => FontScript::Arabic,
        Language::Amharic => FontScript::Ethiopic,
    }
}

/// Space between lines, in heights of the type: marks above and below letters need more.
pub(super) const fn leading_em(script: FontScript) -> f64 {
    match script {
        FontScript::Latin => 0.26,
        FontScript::Ethiopic => 0.34,
        FontScript::Devanagari | FontScript::Bengali => 0.38,
        FontScript::Arabic => 0.46,
    }
}

/// The writer of texts in one wording.
pub(super) struct DocumentText<'a> {
    wording: &'a Wording,
    language: Language,
    usual: FontScript,
}

impl<'a> DocumentText<'a> {
    /// In this wording.
    pub(super) const fn of_wording(wording: &'a Wording) -> Self {
        let language = wording.language();
        Self { wording, language, usual: usual(language) }
    }

    /// A sentence as it is, for what is not typeset.
    pub(super) fn text(&self, sentence: &Sentence) -> Result<String, PdfFault> {
        Ok(self.wording.text(sentence)?)
    }

    /// A text as runs, each with the number of its typeface.
    pub(super) fn plain(&self, text: &str) -> Made {
        run_data(text, self.usual)
    }

    pub(super) fn of(&self, sentence: &Sentence) -> Made {
        self.plain(&self.wording.text(sentence)?)
    }

    pub(super) fn named(&self, id: &'static str) -> Made {
        self.of(&Sentence::new(id))
    }

    pub(super) fn all(&self, sentences: &[Sentence]) -> Made {
        sentences.iter().map(|sentence| self.of(sentence)).collect()
    }

    pub(super) fn block(&self, block: &Block) -> Made {
        Ok(match block {
            Block::Heading(text) => json!({ "kind": "heading", "text": self.of(text)? }),
            Block::Paragraph(texts) => json!({ "kind": "paragraph", "sentences": self.all(texts)? }),
            Block::List(items) => json!({ "kind": "list", "items": self.all(items)? }),
            Block::Ring(items) => {
                json!({ "kind": "ring", "head": self.named("ring-head")?, "items": self.all(items)? })
            }
            Block::Question(question, answer) => {
                json!({ "kind": "question", "question": self.of(question)?, "answer": self.of(answer)? })
            }
            Block::Way(points) => self.way(points)?,
            Block::Dates(lines) => self.dates(lines)?,
            Block::Emergency(signs) => self.emergency(signs)?,
            Block::Telephone(number) => self.telephone(number.as_deref())?,
            Block::Table(rows) => self.table(rows)?,
            Block::Drawing(drawing, steps) => self.drawing(*drawing, steps)?,
            Block::Head(head) => self.head(head)?,
            Block::DiarySheet(_) => {
                return Err(PdfFault::OnlyAsPage("the program reads its boxes back from a picture"));
            }
            Block::ForColleagues(block) => self.for_colleagues(block)?,
        })
    }

    fn way(&self, points: &[WayPoint]) -> Made {
        let point = |point: &WayPoint| -> Made {
            let here = match point.here.as_slice() {
                [] => None,
                feet => Some(self.of(&Sentence::new("you-are-here").with("feet", feet_key(feet)))?),
            };
            let name = self.named(point.stage.message())?;
            Ok(json!({ "name": name, "here": here, "passed": point.passed }))
        };
        let points = points.iter().map(point).collect::<Result<Value, _>>()?;
        Ok(json!({ "kind": "way", "points": points }))
    }

    fn dates(&self, lines: &[DatedLine]) -> Made {
        let heads = [self.named("dates-day")?, self.named("dates-time")?, self.named("dates-what")?];
        let row = |line: &DatedLine| -> Made {
            let time = line.time.as_deref().map_or_else(String::new, |time| self.language.time(time));
            let day = self.plain(&self.language.day(line.day))?;
            Ok(json!({ "day": day, "time": self.plain(&time)?, "what": self.of(&line.what)? }))
        };
        let rows = lines.iter().map(row).collect::<Result<Value, _>>()?;
        Ok(json!({ "kind": "dates", "heads": heads, "rows": rows }))
    }

    fn emergency(&self, signs: &[(SignPicture, Sentence)]) -> Made {
        let sign = |(picture, text): &(SignPicture, Sentence)| -> Made {
            Ok(json!({ "picture": picture.file(), "text": self.of(text)? }))
        };
        let signs = signs.iter().map(sign).collect::<Result<Value, _>>()?;
        let (head, why) = (self.named("emergency-head")?, self.named("emergency-why")?);
        Ok(json!({ "kind": "emergency", "head": head, "why": why, "signs": signs }))
    }

    fn telephone(&self, number: Option<&str>) -> Made {
        let label = self.named(if number.is_some() { "telephone-label" } else { "telephone-blank" })?;
        let number = number.map(|number| self.plain(number)).transpose()?;
        Ok(json!({ "kind": "telephone", "label": label, "number": number }))
    }

    fn table(&self, rows: &[(Sentence, Sentence)]) -> Made {
        let row = |(label, value): &(Sentence, Sentence)| -> Made {
            Ok(json!({ "label": self.of(label)?, "value": self.of(value)? }))
        };
        let rows = rows.iter().map(row).collect::<Result<Value, _>>()?;
        Ok(json!({ "kind": "table", "rows": rows }))
    }

    fn drawing(&self, drawing: FamilyDrawing, steps: &[Sentence]) -> Made {
        let shows = self.wording.text(&Sentence::new(drawing.message()))?;
        let steps = self.all(steps)?;
        Ok(json!({ "kind": "drawing", "file": drawing.file(), "shows": shows, "steps": steps }))
    }

    fn head(&self, head: &DocumentHead) -> Made {
        let lines = head.lines.iter().map(|line| self.plain(line)).collect::<Result<Value, _>>()?;
        let logo = head.logo.as_ref().map(logo_file);
        Ok(json!({ "kind": "clinic", "clinic": self.plain(&head.clinic)?, "lines": lines, "logo": logo }))
    }
}
