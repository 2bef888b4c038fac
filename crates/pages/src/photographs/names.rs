//! Naming what was sent: the foot, the view and the day of each picture. Nothing is chosen beforehand.

use super::guides;
use crate::{
    Frame, HelpTopic,
    fields::{self, Field, Filled, What},
    frame,
    parts::{self, Who},
};
use maud::{Markup, html};
use record::{PhotographView, Sides, ViewFeet};

/// A picture that was sent.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NamedPicture {
    /// Its number in the upload.
    pub number: u16,
    /// Why it was not taken, one sentence; the rest is then empty.
    pub fault: Option<String>,
    /// What was found wrong with it, and that a position was removed.
    pub findings: Vec<String>,
    /// What the clock of the camera says, in words: "3 May 2024, 10:12".
    pub camera_says: Option<String>,
    /// The time of day of the camera, "10:12".
    pub camera_time: Option<String>,
    /// The address of the small picture.
    pub src: String,
}

/// The page.
#[derive(Debug, Clone)]
pub struct PhotographNamesView {
    /// The child.
    pub who: Who,
    /// Where the form is sent to.
    pub href: String,
    /// The pictures.
    pub pictures: Vec<NamedPicture>,
    /// The values in the form.
    pub filled: Filled,
    /// Token that makes a double submit harmless.
    pub once: String,
}

/// The name of a field of one picture: `view`, `feet`, `time`, `note`, `leave`.
#[must_use]
pub fn name_field(field: &str, number: u16) -> String {
    format!("{field}_{number}")
}

/// The page.
#[must_use]
pub fn photograph_names(frame: &Frame, view: &PhotographNamesView) -> Markup {
    let (who, filled) = (&view.who, &view.filled);
    let taken: Vec<&NamedPicture> = view.pictures.iter().filter(|one| one.fault.is_none()).collect();
    let refused: Vec<&NamedPicture> = view.pictures.iter().filter(|one| one.fault.is_some()).collect();
    let body = html! {
        (parts::band(who, "naming photographs", frame.today))
        @if !refused.is_empty() {
            div.errors role="alert" {
                h2 { "Not taken" }
                ul { @for one in &refused { li { "Picture " (one.number) ": " (one.fault.as_deref().unwrap_or_default()) } } }
            }
        }
        (parts::error_summary(filled))
        form method="post" action=(view.href) {
            (parts::csrf(&frame.csrf))
            (parts::hidden(fields::ONCE, &view.once))
            @if !taken.is_empty() {
                section.card {
                    h2 { "The day" }
                    p { "All of them were taken on one day. If not, leave the others out and send them again." }
                    (parts::field(filled, &Field::new(fields::ON, "Taken on", What::Day).needed()))
                    (sure(filled))
                }
                @for one in &taken { (picture(view, one)) }
                (guides(false))
            }
            p.actions {
                @if !taken.is_empty() { button.primary type="submit" name=(fields::ACT) value="save" { "Save for " (who.shown_name()) } " " }
                button type="submit" name=(fields::ACT) value="forget" formnovalidate { "Forget these pictures" } " "
                a.button href={ (who.href()) "/photographs" } { "Name them later" }
            }
        }
    };
    frame::page(frame, HelpTopic::Photographs, "Naming photographs", &body)
}

/// Asked where the camera says another day, or something speaks against the child or the foot.
pub(crate) fn sure(filled: &Filled) -> Markup {
    let id = parts::field_id(fields::SURE);
    html! {
        @if filled.has_error(fields::SURE) {
            p.check {
                input type="checkbox" id=(id) name=(fields::SURE) value="yes" checked[filled.value(fields::SURE) == "yes"] aria-describedby={ (id) "-error" };
                label for=(id) { "I have checked this: it is right as I named it" }
            }
            (parts::field_error(filled, fields::SURE))
        }
    }
}

fn picture(view: &PhotographNamesView, one: &NamedPicture) -> Markup {
    let filled = &view.filled;
    let (number, head) = (one.number, format!("picture-{}", one.number));
    html! {
        section.card.photograph-name aria-labelledby=(head) {
            h2 id=(head) { "Picture " (number) }
            img src=(one.src) alt={ "Picture " (number) ", not named yet" };
            div {
                @if !one.findings.is_empty() { ul.plain-list { @for said in &one.findings { li { (said) } } } }
                (menu(filled, &name_field("feet", number), "Which foot or feet", &feet_options()))
                (menu(filled, &name_field("view", number), "View", &view_options()))
                @if let (Some(says), Some(time)) = (&one.camera_says, &one.camera_time) { (camera(filled, number, says, time)) }
                (parts::field(filled, &Field::new(name_field("note", number), "Note", What::Text)))
                (leave(filled, number))
            }
        }
    }
}

fn feet_options() -> Vec<(String, String)> {
    [Sides::Right, Sides::Left, Sides::Both]
        .iter()
        .map(|feet| (feet.key().to_owned(), feet.words().to_owned()))
        .collect()
}

fn view_options() -> Vec<(String, String)> {
    let words = |view: &PhotographView| match view.feet() {
        ViewFeet::One => format!("one foot: {}", view.words()),
        ViewFeet::Both => format!("both feet: {}", view.words()),
    };
    PhotographView::ALL.iter().map(|view| (view.key().to_owned(), words(view))).collect()
}

pub(crate) fn menu(filled: &Filled, name: &str, label: &str, options: &[(String, String)]) -> Markup {
    let id = parts::field_id(name);
    let bad = filled.has_error(name);
    html! {
        div.field {
            label for=(id) { (label) " " span.needed { "required" } }
            select id=(id) name=(name) aria-invalid=[bad.then_some("true")] aria-describedby=[bad.then(|| format!("{id}-error"))] {
                option value="" { "choose" }
                @for (key, words) in options { option value=(key) selected[filled.value(name) == key] { (words) } }
            }
            (parts::field_error(filled, name))
        }
    }
}

fn camera(filled: &Filled, number: u16, says: &str, time: &str) -> Markup {
    let name = name_field("time", number);
    let id = parts::field_id(&name);
    html! {
        p.check {
            input type="checkbox" id=(id) name=(name) value=(time) checked[filled.value(&name) == time];
            label for=(id) { "The camera says " (says) ": record " (time) " as the time of day" }
        }
    }
}

fn leave(filled: &Filled, number: u16) -> Markup {
    let name = name_field("leave", number);
    let id = parts::field_id(&name);
    html! {
        p.check {
            input type="checkbox" id=(id) name=(name) value="yes" checked[filled.value(&name) == "yes"];
            label for=(id) { "Do not keep picture " (number) }
        }
    }
}
