//! Erasure on legal request, and which records fall due for it.

use crate::{
    ErasedHolder, Frame, HelpTopic,
    fields::{Field, Filled, What},
    frame, parts,
    parts::Who,
    words,
};
use maud::{Markup, html};
use record::{Day, EntryId};

/// The form field of what is to be erased.
pub const SCOPE: &str = "scope";
/// The whole record.
pub const WHOLE: &str = "record";
/// The entries that are ticked.
pub const SOME: &str = "entries";
/// The form field of the reason.
pub const REASON: &str = "reason";
/// The form field of the legal basis.
pub const BASIS: &str = "basis";
/// The form field of the number that is typed to confirm.
pub const NUMBER: &str = "number";
/// The form field with the number of entries that were shown.
pub const EXPECTED: &str = "expected";
/// The form field that says what a form is to do.
pub const DO: &str = "do";
/// Carries a request out.
pub const CARRY_OUT: &str = "carry-out";
/// Closes a request without erasing anything.
pub const REFUSE: &str = "refuse";
/// The form field of the last day of a hold; empty lifts it.
pub const UNTIL: &str = "until";
/// The form field of the reason of a hold.
pub const HOLD_REASON: &str = "hold_reason";

/// The form field of an entry.
#[must_use]
pub fn entry_field(entry: EntryId) -> String {
    format!("entry.{entry}")
}

/// Entries of one kind.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KindCount {
    /// The kind in words.
    pub kind: String,
    /// How many.
    pub count: usize,
    /// The day of the first and of the last; `None` once they are erased.
    pub days: Option<(Day, Day)>,
}

/// The form with which an erasure is asked for.
#[derive(Debug, Clone)]
pub struct ErasureFormView {
    /// The child.
    pub who: Who,
    /// What the record has.
    pub kinds: Vec<KindCount>,
    /// Every entry with what it says.
    pub entries: Vec<(EntryId, Day, String)>,
    /// Records of the same child or of brothers and sisters, which need requests of their own.
    pub linked: Vec<Who>,
    /// Requests about this child that wait: their numbers.
    pub waiting: Vec<i64>,
    /// Until when the record is held, and why.
    pub hold: Option<(Day, String)>,
    /// Whether nobody else could carry the request out.
    pub only_lead: bool,
    /// The form, with what is wrong.
    pub filled: Filled,
}

/// The page with the form.
#[must_use]
pub fn erasure_form(frame: &Frame, view: &ErasureFormView) -> Markup {
    let body = html! {
        (parts::band(&view.who, "erasure", frame.today))
        (parts::error_summary(&view.filled))
        p.lead { "Erase entries only where the law asks for it. An entry that is wrong is corrected or withdrawn instead, and stays readable." }
        @for number in &view.waiting { p.look { "A request about this record waits: " a href={ "/erasures/" (number) } { "request " (number) } "." } }
        @if view.only_lead { (second_lead()) }
        @if let Some((until, why)) = &view.hold { p.look { "This record is held until " (words::day(*until)) ": " (why) } }
        section.card aria-labelledby="has-head" { h2 id="has-head" { "What the record has" } (kinds(&view.kinds)) }
        (linked(&view.linked))
        (request_form(frame, view))
        (hold_form(frame, view))
        p.actions { a.button href=(view.who.href()) { "Back to the record" } " " a.button href="/erasures" { "All requests" } }
    };
    frame::page(frame, HelpTopic::Erasure, "Erasure", &body)
}

fn second_lead() -> Markup {
    html! { p.look { strong { "You are the only lead. " } "An erasure is asked for by one lead and carried out by another. Add a second lead under " a href="/people" { "People" } " first, a person of their own." } }
}

fn kinds(kinds: &[KindCount]) -> Markup {
    let all: usize = kinds.iter().map(|one| one.count).sum();
    html! {
        p { strong { (words::count(all as i64, "entry", "entries")) } }
        ul.plain { @for one in kinds { li {
            (one.kind) ": " (one.count)
            @if let Some((first, last)) = one.days { ", " (words::day(first)) @if last != first { " to " (words::day(last)) } }
        } } }
    }
}

fn linked(linked: &[Who]) -> Markup {
    html! {
        @if !linked.is_empty() {
            section.card aria-labelledby="linked-head" {
                h2 id="linked-head" { "Other records that belong to it" }
                p { "These are not erased with it. A record joined with this one has the same child’s data and needs a request of its own." }
                ul.plain { @for who in linked { li { a href=(who.href()) { (who.shown_name()) } ", " (who.number()) } } }
            }
        }
    }
}

fn request_form(frame: &Frame, view: &ErasureFormView) -> Markup {
    let filled = &view.filled;
    let reason =
        Field::new(REASON, "Reason", What::Long).needed().hint("Stays after the erasure: write no names.");
    let basis = Field::new(BASIS, "Legal basis", What::Text)
        .needed()
        .hint("In words, such as the article and the date of the family’s request. Stays after the erasure.");
    let scope = |value: &str, words: &str| {
        html! {
            p.check { input type="radio" id={ "scope-" (value) } name=(SCOPE) value=(value) required checked[filled.value(SCOPE) == value]; label for={ "scope-" (value) } { (words) } }
        }
    };
    html! {
        form.card method="post" action={ (view.who.href()) "/erasure" } {
            h2 { "Ask for an erasure" }
            (parts::csrf(&frame.csrf))
            fieldset.roles id="f-scope" tabindex="-1" aria-describedby=[filled.has_error(SCOPE).then_some("f-scope-error")] {
                legend { "What is to be erased " span.needed { "required" } }
                (parts::field_error(filled, SCOPE))
                (scope(WHOLE, "The whole record"))
                (scope(SOME, "Only the entries ticked below"))
                details { summary { "Choose entries (" (view.entries.len()) ")" }
                    @for (id, on, sentence) in &view.entries {
                        @let field = entry_field(*id);
                        p.check { input type="checkbox" id={ "e-" (id) } name=(field) value="yes" checked[filled.value(&field) == "yes"]; label for={ "e-" (id) } { (words::day(*on)) ": " (sentence) } }
                    }
                }
            }
            (parts::field(filled, &reason))
            (parts::field(filled, &basis))
            p { "Nothing is erased yet: another lead sees the request and carries it out." }
            p.actions { button.grave type="submit" { "Ask for this erasure" } }
        }
    }
}

fn hold_form(frame: &Frame, view: &ErasureFormView) -> Markup {
    let until = Field::new(UNTIL, "Keep until", What::Day).hint("Empty to end a hold.");
    let reason = Field::new(HOLD_REASON, "Reason", What::Text)
        .needed()
        .hint("Such as a pending court case. Write no names.");
    html! {
        form.card method="post" action={ (view.who.href()) "/hold" } {
            h2 { "Hold this record" }
            (parts::csrf(&frame.csrf))
            p { "A held record does not fall due for erasure." }
            (parts::field(&view.filled, &until))
            (parts::field(&view.filled, &reason))
            p.actions { button type="submit" { "Save the hold" } }
        }
    }
}

/// A request in the list.
#[derive(Debug, Clone)]
pub struct ErasureRow {
    /// Its number.
    pub number: i64,
    /// The child.
    pub who: Who,
    /// "The whole record" or "3 entries".
    pub scope: String,
    /// When and by whom it was asked for.
    pub asked: String,
    /// What became of it, with when and by whom; `None` while it waits.
    pub decided: Option<String>,
}

/// The requests.
#[derive(Debug, Clone)]
pub struct ErasuresView {
    /// Every request, the latest first.
    pub rows: Vec<ErasureRow>,
}

/// The page of requests.
#[must_use]
pub fn erasures(frame: &Frame, view: &ErasuresView) -> Markup {
    let (done, waiting): (Vec<&ErasureRow>, Vec<&ErasureRow>) =
        view.rows.iter().partition(|row| row.decided.is_some());
    let body = html! {
        header.page-head { div { h1 { "Erasures" } p.tally { (waiting.len()) " waiting · " (done.len()) " decided" } } }
        p.lead { "An erasure is asked for from the child’s own page by one lead, and carried out by another. What was erased, why and by whom stays here." }
        @if view.rows.is_empty() { (parts::empty("No erasure was asked for.", &html! {})) }
        @for (title, rows) in [("Waiting for a second lead", &waiting), ("Decided", &done)] {
            @if !rows.is_empty() {
                section { h2 { (title) } ul.plain { @for row in rows { (row_line(row)) } } }
            }
        }
        p.actions { a.button href="/retention" { "Records that fall due" } " " a.button href="/restricted" { "Restricted records" } }
    };
    frame::page(frame, HelpTopic::Erasure, "Erasures", &body)
}

fn row_line(row: &ErasureRow) -> Markup {
    html! {
        li {
            a href={ "/erasures/" (row.number) } { "Request " (row.number) } ": " (row.scope) " of " (row.who.shown_name()) ", " (row.who.number()) ". "
            (row.asked) "."
            @if let Some(decided) = &row.decided { " " (decided) "." }
        }
    }
}

/// One request.
#[derive(Debug, Clone)]
pub struct ErasureView {
    /// The request as in the list.
    pub row: ErasureRow,
    /// Why.
    pub reason: String,
    /// The legal basis.
    pub basis: String,
    /// What will be erased, or what was.
    pub kinds: Vec<KindCount>,
    /// What has to be typed to confirm; empty where the request is decided.
    pub typed: String,
    /// Whether the reader asked for it, and so cannot carry it out.
    pub own: bool,
    /// Whether there is no other lead.
    pub only_lead: bool,
    /// Why it cannot be carried out now, one sentence.
    pub held: Option<String>,
    /// Folders of copies that were made here and still have what is erased.
    pub copies: Vec<String>,
    /// Backups that still have it, each with the last day on which it is kept.
    pub backups: Vec<ErasedHolder>,
    /// The form, with what is wrong.
    pub filled: Filled,
}

/// The page of one request.
#[must_use]
pub fn erasure(frame: &Frame, view: &ErasureView) -> Markup {
    let row = &view.row;
    let title = format!("Request {} to erase", row.number);
    let body = html! {
        h1 { (title) }
        (parts::error_summary(&view.filled))
        p.lead { (row.scope) " of " strong { (row.who.shown_name()) } ", " (row.who.number()) }
        section.card aria-labelledby="asked-head" {
            h2 id="asked-head" { "The request" }
            p { (row.asked) "." }
            p { strong { "Reason: " } (view.reason) }
            p { strong { "Legal basis: " } (view.basis) }
        }
        section.card aria-labelledby="what-head" {
            h2 id="what-head" { @if row.decided.is_some() { "What was erased" } @else { "What will be erased" } }
            @if view.kinds.is_empty() { p { "Nothing." } } @else { (kinds(&view.kinds)) }
            @if let Some(decided) = &row.decided { p { (decided) "." } }
        }
        @if row.decided.is_none() { (decision(frame, view)) }
        (copies(&view.copies, &view.backups))
        p.actions { a.button href="/erasures" { "All requests" } }
    };
    frame::page(frame, HelpTopic::Erasure, &title, &body)
}

fn decision(frame: &Frame, view: &ErasureView) -> Markup {
    let number =
        Field::new(NUMBER, "Number of the child", What::Text).hint("Type it to carry the request out.");
    let all: usize = view.kinds.iter().map(|one| one.count).sum();
    html! {
        @if view.only_lead { (second_lead()) }
        @if let Some(held) = &view.held { p.look { (held) } }
        form.card method="post" action={ "/erasures/" (view.row.number) } {
            h2 { "Decide" }
            (parts::csrf(&frame.csrf))
            (parts::hidden(EXPECTED, &all.to_string()))
            @if view.own { p { "You asked for this, so another lead has to carry it out. You can take it back." } }
            @else if view.held.is_none() {
                p { "The bodies of these entries are removed for good, with every list and word by which the child is found. Their ids, kinds, days of erasure, the reason and both names stay. The access log keeps who opened the record, without a name of the child." }
                p { "The number is " strong { (view.typed) } "." }
                (parts::field(&view.filled, &number))
            }
            p.actions {
                @if !view.own && view.held.is_none() { button.grave type="submit" name=(DO) value=(CARRY_OUT) { "Erase for good" } " " }
                button type="submit" name=(DO) value=(REFUSE) { @if view.own { "Take the request back" } @else { "Refuse the request" } }
            }
        }
    }
}

fn copies(copies: &[String], backups: &[ErasedHolder]) -> Markup {
    html! {
        section.card aria-labelledby="copies-head" {
            h2 id="copies-head" { "Copies are not changed" }
            p { "Earlier copies of the records, and what was exported or printed, still have what is erased here. Destroy them, or make a new copy and then destroy them." }
            @if copies.is_empty() { p { "No copy was made on the page of copies; others may exist." } }
            @else { p { "Copies made on the page of copies:" } ul.plain { @for copy in copies { li { code { (copy) } } } } }
            @if !backups.is_empty() {
                p { "Backups that still have it. When one is restored, what was erased is erased again:" }
                ul.plain { @for backup in backups { li { code { (backup.file) } ", kept until at the latest " (backup.until) } } }
            }
        }
    }
}

/// A record that falls due.
#[derive(Debug, Clone)]
pub struct RetentionRow {
    /// The child.
    pub who: Who,
    /// From which day on.
    pub due: Day,
    /// By which rule, in words.
    pub rule: String,
}

/// Which records fall due.
#[derive(Debug, Clone)]
pub struct RetentionView {
    /// The rule of the clinic in words; `None` where none is set.
    pub rule: Option<String>,
    /// Records that are due, the longest first.
    pub due: Vec<RetentionRow>,
    /// Records of which it cannot be told, with the reason.
    pub unknown: Vec<(Who, String)>,
    /// Records that are held: until when and why.
    pub held: Vec<(Who, Day, String)>,
    /// How many records are not due yet, and when the next is.
    pub later: (usize, Option<Day>),
}

/// The page of records that fall due.
#[must_use]
pub fn retention(frame: &Frame, view: &RetentionView) -> Markup {
    let body = html! {
        header.page-head { div { h1 { "Records that fall due for erasure" } p.tally { (view.due.len()) " due" } } }
        @match &view.rule {
            None => p.lead { "No retention period is set; the program deletes nothing by itself. " a href="/settings" { "Settings" } " has the period." },
            Some(rule) => p.lead { "The clinic keeps records " (rule) ". The program deletes nothing by itself: a lead asks for each erasure, and another carries it out." },
        }
        @if view.rule.is_some() {
            @if view.due.is_empty() { (parts::empty("No record is due.", &html! {})) }
            @else { ul.plain { @for row in &view.due { li {
                a href={ (row.who.href()) "/erasure" } { (row.who.shown_name()) } ", " (row.who.number()) ": due since " (words::day(row.due)) ", " (row.rule)
            } } } }
            p { (view.later.0) " records are not due yet." @if let Some(day) = view.later.1 { " The next falls due on " (words::day(day)) "." } }
        }
        @if !view.unknown.is_empty() {
            section { h2 { "It cannot be told" } ul.plain { @for (who, why) in &view.unknown { li { a href=(who.href()) { (who.shown_name()) } ", " (who.number()) ": " (why) } } } }
        }
        @if !view.held.is_empty() {
            section { h2 { "Held" } ul.plain { @for (who, until, why) in &view.held { li { a href={ (who.href()) "/erasure" } { (who.shown_name()) } ", " (who.number()) ": until " (words::day(*until)) ", " (why) } } } }
        }
        p.actions { a.button href="/erasures" { "Erasures" } }
    };
    frame::page(frame, HelpTopic::Erasure, "Records that fall due", &body)
}
