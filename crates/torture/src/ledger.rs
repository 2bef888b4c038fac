//! What the parent knows: every deed that was sent, and which of them were acknowledged.

use crate::{
    deed::{self, Deed, DeedLine, DeedNumber},
    load::{erased_entry, setting_key},
    outcome::Outcome,
};
use archive::{Archive, ArchiveError};
use record::{Entry, EntryId};
use std::collections::{BTreeMap, HashMap, HashSet};

/// What is known of a deed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DeedStanding {
    /// It was sent, and no answer came: it may be in the records or not.
    Sent,
    /// It was acknowledged, or found in the records after a fault: it must be there.
    Saved,
    /// It was refused.
    Refused,
    /// It was not in the records after a fault: it must not appear later.
    Absent,
}

/// The deeds of a folder.
#[derive(Debug, Clone)]
pub struct Ledger {
    seed: u64,
    deeds: BTreeMap<DeedNumber, (Deed, DeedStanding)>,
    /// Erasures of which words may still be in the files until the records are opened again.
    words_remain: HashSet<DeedNumber>,
}

/// The entries that are in the records.
struct Found {
    live: HashMap<EntryId, Entry>,
    erased: HashSet<EntryId>,
}

impl Ledger {
    /// Of a folder in which nothing has been written yet.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self { seed, deeds: BTreeMap::new(), words_remain: HashSet::new() }
    }

    /// The words of entries that are erased and must not be in any file.
    #[must_use]
    pub fn erased_words(&self) -> HashSet<String> {
        let words = |(number, what)| match what {
            Deed::Erase(of, place) if !self.words_remain.contains(&number) => {
                Some(deed::marker(self.seed, of, place))
            }
            _ => None,
        };
        self.saved().filter_map(words).collect()
    }

    /// The records were opened to be written, which removes what was left of erased entries.
    pub fn opened(&mut self) {
        self.words_remain.clear();
    }

    /// The seed of the folder.
    #[must_use]
    pub const fn seed(&self) -> u64 {
        self.seed
    }

    /// Deeds that are known to be in the records.
    pub fn saved(&self) -> impl Iterator<Item = (DeedNumber, Deed)> {
        self.deeds
            .iter()
            .filter(|(_, (_, standing))| *standing == DeedStanding::Saved)
            .map(|(number, (deed, _))| (*number, *deed))
    }

    /// Takes a line of the child.
    pub fn hear(&mut self, line: &DeedLine, outcome: &mut Outcome) {
        let (number, standing) = match line {
            DeedLine::Open => return self.opened(),
            DeedLine::NotOpen(why) => return outcome.verdict.wrong(format!("not opened: {why}")),
            DeedLine::Sent(number, deed) => {
                self.deeds.insert(*number, (*deed, DeedStanding::Sent));
                return;
            }
            DeedLine::Done(number) => (number, DeedStanding::Saved),
            DeedLine::WordsRemain(number) => {
                self.words_remain.insert(*number);
                (number, DeedStanding::Saved)
            }
            DeedLine::Refused(number, _) => (number, DeedStanding::Refused),
        };
        let Some((deed, known)) = self.deeds.get_mut(number) else {
            return outcome.verdict.wrong(format!("deed {number} was answered and never sent"));
        };
        *known = standing;
        if standing == DeedStanding::Refused {
            outcome.refused += 1;
        } else {
            outcome.acknowledged += 1;
            if let Deed::Append(count) | Deed::Import(count) = deed {
                outcome.entries += u64::from(*count);
            }
        }
    }

    /// Compares the records with what was acknowledged, and settles what was open: from then on it is saved or absent.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn compare(&mut self, archive: &Archive, outcome: &mut Outcome) -> Result<(), ArchiveError> {
        let found = self.read(archive)?;
        let all = found.live.len() + found.erased.len();
        if archive.entries_count()? != all {
            let count = archive.entries_count()?;
            outcome.verdict.wrong(format!("{all} entries were read, and the records count {count}"));
        }
        let (mut expected, mut erasures) = (HashSet::new(), HashSet::new());
        let numbers: Vec<DeedNumber> = self.deeds.keys().copied().collect();
        for number in numbers {
            let Some((what, standing)) = self.deeds.get(&number).copied() else { continue };
            let there = match what {
                Deed::Append(_) | Deed::Import(_) => {
                    self.entries_of(number, what, standing, &found, &mut expected, outcome)
                }
                Deed::Erase(of, place) => {
                    let there = found.erased.contains(&erased_entry(self.seed, of, place));
                    if there {
                        erasures.insert(erased_entry(self.seed, of, place));
                    }
                    Some(there)
                }
                Deed::Account => {
                    let id = deed::account(self.seed, number).id;
                    Some(archive.accounts().account(id)?.is_some())
                }
                Deed::Disable(of) => {
                    let id = deed::account(self.seed, of).id;
                    Some(archive.accounts().account(id)?.is_some_and(|account| account.disabled))
                }
                Deed::Setting | Deed::Rebuild | Deed::Copy => None,
            };
            if let Some(there) = there {
                self.settle(number, there, outcome);
            }
        }
        for id in found.live.keys().chain(&found.erased).filter(|id| !expected.contains(*id)) {
            outcome.verdict.phantom(format!("entry {id} was never sent"));
        }
        for id in found.erased.difference(&erasures) {
            outcome.verdict.lost(format!("entry {id} is erased, and nobody asked for that"));
        }
        self.settings(archive, outcome)
    }

    fn read(&self, archive: &Archive) -> Result<Found, ArchiveError> {
        let mut live = HashMap::new();
        archive.for_each_child(&mut |_, entries| {
            live.extend(entries.into_iter().map(|entry| (entry.id, entry)));
        })?;
        let mut erased = HashSet::new();
        for child in deed::children(self.seed) {
            erased.extend(archive.erasures(child)?.into_iter().map(|erasure| erasure.entry));
        }
        Ok(Found { live, erased })
    }

    /// Whether the entries of a deed are there; `None` where only some are, which is noted.
    fn entries_of(
        &self,
        number: DeedNumber,
        what: Deed,
        standing: DeedStanding,
        found: &Found,
        expected: &mut HashSet<EntryId>,
        outcome: &mut Outcome,
    ) -> Option<bool> {
        let entries = deed::entries(self.seed, number, what);
        let mut there = 0;
        for entry in &entries {
            expected.insert(entry.id);
            match found.live.get(&entry.id) {
                Some(live) if live == entry => there += 1,
                Some(_) => outcome.verdict.lost(format!("entry {} is not as it was sent", entry.id)),
                None => there += usize::from(found.erased.contains(&entry.id)),
            }
        }
        if there != 0 && there != entries.len() {
            let text =
                format!("deed {number}: {there} of {} entries are there ({standing:?})", entries.len());
            outcome.verdict.lost(text);
            return None;
        }
        Some(there != 0)
    }

    fn settle(&mut self, number: DeedNumber, there: bool, outcome: &mut Outcome) {
        let Some((what, standing)) = self.deeds.get_mut(&number) else { return };
        match (*standing, there) {
            (DeedStanding::Saved, false) => outcome.verdict.lost(format!("deed {number} ({what})")),
            (DeedStanding::Absent, true) => {
                outcome.verdict.phantom(format!("deed {number} ({what}) was not there before"));
            }
            (DeedStanding::Sent, _) => {
                if there && matches!(what, Deed::Erase(..)) {
                    self.words_remain.insert(number);
                }
                outcome.open_deeds += 1;
                outcome.open_saved += u64::from(there);
            }
            (DeedStanding::Refused, true) => {
                outcome.refused_saved += 1;
                outcome.verdict.phantom(format!("deed {number} ({what}) was refused and is there"));
            }
            _ => {}
        }
        *standing = if there { DeedStanding::Saved } else { DeedStanding::Absent };
    }

    /// The setting of each writer has the value of its last acknowledged deed, or of one sent after it.
    fn settings(&mut self, archive: &Archive, outcome: &mut Outcome) -> Result<(), ArchiveError> {
        let mut by_writer: BTreeMap<u32, Vec<(DeedNumber, DeedStanding)>> = BTreeMap::new();
        for (number, (_, standing)) in self.deeds.iter().filter(|(_, (what, _))| *what == Deed::Setting) {
            by_writer.entry(number.writer).or_default().push((*number, *standing));
        }
        for (writer, deeds) in by_writer {
            let value = archive.setting(&setting_key(writer))?;
            let last = deeds.iter().rposition(|(_, standing)| *standing == DeedStanding::Saved);
            let possible = deeds.get(last.unwrap_or(0)..).unwrap_or_default();
            let fits = |(number, standing): &&(DeedNumber, DeedStanding)| {
                *standing != DeedStanding::Absent && value.as_deref() == Some(number.to_string().as_str())
            };
            let found = possible.iter().find(fits);
            match found {
                None if last.is_some() || value.is_some() => {
                    outcome.verdict.lost(format!("the setting of writer {writer} is {value:?}"));
                }
                _ => {}
            }
            // From now on the value is what it is.
            let there = found.map(|(number, _)| *number);
            for (number, standing) in possible {
                if *standing != DeedStanding::Saved {
                    self.settle(*number, Some(*number) == there, outcome);
                }
            }
        }
        Ok(())
    }
}
