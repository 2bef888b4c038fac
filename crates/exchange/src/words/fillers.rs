//! Words of a heading that say nothing about its meaning.

const FILLERS: &[&str] = &[
    "pirani", "score", "scores", "foot", "feet", "points", "pts", "point", "deg", "degs", "degrees",
    "degree", "mm", "dd", "yyyy", "yy", "jj", "aaaa", "tt", "jjjj", "aa", "gg", "the", "of", "in",
    "clubfoot", "ctev", "childs", "patients", "value", "sign", "at", "today", "current", "this", "y", "n",
    "yes", "if", "any", "ft", "side", "pie", "pe", "pied", "fuss", "piede", "voet", "mguu", "ayak", "kaki",
    "de", "del", "da", "du", "des", "di", "do", "la", "le", "el", "der", "van", "ya", "wa", "h", "hrs", "a",
    "und", "for", "affected", "grados", "graus", "grad", "gradi", "graden", "cote", "lado", "seite", "lato",
    "zijde", "upande", "sisi", "puntos", "pontos", "punkte", "punti", "required", "optional", "category",
];

const VISIT_WORDS: &[&str] = &[
    "v",
    "visit",
    "visits",
    "visita",
    "visite",
    "besuch",
    "bezoek",
    "ziara",
    "ziyaret",
    "vizit",
    "kunjungan",
    "week",
    "wk",
    "sitting",
    "session",
    "consulta",
    "consultation",
    "semana",
    "semaine",
    "woche",
    "settimana",
    "wiki",
    "hafta",
    "minggu",
    "clinic",
    "ke",
    "vt",
    "seance",
    "sesion",
    "at",
];

pub(super) fn is_filler(word: &str) -> bool {
    FILLERS.contains(&word)
}

/// "Cast 2 Pirani" is the score at the second cast.
pub(super) fn is_cast_word(word: &str) -> bool {
    matches!(word, "cast" | "no" | "pop" | "gips" | "yeso" | "gesso" | "platre")
}

pub(super) fn is_visit_word(word: &str) -> bool {
    VISIT_WORDS.contains(&word)
}
