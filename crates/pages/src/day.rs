//! The day of the clinic: who is expected and who came.

use crate::{
    Frame, HelpTopic, Message, frame,
    in_language::PageLanguage,
    paper,
    parts::{self, Who, words_of},
};
use course::{AppointmentState, Phase};
use guidance::{NextStep, Scope, Urgency};
use maud::{Markup, html};
use messages::{ClinicPaper, PaperBlock, PaperCell, PaperRow, PaperText, Sentence};
use record::{Day, EntryId, Purpose, Right, Side};

/// One day of the clinic.
#[derive(Debug, Clone)]
pub struct DayView {
    /// The day shown.
    pub on: Day,
    /// The children expected on that day or seen on it, in order of time.
    pub rows: Vec<DayRow>,
    /// Nearby days with appointments, each with the number of children.
    pub near: Vec<(Day, usize)>,
    /// Places of the clinic on that day, if the clinic has saved them.
    pub places: Option<u32>,
    /// Why the clinic is closed on that day, "" where no reason is written down; `None` on any other day.
    pub closed: Option<String>,
}

/// One child of the day.
#[derive(Debug, Clone)]
pub struct DayRow {
    /// The child.
    pub who: Who,
    /// The appointment; `None` for a child who came without one.
    pub appointment: Option<EntryId>,
    /// The time as written.
    pub time: Option<String>,
    /// The purpose.
    pub purpose: Option<Purpose>,
    /// Whether the child came.
    pub state: AppointmentState,
    /// Whether the mark "here" or "did not come" can be taken back.
    pub can_be_undone: bool,
    /// The phase of each affected foot.
    pub feet: Vec<(Side, Phase)>,
    /// Next steps.
    pub steps: Vec<NextStep>,
    /// Feet scored that day that a colleague may score again, with the entry of the score.
    pub scored: Vec<(Side, EntryId)>,
    /// The most urgent call for attention that applies, and the number that apply.
    pub attention: Option<(Urgency, usize)>,
}

const GROUPS: [AppointmentState; 5] = [
    AppointmentState::Here,
    AppointmentState::Expected,
    AppointmentState::Seen,
    AppointmentState::Missed,
    AppointmentState::Cancelled,
];

/// The messages of a group: its heading, and how many are in it.
const fn group_messages(state: AppointmentState) -> Option<(&'static str, &'static str)> {
    Some(match state {
        AppointmentState::Here => ("day-here", "day-count-here"),
        AppointmentState::Expected => ("day-expected", "day-count-expected"),
        AppointmentState::Seen => ("day-seen", "day-count-seen"),
        AppointmentState::Missed => ("day-missed", "day-count-missed"),
        AppointmentState::Cancelled => ("day-cancelled", "day-count-cancelled"),
        AppointmentState::Ended => return None,
    })
}

/// The page of a day: who is here, expected, seen or missed, with the phase and next step of each foot.
#[must_use]
pub fn day(frame: &Frame, view: &DayView) -> Markup {
    let says = frame.language;
    let title = if view.on == frame.today { says.named("day-title") } else { says.date(view.on) };
    let body = html! {
        header.page-head {
            div {
                h1 { (says.weekday(view.on)) @if view.on != frame.today { " " span.rel { "(" (says.relative(view.on, frame.today)) ")" } } }
                p.tally { (tally_with_places(says, view)) }
                @if let Some(why) = &view.closed { p.message.warning { (closed(says, why)) } }
            }
            (turn(frame, view, frame.may(Right::SeeTheatreList) && view.rows.iter().any(is_for_tenotomy)))
        }
        @if view.rows.is_empty() {
            (parts::empty(&says.named("day-nobody"), &html! {
                p { (says.named("day-nobody-made")) " " a href="/find" { (says.named("day-nobody-find")) } " " (says.named("day-nobody-came")) }
            }))
        }
        @for state in GROUPS { (group(frame, view, state)) }
        @if frame.may(Right::SeeClinical) && view.rows.iter().any(|row| !row.scored.is_empty()) {
            p.hint { (says.named("day-score-twice")) " " a href=(crate::practice::TOGETHER_PATH) { (says.named("day-scoring-together")) } }
        }
        @if view.rows.iter().any(|row| !row.steps.is_empty()) { (parts::caution_in(says)) }
    };
    frame::translated_page(frame, HelpTopic::Day, &title, &body)
}

/// What was just done, by the word in the address; `None` for any other word.
#[must_use]
pub fn day_done(language: PageLanguage, done: &str) -> Option<Message> {
    let id = match done {
        "called" => "day-done-called",
        "moved" => "day-done-moved",
        "undone" => "day-done-undone",
        _ => return None,
    };
    Some(Message::Done(language.named(id)))
}

/// The warning that more children are expected than the page shows.
#[must_use]
pub fn day_left_out(language: PageLanguage, left_out: usize) -> Message {
    Message::Warning(language.counted("day-left-out", left_out as i64))
}

fn closed(says: PageLanguage, why: &str) -> String {
    match why.trim() {
        "" => says.named("day-closed"),
        why => says.text(&Sentence::new("day-closed-why").with("why", why)),
    }
}

fn tally(says: PageLanguage, rows: &[DayRow]) -> String {
    let count = |state: AppointmentState| {
        let n = rows.iter().filter(|row| row.state == state).count();
        let (_, counted) = group_messages(state).filter(|_| n > 0)?;
        Some(says.counted(counted, n as i64))
    };
    let parts: Vec<String> = GROUPS.into_iter().filter_map(count).collect();
    parts.join(" · ")
}

/// How many children there are by what became of them, and how many places the clinic has.
fn tally_with_places(says: PageLanguage, view: &DayView) -> String {
    let places = view.places.filter(|_| view.closed.is_none());
    let places = places.map(|places| says.counted("day-places", places.into()));
    [Some(tally(says, &view.rows)), places].into_iter().flatten().collect::<Vec<_>>().join(" · ")
}

/// Whether a child comes for a tenotomy, or waits for one.
fn is_for_tenotomy(row: &DayRow) -> bool {
    row.purpose == Some(Purpose::Tenotomy)
        || row.feet.iter().any(|(_, phase)| *phase == Phase::WaitingForTenotomy)
}

fn turn(frame: &Frame, view: &DayView, theatre: bool) -> Markup {
    let (says, today) = (frame.language, frame.today);
    let link = |day: Day| format!("/day?on={day}");
    html! {
        div.turn {
            nav.turn-links aria-label=(says.named("day-days")) {
                a.button href=(link(view.on - 1)) { (says.named("day-previous")) }
                @if view.on != today { a.button href="/day" { (says.named("day-today")) } }
                a.button href=(link(view.on + 1)) { (says.named("day-next")) }
                @if view.on <= today && !view.rows.is_empty() { a.button href={ "/calls?on=" (view.on) } { (says.named("day-call-list")) } }
                @if theatre { a.button href={ "/theatre/day?on=" (view.on) } { (says.named("day-tenotomies")) } }
                @if !view.rows.is_empty() { (parts::print_button_in(says)) (parts::pdf_link_in(says, &format!("/day/pdf?on={}", view.on))) }
            }
            form.inline method="get" action="/day" {
                label.sr for="on" { (says.named("day-go-to")) }
                input id="on" name="on" type="date" value=(view.on);
                button type="submit" { (says.named("day-go")) }
            }
            @if !view.near.is_empty() {
                p.near { (says.named("day-near")) " "
                    @for (n, (day, count)) in view.near.iter().enumerate() {
                        @if n > 0 { ", " }
                        a href=(link(*day)) { (says.weekday(*day)) } " (" (count) ")"
                    }
                }
            }
        }
    }
}

fn group(frame: &Frame, view: &DayView, state: AppointmentState) -> Markup {
    let rows: Vec<&DayRow> = view.rows.iter().filter(|row| row.state == state).collect();
    let heading = group_messages(state).filter(|_| !rows.is_empty());
    html! {
        @if let Some((heading, _)) = heading {
            section.day-group {
                h2 { (frame.language.named(heading)) " " span.count { (rows.len()) } }
                ul.day-list { @for row in rows { (day_row(frame, view.on, row)) } }
            }
        }
    }
}

/// The time and the purpose.
fn expected_for(says: PageLanguage, row: &DayRow) -> [String; 2] {
    let time = row.time.as_deref();
    let time = time.map_or_else(|| says.named("day-no-time"), |time| says.language().time(time));
    [time, row.purpose.map_or_else(|| says.named("day-no-purpose"), |purpose| says.purpose(purpose))]
}

/// "2 calls for attention: this week".
fn calls(says: PageLanguage, urgency: Urgency, n: usize) -> String {
    format!("{}: {}", says.counted("day-calls", n as i64), says.urgency(urgency))
}

fn day_row(frame: &Frame, on: Day, row: &DayRow) -> Markup {
    let says = frame.language;
    html! {
        li.day-row {
            div.day-time {
                @let [clock, purpose] = expected_for(says, row);
                span.clock { (clock) }
                span.purpose { (purpose) }
                @if row.appointment.is_none() { span.purpose { (says.named("day-without-appointment")) } }
            }
            div.day-who {
                (parts::who_line_in(says, &row.who, frame.today))
                @if let Some((urgency, n)) = row.attention {
                    a class={ "day-call day-call-" (urgency.rank()) } href=(row.who.href()) { (calls(says, urgency, n)) }
                }
            }
            div.day-feet { (feet_at_a_glance(says, row, frame.today)) }
            div.day-do { (buttons(frame, on, row)) }
        }
    }
}

/// Phase and next step of each foot; once for both where they are alike.
fn feet_at_a_glance(says: PageLanguage, row: &DayRow, today: Day) -> Markup {
    let steps = step_lines(says, row, today);
    html! {
        ul.feet-lines { @for line in phase_lines(says, row) { li { (line) } } }
        @if !steps.is_empty() {
            ul.day-steps aria-label=(says.named("day-next-steps")) { @for line in &steps { li { (line) } } }
        }
    }
}

fn phase_lines(says: PageLanguage, row: &DayRow) -> Vec<Markup> {
    let line = |scope: String, phase: Phase| html! { span.scope { (scope) ":" } " " (says.phase(phase)) };
    match row.feet.as_slice() {
        [(_, one), (_, two)] if one == two => vec![line(says.named("scope-both"), *one)],
        feet => feet.iter().map(|(side, phase)| line(says.scope(Scope::Foot(*side)), *phase)).collect(),
    }
}

fn step_lines(says: PageLanguage, row: &DayRow, today: Day) -> Vec<Markup> {
    let steps = guidance::without_echo(&row.steps);
    let alike = |one: &NextStep, two: &NextStep| {
        one.scope != Scope::Child
            && two.scope != Scope::Child
            && one.text == two.text
            && one.window == two.window
    };
    let line = |step: &NextStep| says.step_line(step, &says.scope(step.scope), today);
    match steps.as_slice() {
        [one, two, rest @ ..] if alike(one, two) => {
            let both = says.step_line(one, &says.named("scope-both"), today);
            std::iter::once(both).chain(rest.iter().map(|step| line(step))).collect()
        }
        steps => steps.iter().map(|step| line(step)).collect(),
    }
}

fn buttons(frame: &Frame, on: Day, row: &DayRow) -> Markup {
    let says = frame.language;
    let may = frame.may(Right::RecordClinical);
    let open = |id: &'static str, class: &str| html! { @if may { (link(says, row, &says.named(id), class, &format!("/visit?on={on}"))) } };
    let due = on <= frame.today;
    html! {
        @match row.state {
            AppointmentState::Here => {
                (open("day-record-visit", "primary"))
                @if row.can_be_undone { (mark(frame, on, row, "/day/undo", "day-undo-here", "")) }
            },
            AppointmentState::Expected => {
                @if due {
                    (mark(frame, on, row, "/day/arrived", "day-arrived", "primary"))
                    (mark(frame, on, row, "/day/missed", "day-did-not-come", ""))
                }
            },
            AppointmentState::Seen => { (open("day-add-to-visit", "")) },
            AppointmentState::Missed => {
                (call(says, on, row))
                (mark(frame, on, row, "/day/arrived", "day-came-after-all", ""))
                @if row.can_be_undone { (mark(frame, on, row, "/day/undo", "day-undo-missed", "")) }
            },
            AppointmentState::Ended => {},
            AppointmentState::Cancelled => { (link(says, row, &says.named("day-new-appointment"), "", "/add/appointment-made")) },
        }
        @if is_for_tenotomy(row) && frame.may(Right::SeeClinical) && !row.who.restricted && expects(row.state) {
            (link(says, row, &says.named("day-checklist"), "", &format!("/tenotomy?on={on}")))
        }
        (more(frame, on, row, due))
    }
}

/// Whether the child is still to be treated on the day.
const fn expects(state: AppointmentState) -> bool {
    matches!(state, AppointmentState::Expected | AppointmentState::Here)
}

/// What is needed less often, one tap away.
fn more(frame: &Frame, on: Day, row: &DayRow, due: bool) -> Markup {
    let says = frame.language;
    let expected = row.state == AppointmentState::Expected;
    let open = || html! { @if frame.may(Right::RecordClinical) { (link(says, row, &says.named("day-open-visit"), "", &format!("/visit?on={on}"))) } };
    html! {
        @if expected && !due { (moved(says, row)) (open()) }
        @if (expected && due) || !row.scored.is_empty() {
            details.row-more {
                summary { (says.named("day-more")) span.sr { ": " (row.who.shown_name_in(says)) } }
                @if expected {
                    (open())
                    (moved(says, row))
                    (call(says, on, row))
                }
                @for (side, entry) in &row.scored {
                    (link(says, row, &second_score(says, *side), "", &format!("/second-score/{entry}")))
                }
            }
        }
    }
}

/// "Second score, right foot".
fn second_score(says: PageLanguage, side: Side) -> String {
    says.text(&Sentence::new("day-second-score").with("foot", side))
}

fn moved(says: PageLanguage, row: &DayRow) -> Markup {
    html! { @if let Some(entry) = row.appointment { (link(says, row, &says.named("day-move"), "", &format!("/appointment/{entry}/move"))) } }
}

fn call(says: PageLanguage, on: Day, row: &DayRow) -> Markup {
    let follows = row.appointment.map(|entry| format!("&follows={entry}")).unwrap_or_default();
    let class = if row.state == AppointmentState::Missed { "primary" } else { "" };
    link(says, row, &says.named("day-call-family"), class, &format!("/call?back=day-{on}{follows}"))
}

fn link(says: PageLanguage, row: &DayRow, word: &str, class: &str, path: &str) -> Markup {
    html! { a class={ "button " (class) } href={ (row.who.href()) (path) } { (word) span.sr { ": " (row.who.shown_name_in(says)) } } }
}

fn mark(frame: &Frame, on: Day, row: &DayRow, action: &str, word: &'static str, class: &str) -> Markup {
    let says = frame.language;
    html! {
        form.inline method="post" action=(action) {
            (parts::csrf(&frame.csrf))
            (parts::hidden("child", &row.who.id.to_string()))
            @if let Some(appointment) = row.appointment { (parts::hidden("appointment", &appointment.to_string())) }
            (parts::hidden("on", &on.to_string()))
            button class=(class) type="submit" { (says.named(word)) span.sr { ": " (row.who.shown_name_in(says)) } }
        }
    }
}

/// The day on paper, in the language of its reader.
#[must_use]
pub fn day_paper(frame: &Frame, view: &DayView) -> ClinicPaper {
    let says = frame.language;
    let mut blocks: Vec<PaperBlock> = Vec::new();
    blocks.extend(view.closed.as_ref().map(|why| PaperBlock::Warning(vec![closed(says, why).into()])));
    if view.rows.is_empty() {
        blocks.push(PaperBlock::Paragraph(says.named("day-nobody").into()));
    } else {
        blocks.push(PaperBlock::Paragraph(tally_with_places(says, view).into()));
    }
    for state in GROUPS {
        let rows: Vec<PaperRow> = view
            .rows
            .iter()
            .filter(|row| row.state == state)
            .map(|row| paper_row(says, frame.today, row))
            .collect();
        if let Some((heading, _)) = group_messages(state).filter(|_| !rows.is_empty()) {
            let heads = ["day-paper-time", "day-paper-child", "day-paper-feet"].map(|id| says.named(id));
            blocks.push(PaperBlock::Heading(format!("{} {}", says.named(heading), rows.len())));
            blocks.push(paper::table(&heads, &[18, 36, 46], 1, rows));
        }
    }
    if says.untranslated().is_some() && says.language().awaits_review() {
        blocks.push(PaperBlock::Small(says.named("translation-awaits-review").into()));
    }
    let (kind, title) = (says.named("day-title"), says.weekday(view.on));
    paper::paper_in(says, frame, (kind, title), blocks)
}

fn paper_row(says: PageLanguage, today: Day, row: &DayRow) -> PaperRow {
    let [clock, purpose] = expected_for(says, row);
    let without = row.appointment.is_none().then(|| says.named("day-without-appointment"));
    let when = [PaperText::default().strong(clock), purpose.into()].into_iter();
    let mut who = parts::who_cell(says, &row.who, today);
    who.lines.extend(row.attention.map(|(urgency, n)| PaperText::from(calls(says, urgency, n))));
    let (phases, steps) = (phase_lines(says, row), step_lines(says, row, today));
    let feet = phases.iter().chain(&steps).map(|line| PaperText::from(words_of(line)));
    let when = when.chain(without.map(PaperText::from));
    PaperRow::of([PaperCell::lines(when), who, PaperCell::lines(feet)])
}
