//! Brothers, sisters and twins: those linked, and the forms that find another record and link it.

use crate::{
    Frame, HelpTopic,
    fields::{self, Field, Filled, What},
    find, frame,
    parts::{self, Who},
};
use maud::{Markup, html};
use record::{BirthOrder, EntryId, SiblingRelation};

/// Names of the form fields.
pub mod names {
    /// The other child.
    pub const WITH: &str = "with";
    /// A `record::SiblingRelation` key.
    pub const RELATION: &str = "relation";
    /// A `record::BirthOrder` key or empty: the child of the page.
    pub const OWN_ORDER: &str = "own_order";
    /// The same of the other child.
    pub const OTHER_ORDER: &str = "other_order";
}

/// The page on a child's brothers and sisters.
#[derive(Debug, Clone)]
pub struct SiblingsView {
    /// The child.
    pub who: Who,
    /// Those linked already: who, how related, and the entry of the link.
    pub linked: Vec<(Who, SiblingRelation, EntryId)>,
    /// The search text; empty where nothing was searched.
    pub query: String,
    /// Whether a search was asked for that is not remembered any more.
    pub is_over: bool,
    /// The children found, or proposed where nothing was searched, each with the reason.
    pub found: Vec<(Who, String)>,
    /// The other child, once chosen.
    pub chosen: Option<Who>,
    /// The values in the form of the link.
    pub filled: Filled,
    /// Token that makes a double submit harmless.
    pub once: String,
}

/// The page.
#[must_use]
pub fn siblings(frame: &Frame, view: &SiblingsView) -> Markup {
    let name = view.who.shown_name();
    let body = html! {
        (parts::band(&view.who, "brothers, sisters, twins", frame.today))
        (parts::error_summary(&view.filled))
        (linked(frame, view))
        @match &view.chosen {
            Some(other) => { (link_form(frame, view, other)) },
            None => { (search(frame, view)) },
        }
        p.actions { a.button href=(view.who.href()) { "Back to " (name) } }
    };
    frame::page(frame, HelpTopic::Family, "Brothers, sisters, twins", &body)
}

fn linked(frame: &Frame, view: &SiblingsView) -> Markup {
    html! {
        @if !view.linked.is_empty() {
            section.card aria-labelledby="linked-head" {
                h2 id="linked-head" { "Linked" }
                ul.found-list {
                    @for (who, relation, entry) in &view.linked {
                        li.found {
                            div.day-who { (parts::who_line(who, frame.today)) span.found-why { (relation.words()) } }
                            div.day-do { a.button href={ (view.who.href()) "/entry/" (entry) } { "End the link" span.sr { " to " (who.shown_name()) } } }
                        }
                    }
                }
                p.hint { "To end a link, withdraw its entry with the reason. It then ends in both records." }
            }
        }
    }
}

fn search(frame: &Frame, view: &SiblingsView) -> Markup {
    html! {
        section.card aria-labelledby="search-head" {
            h2 id="search-head" { "Link a brother, sister or twin" }
            p { "Both need a record in this clinic. If the other child is new here, " a href="/register" { "register it" } " first." }
            (find::unremembered(view.is_over))
            form.find method="post" action=(fields::SEARCH_PATH) role="search" aria-label="Find the other child" {
                (find::search_fields(frame, &format!("{}/family", view.who.href())))
                label for="q" { "Any part of a name, number, date of birth, carer or telephone" }
                div.find-row {
                    input id="q" name="q" type="search" value=(view.query) autocomplete="off" autocapitalize="off" spellcheck="false";
                    button.primary type="submit" { "Find" }
                }
            }
            @if !view.found.is_empty() {
                @if view.query.is_empty() { h3 { "May be brothers or sisters" } } @else { h3 { "Found" } }
                ul.found-list {
                    @for (who, why) in &view.found {
                        li.found {
                            div.day-who { (parts::who_line(who, frame.today)) span.found-why { (why) } }
                            div.day-do { a.button href={ (view.who.href()) "/family?with=" (who.id) } { "Choose" span.sr { ": " (who.shown_name()) } } }
                        }
                    }
                }
            } @else if !view.query.is_empty() { p { "No other child found." } }
        }
    }
}

/// The form of a link, with both children by name.
fn link_form(frame: &Frame, view: &SiblingsView, other: &Who) -> Markup {
    let (name, other_name) = (view.who.shown_name(), other.shown_name());
    let relations = SiblingRelation::ALL.iter().map(|one| (one.key(), one.words())).collect();
    let relation = Field::new(names::RELATION, "They are", What::Choice(relations)).needed();
    html! {
        form.card method="post" action={ (view.who.href()) "/family" } {
            h2 { "Link these two records" }
            (parts::csrf(&frame.csrf))
            (parts::hidden(fields::ONCE, &view.once))
            (parts::draft(&view.filled))
            (parts::hidden(names::WITH, &other.id.to_string()))
            ul.found-list {
                li.found { div.day-who { (parts::who_line(&view.who, frame.today)) } }
                li.found { div.day-who { (parts::who_line(other, frame.today)) } }
            }
            (parts::field(&view.filled, &relation))
            (parts::field(&view.filled, &order_field(names::OWN_ORDER, &name)))
            (parts::field(&view.filled, &order_field(names::OTHER_ORDER, &other_name)))
            p.actions {
                button.primary type="submit" { "Link " (name) " and " (other_name) }
                a.button href={ (view.who.href()) "/family" } { "Choose another child" }
            }
        }
    }
}

fn order_field(name: &'static str, child: &str) -> Field {
    let orders = BirthOrder::ALL.iter().map(|one| (one.key(), one.words())).collect();
    Field::new(name, format!("If twins: {child} was"), What::Choice(orders))
}
