//! The simulation against queueing theory, in special cases that both can express, and against laws that
//! hold whatever is drawn.

use crate::common::{busy, clinic, pool_of_one, start};
use caseload::{
    ChildPath, Clinic, PathPool, ReadyClinic, Referrals, Service, Setting, Tally, WaitKind, simulate,
};

/// A clinic every day with `places`, children who need one cast each and then leave the clinic's places
/// alone: nobody stays away, no cast slips, no brace clinic is held.
fn one_cast_each(per_day: f64, places: u32, weeks: u32) -> Setting {
    let every_day = Clinic {
        monday: places,
        tuesday: places,
        wednesday: places,
        thursday: places,
        friday: places,
        saturday: places,
        sunday: places,
        ..Clinic::default()
    };
    let mut setting = Setting {
        horizon_weeks: weeks,
        referrals: Referrals { per_year: Some(per_day * 365.25), ..Referrals::default() },
        cast_clinic: every_day,
        theatre: Clinic::default(),
        brace_clinic: Clinic::default(),
        ..Setting::default()
    };
    setting.visits.no_show = 0.0;
    setting.casting.slip = 0.0;
    setting.casting.slip_complex = 0.0;
    setting.bracing.lost_in_casting = 0.0;
    // The brace never comes, so a holding cast would take a place: put it beyond the run.
    setting.casting.interval_days = 59;
    setting.casting.window_days = [59, 60];
    setting
}

/// Mean number left over at the end of a day in a queue in which a Poisson number of mean `rate` joins
/// each day and up to `places` are then served: power iteration on its Markov chain,
/// next = max(0, now + arrivals − places), cut off where next to nothing is left.
fn markov_mean_left(rate: f64, places: usize) -> f64 {
    const STATES: usize = 400;
    let mut arrivals = vec![(-rate).exp()];
    for n in 1..120 {
        arrivals.push(arrivals[n - 1] * rate / n as f64);
    }
    let mut now = vec![0.0; STATES];
    now[0] = 1.0;
    for _ in 0..4000 {
        let mut next = vec![0.0; STATES];
        for (left, chance) in now.iter().enumerate().filter(|(_, chance)| **chance > 1e-15) {
            for (n, arrive) in arrivals.iter().enumerate() {
                next[(left + n).saturating_sub(places).min(STATES - 1)] += chance * arrive;
            }
        }
        now = next;
    }
    assert!(now[STATES - 1] < 1e-9, "the cut-off is too low");
    now.iter().enumerate().map(|(left, chance)| left as f64 * chance).sum()
}

/// Mean and standard error over runs of the daily mean number waiting, days on the books left out: a
/// child is referred on one day and due the next, so each waits one day in any case.
fn simulated_mean_left(setting: &Setting, seed: u64, runs: u32) -> (f64, f64) {
    let path = ChildPath { casts: [1, 0], tenotomy: [false, false], age_days: 30, complex: false };
    let clinic = clinic(setting, pool_of_one(path));
    let days = f64::from(clinic.days());
    let each: Vec<f64> = simulate(&clinic, seed, runs)
        .iter()
        .map(|run| {
            let waits = &run.waits[WaitKind::FirstCast as usize];
            (waits.child_days as f64 - f64::from(run.children.arrived)) / days
        })
        .collect();
    let mean = each.iter().sum::<f64>() / each.len() as f64;
    let variance = each.iter().map(|one| (one - mean).powi(2)).sum::<f64>() / (each.len() - 1) as f64;
    (mean, (variance / each.len() as f64).sqrt())
}

/// Holding casts take places 60 and more days after; within 8 weeks (56 days) there is none, so the
/// cast clinic serves first casts alone. The queue starts empty; at these loads it has forgotten that
/// within days, which the first case (load 0.5) and the second (0.75) show: the largest relaxation time,
/// at rate 2.25 and 3 places, is 1 / (1 − spectral gap) of about 10 days, so the first weeks lower the
/// mean of 56 days by some 10/56 of it. The chain is therefore run for the same 56 days from empty, not
/// to its stationary state, which is checked apart over a long time.
fn markov_mean_from_empty(rate: f64, places: usize, days: usize) -> f64 {
    let mut arrivals = vec![(-rate).exp()];
    for n in 1..120 {
        arrivals.push(arrivals[n - 1] * rate / n as f64);
    }
    let mut now = vec![0.0; 400];
    now[0] = 1.0;
    let mut sum = 0.0;
    // Nobody is due on the first day: who comes on it is due on the second.
    for _ in 1..days {
        let mut next = vec![0.0; 400];
        for (left, chance) in now.iter().enumerate().filter(|(_, chance)| **chance > 1e-15) {
            for (n, arrive) in arrivals.iter().enumerate() {
                next[(left + n).saturating_sub(places).min(399)] += chance * arrive;
            }
        }
        now = next;
        sum += now.iter().enumerate().map(|(left, chance)| left as f64 * chance).sum::<f64>();
    }
    sum / days as f64
}

#[test]
fn a_daily_clinic_waits_as_its_markov_chain_does() {
    for (rate, places) in [(1.0, 2), (2.25, 3), (2.7, 3), (0.8, 1)] {
        let setting = one_cast_each(rate, places, 8);
        let (mean, error) = simulated_mean_left(&setting, 3, 2500);
        let wanted = markov_mean_from_empty(rate, places as usize, 56);
        // Four standard errors: about one false alarm in 16,000 comparisons.
        assert!(
            (mean - wanted).abs() < 4.0 * error,
            "rate {rate}, {places} places: {mean} ± {error}, chain {wanted}"
        );
        assert!(error < 0.05 * wanted.max(0.2), "too few runs to say anything: {error} of {wanted}");
    }
}

/// With brace places on every day no holding cast is ever put on, so the run can be long and the queue
/// comes to rest.
#[test]
fn over_years_it_comes_to_the_chains_stationary_state() {
    let (rate, places) = (2.25, 3);
    let mut setting = one_cast_each(rate, places, 520);
    setting.brace_clinic = Clinic { ..setting.cast_clinic.clone() };
    for places in [&mut setting.brace_clinic.monday, &mut setting.brace_clinic.thursday] {
        *places = 900;
    }
    setting.casting.interval_days = 7;
    setting.casting.window_days = [5, 10];
    setting.bracing.relapse_per_year = vec![0.0; 3];
    let (mean, error) = simulated_mean_left(&setting, 5, 40);
    let wanted = markov_mean_left(rate, places as usize);
    assert!((mean - wanted).abs() < 4.0 * error, "{mean} ± {error}, chain {wanted}");
    assert!(error < 0.05 * wanted, "{error} of {wanted}");
}

/// Little's law as an identity on the counts: the children waiting at the end of each day, summed over
/// days, are the days waited by those seen, those who left and those still waiting, the days before the
/// run taken off.
fn little(run: &Tally) {
    for (kind, waits) in WaitKind::ALL.into_iter().zip(&run.waits) {
        let waited = waits.ended_days + waits.open_days + waits.left_days - waits.before_days;
        assert_eq!(waits.child_days, waited, "{kind:?}");
        assert_eq!(waits.by_days.iter().sum::<u32>(), waits.ended, "{kind:?}");
    }
}

fn conserved(run: &Tally) {
    assert_eq!(run.children.somewhere(), run.children.current + run.children.arrived);
    for week in run.weeks.iter().flatten() {
        assert!(week.used <= week.offered && week.lost <= week.used);
    }
    // Theatre and brace clinic are held once a week: whoever is left without a place found none, so all
    // were used.
    for week in run.weeks.iter().flat_map(|week| &week[1..]) {
        assert!(week.left == 0 || week.used == week.offered, "{week:?}");
    }
    let casts = &run.casts;
    let put_on = casts.correcting + casts.holding + casts.after_tenotomy;
    assert!(casts.ended + casts.slipped <= put_on);
}

#[test]
fn littles_law_and_conservation_hold_on_the_counts() {
    let mut seen = 0;
    for (setting, seed) in [(busy(60.0), 1), (busy(120.0), 2), (busy(15.0), 3)] {
        let clinic = clinic(&setting, caseload::published::pool(&setting, 1));
        for run in simulate(&clinic, seed, 40) {
            little(&run);
            conserved(&run);
            seen += run.children.arrived;
        }
    }
    assert!(seen > 10_000, "only {seen} children came");
}

/// With places enough, a child takes one place for each cast, and its first cast waits for the first
/// clinic day after the day of referral. Tuesday alone: referred on a Tuesday 7 days, on a Wednesday 6,
/// … on a Monday 1, evenly over weekdays, so the mean is (7+6+5+4+3+2+1)/7 = 4 days.
#[test]
fn a_weekly_clinic_with_places_enough_waits_four_days_on_average() {
    let mut setting = busy(60.0);
    setting.cast_clinic = Clinic { tuesday: 500, ..Clinic::default() };
    setting.visits.no_show = 0.0;
    let clinic = clinic(&setting, caseload::published::pool(&setting, 1));
    let runs = simulate(&clinic, 4, 100);
    let days: u64 = runs.iter().map(|run| run.waits[0].ended_days).sum();
    let ended: u32 = runs.iter().map(|run| run.waits[0].ended).sum();
    let mean = days as f64 / f64::from(ended);
    // The standard deviation of an even 1…7 is 2, so four standard errors are 8/√n.
    assert!((mean - 4.0).abs() < 8.0 / f64::from(ended).sqrt() + 0.03, "{mean} over {ended}");
}

/// Load by hand: each child takes c casts on average, one tenotomy with chance p; nothing slips and
/// nobody stays away, places are plenty. Then casts per child is exactly the pool's mean.
#[test]
fn the_casts_put_on_are_those_of_the_paths() {
    let path =
        |casts: [u8; 2], cut: bool| ChildPath { casts, tenotomy: [cut, false], age_days: 20, complex: false };
    let pool = PathPool::new(&[vec![path([4, 6], true), path([5, 0], false)]]).unwrap();
    let mut setting = busy(200.0);
    setting.horizon_weeks = 260;
    for (clinic, places) in
        [(&mut setting.cast_clinic, 300), (&mut setting.theatre, 300), (&mut setting.brace_clinic, 900)]
    {
        *clinic = Clinic { monday: places, wednesday: places, friday: places, ..Clinic::default() };
    }
    setting.visits.no_show = 0.0;
    setting.casting.slip = 0.0;
    setting.bracing.lost_in_casting = 0.0;
    setting.bracing.relapse_per_year = vec![0.0; 3];
    let clinic = ReadyClinic::new(&setting, pool, &[], start()).unwrap();
    for run in simulate(&clinic, 9, 20) {
        let unfinished = run.children.waiting_first + run.children.in_casts;
        let begun = f64::from(run.children.arrived);
        // Both paths are as likely: 5.5 casts a child, ± 4 standard errors of 0.5/√n, less what those
        // not yet through still lack (6 each at most).
        let per_child = f64::from(run.casts.correcting) / begun;
        let slack = 4.0 * 0.5 / begun.sqrt() + 6.0 * f64::from(unfinished) / begun;
        assert!((per_child - 5.5).abs() < slack, "{per_child} ± {slack}");
        assert_eq!(run.casts.holding, 0, "with places on three days a week none is wanted");
        assert_eq!(run.casts.late_no_place + run.casts.late_open, 0);
        assert_eq!(run.weeks.iter().map(|week| week[Service::Theatre.index()].left).sum::<u32>(), 0);
    }
}
