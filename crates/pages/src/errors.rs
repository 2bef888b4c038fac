//! What the person reads when something did not work.

use crate::{Frame, frame};
use maud::{Markup, html};

/// What happened.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Trouble {
    /// There is no such page or child.
    NotFound,
    /// What was sent cannot be taken, and why.
    Refused(String),
    /// The form was too old or not ours.
    Stale,
    /// Somebody else wrote meanwhile, and what that means.
    Conflict(String),
    /// Too many tries in a short time.
    TooMany,
    /// What was sent is too large, and the limit in words.
    TooLarge(String),
    /// The records file is damaged, and what was found.
    Damaged(String),
    /// The disk is full.
    DiskFull,
    /// Another program holds the records.
    Busy,
    /// The program made a mistake; the word by which it is found in the log.
    Fault(String),
}

impl Trouble {
    /// The HTTP status that goes with it.
    #[must_use]
    pub const fn status(&self) -> u16 {
        match self {
            Self::NotFound => 404,
            Self::Refused(_) => 422,
            Self::Stale => 403,
            Self::Conflict(_) => 409,
            Self::TooMany => 429,
            Self::TooLarge(_) => 413,
            Self::Busy => 503,
            Self::DiskFull => 507,
            Self::Damaged(_) | Self::Fault(_) => 500,
        }
    }

    const fn title(&self) -> &'static str {
        match self {
            Self::NotFound => "There is no such page",
            Self::Refused(_) => "This was not accepted",
            Self::Stale => "This form is too old",
            Self::Conflict(_) => "Somebody else wrote meanwhile",
            Self::TooMany => "Too many tries",
            Self::TooLarge(_) => "This is too large",
            Self::Damaged(_) => "The records file is damaged",
            Self::DiskFull => "The disk is full",
            Self::Busy => "The records are in use by another program",
            Self::Fault(_) => "The program made a mistake",
        }
    }

    /// Whether anything was saved, and what to do now.
    const fn advice(&self) -> &'static str {
        match self {
            Self::NotFound => {
                "The address may be mistyped, or it belongs to another clinic's record. Find the child by name or number instead."
            }
            Self::Refused(_) => "Nothing was saved. Go back, change what is named above, and send it again.",
            Self::Stale => {
                "Nothing was saved. Go back, load the form again and send it once more; you may have to sign in first."
            }
            Self::Conflict(_) => {
                "Nothing is lost: what both of you wrote stands. Look at the child's page and settle what differs."
            }
            Self::TooMany => "Wait a minute, then try again.",
            Self::TooLarge(_) => "Nothing was saved. Split it into smaller parts.",
            Self::Damaged(_) => {
                "Nothing more is written, so that nothing gets worse. Do not delete anything. Keep a copy of the whole data folder, then restore the last backup or have the file looked at."
            }
            Self::DiskFull => {
                "This was not saved; everything saved before is safe. Free some space, then send it again."
            }
            Self::Busy => {
                "This was not saved. Close the other program that works on the same data folder, then send it again."
            }
            Self::Fault(_) => {
                "What you sent may not have been saved: look at the child's page before sending it again. Note it on paper meanwhile."
            }
        }
    }

    fn detail(&self) -> Option<&str> {
        match self {
            Self::Refused(text) | Self::Conflict(text) | Self::TooLarge(text) | Self::Damaged(text) => {
                Some(text)
            }
            _ => None,
        }
    }
}

/// The page for a trouble. Answer it with [`Trouble::status`].
#[must_use]
pub fn error(frame: &Frame, trouble: &Trouble) -> Markup {
    let body = html! {
        div.narrow.trouble {
            h1 { (trouble.title()) }
            @if let Some(detail) = trouble.detail() { p.lead { (detail) } }
            p { (trouble.advice()) }
            @if let Trouble::Fault(word) = trouble { p { "In the log this is " code { (word) } "." } }
            @if frame.user.is_some() {
                p.actions { a.button href="/day" { "The day" } " " a.button href="/find" { "Find a child" } }
            }
        }
    };
    frame::page(frame, trouble.title(), &body)
}
