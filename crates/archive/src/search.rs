//! Finds children by any part of a name in any order, by hospital number, by day of birth, and by the name or
//! telephone number of a carer; exact matches before similar ones, the child's own name before a carer's. Only names are matched by similarity: a similar number leads to the wrong child.
//!
//! The search compares its text with every distinct word of the names in one pass; there are far fewer words
//! than children. The full-text index of SQLite was considered and does not serve as well. Its trigrams find
//! no part of fewer than three letters, such as an initial, and two spellings of one name may share none
//! ("rahsid" and "rashid"), so the pass for misspelt names would still be needed. An index of words finds no
//! part in the middle of a name.

use crate::{
    archive::Archive, dates, error::ArchiveError, fold, keys::parse, reader::summary_of, summary::Summary,
};
use record::{ChildId, Day};
use rusqlite::{Connection, OptionalExtension};
use std::collections::{BTreeMap, HashMap, HashSet};
use uuid::Uuid;

/// Candidates that are graded per part of a search; the best matches come first.
const CANDIDATES: usize = 3_000;
/// The largest number of characters and of parts of a search; the rest is ignored.
const QUERY_CHARS: usize = 200;
const PARTS: usize = 8;

/// A child that was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hit {
    /// The child.
    pub summary: Summary,
    /// Why it was found, in words: "number CF-12", "name: amina (like “amena”)".
    pub why: String,
    /// Whether every part was found as written; otherwise some part is only similar or missing.
    pub exact: bool,
    /// Whether it was found by its own name, number and day of birth alone, and by nothing of its carers.
    pub own: bool,
}

/// How well a word matches a part of a search; smaller is better.
type Grade = u32;
const WHOLE: Grade = 0;
const START: Grade = 1;
const WITHIN: Grade = 3;
const LIKE: Grade = 10;
const MISSING: Grade = 100;
/// What a match with the name of a carer lacks against one with the child's own.
const OF_CARER: Grade = 2;
/// The fewest digits by which a telephone number is found.
const PHONE_DIGITS: usize = 3;
/// The fewest digits of a whole telephone number that may be written with spaces.
const WHOLE_PHONE_DIGITS: usize = 6;

/// One part of a search, and the words and numbers of the records that match it.
struct Part {
    text: String,
    words: Vec<(Grade, i64)>,
    numbers: Vec<(Grade, i64)>,
    phones: Vec<(Grade, i64)>,
}

impl Archive {
    /// Finds children, the best match first, at most `limit`.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn search(&self, text: &str, limit: usize) -> Result<Vec<Hit>, ArchiveError> {
        let query: String = text.chars().take(QUERY_CHARS).collect();
        self.read(|conn| {
            let mut found = Found::default();
            let whole = fold::number(&query);
            for child in with_number(conn, &whole)? {
                found.add(child, Match { grade: WHOLE, why: "number".into(), own: true });
            }
            for (grade, child) in whole_phone(conn, &query)? {
                found.add(child, Match { grade, why: "telephone".into(), own: false });
            }
            let (days, rest) = dates::split(&query);
            search_parts(conn, &days, &rest, &mut found)?;
            found.best(conn, limit)
        })
    }

    /// The children with exactly this hospital number; case, spaces and punctuation do not matter.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn by_number(&self, number: &str) -> Result<Vec<ChildId>, ArchiveError> {
        self.read(|conn| {
            let mut query = conn.prepare_cached("SELECT id FROM children WHERE number = ?1")?;
            let mut children = Vec::new();
            for child in with_number(conn, &fold::number(number))? {
                children.push(ChildId::new(Uuid::from_bytes(query.query_row([child], |row| row.get(0))?)));
            }
            Ok(children)
        })
    }

    /// The children born on a day, by name: to find a child who may be registered already.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn born_on(&self, day: Day) -> Result<Vec<Summary>, ArchiveError> {
        self.read(|conn| {
            let mut query =
                conn.prepare_cached("SELECT body FROM summaries WHERE born = ?1 ORDER BY name_key")?;
            let mut rows = query.query([day.number()])?;
            let mut born = Vec::new();
            while let Some(row) = rows.next()? {
                born.push(parse(row.get_ref(0)?.as_str().map_err(rusqlite::Error::from)?)?);
            }
            Ok(born)
        })
    }

    /// A page of the children by name, and the number of all who pass the filters.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn children(
        &self,
        active: Option<bool>,
        phase: Option<&str>,
        offset: usize,
        limit: usize,
    ) -> Result<(Vec<Summary>, usize), ArchiveError> {
        const WHERE: &str = "(?1 IS NULL OR active = ?1) AND (?2 IS NULL OR phase_key = ?2)";
        let total = self.count(&format!("children {active:?} {phase:?}"), |conn| {
            let sql = format!("SELECT count(*) FROM summaries WHERE {WHERE}");
            Ok(conn.prepare_cached(&sql)?.query_row((active, phase), |row| row.get(0))?)
        })?;
        let sql =
            format!("SELECT child FROM summaries WHERE {WHERE} ORDER BY name_key, child LIMIT ?3 OFFSET ?4");
        let (limit, offset) =
            (i64::try_from(limit).unwrap_or(i64::MAX), i64::try_from(offset).unwrap_or(i64::MAX));
        let page = self.read(|conn| {
            let mut query = conn.prepare_cached(&sql)?;
            let children = query.query_map((active, phase, limit, offset), |row| row.get::<_, i64>(0))?;
            let mut page = Vec::new();
            for child in children {
                page.extend(summary_of(conn, child?)?);
            }
            Ok(page)
        })?;
        Ok((page, total))
    }

    /// The number of children in each phase, as (key, words, children).
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn phases(&self) -> Result<Vec<(String, String, usize)>, ArchiveError> {
        let sql = "SELECT phase_key, count(*), min(child) FROM summaries INDEXED BY summaries_by_name
                   GROUP BY phase_key ORDER BY phase_key";
        self.read(|conn| {
            let mut query = conn.prepare_cached(sql)?;
            let mut rows = query.query([])?;
            let mut phases = Vec::new();
            while let Some(row) = rows.next()? {
                let words = summary_of(conn, row.get(2)?)?.map(|one| one.phase).unwrap_or_default();
                phases.push((row.get(0)?, words, usize::try_from(row.get::<_, i64>(1)?).unwrap_or(0)));
            }
            Ok(phases)
        })
    }
}

/// How well a child matches, and why.
struct Match {
    grade: Grade,
    why: String,
    /// Whether nothing of a carer was needed for it.
    own: bool,
}

/// Children found so far, each with its best match.
#[derive(Default)]
struct Found {
    children: HashMap<i64, Match>,
}

impl Found {
    fn add(&mut self, child: i64, new: Match) {
        match self.children.get(&child) {
            Some(known) if known.grade <= new.grade => {}
            _ => {
                self.children.insert(child, new);
            }
        }
    }

    /// The best, in the order of names within a grade.
    fn best(self, conn: &Connection, limit: usize) -> Result<Vec<Hit>, ArchiveError> {
        let found_whole = self.children.values().any(|found| found.grade < MISSING);
        let mut by_grade: BTreeMap<Grade, Vec<(i64, Match)>> = BTreeMap::new();
        for (child, found) in self.children {
            // A child who lacks a part of the search is shown only if nobody has all parts.
            if found.grade < MISSING || !found_whole {
                by_grade.entry(found.grade).or_default().push((child, found));
            }
        }
        let mut hits = Vec::new();
        for (grade, children) in by_grade {
            if hits.len() >= limit {
                break;
            }
            let mut same = Vec::new();
            for (child, found) in by_name(conn, children, limit - hits.len())? {
                same.extend(summary_of(conn, child)?.map(|summary| Hit {
                    summary,
                    why: found.why,
                    exact: grade < LIKE,
                    own: found.own,
                }));
            }
            hits.append(&mut same);
        }
        Ok(hits)
    }
}

fn by_name(
    conn: &Connection,
    children: Vec<(i64, Match)>,
    limit: usize,
) -> Result<Vec<(i64, Match)>, ArchiveError> {
    let mut query = conn.prepare_cached("SELECT name_key FROM summaries WHERE child = ?1")?;
    let mut named = Vec::with_capacity(children.len());
    for (child, found) in children {
        let name: Option<String> = query.query_row([child], |row| row.get(0)).optional()?;
        named.push((name, child, found));
    }
    named.sort_by(|(name, child, _), (other, next, _)| (name, child).cmp(&(other, next)));
    named.truncate(limit);
    Ok(named.into_iter().map(|(_, child, found)| (child, found)).collect())
}

fn search_parts(
    conn: &Connection,
    days: &[Vec<Day>],
    rest: &str,
    found: &mut Found,
) -> Result<(), ArchiveError> {
    let texts: Vec<String> = fold::words(rest).into_iter().take(PARTS).collect();
    if texts.is_empty() && days.is_empty() {
        return Ok(());
    }
    let parts = match_parts(conn, texts)?;
    let mut candidates = HashSet::new();
    for part in &parts {
        gather(conn, part, &mut candidates)?;
    }
    for alternatives in days {
        for day in alternatives {
            let mut query = conn.prepare_cached("SELECT child FROM summaries WHERE born = ?1")?;
            for child in query.query_map([day.number()], |row| row.get(0))? {
                candidates.insert(child?);
            }
        }
    }
    for child in candidates {
        if let Some(graded) = grade(conn, child, &parts, days)? {
            found.add(child, graded);
        }
    }
    Ok(())
}

/// Finds the words and numbers that match each part, in one pass through the words.
fn match_parts(conn: &Connection, texts: Vec<String>) -> Result<Vec<Part>, ArchiveError> {
    let part = |text| Part { text, words: Vec::new(), numbers: Vec::new(), phones: Vec::new() };
    let mut parts: Vec<Part> = texts.into_iter().map(part).collect();
    let mut query = conn.prepare_cached("SELECT number, word FROM words")?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        let word = row.get_ref(1)?.as_str().map_err(rusqlite::Error::from)?;
        for part in &mut parts {
            if let Some(grade) = likeness(&part.text, word) {
                part.words.push((grade, row.get(0)?));
            }
        }
    }
    for part in &mut parts {
        part.words.sort_unstable();
        part.numbers = numbers_like(conn, &part.text)?;
        part.phones = phones_like(conn, &part.text, PHONE_DIGITS)?;
    }
    Ok(parts)
}

/// How well a word matches a part; `None` if it does not.
fn likeness(part: &str, word: &str) -> Option<Grade> {
    if let Some(at) = word.find(part) {
        return Some(match at {
            0 if word.len() == part.len() => WHOLE,
            0 => START,
            _ => WITHIN,
        });
    }
    let length = part.chars().count();
    let allowed = match length {
        0..=3 => return None,
        4..=5 => 1,
        _ => 2,
    };
    if word.chars().count().abs_diff(length) > allowed {
        return None;
    }
    let distance = strsim::osa_distance(part, word);
    (distance <= allowed).then(|| LIKE + Grade::try_from(distance).unwrap_or(MISSING))
}

/// Numbers that equal, begin with or contain the part. Parts without a digit match no number.
fn numbers_like(conn: &Connection, part: &str) -> Result<Vec<(Grade, i64)>, ArchiveError> {
    if !part.bytes().any(|byte| byte.is_ascii_digit()) {
        return Ok(Vec::new());
    }
    let limit = i64::try_from(CANDIDATES).unwrap_or(i64::MAX);
    let mut query = conn.prepare_cached(
        "SELECT number = ?1, child FROM numbers WHERE number >= ?1 AND number < ?2 LIMIT ?3",
    )?;
    let grade = |row: &rusqlite::Row<'_>| Ok((if row.get(0)? { WHOLE } else { START }, row.get(1)?));
    let after = format!("{part}\u{10ffff}");
    let found: Vec<_> = query.query_map((part, after, limit), grade)?.collect::<Result<_, _>>()?;
    if !found.is_empty() || part.len() < 2 {
        return Ok(found);
    }
    let mut query = conn.prepare_cached("SELECT child FROM numbers WHERE instr(number, ?1) > 0 LIMIT ?2")?;
    let within = query.query_map((part, limit), |row| Ok((WITHIN, row.get(0)?)))?;
    Ok(within.collect::<Result<_, _>>()?)
}

/// Telephone numbers that contain the part, which consists of digits. Zeros at the head of a whole number do not
/// count: with the code of the country the same number has none.
fn phones_like(conn: &Connection, part: &str, fewest: usize) -> Result<Vec<(Grade, i64)>, ArchiveError> {
    if part.len() < fewest || !part.bytes().all(|byte| byte.is_ascii_digit()) {
        return Ok(Vec::new());
    }
    let tail = part.trim_start_matches('0');
    let sought = if tail.len() >= WHOLE_PHONE_DIGITS { tail } else { part };
    let limit = i64::try_from(CANDIDATES).unwrap_or(i64::MAX);
    let mut query = conn.prepare_cached(
        "SELECT number = ?1, child FROM phones WHERE instr(number, ?2) > 0 ORDER BY 1 DESC LIMIT ?3",
    )?;
    let grade = |row: &rusqlite::Row<'_>| Ok((if row.get(0)? { START } else { WITHIN }, row.get(1)?));
    Ok(query.query_map((part, sought, limit), grade)?.collect::<Result<_, _>>()?)
}

/// Children with a telephone number that was written with spaces or other marks.
fn whole_phone(conn: &Connection, query: &str) -> Result<Vec<(Grade, i64)>, ArchiveError> {
    let plain = query.chars().all(|letter| letter.is_ascii_digit() || " +-/().".contains(letter));
    if !plain {
        return Ok(Vec::new());
    }
    phones_like(conn, &fold::phone(query), WHOLE_PHONE_DIGITS)
}

fn with_number(conn: &Connection, number: &str) -> Result<Vec<i64>, ArchiveError> {
    if number.is_empty() {
        return Ok(Vec::new());
    }
    let mut query = conn.prepare_cached("SELECT child FROM numbers WHERE number = ?1 ORDER BY child")?;
    Ok(query.query_map([number], |row| row.get(0))?.collect::<Result<_, _>>()?)
}

/// Adds the children that match a part, the best first, up to [`CANDIDATES`].
fn gather(conn: &Connection, part: &Part, candidates: &mut HashSet<i64>) -> Result<(), ArchiveError> {
    candidates.extend(part.numbers.iter().chain(&part.phones).map(|(_, child)| *child));
    let mut query = conn.prepare_cached("SELECT child FROM word_children WHERE word = ?1")?;
    let mut room = CANDIDATES;
    for (_, word) in &part.words {
        for child in query.query_map([word], |row| row.get(0))?.take(room) {
            candidates.insert(child?);
            room -= 1;
        }
        if room == 0 {
            break;
        }
    }
    Ok(())
}

/// How well a child matches the whole search; `None` if no part matches.
fn grade(
    conn: &Connection,
    child: i64,
    parts: &[Part],
    days: &[Vec<Day>],
) -> Result<Option<Match>, ArchiveError> {
    let mut query = conn.prepare_cached("SELECT names, born, carers FROM summaries WHERE child = ?1")?;
    let read = |row: &rusqlite::Row<'_>| {
        Ok((row.get::<_, String>(0)?, row.get::<_, Option<i32>>(1)?, row.get::<_, String>(2)?))
    };
    let Some((names, born, carers)) = query.query_row([child], read).optional()? else { return Ok(None) };
    let (mut total, mut matched, mut why, mut own) = (0, 0, Vec::new(), true);
    for part in parts {
        match grade_part(part, child, &names, &carers) {
            Some(found) => {
                total += found.grade;
                matched += 1;
                own &= found.own;
                why.push(found.why);
            }
            None => total += MISSING,
        }
    }
    for alternatives in days {
        match alternatives.iter().find(|day| Some(day.number()) == born) {
            Some(day) => {
                matched += 1;
                why.push(format!("born {}", day.words()));
            }
            None => total += MISSING,
        }
    }
    Ok((matched > 0).then(|| Match { grade: total, why: why.join(", "), own }))
}

/// The best match of one part with the child's numbers and names, then with those of its carers.
fn grade_part(part: &Part, child: i64, names: &str, carers: &str) -> Option<Match> {
    let of = |list: &[(Grade, i64)]| list.iter().find(|(_, with)| *with == child).map(|(grade, _)| *grade);
    if let Some(grade) = of(&part.numbers) {
        return Some(Match { grade, why: format!("number with “{}”", part.text), own: true });
    }
    let own = best_word(part, names, "name", 0).map(|(grade, why)| Match { grade, why, own: true });
    let phone = of(&part.phones).map(|grade| {
        let why = format!("telephone with “{}”", part.text);
        Match { grade, why, own: false }
    });
    let carer =
        best_word(part, carers, "carer", OF_CARER).map(|(grade, why)| Match { grade, why, own: false });
    [own, phone, carer].into_iter().flatten().min_by_key(|found| found.grade)
}

/// The word that matches a part best, as its grade and the reason; `of` says whose name it is.
fn best_word(part: &Part, words: &str, of: &str, more: Grade) -> Option<(Grade, String)> {
    let graded = words.split(' ').filter_map(|word| Some((likeness(&part.text, word)?, word)));
    let (grade, word) = graded.min()?;
    let why = match grade >= LIKE {
        true if more == 0 => format!("“{word}” is like “{}”", part.text),
        true => format!("{of} “{word}” is like “{}”", part.text),
        false => format!("{of} “{word}”"),
    };
    Some((grade + more, why))
}
