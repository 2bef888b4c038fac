//! Whole cells that mean one thing, looked up before single words.

use super::{Act, CastSaid};
use crate::lists::PHRASE_LISTS;
use record::{CastPurpose, ProblemKind, Procedure, RemovalReason};
use std::{collections::HashMap, sync::LazyLock};

static ACTS: LazyLock<HashMap<&'static str, Act>> = LazyLock::new(|| {
    let lists = PHRASE_LISTS.phrase.iter().filter_map(|list| Some((act(&list.act)?, &list.words)));
    lists.flat_map(|(act, words)| words.words().map(move |word| (word, act.clone()))).collect()
});

/// What a whole cell, folded, means.
pub(super) fn phrase(whole: &str) -> Option<&'static Act> {
    ACTS.get(whole)
}

/// An act by its key in the list of phrases.
fn act(key: &str) -> Option<Act> {
    if let Some((act, kind)) = key.split_once(": ") {
        return match act {
            "cast off" => RemovalReason::from_key(kind).map(Act::CastOff),
            "cast" => CastPurpose::from_key(kind)
                .map(|purpose| Act::Cast(CastSaid { purpose: Some(purpose), ..CastSaid::default() })),
            "surgery" => Procedure::from_key(kind).map(Act::Surgery),
            "problem" => ProblemKind::from_key(kind).map(Act::Problem),
            _ => None,
        };
    }
    Some(match key {
        "missed" => Act::Missed,
        "cast" => Act::Cast(CastSaid::default()),
        "tenotomy" => Act::Tenotomy,
        "brace fitted" => Act::Brace { fitted: true, regime: None, hours: None },
        "tenotomy only" => Act::TenotomyOnly,
        "tenotomy booked" => Act::TenotomyBooked,
        "brace stopped" => Act::BraceStopped,
        "new size" => Act::NewSize,
        "relapse" => Act::Relapse,
        "discharged" => Act::Discharged(false),
        "treatment completed" => Act::Discharged(true),
        "transferred" => Act::Transferred,
        "died" => Act::Died,
        "lost" => Act::Lost,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::panic)]
    use super::*;

    #[test]
    fn every_list_of_phrases_names_an_act() {
        for list in &PHRASE_LISTS.phrase {
            assert!(act(&list.act).is_some(), "{}", list.act);
        }
        assert_eq!(act("problem: none such"), None);
    }
}
