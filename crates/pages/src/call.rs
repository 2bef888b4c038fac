//! A telephone call to the family: the number, what was said, and a new day, in one small form; and the list of
//! the families to call.

use crate::{
    DayLoad, Frame, HelpTopic,
    fields::{self, Field, Filled, What},
    frame,
    in_language::PageLanguage,
    paper,
    parts::{self, Tile, Who, words_of},
    words,
};
use maud::{Markup, html};
use messages::{ClinicPaper, PaperBit, PaperBlock, PaperCell, PaperRow, PaperText};
use record::{Carer, ContactWay, Day, EntryId, ProblemKind, Right};

/// The form field with the way in which the family was contacted.
pub const WAY: &str = "way";
/// The form field that states whether the family was reached.
pub const REACHED: &str = "reached";
/// The form field with whom.
pub const WHOM: &str = "whom";
/// The form field with what was said.
pub const SAID: &str = "said";
/// The form field with a problem that the family reports.
pub const PROBLEM: &str = "problem";
/// The form field with the foot that the problem is about.
pub const PROBLEM_SIDE: &str = "problem_side";
/// The form field with the new day: one of those proposed, or [`OTHER`].
pub const NEW_DAY: &str = "day";
/// The answer that the day is another one.
pub const OTHER: &str = "other";
/// The form field with another day.
pub const OTHER_DAY: &str = "other_day";
/// The form field with the time.
pub const TIME: &str = "time";
/// The form field with the day until which the calls are put off.
pub const UNTIL: &str = "until";
/// The form field with the page to which the form leads back.
pub const BACK: &str = "back";

/// The form of a call.
#[derive(Debug, Clone)]
pub struct CallView {
    /// The child.
    pub who: Who,
    /// The carers, in the order in which to call them.
    pub carers: Vec<Carer>,
    /// Why to call, one sentence each.
    pub why: Vec<String>,
    /// Earlier attempts, the latest first.
    pub attempts: Vec<String>,
    /// The appointment that a new day replaces or follows, in words.
    pub appointment: Option<(EntryId, String)>,
    /// Problems that the family may report, and how many of them are shown without unfolding.
    pub problems: (Vec<ProblemKind>, usize),
    /// Days for a new appointment.
    pub days: Vec<DayLoad>,
    /// Whether calls for attention can be put off.
    pub can_be_put_off: bool,
    /// The values in the form.
    pub filled: Filled,
    /// Token that makes a double submit harmless.
    pub once: String,
}

/// The page of a call.
#[must_use]
pub fn call(frame: &Frame, view: &CallView) -> Markup {
    let CallView { who, filled, .. } = view;
    let body = html! {
        (parts::band(who, "call the family", frame.today))
        (parts::error_summary(filled))
        (numbers(view))
        form.card.call-form method="post" action={ (who.href()) "/call" } {
            (parts::csrf(&frame.csrf))
            (parts::hidden(fields::ONCE, &view.once))
            (parts::draft(filled))
            (parts::closed_seen(filled))
            (parts::hidden(BACK, filled.value(BACK)))
            @if let Some((entry, _)) = &view.appointment { (parts::hidden(fields::FOLLOWS, &entry.to_string())) }
            (parts::tiles(filled, REACHED, "words", &html! { "Was the family reached? " span.needed { "required" } }, &[Tile::new("yes", "reached"), Tile::new("no", "not reached")]))
            (parts::confirmation(filled))
            (problem(view))
            (new_day(view))
            (parts::field(filled, &Field::new(SAID, "What was said", What::Long)))
            (rest(view))
            div.amend-bar { p.actions { button.primary type="submit" { "Save call for " (who.shown_name()) } } }
        }
        p.actions { a.button href=(who.href()) { "Leave without saving" } }
    };
    frame::page(frame, HelpTopic::Telephone, "Call the family", &body)
}

fn numbers(view: &CallView) -> Markup {
    let numbered = |carer: &Carer| carer.phone.as_deref().is_some_and(|phone| !phone.trim().is_empty());
    html! {
        section.card.numbers {
            h2 { "Telephone" }
            @if !view.carers.iter().any(numbered) {
                p { strong { "No telephone number is recorded. " } a href={ (view.who.href()) "/add/registration" } { "Add a number" } }
            }
            ul.plain { @for carer in &view.carers { li { (parts::carer_line(carer)) } } }
            @for why in &view.why { p.call-why { (why) } }
            @if !view.attempts.is_empty() {
                details { summary { "Earlier attempts (" (view.attempts.len()) ")" }
                    ul.plain { @for attempt in &view.attempts { li { (attempt) } } }
                }
            }
        }
    }
}

/// What the family reports. It is saved as an entry of its own, as in the form for a problem.
fn problem(view: &CallView) -> Markup {
    let (kinds, shown) = &view.problems;
    let mut tiles = vec![Tile::none("no problem")];
    tiles.extend(kinds.iter().map(|kind| Tile::new(kind.key(), kind.words())));
    let sides =
        [Tile::none("not one foot"), Tile::new("right", "right foot"), Tile::new("left", "left foot")];
    let more = "Other problems";
    html! {
        (parts::tiles_with_more(&view.filled, PROBLEM, "words", &html! { "Problem reported" }, &tiles, shown + 1, more))
        (parts::tiles(&view.filled, PROBLEM_SIDE, "words", &html! { "Which foot has the problem" }, &sides))
    }
}

fn new_day(view: &CallView) -> Markup {
    let days: Vec<(String, String, String)> =
        view.days.iter().map(|load| (load.day.to_string(), words::weekday(load.day), load.words())).collect();
    let mut tiles = vec![Tile::none("no new day")];
    tiles.extend(days.iter().map(|(value, word, load)| Tile::new(value, word).meaning(load)));
    tiles.push(Tile::new(OTHER, "another day").meaning("enter it below"));
    let legend = html! {
        "New appointment"
        @if let Some((_, words)) = &view.appointment { span.hint { "In place of: " (words) } }
    };
    html! {
        (parts::tiles(&view.filled, NEW_DAY, "words wide", &legend, &tiles))
        div.two {
            (parts::field(&view.filled, &Field::new(OTHER_DAY, "Another day", What::Day)))
            (parts::field(&view.filled, &Field::new(TIME, "Time", What::Time)))
        }
    }
}

/// What a call seldom needs: another way, whom, and putting calls off.
fn rest(view: &CallView) -> Markup {
    let ways = ContactWay::ALL.iter().map(|way| (way.key(), way.words())).collect();
    let open = [WAY, WHOM, UNTIL].iter().any(|name| view.filled.has_error(name))
        || view.filled.given(UNTIL).is_some();
    html! {
        details.more open[open] {
            summary { "Not by telephone, whom, or put off" }
            (parts::field(&view.filled, &Field::new(WAY, "How", What::Choice(ways)).needed()))
            (parts::field(&view.filled, &Field::new(WHOM, "Person contacted", What::Text)))
            @if view.can_be_put_off {
                (parts::field(&view.filled, &Field::new(UNTIL, "Put the calls for attention off until", What::Day)
                    .hint("What was said is saved as the reason. Leave empty to leave them in the list.")))
            }
        }
    }
}

/// The families to call on a day.
#[derive(Debug, Clone)]
pub struct CallListView {
    /// The day.
    pub on: Day,
    /// Those still to call, the most urgent first.
    pub rows: Vec<CallRow>,
    /// Those called that day.
    pub done: Vec<CallRow>,
    /// How many more have a call for attention that a telephone call may settle.
    pub more: usize,
}

/// A family to call.
#[derive(Debug, Clone)]
pub struct CallRow {
    /// The child.
    pub who: Who,
    /// The carers.
    pub carers: Vec<Carer>,
    /// Why, one sentence.
    pub why: String,
    /// The last attempt, in words.
    pub last: Option<String>,
    /// When the family was last reached, in words, where that was not the last attempt.
    pub reached: Option<String>,
    /// Where the family lives, as recorded.
    pub lives: Option<String>,
    /// The appointment that was missed.
    pub appointment: Option<EntryId>,
}

/// The list of the families to call.
#[must_use]
pub fn calls(frame: &Frame, view: &CallListView) -> Markup {
    let title = calls_title(view);
    let attention = frame.may(Right::SeeClinical);
    let body = html! {
        header.page-head {
            div {
                h1 { (title) }
                p.tally { (calls_tally(view)) }
            }
            div.turn { nav.turn-links aria-label="Days" { a.button href={ "/day?on=" (view.on) } { "The day" } @if attention { a.button href="/attention" { "Needs attention" } } @if !view.rows.is_empty() { (parts::print_button()) (parts::pdf_link(&format!("/calls/pdf?on={}", view.on))) } } }
        }
        p.hint { "Who did not come, and whose call for attention may be settled by telephone. Print this page to work through it on paper." }
        @if view.rows.is_empty() { (parts::empty(NOBODY, &html! { @if attention { p { a href="/attention" { "Needs attention" } } } })) }
        @else { ul.call-list { @for row in &view.rows { (call_row(frame, view.on, row, false)) } } }
        @if view.more > 0 { p { (more_calls(view, attention)) } }
        @if !view.done.is_empty() {
            section.day-group { h2 { (CALLED) " " span.count { (view.done.len()) } }
                ul.call-list { @for row in &view.done { (call_row(frame, view.on, row, true)) } }
            }
        }
        (parts::caution())
    };
    frame::page(frame, HelpTopic::Telephone, &title, &body)
}

fn call_row(frame: &Frame, on: Day, row: &CallRow, done: bool) -> Markup {
    let name = row.who.shown_name();
    let meant = row.appointment.map(|entry| format!("&follows={entry}")).unwrap_or_default();
    html! {
        li.call.to-call {
            div.call-who { span.paper-box aria-hidden="true" {} (parts::who_line(&row.who, frame.today)) }
            div.call-what {
                p.call-text { (row.why) }
                @if let Some(why) = without_carer(row) { p { (why) } }
                ul.plain.carers { @for carer in &row.carers { li { (parts::carer_line(carer)) } } }
                @if let Some(lives) = lives(row) { p.call-lives { (lives) } }
                @if let Some(last) = &row.last { p.call-from { (last) } }
                @if let Some(reached) = &row.reached { p.call-from { (reached) } }
                p.paper-line aria-hidden="true" { (SAID_ON_PAPER) " " }
            }
            div.call-when {
                a.button.primary[!done] href={ (row.who.href()) "/call?back=calls-" (on) (meant) } { @if done { "Call again" } @else { "Record the call" } span.sr { ": " (name) } }
            }
        }
    }
}

const NOBODY: &str = "Nobody is to be called.";
const CALLED: &str = "Called";
/// Before the room for what the family says.
const SAID_ON_PAPER: &str = "Said:";

fn calls_title(view: &CallListView) -> String {
    format!("Calls, {}", words::weekday(view.on))
}

fn calls_tally(view: &CallListView) -> String {
    format!("{} to call · {} called", view.rows.len(), view.done.len())
}

fn more_calls(view: &CallListView, attention: bool) -> Markup {
    html! {
        (words::count(view.more as i64, "more child is", "more children are")) " in the list "
        @if attention { a href="/attention" { "Needs attention" } } @else { "of children who need attention" } "."
    }
}

/// Why nobody is named to be called.
fn without_carer(row: &CallRow) -> Option<&'static str> {
    match (row.who.restricted, row.carers.is_empty()) {
        (true, _) => Some("The telephone is not shown to you."),
        (false, true) => Some("No carer is recorded."),
        (false, false) => None,
    }
}

fn lives(row: &CallRow) -> Option<String> {
    let lives = row.lives.as_ref().filter(|_| !row.who.restricted)?;
    Some(format!("Lives: {lives}"))
}

/// The list on paper, with room for what each family says.
#[must_use]
pub fn calls_paper(frame: &Frame, view: &CallListView) -> ClinicPaper {
    let mut blocks = vec![PaperBlock::Paragraph(calls_tally(view).into())];
    if view.rows.is_empty() {
        blocks.push(PaperBlock::Paragraph(NOBODY.into()));
    } else {
        blocks.push(calls_table(frame.today, &view.rows));
    }
    if view.more > 0 {
        let more = more_calls(view, frame.may(Right::SeeClinical));
        blocks.push(PaperBlock::Paragraph(words_of(&more).into()));
    }
    if !view.done.is_empty() {
        blocks.push(PaperBlock::Heading(format!("{CALLED} {}", view.done.len())));
        blocks.push(calls_table(frame.today, &view.done));
    }
    ClinicPaper { title: calls_title(view), ..paper::paper(frame, "Calls", blocks) }
}

fn calls_table(today: Day, rows: &[CallRow]) -> PaperBlock {
    let heads = ["Child", "Why, and whom to call", SAID_ON_PAPER].map(str::to_owned);
    paper::table(&heads, &[28, 42, 30], 0, rows.iter().map(|row| paper_call(today, row)).collect())
}

fn paper_call(today: Day, row: &CallRow) -> PaperRow {
    let mut who = parts::who_cell(PageLanguage::English, &row.who, today);
    who.lines.insert(0, PaperText::default().tick(""));
    let carers = row.carers.iter().map(|carer| words_of(&parts::carer_line(carer)));
    let carers = without_carer(row).map(str::to_owned).into_iter().chain(carers);
    let after = [lives(row), row.last.clone(), row.reached.clone()].into_iter().flatten();
    let lines = carers.chain(after).map(PaperText::from);
    let why = PaperText::default().strong(&row.why);
    let said = [(); 3].map(|()| PaperText::default().with(PaperBit::Line));
    PaperRow::of([who, PaperCell::lines([why].into_iter().chain(lines)), PaperCell::lines(said)])
}
