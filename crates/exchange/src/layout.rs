//! The places of things in a row: columns sorted by child, visit and foot.

use crate::{ColumnMap, Meaning, meaning::FieldColumn};
use record::Side;
use std::collections::BTreeMap;

/// Columns that say who the child is.
#[derive(Debug, Clone, Default)]
pub(crate) struct ChildColumns {
    pub(crate) number: Option<usize>,
    pub(crate) name: Option<usize>,
    pub(crate) family: Option<usize>,
    pub(crate) given: Option<usize>,
    pub(crate) born: Option<usize>,
    pub(crate) age: Option<usize>,
    pub(crate) sex: Option<usize>,
    pub(crate) carers: Vec<usize>,
    pub(crate) relation: Option<usize>,
    pub(crate) phone: Option<usize>,
    pub(crate) language: Option<usize>,
    pub(crate) address: Option<usize>,
    pub(crate) gestation: Option<usize>,
    pub(crate) weight: Option<usize>,
}

/// Columns of one visit.
#[derive(Debug, Clone, Default)]
pub(crate) struct VisitColumns {
    pub(crate) date: Option<usize>,
    pub(crate) cast_dates: Vec<(Option<Side>, usize)>,
    pub(crate) side: Option<usize>,
    /// Things of one foot: the side the heading names, what, where.
    pub(crate) foot: Vec<(Option<Side>, Meaning, usize)>,
    pub(crate) done: Vec<(Option<Side>, usize)>,
    pub(crate) attended: Option<usize>,
    pub(crate) hours: Option<usize>,
    pub(crate) brace: Option<usize>,
    pub(crate) seen_by: Option<usize>,
    pub(crate) next: Option<usize>,
    pub(crate) details: Option<usize>,
    pub(crate) remarks: Vec<(Option<Side>, usize)>,
    /// Columns that a kind of entry declares for its own fields.
    pub(crate) declared: Vec<(FieldColumn, usize)>,
}

/// The whole row.
#[derive(Debug, Clone, Default)]
pub(crate) struct Layout {
    pub(crate) child: ChildColumns,
    pub(crate) side: Option<usize>,
    pub(crate) visits: Vec<VisitColumns>,
    /// Dated things of the child other than visits.
    pub(crate) events: Vec<(Meaning, Option<Side>, usize)>,
    /// Nature, complexity, earlier treatment.
    pub(crate) diagnosis: Vec<(Meaning, Option<Side>, usize)>,
    pub(crate) referred_from: Option<usize>,
    pub(crate) cast_count: Option<usize>,
    /// Whether any column names a foot.
    pub(crate) sided: bool,
}

impl Layout {
    pub(crate) fn of(map: &ColumnMap) -> Self {
        let mut out = Self { child: child(map), ..Self::default() };
        let mut visits: BTreeMap<Option<u16>, VisitColumns> = BTreeMap::new();
        for column in &map.columns {
            let Some(meaning) = column.meaning else { continue };
            out.sided |= column.side.is_some();
            let at = column.index;
            match meaning {
                Meaning::TenotomyDate
                | Meaning::BraceDate
                | Meaning::ReferralDate
                | Meaning::DischargeDate
                | Meaning::DeathDate
                | Meaning::RelapseDate => out.events.push((meaning, column.side, at)),
                Meaning::Nature | Meaning::Complex | Meaning::EarlierTreatment => {
                    out.diagnosis.push((meaning, column.side, at));
                }
                Meaning::ReferredFrom => out.referred_from = Some(at),
                Meaning::CastCount => out.cast_count = Some(at),
                Meaning::Side if column.visit.is_none() => out.side = Some(at),
                _ if meaning.is_of_visit() => {
                    visits.entry(column.visit).or_default().add(meaning, column.side, at);
                }
                _ => {}
            }
        }
        out.place_undated(&mut visits);
        out.visits = visits.into_values().collect();
        out
    }

    /// Where visits are numbered, remarks without a number belong to the first of them.
    fn place_undated(&mut self, visits: &mut BTreeMap<Option<u16>, VisitColumns>) {
        let undated =
            visits.get(&None).is_some_and(|visit| visit.date.is_none() && visit.cast_dates.is_empty());
        if !undated || visits.len() < 2 {
            return;
        }
        let Some(loose) = visits.remove(&None) else { return };
        if let Some(first) = visits.values_mut().next() {
            first.remarks.extend(loose.remarks);
            first.done.extend(loose.done);
            first.seen_by = first.seen_by.or(loose.seen_by);
        }
        if let Some(last) = visits.values_mut().next_back() {
            last.next = last.next.or(loose.next);
        }
    }
}

impl VisitColumns {
    fn add(&mut self, meaning: Meaning, side: Option<Side>, at: usize) {
        match meaning {
            Meaning::VisitDate => self.date = Some(at),
            Meaning::CastDate => self.cast_dates.push((side, at)),
            Meaning::Side => self.side = Some(at),
            Meaning::Done => self.done.push((side, at)),
            Meaning::Attended => self.attended = Some(at),
            Meaning::BraceHours => self.hours = Some(at),
            Meaning::Brace => self.brace = Some(at),
            Meaning::SeenBy => self.seen_by = Some(at),
            Meaning::NextAppointment => self.next = Some(at),
            Meaning::Details => self.details = Some(at),
            Meaning::Remarks => self.remarks.push((side, at)),
            Meaning::Field(column) => self.declared.push((column, at)),
            _ => self.foot.push((side, meaning, at)),
        }
    }
}

fn child(map: &ColumnMap) -> ChildColumns {
    let at = |meaning| map.find(meaning).map(|column| column.index);
    let carers = map.columns.iter().filter(|column| column.meaning == Some(Meaning::Carer));
    ChildColumns {
        number: at(Meaning::Number),
        name: at(Meaning::Name),
        family: at(Meaning::FamilyName),
        given: at(Meaning::GivenName),
        born: at(Meaning::Born),
        age: at(Meaning::Age),
        sex: at(Meaning::Sex),
        carers: carers.map(|column| column.index).collect(),
        relation: at(Meaning::CarerRelation),
        phone: at(Meaning::Phone),
        language: at(Meaning::Language),
        address: at(Meaning::Address),
        gestation: at(Meaning::GestationWeeks),
        weight: at(Meaning::BirthWeight),
    }
}
