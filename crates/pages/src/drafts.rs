//! Forms that were filled in and not saved: the list of them, and the question before signing out.

use crate::{
    Frame, HelpTopic,
    fields::DISCARD,
    frame,
    parts::{self, Who},
    words,
};
use maud::{Markup, html};

/// The own drafts.
#[derive(Debug, Clone, Default)]
pub struct DraftsView {
    /// The latest first.
    pub rows: Vec<DraftRow>,
    /// How many there are of forms that the person may not open any more.
    pub hidden: usize,
    /// The name of another person whose form was to be sent.
    pub filled_by: Option<String>,
}

/// One draft.
#[derive(Debug, Clone)]
pub struct DraftRow {
    /// The name of the form.
    pub form: String,
    /// What it is: "Visit".
    pub words: String,
    /// The child that it is about.
    pub who: Option<Who>,
    /// When it was saved, and on which device.
    pub saved: String,
    /// The page of the form.
    pub href: String,
    /// When it is deleted, if that is near.
    pub due: Option<String>,
}

/// The question before signing out.
#[derive(Debug, Clone, Copy)]
pub struct SignOutView {
    /// How many forms are not saved.
    pub drafts: usize,
}

/// The list.
#[must_use]
pub fn drafts(frame: &Frame, view: &DraftsView) -> Markup {
    let body = html! {
        header.page-head { div {
            h1 { "Drafts" }
            p.tally { "Forms that you filled in and did not save" }
        } }
        @if let Some(name) = &view.filled_by {
            div.message.warning role="status" { p { strong { "Not saved: " } "the form that you come from was filled in by " (name) ". Only " (name) " can save it; it is kept as their draft." } }
        }
        p { "A draft is no part of a child’s record. Only you can open it. Files that were chosen in a form are not part of it." }
        @if view.rows.is_empty() { (parts::empty("No drafts", &html! { p { "Everything that you filled in is saved or discarded." } })) }
        ul.drafts { @for row in &view.rows { (draft_row(frame, row)) } }
        @if view.hidden > 0 { p.hint { (words::count(view.hidden as i64, "more draft", "more drafts")) " of forms that your roles do not allow you to open any more." } }
    };
    frame::page(frame, HelpTopic::Drafts, "Drafts", &body)
}

fn draft_row(frame: &Frame, row: &DraftRow) -> Markup {
    html! {
        li.card {
            h2 { (row.words) }
            @if let Some(who) = &row.who { (parts::who_line(who, frame.today)) }
            p { "Saved as a draft " (row.saved) "." @if let Some(due) = &row.due { " " strong { "It is deleted on " (due) " if it is not changed." } } }
            div.actions {
                a.button.primary href=(row.href) { "Open" span.sr { " the draft: " (row.words) } }
                form.inline method="post" action="/drafts/discard" {
                    (parts::csrf(&frame.csrf))
                    (parts::hidden(DISCARD, &row.form))
                    button type="submit" { "Discard" span.sr { " the draft: " (row.words) } }
                }
            }
        }
    }
}

/// The page that asks what to do with the drafts.
#[must_use]
pub fn sign_out(frame: &Frame, view: SignOutView) -> Markup {
    let drafts = words::count(view.drafts as i64, "draft", "drafts");
    let them = if view.drafts == 1 { "it" } else { "them" };
    let body = html! {
        div.narrow {
            h1 { "Before you sign out" }
            p.lead { "You have " (drafts) ": keep " (them) " for next time, or discard " (them) "?" }
            form.actions method="post" action="/sign-out" {
                (parts::csrf(&frame.csrf))
                button.primary type="submit" name="drafts" value="keep" { "Keep " (them) " and sign out" }
                button.grave type="submit" name="drafts" value="discard" { "Discard " (them) " and sign out" }
                a.button href="/drafts" { "See " (them) " first" }
            }
        }
    };
    frame::page(frame, HelpTopic::Drafts, "Before you sign out", &body)
}
