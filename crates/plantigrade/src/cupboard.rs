//! What every child in a brace adds to the needs of the cupboard, kept as long as the program runs.
//!
//! The summary of a child in a brace holds its measurements and what it wears as one short text, so that no
//! log is read for the page Stock. From the texts the share of each child is worked out once a day, and
//! again for everybody when the clinic's list of sizes changes; a child written about is done again by
//! itself when the page is next asked for.

use archive::{Archive, ArchiveError};
use course::{Course, Standing};
use growth::{Growing, GrowingFoot};
use guidance::{
    Protocol,
    brace::{Needs, Outgrowing, Share, Stock, Worn},
};
use rayon::prelude::*;
use record::{ChildId, Day, DayRange, EntryId, Sex, ShoulderWidth, Side};
use serde::{Deserialize, Serialize};
use std::{
    collections::{BTreeMap, HashSet},
    sync::{Mutex, PoisonError},
};
use uuid::Uuid;

/// The topic of the texts.
pub const TOPIC: &str = "growth";
/// Texts held at once while all are worked on.
const AT_ONCE: usize = 8_192;

/// The text of a child in a brace; `None` for any other.
#[must_use]
pub fn text(course: &Course) -> Option<String> {
    let braced = matches!(course.standing, Standing::Active) && course.brace_now().is_some();
    // A child of whom nothing can be said is counted as such.
    braced.then(|| serde_json::to_string(&Worn::of(course).map(Text::from)).ok()).flatten()
}

/// [`Worn`] as it is written: days as numbers, and entries numbered from the first.
#[derive(Serialize, Deserialize)]
struct Text {
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

impl From<Worn> for Text {
    fn from(worn: Worn) -> Self {
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

impl From<Text> for Worn {
    fn from(text: Text) -> Self {
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

/// What the shares depend on beside the children.
#[derive(Clone, Copy)]
pub struct Asked<'a> {
    /// The protocol in force.
    pub protocol: &'a Protocol,
    /// The clinic's list.
    pub stock: &'a Stock,
    /// The days.
    pub window: DayRange,
}

impl Asked<'_> {
    fn share(&self, text: &str) -> Share {
        let worn: Option<Text> = serde_json::from_str(text).ok().flatten();
        let outgrowing = worn.and_then(|text| Outgrowing::of_worn(text.into(), self.protocol));
        Share::of(outgrowing.as_ref(), self.window, self.protocol, self.stock)
    }
}

/// The shares worked out last.
struct Shares {
    window: DayRange,
    sizes: Vec<u16>,
    /// In order of child, so that sums come out the same.
    of_child: BTreeMap<ChildId, Share>,
}

/// Children written about since.
#[derive(Default)]
struct Written {
    all: bool,
    children: HashSet<ChildId>,
}

/// The shares kept.
#[derive(Default)]
pub struct Cupboard {
    shares: Mutex<Option<Shares>>,
    // Apart, so that nobody who writes waits for the page.
    written: Mutex<Written>,
}

impl Cupboard {
    /// What every child in the brace will need.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn needs(&self, archive: &Archive, asked: Asked<'_>) -> Result<Needs, ArchiveError> {
        let mut kept = self.shares.lock().unwrap_or_else(PoisonError::into_inner);
        let written = std::mem::take(&mut *self.written.lock().unwrap_or_else(PoisonError::into_inner));
        let sizes: Vec<u16> = asked.stock.boots.iter().map(|boot| boot.inner_mm).collect();
        let same = |shares: &Shares| shares.window == asked.window && shares.sizes == sizes;
        // Taken out, so that a reading that fails leaves nothing half done.
        let shares = match kept.take().filter(|shares| !written.all && same(shares)) {
            Some(mut shares) => {
                for child in written.children {
                    match archive.kept(TOPIC, child)? {
                        Some(text) => shares.of_child.insert(child, asked.share(&text)),
                        None => shares.of_child.remove(&child),
                    };
                }
                shares
            }
            None => Shares { window: asked.window, sizes, of_child: all(archive, asked)? },
        };
        let mut needs = Needs::default();
        shares.of_child.values().for_each(|share| needs.add(*share));
        *kept = Some(shares);
        Ok(needs)
    }

    /// A child was written about; any child where none is named.
    pub fn forget(&self, child: Option<ChildId>) {
        let mut written = self.written.lock().unwrap_or_else(PoisonError::into_inner);
        match child {
            Some(child) => {
                written.children.insert(child);
            }
            None => *written = Written { all: true, children: HashSet::new() },
        }
    }
}

fn all(archive: &Archive, asked: Asked<'_>) -> Result<BTreeMap<ChildId, Share>, ArchiveError> {
    let mut shares = BTreeMap::new();
    let mut held: Vec<(ChildId, String)> = Vec::with_capacity(AT_ONCE);
    let mut take = |held: &mut Vec<(ChildId, String)>| {
        let done: Vec<_> = held.par_iter().map(|(child, text)| (*child, asked.share(text))).collect();
        shares.extend(done);
        held.clear();
    };
    archive.for_each_kept(TOPIC, &mut |child, text| {
        held.push((child, text.to_owned()));
        if held.len() >= AT_ONCE {
            take(&mut held);
        }
    })?;
    take(&mut held);
    Ok(shares)
}
