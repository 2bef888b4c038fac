//! Cases by class: by site, clinician, year, severity, aetiology or side.

use crate::{Case, GroupBy};
use record::Day;

/// The class of a case by a property.
pub(crate) fn code(case: &Case, by: GroupBy) -> i32 {
    match by {
        GroupBy::Site => case.keys.site.into(),
        GroupBy::Clinician => case.keys.clinician.into(),
        GroupBy::Year => Day::from_number(case.zero).parts().0,
        GroupBy::Severity => case.keys.severity as i32,
        GroupBy::Aetiology => case.keys.aetiology as i32,
        GroupBy::Side => case.keys.feet as i32,
    }
}

/// The cases by class, each in the order of the children.
pub(crate) fn classes(cases: &[Case], by: GroupBy) -> Vec<(i32, Vec<Case>)> {
    let mut classes = std::collections::BTreeMap::<i32, Vec<Case>>::new();
    for case in cases {
        classes.entry(code(case, by)).or_default().push(*case);
    }
    classes.into_iter().collect()
}
