//! The clinic's own stock list of boots and bars: labels, inner lengths, range of the bars, and the number in
//! stock. No make or model is known here; the list belongs to the clinic.
//!
//! ```toml
//! [[boots]]
//! label = "small blue"
//! inner_mm = 95
//! in_store = 4
//!
//! [[bars]]
//! label = "short"
//! from_mm = 170
//! to_mm = 240
//! in_store = 2
//! ```

use record::{
    EntryId,
    bounds::{BAR_LENGTH, Bound, FOOT_LENGTH},
};
use std::collections::BTreeSet;
use std::fmt::Write as _;
use toml_edit::{ArrayOfTables, Document, Item, Table};

/// A size of boot. Boots are counted in pairs unless the clinic counts them differently.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BootSize {
    /// The clinic's own label.
    pub label: String,
    /// Length inside, mm.
    pub inner_mm: u16,
    /// The number in stock; `None` if it is not counted.
    pub in_store: Option<u16>,
}

/// A kind of bar.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bar {
    /// The clinic's own label.
    pub label: String,
    /// Shortest setting, heel to heel, mm.
    pub from_mm: u16,
    /// Longest setting, mm.
    pub to_mm: u16,
    /// The number in stock; `None` if it is not counted.
    pub in_store: Option<u16>,
}

/// What was taken out of stock for one fitting, by the labels of the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TakenItems {
    /// The entry of the fitting or of the change of size.
    pub entry: EntryId,
    /// Sizes of boot, one pair of each.
    pub boots: Vec<String>,
    /// Bars, one of each.
    pub bars: Vec<String>,
    /// Bars that were asked for and not in stock. The entry itself does not name its bar.
    pub missing_bars: Vec<String>,
    /// What became of it.
    pub state: TakenState,
}

/// What became of the things taken out of stock for a fitting.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum TakenState {
    /// They are out of stock for it.
    #[default]
    Out,
    /// They were put back.
    PutBack,
    /// The fitting no longer holds as it was, and they stay out of stock all the same.
    StaysOut,
}

impl TakenState {
    const ALL: [Self; 3] = [Self::Out, Self::PutBack, Self::StaysOut];

    const fn key(self) -> &'static str {
        match self {
            Self::Out => "out",
            Self::PutBack => "put back",
            Self::StaysOut => "stays out",
        }
    }
}

impl TakenItems {
    /// Nothing taken for an entry.
    pub(super) fn nothing_for(entry: EntryId) -> Self {
        let (boots, bars, missing_bars) = (Vec::new(), Vec::new(), Vec::new());
        Self { entry, boots, bars, missing_bars, state: TakenState::Out }
    }

    /// Whether anything is out of stock for the fitting.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.state == TakenState::Out && !self.is_nothing()
    }

    /// Whether a person may ask for it again without taking a second pair for one fitting.
    #[must_use]
    pub fn can_be_taken_again(&self) -> bool {
        self.state == TakenState::PutBack || self.is_nothing()
    }

    fn is_nothing(&self) -> bool {
        self.boots.is_empty() && self.bars.is_empty()
    }
}

/// The clinic's stock list.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Stock {
    /// Boots, shortest first.
    pub boots: Vec<BootSize>,
    /// Bars, shortest first.
    pub bars: Vec<Bar>,
    /// What was taken for fittings, the latest last; of the oldest nothing is known any more.
    pub taken: Vec<TakenItems>,
}

/// A list that cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {reason}")]
pub struct StockError {
    /// Line of the list, from 1.
    pub line: usize,
    /// The reason, as one sentence.
    pub reason: String,
}

/// A boot on the list, compared with the wanted length.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Matched {
    /// The boot.
    pub boot: BootSize,
    /// How much longer its inside is than the longest wanted length; 0 if it fits.
    pub long_by_mm: u16,
}

/// The longest list that is read, in bytes.
const LONGEST: usize = 1_000_000;
const MOST_ROWS: usize = 200;
/// The most fittings of which the list remembers what they took. Boots taken before are worn out.
const MOST_TAKEN: usize = 1_000;
/// The largest count.
pub(super) const MOST_COUNTED: u16 = 10_000;

impl Stock {
    /// Whether the list is empty.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.boots.is_empty() && self.bars.is_empty()
    }

    /// Makes a list from sizes in any order.
    #[must_use]
    pub fn of(mut boots: Vec<BootSize>, mut bars: Vec<Bar>) -> Self {
        boots.sort_by_key(|boot| boot.inner_mm);
        bars.sort_by_key(|bar| (bar.from_mm, bar.to_mm));
        Self { boots, bars, taken: Vec::new() }
    }

    /// The differences from another list, label by label: "boot A: 4 in stock; below: 3 in stock".
    #[must_use]
    pub fn otherwise(&self, below: &Self) -> Vec<String> {
        let boots = |stock: &Self| -> Vec<(String, String)> {
            let described =
                |boot: &BootSize| format!("{} mm inside, {}", boot.inner_mm, counted(boot.in_store));
            stock.boots.iter().map(|boot| (format!("boot {}", boot.label), described(boot))).collect()
        };
        let bars = |stock: &Self| -> Vec<(String, String)> {
            let described =
                |bar: &Bar| format!("{}–{} mm, {}", bar.from_mm, bar.to_mm, counted(bar.in_store));
            stock.bars.iter().map(|bar| (format!("bar {}", bar.label), described(bar))).collect()
        };
        let mut changes = differences(&boots(self), &boots(below));
        changes.extend(differences(&bars(self), &bars(below)));
        changes
    }

    /// Reads the list.
    ///
    /// # Errors
    /// Line and reason.
    pub fn read(text: &str) -> Result<Self, StockError> {
        let wrong = |line, reason: String| StockError { line, reason };
        if text.len() > LONGEST {
            return Err(wrong(1, format!("the list is too long: at most {LONGEST} bytes are read")));
        }
        let document = Document::parse(text).map_err(|error| {
            let first = error.message().lines().next().unwrap_or_default();
            wrong(line_of(text, error.span()), format!("this list is not valid TOML: {first}"))
        })?;
        let reader = Reader { text };
        let mut stock = Self::default();
        for (name, item) in document.iter() {
            match name {
                "boots" => stock.boots = reader.rows(name, item, Reader::boot)?,
                "bars" => stock.bars = reader.rows(name, item, Reader::bar)?,
                "taken" => stock.taken = reader.rows(name, item, Reader::taken)?,
                _ => {
                    let line = line_of(text, document.get_key_value(name).and_then(|(key, _)| key.span()));
                    let name: String = name.chars().take(60).collect();
                    return Err(wrong(
                        line,
                        format!("unknown section “{name}”: the list has [[boots]] and [[bars]]"),
                    ));
                }
            }
        }
        Ok(Self { taken: stock.taken, ..Self::of(stock.boots, stock.bars) })
    }

    /// The list as TOML, with what was taken for fittings.
    #[must_use]
    pub fn to_file(&self) -> String {
        let mut text = self.to_toml();
        let array = |labels: &[String]| labels.iter().collect::<toml_edit::Array>().to_string();
        for taken in self.taken.iter().skip(self.taken.len().saturating_sub(MOST_TAKEN)) {
            let TakenItems { entry, boots, bars, missing_bars, state } = taken;
            let _ = writeln!(
                text,
                "[[taken]]\nentry = \"{entry}\"\nboots = {}\nbars = {}\nmissing_bars = {}\nstate = \"{}\"\n",
                array(boots),
                array(bars),
                array(missing_bars),
                state.key()
            );
        }
        text
    }

    /// The sizes and bars as TOML, for a person.
    #[must_use]
    pub fn to_toml(&self) -> String {
        let mut text = String::new();
        let quoted = |label: &str| toml_edit::Value::from(label).to_string();
        let count = |text: &mut String, in_store: Option<u16>| {
            if let Some(count) = in_store {
                let _ = writeln!(text, "in_store = {count}");
            }
            text.push('\n');
        };
        for boot in &self.boots {
            let _ =
                writeln!(text, "[[boots]]\nlabel = {}\ninner_mm = {}", quoted(&boot.label), boot.inner_mm);
            count(&mut text, boot.in_store);
        }
        for bar in &self.bars {
            let label = quoted(&bar.label);
            let _ =
                writeln!(text, "[[bars]]\nlabel = {label}\nfrom_mm = {}\nto_mm = {}", bar.from_mm, bar.to_mm);
            count(&mut text, bar.in_store);
        }
        text
    }

    /// The shortest boot on the list that is long enough, and by how much it is too long.
    #[must_use]
    pub fn boot_for(&self, inside_mm: (u16, u16)) -> Option<Matched> {
        let boot = self.boots.iter().find(|boot| boot.inner_mm >= inside_mm.0)?;
        Some(Matched { boot: boot.clone(), long_by_mm: boot.inner_mm.saturating_sub(inside_mm.1) })
    }

    /// The bars that can be set to a length, the one that leaves most room for growth first.
    #[must_use]
    pub fn bars_for(&self, length_mm: u16) -> Vec<&Bar> {
        let reach = |bar: &&Bar| (bar.from_mm..=bar.to_mm).contains(&length_mm);
        let mut bars: Vec<&Bar> = self.bars.iter().filter(reach).collect();
        bars.sort_by_key(|bar| std::cmp::Reverse(bar.to_mm));
        bars
    }
}

fn counted(in_store: Option<u16>) -> String {
    in_store.map_or_else(|| "not counted".to_owned(), |count| format!("{count} in stock"))
}

fn differences(now: &[(String, String)], below: &[(String, String)]) -> Vec<String> {
    let of = |rows: &[(String, String)], label: &str| {
        rows.iter()
            .find(|row| row.0 == label)
            .map_or_else(|| "not on the list".to_owned(), |row| row.1.clone())
    };
    let mut labels: Vec<&str> = now.iter().chain(below).map(|row| row.0.as_str()).collect();
    let mut known = BTreeSet::new();
    labels.retain(|label| known.insert(*label));
    let rows = labels.into_iter().map(|label| (label, of(now, label), of(below, label)));
    rows.filter(|(_, now, below)| now != below)
        .map(|(label, now, below)| format!("{label}: {now}; below: {below}"))
        .collect()
}

struct Reader<'a> {
    text: &'a str,
}

impl Reader<'_> {
    fn rows<T>(
        &self,
        name: &str,
        item: &Item,
        read: impl Fn(&Self, &Table, usize) -> Result<T, StockError>,
    ) -> Result<Vec<T>, StockError> {
        let fail = |line, reason| StockError { line, reason };
        let rows = item.as_array_of_tables().map(ArrayOfTables::iter);
        let Some(rows) = rows else {
            let reason = format!("each entry of {name} must begin with a line [[{name}]]");
            return Err(fail(line_of(self.text, item.span()), reason));
        };
        let (mut out, mut labels) = (Vec::new(), BTreeSet::new());
        for table in rows {
            let line = line_of(self.text, table.span());
            let most = if name == "taken" { MOST_TAKEN } else { MOST_ROWS };
            if out.len() == most {
                return Err(fail(line, format!("more than {most} {name} are not accepted")));
            }
            let label = table.get("label").and_then(Item::as_str).unwrap_or_default().trim().to_owned();
            if !label.is_empty() && !labels.insert(label.clone()) {
                return Err(fail(line, format!("the label “{label}” is used twice among the {name}")));
            }
            out.push(read(self, table, line)?);
        }
        Ok(out)
    }

    fn boot(&self, table: &Table, line: usize) -> Result<BootSize, StockError> {
        self.only(table, &["label", "inner_mm", "in_store"])?;
        Ok(BootSize {
            label: self.label(table, line)?,
            inner_mm: self.length(table, "inner_mm", &FOOT_LENGTH, line)?,
            in_store: self.count(table)?,
        })
    }

    fn bar(&self, table: &Table, line: usize) -> Result<Bar, StockError> {
        self.only(table, &["label", "from_mm", "to_mm", "in_store"])?;
        let from_mm = self.length(table, "from_mm", &BAR_LENGTH, line)?;
        let to_mm = self.length(table, "to_mm", &BAR_LENGTH, line)?;
        if from_mm > to_mm {
            let reason = format!("from_mm, {from_mm}, is longer than to_mm, {to_mm}");
            return Err(StockError { line, reason });
        }
        Ok(Bar { label: self.label(table, line)?, from_mm, to_mm, in_store: self.count(table)? })
    }

    fn taken(&self, table: &Table, line: usize) -> Result<TakenItems, StockError> {
        self.only(table, &["entry", "boots", "bars", "missing_bars", "state"])?;
        let entry = table.get("entry").and_then(Item::as_str).and_then(|text| text.parse().ok());
        let labels = |name: &str| -> Vec<String> {
            let array = table.get(name).and_then(Item::as_array);
            array.into_iter().flatten().filter_map(|label| label.as_str().map(str::to_owned)).collect()
        };
        let key = table.get("state").and_then(Item::as_str).unwrap_or_default();
        let reason = "entry: the id of a fitting is expected".to_owned();
        Ok(TakenItems {
            entry: entry.ok_or(StockError { line, reason })?,
            boots: labels("boots"),
            bars: labels("bars"),
            missing_bars: labels("missing_bars"),
            state: TakenState::ALL.into_iter().find(|state| state.key() == key).unwrap_or_default(),
        })
    }

    fn only(&self, table: &Table, known: &[&str]) -> Result<(), StockError> {
        let unknown = table.iter().find(|(name, _)| !known.contains(name));
        let Some((name, _)) = unknown else { return Ok(()) };
        let line = line_of(self.text, table.get_key_value(name).and_then(|(key, _)| key.span()));
        let name: String = name.chars().take(60).collect();
        Err(StockError { line, reason: format!("unknown key “{name}”: use {}", known.join(", ")) })
    }

    fn label(&self, table: &Table, line: usize) -> Result<String, StockError> {
        let label = table.get("label").and_then(Item::as_str).map(str::trim).unwrap_or_default();
        if label.is_empty() || label.chars().count() > 100 {
            let reason = "label is required, in quotation marks, at most 100 characters long".to_owned();
            return Err(StockError { line, reason });
        }
        Ok(label.to_owned())
    }

    fn length(&self, table: &Table, name: &str, bound: &Bound, line: usize) -> Result<u16, StockError> {
        let Some(item) = table.get(name) else {
            return Err(StockError { line, reason: format!("{name} is missing") });
        };
        let line = line_of(self.text, item.span());
        let mm = item.as_integer().and_then(|mm| u16::try_from(mm).ok());
        let mm = mm.filter(|&mm| (bound.possible.0..=bound.possible.1).contains(&f64::from(mm)));
        let (low, high) = bound.possible;
        mm.ok_or_else(|| StockError {
            line,
            reason: format!("{name}: expected whole millimetres from {low} to {high}"),
        })
    }

    fn count(&self, table: &Table) -> Result<Option<u16>, StockError> {
        let Some(item) = table.get("in_store") else { return Ok(None) };
        let count = item
            .as_integer()
            .and_then(|count| u16::try_from(count).ok())
            .filter(|&count| count <= MOST_COUNTED);
        let line = line_of(self.text, item.span());
        let reason = "in_store: expected a whole number from 0 to 10000".to_owned();
        count.map(Some).ok_or(StockError { line, reason })
    }
}

fn line_of(text: &str, span: Option<std::ops::Range<usize>>) -> usize {
    let end = span.map_or(0, |span| span.start.min(text.len()));
    1 + text.as_bytes().iter().take(end).filter(|&&byte| byte == b'\n').count()
}
