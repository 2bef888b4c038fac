//! Buttons for what can be recorded, the likeliest first.

use crate::{add::AddKind, parts::Who};
use course::{Course, Phase};
use guidance::{ChildAction, ChildActions, Outlook};
use maud::{Markup, html};
use record::Kind;

/// What is likely to be recorded now, the rest under *More*.
pub(super) fn actions(outlook: &Outlook, who: &Who) -> Markup {
    let ChildActions { first, more } = ChildActions::of(outlook);
    html! {
        nav.child-actions aria-label={ "Record something about " (who.shown_name()) } {
            @for (n, action) in first.iter().enumerate() { (button(who, *action, n == 0)) }
            @if is_booked(&outlook.course) { (checklist(who)) }
            details.more {
                summary { "More" }
                div.more-list {
                    @for action in &more { (button(who, *action, false)) }
                    @if !is_booked(&outlook.course) { (checklist(who)) }
                    a.button href={ (who.href()) "/documents" } { "Documents for the family" }
                    a.button href={ (who.href()) "/letters" } { "Letters to colleagues" }
                    a.button href={ (who.href()) "/family" } { "Brothers, sisters, twins" }
                }
            }
        }
    }
}

/// Whether a tenotomy is booked.
fn is_booked(course: &Course) -> bool {
    course.feet.iter().any(|foot| foot.phase == Phase::WaitingForTenotomy)
}

fn checklist(who: &Who) -> Markup {
    html! { a.button href={ (who.href()) "/tenotomy" } { "Tenotomy checklist" } }
}

fn button(who: &Who, action: ChildAction, primary: bool) -> Markup {
    let (path, words) = match action {
        ChildAction::Visit => ("/visit".to_owned(), "Record a visit"),
        ChildAction::BraceFitting => ("/brace".to_owned(), "Measure and fit brace"),
        ChildAction::BraceProblems => ("/trouble".to_owned(), "Brace problems"),
        ChildAction::Wear => ("/wear".to_owned(), "Brace wear"),
        // The call's form records the attempt, what was said and the new day in one.
        ChildAction::Entry(Kind::ContactAttempt) => ("/call".to_owned(), "Call the family"),
        ChildAction::Entry(kind) => {
            let form = AddKind::all().iter().find(|form| form.kind() == kind);
            let Some(form) = form else { return html! {} };
            (format!("/add/{}", form.key()), form.title())
        }
    };
    html! { a.button.primary[primary] href={ (who.href()) (path) } { (words) } }
}
