//! The page that registers a child.

use crate::{
    Frame, HelpTopic,
    fields::{self, Field, Filled, What},
    frame,
    parts::{self, Who},
};
use maud::{Markup, html};
use record::{Nature, Right};

/// The form of a new child.
#[derive(Debug, Clone)]
pub struct RegisterView {
    /// The values in the form.
    pub filled: Filled,
    /// Children who may be the same child. They are shown before saving; the form is then only saved with
    /// `sure`.
    pub possible: Vec<PossibleChild>,
}

/// A registered child who may be the same child.
#[derive(Debug, Clone)]
pub struct PossibleChild {
    /// The registered child.
    pub who: Who,
    /// What matches: "same birth date, name sounds alike".
    pub why: String,
}

/// The form field for the affected feet.
pub(crate) fn sides_field() -> Field {
    let sides = vec![("right", "right foot"), ("left", "left foot"), ("both", "both feet")];
    Field::new("sides", "Which foot is affected", What::Choice(sides))
        .hint("May be left open: the feet can be recorded at the first visit.")
}

/// The page that registers a child.
#[must_use]
pub fn register(frame: &Frame, view: &RegisterView) -> Markup {
    let about = fields::with_room(record::Kind::Registration, 1);
    let is_carer = |field: &&Field| field.name.starts_with("carer") || field.name == "address";
    let natures = Nature::ALL.iter().map(|nature| (nature.key(), nature.words())).collect();
    let foot = [
        sides_field(),
        Field::new("nature", "Type of clubfoot", What::Choice(natures)),
        Field::new("complex", "Atypical or complex foot", What::Choice(vec![("yes", "yes"), ("no", "no")])),
    ];
    let body = html! {
        h1 { "Register a child" }
        p.lead { "A name or a hospital number is enough to begin. Leave unknown fields empty." }
        (parts::error_summary(&view.filled))
        form.register method="post" action="/register" {
            (parts::csrf(&frame.csrf))
            (parts::draft(&view.filled))
            (possible(frame, view))
            section.card { h2 { "The child" }
                div.grid { @for field in about.iter().filter(|field| !is_carer(field)) { (parts::field(&view.filled, field)) } }
            }
            @if frame.may(Right::RecordClinical) {
                section.card { h2 { "The feet" } @for field in &foot { (parts::field(&view.filled, field)) } }
            }
            section.card { h2 { "The family" }
                div.grid { @for field in about.iter().filter(is_carer) { (parts::field(&view.filled, field)) } }
            }
            section.card { h2 { "Referral" }
                (parts::field(&view.filled, &Field::new("referred_from", "Who referred the child", What::Text)))
            }
            p.actions { button.primary type="submit" { "Register this child" } }
        }
    };
    frame::page(frame, HelpTopic::Register, "Register a child", &body)
}

fn possible(frame: &Frame, view: &RegisterView) -> Markup {
    html! {
        @if !view.possible.is_empty() {
            section.card.look role="alert" {
                h2 { "Is it one of these children?" }
                p { "Nothing is saved yet. If it is one of these, open that record and go on there: registered twice, a child has half of its record in each." }
                ul.found-list {
                    @for each in &view.possible {
                        li.found { div.day-who { (parts::who_line(&each.who, frame.today)) span.found-why { (each.why) } }
                            div.day-do { a.button href=(each.who.href()) { "Open the record of " (each.who.shown_name()) } } }
                    }
                }
                p.check {
                    input type="checkbox" id="sure" name=(fields::SURE) value="yes";
                    label for="sure" { "None of these: this is another child" }
                }
            }
        }
    }
}
