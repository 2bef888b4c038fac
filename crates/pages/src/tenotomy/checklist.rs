//! The list before a tenotomy: what the record has, what is missing, and blanks to fill in by hand.

use super::ceiling::{CeilingView, ceiling, ceiling_blocks};
use crate::{
    Frame, HelpTopic, frame, paper,
    parts::{self, Who, paper_text},
    words,
};
use guidance::before_tenotomy::{CheckItem, CheckState, FootCheck, TenotomyChecklist};
use maud::{Markup, html};
use messages::{ClinicPaper, PaperBit, PaperBlock, PaperRow, PaperText};
use record::{Right, Side};

/// The list of one child.
#[derive(Debug, Clone)]
pub struct TenotomyView {
    /// The child.
    pub who: Who,
    /// What the record says.
    pub list: TenotomyChecklist,
    /// The ceilings of local anaesthetics.
    pub ceiling: CeilingView,
}

/// What can be recorded from the page: the key of the form, and its words.
const FORMS: [(&str, &str); 5] = [
    ("weighed", "Record a weight"),
    ("allergies", "Record allergies"),
    ("medicines", "Record medicines"),
    ("consent", "Record consent"),
    ("tenotomy-booked", "Book a tenotomy"),
];

/// The title of page and paper.
const TITLE: &str = "Tenotomy checklist";
const BEFORE: &str = "Before the operation";
const BREATHING: &str = "Age and breathing";
/// What the list does not say.
const ONLY_ENTERED: &str =
    "“In the record” says only what was entered. Fasting is not recorded in this program: ask.";
/// In place of blanks for a foot.
const NO_FOOT: &str =
    "No foot is booked for this day: nothing can be filled in for a foot. Book the tenotomy first.";
/// The heads of the list.
const HEADS: [&str; 3] = ["Point", "In the record", "Checked"];

/// The page.
#[must_use]
pub fn tenotomy(frame: &Frame, view: &TenotomyView) -> Markup {
    let TenotomyView { who, list, .. } = view;
    let body = html! {
        (parts::band(who, "tenotomy checklist", frame.today))
        p.actions.no-print { (parts::print_button()) " " (parts::pdf_link(&pdf_href(view))) }
        p.checklist-day { (paper_text(&made_for(list))) " " span.rel { (words::relative(list.on, frame.today)) } }
        (sides(list))
        (verdict(list))
        section.card aria-labelledby="before-head" {
            h2 id="before-head" { (BEFORE) }
            (points(who, list))
            p.hint { (ONLY_ENTERED) }
            @if frame.may(Right::RecordClinical) {
                p.actions { @for (key, text) in FORMS { a.button href={ (who.href()) "/add/" (key) } { (text) } " " } }
            }
        }
        section.card aria-labelledby="breathing-head" {
            h2 id="breathing-head" { (BREATHING) }
            ul.plain { @for text in &list.breathing { li { (text) } } }
        }
        (ceiling(who, list.on, &view.ceiling))
        @for foot in &list.feet { (by_hand(foot)) }
        @if list.feet.is_empty() { p.message.warning { (NO_FOOT) } }
        (other_day(who, list))
        (parts::caution())
    };
    frame::page(frame, HelpTopic::TenotomyChecklist, TITLE, &body)
}

/// The same on paper. The feet are the largest text of every page.
#[must_use]
pub fn tenotomy_paper(frame: &Frame, view: &TenotomyView) -> ClinicPaper {
    let TenotomyView { who, list, .. } = view;
    let mut blocks = vec![PaperBlock::Paragraph(made_for(list))];
    let other_days: Vec<PaperText> = list.other_days.iter().map(|text| not_on_list(text).into()).collect();
    blocks.extend((!other_days.is_empty()).then_some(PaperBlock::Warning(other_days)));
    let (warns, verdict) = verdict_words(list);
    blocks.push(if warns { PaperBlock::Warning(vec![verdict]) } else { PaperBlock::Paragraph(verdict) });
    let points = all_points(list).map(|(side, item)| paper_point(side, item)).collect();
    blocks.extend([
        PaperBlock::Heading(BEFORE.to_owned()),
        paper::table(&HEADS.map(str::to_owned), &[32, 58, 10], 0, points),
        PaperBlock::Small(ONLY_ENTERED.into()),
        PaperBlock::Heading(BREATHING.to_owned()),
        PaperBlock::List(list.breathing.iter().map(PaperText::of).collect()),
    ]);
    blocks.extend(ceiling_blocks(list.on, &view.ceiling));
    blocks.extend(list.feet.iter().map(paper_by_hand));
    if list.feet.is_empty() {
        blocks.push(PaperBlock::Warning(vec![NO_FOOT.into()]));
    }
    let paper = paper::of_child(paper::paper(frame, TITLE, blocks), who, side_words(list));
    ClinicPaper { most_pages: Some(3), ..paper }
}

/// The address of the paper, with what was typed.
fn pdf_href(view: &TenotomyView) -> String {
    let typed = view.ceiling.typed.iter();
    let typed =
        typed.map(|(name, text)| format!("&{}={}", parts::query_value(name), parts::query_value(text)));
    format!("{}/tenotomy/pdf?on={}{}", view.who.href(), view.list.on, typed.collect::<String>())
}

fn made_for(list: &TenotomyChecklist) -> PaperText {
    PaperText::of("For ").strong(words::weekday(list.on))
}

/// The feet in words, as large as anything on the page.
fn sides(list: &TenotomyChecklist) -> Markup {
    html! {
        p.checklist-sides { (side_words(list)) }
        @for text in &list.other_days { p.message.warning { (not_on_list(text)) } }
    }
}

/// "LEFT foot", "RIGHT foot and LEFT foot".
fn side_words(list: &TenotomyChecklist) -> String {
    let named: Vec<String> =
        list.feet.iter().map(|foot| format!("{} foot", foot.side.title().to_uppercase())).collect();
    if named.is_empty() { "Which foot? None is booked.".to_owned() } else { named.join(" and ") }
}

fn not_on_list(text: &str) -> String {
    format!("{text} Not on this list.")
}

fn verdict(list: &TenotomyChecklist) -> Markup {
    let (warns, words) = verdict_words(list);
    html! { p.message.warning[warns].note[!warns] role="status" { (paper_text(&words)) } }
}

/// What is still open, and whether it is a warning.
fn verdict_words(list: &TenotomyChecklist) -> (bool, PaperText) {
    let count = |state| list.open().filter(|(_, item)| item.state == state).count();
    let (stops, missing) = (count(CheckState::Stops), count(CheckState::Missing));
    let are_missing = words::count(missing as i64, "point is", "points are");
    let text = PaperText::default();
    if stops > 0 {
        let first = words::count(stops as i64, "point has", "points have");
        let stop = text.strong("Stop: ").and(format!("{first} to be settled first."));
        (true, if missing > 0 { stop.and(format!(" {are_missing} missing.")) } else { stop })
    } else if missing > 0 {
        (true, text.strong("Not complete: ").and(format!("{are_missing} missing in the record.")))
    } else {
        (false, text.and("The record has every point of this list. What it cannot show is filled in by hand below; the licensed clinician decides."))
    }
}

/// Every point, those of the child first.
fn all_points(list: &TenotomyChecklist) -> impl Iterator<Item = (Option<Side>, &CheckItem)> {
    let of_feet =
        list.feet.iter().flat_map(|foot| foot.items.iter().map(move |item| (Some(foot.side), item)));
    list.child.iter().map(|item| (None, item)).chain(of_feet)
}

fn points(who: &Who, list: &TenotomyChecklist) -> Markup {
    html! {
        div.scroll tabindex="0" role="group" aria-label="Table: points before the operation" {
            table.checklist {
                thead { tr { @for head in HEADS { th scope="col" { (head) } } } }
                tbody { @for (side, item) in all_points(list) {
                    tr class=(state_class(item)) {
                        th scope="row" { (point_name(side, item)) }
                        td { @if let Some(word) = state_word(item) { strong.state { (word) } } @if let Some(entry) = item.entry { a href={ (who.href()) "/entry/" (entry) } { (item.words) } } @else { (item.words) } }
                        td.tick { (paper_text(&PaperText::default().tick(""))) }
                    }
                } }
            }
        }
    }
}

fn paper_point(side: Option<Side>, item: &CheckItem) -> PaperRow {
    let state = state_word(item).map(|word| PaperBit::Strong(word.to_owned()));
    let said = state.into_iter().fold(PaperText::default(), PaperText::with).and(&item.words);
    let cells = [PaperText::default().strong(point_name(side, item)), said, PaperText::default().tick("")];
    PaperRow { marked: item.state != CheckState::Recorded, ..paper::row(cells) }
}

/// "Left foot: Dorsiflexion before".
fn point_name(side: Option<Side>, item: &CheckItem) -> String {
    side.map_or_else(|| item.what.to_owned(), |side| format!("{} foot: {}", side.title(), item.what))
}

const fn state_class(item: &CheckItem) -> &'static str {
    match item.state {
        CheckState::Recorded => "",
        CheckState::Missing => "missing",
        CheckState::Stops => "stops",
    }
}

const fn state_word(item: &CheckItem) -> Option<&'static str> {
    match item.state {
        CheckState::Recorded => None,
        CheckState::Missing => Some("Missing. "),
        CheckState::Stops => Some("Stop. "),
    }
}

/// The blanks of one foot.
fn by_hand(foot: &FootCheck) -> Markup {
    let id = format!("hand-{}", foot.side);
    html! {
        section.card.by-hand aria-labelledby=(id) {
            h2 id=(id) { (hand_heading(foot)) }
            ul.plain.blanks { @for line in hand_lines(foot) { li { (paper_text(&line)) } } }
            @if foot.is_done { p.hint { (DONE) } }
        }
    }
}

/// The same on paper, where they stay together: nobody fills in blanks below the name of another foot.
fn paper_by_hand(foot: &FootCheck) -> PaperBlock {
    let lines = hand_lines(foot).into_iter().map(PaperBlock::Paragraph);
    let done = foot.is_done.then(|| PaperBlock::Small(DONE.into()));
    let heading = PaperBlock::Heading(hand_heading(foot));
    PaperBlock::Together([heading].into_iter().chain(lines).chain(done).collect())
}

const DONE: &str = "A tenotomy of this foot is recorded for this day.";

fn hand_heading(foot: &FootCheck) -> String {
    format!("{} foot: at the operation", foot.side.title().to_uppercase())
}

fn hand_lines(foot: &FootCheck) -> Vec<PaperText> {
    let side = foot.side.title().to_uppercase();
    let after = PaperText::of("Dorsiflexion after the cut: ");
    let after = match foot.dorsiflexion_after_deg {
        Some(deg) => after.strong(words::degrees(deg)).and(" (recorded)"),
        None => after.blank().and("°"),
    };
    let box_then = |text: &str| PaperText::default().tick("").and(format!(" {text}"));
    let cast = if foot.is_cast_after {
        box_then("Cast applied (recorded for this day)")
    } else {
        box_then("Cast applied: abduction ").blank().and("° dorsiflexion ").blank().and("°")
    };
    let anaesthetic = PaperText::of("Local anaesthetic: product ").blank().and(" concentration ").blank();
    let cream = PaperText::of("Cream or gel: product ").blank().and(" amount ").blank();
    vec![
        box_then("Name, date of birth and ")
            .strong(format!("{side} foot"))
            .and(" confirmed with the family, and the foot marked"),
        anaesthetic.and(" mL ").blank().and(" at ").blank(),
        cream.and(" on at ").blank().and(" off at ").blank(),
        after,
        cast,
        box_then("Toes checked: all in sight, pink, warm, colour back after a pinch, at ").blank(),
        PaperText::of("Done by ").blank().and(" Checked by ").blank(),
    ]
}

fn other_day(who: &Who, list: &TenotomyChecklist) -> Markup {
    html! {
        form.as-of method="get" action={ (who.href()) "/tenotomy" } {
            label for="list-day" { "Make this list for another day" }
            input id="list-day" type="date" name="on" value=(list.on);
            button type="submit" { "Show" }
        }
    }
}
