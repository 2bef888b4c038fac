//! The own account: roles, password and sessions; and the page on which a new person chooses a password.

use crate::{
    Frame, HelpTopic,
    fields::{Field, Filled, What},
    frame,
    in_language::PageLanguage,
    parts,
    unlock::PIN,
    words,
};
use maud::{Markup, html};
use record::Roles;

/// The form field with the present password.
pub const OLD_PASSWORD: &str = "old_password";
/// The form field with the new password.
pub const PASSWORD: &str = "password";
/// The form field with the new password again.
pub const PASSWORD_AGAIN: &str = "password_again";
/// The form field with the new PIN again.
pub const PIN_AGAIN: &str = "pin_again";
/// The form field with the password, in the form of the PIN.
pub const PIN_PASSWORD: &str = "pin_password";
/// The form field with the language of pages.
pub const LANGUAGE: &str = "language";
/// The form field that names a session.
pub const SESSION: &str = "session";

/// The own account.
#[derive(Debug, Clone)]
pub struct AccountView {
    /// The name shown on entries.
    pub name: String,
    /// The name to sign in with.
    pub sign_in_name: String,
    /// The roles.
    pub roles: Roles,
    /// The sessions, the latest use first.
    pub sessions: Vec<OwnSession>,
    /// The second factor in words.
    pub second: String,
    /// What is required of a password, a sentence.
    pub password_hint: &'static str,
    /// The PIN on this device; `None` where the device is not known, so that no PIN can be set.
    pub pin: Option<OwnPin>,
    /// The form of a new password; passwords are never sent back.
    pub filled: Filled,
}

/// The own PIN on the device in use.
#[derive(Debug, Clone)]
pub struct OwnPin {
    /// The device, in words.
    pub device: String,
    /// Whether a PIN is set there.
    pub is_set: bool,
    /// Whether it was typed wrong too often and waits for the password.
    pub is_off: bool,
    /// What is required of a PIN, a sentence.
    pub hint: &'static str,
    /// What is wrong with the form; PINs and passwords are never sent back.
    pub filled: Filled,
}

/// One of the own sessions.
#[derive(Debug, Clone)]
pub struct OwnSession {
    /// What names it in a form.
    pub key: String,
    /// When it began and was last used, in words.
    pub words: String,
    /// Whether it is this one.
    pub is_this: bool,
}

/// The page on which a person with a one-time password chooses a password.
#[derive(Debug, Clone)]
pub struct ChoosePasswordView {
    /// The token of the link.
    pub token: String,
    /// The name of the person.
    pub name: String,
    /// What is required of a password, a sentence.
    pub password_hint: &'static str,
    /// What is wrong with the form.
    pub filled: Filled,
}

fn new_password(hint: &'static str) -> [Field; 2] {
    [
        Field::new(PASSWORD, "New password", What::Password("new-password")).needed().hint(hint),
        Field::new(PASSWORD_AGAIN, "Repeat the new password", What::Password("new-password")).needed(),
    ]
}

/// The page of the own account.
#[must_use]
pub fn account(frame: &Frame, view: &AccountView) -> Markup {
    let old = Field::new(OLD_PASSWORD, "Present password", What::Password("current-password")).needed();
    let body = html! {
        header.page-head { div {
            h1 { "Your account" }
            p.tally { (view.name) " · signs in as " (view.sign_in_name) }
        } }
        (parts::error_summary(&view.filled))
        section.card aria-labelledby="roles-head" {
            h2 id="roles-head" { "Your roles" }
            @if view.roles.is_empty() { p { "You have no role, so there is nothing that you may open. Ask a lead of this clinic." } }
            ul.plain { @for role in view.roles.iter() { li { strong { (words::capital(role.words())) } ": " (role.does()) } } }
        }
        section.card aria-labelledby="second-head" {
            h2 id="second-head" { "Second factor" }
            p { (view.second) }
            a.button href="/account/second-factor" { "Codes and passkeys" }
        }
        form.card method="post" action="/account" {
            h2 { "Change the password" }
            (parts::csrf(&frame.csrf))
            (parts::field(&view.filled, &old))
            @for field in new_password(view.password_hint) { (parts::field(&view.filled, &field)) }
            p.hint { "Your other sessions end." }
            button.primary type="submit" { "Change the password" }
        }
        (own_language(frame))
        @if let Some(pin) = &view.pin { (own_pin(frame, pin)) }
        section.card aria-labelledby="sessions-head" {
            h2 id="sessions-head" { "Where you are signed in" }
            ul.sessions { @for session in &view.sessions { (own_session(frame, session)) } }
        }
    };
    frame::page(frame, HelpTopic::Account, "Your account", &body)
}

/// The choice of the language in which pages are read, as far as they are translated.
fn own_language(frame: &Frame) -> Markup {
    html! {
        form.card id="language" method="post" action="/account/language" {
            h2 {
                "Language of pages"
                @for other in PageLanguage::ALL {
                    @if let Some(heading) = other.heading() { " · " span lang=(other.tag()) { (heading) } }
                }
            }
            (parts::csrf(&frame.csrf))
            div.field {
                label for="own-language" { "Language" }
                select id="own-language" name=(LANGUAGE) aria-describedby="own-language-hint" {
                    @for language in PageLanguage::ALL {
                        option value=(language.tag()) lang=(language.tag()) selected[language == frame.language] { (language.own_name()) }
                    }
                }
            }
            p.hint id="own-language-hint" { "So far one page is translated: the day. All others stay in English. The choice holds on every device on which you sign in." }
            button.primary type="submit" { "Save the language" }
        }
    }
}

/// Setting and removing the PIN, with what it can do and what it cannot.
fn own_pin(frame: &Frame, pin: &OwnPin) -> Markup {
    let typed = What::Password("off");
    let old = Field::new(PIN_PASSWORD, "Your password", What::Password("current-password")).needed();
    html! {
        section.card id="pin" aria-labelledby="pin-head" {
            h2 id="pin-head" { "PIN on this device" }
            p { (pin.device) ": " strong { @if pin.is_off { "the PIN is off after too many wrong tries. It works again once you have unlocked with the password." } @else if pin.is_set { "a PIN is set." } @else { "no PIN is set." } } }
            ul.pin-rules {
                li { "With the PIN you unlock this device and switch to yourself on it, until 12 hours after you last signed in here with the password." }
                li { "It does not sign you in, works on no other device, and is off after five wrong tries in a row until you give the password." }
                li { "A new password, ending every session, or disabling the account removes it." }
            }
            (parts::error_summary(&pin.filled))
            form method="post" action="/account/pin" {
                (parts::csrf(&frame.csrf))
                (parts::field(&pin.filled, &Field::new(PIN, "New PIN", typed.clone()).needed().hint(pin.hint)))
                (parts::field(&pin.filled, &Field::new(PIN_AGAIN, "Repeat the new PIN", typed).needed()))
                (parts::field(&pin.filled, &old))
                button.primary type="submit" { @if pin.is_set { "Change the PIN" } @else { "Set the PIN" } }
            }
            @if pin.is_set {
                form.actions method="post" action="/account/pin" {
                    (parts::csrf(&frame.csrf))
                    (parts::hidden("remove", "yes"))
                    button type="submit" { "Remove the PIN" }
                }
            }
        }
    }
}

fn own_session(frame: &Frame, session: &OwnSession) -> Markup {
    html! {
        li {
            span { (session.words) @if session.is_this { " " strong { "(this one)" } } }
            form.inline method="post" action="/account/end" {
                (parts::csrf(&frame.csrf))
                (parts::hidden(SESSION, &session.key))
                button type="submit" { @if session.is_this { "Sign out here" } @else { "End" } span.sr { ": " (session.words) } }
            }
        }
    }
}

/// The page that chooses a password.
#[must_use]
pub fn choose_password(frame: &Frame, view: &ChoosePasswordView) -> Markup {
    let body = html! {
        div.narrow {
            h1 { "Choose your password" }
            p.lead { (view.name) ", your one-time password was accepted. Choose a password that nobody else knows." }
            (parts::error_summary(&view.filled))
            form.card method="post" action={ "/choose-password/" (view.token) } {
                (parts::csrf(&frame.csrf))
                @for field in new_password(view.password_hint) { (parts::field(&view.filled, &field)) }
                button.primary type="submit" { "Save the password and sign in" }
            }
        }
    };
    frame::page(frame, HelpTopic::SignIn, "Choose your password", &body)
}
