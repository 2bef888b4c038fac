//! The questions about a file, each grouped with its count, and the button that they hold back.

use crate::words;
use maud::{Markup, html};

/// A question about a column, a word in it, or the file as a whole.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ImportQuestion {
    /// Its id, sent as the name of its field.
    pub id: String,
    /// An id for the page, without spaces.
    pub anchor: String,
    /// Headings of the columns that it is about; none if it is about the whole file.
    pub columns: Vec<String>,
    /// The value, if it is about one.
    pub value: Option<String>,
    /// The question in one or two sentences.
    pub text: String,
    /// Number of cells or rows it is about.
    pub count: usize,
    /// A few of the rows.
    pub rows: Vec<usize>,
    /// The answers to choose from.
    pub answers: Vec<ImportAnswer>,
    /// Key of the chosen answer, if it was chosen on this page.
    pub chosen: Option<String>,
    /// Whether it still needs an answer.
    pub is_open: bool,
    /// Whether facts would be lost or wrong while it is open.
    pub blocks: bool,
}

/// An answer to a question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ImportAnswer {
    /// The value sent.
    pub key: String,
    /// What it means.
    pub words: String,
}

impl ImportQuestion {
    /// Whether the import waits for it.
    #[must_use]
    pub const fn holds_back(&self) -> bool {
        self.blocks && self.is_open
    }

    /// “sain” × 61 in column “Pied”.
    fn subject(&self) -> Markup {
        html! {
            @match (&self.value, self.columns.is_empty()) {
                (Some(value), true) => { "“" bdi { (value) } "” × " (self.count) },
                (Some(value), false) => { "“" bdi { (value) } "” × " (self.count) " in " (columns(&self.columns)) },
                (None, true) => "The file as a whole",
                (None, false) => { (words::capital(column_word(&self.columns))) (column_names(&self.columns)) " × " (self.count) },
            }
        }
    }
}

/// Columns named in a question; the others are counted.
const COLUMNS_NAMED: usize = 4;

fn columns(all: &[String]) -> Markup {
    html! { (column_word(all)) (column_names(all)) }
}

const fn column_word(all: &[String]) -> &'static str {
    if all.len() == 1 { "column" } else { "columns" }
}

fn column_names(all: &[String]) -> Markup {
    let (named, more) = all.split_at(all.len().min(COLUMNS_NAMED));
    html! {
        @for (n, name) in named.iter().enumerate() { @if n > 0 { "," } " “" bdi { (name) } "”" }
        @if !more.is_empty() { " and " (more.len()) " more" }
    }
}

/// The section with the questions: those to answer, then the answered ones, folded.
pub(super) fn questions(all: &[ImportQuestion], in_place: Option<&str>) -> Markup {
    let is_shown =
        |question: &&ImportQuestion| question.is_open || in_place.is_some_and(|id| id == question.id);
    let (shown, settled): (Vec<_>, Vec<_>) = all.iter().partition(is_shown);
    let open = shown.iter().filter(|question| question.is_open).count();
    html! {
        @if !all.is_empty() {
            section.import-questions id="questions" aria-labelledby="questions-head" {
                h2 id="questions-head" { "Questions " span.count { (open) } }
                @if open > 0 { p { "What the program does not understand, or could understand in two ways. Each answer counts for every row in the number behind it." } }
                @else { p { "Every question is answered." } }
                @for question in &shown { (ask(question)) }
                @if !settled.is_empty() {
                    details.more id="settled" {
                        summary { (words::count(settled.len() as i64, "answered question", "answered questions")) }
                        @for question in &settled { (ask(question)) }
                    }
                }
            }
        }
    }
}

fn ask(question: &ImportQuestion) -> Markup {
    let name = format!("answer:{}", question.id);
    let hint = format!("{}-hint", question.anchor);
    html! {
        fieldset.ask.settled[!question.is_open] id=(question.anchor) aria-describedby=(hint) {
            legend {
                span.ask-subject { (question.subject()) }
                @if !question.is_open { " " span.needed { "answered" } }
                @else if question.blocks { " " span.needed { "required before the import" } }
            }
            p id=(hint) {
                (question.text)
                @if !question.rows.is_empty() { " " span.hint { (rows(question)) } }
            }
            @if question.is_open && question.answers.len() < 2 && !question.columns.is_empty() {
                p { "To import it, choose its meaning in the " a href="#sheet-box" { "menu above the column" } "." }
            }
            div.ask-answers {
                @for (n, answer) in question.answers.iter().enumerate() { (radio(question, &name, n, &answer.key, &answer.words)) }
                @if question.chosen.is_some() { (radio(question, &name, question.answers.len(), "", "Leave it open")) }
            }
        }
    }
}

fn rows(question: &ImportQuestion) -> String {
    let numbers: Vec<String> = question.rows.iter().map(usize::to_string).collect();
    let word = if numbers.len() == 1 { "Row" } else { "Rows" };
    let more = if question.count > numbers.len() { " and more" } else { "" };
    format!("{word} {}{more}.", numbers.join(", "))
}

fn radio(question: &ImportQuestion, name: &str, n: usize, key: &str, words: &str) -> Markup {
    let id = format!("{}-{n}", question.anchor);
    let is_chosen = question.chosen.as_deref() == Some(key);
    html! { div.check { input id=(id) type="radio" name=(name) value=(key) checked[is_chosen]; label for=(id) { (words) } } }
}

/// What holds the button back: a box to tick for each open question whose rows would be left out.
pub(super) fn held_back(all: &[ImportQuestion], missed: bool) -> Markup {
    let blocking: Vec<&ImportQuestion> = all.iter().filter(|question| question.holds_back()).collect();
    html! {
        @if !blocking.is_empty() {
            fieldset.held-back aria-describedby="held-back-hint" {
                legend { "Import without what is still open?" }
                p id="held-back-hint" { "Answer the questions above first, if you can. Otherwise tick what is to be left out this time: nothing of it is imported." }
                @if missed { p.field-error id="held-back-error" { span.error-word { "Not imported: " } "these are still open. Answer them above, or tick them." } }
                @for question in blocking {
                    @let id = format!("leave-{}", question.anchor);
                    div.check {
                        input id=(id) type="checkbox" name={ "leave:" (question.id) } value="yes" required aria-describedby=[missed.then_some("held-back-error")];
                        label for=(id) { "Leave out: " (question.subject()) " " span.hint { (question.text) } }
                    }
                }
            }
        }
    }
}
