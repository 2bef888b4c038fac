//! Find a child.

use crate::{
    Frame, HelpTopic,
    fields::{PAGE, SEARCH, SEARCH_PATH},
    frame,
    parts::{self, Who},
    words,
};
use course::Phase;
use guidance::NextStep;
use maud::{Markup, html};
use record::{Day, Right, Side};

/// A search and its results.
#[derive(Debug, Clone, Default)]
pub struct FindView {
    /// The text typed; empty before the first search.
    pub query: String,
    /// What stands for the text in the address; empty before the first search.
    pub search: String,
    /// Whether a search was asked for that is not remembered any more.
    pub is_over: bool,
    /// The best matches first.
    pub rows: Vec<FindRow>,
    /// Number of all matches; more than are shown when the query is short.
    pub total: usize,
}

/// One matching child.
#[derive(Debug, Clone)]
pub struct FindRow {
    /// The child.
    pub who: Who,
    /// The phase of each affected foot.
    pub feet: Vec<(Side, Phase)>,
    /// Next steps.
    pub steps: Vec<NextStep>,
    /// Why it matches, where that is not obvious: "sounds alike", "earlier number 219".
    pub why: Option<String>,
}

/// The page that finds a child by any part of a name, number or date of birth, or of a carer.
#[must_use]
pub fn find(frame: &Frame, view: &FindView) -> Markup {
    let body = html! {
        h1 { "Find a child" }
        (unremembered(view.is_over))
        form.find method="post" action=(SEARCH_PATH) role="search" data-find="" {
            (search_fields(frame, "/find"))
            (parts::hidden(SEARCH, &view.search))
            label for="q" { "Any part of a name, number, date of birth, carer or telephone" }
            div.find-row {
                input id="q" name="q" type="search" value=(view.query) autocomplete="off" autocapitalize="off" spellcheck="false" autofocus;
                button.primary type="submit" { "Find" }
            }
            p.hint { "Spelling need not be exact. A date of birth may be written 2024-05-14 or 14.5.2024." }
        }
        div id="found" { (find_list(frame, view)) }
    };
    frame::page(frame, HelpTopic::Find, "Find a child", &body)
}

/// The hidden fields of a form that searches for a child: the token of the visitor, and the page that shows what is
/// found.
pub(crate) fn search_fields(frame: &Frame, page: &str) -> Markup {
    html! { (parts::csrf(&frame.csrf)) (parts::hidden(PAGE, page)) }
}

/// What is typed into a search is remembered on the server only, for some hours. Later the page says so.
pub(crate) fn unremembered(is_over: bool) -> Markup {
    html! { @if is_over { p.message.note role="status" { strong { "Note: " } "This search is not remembered any more. Type it again." } } }
}

/// How many matches are shown below the search box of every page.
const BRIEF: usize = 6;

/// The best matches in short, below the search box of every page.
#[must_use]
pub fn find_brief(view: &FindView, today: Day) -> Markup {
    html! {
        p.found-count role="status" { (count_words(view)) }
        ul.found-short {
            @for row in view.rows.iter().take(BRIEF) {
                li { (parts::who_line(&row.who, today)) @if let Some(why) = &row.why { span.found-why { "found because: " (why) } } }
            }
        }
    }
}

/// The list alone, for results while typing.
#[must_use]
pub fn find_list(frame: &Frame, view: &FindView) -> Markup {
    html! {
        p.found-count role="status" data-search=(view.search) { (count_words(view)) }
        @if !view.rows.is_empty() {
            ul.found-list { @for row in &view.rows { (found(frame, row)) } }
            @if view.rows.iter().any(|row| !row.steps.is_empty()) { (parts::caution()) }
        } @else if !view.query.trim().is_empty() {
            (parts::empty("No child found.", &html! {
                p { "Try part of the name, or the number. If the child is new here, " a href="/register" { "register the child" } "." }
            }))
        }
    }
}

fn count_words(view: &FindView) -> String {
    match (view.query.trim().is_empty(), view.rows.len(), view.total) {
        (true, 0, _) => String::new(),
        (true, shown, total) if shown >= total => words::count(total as i64, "child", "children"),
        (_, shown, total) if shown < total => {
            format!("The first {shown} of {total} children; type more to narrow it down")
        }
        (_, _, total) => format!("{} found", words::count(total as i64, "child", "children")),
    }
}

fn found(frame: &Frame, row: &FindRow) -> Markup {
    let today = frame.today;
    html! {
        li.found {
            div.day-who {
                (parts::who_line(&row.who, today))
                @if let Some(why) = &row.why { span.found-why { "found because: " (why) } }
            }
            div.day-feet { (parts::feet_lines(&row.feet, &row.steps, today)) }
            @if frame.may(Right::RecordClinical) {
                div.day-do { a.button href={ (row.who.href()) "/visit" } { "Record visit" span.sr { ": " (row.who.shown_name()) } } }
            }
        }
    }
}
