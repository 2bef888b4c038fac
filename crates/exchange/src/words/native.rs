//! Words in cells in scripts other than the Latin one: which foot, which sex, yes or no.
//!
//! Only what is certain stands here. A word not listed is not understood and is asked about.

use crate::text::fold;
use record::{Sex, Side, Sides};
use std::{collections::HashMap, sync::OnceLock};

const RIGHT: &[&str] = &[
    // Russian
    "правая",
    "правый",
    "правое",
    "справа",
    "прав",
    "правая стопа", // Arabic
    "يمين",
    "اليمين",
    "يمنى",
    "اليمنى",
    "أيمن",
    "الأيمن",
    "القدم اليمنى", // Hindi
    "दायाँ",
    "दायां",
    "दाया",
    "दायीं",
    "दाएं",
    "दाएँ",
    "दाईं",
    "दाहिना",
    "दाहिनी",
    "दायां पैर",
    "दायाँ पैर",
    "दाहिना पैर",
    // Bengali
    "ডান",
    "ডান পা", // Amharic
    "ቀኝ",
    "ቀኝ እግር", // Chinese
    "右",
    "右侧",
    "右側",
    "右足",
    "右脚",
];
const LEFT: &[&str] = &[
    // Russian
    "левая",
    "левый",
    "левое",
    "слева",
    "лев",
    "левая стопа", // Arabic
    "يسار",
    "اليسار",
    "يسرى",
    "اليسرى",
    "أيسر",
    "الأيسر",
    "القدم اليسرى", // Hindi
    "बायाँ",
    "बायां",
    "बाया",
    "बायीं",
    "बाएं",
    "बाएँ",
    "बाईं",
    "बायां पैर",
    "बायाँ पैर", // Bengali
    "বাম",
    "বাম পা",
    "বাঁ",
    "বাঁ পা", // Amharic
    "ግራ",
    "ግራ እግር", // Chinese
    "左",
    "左侧",
    "左側",
    "左足",
    "左脚",
];
const BOTH: &[&str] = &[
    // Russian
    "обе",
    "обе стопы",
    "с обеих сторон",
    "двусторонняя",
    "двусторонний",
    "двустороннее",
    "билатерально",
    // Arabic
    "كلاهما",
    "كلتاهما",
    "كلتا القدمين",
    "القدمين",
    "الجهتين",
    "ثنائي الجانب", // Hindi
    "दोनों",
    "दोनो",
    "दोनों पैर", // Bengali
    "উভয়",
    "উভয় পা",
    "দুই পা", // Amharic
    "ሁለቱም", // Chinese
    "双侧",
    "雙側",
    "双足",
    "双",
    "两侧",
];
const MALE: &[&str] = &[
    "мужской",
    "муж",
    "мальчик",
    "м",
    "ذكر",
    "ولد",
    "पुरुष",
    "लड़का",
    "बालक",
    "ছেলে",
    "পুরুষ",
    "ወንድ",
    "男",
    "男孩",
    "男性",
];
const FEMALE: &[&str] = &[
    "женский",
    "жен",
    "девочка",
    "ж",
    "أنثى",
    "انثي",
    "بنت",
    "महिला",
    "स्त्री",
    "लड़की",
    "बालिका",
    "মেয়ে",
    "মহিলা",
    "ሴት",
    "女",
    "女孩",
    "女性",
];
const YES: &[&str] = &["да", "نعم", "हाँ", "हां", "হ্যাঁ", "አዎ", "是", "有"];
const NO: &[&str] = &["нет", "لا", "नहीं", "না", "አይ", "否", "无", "無"];

type Words<T> = HashMap<String, T>;

fn folded<T: Copy>(lists: &[(&[&str], T)]) -> Words<T> {
    lists.iter().flat_map(|&(words, means)| words.iter().map(move |word| (fold(word), means))).collect()
}

/// What is known of a word folded already; a word in Latin letters is never looked up.
fn look_up<T: Copy>(words: &Words<T>, folded: &str) -> Option<T> {
    if folded.is_ascii() { None } else { words.get(folded).copied() }
}

/// Which foot or feet.
pub(crate) fn sides(folded_word: &str) -> Option<Sides> {
    static WORDS: OnceLock<Words<Sides>> = OnceLock::new();
    let lists = [(RIGHT, Sides::from(Side::Right)), (LEFT, Sides::from(Side::Left)), (BOTH, Sides::Both)];
    look_up(WORDS.get_or_init(|| folded(&lists)), folded_word)
}

/// The sex.
pub(crate) fn sex(folded_word: &str) -> Option<Sex> {
    static WORDS: OnceLock<Words<Sex>> = OnceLock::new();
    look_up(WORDS.get_or_init(|| folded(&[(MALE, Sex::Male), (FEMALE, Sex::Female)])), folded_word)
}

/// Yes or no.
pub(crate) fn yes_no(folded_word: &str) -> Option<bool> {
    static WORDS: OnceLock<Words<bool>> = OnceLock::new();
    look_up(WORDS.get_or_init(|| folded(&[(YES, true), (NO, false)])), folded_word)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::panic)]
    use super::*;
    use std::collections::BTreeSet;

    /// The wrong side is one of the two worst errors: no word means two things once it is folded.
    #[test]
    fn no_word_means_two_things() {
        let groups = [&[RIGHT, LEFT, BOTH][..], &[MALE, FEMALE], &[YES, NO]];
        for lists in groups {
            let sets: Vec<BTreeSet<String>> =
                lists.iter().map(|list| list.iter().map(|word| fold(word)).collect()).collect();
            for (at, one) in sets.iter().enumerate() {
                assert!(one.iter().all(|word| !word.trim().is_empty()), "{one:?}");
                for other in &sets[at + 1..] {
                    let shared: Vec<_> = one.intersection(other).collect();
                    assert!(shared.is_empty(), "{shared:?}");
                }
            }
        }
    }
}
