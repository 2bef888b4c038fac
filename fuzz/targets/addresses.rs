//! Addresses: the name of a draft, the path that a sign-in leads on to, the parts of a path and a query.
#![no_main]

use libfuzzer_sys::fuzz_target;
use plantigrade::{access_noting, drafts::DraftForm, fuzzing};

fuzz_target!(|text: &str| {
    if let Some(form) = DraftForm::of(text) {
        assert!(text.len() <= 300 && form.name == text);
        for path in [&form.page, form.path()] {
            is_own(path);
        }
    }
    if let Some((path, named)) = text.split_once('\n')
        && let Some(form) = DraftForm::sent_to(path, named)
    {
        assert_eq!(form.path(), path.split('?').next().unwrap_or_default());
    }
    let then = fuzzing::own_path(text);
    assert!(then == "/" || then == text);
    is_own(then);
    assert!(access_noting::decoded(text).len() <= 3 * text.len());
    let values: usize = access_noting::query_values(text).map(|value| value.len()).sum();
    assert!(values <= 3 * text.len());
});

/// A path within this program: a browser does not go to another site by it.
fn is_own(path: &str) {
    assert!(path.starts_with('/') && !path.starts_with("//") && !path.starts_with("/\\"), "{path:?}");
    assert!(!path.contains(['\r', '\n', '\t']), "{path:?}");
}
