//! Pages before signing in, errors, and the manual.

use super::{frame, people};
use maud::Markup;
use pages::{Frame, Here, PasskeySignIn, RequestError, SignInView, StartView, fields::Filled};
use record::Rights;

pub fn signed_out() -> Vec<(&'static str, Markup)> {
    let frame = Frame { user: None, rights: Rights::NONE, ..frame(Here::Elsewhere) };
    let start = StartView {
        may_restore: true,
        token: "one-time".into(),
        password_hint: "At least 15 characters.",
        filled: Filled::default()
            .with("name", "Hanne Kvist")
            .wrong("password", "The password needs at least 15 characters."),
    };
    let plain = SignInView {
        filled: Filled::default(),
        then: "/day".into(),
        kept: None,
        can_unlock: false,
        demo_account: Some(("guest".into(), "three-words-here".into())),
        demo_others: vec![("liv".into(), "clinic coordinator".into())],
        passkeys: PasskeySignIn::At("http://localhost:8460".into()),
    };
    let wrong = SignInView {
        filled: Filled::default()
            .with("sign_in_name", "hanne")
            .wrong("", "Name and password do not belong together."),
        then: "/day".into(),
        kept: None,
        can_unlock: false,
        demo_account: None,
        demo_others: Vec::new(),
        passkeys: PasskeySignIn::Here,
    };
    vec![
        ("start", pages::start(&frame, &start)),
        ("sign-in", pages::sign_in(&frame, &plain)),
        ("sign-in-refused", pages::sign_in(&frame, &wrong)),
    ]
}

pub fn request_errors() -> Vec<(&'static str, Markup)> {
    let frame = frame(Here::Elsewhere);
    let page = |error: &RequestError| pages::error(&frame, error);
    vec![
        ("error-not-found", page(&RequestError::NotFound)),
        (
            "error-refused",
            page(&RequestError::Refused(
                "foot length 20 mm cannot be right: 50 to 260 mm is expected.".into(),
            )),
        ),
        ("error-stale", page(&RequestError::Stale)),
        (
            "error-no-right",
            pages::error(
                &people::coordinator(Here::Elsewhere),
                &RequestError::NoRight(Box::new(pages::RightRefused {
                    right: record::Right::SeeClinical,
                    leads: vec!["Hanne Kvist".into(), "Ole Brandt".into()],
                })),
            ),
        ),
        (
            "error-conflict",
            page(&RequestError::Conflict(
                "Two entries say different things about the right foot on 14 May 2024.".into(),
            )),
        ),
        ("error-too-many", page(&RequestError::TooMany)),
        (
            "error-too-large",
            page(&RequestError::TooLarge(
                "A note has at most 20,000 characters; this one has 1,048,576.".into(),
            )),
        ),
        (
            "error-damaged",
            page(&RequestError::Damaged("Entry 1,207 does not follow from the one before it.".into())),
        ),
        (
            "error-not-saved-now",
            page(&RequestError::NotSavedNow(
                "The records end at entry 1,204, but entry 1,219 was saved.".into(),
            )),
        ),
        ("error-disk-full", page(&RequestError::DiskFull)),
        ("error-busy", page(&RequestError::Busy)),
        ("error-fault", page(&RequestError::Fault("f3a9".into()))),
    ]
}

/// The parts of the manual; the one that is open to everybody as a stranger sees it.
pub fn manual() -> Vec<(&'static str, Markup)> {
    let (known, stranger) = (frame(Here::Elsewhere), Frame { user: None, ..frame(Here::Elsewhere) });
    pages::HelpPart::ALL
        .into_iter()
        .map(|part| {
            let name: &'static str = format!("help-{}", part.key()).leak();
            (name.trim_end_matches('-'), pages::help(if part.is_open() { &stranger } else { &known }, part))
        })
        .collect()
}
