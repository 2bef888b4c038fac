//! The family's full copy of a record: one page to read and print and the same as JSON, in one zip. Everything that
//! is recorded about the child is in it, scores and notes too, and the photographs while the family consents to them;
//! what is about other people is left out, and the copy says so.

use crate::{app::App, clock, exit::Failure};
use clinic::{ArchiveError, ClinicRecords, KeptPhotograph, KeptSize, Pictures};
use course::{CorrectedLog, Course, Fate, Line};
use maud::{DOCTYPE, Markup, html};
use pages::{parts, words};
use record::{Body, ChildId, Day, Entry, EntryId, Timestamp, UserId};
use serde_json::{Map, Value, json};
use std::{
    collections::{BTreeMap, btree_map},
    io::{Cursor, Write},
};

/// The version of the JSON.
const VERSION: u32 = 1;

/// What is left out, and why; stated in the copy.
const LEFT_OUT: [&str; 3] = [
    "The names and records of brothers, sisters and twins: they are other people. That there is a link, and which relation, is here.",
    "The id of another record in which an entry was made by mistake or recorded again.",
    "Who opened the record: that is kept apart from it. Ask the clinic.",
];

/// Everything about the copy that is not in the entries.
pub struct CopyFrame {
    /// The name of the clinic.
    pub clinic: String,
    /// When the copy is made.
    pub at: Timestamp,
    /// The names of those who wrote.
    pub writers: BTreeMap<UserId, String>,
    /// How many entries were erased.
    pub erased: usize,
    /// The photographs.
    pub photographs: CopiedPhotographs,
}

impl CopyFrame {
    fn left_out(&self) -> Vec<&str> {
        LEFT_OUT.into_iter().chain(self.photographs.left_out.as_deref()).collect()
    }
}

/// The photographs in a copy.
#[derive(Debug, Clone, Default)]
pub struct CopiedPhotographs {
    /// Each with its entry, the name of its file, and its words.
    named: Vec<(EntryId, String, String)>,
    /// The pictures, in the same order.
    pictures: Vec<Vec<u8>>,
    /// Why photographs are left out, one sentence.
    left_out: Option<String>,
}

/// A finished copy.
#[derive(Debug, Clone)]
pub struct FamilyCopy {
    /// The zip.
    pub bytes: Vec<u8>,
    /// The name of the file, without a name of the child.
    pub file_name: String,
    /// The number of entries in it.
    pub entries: usize,
}

/// The copy of a child's record with its kept pictures, made at a moment of a day; `None` for a child without entries.
///
/// # Errors
/// When the records or the pictures cannot be read, or the copy cannot be made.
pub fn of_child(
    records: &ClinicRecords,
    kept: &Pictures,
    child: ChildId,
    clinic: String,
    (at, today): (Timestamp, Day),
) -> Result<Option<FamilyCopy>, Failure> {
    let entries = records.entries(child)?;
    if entries.is_empty() {
        return Ok(None);
    }
    let writers = writers(records, &entries)?;
    let erased = records.erased_count(child)?;
    let course = Course::of(child, &entries, Day::LAST);
    let photographs = copied(records, kept, child, today)?;
    let frame = CopyFrame { clinic, at, writers, erased, photographs };
    let page = page(&course, &entries, &frame).into_string();
    let broken =
        |error: &dyn std::fmt::Display| Failure::failed(format!("The copy could not be made: {error}."));
    let data = json_of(&course, &entries, &frame).map_err(|error| broken(&error))?;
    let text = serde_json::to_string_pretty(&data).map_err(|error| broken(&error))?;
    let texts = [("record.html", page.as_str()), ("record.json", text.as_str())];
    let bytes = zipped(&texts, &frame.photographs).map_err(|error| broken(&error))?;
    let file_name = format!("record-{}.zip", file_part(&course));
    Ok(Some(FamilyCopy { bytes, file_name, entries: entries.len() }))
}

/// The photographs that hold, as they are kept. Without a consent in force there is none; one that is missing or damaged
/// is said to be.
fn copied(
    records: &ClinicRecords,
    kept: &Pictures,
    child: ChildId,
    today: Day,
) -> Result<CopiedPhotographs, ArchiveError> {
    let on_record = records.photographs_of(child, today)?;
    let count = |count: usize| i64::try_from(count).unwrap_or(i64::MAX);
    let mut copied = CopiedPhotographs::default();
    let Some(known) = records.child(child, today)?.filter(|_| !on_record.photographs.is_empty()) else {
        return Ok(copied);
    };
    if !records.photograph_consent(kept, &known, today)?.is_in_force() {
        let all = words::count(count(on_record.photographs.len()), "photograph is", "photographs are");
        copied.left_out = Some(format!(
            "{all} on record and not in this copy, because no consent to photographs is in force. Ask the clinic."
        ));
        return Ok(copied);
    }
    let mut lost = 0;
    for one in &on_record.photographs {
        match kept.read(one.photograph.picture, KeptSize::Whole) {
            Ok(Some(picture)) => {
                let name = free_name(&copied, one);
                let said = format!("{}, {}", words::capital(&one.photograph.words()), one.on.words());
                copied.named.push((one.entry, name, said));
                copied.pictures.push(picture);
            }
            Ok(None) | Err(ArchiveError::Damaged(_)) => lost += 1,
            Err(error) => return Err(error),
        }
    }
    if lost > 0 {
        let lost = words::count(count(lost), "photograph is", "photographs are");
        copied.left_out = Some(format!("{lost} not in this copy: missing or damaged. Ask the clinic."));
    }
    Ok(copied)
}

/// "photographs/2025-03-04-left-foot-sole.jpg": a name that names nobody, and no file twice.
fn free_name(copied: &CopiedPhotographs, one: &KeptPhotograph) -> String {
    let words = one.photograph.words().to_lowercase();
    let parts: Vec<&str> =
        words.split(|char: char| !char.is_ascii_alphanumeric()).filter(|part| !part.is_empty()).collect();
    let name = format!("photographs/{}-{}", one.on, parts.join("-"));
    let is_free = |candidate: &String| !copied.named.iter().any(|(_, taken, _)| taken == candidate);
    let numbered = (2..).map(|number: u32| format!("{name}-{number}.jpg"));
    std::iter::once(format!("{name}.jpg")).chain(numbered).find(is_free).unwrap_or(name)
}

fn writers(records: &ClinicRecords, entries: &[Entry]) -> Result<BTreeMap<UserId, String>, ArchiveError> {
    let mut names = BTreeMap::new();
    for entry in entries {
        if let btree_map::Entry::Vacant(vacant) = names.entry(entry.by) {
            let account = records.accounts().account(entry.by)?;
            let name =
                account.map_or_else(|| "imported or without an account".to_owned(), |one| one.display_name);
            vacant.insert(name);
        }
    }
    Ok(names)
}

/// The number of the child as far as it is safe in the name of a file; otherwise the id.
fn file_part(course: &Course) -> String {
    let number = course.about.numbers.first().map(String::as_str).unwrap_or_default();
    let safe: String =
        number.chars().filter(|char| char.is_ascii_alphanumeric() || *char == '-').take(40).collect();
    if safe.is_empty() { course.child.to_string() } else { safe }
}

fn zipped(texts: &[(&str, &str)], photographs: &CopiedPhotographs) -> zip::result::ZipResult<Vec<u8>> {
    let mut writer = zip::ZipWriter::new(Cursor::new(Vec::new()));
    let options = zip::write::SimpleFileOptions::default();
    for (name, text) in texts {
        writer.start_file(*name, options)?;
        writer.write_all(text.as_bytes())?;
    }
    // A JPEG gets no smaller.
    let as_it_is = options.compression_method(zip::CompressionMethod::Stored);
    for ((_, name, _), picture) in photographs.named.iter().zip(&photographs.pictures) {
        writer.start_file(name.as_str(), as_it_is)?;
        writer.write_all(picture)?;
    }
    Ok(writer.finish()?.into_inner())
}

const STYLE: &str = "body{font:16px/1.5 system-ui,sans-serif;max-width:46rem;margin:2rem auto;padding:0 1rem;color:#1c1712;background:#fff}h2{margin-top:2rem;border-bottom:1px solid #999}article{margin:1rem 0;padding:.5rem 0;border-top:1px solid #ccc;break-inside:avoid}.gone{color:#555}dl{display:grid;grid-template-columns:max-content 1fr;gap:.1rem 1rem;margin:.4rem 0}dl div{display:contents}dt{color:#555}dd{margin:0}p{margin:.3rem 0}.by{color:#555;font-size:.9rem}";

/// The page to read and print.
fn page(course: &Course, entries: &[Entry], frame: &CopyFrame) -> Markup {
    let log = CorrectedLog::of(entries, Day::LAST);
    let about = &course.about;
    let name = parts::name_words(&about.full_name(), &about.numbers);
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { "Record of " (name) }
                style { (STYLE) }
            }
            body {
                h1 { "Record of " (name) }
                p { (frame.clinic) ". Copy made on " (clock::local_words(frame.at)) "." }
                dl {
                    div { dt { "Born" } dd { @match about.born { Some(born) => (words::day(born)), None => "not recorded" } } }
                    div { dt { "Number" } dd { (about.numbers.first().map_or("none", String::as_str)) } }
                    div { dt { "Affected" } dd { (parts::feet_words(course.affected())) } }
                }
                p { "This copy has all " strong { (entries.len()) } " entries of the record, in the order of the days they are about. An entry that was corrected or withdrawn stays in it, with the reason." }
                @if frame.erased > 0 { p { (frame.erased) " entries were erased; nothing of them is left." } }
                h2 { "Entries" }
                @for line in &log.lines { (entry(line, &log, frame)) }
                @if !frame.photographs.named.is_empty() {
                    h2 { "Photographs" }
                    ul { @for (_, name, said) in &frame.photographs.named { li { a href=(name) { (said) } } } }
                }
                h2 { "What is left out" }
                ul { @for text in frame.left_out() { li { (text) } } }
            }
        }
    }
}

fn entry(line: &Line<'_>, log: &CorrectedLog<'_>, frame: &CopyFrame) -> Markup {
    let entry = line.entry;
    let by = frame.writers.get(&entry.by).map_or("somebody", String::as_str);
    let reason = |id| {
        let body = log.line(id).map(|line| &line.entry.body);
        match body {
            Some(Body::Correction(one)) => one.reason.clone(),
            Some(Body::Withdrawal(one)) => one.reason.clone(),
            _ => "no reason is recorded".to_owned(),
        }
    };
    html! {
        article class=[matches!(line.fate, Fate::Withdrawn { .. }).then_some("gone")] {
            h3 { (words::day(entry.on)) ": " (entry.kind().words()) }
            @match line.fate {
                Fate::Withdrawn { by } => p { strong { "Withdrawn: " } (reason(by)) },
                Fate::Corrected { by } => p { strong { "Corrected later: " } (reason(by)) ". Below is what was written first." },
                Fate::Amends { .. } | Fate::Unchanged => {}
            }
            (contents(&entry.body))
            p.by { "Written by " (by) " on " (clock::local_words(entry.at)) }
        }
    }
}

/// The contents of an entry in plain words. A correction shows what it puts in place of the entry.
fn contents(body: &Body) -> Markup {
    match body {
        Body::Correction(correction) => html! {
            p { "Correction: " (correction.reason) }
            @if let Some(on) = correction.on { p { "The day is " (words::day(on)) "." } }
            p { (correction.body.sentence()) }
            (facts(&correction.body))
        },
        Body::Withdrawal(withdrawal) => html! { p { "Withdraws an entry: " (withdrawal.reason) } },
        Body::Sibling(link) => {
            html! { p { "A record of the " (link.relation.words()) " is in the clinic." } }
        }
        other => html! { p { (other.sentence()) } (facts(other)) },
    }
}

fn facts(body: &Body) -> Markup {
    let facts = parts::entry_facts(body);
    html! { @if !facts.is_empty() { dl { @for (label, value) in &facts { div { dt { (label) } dd { (value) } } } } } }
}

/// The same as data: the entries in their own form, with the names of those who wrote.
fn json_of(course: &Course, entries: &[Entry], frame: &CopyFrame) -> Result<Value, String> {
    let log = CorrectedLog::of(entries, Day::LAST);
    let mut out = Vec::with_capacity(entries.len());
    for line in &log.lines {
        let text = line.entry.to_json().map_err(|error| error.to_string())?;
        let mut value: Value = serde_json::from_str(&text).map_err(|error| error.to_string())?;
        without_others(&mut value);
        if let Value::Object(fields) = &mut value {
            fields.insert("written_by".to_owned(), json!(frame.writers.get(&line.entry.by)));
            fields.insert("in_words".to_owned(), json!(in_words(&line.entry.body)));
            fields.insert("state".to_owned(), json!(state(line.fate)));
        }
        out.push(value);
    }
    let photograph = |(entry, file, _): &(EntryId, String, String)| json!({ "entry": entry, "file": file });
    let photographs: Vec<Value> = frame.photographs.named.iter().map(photograph).collect();
    Ok(json!({
        "format": "plantigrade family copy",
        "version": VERSION,
        "clinic": frame.clinic,
        "made_at": frame.at.to_string(),
        "child": { "id": course.child, "name": course.about.full_name(), "numbers": course.about.numbers, "born": course.about.born },
        "entries": out,
        "entries_count": entries.len(),
        "erased_count": frame.erased,
        "photographs": photographs,
        "left_out": frame.left_out(),
    }))
}

fn in_words(body: &Body) -> String {
    match body {
        Body::Sibling(link) => format!("A record of the {} is in the clinic", link.relation.words()),
        other => other.sentence(),
    }
}

const fn state(fate: Fate) -> &'static str {
    match fate {
        Fate::Unchanged => "holds",
        Fate::Corrected { .. } => "corrected",
        Fate::Withdrawn { .. } => "withdrawn",
        Fate::Amends { .. } => "amends",
    }
}

/// Takes the ids of other children out of an entry.
fn without_others(entry: &mut Value) {
    let Some(body) = entry.get_mut("body").and_then(Value::as_object_mut) else { return };
    without_other(body);
    // A correction has the contents of another entry.
    if let Some(inner) = body.get_mut("body").and_then(Value::as_object_mut) {
        without_other(inner);
    }
}

fn without_other(body: &mut Map<String, Value>) {
    for key in ["other", "origins", "counterpart"] {
        body.remove(key);
    }
    if let Some(together) = body.get_mut("together").and_then(Value::as_object_mut) {
        without_other(together);
    }
}

impl App {
    /// The family's copy of a record.
    ///
    /// # Errors
    /// As [`of_child`].
    pub fn family_copy(&self, child: ChildId) -> Result<Option<FamilyCopy>, Failure> {
        let made = (self.clock.now(), self.clock.today());
        of_child(&self.records, &self.pictures(), child, self.settings().name.clone(), made)
    }
}
