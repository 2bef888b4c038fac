//! What was done, read from a cell in any of the ten languages. A cell is believed only when every word
//! of it is known; a word that denies, plans or doubts makes the whole cell unknown.

use crate::text::fold;
use record::{CastMaterial, CastPurpose, ProblemKind, Procedure, Regime, RemovalReason};

/// One thing a cell says was done.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Act {
    Cast(Option<CastMaterial>, Option<CastPurpose>),
    CastOff(RemovalReason),
    Tenotomy,
    /// A tenotomy with no cast after it on the same day.
    TenotomyOnly,
    TenotomyBooked,
    /// Brace: whether the cell says it was fitted, the regime and hours it names.
    Brace {
        fitted: bool,
        regime: Option<Regime>,
        hours: Option<u8>,
    },
    BraceStopped,
    NewSize,
    Review,
    Missed,
    Relapse,
    Discharged(bool),
    Transferred,
    Died,
    Lost,
    Surgery(Procedure),
    Problem(ProblemKind),
}

/// What a cell says: acts, or that it is not understood.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Said {
    Acts(Vec<Act>),
    Unknown,
}

/// Whole cells that mean one thing. Looked up first.
const PHRASES: &[(&str, Act)] = &[
    ("dna", Act::Missed),
    ("d n a", Act::Missed),
    ("did not attend", Act::Missed),
    ("did not come", Act::Missed),
    ("didnt come", Act::Missed),
    ("didnt attend", Act::Missed),
    ("not attended", Act::Missed),
    ("non attendance", Act::Missed),
    ("failed to attend", Act::Missed),
    ("fta", Act::Missed),
    ("no show", Act::Missed),
    ("noshow", Act::Missed),
    ("missed", Act::Missed),
    ("missed visit", Act::Missed),
    ("missed appointment", Act::Missed),
    ("missed appt", Act::Missed),
    ("absent", Act::Missed),
    ("defaulted", Act::Missed),
    ("not seen", Act::Missed),
    ("no asistio", Act::Missed),
    ("no vino", Act::Missed),
    ("no acudio", Act::Missed),
    ("no se presento", Act::Missed),
    ("inasistencia", Act::Missed),
    ("ausente", Act::Missed),
    ("falta", Act::Missed),
    ("faltou", Act::Missed),
    ("nao compareceu", Act::Missed),
    ("nao veio", Act::Missed),
    ("non venu", Act::Missed),
    ("pas venu", Act::Missed),
    ("nest pas venu", Act::Missed),
    ("non presente", Act::Missed),
    ("rdv manque", Act::Missed),
    ("absence", Act::Missed),
    ("nicht erschienen", Act::Missed),
    ("nicht gekommen", Act::Missed),
    ("non presentato", Act::Missed),
    ("non si e presentato", Act::Missed),
    ("assente", Act::Missed),
    ("niet verschenen", Act::Missed),
    ("niet gekomen", Act::Missed),
    ("afwezig", Act::Missed),
    ("hakuja", Act::Missed),
    ("hajaja", Act::Missed),
    ("hakufika", Act::Missed),
    ("hakuhudhuria", Act::Missed),
    ("gelmedi", Act::Missed),
    ("tidak datang", Act::Missed),
    ("tidak hadir", Act::Missed),
    ("cast slipped", Act::CastOff(RemovalReason::Slipped)),
    ("cast slipped off", Act::CastOff(RemovalReason::Slipped)),
    ("slipped cast", Act::CastOff(RemovalReason::Slipped)),
    ("cast fell off", Act::CastOff(RemovalReason::Slipped)),
    ("plaster slipped", Act::CastOff(RemovalReason::Slipped)),
    ("pop slipped", Act::CastOff(RemovalReason::Slipped)),
    ("cast off", Act::CastOff(RemovalReason::Planned)),
    ("cast removed", Act::CastOff(RemovalReason::Planned)),
    ("cast removal", Act::CastOff(RemovalReason::Planned)),
    ("removal of cast", Act::CastOff(RemovalReason::Planned)),
    ("pop off", Act::CastOff(RemovalReason::Planned)),
    ("pop removed", Act::CastOff(RemovalReason::Planned)),
    ("plaster off", Act::CastOff(RemovalReason::Planned)),
    ("plaster removed", Act::CastOff(RemovalReason::Planned)),
    ("retiro de yeso", Act::CastOff(RemovalReason::Planned)),
    ("retirada do gesso", Act::CastOff(RemovalReason::Planned)),
    ("ablation platre", Act::CastOff(RemovalReason::Planned)),
    ("ablation du platre", Act::CastOff(RemovalReason::Planned)),
    ("gipsabnahme", Act::CastOff(RemovalReason::Planned)),
    ("rimozione gesso", Act::CastOff(RemovalReason::Planned)),
    ("gips verwijderd", Act::CastOff(RemovalReason::Planned)),
    ("tenotomy only", Act::TenotomyOnly),
    ("tenotomy booked", Act::TenotomyBooked),
    ("booked for tenotomy", Act::TenotomyBooked),
    ("brace stopped", Act::BraceStopped),
    ("stopped brace", Act::BraceStopped),
    ("bracing stopped", Act::BraceStopped),
    ("end of bracing", Act::BraceStopped),
    ("bracing ended", Act::BraceStopped),
    ("new size", Act::NewSize),
    ("brace new size", Act::NewSize),
    ("new size brace", Act::NewSize),
    ("bigger boots", Act::NewSize),
    ("larger boots", Act::NewSize),
    ("new boots", Act::NewSize),
    ("relapse", Act::Relapse),
    ("relapsed", Act::Relapse),
    ("relapse noted", Act::Relapse),
    ("recurrence", Act::Relapse),
    ("recidiva", Act::Relapse),
    ("recidive", Act::Relapse),
    ("rezidiv", Act::Relapse),
    ("recidief", Act::Relapse),
    ("discharged", Act::Discharged(false)),
    ("discharge", Act::Discharged(false)),
    ("alta", Act::Discharged(false)),
    ("entlassen", Act::Discharged(false)),
    ("taburcu", Act::Discharged(false)),
    ("treatment completed", Act::Discharged(true)),
    ("completed treatment", Act::Discharged(true)),
    ("discharged treatment completed", Act::Discharged(true)),
    ("transferred", Act::Transferred),
    ("transferred out", Act::Transferred),
    ("transfer out", Act::Transferred),
    ("trasladado", Act::Transferred),
    ("transferido", Act::Transferred),
    ("transfere", Act::Transferred),
    ("verlegt", Act::Transferred),
    ("trasferito", Act::Transferred),
    ("died", Act::Died),
    ("deceased", Act::Died),
    ("death", Act::Died),
    ("rip", Act::Died),
    ("fallecido", Act::Died),
    ("fallecio", Act::Died),
    ("obito", Act::Died),
    ("decede", Act::Died),
    ("verstorben", Act::Died),
    ("deceduto", Act::Died),
    ("overleden", Act::Died),
    ("alifariki", Act::Died),
    ("amefariki", Act::Died),
    ("vefat", Act::Died),
    ("meninggal", Act::Died),
    ("lost to follow up", Act::Lost),
    ("ltfu", Act::Lost),
    ("lost to followup", Act::Lost),
    ("perdu de vue", Act::Lost),
    ("tendon transfer", Act::Surgery(Procedure::TendonTransfer)),
    ("tibialis anterior tendon transfer", Act::Surgery(Procedure::TendonTransfer)),
    ("tibialis anterior transfer", Act::Surgery(Procedure::TendonTransfer)),
    ("tatt", Act::Surgery(Procedure::TendonTransfer)),
    ("posterior release", Act::Surgery(Procedure::PosteriorRelease)),
    ("posteromedial release", Act::Surgery(Procedure::PosteromedialRelease)),
    ("pmr", Act::Surgery(Procedure::PosteromedialRelease)),
    ("heel cord lengthening", Act::Surgery(Procedure::TendonLengthening)),
    ("open lengthening of the heel cord", Act::Surgery(Procedure::TendonLengthening)),
    ("cast after tenotomy", Act::Cast(None, Some(CastPurpose::AfterTenotomy))),
    ("tenotomy cast", Act::Cast(None, Some(CastPurpose::AfterTenotomy))),
    ("post tenotomy cast", Act::Cast(None, Some(CastPurpose::AfterTenotomy))),
    ("holding cast", Act::Cast(None, Some(CastPurpose::Holding))),
    ("cast to hold", Act::Cast(None, Some(CastPurpose::Holding))),
    ("cast to correct", Act::Cast(None, Some(CastPurpose::Correction))),
    ("toes not seen", Act::Problem(ProblemKind::ToesNotSeen)),
    ("toes not visible", Act::Problem(ProblemKind::ToesNotSeen)),
    ("skin sore", Act::Problem(ProblemKind::SkinBroken)),
    ("sore", Act::Problem(ProblemKind::SkinBroken)),
    ("sores", Act::Problem(ProblemKind::SkinBroken)),
    ("pressure sore", Act::Problem(ProblemKind::SkinBroken)),
    ("skin broken", Act::Problem(ProblemKind::SkinBroken)),
    ("skin red", Act::Problem(ProblemKind::SkinRed)),
    ("blister", Act::Problem(ProblemKind::Blister)),
    ("blisters", Act::Problem(ProblemKind::Blister)),
    ("swelling", Act::Problem(ProblemKind::Swelling)),
    ("heel slips out", Act::Problem(ProblemKind::HeelSlipsOut)),
    ("heel slipping out", Act::Problem(ProblemKind::HeelSlipsOut)),
    ("heel slipping", Act::Problem(ProblemKind::HeelSlipsOut)),
    ("brace broken", Act::Problem(ProblemKind::BraceBroken)),
    ("broken brace", Act::Problem(ProblemKind::BraceBroken)),
    ("brace outgrown", Act::Problem(ProblemKind::Outgrown)),
    ("boots outgrown", Act::Problem(ProblemKind::Outgrown)),
    ("brace not tolerated", Act::Problem(ProblemKind::NotTolerated)),
];

const CAST: &[&str] = &[
    "cast", "casted", "casting", "casts", "pop", "plaster", "plastered", "recast", "poppped", "lccast", "yeso", "enyesado", "enyesada",
    "escayola", "gesso", "gessado", "engessado", "platre", "platree", "gips", "gipsen", "gegipst", "gipswechsel",
    "eingegipst", "gipsverband", "gessi", "ingessato", "plasta", "alci", "alcilama", "digips", "gip", "gipsanlage",
    "platrage", "gipsing", "gipswissel",
];
const TENOTOMY: &[&str] = &[
    "tenotomy", "tenotomia", "tenotomie", "tenotomi", "achillotenotomy", "achillotenotomie", "tenotomised", "tenotomized",
    "achillotenotomia", "achillotomie", "pta", "pat", "tenotomies",
];
const BRACE: &[&str] = &[
    "brace", "braces", "bracing", "fab", "fao", "sfab", "boots", "bar", "orthosis", "orthese", "ortesis", "ortese", "ferula",
    "attelle", "schiene", "tutore", "splint", "cihaz", "ortez", "sepatu", "viatu", "botas", "bottes", "barra", "barre",
    "ortesi", "schuhe", "shoes", "spalk", "abduktionsschiene", "botines",
];
const FITTED: &[&str] = &[
    "fitted", "fitting", "applied", "given", "started", "start", "issued", "provided", "supplied", "fit", "colocada", "colocado",
    "entregada", "entregado", "pose", "posee", "mise", "angelegt", "angepasst", "applicato", "applicata", "aangemeten",
    "gegeven", "takildi", "verildi", "dipasang", "amepewa", "inicio", "puesta", "colocacion", "colocacao", "entregue",
    "into", "initiated", "commenced", "new", "application", "delivered", "anpassung", "consegnato", "konuldu", "uygulandi",
];
const REVIEW: &[&str] = &[
    "review", "rv", "check", "checkup", "control", "controle", "kontrolle", "controllo", "kontrol", "followup", "follow", "fu",
    "revision", "reviewed", "checked", "seen", "assessment", "assessed", "visit", "consultation", "consulta", "mapitio",
    "revisao", "suivi", "seguimiento", "nachsorge", "scored", "ukaguzi", "examined", "evaluation", "evaluacion",
    "avaliacao", "bilan", "muayene", "retorno", "untersuchung", "exam", "verlaufskontrolle", "visita", "stretching",
    "manipulation", "advice", "counselling", "monitoring", "pemeriksaan", "surveillance", "chequeo",
];
/// Words around the others that change nothing.
const AROUND: &[&str] = &[
    "e", "y",
    "and", "with", "the", "a", "an", "of", "in", "on", "by", "today", "done", "both", "feet", "foot", "right",
    "left", "bilateral", "bilat", "r", "l", "b", "rt", "lt", "ta", "tal", "tendo", "achilles", "tendoachilles", "perc", "percutaneous",
    "percutanea", "percutanee", "under", "la", "local", "long", "leg", "lower", "above", "knee", "ak", "aboveknee", "first", "second",
    "third", "last", "final", "no", "nr", "number", "week", "weeks", "wk", "wks", "w", "hours", "hour", "hrs", "hr", "h",
    "hs", "per", "day", "days", "daily", "up", "et", "und", "con", "com", "avec", "mit", "met", "en", "de", "del",
    "da", "do", "du", "der", "na", "ve", "dan", "change", "changed", "cambio", "troca", "changement", "wechsel", "cambiado",     "clinic", "full", "time", "fulltime", "night", "nights", "nighttime", "naps", "nap", "only", "noche", "nocturna",
    "noite", "noturno", "nuit", "nocturne", "nacht", "nachts", "notte", "usiku", "gece", "malam", "tiempo", "completo", "tempo",
    "integral", "integrale", "plein", "temps", "vollzeit", "stunden", "std", "horas", "heures", "ore", "uren", "saa", "saat",
    "jam", "is", "was", "child", "patient", "ok", "well", "fine", "good", "routine", "regular", "initial", "ponseti", "corrective",
    "serial", "correction", "aplicado", "aplicada", "aplicacion", "aplicacao", "pose", "nuevo", "novo", "nouveau", "neuer",
    "st", "nd", "rd", "th", "night-time", "wear", "wearing", "at", "als", "sola", "premiere", "primer", "primeiro", "primo",
    "d", "i", "g", "x", "yapildi", "la", "le", "el", "il", "les", "los", "further", "re", "cast", "adjusted", "same", "dr",
];
/// A word that denies, plans, asks or undoes.
const DOUBT: &[&str] = &[
    "not", "non", "without", "planned", "plan", "booked", "refused", "declined", "awaiting", "await", "needs", "need",
    "consider", "considered", "pending", "list", "waiting", "cancelled", "canceled", "postponed", "deferred", "if", "sin",
    "sem", "sans", "kein", "keine", "ohne", "senza", "geen", "zonder", "tidak", "tanpa", "yok", "hakuna", "bila", "off", "removed",
    "removal", "remove", "out", "slipped", "broken", "wet", "lost", "stopped", "stop", "failed", "before", "previous", "possible",
    "advised", "discussed", "requested", "recommended", "due", "ready", "tomorrow", "later", "nao", "nicht", "pas", "niet",
    "retiro", "retirada", "ablation", "rimozione", "abnahme", "resisting", "intolerant", "unable", "none", "never", "pris", "ohne",
];

/// Reads one cell.
pub(crate) fn read(text: &str) -> Said {
    if text.chars().nth(200).is_some() || text.contains('?') {
        return Said::Unknown;
    }
    let whole = fold(text);
    if let Some((_, act)) = PHRASES.iter().find(|(phrase, _)| *phrase == whole) {
        return Said::Acts(vec![act.clone()]);
    }
    if let Some(act) = of_record(&whole) {
        return Said::Acts(vec![act]);
    }
    if let Some(acts) = stopped_at_plus(text) {
        return Said::Acts(acts);
    }
    words(&whole).map_or(Said::Unknown, Said::Acts)
}

/// The record's own words, as an export writes them.
fn of_record(whole: &str) -> Option<Act> {
    if let Some(why) = whole.strip_prefix("cast off ") {
        let found = RemovalReason::ALL.iter().find(|reason| fold(reason.words()) == why);
        return found.map(|&reason| Act::CastOff(reason));
    }
    if let Some(what) = whole.strip_prefix("problem ") {
        let found = ProblemKind::ALL.iter().find(|kind| fold(kind.words()) == what);
        return found.map(|&kind| Act::Problem(kind));
    }
    let found = Procedure::ALL.iter().find(|procedure| fold(procedure.words()) == whole);
    found.map(|&procedure| Act::Surgery(procedure))
}

/// "cast off, brace fitted": known phrases and known words joined by commas or plus signs.
fn stopped_at_plus(text: &str) -> Option<Vec<Act>> {
    let parts: Vec<&str> = text.split([',', '+', ';', '&', '/', '\n']).collect();
    if !(2..=4).contains(&parts.len()) {
        return None;
    }
    let mut acts = Vec::new();
    for part in parts {
        let whole = fold(part);
        match PHRASES.iter().find(|(phrase, _)| *phrase == whole) {
            Some((_, act)) => acts.push(act.clone()),
            None if whole.is_empty() => {}
            None => acts.extend(words(&whole)?),
        }
    }
    let lone = |act: &Act| matches!(act, Act::Missed | Act::Died | Act::Lost);
    (!acts.is_empty() && !acts.iter().any(lone)).then_some(acts)
}

/// The side words in a cell, as `(right, left)`; "both" and its like count for each.
pub(crate) fn sides_named(text: &str) -> (bool, bool) {
    let folded = fold(text);
    let mut named = (false, false);
    for word in folded.split(' ') {
        match word {
            "right" | "rt" | "r" | "derecho" | "derecha" | "direito" | "direita" | "droit" | "droite" | "rechts" | "destro"
            | "destra" | "kulia" | "sag" | "kanan" | "d" => named.0 = true,
            "left" | "lt" | "l" | "izquierdo" | "izquierda" | "esquerdo" | "esquerda" | "gauche" | "links" | "sinistro"
            | "sinistra" | "kushoto" | "sol" | "kiri" | "i" | "g" => named.1 = true,
            "both" | "bilateral" | "bilat" => named = (true, true),
            _ => {}
        }
    }
    named
}

/// Whether the whole cell is understood.
pub(crate) fn is_known(text: &str) -> bool {
    matches!(read(text), Said::Acts(_))
}

fn words(whole: &str) -> Option<Vec<Act>> {
    let words: Vec<&str> = whole.split(' ').filter(|word| !word.is_empty()).collect();
    let (mut cast, mut tenotomy, mut brace, mut fitted, mut review) = (false, false, false, false, false);
    for (at, word) in words.iter().enumerate() {
        let number = number_with_unit(word);
        if is_no(&words, at) || DOUBT.contains(word) {
            return None;
        }
        let known = [
            (&mut tenotomy, TENOTOMY),
            (&mut brace, BRACE),
            (&mut fitted, FITTED),
            (&mut review, REVIEW),
            (&mut cast, CAST),
        ];
        let mut found = number || AROUND.contains(word);
        for (flag, list) in known {
            let here = list.contains(word);
            *flag |= here;
            found |= here;
        }
        if !found {
            return None;
        }
    }
    acts(whole, cast, tenotomy, brace, fitted, review)
}

fn acts(whole: &str, cast: bool, tenotomy: bool, brace: bool, fitted: bool, review: bool) -> Option<Vec<Act>> {
    let mut out = Vec::new();
    let (regime, hours) = regime(whole);
    if tenotomy {
        out.push(Act::Tenotomy);
    }
    if cast {
        let pop = whole.split(' ').any(|word| word == "pop") || whole.contains("plaster of paris");
        out.push(Act::Cast(pop.then_some(CastMaterial::Plaster), None));
    }
    match (brace, fitted, review) {
        (true, _, true) if !fitted => out.push(Act::Review),
        (true, ..) => out.push(Act::Brace { fitted, regime, hours }),
        (false, _, true) => out.push(Act::Review),
        (false, ..) => {}
    }
    if !brace && !cast && !tenotomy && regime.is_some() {
        out.push(Act::Brace { fitted: false, regime, hours });
    }
    (!out.is_empty()).then_some(out)
}

/// "no cast" denies; "cast no 4" counts.
fn is_no(words: &[&str], at: usize) -> bool {
    let counts = |word: &&str| word.bytes().all(|b| b.is_ascii_digit());
    words[at] == "no" && !words.get(at + 1).is_some_and(counts)
}

/// "3", "23h", "23hrs", "2nd".
fn number_with_unit(word: &str) -> bool {
    let digits = word.bytes().take_while(u8::is_ascii_digit).count();
    digits > 0 && digits <= 4 && matches!(&word[digits..], "" | "h" | "hr" | "hrs" | "st" | "nd" | "rd" | "th" | "wk" | "wks" | "w" | "o" | "er" | "e" | "x" | "d")
}

/// The regime and hours a text names: "23h", "23/24", "12 hrs", "nights and naps", "full time".
pub(crate) fn regime(folded: &str) -> (Option<Regime>, Option<u8>) {
    let words: Vec<&str> = folded.split(' ').collect();
    let hours_word = |word: &str| matches!(word, "h" | "hr" | "hrs" | "hs" | "hour" | "hours" | "horas" | "heures" | "stunden" | "std" | "ore" | "uren" | "saa" | "saat" | "jam");
    let mut hours = None;
    for (at, word) in words.iter().enumerate() {
        let digits = word.bytes().take_while(u8::is_ascii_digit).count();
        let Ok(value) = word[..digits].parse::<u8>() else { continue };
        let unit = &word[digits..];
        let next = words.get(at + 1).copied().unwrap_or("");
        let said = hours_word(unit) || (unit.is_empty() && (hours_word(next) || next == "24"));
        if said && (1..=24).contains(&value) && hours.is_none() {
            hours = Some(value);
        }
    }
    const NIGHT: &[&str] = &["night", "nights", "nighttime", "naps", "noche", "nocturna", "noite", "noturno", "nuit", "nocturne", "nacht", "nachts", "notte", "usiku", "gece", "malam"];
    const FULL: &[&str] = &["full time", "fulltime", "tiempo completo", "tempo integral", "plein temps", "vollzeit"];
    let night = words.iter().any(|word| NIGHT.contains(word));
    let full = FULL.iter().any(|phrase| folded.contains(phrase));
    (of_hours(hours, night, full), hours)
}

/// 18 hours and more is full time, 16 and less is nights (common practice, no source); between the two
/// and where words and hours disagree nothing is taken.
fn of_hours(hours: Option<u8>, night: bool, full: bool) -> Option<Regime> {
    let by_hours = match hours {
        Some(18..) => Some(Regime::FullTime),
        Some(..=16) => Some(Regime::NightTime),
        _ => None,
    };
    let by_words = match (night, full) {
        (true, false) => Some(Regime::NightTime),
        (false, true) => Some(Regime::FullTime),
        _ => None,
    };
    match (by_hours, by_words) {
        (Some(a), Some(b)) if a != b => None,
        (a, b) => a.or(b),
    }
}
