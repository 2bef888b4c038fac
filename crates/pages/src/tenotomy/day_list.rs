//! The list of one day for the theatre, to print: who, which foot, when, what the record has and what is missing.

use crate::{
    Frame, HelpTopic, frame, paper,
    parts::{self, Who, paper_lines, paper_text, words_of},
    words,
};
use guidance::before_tenotomy::{CheckItem, CheckState, TenotomyChecklist, points};
use maud::{Markup, html};
use messages::{ClinicPaper, PaperBlock, PaperCell, PaperRow, PaperText};
use record::{Day, Right, Side};

/// The tenotomies of a day.
#[derive(Debug, Clone)]
pub struct TheatreDayView {
    /// The day.
    pub on: Day,
    /// In order of time; without a time last.
    pub rows: Vec<TheatreDayRow>,
}

/// One child of the day.
#[derive(Debug, Clone)]
pub struct TheatreDayRow {
    /// The child.
    pub who: Who,
    /// The time as written.
    pub time: Option<String>,
    /// Where, as recorded.
    pub place: Option<String>,
    /// What the record says; `None` where the record is closed to the reader.
    pub list: Option<TenotomyChecklist>,
    /// What matters for anaesthesia and for the cut beside the list, one sentence each.
    pub cautions: Vec<String>,
}

/// The title of the page, which names no child.
const TITLE: &str = "Tenotomies of a day";
/// What nobody may take from the list.
const ASK: &str = "Fasting is not recorded in this program: ask. Check name, date of birth and foot with the family before the cut.";
/// In place of the list.
const NONE: &str = "No tenotomy is booked for this day.";
/// The heads of the columns.
const HEADS: [&str; 7] =
    ["Time", "Child", "Foot", "Weight", "Allergies, medicines", "Consent", "Missing, and to know"];
/// How wide the columns are on paper, in hundredths.
const WIDTHS: [u16; 7] = [9, 19, 10, 10, 17, 14, 21];

/// The page.
#[must_use]
pub fn theatre_day(frame: &Frame, view: &TheatreDayView) -> Markup {
    let body = html! {
        header.page-head { div {
            h1 { (heading(view)) }
            p.tally { (frame.clinic_name) " · " (count(view)) }
        }
            p.actions.no-print { (parts::print_button()) " " (parts::pdf_link(&format!("/theatre/day/pdf?on={}", view.on))) }
        }
        p { (ASK) }
        @if view.rows.is_empty() { (parts::empty(NONE, &html! { p { a href="/theatre" { "All booked tenotomies" } } })) }
        @else { (table(frame, view)) }
        form.as-of method="get" action="/theatre/day" {
            label for="theatre-day" { "Another day" }
            input id="theatre-day" type="date" name="on" value=(view.on);
            button type="submit" { "Show" }
        }
        (parts::caution())
    };
    frame::page(frame, HelpTopic::TenotomyChecklist, TITLE, &body)
}

/// The same on paper.
#[must_use]
pub fn theatre_day_paper(frame: &Frame, view: &TheatreDayView) -> ClinicPaper {
    let mut blocks = vec![PaperBlock::Paragraph(count(view).into()), PaperBlock::Paragraph(ASK.into())];
    if view.rows.is_empty() {
        blocks.push(PaperBlock::Paragraph(NONE.into()));
    } else {
        let row = |row: &TheatreDayRow| paper_row(view.on, row, frame.may(Right::SeeClinical));
        let rows = view.rows.iter().map(row).collect();
        blocks.push(paper::table(&HEADS.map(str::to_owned), &WIDTHS, 1, rows));
    }
    ClinicPaper { title: heading(view), ..paper::paper(frame, TITLE, blocks) }
}

fn heading(view: &TheatreDayView) -> String {
    format!("Tenotomies on {}", words::weekday(view.on))
}

fn count(view: &TheatreDayView) -> String {
    words::count(view.rows.len() as i64, "child", "children")
}

fn table(frame: &Frame, view: &TheatreDayView) -> Markup {
    html! {
        div.scroll tabindex="0" role="group" aria-label="Table: tenotomies of the day" {
            table.checklist.theatre-day {
                thead { tr { @for head in HEADS { th scope="col" { (head) } } } }
                tbody { @for row in &view.rows { (row_of(frame, view.on, row)) } }
            }
        }
    }
}

fn row_of(frame: &Frame, on: Day, row: &TheatreDayRow) -> Markup {
    let (who, clinical) = (&row.who, frame.may(Right::SeeClinical));
    html! {
        tr.theatre-row {
            td { (paper_lines(&when(row))) }
            th scope="row" {
                (paper_lines(&identity(on, who)))
                @if clinical && !who.restricted { br; a.no-print href={ (who.href()) "/tenotomy?on=" (on) } { "Checklist" span.sr { ": " (who.shown_name()) } } }
            }
            @match &row.list {
                Some(list) => {
                    @let known = known(list);
                    @for (n, lines) in known.iter().enumerate() { td.theatre-foot[n == 0] { (paper_lines(lines)) } }
                    td { ul.plain { @for line in open(list, &row.cautions, clinical) { li { (paper_text(&line)) } } } }
                },
                None => td colspan="5" { @for caution in &row.cautions { p { (caution) } } },
            }
        }
    }
}

fn paper_row(on: Day, row: &TheatreDayRow, clinical: bool) -> PaperRow {
    let first = [PaperCell::lines(when(row)), PaperCell::lines(identity(on, &row.who))];
    let Some(list) = &row.list else {
        let closed = PaperCell::lines(row.cautions.iter().map(PaperText::of));
        return PaperRow::of(first.into_iter().chain([closed.across(5)]));
    };
    let known = known(list).into_iter().map(PaperCell::lines);
    let open = PaperCell::lines(open(list, &row.cautions, clinical));
    PaperRow::of(first.into_iter().chain(known).chain([open]))
}

/// The time and the place.
fn when(row: &TheatreDayRow) -> Vec<PaperText> {
    let time = row.time.as_deref().unwrap_or("no time");
    [Some(time), row.place.as_deref()].into_iter().flatten().map(PaperText::from).collect()
}

/// Who the child is; of a closed record only what the reader may see.
fn identity(on: Day, who: &Who) -> Vec<PaperText> {
    let facts = if who.restricted {
        who.number()
    } else {
        format!("born {} · {} · {}", words_of(&parts::born_words(who)), who.age(on), who.number())
    };
    let name = PaperText::default().strong(who.shown_name());
    [name, facts.into()].into_iter().chain(who.twin_words().map(PaperText::from)).collect()
}

/// The foot, and what is recorded of the points that are asked for first: a cell each.
fn known(list: &TenotomyChecklist) -> [Vec<PaperText>; 4] {
    let feet: Vec<String> = list.feet.iter().map(|foot| foot.side.title().to_uppercase()).collect();
    let feet = if feet.is_empty() { "No foot is booked".to_owned() } else { feet.join(" and ") };
    let asked = |begins: &str, what| point(PaperText::of(begins), list, what);
    [
        vec![PaperText::default().strong(feet)],
        vec![asked("", points::WEIGHT)],
        vec![asked("Allergies: ", points::ALLERGIES), asked("Medicines: ", points::MEDICINES)],
        vec![asked("", points::CONSENT)],
    ]
}

/// What is missing or stops, and what to know. `clinical`: whether the reader may see why a point stops the list, which
/// can tell of scores and casts.
fn open(list: &TenotomyChecklist, cautions: &[String], clinical: bool) -> Vec<PaperText> {
    let mut lines: Vec<PaperText> =
        list.open().map(|(side, item)| open_point(side, item, clinical)).collect();
    if lines.is_empty() {
        lines.push("Nothing is missing in the record.".into());
    }
    lines.extend(cautions.iter().map(PaperText::of));
    lines
}

fn open_point(side: Option<Side>, item: &CheckItem, clinical: bool) -> PaperText {
    let stops = item.state == CheckState::Stops;
    let foot = side.map_or_else(String::new, |side| format!("{} foot: ", side.title()));
    let why = match (stops, clinical) {
        (false, _) => String::new(),
        (true, true) => format!(": {}", item.words),
        (true, false) => ": ask the treating clinician".to_owned(),
    };
    let state = if stops { "Stop: " } else { "Missing: " };
    PaperText::default().strong(state).and(format!("{foot}{}{why}", item.what))
}

/// What is recorded to a point, in bold type where it is missing or too old.
fn point(begins: PaperText, list: &TenotomyChecklist, what: &str) -> PaperText {
    match list.item(what) {
        Some(item) if item.state == CheckState::Recorded => begins.and(&item.words),
        Some(item) if item.entry.is_some() => begins.strong(&item.words),
        _ => begins.strong("not recorded"),
    }
}
