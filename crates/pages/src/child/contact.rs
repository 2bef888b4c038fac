//! The page of one child for who makes appointments and calls families: who it is, what is due when, appointments
//! and calls. Nothing of the treatment is on it: no score, phase, cast, brace or reason.

use super::{ChildView, appointments, family, shown_as_of};
use crate::{Frame, HelpTopic, frame, parts, words};
use maud::{Markup, html};
use record::Right;

pub(super) fn contact(frame: &Frame, view: &ChildView<'_>) -> Markup {
    let (who, as_of) = (&view.who, view.outlook.course.as_of);
    let body = html! {
        (parts::band(who, "", as_of))
        (family::telephone(view))
        @if as_of != frame.today { (shown_as_of(who, as_of)) }
        @if as_of == frame.today && frame.may(Right::RecordContact) { (actions(view)) }
        div.child-below {
            (due(view))
            (appointments::appointments(view.outlook))
            (family::family(frame, view))
            (calls(view))
        }
    };
    frame::page(frame, HelpTopic::Child, "Child", &body)
}

/// For what the child is due, and when.
fn due(view: &ChildView<'_>) -> Markup {
    let course = &view.outlook.course;
    let steps = guidance::to_book(&view.outlook.steps_on(course.as_of));
    html! {
        section.card aria-labelledby="due-head" {
            h2 id="due-head" { "Due" }
            @if steps.is_empty() { p { "Nothing is due." } }
            ul.plain { @for step in &steps { li { strong { (words::capital(&step.words)) } @if let Some(window) = step.window { " " (words::window(window, course.as_of)) } } } }
            (parts::caution())
        }
    }
}

fn actions(view: &ChildView<'_>) -> Markup {
    let href = view.who.href();
    html! {
        nav.child-actions.contact-actions aria-label={ "Record something about " (view.who.shown_name()) } {
            a.button.primary href={ (href) "/call" } { "Call the family" }
            a.button href={ (href) "/add/appointment-made" } { "New appointment" }
            details.more {
                summary { "More" }
                div.more-list {
                    a.button href={ (href) "/add/appointment-cancelled" } { "Cancel an appointment" }
                    a.button href={ (href) "/add/registration" } { "Change name, number or contact details" }
                    a.button href={ (href) "/family" } { "Brothers, sisters, twins" }
                }
            }
        }
    }
}

/// The attempts to reach the family, with what was said.
fn calls(view: &ChildView<'_>) -> Markup {
    let contacts = &view.outlook.course.contacts;
    html! {
        @if !contacts.is_empty() {
            section.card aria-labelledby="calls-head" {
                h2 id="calls-head" { "Calls" }
                ul.plain { @for contact in contacts.iter().rev() {
                    li {
                        a href={ (view.who.href()) "/entry/" (contact.entry) } { (words::day(contact.on)) } ": " (contact.way.words()) ", "
                        @if contact.reached { "reached" } @else { "not reached" }
                        @for more in [&contact.whom, &contact.note].into_iter().flatten() { ", " (more) }
                    }
                } }
            }
        }
    }
}
