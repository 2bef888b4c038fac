//! What every paper of the clinic has: the clinic, the day on which it was made, what everybody must know about the
//! records, and the caution. Each page builds the rest of its paper beside itself, from the same view and words.

use crate::{
    Frame,
    frame::{INVENTED, Message},
    in_language::PageLanguage,
    parts::{Who, born_words, words_of},
};
use messages::{ClinicPaper, PaperBlock, PaperCell, PaperChild, PaperRow, PaperTable, PaperText, Sentence};

/// A paper in a language. `kind` says what it is and names no child: it is the title of the file.
pub(crate) fn paper_in(
    language: PageLanguage,
    frame: &Frame,
    (kind, title): (String, String),
    blocks: Vec<PaperBlock>,
) -> ClinicPaper {
    let made = language.date(frame.today);
    let made = language.text(&Sentence::new("paper-made").with("day", made.as_str()));
    let mark = frame.mark.as_ref();
    let mark = mark.map(|mark| language.text(&Sentence::new("paper-records").with("mark", mark.as_str())));
    ClinicPaper {
        language: language.language(),
        kind,
        title,
        whose: None,
        blocks: warnings(frame).into_iter().chain(blocks).collect(),
        foot: [frame.clinic_name.clone(), made].into_iter().chain(mark).collect(),
        caution: language.named("caution"),
        made: frame.today,
        most_pages: None,
    }
}

/// The same in English, with one title for paper and file.
pub(crate) fn paper(frame: &Frame, title: &str, blocks: Vec<PaperBlock>) -> ClinicPaper {
    paper_in(PageLanguage::English, frame, (title.to_owned(), title.to_owned()), blocks)
}

/// The paper of a child: its name, what tells it from others and the feet are on every page.
pub(crate) fn of_child(paper: ClinicPaper, who: &Who, feet: String) -> ClinicPaper {
    let born = format!("born {}", words_of(&born_words(who)));
    let whose = PaperChild {
        name: who.shown_name(),
        facts: [born, who.number()].into_iter().chain(who.twin_words()).collect(),
        feet,
    };
    let mut foot = paper.foot;
    foot.insert(1.min(foot.len()), format!("{}, {}", whose.name, who.number()));
    ClinicPaper { whose: Some(whose), foot, ..paper }
}

/// What everybody must know before trusting the paper.
fn warnings(frame: &Frame) -> Option<PaperBlock> {
    let standing = frame.standing.iter().map(|notice| PaperText::default().strong(&notice.text));
    let message = frame.message.iter().filter_map(|message| match message {
        Message::Warning(text) => Some(PaperText::of(text)),
        Message::Done(_) | Message::Note(_) => None,
    });
    let invented = frame.invented.then(|| PaperText::of(INVENTED));
    let lines: Vec<PaperText> = invented.into_iter().chain(standing).chain(message).collect();
    (!lines.is_empty()).then_some(PaperBlock::Warning(lines))
}

/// A table whose rows are named by the cells of a column.
pub(crate) fn table(heads: &[String], widths: &[u16], names: usize, rows: Vec<PaperRow>) -> PaperBlock {
    PaperBlock::Table(PaperTable { heads: heads.to_vec(), widths: widths.to_vec(), names, rows })
}

/// A row of cells with one line each.
pub(crate) fn row<const CELLS: usize>(cells: [PaperText; CELLS]) -> PaperRow {
    PaperRow::of(cells.map(PaperCell::of))
}
