//! Brothers, sisters and twins whose records are in the clinic.

use crate::{ChildRecord, ClinicRecords};
use archive::ArchiveError;
use course::{Course, SiblingLink};
use record::{BirthOrder, ChildId, Day, SiblingRelation};
use std::{collections::BTreeMap, sync::Arc};

/// How many children a search by telephone number compares.
const COMPARED: usize = 20;

/// A brother, sister or twin, with its record.
#[derive(Debug, Clone)]
pub struct SiblingRecord {
    /// The link as recorded for the child asked about.
    pub link: SiblingLink,
    /// The link back.
    pub back: SiblingLink,
    /// The record of the brother or sister.
    pub record: Arc<ChildRecord>,
}

/// A twin by name, so that the two are not mistaken for each other.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NamedTwin {
    /// The other child.
    pub child: ChildId,
    /// Its full name; empty where there is only a number.
    pub name: String,
    /// Its hospital numbers.
    pub numbers: Vec<String>,
    /// The birth order of the other child.
    pub order: Option<BirthOrder>,
}

/// A child who may be a brother or sister, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PossibleSibling {
    /// The child.
    pub child: ChildId,
    /// "the same telephone number, 0700 003 949".
    pub why: String,
}

impl ClinicRecords {
    /// The brothers, sisters and twins of a child as known on a day: twins first, in order of birth, then the
    /// others from the eldest. A link counts only while the other record links back; withdrawing either ends it.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn siblings(&self, course: &Course, as_of: Day) -> Result<Vec<SiblingRecord>, ArchiveError> {
        let mut found = Vec::new();
        for link in &course.siblings {
            let Some(record) = self.child(link.other, as_of)? else { continue };
            let back = record.outlook.course.siblings.iter().find(|back| back.other == course.child).copied();
            found.extend(back.map(|back| SiblingRecord { link: *link, back, record }));
        }
        found.sort_by_key(|one| {
            (one.link.relation, one.back.birth_order, one.record.outlook.course.about.born)
        });
        Ok(found)
    }

    /// The twins among these children, by name. Only links that hold count.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn named_twins(
        &self,
        child: ChildId,
        others: &[ChildId],
        as_of: Day,
    ) -> Result<Vec<NamedTwin>, ArchiveError> {
        let mut twins = Vec::new();
        for other in others {
            let Some(record) = self.child(*other, as_of)? else { continue };
            let course = &record.outlook.course;
            let back = |link: &&SiblingLink| link.other == child && link.relation == SiblingRelation::Twin;
            twins.extend(course.siblings.iter().find(back).map(|link| NamedTwin {
                child: *other,
                name: course.about.full_name(),
                numbers: course.about.numbers.clone(),
                order: link.birth_order,
            }));
        }
        twins.sort_by_key(|twin| twin.order);
        Ok(twins)
    }

    /// Children who may be brothers or sisters: with the same telephone number, or with the same family name
    /// and born on the same day or the day before or after. They are only proposed.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn possible_siblings(&self, course: &Course) -> Result<Vec<PossibleSibling>, ArchiveError> {
        let mut found: BTreeMap<ChildId, String> = BTreeMap::new();
        for phone in course.about.carers.iter().filter_map(|carer| carer.phone.as_deref()) {
            let same =
                |summary: &archive::Summary| summary.phones.iter().any(|other| same_phone(other, phone));
            for hit in self.search(phone, COMPARED)?.into_iter().filter(|hit| same(&hit.summary)) {
                found
                    .entry(hit.summary.child)
                    .or_insert_with(|| format!("the same telephone number, {phone}"));
            }
        }
        let family = course.about.family_name.trim();
        if let Some(born) = course.about.born.filter(|_| !family.is_empty()) {
            for day in [born - 1, born, born + 1] {
                let alike =
                    |summary: &archive::Summary| summary.family_name.trim().eq_ignore_ascii_case(family);
                for summary in self.archive().born_on(day)?.into_iter().filter(alike) {
                    let why = format!("the same family name, born {}", day.words());
                    found.entry(summary.child).or_insert(why);
                }
            }
        }
        let linked = |child: &ChildId| course.siblings.iter().any(|link| link.other == *child);
        found.retain(|child, _| *child != course.child && !linked(child));
        Ok(found.into_iter().map(|(child, why)| PossibleSibling { child, why }).collect())
    }
}

/// Whether two telephone numbers have the same digits, however they are written.
fn same_phone(one: &str, other: &str) -> bool {
    let digits = |text: &str| text.chars().filter(char::is_ascii_digit).collect::<String>();
    let (one, other) = (digits(one), digits(other));
    !one.is_empty() && one == other
}
