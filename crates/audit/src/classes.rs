//! Cases by class: by site, clinician, year, severity, aetiology or side.

use crate::{By, Case};
use record::Day;

/// The class of a case along something.
pub(crate) fn code(case: &Case, by: By) -> i32 {
    match by {
        By::Site => case.keys.site.into(),
        By::Clinician => case.keys.clinician.into(),
        By::Year => Day::from_number(case.zero).parts().0,
        By::Severity => case.keys.severity as i32,
        By::Aetiology => case.keys.aetiology as i32,
        By::Side => case.keys.feet as i32,
    }
}

/// The cases by class, each in the order of the children.
pub(crate) fn classes(cases: &[Case], by: By) -> Vec<(i32, Vec<Case>)> {
    let mut classes = std::collections::BTreeMap::<i32, Vec<Case>>::new();
    for case in cases {
        classes.entry(code(case, by)).or_default().push(*case);
    }
    classes.into_iter().collect()
}
