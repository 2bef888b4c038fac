//! The family: whom to call, and brothers, sisters and twins whose records are in the clinic.

use super::ChildView;
use crate::{
    DayPlaces, Frame,
    parts::{self, Who},
    words,
};
use maud::{Markup, html};
use record::{Carer, Day, EntryId, Purpose, Right, Sex, SiblingRelation};

/// Brothers and sisters whose records are in the clinic.
#[derive(Debug, Clone, Default)]
pub struct FamilyView {
    /// Each of them, twins first.
    pub siblings: Vec<SiblingView>,
    /// Days on which the child and a brother or sister can both come.
    pub together: Vec<TogetherView>,
}

/// A brother, sister or twin.
#[derive(Debug, Clone)]
pub struct SiblingView {
    /// The brother or sister.
    pub who: Who,
    /// How the two are related.
    pub relation: SiblingRelation,
    /// The entry of the link in this child's record.
    pub entry: EntryId,
    /// Whom to call, as recorded for the brother or sister.
    pub carers: Vec<Carer>,
}

/// A day on which the child and a brother or sister can both come.
#[derive(Debug, Clone)]
pub struct TogetherView {
    /// The brother or sister.
    pub who: Who,
    /// The day.
    pub day: Day,
    /// The purpose for the child, then for the brother or sister.
    pub purposes: [Purpose; 2],
    /// Who is expected on it already, in the same order.
    pub expected: [bool; 2],
    /// What is booked on it, for the child and for the brother or sister.
    pub places: [DayPlaces; 2],
}

/// The first number to call: the child's own, otherwise that of a brother or sister, saying whose it is.
pub(super) fn telephone(view: &ChildView<'_>) -> Markup {
    let own = view.outlook.course.about.carers.iter().map(|carer| (carer, None));
    let of_siblings = view.family.siblings.iter();
    let of_siblings = of_siblings.flat_map(|one| one.carers.iter().map(move |carer| (carer, Some(&one.who))));
    let first = own.chain(of_siblings).find(|(carer, _)| carer.phone.is_some());
    html! {
        p.child-phone {
            @if let Some((carer, of)) = first {
                "Telephone: " (parts::carer_line(carer))
                @if let Some(who) = of { " (from the record of " a href=(who.href()) { (who.shown_name()) } ")" }
            } @else { "No telephone number is recorded." }
        }
    }
}

/// The section on the family.
pub(super) fn family(frame: &Frame, view: &ChildView<'_>) -> Markup {
    let about = &view.outlook.course.about;
    html! {
        section.card aria-labelledby="people-head" {
            h2 id="people-head" { "The family" }
            @if about.carers.is_empty() { p { "No contact person is recorded." } }
            ul.plain { @for carer in &about.carers { li { (parts::carer_line(carer)) } } }
            p.actions { a.button href={ (view.who.href()) "/call" } { "Call the family" } @if frame.may(Right::RecordClinical) { " " a.button href={ (view.who.href()) "/join" } { "Registered twice?" } } }
            @if let Some(address) = &about.address { p { (address) } }
            (siblings(view))
            (contacts(view))
        }
    }
}

fn siblings(view: &ChildView<'_>) -> Markup {
    let FamilyView { siblings, together } = &view.family;
    html! {
        @if !siblings.is_empty() {
            h3 { "Brothers and sisters here" }
            ul.plain { @for one in siblings { (sibling(view, one)) } }
            @for shared in together { (together_row(view, shared)) }
        }
    }
}

/// "Twin sister", "brother or sister", by what is recorded.
fn relation_words(one: &SiblingView) -> String {
    let person = match one.who.sex {
        Some(Sex::Female) => "sister",
        Some(Sex::Male) => "brother",
        Some(Sex::Undetermined) | None => "brother or sister",
    };
    match (one.relation, one.who.sex) {
        (SiblingRelation::Twin, Some(Sex::Female | Sex::Male)) => format!("Twin {person}"),
        (SiblingRelation::Twin, _) => "Twin".to_owned(),
        (SiblingRelation::Sibling, _) => words::capital(person),
        (SiblingRelation::Half, _) => format!("Half-{person}"),
    }
}

fn sibling(view: &ChildView<'_>, one: &SiblingView) -> Markup {
    html! {
        li {
            (relation_words(one)) ": " a href=(one.who.href()) { (one.who.shown_name()) }
            ", " (one.who.age(view.outlook.course.as_of)) ", " (one.who.number())
            @if let Some(order) = one.who.birth_order { ", " (order.words()) }
            @match one.who.sides {
                Some(sides) => { ". Clubfoot in the family: " (sides.words()) "." },
                None => ". No affected foot recorded.",
            }
            " " a.fate href={ (view.who.href()) "/entry/" (one.entry) } { "link" span.sr { " to " (one.who.shown_name()) } }
        }
    }
}

/// One day for two children, with a link that makes the appointment of this one.
fn together_row(view: &ChildView<'_>, shared: &TogetherView) -> Markup {
    let [own, other] = shared.purposes;
    let name = shared.who.shown_name();
    html! {
        p.together {
            strong { "One day for both: " } (words::weekday(shared.day)) ", for " (own.words()) " and for " (other.words()) " of " (name) ". "
            (words::capital(&places_words(shared))) ". "
            @match shared.expected {
                [true, _] => { (view.who.shown_name()) " is expected on that day already. "
                    a href={ (shared.who.href()) (appointment(shared.day, other)) } { "Make an appointment for " (name) } },
                [_, already] => {
                    @if already { (name) " is expected on that day already. " }
                    a href={ (view.who.href()) (appointment(shared.day, own)) } { "Make this appointment for " (view.who.shown_name()) }
                },
            }
        }
    }
}

/// Once where both take the same places.
fn places_words(shared: &TogetherView) -> String {
    let [own, other] = &shared.places;
    if own == other { own.words() } else { format!("{}; {}", own.words(), other.words()) }
}

fn appointment(day: Day, purpose: Purpose) -> String {
    format!("/add/appointment-made?for_day={day}&purpose={}", purpose.key())
}

fn contacts(view: &ChildView<'_>) -> Markup {
    let contacts = &view.outlook.course.contacts;
    html! {
        @if !contacts.is_empty() {
            details {
                summary { "Contact attempts (" (contacts.len()) ")" }
                ul.plain {
                    @for contact in contacts.iter().rev() {
                        li { (words::day(contact.on)) ": " (contact.way.words()) ", " @if contact.reached { "reached" } @else { "not reached" } }
                    }
                }
            }
        }
    }
}
