//! The locked device: unlocking it, switching to another person on it, and signing in again over a form.

use crate::{Frame, HelpTopic, fields::Filled, frame, parts};
use maud::{Markup, html};

/// The form field with a PIN.
pub const PIN: &str = "pin";
/// Digits as they stand on a keypad.
const KEYS: [&str; 10] = ["1", "2", "3", "4", "5", "6", "7", "8", "9", "0"];

/// A person who can come back to a session on this device.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PersonHere {
    /// The id.
    pub id: String,
    /// The name shown.
    pub name: String,
    /// Whether they have a PIN here that works.
    pub pin: bool,
}

/// What the page of a locked device shows.
#[derive(Debug, Clone, Default)]
pub struct UnlockView {
    /// The page to open afterwards, a path on this server.
    pub then: String,
    /// Whose session is locked; `None` where nobody is signed in.
    pub locked: Option<PersonHere>,
    /// Who is asked for the PIN or the password.
    pub chosen: Option<PersonHere>,
    /// The others who can switch to themselves.
    pub others: Vec<PersonHere>,
    /// What is wrong; PINs and passwords are never sent back.
    pub filled: Filled,
}

/// Signing in again over a form, after the session has ended.
#[derive(Debug, Clone, Default)]
pub struct SignInAgainView {
    /// The name of the person whose page it is, if it is known.
    pub name: Option<String>,
    /// The sign-in name, and what is wrong.
    pub filled: Filled,
}

/// The page.
#[must_use]
pub fn unlock(frame: &Frame, view: &UnlockView) -> Markup {
    let body = html! { div.narrow { (unlock_part(&frame.csrf, view)) } };
    frame::page(frame, HelpTopic::Lock, "Locked", &body)
}

/// The part of the page that the script lays over a page that was locked.
#[must_use]
pub fn unlock_part(csrf: &str, view: &UnlockView) -> Markup {
    html! {
        div.unlock data-unlock="" {
            h1 tabindex="-1" { @match &view.chosen { Some(chosen) => (chosen.name), None => "Who is using this device?" } }
            @if let (Some(locked), Some(chosen)) = (&view.locked, &view.chosen) {
                @if locked.id == chosen.id { p.lead { "Locked. What was filled in is kept." } }
                @else { p.lead { (locked.name) " was using this device. What " (locked.name) " filled in stays theirs." } }
            }
            (errors(&view.filled))
            @if let Some(chosen) = &view.chosen { (of_person(csrf, view, chosen)) }
            (others(view))
            @if let Some(locked) = &view.locked { (leave(csrf, view, locked)) }
        }
    }
}

fn errors(filled: &Filled) -> Markup {
    html! { @if !filled.errors.is_empty() { div.errors role="alert" { ul { @for error in &filled.errors { li { (error.text) } } } } } }
}

fn of_person(csrf: &str, view: &UnlockView, chosen: &PersonHere) -> Markup {
    let is_own = view.locked.as_ref().is_some_and(|locked| locked.id == chosen.id);
    let button = if is_own { "Unlock".to_owned() } else { format!("Switch to {}", chosen.name) };
    let hidden = html! {
        (parts::csrf(csrf))
        (parts::hidden("who", &chosen.id))
        (parts::hidden("then", &view.then))
    };
    html! {
        @if chosen.pin {
            form.card.pin-form method="post" action="/unlock" {
                (hidden)
                div.field {
                    label for="unlock-pin" { "PIN" }
                    input.pin id="unlock-pin" name=(PIN) type="password" inputmode="numeric" autocomplete="off" maxlength="8" required;
                }
                div.keypad data-keypad="" hidden {
                    @for key in KEYS { button type="button" data-digit=(key) { (key) } }
                    button type="button" data-digit="" { "Clear" }
                }
                button.primary type="submit" { (button) }
            }
        }
        details.card open[!chosen.pin] {
            summary { "Use the password" }
            form method="post" action="/unlock" {
                (hidden)
                div.field.line {
                    label for="unlock-password" { "Password" }
                    input id="unlock-password" name="password" type="password" autocomplete="current-password" required;
                }
                button type="submit" { (button) }
            }
            @if !chosen.pin { p.hint { "A PIN makes this quicker: set one on your account page." } }
        }
    }
}

/// The others, each a large button, and the way in for everybody else.
fn others(view: &UnlockView) -> Markup {
    let then = parts::query_value(&view.then);
    html! {
        section.switch aria-labelledby="switch-head" {
            h2 id="switch-head" { "Switch person" }
            ul.people-here {
                @for person in &view.others {
                    li { a.button href={ "/unlock?who=" (person.id) "&then=" (then) } data-part="" { (person.name) } }
                }
                li { a.button href={ "/sign-in?then=" (then) } { "Somebody else, with a password" } }
            }
        }
    }
}

fn leave(csrf: &str, view: &UnlockView, locked: &PersonHere) -> Markup {
    html! {
        form.actions method="post" action="/unlock" {
            (parts::csrf(csrf))
            (parts::hidden("who", &locked.id))
            (parts::hidden("then", &view.then))
            button type="submit" name="leave" value="yes" { "Sign out " (locked.name) }
        }
    }
}

/// The sign-in that the script lays over a page whose session has ended.
#[must_use]
pub fn sign_in_again(csrf: &str, view: &SignInAgainView) -> Markup {
    html! {
        div.unlock data-unlock="" {
            h1 tabindex="-1" { "Signed out" }
            p.lead {
                "The session has ended. What was filled in is kept. "
                @match &view.name {
                    Some(name) => { "Sign in as " strong { (name) } " to go on where you were. Somebody else who signs in starts afresh." },
                    None => "Sign in to go on.",
                }
            }
            (errors(&view.filled))
            form.card method="post" action="/sign-in" {
                (parts::csrf(csrf))
                div.field.line {
                    label for="again-name" { "Sign-in name" }
                    input id="again-name" name="sign_in_name" type="text" autocomplete="username" value=(view.filled.value("sign_in_name")) required;
                }
                div.field.line {
                    label for="again-password" { "Password" }
                    input id="again-password" name="password" type="password" autocomplete="current-password" required;
                }
                button.primary type="submit" { "Sign in" }
            }
        }
    }
}
