//! The capacity page of an invented clinic: with its setting, compared with another setting, without any
//! places, and with a form that could not be read.

use super::{frame, today};
use caseload::{
    CaseloadSummary, Clinic, Closure, Comparison, CurrentChild, CurrentPhase, ReadyClinic, Referrals,
    Setting, Tally, published, setting_values, simulate,
};
use maud::Markup;
use pages::{CapacityForm, CapacityView, ChildrenCounted, Here, OtherSetting};

fn setting() -> Setting {
    Setting {
        referrals: Referrals { per_year: Some(58.0), ..Referrals::default() },
        cast_clinic: Clinic { tuesday: 7, friday: 5, absence: 0.04, ..Clinic::default() },
        theatre: Clinic { thursday: 2, absence: 0.05, ..Clinic::default() },
        brace_clinic: Clinic { wednesday: 14, absence: 0.03, ..Clinic::default() },
        closures: vec![Closure {
            from: today() + 60,
            to: Some(today() + 73),
            why: "closed for the summer".into(),
        }],
        ..Setting::default()
    }
}

fn children() -> Vec<CurrentChild> {
    let child = |age: i32, phase: CurrentPhase| CurrentChild {
        born: Some(today() - age),
        phase,
        complex: false,
        episode: 1,
        foot_length_mm: None,
    };
    let braced = (0..40).map(|n| {
        child(
            120 + 35 * n,
            CurrentPhase::InBrace {
                since: today() - 30 - 30 * n,
                booked: None,
                last_seen: Some(today() - 20 - n),
            },
        )
    });
    let casting = (0..7).map(|n| {
        child(
            20 + 5 * n,
            CurrentPhase::InCasts {
                cast_on: today() - n,
                booked: None,
                remaining: vec![0.1, 0.2, 0.3, 0.2, 0.2],
                tenotomy: 0.7,
            },
        )
    });
    braced.chain(casting).collect()
}

fn run(setting: &Setting, children: &[CurrentChild]) -> (CaseloadSummary, Vec<Tally>) {
    let clinic = ReadyClinic::new(setting, published::pool(setting, 1), children, today()).unwrap();
    let runs = simulate(&clinic, 1, 100);
    (CaseloadSummary::of(&clinic, &runs).unwrap(), runs)
}

fn view(setting: &Setting, summary: CaseloadSummary) -> CapacityView {
    CapacityView {
        filled: CapacityForm::filled(setting),
        file: None,
        has_previous: false,
        summary: Some(summary),
        warning: None,
        counted: ChildrenCounted { taken: 47, after_treatment: 3, not_seen: 2 },
        per_year: Some((58.0, true)),
        other: None,
        values: setting_values(setting),
    }
}

/// The page in four states.
pub fn pages() -> Vec<(&'static str, Markup)> {
    let setting = setting();
    let (summary, runs) = run(&setting, &children());
    let own = view(&setting, summary.clone());
    let mut more = setting.clone();
    more.theatre.monday = 2;
    let (other, others) = run(&more, &children());
    let compared = CapacityView {
        filled: CapacityForm::filled(&more),
        file: Some("capacity.toml".into()),
        has_previous: true,
        other: Some(OtherSetting {
            summary: other,
            comparison: Comparison::of(&runs, &others),
            changes: vec!["2 tenotomy places on Mondays instead of 0".into()],
        }),
        ..own.clone()
    };
    let mut none = setting.clone();
    none.cast_clinic = Clinic::default();
    none.theatre = Clinic::default();
    none.brace_clinic = Clinic::default();
    let (nothing, _) = run(&none, &[]);
    let refused = CapacityView {
        filled: CapacityForm::filled(&setting)
            .with("cast.tuesday", "-3")
            .wrong("cast.tuesday", "A whole number from 0 to 1000 is expected."),
        summary: None,
        warning: Some("The number of new children per year is not known yet.".into()),
        per_year: None,
        ..own.clone()
    };
    let frame = frame(Here::Capacity);
    vec![
        ("capacity", pages::capacity(&frame, &own)),
        ("capacity-compared", pages::capacity(&frame, &compared)),
        ("capacity-no-places", pages::capacity(&frame, &view(&none, nothing))),
        ("capacity-refused", pages::capacity(&frame, &refused)),
    ]
}
