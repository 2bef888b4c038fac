//! Naming a video that was sent: what the child does, the view and the day. Nothing is chosen beforehand.

use super::player;
use crate::{
    Frame, HelpTopic,
    fields::{self, Field, Filled, What},
    frame,
    parts::{self, Who},
    photographs::names::{menu, sure},
};
use maud::{Markup, html};
use record::{GaitActivity, GaitView};

/// The page.
#[derive(Debug, Clone)]
pub struct VideoNamesView {
    /// The child.
    pub who: Who,
    /// Where the form is sent to.
    pub href: String,
    /// What was removed, in sentences.
    pub findings: Vec<String>,
    /// What the file says about its time, in words: "3 May 2024, 10:12".
    pub file_says: Option<String>,
    /// The time of day by the file, "10:12".
    pub file_time: Option<String>,
    /// The values in the form.
    pub filled: Filled,
    /// Token that makes a double submit harmless.
    pub once: String,
}

/// The page.
#[must_use]
pub fn video_names(frame: &Frame, view: &VideoNamesView) -> Markup {
    let who = &view.who;
    let body = html! {
        (parts::band(who, "naming a video", frame.today))
        (parts::error_summary(&view.filled))
        form method="post" action=(view.href) {
            (parts::csrf(&frame.csrf))
            (parts::hidden(fields::ONCE, &view.once))
            (questions(view))
            p.actions {
                button.primary type="submit" name=(fields::ACT) value="save" { "Save for " (who.shown_name()) } " "
                button type="submit" name=(fields::ACT) value="forget" formnovalidate { "Forget this video" } " "
                a.button href={ (who.href()) "/videos" } { "Name it later" }
            }
        }
    };
    frame::page(frame, HelpTopic::Videos, "Naming a video", &body)
}

fn questions(view: &VideoNamesView) -> Markup {
    let filled = &view.filled;
    let activities: Vec<_> =
        GaitActivity::ALL.iter().map(|one| (one.key().to_owned(), one.words().to_owned())).collect();
    let views: Vec<_> =
        GaitView::ALL.iter().map(|one| (one.key().to_owned(), one.words().to_owned())).collect();
    html! {
        section.card aria-labelledby="film-head" {
            h2 id="film-head" { "The video as it would be kept" }
            p { "Look at it to its end: is it this child, and is nobody else in it?" }
            (player(&format!("{}/film", view.href), "The video that was sent, not named yet"))
            @if !view.findings.is_empty() { ul.plain-list { @for said in &view.findings { li { (said) } } } }
        }
        section.card {
            (menu(filled, "activity", "What the child does", &activities))
            (menu(filled, "view", "View", &views))
            (parts::field(filled, &Field::new(fields::ON, "Taken on", What::Day).needed()))
            (sure(filled))
            @if let (Some(says), Some(time)) = (&view.file_says, &view.file_time) { (file_time(filled, says, time)) }
            (parts::field(filled, &Field::new("note", "Note", What::Text)))
        }
    }
}

fn file_time(filled: &Filled, says: &str, time: &str) -> Markup {
    let id = parts::field_id("time");
    html! {
        p.check {
            input type="checkbox" id=(id) name="time" value=(time) checked[filled.value("time") == time];
            label for=(id) { "The file says " (says) ": record " (time) " as the time of day" }
        }
    }
}
