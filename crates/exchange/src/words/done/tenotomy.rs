//! Words for a tenotomy that are not plain: the tendon's short forms, which stand for the cut as often as
//! for the tendon itself, and mentions of a tenotomy in a text that is not a list of what was done.
//!
//! "TA + POP 6" is the tenotomy and its cast (common practice, no source); "TA" by itself may be the
//! tendon, and "TAL" an open lengthening, so that both are asked about. "Percutaneous" in front settles
//! either. What is only mentioned is never taken as done: it becomes a question.

use crate::{
    lists::{DONE_LISTS, WordSet},
    text::fold,
};

/// What the words of one part of a cell leave open about the tendon.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum TendonWords {
    /// They do not name the tendon, or name its tenotomy in plain words.
    Plain,
    /// The percutaneous cut.
    Cut,
    /// "TA" and nothing else that was done: the tenotomy where a cast comes with it.
    Short,
    /// The tendon, and nobody can tell what was done to it.
    Unclear,
}

/// Whether a word belongs to the tendon and what is done to it.
pub(super) fn is_known(word: &str) -> bool {
    let lists = &DONE_LISTS.tendon;
    [&lists.tendon, &lists.through_the_skin, &lists.done_to_it].iter().any(|list| list.has(word))
}

/// What the words of a part say of the tendon; `tenotomy` and `cast` say what else they name.
pub(super) fn of_words(words: &[&str], tenotomy: bool, cast: bool) -> TendonWords {
    let lists = &DONE_LISTS.tendon;
    let any = |list: &WordSet| words.iter().any(|word| list.has(word));
    if tenotomy {
        return if is_tenotomy_cast(words) { TendonWords::Unclear } else { TendonWords::Plain };
    }
    if !any(&lists.tendon) {
        let alone = any(&lists.through_the_skin) || any(&lists.done_to_it);
        return if alone { TendonWords::Unclear } else { TendonWords::Plain };
    }
    match () {
        () if any(&lists.how_it_is) && !words.contains(&"done") => TendonWords::Plain,
        () if any(&lists.through_the_skin) => TendonWords::Cut,
        () if any(&lists.done_to_it) => TendonWords::Unclear,
        // "TA and POP" names two things; "TA cast" may be one.
        () if cast && joined_with_cast(words) => TendonWords::Cut,
        () if !cast && words.contains(&"ta") => TendonWords::Short,
        () => TendonWords::Unclear,
    }
}

/// "Tenotomy cast" with nothing between: the two, or the cast that follows a tenotomy of another day.
fn is_tenotomy_cast(words: &[&str]) -> bool {
    let said = |word: &&&str| DONE_LISTS.tenotomy.has(word) || DONE_LISTS.cast.has(word);
    let mut said = words.iter().filter(said);
    let pair = (said.next().copied(), said.next().copied(), said.next());
    let next_to = words.windows(2).any(|pair| pair == ["tenotomy", "cast"]);
    next_to && pair == (Some("tenotomy"), Some("cast"), None)
}

/// "TA and POP", "POP with TA": the short form, a joining word and the cast.
fn joined_with_cast(words: &[&str]) -> bool {
    let at = |wanted: &dyn Fn(&str) -> bool| words.iter().position(|word| wanted(word));
    let (ta, cast) = (at(&|word| word == "ta"), at(&|word| DONE_LISTS.cast.has(word)));
    let (Some(ta), Some(cast)) = (ta, cast) else { return false };
    let between = words.get(ta.min(cast)..ta.max(cast)).unwrap_or_default();
    between.iter().any(|word| DONE_LISTS.tendon.and.has(word))
}

/// The short form of the tendon in a text, as it is written, where there is one: "TAL".
pub(crate) fn short_form(text: &str) -> Option<&str> {
    text.split(|c: char| !c.is_alphanumeric())
        .find(|word| matches!(fold(word).as_str(), "ta" | "tal" | "eta"))
}

/// Whether a text names a tenotomy, other than to deny it: in a remark, or in a column that is not read.
pub(crate) fn is_mentioned(text: &str) -> bool {
    if !may_mention(text) {
        return false;
    }
    let whole = fold(text);
    if DONE_LISTS.tendon.phrases.words().any(|phrase| whole.contains(phrase)) {
        return true;
    }
    let words: Vec<&str> = whole.split(' ').collect();
    let denied = |at: usize| {
        at.checked_sub(1).and_then(|at| words.get(at)).is_some_and(|word| DONE_LISTS.tendon.denied.has(word))
    };
    words
        .iter()
        .enumerate()
        .any(|(at, word)| !denied(at) && (is_plain(word) || is_tendon_treated(&words, at)))
}

/// Whether a tenotomy may be meant by words that are not understood: as [`is_mentioned`], or where the
/// tendon is named by itself.
pub(crate) fn may_be_meant(text: &str) -> bool {
    is_mentioned(text) || fold(text).split(' ').any(|word| DONE_LISTS.tendon.tendon.has(word))
}

/// Quick to say no: most cells are numbers, dates and names.
fn may_mention(text: &str) -> bool {
    if text.len() < 2 || !text.chars().any(char::is_alphabetic) {
        return false;
    }
    if !text.is_ascii() {
        return true;
    }
    const HINTS: &[&[u8]] = &[b"ten", b"achil", b"aquil", b"asil", b"ta", b"pat", b"kano", b"heel"];
    let lower = text.to_ascii_lowercase();
    HINTS.iter().any(|hint| lower.as_bytes().windows(hint.len()).any(|part| part == *hint))
}

fn is_plain(word: &str) -> bool {
    // PAT is a name as well.
    (DONE_LISTS.tenotomy.has(word) && word != "pat")
        || DONE_LISTS.tendon.stems.words().any(|stem| word.contains(stem))
}

/// "TA 18/3/24", "perc TA", "TA release", "allongement du tendon d'Achille".
fn is_tendon_treated(words: &[&str], at: usize) -> bool {
    let lists = &DONE_LISTS.tendon;
    let Some(&word) = words.get(at).filter(|word| lists.tendon.has(word)) else { return false };
    let near = words.get(at.saturating_sub(3)..(at + 4).min(words.len())).unwrap_or_default();
    let treated = |list: &WordSet| near.iter().any(|word| list.has(word));
    let dated = words.get(at + 1).is_some_and(|next| next.starts_with(|c: char| c.is_ascii_digit()));
    let done = words.get(at + 1).is_some_and(|next| matches!(*next, "done" | "on" | "today"));
    treated(&lists.through_the_skin)
        || treated(&lists.done_to_it)
        || (matches!(word, "ta" | "tal") && (dated || done || words.len() == 1))
}
