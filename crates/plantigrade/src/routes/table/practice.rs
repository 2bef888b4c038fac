//! Routes of learning to score and of scoring alike.
//!
//! A drawn foot is no child, so that everybody who signs in may practise; answers are seen by their person alone.

use super::{CLINICAL, SETTINGS, SIGNED_IN};
use crate::routes::{Route, form, looks, practice, sends};
use axum::routing::{get, post};

/// Those at which a page is drawn.
pub(super) fn pages() -> Vec<Route> {
    vec![
        looks(pages::practice::LEARN_PATH, SIGNED_IN, get(practice::learn)),
        looks("/practice/sign/{sign}", SIGNED_IN, get(practice::exercise)),
        looks("/practice/answer/{number}", SIGNED_IN, get(practice::stored)),
        looks(pages::practice::LEVELS_PATH, SIGNED_IN, get(practice::levels)),
        form(
            "/practice/levels/{sign}/{level}",
            SETTINGS,
            SETTINGS,
            get(practice::level).post(practice::change_level),
        ),
        looks(pages::practice::PROGRESS_PATH, SIGNED_IN, get(practice::own_progress)),
        looks(pages::practice::RECORD_PATH, SIGNED_IN, get(practice::own_record)),
        looks(pages::practice::PHOTOGRAPHS_PATH, CLINICAL, get(practice::photographs)),
        form(
            "/child/{id}/photographs/{entry}/score/{sign}",
            CLINICAL,
            CLINICAL,
            get(practice::photograph).post(practice::save_photograph),
        ),
        // Names children, the class of their last score, and people.
        looks(pages::practice::TOGETHER_PATH, CLINICAL, get(practice::together)),
    ]
}

/// Those that save, redirect or return a file, and draw a page only if something is refused.
pub(super) fn actions() -> Vec<Route> {
    vec![sends(pages::practice::ANSWER_PATH, SIGNED_IN, post(practice::answer))]
}
