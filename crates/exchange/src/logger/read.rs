//! Reading a logger's file line by line.

use super::clock::{Clock, Zone};
use super::columns::{Cells, Layout, NoLayout, layout};
use super::moment::{Date, Moment, counted, time_of_day, whole};
use super::order::Series;
use super::unit::{Unit, settle, temperature};
use super::{LoggerError, LoggerFile};
use crate::{DateOrder, delimited::Splitter};
use std::collections::BTreeMap;
use std::io::{BufRead, Cursor, Read as _};

/// How a file is to be read.
#[derive(Debug, Clone, Default)]
pub struct LoggerRequest {
    /// The zone of local times.
    pub zone: Zone,
    /// Which logger, where the file holds several.
    pub logger: Option<String>,
}

/// Lines looked at before the layout is settled.
const SAMPLE: usize = 4_000;
/// Unreadable rows named in the notes.
const NAMED: usize = 5;
/// No logger runs longer, days.
const LONGEST_DAYS: i64 = 6 * 366;

/// Reads a logger's file.
///
/// # Errors
/// [`LoggerError`], in a sentence that names rows.
pub fn read_logger(file: Box<dyn BufRead>, request: &LoggerRequest) -> Result<LoggerFile, LoggerError> {
    let mut lines = Lines::of(file)?;
    let sample = lines.sample()?;
    let layout = match layout(&sample) {
        Ok(layout) => layout,
        Err(NoLayout::Which(columns)) => {
            return Err(LoggerError::WhichColumn { columns: columns.join(", ") });
        }
        Err(NoLayout::NoRows) => {
            let first: Vec<String> = sample.iter().take(3).map(|line| format!("“{}”", short(line))).collect();
            return Err(LoggerError::NoRows { rows: sample.len(), first: first.join(", ") });
        }
    };
    let (order, order_note) = date_order(&sample, &layout);
    let mut rows = Rows::new(layout, order, request.zone.clone());
    rows.notes.extend(order_note);
    rows.wanted.clone_from(&request.logger);
    for (at, line) in sample.iter().enumerate() {
        rows.take(line, at + 1);
    }
    drop(sample);
    while let Some(line) = lines.next()? {
        rows.take(&line, lines.row);
    }
    rows.finish(request)
}

fn short(line: &str) -> String {
    record::quoted(line)
}

/// A file's lines as text.
struct Lines {
    file: Box<dyn BufRead>,
    row: usize,
    buffer: Vec<u8>,
}

/// Longer lines are cut: no row of a logger is so long.
const LONGEST_LINE: u64 = 64 * 1024;

impl Lines {
    fn of(mut file: Box<dyn BufRead>) -> Result<Self, LoggerError> {
        let start = file.fill_buf()?;
        if start.is_empty() {
            return Err(LoggerError::Empty);
        }
        let wide = crate::table::is_wide(start);
        if let Some(looks) = crate::table::looks_foreign(start) {
            return Err(LoggerError::Foreign(looks));
        }
        if wide {
            // Rare and small: a sheet saved as wide text.
            let mut all = Vec::new();
            file.read_to_end(&mut all)?;
            file = Box::new(Cursor::new(crate::table::text_of(&all).into_bytes()));
        }
        Ok(Self { file, row: 0, buffer: Vec::new() })
    }

    /// The next line; an old encoding's degree sign is read as one.
    fn next(&mut self) -> Result<Option<String>, LoggerError> {
        self.buffer.clear();
        let read = self.file.by_ref().take(LONGEST_LINE).read_until(b'\n', &mut self.buffer)?;
        if read == 0 {
            return Ok(None);
        }
        self.row += 1;
        let line = self.buffer.trim_ascii();
        let line = line.strip_prefix(b"\xef\xbb\xbf").unwrap_or(line);
        Ok(Some(match std::str::from_utf8(line) {
            Ok(text) => text.to_owned(),
            Err(_) => line.iter().map(|byte| char::from(*byte)).collect(),
        }))
    }

    fn sample(&mut self) -> Result<Vec<String>, LoggerError> {
        let mut lines = Vec::new();
        while lines.len() < SAMPLE {
            match self.next()? {
                Some(line) => lines.push(line),
                None => break,
            }
        }
        Ok(lines)
    }
}

/// Day or month first, from the sample: by a figure above 12, else by which order runs more evenly.
fn date_order(sample: &[String], layout: &Layout) -> (DateOrder, Option<String>) {
    let mut open: Vec<(u32, u32, i32)> = Vec::new();
    let mut splitter = Splitter::new(layout.separator);
    for line in sample {
        let cells = splitter.line(line);
        let cell = cells.get(layout.moment).map_or("", AsRef::as_ref);
        let date = if layout.time.is_some() { Date::read(cell) } else { whole(cell).map(|whole| whole.0) };
        if let Some(Date::Open(first, second, year)) = date {
            open.push((first, second, year));
        }
    }
    if open.iter().any(|date| date.0 > 12) {
        return (DateOrder::DayFirst, None);
    }
    if open.iter().any(|date| date.1 > 12) {
        return (DateOrder::MonthFirst, None);
    }
    open.dedup();
    let span = |order| {
        let days: Vec<i32> = open
            .iter()
            .filter_map(|date| Date::Open(date.0, date.1, date.2).day(order))
            .map(record::Day::number)
            .collect();
        let steps = days.iter().zip(days.iter().skip(1));
        steps.map(|(before, after)| i64::from(after - before).abs()).sum::<i64>()
    };
    match span(DateOrder::DayFirst).cmp(&span(DateOrder::MonthFirst)) {
        std::cmp::Ordering::Greater => (DateOrder::MonthFirst, None),
        std::cmp::Ordering::Less => (DateOrder::DayFirst, None),
        std::cmp::Ordering::Equal => {
            let note = "The dates do not show whether the day or the month comes first; they were read as day first.";
            (DateOrder::DayFirst, (!open.is_empty()).then(|| note.to_owned()))
        }
    }
}

/// The rows as they are taken in.
struct Rows {
    layout: Layout,
    splitter: Splitter,
    order: DateOrder,
    clock: Clock,
    series: Series,
    marks: Vec<Option<Unit>>,
    wanted: Option<String>,
    /// Rows of each logger named in the file, and the first of them.
    loggers: BTreeMap<String, (usize, usize)>,
    begun: bool,
    unreadable: Vec<(usize, String)>,
    unreadable_count: usize,
    notes: Vec<String>,
}

impl Rows {
    fn new(layout: Layout, order: DateOrder, zone: Zone) -> Self {
        Self {
            splitter: Splitter::new(layout.separator),
            layout,
            order,
            clock: Clock::new(zone),
            series: Series::default(),
            marks: Vec::new(),
            wanted: None,
            loggers: BTreeMap::new(),
            begun: false,
            unreadable: Vec::new(),
            unreadable_count: 0,
            notes: Vec::new(),
        }
    }

    fn take(&mut self, line: &str, row: usize) {
        if line.is_empty() {
            return;
        }
        let cells = self.splitter.line(line);
        let cell = |at: usize| cells.get(at).map_or("", AsRef::as_ref);
        let moment = self.moment(&cells).filter(Moment::is_in_calendar);
        let value = temperature(cell(self.layout.temperature));
        let (Some(moment), Some((value, own))) = (moment, value) else {
            // There are headings above the first row.
            if self.begun {
                self.unreadable_count += 1;
                if self.unreadable.len() < NAMED {
                    let what = if moment.is_none() {
                        cell(self.layout.moment)
                    } else {
                        cell(self.layout.temperature)
                    };
                    self.unreadable.push((row, short(what)));
                }
            }
            return;
        };
        self.begun = true;
        if let Some(name) = self.layout.logger.map(cell).filter(|name| !name.is_empty()) {
            match self.loggers.get_mut(name) {
                Some(seen) => seen.0 += 1,
                None => drop(self.loggers.insert(name.to_owned(), (1, row))),
            }
            if self.wanted.as_deref().is_some_and(|wanted| wanted != name) {
                return;
            }
        }
        let mark = own.or_else(|| self.layout.unit_column.and_then(|at| Unit::named(cell(at)).one()));
        let at_s = self.clock.elapsed(moment, row);
        self.series.at_s.push(at_s);
        self.series.celsius.push(value);
        self.series.rows.push(u32::try_from(row).unwrap_or(u32::MAX));
        self.marks.push(mark);
    }

    fn moment(&self, cells: &Cells<'_>) -> Option<Moment> {
        let cell = cells.get(self.layout.moment)?;
        let at = |date: Date, seconds: i64, offset_s| {
            let day = date.day(self.order)?;
            Some(Moment { clock_s: i64::from(day.number()) * 86_400 + seconds, offset_s })
        };
        if let Some(time) = self.layout.time {
            return at(Date::read(cell)?, time_of_day(cells.get(time)?)?, None);
        }
        match whole(cell) {
            Some((date, seconds, offset)) => at(date, seconds, offset),
            // A spreadsheet leaves the time out at midnight.
            None => counted(cell).or_else(|| at(Date::read(cell)?, 0, None)),
        }
    }

    fn finish(mut self, request: &LoggerRequest) -> Result<LoggerFile, LoggerError> {
        let there: Vec<String> = self
            .loggers
            .iter()
            .map(|(name, (count, first))| format!("“{name}” ({count} rows, first row {first})"))
            .collect();
        if let (Some(asked), false) = (&request.logger, self.loggers.is_empty()) {
            if !self.loggers.contains_key(asked) {
                return Err(LoggerError::NoSuchLogger { asked: asked.clone(), there: there.join(", ") });
            }
        } else if let (Some(asked), Some(serial)) = (&request.logger, &self.layout.serial) {
            if asked != serial {
                let there = format!("“{serial}”");
                return Err(LoggerError::NoSuchLogger { asked: asked.clone(), there });
            }
        } else if there.len() > 1 {
            return Err(LoggerError::TwoLoggers { count: there.len(), loggers: there.join(", ") });
        }
        if self.unreadable_count > 0 {
            let told: Vec<String> =
                self.unreadable.iter().map(|(row, what)| format!("row {row} (“{what}”)")).collect();
            let more = if self.unreadable_count > told.len() { " and others" } else { "" };
            self.notes.push(format!(
                "{} hold no time or no temperature and count as missing: {}{more}.",
                rows(self.unreadable_count),
                told.join(", ")
            ));
        }
        let numbers: Vec<usize> = self.series.rows.iter().map(|row| *row as usize).collect();
        let units = settle(&mut self.series.celsius, &self.marks, self.layout.unit, &numbers);
        self.notes.extend(units);
        drop(numbers);
        let rows = self.series.at_s.len();
        self.notes.extend(self.series.put_in_order()?);
        let (first, last) = match (self.series.at_s.first(), self.series.at_s.last()) {
            (Some(first), Some(last)) => (*first, *last),
            _ => return Err(LoggerError::Empty),
        };
        if last - first > LONGEST_DAYS * 86_400 {
            let words = |at: i64| record::Day::from_number((at / 86_400) as i32).words();
            return Err(LoggerError::TooLong { from: words(first), to: words(last) });
        }
        self.notes.extend(self.clock.notes());
        let logger =
            request.logger.clone().or_else(|| self.loggers.into_keys().next()).or(self.layout.serial);
        let days = self.clock.days(first, last);
        let Series { at_s, celsius, .. } = self.series;
        Ok(LoggerFile { at_s, celsius, days, logger, rows, notes: self.notes })
    }
}

fn rows(count: usize) -> String {
    if count == 1 { "1 row".to_owned() } else { format!("{count} rows") }
}
