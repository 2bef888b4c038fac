//! Photographs of a child: those on record. Whether a consent lets photographs, or videos, be taken and shown.

use crate::{ChildRecord, ClinicRecords};
use archive::{ArchiveError, CacheKey, CacheValue, NamedMedia, Pictures, RecomputeCost, WithheldPictures};
use course::Course;
use record::{
    Body, ChildId, Consent, ConsentAnswer, ConsentMatter, CorrectedLog, Day, Entry, EntryId, Kind,
    Photograph, PhotographAngle, PhotographAngleMeasured, PhotographLengthMeasured, Side, Timestamp, UserId,
};
use std::{
    collections::{BTreeMap, HashMap},
    path::Path,
    sync::Arc,
};

/// Whether photographs of a child, or videos, may be taken and shown on a day. Without a consent in force neither is. Each
/// has a consent of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MediaConsent {
    /// The family consents, since the first day, and until the second where that was said.
    InForce(EntryId, Day, Option<Day>),
    /// No answer is recorded.
    NotRecorded,
    /// The family refused on this day.
    Refused(EntryId, Day),
    /// The family took its consent back on this day.
    Withdrawn(EntryId, Day),
    /// The consent ended after this day.
    Ended(EntryId, Day),
    /// The consent on record was taken back after the backup was made from which the records were restored.
    WithdrawnBeforeRestore(Timestamp),
}

impl MediaConsent {
    /// To photographs or videos, of the course as known on a day, with the entries of the child. `withheld` is the moment
    /// since which they are withheld.
    #[must_use]
    pub fn of(
        matter: ConsentMatter,
        course: &Course,
        entries: &[Entry],
        withheld: Option<Timestamp>,
        today: Day,
    ) -> Self {
        let Some(seen) = course.preparation.consent(matter) else {
            return withheld.map_or(Self::NotRecorded, Self::WithdrawnBeforeRestore);
        };
        match seen.said.answer {
            ConsentAnswer::Refused => return Self::Refused(seen.entry, seen.on),
            ConsentAnswer::Withdrawn => return Self::Withdrawn(seen.entry, seen.on),
            ConsentAnswer::Given => {}
        }
        let written = entries.iter().find(|entry| entry.id == seen.entry).map(|entry| entry.at);
        if let Some(withheld) = withheld.filter(|withheld| written.is_none_or(|written| written <= *withheld))
        {
            return Self::WithdrawnBeforeRestore(withheld);
        }
        match seen.said.until {
            Some(until) if until < today => Self::Ended(seen.entry, until),
            until => Self::InForce(seen.entry, seen.on, until),
        }
    }

    /// Whether they may be taken and shown.
    #[must_use]
    pub const fn is_in_force(self) -> bool {
        matches!(self, Self::InForce(..))
    }

    /// Whether it was in force on an earlier day too.
    #[must_use]
    pub fn covers(self, day: Day) -> bool {
        matches!(self, Self::InForce(_, since, _) if since <= day)
    }
}

/// What a family allows with its child's photographs beyond seeing them in the record.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct PhotographUses {
    /// They may be in letters to colleagues.
    pub letters: bool,
    /// They may be shown in teaching.
    pub teaching: bool,
}

impl PhotographUses {
    /// By the consent to photographs that is in force. One in which it was not asked, as every older one, allows neither.
    #[must_use]
    pub fn of(consent: MediaConsent, course: &Course) -> Self {
        let said = course.preparation.consent(ConsentMatter::Photographs).map(|seen| &seen.said);
        let asked = |of: fn(&Consent) -> Option<bool>| {
            consent.is_in_force() && said.is_some_and(|said| of(said) == Some(true))
        };
        Self {
            letters: asked(|said| said.photographs_in_letters),
            teaching: asked(|said| said.photographs_in_teaching),
        }
    }
}

/// A photograph on record, as corrected.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptPhotograph {
    /// The entry.
    pub entry: EntryId,
    /// The day on which it was taken.
    pub on: Day,
    /// When the entry was written.
    pub written: Timestamp,
    /// What is recorded about it.
    pub photograph: Photograph,
}

/// What was measured on a photograph: an angle or a length.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptMeasurement<M> {
    /// The entry.
    pub entry: EntryId,
    /// The day on which the photograph was taken.
    pub on: Day,
    /// When the measurement was written.
    pub written: Timestamp,
    /// Who measured it.
    pub by: UserId,
    /// What was measured.
    pub said: M,
}

/// An angle measured on a photograph.
pub type KeptAngle = KeptMeasurement<PhotographAngleMeasured>;
/// A length measured on a photograph beside a card.
pub type KeptLength = KeptMeasurement<PhotographLengthMeasured>;

/// The photographs of a child and what was measured on them, as it holds.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ChildPhotographs {
    /// The photographs, by day, then as written.
    pub photographs: Vec<KeptPhotograph>,
    /// The angles measured on those that still show that foot, by the day of the photograph, then as written.
    pub angles: Vec<KeptAngle>,
    /// The lengths measured on those that still show that foot, by the day of the photograph, then as written.
    pub lengths: Vec<KeptLength>,
}

impl ChildPhotographs {
    /// Reads them from the entries of a child as known on a day, corrected ones as corrected, without those withdrawn.
    /// The log is read once.
    #[must_use]
    pub fn of(entries: &[Entry], as_of: Day) -> Self {
        // Most children have none.
        if !entries.iter().any(|entry| entry.kind() == Kind::Photograph) {
            return Self::default();
        }
        let log = CorrectedLog::of(entries, as_of);
        let photographs = photographs_in(&log, as_of);
        let angles = measured_in(&log, &photographs, |body| match body {
            Body::PhotographAngleMeasured(said) => Some((said.photograph, said.side, said.clone())),
            _ => None,
        });
        let lengths = measured_in(&log, &photographs, |body| match body {
            Body::PhotographLengthMeasured(said) => Some((said.photograph, said.side, said.clone())),
            _ => None,
        });
        Self { photographs, angles, lengths }
    }

    /// The estimated size in memory, bytes.
    fn bytes(&self) -> usize {
        const TAPS: usize = 64;
        self.photographs.len() * size_of::<KeptPhotograph>()
            + self.angles.len() * (size_of::<KeptAngle>() + TAPS)
            + self.lengths.len() * (size_of::<KeptLength>() + TAPS)
    }
}

fn photographs_in(log: &CorrectedLog<'_>, as_of: Day) -> Vec<KeptPhotograph> {
    let lines = log.lines.iter().filter(|line| line.on <= as_of && line.fate.holds());
    let mut kept: Vec<KeptPhotograph> = lines
        .filter_map(|line| {
            let Body::Photograph(photograph) = line.body else { return None };
            let (entry, written) = (line.entry.id, line.entry.at);
            Some(KeptPhotograph { entry, on: line.on, written, photograph: photograph.clone() })
        })
        .collect();
    kept.sort_by_key(|photograph| photograph.on);
    kept
}

/// Measurements, each with its photograph and its foot, of photographs that hold and show that foot.
fn measured_in<M>(
    log: &CorrectedLog<'_>,
    photographs: &[KeptPhotograph],
    measured: impl Fn(&Body) -> Option<(EntryId, Side, M)>,
) -> Vec<KeptMeasurement<M>> {
    let shown: HashMap<EntryId, &KeptPhotograph> = photographs.iter().map(|one| (one.entry, one)).collect();
    let day = |photograph: EntryId, side: Side| {
        let shown = shown.get(&photograph)?;
        shown.photograph.side.each().contains(&side).then_some(shown.on)
    };
    let lines = log.lines.iter().filter(|line| line.fate.holds());
    let mut kept: Vec<KeptMeasurement<M>> = lines
        .filter_map(|line| {
            let (photograph, side, said) = measured(line.body)?;
            let Entry { id: entry, at: written, by, .. } = *line.entry;
            Some(KeptMeasurement { entry, on: day(photograph, side)?, written, by, said })
        })
        .collect();
    kept.sort_by_key(|one| one.on);
    kept
}

impl ChildRecord {
    /// The photographs that hold, corrected ones as corrected, without those withdrawn; by day, then as written.
    #[must_use]
    pub fn photographs(&self, as_of: Day) -> Vec<KeptPhotograph> {
        ChildPhotographs::of(&self.entries, as_of).photographs
    }

    /// The angles measured on photographs that hold and still show that foot, by the day of the photograph, then as
    /// written.
    #[must_use]
    pub fn photograph_angles(&self, as_of: Day) -> Vec<KeptAngle> {
        ChildPhotographs::of(&self.entries, as_of).angles
    }

    /// The lengths measured on photographs that hold and still show that foot, by the day of the photograph, then as
    /// written.
    #[must_use]
    pub fn photograph_lengths(&self, as_of: Day) -> Vec<KeptLength> {
        ChildPhotographs::of(&self.entries, as_of).lengths
    }
}

/// When a child's family refused photographs or videos or took its consent back, by the last entry about it.
fn withdrawal_of(
    matter: ConsentMatter,
    child: ChildId,
    record: &ChildRecord,
    today: Day,
) -> Option<WithheldPictures> {
    let consent = MediaConsent::of(matter, &record.outlook.course, &record.entries, None, today);
    if matches!(consent, MediaConsent::InForce(..) | MediaConsent::Ended(..)) {
        return None;
    }
    let is_consent = |body: &Body| matches!(body, Body::Consent(said) if said.matter == matter);
    let about: Vec<EntryId> =
        record.entries.iter().filter(|entry| is_consent(&entry.body)).map(|entry| entry.id).collect();
    let concerns = |entry: &&Entry| {
        about.contains(&entry.id) || entry.body.amends().is_some_and(|amended| about.contains(&amended))
    };
    let at = record.entries.iter().filter(concerns).map(|entry| entry.at).max()?;
    Some(WithheldPictures { child, at })
}

impl ClinicRecords {
    /// The kept pictures in a folder, with the key of these records.
    #[must_use]
    pub fn pictures_in(&self, dir: &Path) -> Pictures {
        Pictures::beside(dir, self.key())
    }

    /// Whether photographs of a child may be taken and shown today.
    ///
    /// # Errors
    /// When the pictures cannot be read.
    pub fn photograph_consent(
        &self,
        pictures: &Pictures,
        record: &ChildRecord,
        today: Day,
    ) -> Result<MediaConsent, ArchiveError> {
        let course = &record.outlook.course;
        let withheld = self.known_withheld().pictures.since(course.child, || pictures.withheld())?;
        Ok(MediaConsent::of(ConsentMatter::Photographs, course, &record.entries, withheld, today))
    }

    /// The photographs of a child and what was measured on them, as known on a day.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn photographs_of(&self, child: ChildId, as_of: Day) -> Result<Arc<ChildPhotographs>, ArchiveError> {
        // Before the entries are read: they may then be newer than the generation, never older.
        let generation = self.archive().generation_of(child)?;
        let key = CacheKey::clinic("photographs").of(child).as_of(as_of);
        if let Some(found) = self.cache().get(&key, generation) {
            return Ok(found);
        }
        let known = self.child(child, as_of)?;
        let value =
            known.map_or_else(ChildPhotographs::default, |known| ChildPhotographs::of(&known.entries, as_of));
        let bytes = value.bytes();
        let value = CacheValue { value, bytes, cost: RecomputeCost::Quick };
        Ok(self.cache().put(key, generation, value))
    }

    /// The children whose family refused photographs, or videos, or took its consent back, also by taking back an entry,
    /// and when that was written; for the list beside the backups.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn consent_withdrawals(
        &self,
        matter: ConsentMatter,
        today: Day,
    ) -> Result<Vec<WithheldPictures>, ArchiveError> {
        let mut found = Vec::new();
        for child in self.archive().children_with(&format!("\"matter\":\"{}\"", matter.key()))? {
            let Some(record) = self.child(child, today)? else { continue };
            found.extend(withdrawal_of(matter, child, &record, today));
        }
        Ok(found)
    }

    /// The readings of an angle on photographs that were read more than once, one list for each photograph and foot.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn repeated_readings(
        &self,
        angle: PhotographAngle,
        today: Day,
    ) -> Result<Vec<Vec<f64>>, ArchiveError> {
        self.repeated("\"kind\":\"photograph_angle\"", today, |record| {
            let kept = record.photograph_angles(today).into_iter().filter(|kept| kept.said.angle == angle);
            kept.map(|kept| ((kept.said.photograph, kept.said.side), kept.said.degrees)).collect()
        })
    }

    /// The lengths in millimetres of photographs on which a foot was measured more than once, one list for each
    /// photograph and foot.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn repeated_lengths(&self, today: Day) -> Result<Vec<Vec<f64>>, ArchiveError> {
        self.repeated("\"kind\":\"photograph_length\"", today, |record| {
            let kept = record.photograph_lengths(today).into_iter();
            kept.map(|kept| ((kept.said.photograph, kept.said.side), kept.said.length_mm)).collect()
        })
    }

    /// Readings of the same photograph and foot, of children whose entries hold a text.
    fn repeated(
        &self,
        text: &str,
        today: Day,
        readings: impl Fn(&ChildRecord) -> Vec<((EntryId, Side), f64)>,
    ) -> Result<Vec<Vec<f64>>, ArchiveError> {
        let mut repeated = Vec::new();
        for child in self.archive().children_with(text)? {
            let Some(record) = self.child(child, today)? else { continue };
            let mut of_foot: BTreeMap<(EntryId, Side), Vec<f64>> = BTreeMap::new();
            for (foot, reading) in readings(&record) {
                of_foot.entry(foot).or_default().push(reading);
            }
            repeated.extend(of_foot.into_values().filter(|readings| readings.len() > 1));
        }
        Ok(repeated)
    }

    /// Removes kept pictures and videos that no entry names and that do not wait to be named, of those kept before a
    /// moment: what is left where the program was ended between keeping one and saving its entry. Returns how many there
    /// were.
    ///
    /// # Errors
    /// When the records or the file cannot be read or written.
    pub fn remove_unnamed_media(
        &self,
        pictures: &Pictures,
        before: Timestamp,
    ) -> Result<usize, ArchiveError> {
        self.archive().remove_unnamed_media(pictures, before)
    }

    /// The pictures and videos that entries name, corrected and withdrawn ones included, without those erased.
    ///
    /// # Errors
    /// When the records cannot be read, or an entry in them.
    pub fn named_media(&self) -> Result<NamedMedia, ArchiveError> {
        self.archive().named_media()
    }

    /// How many pictures that entries name are not kept, and how many videos.
    ///
    /// # Errors
    /// When the records or the file cannot be read.
    pub fn missing_media(&self, pictures: &Pictures) -> Result<(usize, usize), ArchiveError> {
        let named = self.archive().named_media()?;
        if named.is_empty() {
            return Ok((0, 0));
        }
        let (kept, videos) = (pictures.hashes()?, pictures.videos().hashes()?);
        Ok((
            named.pictures.iter().filter(|hash| !kept.contains(*hash)).count(),
            named.videos.iter().filter(|hash| !videos.contains(*hash)).count(),
        ))
    }
}
