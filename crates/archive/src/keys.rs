//! Summaries in the file: one row with the whole summary, and small index rows that refer to it.

use crate::{error::ArchiveError, fold, marks::Rows, summary::Summary, tally};
use rusqlite::{Connection, OptionalExtension, params};
use std::{collections::HashSet, sync::Arc};

/// A summary prepared for writing, so that this work is not done on the writer's thread.
pub(crate) struct Prepared {
    pub(crate) body: String,
    keys: Keys,
}

/// The index rows of a summary.
#[derive(PartialEq, Eq)]
struct Keys {
    name_key: String,
    /// Words of the child's own name.
    words: Vec<String>,
    /// Words of the names of its carers.
    carers: Vec<String>,
    numbers: Vec<String>,
    phones: Vec<String>,
    born: Option<i32>,
    phase: String,
    active: bool,
    /// Kind, urgency, from which day, until which, rule.
    work: Vec<(i64, u8, i32, i32, String)>,
    appointments: Vec<(i32, String)>,
    rows: Rows,
}

impl Keys {
    fn of(summary: &Summary) -> Self {
        let numbers = distinct(summary.numbers.iter().map(|text| fold::number(text)));
        let phones = distinct(summary.phones.iter().map(|text| fold::phone(text)));
        let carers = distinct(summary.carers.iter().flat_map(|name| fold::name_words(name, "")));
        let item = |item: &crate::WorkItem| {
            let until = item.until.map_or(i32::MAX, record::Day::number);
            (item.kind.code(), item.urgency, item.from.number(), until, item.rule.clone())
        };
        Self {
            name_key: fold::fold(format!("{} {}", summary.family_name, summary.given_name).trim()),
            words: fold::name_words(&summary.family_name, &summary.given_name),
            carers,
            numbers,
            phones,
            born: summary.born.map(record::Day::number),
            phase: summary.phase_key.clone(),
            active: summary.active,
            work: summary.items.iter().map(item).collect(),
            appointments: summary
                .appointments
                .iter()
                .map(|made| (made.for_day.number(), made.time.clone().unwrap_or_default()))
                .collect(),
            rows: Rows::of(summary),
        }
    }

    /// Every word by which the child is found, each once.
    fn all_words(&self) -> Vec<String> {
        distinct(self.words.iter().chain(&self.carers).cloned())
    }

    /// Whether names and numbers are found by the same rows.
    fn found_as(&self, other: &Self) -> bool {
        self.words == other.words
            && self.carers == other.carers
            && self.numbers == other.numbers
            && self.phones == other.phones
    }
}

/// The texts that are not empty, in order, each once.
fn distinct(texts: impl Iterator<Item = String>) -> Vec<String> {
    let mut texts: Vec<String> = texts.filter(|text| !text.is_empty()).collect();
    texts.sort();
    texts.dedup();
    texts
}

impl Prepared {
    pub(crate) fn of(summary: &Summary) -> Result<Self, ArchiveError> {
        let body = serde_json::to_string(summary).map_err(|_| ArchiveError::Summary(summary.child))?;
        Ok(Self { body, keys: Keys::of(summary) })
    }

    /// The numbers of its index rows.
    pub(crate) fn row_counts(&self) -> RowCounts {
        let Keys { work, appointments, numbers, phones, rows, .. } = &self.keys;
        let [marks, texts] = rows.counts();
        let words = self.keys.all_words().len();
        [work.len(), appointments.len(), words, numbers.len(), phones.len(), marks, texts]
            .map(|rows| i64::try_from(rows).unwrap_or(i64::MAX))
    }
}

/// The numbers of index rows, by table.
pub(crate) type RowCounts = [i64; 7];

/// The numbers of index rows in the file.
pub(crate) fn row_counts(conn: &Connection) -> rusqlite::Result<RowCounts> {
    let count = |table| conn.query_row(&format!("SELECT count(*) FROM {table}"), [], |row| row.get(0));
    Ok([
        count("work")?,
        count("appointments")?,
        count("word_children")?,
        count("numbers")?,
        count("phones")?,
        count("marks")?,
        count("kept")?,
    ])
}

/// Index rows still to be written. They are sorted first: writing many rows in the order of their table is
/// much faster than in the order of children.
#[derive(Default)]
pub(crate) struct Lists {
    work: WorkLines,
    appointments: Vec<(i32, String, i64, i64)>,
    words: Vec<(String, i64)>,
    numbers: Vec<(String, i64)>,
    phones: Vec<(String, i64)>,
    texts: HashSet<Arc<str>>,
}

impl Lists {
    fn add(&mut self, child: i64, keys: Keys, with_names: bool) {
        let phase = self.text(&keys.phase);
        if with_names {
            self.words.extend(keys.all_words().into_iter().map(|word| (word, child)));
            self.phones.extend(keys.phones.into_iter().map(|number| (number, child)));
            self.numbers.extend(keys.numbers.into_iter().map(|number| (number, child)));
        }
        for (item, (kind, urgency, from, until, rule)) in (0_i64..).zip(keys.work) {
            let rule = self.text(&rule);
            self.work.push((kind, urgency, from, child, item, rule, Arc::clone(&phase), until));
        }
        let made = (0_i64..).zip(keys.appointments).map(|(item, (day, time))| (day, time, child, item));
        self.appointments.extend(made);
    }

    /// There are few rules and phases, so each text is stored once.
    fn text(&mut self, text: &str) -> Arc<str> {
        if let Some(known) = self.texts.get(text) {
            return Arc::clone(known);
        }
        let new: Arc<str> = text.into();
        self.texts.insert(Arc::clone(&new));
        new
    }

    /// Writes the collected rows.
    pub(crate) fn write(&mut self, conn: &Connection) -> Result<(), ArchiveError> {
        let Self { work, appointments, words, numbers, phones, .. } = std::mem::take(self);
        write_work(conn, work)?;
        write_appointments(conn, appointments)?;
        write_words(conn, words)?;
        write_numbers(conn, "numbers", numbers)?;
        Ok(write_numbers(conn, "phones", phones)?)
    }
}

/// As the columns of the table: kind, urgency, from which day, child, item, rule, phase, until which day.
type WorkLines = Vec<(i64, u8, i32, i64, i64, Arc<str>, Arc<str>, i32)>;

fn write_work(conn: &Connection, mut lines: WorkLines) -> rusqlite::Result<()> {
    lines.sort_unstable();
    let mut insert = conn.prepare_cached("INSERT INTO work VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)")?;
    for (kind, urgency, from, child, item, rule, phase, until) in &lines {
        insert.execute(params![kind, urgency, from, child, item, rule.as_ref(), phase.as_ref(), until])?;
    }
    let counted = lines.iter().map(|(kind, urgency, from, _, _, rule, phase, until)| {
        (*kind, *urgency, (*from, *until), rule.as_ref(), phase.as_ref())
    });
    tally::note(conn, counted, 1)
}

fn write_appointments(conn: &Connection, mut lines: Vec<(i32, String, i64, i64)>) -> rusqlite::Result<()> {
    lines.sort_unstable();
    let mut insert = conn.prepare_cached("INSERT INTO appointments VALUES (?1, ?2, ?3, ?4)")?;
    for (day, time, child, item) in &lines {
        insert.execute(params![day, time, child, item])?;
    }
    Ok(())
}

fn write_words(conn: &Connection, mut lines: Vec<(String, i64)>) -> rusqlite::Result<()> {
    lines.sort_unstable();
    let mut pairs = Vec::with_capacity(lines.len());
    let mut last: Option<(&str, i64)> = None;
    for (word, child) in &lines {
        let number = match last {
            Some((same, number)) if same == word => number,
            _ => word_number(conn, word)?,
        };
        last = Some((word, number));
        pairs.push([number, *child]);
    }
    pairs.sort_unstable();
    let mut insert = conn.prepare_cached("INSERT OR IGNORE INTO word_children VALUES (?1, ?2)")?;
    for pair in pairs {
        insert.execute(pair)?;
    }
    Ok(())
}

/// Writes hospital numbers or telephone numbers into their table.
fn write_numbers(conn: &Connection, table: &str, mut lines: Vec<(String, i64)>) -> rusqlite::Result<()> {
    lines.sort_unstable();
    let mut insert = conn.prepare_cached(&format!("INSERT OR IGNORE INTO {table} VALUES (?1, ?2)"))?;
    for (number, child) in &lines {
        insert.execute(params![number, child])?;
    }
    Ok(())
}

/// Writes the first summary of a child.
pub(crate) fn put_new(
    conn: &Connection,
    lists: &mut Lists,
    child: i64,
    new: Prepared,
) -> Result<(), ArchiveError> {
    put_row(conn, child, &new)?;
    new.keys.rows.put(conn, child)?;
    lists.add(child, new.keys, true);
    Ok(())
}

/// Writes a child's summary and replaces the previous one, if there is one.
pub(crate) fn put(
    conn: &Connection,
    lists: &mut Lists,
    child: i64,
    new: Prepared,
) -> Result<(), ArchiveError> {
    let Some(old) = stored(conn, child)? else { return put_new(conn, lists, child, new) };
    let same_names = old.found_as(&new.keys);
    remove_lists(conn, child, &old)?;
    if !same_names {
        remove_names(conn, child, &old)?;
    }
    if old.rows != new.keys.rows {
        old.rows.remove(conn, child)?;
        new.keys.rows.put(conn, child)?;
    }
    put_row(conn, child, &new)?;
    lists.add(child, new.keys, !same_names);
    Ok(())
}

/// Deletes a child's summary, when nothing is left of the log.
pub(crate) fn remove(conn: &Connection, child: i64) -> Result<(), ArchiveError> {
    if let Some(old) = stored(conn, child)? {
        remove_lists(conn, child, &old)?;
        remove_names(conn, child, &old)?;
        old.rows.remove(conn, child)?;
        conn.prepare_cached("DELETE FROM summaries WHERE child = ?1")?.execute([child])?;
    }
    Ok(())
}

fn stored(conn: &Connection, child: i64) -> Result<Option<Keys>, ArchiveError> {
    let mut query = conn.prepare_cached("SELECT body FROM summaries WHERE child = ?1")?;
    let body: Option<String> = query.query_row([child], |row| row.get(0)).optional()?;
    body.map(|body| parse(&body).map(|summary| Keys::of(&summary))).transpose()
}

pub(crate) fn parse(body: &str) -> Result<Summary, ArchiveError> {
    serde_json::from_str(body)
        .map_err(|error| ArchiveError::Damaged(format!("a summary cannot be read: {error}")))
}

fn put_row(conn: &Connection, child: i64, new: &Prepared) -> rusqlite::Result<()> {
    let keys = &new.keys;
    conn.prepare_cached("INSERT OR REPLACE INTO summaries VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)")?
        .execute(params![
            child,
            keys.name_key,
            keys.words.join(" "),
            keys.born,
            keys.phase,
            keys.active,
            new.body,
            keys.carers.join(" ")
        ])?;
    Ok(())
}

fn remove_lists(conn: &Connection, child: i64, keys: &Keys) -> rusqlite::Result<()> {
    let mut work = conn.prepare_cached(
        "DELETE FROM work WHERE kind = ?1 AND urgency = ?2 AND from_day = ?3 AND child = ?4 AND item = ?5",
    )?;
    for (item, (kind, urgency, from, ..)) in (0_i64..).zip(&keys.work) {
        work.execute(params![kind, urgency, from, child, item])?;
    }
    let counted = keys.work.iter().map(|(kind, urgency, from, until, rule)| {
        (*kind, *urgency, (*from, *until), rule.as_str(), keys.phase.as_str())
    });
    tally::note(conn, counted, -1)?;
    let mut made = conn.prepare_cached(
        "DELETE FROM appointments WHERE for_day = ?1 AND time = ?2 AND child = ?3 AND item = ?4",
    )?;
    for (item, (day, time)) in (0_i64..).zip(&keys.appointments) {
        made.execute(params![day, time, child, item])?;
    }
    Ok(())
}

fn word_number(conn: &Connection, word: &str) -> rusqlite::Result<i64> {
    let mut query = conn.prepare_cached("SELECT number FROM words WHERE word = ?1")?;
    if let Some(number) = query.query_row([word], |row| row.get(0)).optional()? {
        return Ok(number);
    }
    conn.prepare_cached("INSERT INTO words (word) VALUES (?1)")?.execute([word])?;
    Ok(conn.last_insert_rowid())
}

// A word that no child has any more is deleted too: it may be what is left of an erased name.
fn remove_names(conn: &Connection, child: i64, keys: &Keys) -> rusqlite::Result<()> {
    let unused = "DELETE FROM words WHERE number = ?1
                  AND NOT EXISTS (SELECT 1 FROM word_children WHERE word = ?1)";
    for word in &keys.all_words() {
        let number = word_number(conn, word)?;
        conn.prepare_cached("DELETE FROM word_children WHERE word = ?1 AND child = ?2")?
            .execute([number, child])?;
        conn.prepare_cached(unused)?.execute([number])?;
    }
    for (table, numbers) in [("numbers", &keys.numbers), ("phones", &keys.phones)] {
        let mut delete =
            conn.prepare_cached(&format!("DELETE FROM {table} WHERE number = ?1 AND child = ?2"))?;
        for number in numbers {
            delete.execute(params![number, child])?;
        }
    }
    Ok(())
}

/// Deletes everything that is computed.
pub(crate) fn clear(conn: &Connection) -> rusqlite::Result<()> {
    conn.execute_batch(
        "DELETE FROM facts; DELETE FROM summaries; DELETE FROM work; DELETE FROM appointments;
         DELETE FROM words; DELETE FROM word_children; DELETE FROM numbers; DELETE FROM phones;
         DELETE FROM marks; DELETE FROM kept;",
    )
}

/// Whether the stored summary and index rows of a child equal the computed ones.
pub(crate) fn agrees(conn: &Connection, child: i64, computed: &Prepared) -> Result<bool, ArchiveError> {
    let keys = &computed.keys;
    let row = "SELECT 1 FROM summaries WHERE child = ?1 AND name_key = ?2 AND names = ?3 AND born IS ?4
               AND phase_key = ?5 AND active = ?6 AND body = ?7 AND carers = ?8";
    let same = conn.prepare_cached(row)?.exists(params![
        child,
        keys.name_key,
        keys.words.join(" "),
        keys.born,
        keys.phase,
        keys.active,
        computed.body,
        keys.carers.join(" ")
    ])?;
    Ok(same
        && lists_agree(conn, child, keys)?
        && names_agree(conn, child, keys)?
        && keys.rows.agree(conn, child)?)
}

fn lists_agree(conn: &Connection, child: i64, keys: &Keys) -> rusqlite::Result<bool> {
    let mut work = conn.prepare_cached(
        "SELECT 1 FROM work WHERE kind = ?1 AND urgency = ?2 AND from_day = ?3 AND child = ?4 AND item = ?5
         AND rule = ?6 AND phase = ?7 AND until_day = ?8",
    )?;
    for (item, (kind, urgency, from, until, rule)) in (0_i64..).zip(&keys.work) {
        if !work.exists(params![kind, urgency, from, child, item, rule, keys.phase, until])? {
            return Ok(false);
        }
    }
    let mut made = conn.prepare_cached(
        "SELECT 1 FROM appointments WHERE for_day = ?1 AND time = ?2 AND child = ?3 AND item = ?4",
    )?;
    for (item, (day, time)) in (0_i64..).zip(&keys.appointments) {
        if !made.exists(params![day, time, child, item])? {
            return Ok(false);
        }
    }
    Ok(true)
}

fn names_agree(conn: &Connection, child: i64, keys: &Keys) -> rusqlite::Result<bool> {
    let word =
        "SELECT 1 FROM words w JOIN word_children x ON x.word = w.number WHERE w.word = ?1 AND x.child = ?2";
    let mut word = conn.prepare_cached(word)?;
    for text in &keys.all_words() {
        if !word.exists(params![text, child])? {
            return Ok(false);
        }
    }
    for (table, numbers) in [("numbers", &keys.numbers), ("phones", &keys.phones)] {
        let mut number =
            conn.prepare_cached(&format!("SELECT 1 FROM {table} WHERE number = ?1 AND child = ?2"))?;
        for text in numbers {
            if !number.exists(params![text, child])? {
                return Ok(false);
            }
        }
    }
    Ok(true)
}
