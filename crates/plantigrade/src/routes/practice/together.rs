//! Scoring together: which feet two people could score this month, how many more, and what the scores so far say.

use super::super::results::{calibration_rows, working};
use crate::{
    app::App,
    results_table,
    web::{Fail, PageResult, Shared, Visitor, drawn},
};
use audit::{
    ClinicHistory, Clinician,
    calibration::{
        ClinicCalibration, ScoringPlan, ScoringVisit, WhyNotProposed, last_scored_twice, scored_so_far,
        wanted_in_month,
    },
};
use axum::extract::State;
use pages::{Here, ScoringProposalRow, ScoringTogetherView, practice::TOGETHER_PATH};
use record::{ChildId, Day, DayRange, Right, Role};
use std::collections::{BTreeSet, HashMap};

/// How long two people who have scored together count as having done so, in months. Our own choice.
const SO_FAR_MONTHS: i32 = 12;

/// The page.
pub async fn page(State(app): State<Shared>, visitor: Visitor) -> PageResult {
    let Some(clinic) = calibration_rows(&app).await? else { return working(&app, &visitor).await };
    let frame = app.frame(&visitor, Here::Practice);
    drawn(&app, &visitor, TOGETHER_PATH.to_owned(), move |app| {
        Ok(pages::scoring_together(&frame, &view(app, &clinic)?))
    })
    .await
}

fn view(app: &App, clinic: &ClinicHistory) -> Result<ScoringTogetherView, Fail> {
    let found = ClinicCalibration::of(clinic);
    let name = |who: &Clinician| results_table::clinician(who, |user| app.name_of(user)).words;
    let names = found.who.iter().map(name).collect();
    let plan = plan(app, clinic, wanted_in_month(&found.agreement))?;
    let mut rows = Vec::with_capacity(plan.proposals.len());
    for proposal in &plan.proposals {
        let who = app.who(&app.known(proposal.child, app.clock.today())?.outlook.course);
        rows.push(ScoringProposalRow { who, names: [name(&proposal.by[0]), name(&proposal.by[1])] });
    }
    Ok(ScoringTogetherView { found, names, plan, rows })
}

/// The calendar month of a day.
fn month_of(day: Day) -> DayRange {
    let (_, _, of_month) = day.parts();
    let first = day - (of_month as i32 - 1);
    DayRange::new(first, first.plus_months(1) - 1)
}

/// The plan of this month for the children whom the reader may see. Only those with an appointment in what is left of
/// the month are looked at: nobody is called in to be scored.
fn plan(app: &App, clinic: &ClinicHistory, wanted: usize) -> Result<ScoringPlan, Fail> {
    let today = app.clock.today();
    let month = month_of(today);
    let twice: HashMap<ChildId, Day> =
        clinic.children.iter().filter_map(|row| Some((row.child, last_scored_twice(row)?))).collect();
    let mut visits = Vec::new();
    for child in expected(app, DayRange::new(today, month.to))? {
        let visit = visit(app, child, twice.get(&child).copied(), month)?;
        visits.push((child, visit));
    }
    let so_far = scored_so_far(clinic, today.plus_months(-SO_FAR_MONTHS));
    let done = clinic.children.iter().flat_map(|row| row.pairs.iter()).filter(|pair| month.contains(pair.on));
    let wanted = wanted.saturating_sub(done.count());
    let raters: BTreeSet<&Clinician> = so_far.iter().flat_map(|(by, _)| by).collect();
    Ok(ScoringPlan::of(month, visits, &people(app, &raters)?, &so_far, wanted))
}

/// The children who have an appointment on these days and whose record is not closed to the reader.
fn expected(app: &App, days: DayRange) -> Result<BTreeSet<ChildId>, Fail> {
    let mut children = BTreeSet::new();
    for number in 0..=(days.to - days.from) {
        children.extend(app.records.expected_children(days.from + number)?);
    }
    children.retain(|child| !app.is_closed(*child));
    Ok(children)
}

fn visit(
    app: &App,
    child: ChildId,
    twice_on: Option<Day>,
    month: DayRange,
) -> Result<Result<ScoringVisit, WhyNotProposed>, Fail> {
    let known = app.known(child, app.clock.today())?;
    Ok(ScoringVisit::of(&known.outlook.course, twice_on, month))
}

/// Who may score: people with an account in use who treat children. A lead who only runs the clinic could, and is
/// proposed only after having scored a foot with somebody.
fn people(app: &App, raters: &BTreeSet<&Clinician>) -> Result<Vec<Clinician>, Fail> {
    let accounts = app.records.accounts().all()?;
    let may =
        accounts.into_iter().filter(|one| !one.disabled && one.roles.rights().has(Right::RecordClinical));
    let of = may.map(|one| (one.roles.has(Role::Clinician), Clinician::User(one.id)));
    Ok(of.filter(|(treats, who)| *treats || raters.contains(who)).map(|(_, who)| who).collect())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn a_month_has_all_of_its_days_and_no_other() {
        for (day, from, to) in [
            ("2024-02-29", "2024-02-01", "2024-02-29"),
            ("2025-12-01", "2025-12-01", "2025-12-31"),
            ("2025-01-31", "2025-01-01", "2025-01-31"),
        ] {
            let expected = DayRange::new(from.parse().unwrap(), to.parse().unwrap());
            assert_eq!(month_of(day.parse().unwrap()), expected, "{day}");
        }
    }
}
