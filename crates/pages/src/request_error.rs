//! The page shown when a request fails.

use crate::{
    Frame, HelpTopic, Here, frame,
    restricted::{self, RestrictedRefused},
};
use maud::{Markup, html};
use record::Right;

/// What a person may not do, and whom to ask.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RightRefused {
    /// The right that is lacking.
    pub right: Right,
    /// The names of the leads, who give roles.
    pub leads: Vec<String>,
}

/// Why a request failed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum RequestError {
    /// The page or child does not exist.
    NotFound,
    /// The data sent is not accepted, with the reason.
    Refused(String),
    /// A document cannot be made for this child or on this paper, with the reason.
    NotMade(String),
    /// The form has expired or does not come from this program.
    Stale,
    /// The form was filled in by somebody else, by this name, and is kept as their draft.
    FilledBy(String),
    /// The person's roles do not allow it.
    NoRight(Box<RightRefused>),
    /// The record is restricted, and the person is not named.
    Restricted(Box<RestrictedRefused>),
    /// Somebody else wrote in the meantime, with what that means.
    Conflict(String),
    /// Too many attempts in a short time.
    TooMany,
    /// Too much is sent at the same time, with what, in words.
    Crowded(String),
    /// The data sent came too slowly.
    TooSlow,
    /// The data sent is too large, with the limit in words.
    TooLarge(String),
    /// The records file is damaged, with what was found.
    Damaged(String),
    /// The disk is full.
    DiskFull,
    /// Another program has locked the records.
    Busy,
    /// Nothing can be saved at present, with the reason.
    NotSavedNow(String),
    /// An internal error, with the code under which it is logged.
    Fault(String),
}

impl RequestError {
    /// The HTTP status code of the response.
    #[must_use]
    pub const fn status(&self) -> u16 {
        match self {
            Self::NotFound => 404,
            Self::Refused(_) | Self::NotMade(_) => 422,
            Self::Stale | Self::FilledBy(_) | Self::NoRight(_) | Self::Restricted(_) => 403,
            Self::Conflict(_) => 409,
            Self::TooMany => 429,
            Self::TooLarge(_) => 413,
            Self::TooSlow => 408,
            Self::Crowded(_) | Self::Busy | Self::NotSavedNow(_) => 503,
            Self::DiskFull => 507,
            Self::Damaged(_) | Self::Fault(_) => 500,
        }
    }

    const fn title(&self) -> &'static str {
        match self {
            Self::NotFound => "Page not found",
            Self::Refused(_) => "This was not accepted",
            Self::NotMade(_) => "This document cannot be made",
            Self::Stale => "This form has expired",
            Self::FilledBy(_) => "This form was filled in by somebody else",
            Self::NoRight(_) => "Your role does not allow this",
            Self::Restricted(_) => "This record is restricted",
            Self::Conflict(_) => "Somebody else changed this in the meantime",
            Self::TooMany => "Too many attempts",
            Self::Crowded(_) => "Too much at the same time",
            Self::TooSlow => "This came too slowly",
            Self::TooLarge(_) => "This is too large",
            Self::Damaged(_) => "The records file is damaged",
            Self::DiskFull => "The disk is full",
            Self::Busy => "The records are in use by another program",
            Self::NotSavedNow(_) => "Nothing can be saved now",
            Self::Fault(_) => "The program made a mistake",
        }
    }

    /// States whether anything was saved, and what to do now.
    const fn advice(&self) -> &'static str {
        match self {
            Self::NotFound => {
                "The address may be mistyped or belong to another clinic. Find the child by name or number instead."
            }
            Self::Refused(_) => "Nothing was saved. Go back, correct what is named above, and send it again.",
            Self::NotMade(_) => "Nothing in the records was changed.",
            Self::Stale => {
                "Nothing was saved. Go back, reload the form and send it again. You may have to sign in first."
            }
            Self::FilledBy(_) => {
                "Nothing was saved, because an entry is signed by the person who saves it. The form is kept as a draft of the person who filled it in, who can switch to this device, check it and save it."
            }
            Self::NoRight(_) | Self::Restricted(_) => "Nothing was shown or saved.",
            Self::Conflict(_) => {
                "Nothing is lost: what both of you wrote is saved. Check the child's page and resolve the differences."
            }
            Self::TooMany => "Wait a minute, then try again.",
            Self::Crowded(_) => "Nothing was saved. Wait a moment, then send it again.",
            Self::TooSlow => {
                "Nothing was saved. Check the connection of this device to the clinic’s network, then send it again."
            }
            Self::TooLarge(_) => "Nothing was saved. Split it into smaller parts.",
            Self::Damaged(_) => {
                "The program has stopped writing, to prevent further damage. Do not delete anything. Copy the whole data folder, then restore the last backup or have the file examined."
            }
            Self::DiskFull => {
                "This was not saved. Everything saved earlier is safe. Free some disk space, then send it again."
            }
            Self::Busy => {
                "This was not saved. Close the other program that is using the data folder, then send it again."
            }
            Self::NotSavedNow(_) => {
                "What you entered was not saved: keep a note of it on paper. The page on the records says what has to be done."
            }
            Self::Fault(_) => {
                "What you sent may not have been saved. Check the child's page before sending it again, and keep a note on paper until then."
            }
        }
    }

    fn detail(&self) -> Option<&str> {
        match self {
            Self::Refused(text)
            | Self::NotMade(text)
            | Self::Conflict(text)
            | Self::TooLarge(text)
            | Self::Crowded(text)
            | Self::Damaged(text)
            | Self::NotSavedNow(text) => Some(text),
            Self::FilledBy(name) => Some(name),
            _ => None,
        }
    }
}

/// The page for a failed request. Send it with the status [`RequestError::status`].
#[must_use]
pub fn error(frame: &Frame, error: &RequestError) -> Markup {
    let body = html! {
        div.narrow.request-error {
            h1 { (error.title()) }
            @if let Some(detail) = error.detail() { p.lead { (detail) } }
            p { (error.advice()) }
            @if let RequestError::NoRight(refused) = error { (whom_to_ask(refused)) }
            @if let RequestError::Restricted(refused) = error { (restricted::open_form(frame, refused)) }
            @if let RequestError::Fault(code) = error { p { "Code in the log: " code { (code) } "." } }
            @if frame.user.is_some() {
                p.actions { @for here in [Here::Day, Here::Find, Here::Theatre, Here::Results].into_iter().filter(|here| here.needs().is_none_or(|right| frame.rights.has(right))) {
                    a.button href=(here.href()) { (here.words()) } " "
                } }
            }
        }
    };
    frame::page(frame, HelpTopic::Messages, error.title(), &body)
}

/// Which role is needed, and who can give it.
fn whom_to_ask(refused: &RightRefused) -> Markup {
    let roles: Vec<&str> = refused.right.roles().map(record::Role::words).collect();
    html! {
        p.lead { "You may not " (refused.right.words()) "." }
        p { "It needs the role " (roles.join(" or ")) ". Roles are given by a lead of this clinic"
            @if !refused.leads.is_empty() { ": " (refused.leads.join(", ")) } "."
        }
    }
}
