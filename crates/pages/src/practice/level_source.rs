//! One level of one sign: a lead confirms its words and numbers with a named source.

use super::{
    LEVELS_PATH,
    drawing::{level_alternative, svg},
    level_path,
    levels::{standing, unreadable},
    practice_fields as names,
};
use crate::{
    Frame, HelpTopic,
    fields::{self, Field, Filled, What, settings},
    frame, parts,
    settings::{HistoryRow, history_table},
};
use maud::{Markup, html};
use practice::{ConfirmedLevels, FootDrawing, LevelStanding, SignGeometry};
use record::{HalfPoint, Side, Sign};

/// One level with its confirmation.
#[derive(Debug, Clone)]
pub struct PracticeLevelView {
    /// The sign.
    pub sign: Sign,
    /// The level.
    pub level: HalfPoint,
    /// The levels that the clinic has confirmed.
    pub confirmed: ConfirmedLevels,
    /// The form.
    pub filled: Filled,
    /// The version of the confirmation from which the form was made.
    pub seen: String,
    /// What somebody else changed since the form was shown.
    pub newer: Option<String>,
    /// Its changes, the latest first.
    pub history: Vec<HistoryRow>,
    /// Lines of the history that cannot be read.
    pub unreadable: usize,
}

/// The page of one level.
#[must_use]
pub fn practice_level(frame: &Frame, view: &PracticeLevelView) -> Markup {
    let PracticeLevelView { sign, level, .. } = *view;
    let title = format!("{}, level {}: source", sign.name(), level.text());
    let now = view.confirmed.standing(sign, level);
    let body = html! {
        nav.back aria-label="Back" { a href=(LEVELS_PATH) { "Every sign at every level" } }
        h1 { (title) }
        @if view.unreadable > 0 { (unreadable(view.unreadable)) }
        @if let Some(newer) = &view.newer { p.look { strong { "Not saved yet. " } (newer) " Compare, then save again." } }
        (parts::error_summary(&view.filled))
        div.practice-case {
            figure {
                (svg(&FootDrawing::of_level(sign, level, Side::Right), &level_alternative(sign, level), true))
                figcaption { "right foot, as it is drawn for this level." }
            }
            div {
                p { (SignGeometry::of(sign).statement(level)) }
                p { (standing(now)) }
                @if matches!(now, LevelStanding::Confirmed(_)) { (withdraw(frame, view)) } @else { (confirm(frame, view)) }
            }
        }
        section aria-labelledby="history-head" {
            h2 id="history-head" { "Changes of this confirmation" }
            @if view.history.is_empty() { p { "It was never confirmed." } } @else { (history_table(&view.history)) }
        }
    };
    frame::page(frame, HelpTopic::LearnToScore, &title, &body)
}

fn confirm(frame: &Frame, view: &PracticeLevelView) -> Markup {
    let source = Field::new(names::SOURCE, "Source", What::Text)
        .needed()
        .hint("Author, title, year and page or section, so that somebody else finds the place. A confirmation says that the words and numbers above agree with it; where they differ, do not confirm.");
    let compared = parts::field_id(names::COMPARED);
    html! {
        form method="post" action=(level_path(view.sign, view.level)) {
            (parts::csrf(&frame.csrf))
            (parts::hidden(fields::SEEN, &view.seen))
            (parts::field(&view.filled, &source))
            p.check { input type="checkbox" id=(compared) name=(names::COMPARED) value="yes" required checked[view.filled.value(names::COMPARED) == "yes"]; label for=(compared) { "I have compared the words and the numbers above with this source" } }
            (parts::field_error(&view.filled, names::COMPARED))
            p.actions { button.primary type="submit" name=(settings::DO) value="confirm" { "Confirm this level" } }
        }
    }
}

fn withdraw(frame: &Frame, view: &PracticeLevelView) -> Markup {
    html! {
        form method="post" action=(level_path(view.sign, view.level)) {
            (parts::csrf(&frame.csrf))
            (parts::hidden(fields::SEEN, &view.seen))
            p.actions { button type="submit" name=(settings::DO) value="withdraw" { "Take the confirmation back" } }
        }
    }
}
