//! The simulated caseload compared with the published marginals from which it is sampled, and its bands and
//! comparisons of settings.

use crate::common::{busy, clinic, start};
use caseload::{
    CaseloadSummary, Clinic, ComparedMeasure, Comparison, CurrentChild, CurrentPhase, ReadyClinic, RunBand,
    Service, Setting, Tally, WaitKind, difference_sentence, draws, growth, lead_sentences, published,
    simulate,
};

fn mean_sd(values: &[f64]) -> (f64, f64) {
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    let variance = values.iter().map(|one| (one - mean).powi(2)).sum::<f64>() / (values.len() - 1) as f64;
    (mean, variance.sqrt())
}

fn all_paths(setting: &Setting) -> Vec<caseload::ChildPath> {
    let pool = published::pool(setting, 5);
    (0..pool.worlds()).flat_map(|world| pool.world(world).to_vec()).collect()
}

/// Casts per foot: mean 5.63 and total SD 1.64 over 674 feet in 5 arms (Ethiopian cohort; Bob-Manuel 2022,
/// 10.13107/ijpo.2022.v08.i03.143; Islam 2020, 10.4055/cios.2020.12.1.100; Williams 2022,
/// 10.7759/cureus.22683). The sampler uses 5.6, 1.5 within and 0.64 between clinics:
/// √(1.5² + 0.64²) = 1.63. Sampling error of the mean: 64 worlds, 0.64/√64 = 0.08, so 0.24 is three of them.
#[test]
fn casts_have_the_published_mean_and_spread() {
    let paths = all_paths(&Setting::default());
    let feet: Vec<f64> =
        paths.iter().flat_map(|path| path.casts).filter(|&casts| casts > 0).map(f64::from).collect();
    let (mean, sd) = mean_sd(&feet);
    assert!((mean - 5.63).abs() < 0.27, "{mean}");
    assert!((sd - 1.64).abs() < 0.15, "{sd}");
    let range = feet.iter().fold((f64::MAX, 0.0f64), |(low, high), &one| (low.min(one), high.max(one)));
    // Ranges read: 2–10 (Gao), 2–16 (Brazell 2019).
    assert!(range.0 >= 1.0 && range.1 <= 18.0, "{range:?}");
}

/// Tenotomy: eleven base rates with mean .688, lowest .224 (Lagos), highest .864. Complex feet, 6.6 % with
/// .92, raise the mean to .934 × .688 + .066 × .92 = .703. Worlds go round the eleven, so that 64 worlds
/// hold five or six of each; the binomial error of some 48,000 feet is .002.
#[test]
fn tenotomy_differs_between_worlds_as_between_centres() {
    let pool = published::pool(&Setting::default(), 5);
    let rates: Vec<f64> = (0..pool.worlds())
        .map(|world| {
            let feet: Vec<bool> = pool
                .world(world)
                .iter()
                .flat_map(|path| path.casts.into_iter().zip(path.tenotomy))
                .filter(|(casts, _)| *casts > 0)
                .map(|(_, cut)| cut)
                .collect();
            feet.iter().filter(|cut| **cut).count() as f64 / feet.len() as f64
        })
        .collect();
    let (mean, _) = mean_sd(&rates);
    assert!((mean - 0.703).abs() < 0.02, "{mean}");
    let low = rates.iter().copied().fold(1.0, f64::min);
    let high = rates.iter().copied().fold(0.0, f64::max);
    // Lagos with the complex feet: .934 × .224 + .066 × .92 = .270; three binomial errors are .05.
    assert!((low - 0.27).abs() < 0.07 && (high - 0.87).abs() < 0.07, "{low} {high}");
}

#[test]
fn a_clinics_own_tenotomy_share_holds_in_every_world() {
    let mut setting = Setting::default();
    setting.course.tenotomy = Some(0.4);
    setting.course.complex = 0.0;
    let paths = all_paths(&setting);
    let right = paths.iter().filter(|path| path.tenotomy[0]).count() as f64 / paths.len() as f64;
    // 32,768 children: the binomial error is .0027.
    assert!((right - 0.4).abs() < 0.011, "{right}");
}

/// Both feet: half of the children; their casts correlate as the shared part, .7, a little less for
/// rounding (a twelfth of a variance of 2.25).
#[test]
fn the_two_feet_of_a_child_are_alike() {
    let mut setting = Setting::default();
    setting.course.casts_sd_between = 0.0;
    setting.course.complex = 0.0;
    let paths = all_paths(&setting);
    let both: Vec<_> = paths.iter().filter(|path| path.casts[1] > 0).collect();
    let share = both.len() as f64 / paths.len() as f64;
    assert!((share - 0.5).abs() < 0.012, "{share}");
    let (right, left): (Vec<f64>, Vec<f64>) =
        both.iter().map(|path| (f64::from(path.casts[0]), f64::from(path.casts[1]))).unzip();
    let ((m0, s0), (m1, s1)) = (mean_sd(&right), mean_sd(&left));
    let products: Vec<f64> = right.iter().zip(&left).map(|(a, b)| (a - m0) * (b - m1)).collect();
    let correlation = mean_sd(&products).0 / (s0 * s1);
    assert!((correlation - 0.7 * (1.0 - 1.0 / 12.0 / 2.25)).abs() < 0.03, "{correlation}");
}

/// Relapse by 2, 4 and 6 years: 30, 45 and 52 % (Sangiorgio 2017, 10.5435/JAAOS-D-16-00522, n = 191).
/// Children braced at three months, all followed to eight years, nobody lost, reviews weekly so that a
/// relapse is noted at once. Hazards as built in: 1 − exp(−0.204 × 1.75) = .300, then
/// 1 − exp(−0.357 − 0.121 × 2) = .451, then 1 − exp(−0.599 − 0.068 × 2) = .520.
/// With some 4,000 children the binomial error is .008.
#[test]
fn relapse_comes_as_published_at_two_four_and_six_years() {
    let mut setting = busy(0.0);
    setting.horizon_weeks = 300;
    setting.brace_clinic = Clinic { wednesday: 1000, ..Clinic::default() };
    setting.cast_clinic = Clinic::default();
    setting.visits.no_show = 0.0;
    setting.bracing.until_years = 8.0;
    setting.bracing.lost_in_bracing = 0.0;
    setting.bracing.later_review_days = 7;
    let child = CurrentChild {
        born: Some(start() - 91),
        phase: CurrentPhase::InBrace { since: start(), booked: None, last_seen: None },
        complex: false,
        episode: 1,
        foot_length_mm: None,
    };
    let children = vec![child; 400];
    for (years, published) in [(2.0f64, 0.30), (4.0, 0.45), (5.9, 0.52)] {
        let mut setting = setting.clone();
        // The horizon ends on the age in question; a week more for the review that notes it.
        setting.horizon_weeks = ((years * 365.25 - 91.0) / 7.0).round() as u32 + 1;
        let clinic = ReadyClinic::new(&setting, published::pool(&setting, 1), &children, start()).unwrap();
        let runs = simulate(&clinic, 2, 10);
        // Without a cast clinic nobody relapses twice.
        let relapsed: u32 = runs.iter().map(|run| run.children.relapses).sum();
        let share = f64::from(relapsed) / 4000.0;
        assert!((share - published).abs() < 0.03, "by {years} years {share}, published {published}");
    }
}

/// Lost: 16.1 % (155 of 965), 88 % of them in bracing (S1067-2516(21)00458-0), so 1.9 % in casting and
/// 14.2 % in bracing. Children followed from referral to five years, no relapse in between, five and a
/// half years; with some 2,000 finished or lost children the binomial error is .008.
#[test]
fn as_many_are_lost_as_published() {
    let mut setting = busy(200.0);
    setting.horizon_weeks = 520;
    setting.cast_clinic = Clinic { monday: 200, ..Clinic::default() };
    setting.theatre = Clinic { monday: 200, ..Clinic::default() };
    setting.brace_clinic = Clinic { monday: 1000, ..Clinic::default() };
    setting.bracing.relapse_per_year = vec![0.0; 3];
    setting.referrals.ages = vec![caseload::AgeBand { share: 1.0, from_days: 14, to_days: 28 }];
    let clinic = clinic(&setting, published::pool(&setting, 1));
    let (mut lost, mut over) = (0.0, 0.0);
    for run in simulate(&clinic, 3, 6) {
        // Of those who came in the first half nearly all are through by the tenth year; the lost of the
        // second half are taken off by the number expected to be: those in the brace still have a part
        // of the hazard before them. Simply: lost over lost and finished, corrected for the finished who
        // lag by five years, is the odds of the early cohort.
        let arrived = f64::from(run.children.arrived);
        lost += f64::from(run.children.lost);
        over += arrived;
    }
    // Expected by hand: arrivals are even over ten years. In casting 1.9 % of all but the last weeks'.
    // In bracing the hazard is −ln(1 − .145)/4.75 = .03298 a year for at most 4.75 years from about the
    // second month after referral: of those referred t years before the end, 1 − exp(−.03298 min(t, 4.75)).
    let mean = |steps: u32| -> f64 {
        let one = |n: u32| {
            let t = 10.0 * (f64::from(n) + 0.5) / f64::from(steps) - 0.2;
            0.019 + 0.981 * (1.0 - (-0.03298 * t.clamp(0.0, 4.75)).exp())
        };
        (0..steps).map(one).sum::<f64>() / f64::from(steps)
    };
    let wanted = mean(1000);
    assert!((wanted - 0.126).abs() < 0.005, "{wanted}: near 16.1 % but for those not yet through");
    assert!((lost / over - wanted).abs() < 0.012, "{} against {wanted} of {over}", lost / over);
}

/// Foot length: Snyder 1977 infants' bands (not standing) at 1.5, 4.5, 7.5 and 10.5 months: 82, 91, 100
/// and 109 mm, and the standing children of 2.26, 3.24 and 4.25 years: 139.2, 152.3 and 163.4 mm. Both are
/// the data of the fits, so within 2 mm. Nothing jumps on any day.
#[test]
fn feet_grow_as_measured_and_never_by_a_jump() {
    let month = 365.25 / 12.0;
    for (months, mm) in
        [(1.5, 82.0), (4.5, 91.0), (7.5, 100.0), (10.5, 109.0), (27.1, 139.2), (38.8, 152.3), (51.0, 163.4)]
    {
        let found = growth::foot_length_mm(months * month);
        assert!((found - mm).abs() < 2.0, "at {months} months {found}, measured {mm}");
    }
    for day in 0..2200 {
        let step = growth::foot_length_mm(f64::from(day + 1)) - growth::foot_length_mm(f64::from(day));
        assert!((0.0..0.25).contains(&step), "on day {day} of age a foot would grow by {step} mm");
    }
}

/// From three months to five years the mean foot grows from 88.6 to 170.5 mm, by 82 mm. A closed boot made
/// for a length holds the foot until it is 5 mm longer, an open one until it is 10 mm longer, and the next is
/// made for at most 5 mm above the foot; reviews are three months apart, in which the foot grows by up to
/// 8 mm in the first year and 3 mm in the last. So a closed pair lasts for 5 to 10 mm and what is overrun,
/// which is some 8 to 14 pairs, and an open one for 10 to 15 mm and what is overrun: 82 / (15 + 5) to
/// 82 / 10, some 4 to 8 pairs.
#[test]
fn boots_are_outgrown_as_often_as_the_rule_for_them_says() {
    let closed = pairs_to_the_fifth_birthday(Some(5.0));
    assert!((8.0..14.0).contains(&closed), "{closed} pairs a child");
    let open = pairs_to_the_fifth_birthday(None);
    assert!((4.0..8.2).contains(&open), "{open} pairs a child");
}

fn pairs_to_the_fifth_birthday(outgrown_by_mm: Option<f64>) -> f64 {
    let mut setting = busy(0.0);
    setting.horizon_weeks = 260;
    setting.cast_clinic = Clinic { monday: 100, ..Clinic::default() };
    setting.brace_clinic = Clinic { wednesday: 1000, ..Clinic::default() };
    setting.bracing.lost_in_bracing = 0.0;
    setting.bracing.relapse_per_year = vec![0.0; 3];
    setting.visits.no_show = 0.0;
    setting.boots.outgrown_by_mm = outgrown_by_mm;
    let child = CurrentChild {
        born: Some(start() - 91),
        phase: CurrentPhase::WaitingForBrace {
            cast_on: start() - 21,
            after_tenotomy: true,
            booked: Some(start()),
        },
        complex: false,
        episode: 1,
        foot_length_mm: None,
    };
    let clinic = ReadyClinic::new(&setting, published::pool(&setting, 1), &vec![child; 50], start()).unwrap();
    let runs = simulate(&clinic, 2, 4);
    let pairs: f64 = runs.iter().flat_map(|run| &run.boots).flatten().map(|&n| f64::from(n)).sum();
    pairs / 200.0
}

fn spread_of(draw: impl Fn(u64) -> f64) -> f64 {
    let mut counts = [0u32; 20];
    for n in 0..20_000 {
        counts[(draw(n) * 20.0) as usize] += 1;
    }
    counts.iter().map(|&count| (f64::from(count) - 1000.0).powi(2) / 1000.0).sum()
}

/// Chi-squared with 19 degrees of freedom: 43.8 is passed once in a thousand times.
#[test]
fn the_draws_are_spread_evenly_over_keys_and_over_numbers() {
    use draws::For;
    assert!(spread_of(|n| draws::unit(7, For::NoShow, n)) < 43.8);
    assert!(spread_of(|n| draws::unit(n, For::NoShow, 0)) < 43.8);
    assert!(spread_of(|n| draws::unit(draws::bits(1, For::Child, n << 16), For::Path, 0)) < 43.8);
    // Two purposes of one key are not alike: of pairs, a quarter lie in each quadrant.
    let both =
        (0..20_000).filter(|&n| draws::unit(n, For::NoShow, 0) < 0.5 && draws::unit(n, For::Slip, 0) < 0.5);
    let share = both.count() as f64 / 20_000.0;
    assert!((share - 0.25).abs() < 0.0123, "{share}: four standard errors of √(.25 × .75 / 20,000)");
    let drawn: Vec<f64> =
        (0..20_000).map(|n| f64::from(draws::poisson(3.0, draws::unit(n, For::Arrivals, 1)))).collect();
    let (mean, sd) = mean_sd(&drawn);
    assert!((mean - 3.0).abs() < 0.05 && (sd * sd - 3.0).abs() < 0.13, "{mean} {sd}");
}

fn summary(setting: &Setting, seed: u64, runs: u32) -> (CaseloadSummary, Vec<Tally>) {
    let clinic = clinic(setting, published::pool(setting, 1));
    let runs = simulate(&clinic, seed, runs);
    (CaseloadSummary::of(&clinic, &runs).unwrap(), runs)
}

/// 400 further runs on another seed: of each week's value 90 % should lie in the 90 % band. A band of counts
/// holds more than its share, since a whole number lies on its edge; so between 87 and 97 % over all weeks.
#[test]
fn the_bands_hold_what_further_runs_bring() {
    let setting = busy(50.0);
    let (summary, _) = summary(&setting, 1, 800);
    let clinic = clinic(&setting, published::pool(&setting, 1));
    let further = simulate(&clinic, 99, 400);
    let holds = |band: &RunBand, value: f64| (band.low90..=band.high90).contains(&value);
    for service in Service::ALL {
        let (mut inside, mut all) = (0, 0);
        for run in &further {
            for (week, band) in run.weeks.iter().zip(summary.service(service)) {
                all += 1;
                inside += usize::from(holds(&band.needed, week[service.index()].needed().into()));
            }
        }
        let share = f64::from(inside as u32) / f64::from(all as u32);
        assert!((0.87..=0.985).contains(&share), "{service:?}: {share}");
    }
    // A continuous figure: the mean wait. Binomial error of 400 runs .015.
    let band = summary.wait(WaitKind::FirstCast).unwrap().mean_days.unwrap();
    let inside = further.iter().filter(|run| holds(&band, run.waits[0].mean_days().unwrap())).count();
    assert!((0.85..=0.95).contains(&(inside as f64 / 400.0)), "{inside} of 400");
}

/// On the same children with the same luck a cast day more shortens the mean wait for the first cast, in
/// every run but for chance effects of order: a place taken sooner can move another child's draw of a day
/// lost. Tolerance: no run longer by more than half a day, and the mean over runs shorter.
#[test]
fn a_cast_day_more_never_lengthens_the_wait_and_one_less_never_shortens_it() {
    let setting = busy(70.0);
    let mut more = setting.clone();
    more.cast_clinic.monday = 6;
    let mut less = setting.clone();
    less.cast_clinic.friday = 0;
    let (_, base) = summary(&setting, 8, 200);
    let (_, with_more) = summary(&more, 8, 200);
    let (_, with_less) = summary(&less, 8, 200);
    let wait = |run: &Tally| ComparedMeasure::FirstCastDays.of(run).unwrap();
    for ((base, more), less) in base.iter().zip(&with_more).zip(&with_less) {
        assert!(wait(more) <= wait(base) + 0.5, "{} {}", wait(more), wait(base));
        assert!(wait(less) >= wait(base) - 0.5, "{} {}", wait(less), wait(base));
    }
    let change = Comparison::of(&base, &with_more);
    let change = change.difference(ComparedMeasure::FirstCastDays).unwrap().change.unwrap();
    assert!(change.high90 < 0.0, "{change:?}");
}

/// A clinic with twice the theatre and brace places: every measure whose 90 % interval of the difference excludes
/// 0 is named, and no other but the three that always are.
#[test]
fn every_difference_larger_than_the_error_of_the_simulation_is_named() {
    let setting = busy(70.0);
    let mut other = setting.clone();
    other.cast_clinic.monday = 12;
    other.brace_clinic.wednesday *= 2;
    let (_, base) = summary(&setting, 8, 200);
    let (_, changed) = summary(&other, 8, 200);
    let comparison = Comparison::of(&base, &changed);
    let text = difference_sentence(&comparison).join(" ");
    let mut named = 0;
    for (measure, words) in [
        (ComparedMeasure::FittingDays, "the wait from ready to the brace"),
        (ComparedMeasure::ReviewDays, "the delay of reviews"),
        (ComparedMeasure::HoldingCasts, "holding casts would be"),
        (ComparedMeasure::WaitingAtEnd, "children waiting for a first cast at the end"),
    ] {
        let change = comparison.difference(measure).unwrap().change;
        // Changes under a twentieth are shown as none.
        let is_clear = change.is_some_and(|change| change.low90 > 0.05 || change.high90 < -0.05);
        assert_eq!(text.contains(words), is_clear, "{measure:?} {change:?}: {text}");
        named += usize::from(is_clear);
    }
    assert!(named > 0, "the setting shows nothing: {text}");
}

/// Differences on the same luck spread less than differences on other luck: that is what they are for.
#[test]
fn the_same_luck_in_both_settings_narrows_the_difference() {
    let setting = busy(55.0);
    let mut more = setting.clone();
    more.theatre.monday = 1;
    let (_, base) = summary(&setting, 8, 300);
    let (_, same) = summary(&more, 8, 300);
    let (_, other) = summary(&more, 9, 300);
    let width = |runs: &[Tally]| {
        let change = Comparison::of(&base, runs);
        let change = change.difference(ComparedMeasure::FirstCastDays).unwrap().change.unwrap();
        change.high90 - change.low90
    };
    assert!(width(&same) < 0.6 * width(&other), "{} {}", width(&same), width(&other));
}

#[test]
fn threads_change_nothing() {
    let setting = busy(50.0);
    let clinic = clinic(&setting, published::pool(&setting, 1));
    let alone = rayon::ThreadPoolBuilder::new().num_threads(1).build().unwrap();
    let several = rayon::ThreadPoolBuilder::new().num_threads(4).build().unwrap();
    let one = alone.install(|| simulate(&clinic, 5, 24));
    let four = several.install(|| simulate(&clinic, 5, 24));
    assert_eq!(one, four);
    assert_ne!(one[0], one[1], "runs differ from each other");
}

#[test]
fn the_answer_is_told_in_sentences() {
    let (short, _) = summary(&busy(120.0), 1, 60);
    let text = lead_sentences(&short).join(" ");
    assert!(text.contains("Cast places, 12 a week, run short"), "{text}");
    let mut plenty = busy(10.0);
    plenty.cast_clinic.monday = 30;
    plenty.brace_clinic.monday = 30;
    plenty.theatre.monday = 30;
    let (enough, _) = summary(&plenty, 1, 60);
    let text = lead_sentences(&enough).join(" ");
    assert!(text.contains("Cast places, 42 a week, suffice"), "{text}");
    let (_, first) = summary(&busy(120.0), 1, 60);
    let mut other = busy(120.0);
    other.cast_clinic.monday = 12;
    let (_, second) = summary(&other, 1, 60);
    let text = difference_sentence(&Comparison::of(&first, &second)).join(" ");
    assert!(text.contains("first cast would be") && text.contains("shorter"), "{text}");
}
