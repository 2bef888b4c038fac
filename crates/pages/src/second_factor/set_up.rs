//! The page of the own second factor: codes, passkeys, recovery codes, and what happened to them.

use super::{CodeKind, PASSKEY, PASSKEY_NAME, code_field, passkey_parts};
use crate::{
    Frame, HelpTopic, OLD_PASSWORD,
    devices::qr,
    fields::{ACT, Field, Filled, What},
    frame, parts, words,
};
use maud::{Markup, html};

const PATH: &str = "/account/second-factor";

/// A passkey in the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PasskeyRow {
    /// What names it in a form.
    pub key: String,
    /// The name that its owner gave it.
    pub name: String,
    /// The name of the computer for which it was made.
    pub place: String,
    /// When it was made and last used, in words.
    pub words: String,
}

/// Something that happened to the ways in which a person signs in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AccountEventRow {
    /// When, in words.
    pub when: String,
    /// Who did it.
    pub who: String,
    /// What.
    pub what: String,
    /// The reason, if one was given.
    pub why: Option<String>,
}

/// The own second factor.
#[derive(Debug, Clone)]
pub struct SecondFactorView {
    /// Whether the clinic requires one of this person, who has none.
    pub missing: bool,
    /// Whether the password was given again lately.
    pub confirmed: bool,
    /// Since when codes are set up, in words.
    pub codes: Option<String>,
    /// Whether the clinic allows codes to be set up.
    pub may_codes: bool,
    /// The passkeys, the oldest first.
    pub passkeys: Vec<PasskeyRow>,
    /// Whether the clinic allows passkeys to be added.
    pub may_passkeys: bool,
    /// Whether the page was opened by a name for which passkeys can be made.
    pub passkeys_here: bool,
    /// The addresses at which they can be made.
    pub passkey_addresses: Vec<String>,
    /// Recovery codes that were not used.
    pub recovery_left: usize,
    /// What happened, the latest first.
    pub history: Vec<AccountEventRow>,
    /// What is wrong with a form; passwords and codes are never sent back.
    pub filled: Filled,
}

impl SecondFactorView {
    const fn any(&self) -> bool {
        self.codes.is_some() || !self.passkeys.is_empty()
    }
}

/// Codes that are being set up.
#[derive(Debug, Clone)]
pub struct NewCodesView {
    /// The secret in groups.
    pub secret: String,
    /// The secret as the address for the camera.
    pub address: String,
    /// What is wrong with the code.
    pub filled: Filled,
}

/// Recovery codes that were made just now; no other page shows them.
#[derive(Debug, Clone)]
pub struct RecoveryCodesView {
    /// The name of the person.
    pub name: String,
    /// The codes.
    pub codes: Vec<String>,
}

fn form(frame: &Frame, act: &str, contents: &Markup) -> Markup {
    html! {
        form method="post" action=(PATH) { (parts::csrf(&frame.csrf)) (parts::hidden(ACT, act)) (contents) }
    }
}

/// The page.
#[must_use]
pub fn second_factor(frame: &Frame, view: &SecondFactorView) -> Markup {
    let body = html! {
        header.page-head { div {
            h1 { "Second factor" }
            p.tally { @if view.any() { "Needed besides your password when you sign in" } @else { "You sign in with your password alone" } }
        } }
        @if view.missing { p.message.warning role="status" { strong { "Set up first: " } "this clinic requires a second factor of you. Choose codes or a passkey; then everything else opens." } }
        (parts::error_summary(&view.filled))
        @if !view.confirmed { (password(frame, view)) }
        (codes(frame, view))
        (passkeys(frame, view))
        @if view.any() { (recovery(frame, view)) }
        (history(&view.history))
        @if !view.missing { p.actions { a.button href="/account" { "Your account" } } }
    };
    frame::page(frame, HelpTopic::SecondFactor, "Second factor", &body)
}

fn password(frame: &Frame, view: &SecondFactorView) -> Markup {
    let field = Field::new(OLD_PASSWORD, "Present password", What::Password("current-password")).needed();
    let contents = html! { (parts::field(&view.filled, &field)) button.primary type="submit" { "Go on" } };
    html! {
        section.card aria-labelledby="password-head" {
            h2 id="password-head" { "Your password first" }
            p { "To change anything here, type your password again. It counts for ten minutes." }
            (form(frame, "password", &contents))
        }
    }
}

fn codes(frame: &Frame, view: &SecondFactorView) -> Markup {
    let remove =
        html! { (code_field(&view.filled, CodeKind::Both)) button type="submit" { "Remove the codes" } };
    let set_up = html! { button.primary[view.missing] type="submit" { "Set up codes" } };
    html! {
        section.card aria-labelledby="codes-head" {
            h2 id="codes-head" { "Codes from your telephone" }
            @match &view.codes {
                Some(since) => {
                    p { "Set up on " (since) "." }
                    @if view.confirmed { details.more { summary { "Remove the codes" } (form(frame, "codes-remove", &remove)) } }
                },
                None if !view.may_codes => p { "Your clinic has turned codes off." },
                None => {
                    p { "Any app for one-time codes on your telephone shows six digits that change every 30 seconds. It needs no network." }
                    @if view.confirmed { (form(frame, "codes", &set_up)) }
                },
            }
        }
    }
}

fn passkeys(frame: &Frame, view: &SecondFactorView) -> Markup {
    html! {
        section.card aria-labelledby="passkeys-head" {
            h2 id="passkeys-head" { "Passkeys" }
            p { "A passkey is kept by this device, your telephone or a security key. It signs you in by fingerprint, face or PIN of the device, without name and password." }
            @if !view.passkeys.is_empty() { ul.sessions { @for row in &view.passkeys { (passkey(frame, view, row)) } } }
            @if !view.may_passkeys { p { "Your clinic has turned passkeys off: no new one can be added." } }
            @else if !view.passkeys_here { (elsewhere(view)) }
            @else if view.confirmed { (new_passkey(frame, view)) }
        }
    }
}

fn passkey(frame: &Frame, view: &SecondFactorView, row: &PasskeyRow) -> Markup {
    let remove = html! { (parts::hidden(PASSKEY, &row.key)) button type="submit" { "Remove" span.sr { ": " (row.name) } } };
    html! {
        li {
            span { strong { (row.name) } ", for " (row.place) ". " (row.words) "." }
            @if view.confirmed { (form(frame, "passkey-remove", &remove)) }
        }
    }
}

/// Why none can be made here.
fn elsewhere(view: &SecondFactorView) -> Markup {
    html! {
        p.message.note { strong { "Not at this address: " } "browsers make passkeys for names only, not for numbers. "
            @if view.passkey_addresses.is_empty() { "This computer is served under no name that the program knows: see the manual." }
            @else {
                "Open the page as "
                @for (n, address) in view.passkey_addresses.iter().enumerate() { @if n > 0 { " or " } a.own-address href={ (address) (PATH) } { (address) } }
                " and sign in there."
            }
        }
    }
}

fn new_passkey(frame: &Frame, view: &SecondFactorView) -> Markup {
    let name = Field::new(PASSKEY_NAME, "Name of the new passkey", What::Text)
        .needed()
        .hint("By which you know it again, such as “tablet, cast room”.");
    form(
        frame,
        "passkey-add",
        &html! {
            (parts::field(&view.filled, &name))
            (passkey_parts("new", "Add a passkey", view.missing))
        },
    )
}

fn recovery(frame: &Frame, view: &SecondFactorView) -> Markup {
    let contents = html! { button type="submit" { "Make new recovery codes" } };
    let left = words::count(view.recovery_left as i64, "recovery code is", "recovery codes are");
    html! {
        section.card aria-labelledby="recovery-head" {
            h2 id="recovery-head" { "Recovery codes" }
            @if view.recovery_left < 3 { p.message.warning { (left) " left. Make new ones." } } @else { p { (left) " left." } }
            @if view.confirmed { p { "New ones make all earlier ones useless." } (form(frame, "recovery", &contents)) }
        }
    }
}

/// What happened to the ways in which a person signs in.
pub(crate) fn history(rows: &[AccountEventRow]) -> Markup {
    html! {
        @if !rows.is_empty() {
            section.card aria-labelledby="events-head" {
                h2 id="events-head" { "What happened" }
                ul.plain.account-events { @for row in rows { li {
                    strong { (row.what) } ", " (row.when) ", " (row.who) @if let Some(why) = &row.why { ": " (why) } "."
                } } }
            }
        }
    }
}

/// The page on which codes are set up.
#[must_use]
pub fn new_codes(frame: &Frame, view: &NewCodesView) -> Markup {
    let confirm =
        html! { (code_field(&view.filled, CodeKind::Time)) button.primary type="submit" { "Confirm" } };
    let body = html! {
        div.narrow {
            h1 { "Set up codes" }
            (parts::error_summary(&view.filled))
            ol.device-steps {
                li { "Open the app for one-time codes on your telephone and scan this picture."
                    div.device-address { (qr::named_picture(&view.address, "Secret for the app, as a picture for the camera")) }
                    p { "Or type this secret there (time-based, 6 digits, 30 seconds):" }
                    p.secret { code { (view.secret) } }
                }
                li { "Type the code that the app shows now. Only then do codes count." (form(frame, "codes-confirm", &confirm)) }
            }
            p.hint { "Show this page to nobody: whoever has the secret has your codes. It is not shown again." }
            p.actions { a.button href=(PATH) { "Cancel" } }
        }
    };
    frame::page(frame, HelpTopic::SecondFactor, "Set up codes", &body)
}

/// The page that shows recovery codes, once.
#[must_use]
pub fn recovery_codes(frame: &Frame, view: &RecoveryCodesView) -> Markup {
    let body = html! {
        div.narrow {
            h1 { "Your recovery codes" }
            p.lead { "Each works once in place of a code or a passkey, for instance when the telephone is lost." }
            section.card {
                ul.recovery-codes { @for code in &view.codes { li { code { (code) } } } }
                p { (view.name) " · " (frame.clinic_name) }
            }
            p { strong { "They are not shown again." } " Print this page or write them down now, and keep them away from the telephone and from your password." }
            p.actions { a.button.primary href="/" { "I have saved them" } a.button href=(PATH) { "Second factor" } }
        }
    };
    frame::page(frame, HelpTopic::SecondFactor, "Your recovery codes", &body)
}
