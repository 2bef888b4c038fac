//! The present brace and the measurements of a child in a brace, as a short text in the child's summary.

use course::{Course, Standing};
use growth::{Growing, GrowingFoot};
use guidance::brace::WornBrace;
use record::{Day, EntryId, Sex, ShoulderWidth, Side};
use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// The topic of the texts.
pub(crate) const TOPIC: &str = "growth";

/// The text of a child in a brace; `None` for any other.
pub(crate) fn text(course: &Course) -> Option<String> {
    let braced = matches!(course.standing, Standing::Active) && course.brace_now().is_some();
    // A child without measurements gets a text too, so that it is counted as unmeasured.
    braced.then(|| serde_json::to_string(&WornBrace::of(course).map(WornText::from)).ok()).flatten()
}

/// [`WornBrace`] in its saved form: days as numbers, and entries numbered from 0.
#[derive(Serialize, Deserialize)]
pub(crate) struct WornText {
    #[serde(rename = "o")]
    boots: Vec<(Side, u16)>,
    #[serde(rename = "w")]
    bar_mm: Option<u16>,
    #[serde(rename = "b")]
    born: i32,
    #[serde(rename = "e")]
    early_days: i32,
    #[serde(rename = "s")]
    sex: Option<Sex>,
    #[serde(rename = "a")]
    affected: Vec<Side>,
    #[serde(rename = "f")]
    feet: Vec<(u32, i32, Side, f64)>,
    #[serde(rename = "h")]
    shoulders: Vec<(u32, i32, f64, ShoulderWidth)>,
}

impl From<WornBrace> for WornText {
    fn from(worn: WornBrace) -> Self {
        let mut known: Vec<EntryId> = Vec::new();
        let mut number = |entry: EntryId| {
            let at = known.iter().position(|one| *one == entry).unwrap_or_else(|| {
                known.push(entry);
                known.len() - 1
            });
            u32::try_from(at).unwrap_or(u32::MAX)
        };
        let Growing { born, early_days, sex, affected, feet, shoulders } = worn.growing;
        Self {
            boots: worn.boots,
            bar_mm: worn.bar_mm,
            born: born.number(),
            early_days,
            sex,
            affected,
            feet: feet
                .iter()
                .map(|foot| (number(foot.entry), foot.on.number(), foot.side, foot.mm))
                .collect(),
            shoulders: shoulders
                .iter()
                .map(|&(entry, on, mm, width)| (number(entry), on.number(), mm, width))
                .collect(),
        }
    }
}

impl From<WornText> for WornBrace {
    fn from(text: WornText) -> Self {
        let entry = |number: u32| EntryId::new(Uuid::from_u128(u128::from(number)));
        let foot = |(number, on, side, mm): (u32, i32, Side, f64)| GrowingFoot {
            entry: entry(number),
            on: Day::from_number(on),
            side,
            mm,
        };
        let width = |(number, on, mm, width): (u32, i32, f64, ShoulderWidth)| {
            (entry(number), Day::from_number(on), mm, width)
        };
        let growing = Growing {
            born: Day::from_number(text.born),
            early_days: text.early_days,
            sex: text.sex,
            affected: text.affected,
            feet: text.feet.into_iter().map(foot).collect(),
            shoulders: text.shoulders.into_iter().map(width).collect(),
        };
        Self { spell: EntryId::new(Uuid::nil()), bar_mm: text.bar_mm, boots: text.boots, growing }
    }
}
