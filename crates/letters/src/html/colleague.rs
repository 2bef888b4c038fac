//! The parts that only documents for colleagues have, and their pages.

use super::{DocumentLook, Drawn, PageFrame, Printed, Writer};
use crate::{
    colleague_block::{ColleagueBlock, CourseChart, FootFindings, LetterPhotograph},
    colleagues::ColleagueDocument,
    document::Block,
    letterhead::DocumentHead,
    wording::Wording,
};
use maud::{DOCTYPE, Markup, PreEscaped, html};
use messages::{Language, MessageFault, Sentence};

/// The page of a document for a colleague, in English.
///
/// # Errors
/// When a message is missing. Half a document is never made.
pub fn colleague_page(
    document: &ColleagueDocument,
    head: Option<&DocumentHead>,
    frame: PageFrame<'_>,
) -> Result<Markup, MessageFault> {
    let wording = Wording::built_in(Language::English);
    let write =
        Writer { printed: Printed { wording: &wording, beside: None, look: DocumentLook::default() } };
    let (title, whose) = (write.text(&document.title)?, write.texts(&document.whose)?);
    let blocks: Vec<Markup> =
        document.blocks.iter().map(|block| write.block(block)).collect::<Result<_, _>>()?;
    // The title of the page is in every history of a browser: it names the kind and no child.
    Ok(html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (document.kind.words()) }
                link rel="stylesheet" href=(frame.style);
            }
            body {
                @if let Some(above) = frame.above { div.staff-only { (above) } }
                main.sheet.colleague.(document.kind.key()) {
                    @if let Some(head) = head { (clinic_head(head)) }
                    header {
                        p.kind { (document.kind.words()) }
                        h1 { bdi { (title) } }
                        p.whose { @for part in &whose { span { bdi { (part) } } " " } }
                    }
                    @for block in &blocks { (block) }
                }
            }
        }
    })
}

/// The head of the clinic: its picture, its name, its lines.
pub(super) fn clinic_head(head: &DocumentHead) -> Markup {
    html! {
        div.clinic-head {
            @if let Some(logo) = &head.logo { img.clinic-logo src=(logo.href()) alt=""; }
            p {
                strong { bdi { (head.clinic) } }
                @for line in &head.lines { br; bdi { (line) } }
            }
        }
    }
}

/// The head among the blocks of a document, which is drawn above its title.
pub(super) fn head_of(blocks: &[Block]) -> Option<Markup> {
    blocks.iter().find_map(|block| match block {
        Block::Head(head) => Some(clinic_head(head)),
        _ => None,
    })
}

impl Writer<'_> {
    pub(super) fn for_colleagues(&self, block: &ColleagueBlock) -> Drawn {
        match block {
            ColleagueBlock::Doubt(sentences) => {
                let (head, list) = (self.named("clinic-doubt-head")?, self.list("plain", sentences)?);
                Ok(html! { section.doubt { h2 { (head) } (list) } })
            }
            ColleagueBlock::Charts(charts) => self.charts(charts),
            ColleagueBlock::Feet(feet) => self.feet(feet),
            ColleagueBlock::Wide { caption, heads, rows } => self.wide(caption, heads, rows),
            ColleagueBlock::Signature(lines) => {
                let regards = self.named("clinic-regards")?;
                Ok(html! {
                    div.signature {
                        p { (regards) }
                        p.sign-here {}
                        p { @for (n, line) in lines.iter().enumerate() { @if n > 0 { br; } bdi { (line) } } }
                    }
                })
            }
            ColleagueBlock::Small(sentences) => {
                self.texts(sentences).map(|texts| html! { p.small-print { @for (n, text) in texts.iter().enumerate() { @if n > 0 { " " } (text) } } })
            }
            ColleagueBlock::Photographs(whose, photographs) => self.photographs(whose, photographs),
        }
    }

    fn charts(&self, charts: &[CourseChart]) -> Drawn {
        let mut drawn = Vec::with_capacity(charts.len());
        for chart in charts {
            drawn.push((self.text(&Sentence::new("clinic-foot").with("foot", chart.side))?, &chart.svg));
        }
        // The drawing is made by the program from escaped text.
        Ok(html! {
            div.charts {
                @for (name, svg) in &drawn { figure { figcaption { (name) } (PreEscaped(svg)) } }
            }
        })
    }

    /// On paper of their own, so that they are not parted from whose they are.
    fn photographs(&self, whose: &[Sentence], photographs: &[LetterPhotograph]) -> Drawn {
        let (head, whose) = (self.named("clinic-photographs-head")?, self.texts(whose)?);
        let notes = [self.named("clinic-photographs-no-measure")?, self.named("clinic-photographs-consent")?];
        let mut shown = Vec::with_capacity(photographs.len());
        for one in photographs {
            shown.push((&one.src, self.printed.wording.text(&one.caption())?));
        }
        Ok(html! {
            section.letter-photographs {
                h2 { (head) }
                p.whose { @for part in &whose { span { bdi { (part) } } " " } }
                @for note in &notes { p { (note) } }
                div.photographs {
                    @for (src, caption) in &shown { figure { img src=(src) alt=(caption); figcaption { (caption) } } }
                }
            }
        })
    }

    fn feet(&self, feet: &[FootFindings]) -> Drawn {
        let drawn: Vec<Markup> = feet.iter().map(|foot| self.foot(foot)).collect::<Result<_, _>>()?;
        Ok(html! { div.feet { @for foot in &drawn { (foot) } } })
    }

    fn foot(&self, foot: &FootFindings) -> Drawn {
        let name = self.text(&Sentence::new("clinic-foot").with("foot", foot.side))?;
        let said = match &foot.lines {
            Some(lines) => self.table(lines)?,
            None => {
                let text = self.named("clinic-not-affected")?;
                html! { p { (text) } }
            }
        };
        Ok(html! { section { h2 { (name) } (said) } })
    }

    fn wide(&self, caption: &Sentence, heads: &[Sentence], rows: &[Vec<String>]) -> Drawn {
        let (caption, heads) = (self.text(caption)?, self.texts(heads)?);
        Ok(html! {
            table.wide {
                caption { (caption) }
                thead { tr { @for head in &heads { th scope="col" { (head) } } } }
                tbody { @for row in rows {
                    tr { @for (n, cell) in row.iter().enumerate() {
                        @if n == 0 { th scope="row" { (cell) } } @else { td { bdi { (cell) } } }
                    } }
                } }
            }
        })
    }
}
