//! Wear by quarter of bracing, and missing fields.

use crate::{
    CaseKeys, ChildHistory, ClinicHistory, ExpectedField, FootHistory, Selection,
    figure::{CaseCounts, Figure, figure},
    history::{MeanWear, WEAR_QUARTERS},
    ratio::Ratio,
};
use serde::Serialize;

/// Wear in one quarter of bracing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WearLine {
    /// "months 0 to 3".
    pub label: String,
    /// Children with any such wear in the quarter.
    pub children: usize,
    /// Mean hours a day; `None` without any.
    pub hours: Option<f64>,
    /// Lower limit.
    pub lower: Option<f64>,
    /// Upper limit.
    pub upper: Option<f64>,
}

/// The lines, and the number of children in any of them.
pub(crate) fn wear(clinic: &ClinicHistory, selection: &Selection, logged: bool) -> (Vec<WearLine>, usize) {
    let mut sums: [Ratio; WEAR_QUARTERS] = Default::default();
    let mut children = 0;
    for (place, child) in clinic.children.iter().enumerate() {
        let wear = child.wear.as_deref().filter(|_| takes(selection, child, child.brace.number()));
        let Some(wear) = wear else { continue };
        let quarters: &[MeanWear; WEAR_QUARTERS] = if logged { &wear.logged } else { &wear.reported };
        for (sum, worn) in sums.iter_mut().zip(quarters).filter(|(_, worn)| worn.days > 0) {
            sum.add(place as u32, worn.hours.into(), 1.0);
        }
        children += usize::from(quarters.iter().any(|worn| worn.days > 0));
    }
    (sums.into_iter().enumerate().map(|(quarter, sum)| wear_line(quarter, sum)).collect(), children)
}

fn wear_line(quarter: usize, sum: Ratio) -> WearLine {
    let sum = sum.done();
    let limits = sum.mean_limits();
    // Hours of a day lie between 0 and 24, even if the interval of a few children is wider.
    let cut = |hours: f64| hours.clamp(0.0, 24.0);
    let first = if quarter == 0 { 0 } else { 3 * quarter + 1 };
    WearLine {
        label: format!("months {first} to {}", 3 * quarter + 3),
        children: sum.children,
        hours: sum.value(),
        lower: limits.map(|(low, _)| cut(low)),
        upper: limits.map(|(_, high)| cut(high)),
    }
}

fn takes(selection: &Selection, child: &ChildHistory, zero: Option<i32>) -> bool {
    CaseKeys::of_child(child).is_some_and(|keys| selection.takes(&keys))
        && zero.is_some_and(|zero| selection.spans(zero))
}

/// How often a field is recorded.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FieldLine {
    /// The field.
    pub field: ExpectedField,
    /// Its key.
    pub key: &'static str,
    /// Its name in words.
    pub words: &'static str,
    /// For whom it is expected.
    pub when: &'static str,
    /// Feet or children for which it is expected.
    pub n: usize,
    /// Children.
    pub children: usize,
    /// The number of them for which it is recorded.
    pub written: usize,
    /// Share recorded; `None` if it is expected for nobody.
    pub share: Option<Figure>,
}

pub(crate) struct FieldTable {
    pub counted: CaseCounts,
    /// Share recorded of all expected fields.
    pub all: Option<Figure>,
    pub fields: Vec<FieldLine>,
}

/// Sums of fields recorded over fields expected.
#[derive(Default)]
struct FieldSums {
    counted: CaseCounts,
    all: Ratio,
    fields: [Ratio; ExpectedField::ALL.len()],
}

impl FieldSums {
    /// Adds a foot; `first` says whether it is the child's first, which also counts the child's own fields.
    fn add(&mut self, child: u32, foot: &FootHistory, first: bool) {
        self.counted.n += 1;
        self.counted.children += usize::from(first);
        for (field, sum) in ExpectedField::ALL.iter().zip(&mut self.fields) {
            if foot.expected & field.bit() != 0 && (first || !field.of_child()) {
                let written = f64::from(u8::from(foot.recorded & field.bit() != 0));
                sum.add(child, written, 1.0);
                self.all.add(child, written, 1.0);
            }
        }
    }
}

/// How often each field is recorded.
pub(crate) fn missing(clinic: &ClinicHistory, selection: &Selection) -> FieldTable {
    let mut sums = FieldSums::default();
    for (place, child) in clinic.children.iter().enumerate() {
        let selected = |foot: &&FootHistory| {
            let zero = foot.first_cast.number().or(child.referred.number());
            selection.takes(&CaseKeys::of_foot(foot)) && zero.is_none_or(|zero| selection.spans(zero))
        };
        for (at, foot) in child.feet().filter(selected).enumerate() {
            sums.add(place as u32, foot, at == 0);
        }
    }
    let FieldSums { mut counted, all, fields } = sums;
    let all = all.done();
    counted.events = Some(all.y as usize);
    FieldTable {
        counted,
        all: all.value().map(|value| figure("share of fields recorded", value, all.share_limits())),
        fields: ExpectedField::ALL.iter().zip(fields).map(|(field, sum)| field_line(*field, sum)).collect(),
    }
}

fn field_line(field: ExpectedField, sum: Ratio) -> FieldLine {
    let sum = sum.done();
    FieldLine {
        field,
        key: field.key(),
        words: field.words(),
        when: field.when(),
        n: sum.n,
        children: sum.children,
        written: sum.y as usize,
        share: sum.value().map(|value| figure("share recorded", value, sum.share_limits())),
    }
}
