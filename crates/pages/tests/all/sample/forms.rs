//! Registering a child, and every small form.

use super::{frame, in_casts, today};
use maud::Markup;
use pages::{
    AddKind, AddView, Here, PossibleChild, RegisterView,
    fields::{self, Filled},
};

pub fn forms(given: &str) -> Vec<(&'static str, Markup)> {
    let casts = in_casts(given);
    let blank = RegisterView { filled: Filled::default(), possible: Vec::new() };
    let again = RegisterView {
        filled: Filled::default()
            .with("given_name", given)
            .with("born", "2024-03-26")
            .with("sides", "both")
            .wrong("born", "The day of birth lies after the day of registration."),
        possible: vec![PossibleChild {
            who: casts.who(),
            why: "same day of birth, and the name sounds alike".into(),
        }],
    };
    let mut all = vec![
        ("register", pages::register(&frame(Here::Register), &blank)),
        ("register-again", pages::register(&frame(Here::Register), &again)),
    ];
    for &kind in AddKind::all() {
        let filled = Filled::default().with("on", today().to_string());
        let filled =
            if kind.key() == "problem" { filled.wrong("what", "Problem: required.") } else { filled };
        let filled = if kind.key() == "registration" {
            fields::values_of(&casts.entries[0].body).with("on", today().to_string())
        } else {
            filled
        };
        let view = AddView {
            who: casts.who(),
            kind,
            filled,
            once: "once".into(),
            follows: None,
            both_feet: kind.takes_both_feet(),
        };
        let name: &'static str = Box::leak(format!("add-{}", kind.key()).into_boxed_str());
        all.push((name, pages::add(&frame(Here::Elsewhere), &view)));
    }
    all
}
