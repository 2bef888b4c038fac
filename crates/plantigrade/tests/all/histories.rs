//! The rows from which results are computed are stored and updated. After every kind of write, and on every
//! day, they must equal the rows from reading everything again.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::clinic::{Clinic, day};
use audit::{Clinician, MeasureResult, Selection, results};
use clinic::results_basis;
use plantigrade::{clock::known_by, demo};
use record::*;
use uuid::Uuid;

const NOW: &str = "2025-03-04";

/// The invented clinic in the records, and the rows kept of it.
struct Kept {
    clinic: Clinic,
    number: u128,
}

/// A clinic in words that do not depend on the order in which children, sites or people came.
fn told(clinic: &audit::ClinicHistory) -> Vec<String> {
    let who = |list: &[Clinician], place: u16| format!("{:?}", list[usize::from(place)]);
    let mut rows: Vec<String> = clinic
        .children
        .iter()
        .map(|child| {
            let feet: Vec<String> = child
                .feet()
                .map(|foot| {
                    let plain = audit::FootHistory { site: 0, clinician: 0, ..*foot };
                    let site = clinic.sites[usize::from(foot.site)];
                    format!("{plain:?} {site} {}", who(&clinic.clinicians, foot.clinician))
                })
                .collect();
            let pairs: Vec<String> = child
                .pairs
                .iter()
                .map(|pair| {
                    let raters = pair.raters.map(|rater| who(&clinic.raters, rater));
                    format!("{:?} {:?} {:?} {raters:?}", pair.side, pair.on, pair.scores)
                })
                .collect();
            let plain = audit::ChildHistory { feet: [None, None], pairs: Box::default(), ..child.clone() };
            format!("{plain:?} {feet:?} {pairs:?}")
        })
        .collect();
    rows.sort();
    rows
}

fn near(one: &MeasureResult, other: &MeasureResult) {
    assert_eq!((one.measure, one.counted, &one.left_out), (other.measure, other.counted, &other.left_out));
    assert_eq!(one.figures.len(), other.figures.len(), "{:?}", one.measure);
    for (one, other) in one.figures.iter().zip(&other.figures) {
        let (one, other) = (one.estimate, other.estimate);
        let close = |a: Option<f64>, b: Option<f64>| match (a, b) {
            // Sums in another order differ in their last digits.
            (Some(a), Some(b)) => (a - b).abs() <= 1e-9 * (1.0 + a.abs()),
            (a, b) => a == b,
        };
        assert!(close(Some(one.value), Some(other.value)), "{one:?} {other:?}");
        assert!(close(one.lower, other.lower) && close(one.upper, other.upper), "{one:?} {other:?}");
    }
    assert_eq!(one.change.verdict, other.change.verdict);
}

impl Kept {
    fn new() -> Self {
        let clinic = Clinic::on(NOW);
        clinic.app.records.append(demo::clinic(70, 3, day(NOW))).unwrap();
        Self { clinic, number: 0x8000_0000 }
    }

    /// What is kept of a day, beside what reading everything gives; how many children there are.
    fn agrees_on(&self, on: Day, said: &str) -> usize {
        self.agrees(on, said, false)
    }

    fn agrees(&self, on: Day, said: &str, as_written: bool) -> usize {
        let records = &self.clinic.app.records;
        let basis = results_basis(&records.protocol(), on, known_by(on, as_written));
        let kept = records.results(&basis).unwrap().expect("a small clinic is read at once");
        let fresh = records.results_at_once(&basis).unwrap();
        assert_eq!(told(&kept), told(&fresh), "{said}, as of {on}");
        let (kept_results, fresh_results) =
            (results(&kept, &Selection::default()), results(&fresh, &Selection::default()));
        for (kept, fresh) in kept_results.iter().zip(&fresh_results) {
            near(kept, fresh);
        }
        let agreement = |clinic| audit::ClinicAgreement::of(clinic, None, None);
        assert_eq!(agreement(&kept), agreement(&fresh), "{said}, as of {on}");
        fresh.children.len()
    }

    fn everywhere(&self, said: &str) {
        for on in ["2025-03-04", "2025-02-20", "2025-03-11", "2024-09-01"] {
            self.agrees_on(day(on), said);
        }
        self.agrees(day("2025-02-20"), said, true);
    }

    /// Writes an entry as a route does.
    fn write(&mut self, child: ChildId, on: &str, body: impl Into<Body>) -> EntryId {
        self.number += 1;
        let id = EntryId::new(Uuid::from_u128(self.number));
        let entry = Entry {
            id,
            child,
            body: body.into(),
            on: day(on),
            at: Timestamp::from_seconds(1_800_000_000 + self.number as i64),
            by: demo::person(1),
            site: demo::site(),
            follows: None,
        };
        self.clinic.app.records.append(vec![entry]).unwrap();
        id
    }

    /// A child with a row, and one of its entries of a kind.
    fn with(&self, kind: Kind) -> (ChildId, Entry) {
        let (children, _) = self.clinic.app.records.children(None, None, 0, 1_000).unwrap();
        let mut all = children.iter().flat_map(|child| self.clinic.entries(child.child));
        let entry = all.find(|entry| entry.kind() == kind).expect("somebody has one");
        (entry.child, entry)
    }
}

#[test]
fn every_kind_of_write_mends_the_row_on_every_day_kept() {
    let mut kept = Kept::new();
    kept.everywhere("as read");
    let (braced, fitted) = kept.with(Kind::BraceFitted);
    kept.write(braced, "2025-03-01", RelapseNoted { side: Side::Right, grade: None, note: None });
    kept.everywhere("a relapse noted");
    kept.write(braced, "2025-03-10", TenotomyDone::on(Side::Right));
    kept.everywhere("an entry dated ahead");

    let new = ChildId::new(Uuid::from_u128(0x7777));
    let given_name = "New".to_owned();
    kept.write(new, "2025-02-28", Registration { given_name, ..Registration::default() });
    kept.everywhere("a child without a foot");
    let cast = kept.write(new, "2025-03-03", CastApplied::on(Side::Left));
    kept.everywhere("a new child's first cast");

    let reason = "wrong day".to_owned();
    let body = Box::new(CastApplied::on(Side::Right).into());
    kept.write(new, "2025-03-04", Correction { entry: cast, body, on: Some(day("2025-02-10")), reason });
    kept.everywhere("a correction to another foot and an earlier day");

    let reason = "never happened".to_owned();
    kept.write(new, "2025-03-04", Withdrawal { entry: cast, reason: reason.clone() });
    kept.everywhere("the only cast withdrawn: the child has no foot any more");
    kept.write(braced, "2025-03-04", Withdrawal { entry: fitted.id, reason });
    kept.everywhere("a brace withdrawn");

    let (scored_twice, second) = kept.with(Kind::SecondScore);
    let Body::SecondScore(body) = &second.body else { panic!() };
    kept.write(
        scored_twice,
        "2025-03-04",
        Withdrawal { entry: body.first.unwrap(), reason: "wrong child".to_owned() },
    );
    kept.everywhere("the first of two scores withdrawn");

    let (_, entry) = kept.with(Kind::Diagnosis);
    let (by, at) = (demo::person(0), Timestamp::from_seconds(1_900_000_000));
    kept.clinic.app.records.erase(entry.id, "filed under the wrong child", by, at).unwrap();
    kept.everywhere("an entry erased");

    // Much at once, as an import does it.
    kept.clinic.app.records.append(demo::clinic(6, 99, day(NOW))).unwrap();
    kept.everywhere("many children at once");
}

#[test]
fn moving_to_a_later_or_an_earlier_day_gives_what_reading_that_day_gives() {
    let kept = Kept::new();
    // Forwards within the days from which a later one is made, back, and far.
    let mut counts = Vec::new();
    for on in
        ["2024-12-01", "2024-12-20", "2025-01-19", "2025-01-20", "2024-12-05", "2025-02-18", "2025-03-04"]
    {
        counts.push((on, kept.agrees_on(day(on), "moved")));
    }
    // Children are known on the later day of whom nothing was known on the earlier one.
    let of = |on: &str| counts.iter().find(|one| one.0 == on).unwrap().1;
    assert!(of("2025-03-04") > of("2024-12-01"), "{counts:?}");
}
