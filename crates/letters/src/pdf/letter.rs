//! A letter to a colleague as the data that the template reads: the parts that documents for families have not.

use super::{
    content::{DocumentText, Made, content_of, photograph_file},
    fault::PdfFault,
    runs::runs,
    typefaces::FontScript,
};
use crate::{
    colleague_block::{ColleagueBlock, CourseChart, FootFindings, LetterPhotograph},
    colleagues::{ColleagueDocument, ColleagueDocumentKind},
    document::Block,
    letterhead::DocumentHead,
    wording::Wording,
};
use data_encoding::HEXLOWER;
use messages::{Language, Sentence};
use serde_json::{Value, json};
use sha2::{Digest, Sha256};

/// The data of a letter, with the head of the clinic above its title and photographs on paper of their own behind it.
///
/// # Errors
/// When a message is missing, or no typeface has a character.
pub(super) fn letter(document: &ColleagueDocument, head: Option<&DocumentHead>) -> Made {
    let wording = Wording::built_in(Language::English);
    let text = DocumentText::of_wording(&wording);
    let (behind, blocks): (Vec<Block>, Vec<Block>) = document.blocks.iter().cloned().partition(is_behind);
    let head = head.cloned().map(Block::Head);
    let blocks: Vec<Block> = head.into_iter().chain(blocks).collect();
    let behind = behind.iter().map(|block| text.behind(block)).collect::<Result<Vec<_>, _>>()?;
    let mut content = content_of((&document.title, document.whose.as_slice(), blocks.as_slice()), &wording)?;
    if let Some(parts) = content.as_object_mut() {
        parts.insert("kind_words".to_owned(), text.plain(document.kind.words())?);
        parts.insert("most_pages".to_owned(), json!(most_pages(document.kind)));
        parts.insert("behind".to_owned(), json!(behind.concat()));
    }
    Ok(content)
}

const fn is_behind(block: &Block) -> bool {
    matches!(block, Block::ForColleagues(ColleagueBlock::Photographs(..)))
}

/// On how many pages a letter is put where smaller type can do that.
const fn most_pages(kind: ColleagueDocumentKind) -> u8 {
    match kind {
        ColleagueDocumentKind::ClinicSummary => 1,
        ColleagueDocumentKind::ReferrerLetter | ColleagueDocumentKind::TransferSummary => 2,
    }
}

/// The drawings of a letter.
pub(super) fn charts(document: &ColleagueDocument) -> impl Iterator<Item = &CourseChart> {
    document.blocks.iter().flat_map(|block| match block {
        Block::ForColleagues(ColleagueBlock::Charts(charts)) => charts.as_slice(),
        _ => &[],
    })
}

/// The name of the file of a drawing.
pub(super) fn chart_file(chart: &CourseChart) -> String {
    format!("chart-{}.svg", HEXLOWER.encode(&Sha256::digest(&chart.svg)))
}

impl DocumentText<'_> {
    pub(super) fn for_colleagues(&self, block: &ColleagueBlock) -> Made {
        Ok(match block {
            ColleagueBlock::Doubt(sentences) => {
                let head = self.named("clinic-doubt-head")?;
                json!({ "kind": "doubt", "head": head, "items": self.all(sentences)? })
            }
            ColleagueBlock::Charts(charts) => {
                let charts = charts.iter().map(|chart| self.chart(chart)).collect::<Result<Value, _>>()?;
                json!({ "kind": "charts", "charts": charts })
            }
            ColleagueBlock::Feet(feet) => {
                let feet = feet.iter().map(|foot| self.foot(foot)).collect::<Result<Value, _>>()?;
                json!({ "kind": "feet", "feet": feet })
            }
            ColleagueBlock::Wide { caption, heads, rows } => {
                let (caption, heads) = (self.of(caption)?, self.all(heads)?);
                let row = |row: &Vec<String>| row.iter().map(|cell| self.plain(cell)).collect::<Made>();
                let rows = rows.iter().map(row).collect::<Result<Value, _>>()?;
                json!({ "kind": "wide", "caption": caption, "heads": heads, "rows": rows })
            }
            ColleagueBlock::Signature(lines) => {
                let lines = lines.iter().map(|line| self.plain(line)).collect::<Result<Value, _>>()?;
                json!({ "kind": "signature", "regards": self.named("clinic-regards")?, "lines": lines })
            }
            ColleagueBlock::Small(texts) => json!({ "kind": "small", "sentences": self.all(texts)? }),
            ColleagueBlock::Photographs(_, photographs) => self.photographs(photographs)?,
        })
    }

    /// What is on paper of its own says whose it is.
    fn behind(&self, block: &Block) -> Result<Vec<Value>, PdfFault> {
        let Block::ForColleagues(ColleagueBlock::Photographs(whose, photographs)) = block else {
            return Ok(vec![self.block(block)?]);
        };
        let notes = [self.named("clinic-photographs-no-measure")?, self.named("clinic-photographs-consent")?];
        Ok(vec![
            json!({ "kind": "heading", "text": self.named("clinic-photographs-head")? }),
            json!({ "kind": "paragraph", "sentences": self.all(whose)? }),
            json!({ "kind": "paragraph", "sentences": notes }),
            self.photographs(photographs)?,
        ])
    }

    /// Each photograph with the name of its file, and its words below it and in its place.
    fn photographs(&self, photographs: &[LetterPhotograph]) -> Made {
        let of = |(number, one): (usize, &LetterPhotograph)| -> Made {
            let caption = self.text(&one.caption())?;
            Ok(json!({ "file": photograph_file(number), "alt": &caption, "caption": self.plain(&caption)? }))
        };
        let pictures = photographs.iter().enumerate().map(of).collect::<Result<Value, _>>()?;
        Ok(json!({ "kind": "photographs", "pictures": pictures }))
    }

    /// The drawing under the name of its foot. Whoever cannot see it is told what each of its marks says.
    fn chart(&self, chart: &CourseChart) -> Made {
        for drawn in drawn_texts(&chart.svg) {
            runs(&drawn, FontScript::Latin)?;
        }
        let course = self.text(&Sentence::new("clinic-course").with("foot", chart.side))?;
        let mut marks = mark_texts(&chart.svg);
        marks.dedup();
        let alt = if marks.is_empty() { course } else { format!("{course}: {}.", marks.join("; ")) };
        let name = self.of(&Sentence::new("clinic-foot").with("foot", chart.side))?;
        Ok(json!({ "name": name, "file": chart_file(chart), "alt": alt }))
    }

    fn foot(&self, foot: &FootFindings) -> Made {
        let name = self.of(&Sentence::new("clinic-foot").with("foot", foot.side))?;
        let row = |(label, value): &(Sentence, Sentence)| -> Made {
            Ok(json!({ "label": self.of(label)?, "value": self.of(value)? }))
        };
        let Some(lines) = &foot.lines else {
            return Ok(json!({ "name": name, "rows": [], "none": self.named("clinic-not-affected")? }));
        };
        let rows = lines.iter().map(row).collect::<Result<Value, _>>()?;
        Ok(json!({ "name": name, "rows": rows, "none": null }))
    }
}

/// The texts that are drawn in a drawing of the program, in which every sign of markup in a text is escaped.
fn drawn_texts(svg: &str) -> Vec<String> {
    let after = svg.split("<text").skip(1).filter_map(|rest| rest.split_once('>'));
    after.map(|(_, rest)| unescaped(rest.split('<').next().unwrap_or_default())).collect()
}

/// What the marks of a drawing say, in their order.
fn mark_texts(svg: &str) -> Vec<String> {
    let after = svg.split("<title>").skip(1);
    after.map(|rest| unescaped(rest.split('<').next().unwrap_or_default())).collect()
}

fn unescaped(text: &str) -> String {
    let text = text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"");
    text.replace("&amp;", "&")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_of_a_drawing_are_read_as_they_are_meant() {
        let svg = r#"<svg width="9" height="9"><g><title>Cast 1 &lt;a &amp;amp; b&gt;</title><path d="M0 0"/></g><text x="1">4 &amp; 5</text><text></text></svg>"#;
        assert_eq!(mark_texts(svg), ["Cast 1 <a &amp; b>"]);
        assert_eq!(drawn_texts(svg), ["4 & 5", ""]);
        assert!(mark_texts("<svg></svg>").is_empty() && drawn_texts("<svg></svg>").is_empty());
    }
}
