//! Words for a tenotomy that are not plain: the tendon's short forms, which stand for the cut as often as
//! for the tendon itself, and mentions of a tenotomy in a text that is not a list of what was done.
//!
//! "TA + POP 6" is the tenotomy and its cast (common practice, no source); "TA" by itself may be the
//! tendon, and "TAL" an open lengthening, so that both are asked about. "Percutaneous" in front settles
//! either. What is only mentioned is never taken as done: it becomes a question.

use super::lists::TENOTOMY;
use crate::text::fold;
use std::sync::OnceLock;

/// What the words of one part of a cell leave open about the tendon.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum TendonWords {
    /// They do not name the tendon, or name its tenotomy in plain words.
    Plain,
    /// The percutaneous cut.
    Cut,
    /// "TA" and nothing else that was done: the tenotomy where a cast stands beside it.
    Short,
    /// The tendon, and nobody can tell what was done to it.
    Unclear,
}

/// The tendon of the heel in short or in full.
const TENDON: &[&str] = &[
    "ta",
    "tal",
    "eta",
    "tendo",
    "tendon",
    "achilles",
    "tendoachilles",
    "achille",
    "dachille",
    "tendine",
    "tendao",
    "aquiles",
    "asil",
    "achillessehne",
    "achillespees",
];
/// Beside it, and through the skin: the tenotomy.
const THROUGH_THE_SKIN: &[&str] = &[
    "perc",
    "percut",
    "percutaneous",
    "percutanea",
    "percutaneo",
    "percutanee",
    "perkutan",
    "percutaan",
    "perkutane",
    "subcutaneous",
];
/// Beside it: something was done to it that may be the cut or an open operation.
const DONE_TO_IT: &[&str] = &[
    "release",
    "released",
    "cut",
    "section",
    "seccion",
    "division",
    "divided",
    "lengthening",
    "lengthened",
    "allongement",
    "alargamiento",
    "alongamento",
    "allungamento",
    "verlangerung",
    "verlenging",
    "durchtrennung",
    "uzatma",
];
/// A word about how the tendon is, or about handling it, beside which nothing was cut.
const HOW_IT_IS: &[&str] =
    &["ok", "well", "fine", "good", "stretching", "manipulation", "check", "checked", "examined"];

/// Whether a word belongs to the tendon and what is done to it.
pub(super) fn is_known(word: &str) -> bool {
    [TENDON, THROUGH_THE_SKIN, DONE_TO_IT].iter().any(|list| list.contains(&word))
}

/// What the words of a part say of the tendon; `tenotomy` and `cast` say what else they name.
pub(super) fn of_words(words: &[&str], tenotomy: bool, cast: bool) -> TendonWords {
    let any = |list: &[&str]| words.iter().any(|word| list.contains(word));
    if tenotomy {
        return if is_tenotomy_cast(words) { TendonWords::Unclear } else { TendonWords::Plain };
    }
    if !any(TENDON) {
        let alone = any(THROUGH_THE_SKIN) || any(DONE_TO_IT);
        return if alone { TendonWords::Unclear } else { TendonWords::Plain };
    }
    match () {
        () if any(HOW_IT_IS) && !any(&["done"]) => TendonWords::Plain,
        () if any(THROUGH_THE_SKIN) => TendonWords::Cut,
        () if any(DONE_TO_IT) => TendonWords::Unclear,
        // "TA and POP" names two things; "TA cast" may be one.
        () if cast && joined_with_cast(words) => TendonWords::Cut,
        () if !cast && words.contains(&"ta") => TendonWords::Short,
        () => TendonWords::Unclear,
    }
}

/// "Tenotomy cast" with nothing between: the two, or the cast that follows a tenotomy of another day.
fn is_tenotomy_cast(words: &[&str]) -> bool {
    let said = |word: &&&str| TENOTOMY.contains(*word) || super::lists::CAST.contains(*word);
    let mut said = words.iter().filter(said);
    let pair = (said.next().copied(), said.next().copied(), said.next());
    let next_to = words.windows(2).any(|pair| pair == ["tenotomy", "cast"]);
    next_to && pair == (Some("tenotomy"), Some("cast"), None)
}

/// "TA and POP", "POP with TA": the short form, a joining word and the cast.
fn joined_with_cast(words: &[&str]) -> bool {
    const AND: &[&str] =
        &["and", "with", "y", "et", "und", "con", "com", "avec", "mit", "met", "en", "ve", "dan", "na"];
    let at = |wanted: &dyn Fn(&str) -> bool| words.iter().position(|word| wanted(word));
    let (ta, cast) = (at(&|word| word == "ta"), at(&|word| super::lists::CAST.contains(&word)));
    let (Some(ta), Some(cast)) = (ta, cast) else { return false };
    words[ta.min(cast)..ta.max(cast)].iter().any(|word| AND.contains(word))
}

/// Beginnings and parts of words for a tenotomy, in the Latin script, folded.
const STEMS: &[&str] = &["tenotom", "achillotom", "achillotenotom", "asilotom", "tenotmy"];

/// The same in other scripts, and phrases; matched anywhere in the folded text. Collected from general
/// clinical usage (common practice, no source).
const PHRASES: &[&str] = &[
    "тенотом",
    "ахиллотом",
    "ахилотом",
    "قطع وتر",
    "قطع الوتر",
    "بضع وتر",
    "بضع الوتر",
    "टेनोटॉमी",
    "टेनोटोमी",
    "টেনোটমি",
    "টেনোটোমি",
    "ቴኖቶሚ",
    "跟腱切断",
    "跟腱切斷",
    "跟腱延长",
    "跟腱松解",
    "kukata kano",
    "kukatwa kano",
    "potong tendon",
    "heel cord cut",
    "heelcord cut",
    "heel cord release",
    "heelcord release",
];

/// Words that deny what follows them.
const DENIED: &[&str] = &[
    "no", "not", "without", "sin", "sem", "sans", "kein", "keine", "ohne", "senza", "geen", "zonder",
    "tidak", "tanpa", "yok", "hakuna", "bila",
];

fn folded_phrases() -> &'static [String] {
    static FOLDED: OnceLock<Vec<String>> = OnceLock::new();
    FOLDED.get_or_init(|| PHRASES.iter().map(|phrase| fold(phrase)).collect())
}

/// Whether a text names a tenotomy, other than to deny it: in a remark, or in a column that is not read.
pub(crate) fn is_mentioned(text: &str) -> bool {
    if !may_mention(text) {
        return false;
    }
    let whole = fold(text);
    if folded_phrases().iter().any(|phrase| whole.contains(phrase.as_str())) {
        return true;
    }
    let words: Vec<&str> = whole.split(' ').collect();
    let denied = |at: usize| at.checked_sub(1).is_some_and(|before| DENIED.contains(&words[before]));
    (0..words.len()).any(|at| !denied(at) && (is_plain(words[at]) || is_tendon_treated(&words, at)))
}

/// Whether a tenotomy may be meant by words that are not understood: as [`is_mentioned`], or where the
/// tendon stands by itself.
pub(crate) fn may_be_meant(text: &str) -> bool {
    is_mentioned(text) || fold(text).split(' ').any(|word| TENDON.contains(&word))
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
    (TENOTOMY.contains(&word) && word != "pat") || STEMS.iter().any(|stem| word.contains(stem))
}

/// "TA 18/3/24", "perc TA", "TA release", "allongement du tendon d'Achille".
fn is_tendon_treated(words: &[&str], at: usize) -> bool {
    if !TENDON.contains(&words[at]) {
        return false;
    }
    let near = &words[at.saturating_sub(3)..(at + 4).min(words.len())];
    let treated = |list: &[&str]| near.iter().any(|word| list.contains(word));
    let dated = words.get(at + 1).is_some_and(|next| next.starts_with(|c: char| c.is_ascii_digit()));
    let done = words.get(at + 1).is_some_and(|next| matches!(*next, "done" | "on" | "today"));
    treated(THROUGH_THE_SKIN)
        || treated(DONE_TO_IT)
        || (matches!(words[at], "ta" | "tal") && (dated || done || words.len() == 1))
}
