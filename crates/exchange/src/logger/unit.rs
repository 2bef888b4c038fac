//! °C or °F.

/// A unit of temperature.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unit {
    Celsius,
    Fahrenheit,
}

/// The unit that a text names.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) enum NamedUnit {
    #[default]
    None,
    One(Unit),
    /// °C as well as °F.
    Both,
}

impl NamedUnit {
    const fn of(celsius: bool, fahrenheit: bool) -> Self {
        match (celsius, fahrenheit) {
            (true, true) => Self::Both,
            (true, false) => Self::One(Unit::Celsius),
            (false, true) => Self::One(Unit::Fahrenheit),
            (false, false) => Self::None,
        }
    }

    /// The unit, where exactly one is named.
    pub(super) const fn one(self) -> Option<Unit> {
        match self {
            Self::One(unit) => Some(unit),
            Self::None | Self::Both => None,
        }
    }
}

/// No boot or room is warmer than this in °C; nearly all are in °F.
const TOO_WARM_C: f64 = 45.0;
/// Fewer rows in a row than this are faults, not another unit.
const LEAST_RUN: usize = 10;

impl Unit {
    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::Celsius => "°C",
            Self::Fahrenheit => "°F",
        }
    }

    /// From a heading, or from what follows a number. A written unit outweighs a lone letter, which may also be
    /// the name of a channel.
    pub(super) fn named(text: &str) -> NamedUnit {
        let low = text.to_lowercase();
        let words: Vec<&str> = low.split(|c: char| !c.is_alphanumeric() && c != '°' && c != 'º').collect();
        let has = |names: &[&str]| words.iter().any(|word| names.contains(word));
        let celsius = low.contains("celsius") || low.contains("centigrad") || has(&["°c", "ºc", "degc"]);
        let fahrenheit = low.contains("fahrenheit") || has(&["°f", "ºf", "degf"]);
        match NamedUnit::of(celsius, fahrenheit) {
            NamedUnit::None => NamedUnit::of(has(&["c"]), has(&["f"])),
            written => written,
        }
    }

    pub(super) fn to_celsius(self, value: f64) -> f64 {
        match self {
            Self::Celsius => value,
            Self::Fahrenheit => (value - 32.0) / 1.8,
        }
    }
}

/// A temperature as a cell gives it, with its own mark where it has one.
pub(super) fn temperature(text: &str) -> Option<(f64, Option<Unit>)> {
    let text = text.trim().trim_matches('"').trim();
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+' | '−')))
        .unwrap_or(text.len());
    let (number, mark) = text.split_at(end);
    let plain = number.replace('−', "-").replace(',', ".");
    let value: f64 = plain.parse().ok()?;
    let mark = mark.trim();
    if mark.is_empty() {
        return Some((value, None));
    }
    // Letters that are no unit make it something else than a temperature.
    let own = Unit::named(mark).one()?;
    (mark.chars().count() <= 12).then_some((value, Some(own)))
}

/// Turns values without a mark of their own into °C, in place, by the unit of the heading or by their
/// size; a long enough stretch that only makes sense in the other unit is read in it. `rows` are the
/// numbers of the rows.
pub(super) fn settle(
    values: &mut [f64],
    marks: &[Option<Unit>],
    heading: NamedUnit,
    rows: &[usize],
) -> Vec<String> {
    let mut notes = Vec::new();
    let mut unmarked: Vec<f64> =
        values.iter().zip(marks).filter(|(_, mark)| mark.is_none()).map(|(value, _)| *value).collect();
    let unit = heading.one().unwrap_or_else(|| {
        let middle = unmarked.len() / 2;
        let median = if unmarked.is_empty() {
            20.0
        } else {
            *unmarked.select_nth_unstable_by(middle, f64::total_cmp).1
        };
        if median > TOO_WARM_C { Unit::Fahrenheit } else { Unit::Celsius }
    });
    if heading == NamedUnit::Both && !unmarked.is_empty() {
        let words = unit.words();
        notes.push(format!(
            "The heading names both °C and °F. By their size the values were read as {words}."
        ));
    }
    if heading == NamedUnit::None && unit == Unit::Fahrenheit && !unmarked.is_empty() {
        notes.push(
            "The file does not name its unit. The values are too high for °C and were read as °F.".to_owned(),
        );
    }
    let marked = |wanted| marks.iter().filter(|mark| **mark == Some(wanted)).count();
    let (c, f) = (marked(Unit::Celsius), marked(Unit::Fahrenheit));
    if c > 0 && f > 0 {
        notes.push(format!("The file marks {c} values as °C and {f} as °F; each was read in its own unit."));
    }
    let other = if unit == Unit::Celsius { Unit::Fahrenheit } else { Unit::Celsius };
    let foreign: Vec<bool> =
        values.iter().zip(marks).map(|(value, mark)| mark.is_none() && is_foreign(unit, *value)).collect();
    let (mut values, mut marks, mut rows) = (values, marks, rows);
    for run in foreign.chunk_by(|a, b| a == b) {
        let here = run.len().min(values.len()).min(marks.len()).min(rows.len());
        let (of_run, rest) = std::mem::take(&mut values).split_at_mut(here);
        let (marks_of_run, marks_left) = marks.split_at(here);
        let (rows_of_run, rows_left) = rows.split_at(here);
        (values, marks, rows) = (rest, marks_left, rows_left);
        let is_other = run.first() == Some(&true) && here >= LEAST_RUN;
        let read_as = if is_other { other } else { unit };
        if let (true, Some(first), Some(last)) = (is_other, rows_of_run.first(), rows_of_run.last()) {
            notes.push(format!(
                "Rows {first} to {last} make no sense in {} and were read in {}: the unit changes within the file.",
                unit.words(),
                other.words()
            ));
        }
        for (value, mark) in of_run.iter_mut().zip(marks_of_run) {
            *value = mark.unwrap_or(read_as).to_celsius(*value);
        }
    }
    notes
}

/// Whether a value only makes sense in the other unit.
fn is_foreign(unit: Unit, value: f64) -> bool {
    match unit {
        Unit::Celsius => value > TOO_WARM_C && value < 120.0,
        // A boot or a room below 45 °F is a cellar in winter; in °C it is any boot or room.
        Unit::Fahrenheit => (5.0..45.0).contains(&value),
    }
}
