//! Properties of the wear model.

use proptest::prelude::*;
use record::Day;
use wear::simulated::{Habit, Logger, Setup};
use wear::{DaySpan, Doubt, Priors, Temperatures, WearNote, WearReading, WornDay};

fn read(logger: &Logger) -> WearReading {
    WearReading::of(logger.boot(), None, &logger.days)
}

fn spans(days: i32) -> Vec<DaySpan> {
    let span = |day: i32| DaySpan {
        day: Day::from_number(20_000 + day),
        from_s: i64::from(day) * 86_400,
        until_s: i64::from(day + 1) * 86_400,
    };
    (0..days).map(span).collect()
}

#[test]
fn the_hours_of_a_day_add_up_to_the_day() {
    let logger = Setup { gaps: 0.1, uneven: true, room_c: 29.0, ..Setup::ordinary() }.logger(3);
    for day in read(&logger).days {
        let all = day.hours_worn + day.hours_undecided + day.hours_missing;
        assert!(all <= 24.0 + 1e-9, "{day:?}");
        assert!(day.hours_worn >= 0.0 && day.hours_undecided >= 0.0 && day.hours_missing >= 0.0, "{day:?}");
    }
}

#[test]
fn a_day_of_the_clock_change_has_its_25_hours() {
    let logger = Setup { habit: Habit::Never, gaps: 0.0, room_c: 18.0, ..Setup::ordinary() }.logger(1);
    // The tenth day takes an hour of the eleventh.
    let mut days = logger.days.clone();
    days[9].until_s += 3600;
    days[10].from_s += 3600;
    let reading = WearReading::of(logger.boot(), None, &days);
    assert_eq!(reading.days[9].hours_missing, 0.0);
    // Only the time before the first and after the last sample is missing.
    let missing: f64 = reading.days.iter().map(|day| day.hours_missing).sum();
    assert!(missing < 0.5, "{missing}");
}

#[test]
fn parameters_are_found_near_those_the_logger_was_made_with() {
    let logger = Setup { room_c: 18.0, drift_c: 0.0, ..Setup::ordinary() }.logger(5);
    let model = read(&logger).model.unwrap();
    // The room is 18 °C; the skin 33.2 to 34.8 °C, of which 82 to 95 % reach the sensor.
    assert!((model.off_level_c - 18.0).abs() < 2.0, "{model:?}");
    assert!((29.0..35.5).contains(&model.worn_level_c), "{model:?}");
    // Made with 6 to 13 and 14 to 28 minutes, and a shell that lags behind.
    assert!((4.0..22.0).contains(&model.warming_min), "{model:?}");
    assert!((10.0..45.0).contains(&model.cooling_min), "{model:?}");
    assert!((model.sampling_min - 10.0).abs() < 0.1, "{model:?}");
    assert!(model.changes_seen > 40, "{model:?}");
}

#[test]
fn a_lost_day_is_missing_and_neither_worn_nor_off() {
    let mut logger = Setup { gaps: 0.0, ..Setup::ordinary() }.logger(2);
    let day = logger.days[6];
    let keep: Vec<bool> = logger.at_s.iter().map(|at| !(day.from_s..day.until_s).contains(at)).collect();
    let mut at = keep.iter();
    logger.at_s.retain(|_| *at.next().unwrap());
    let mut at = keep.iter();
    logger.celsius.retain(|_| *at.next().unwrap());
    let reading = read(&logger);
    assert!((reading.days[6].hours_missing - 24.0).abs() < 1e-9, "{:?}", reading.days[6]);
    assert_eq!((reading.days[6].hours_worn, reading.days[6].confidence), (0.0, None));
    assert!(reading.days[5].hours_missing < 0.2 && reading.days[7].hours_missing < 0.2);
}

#[test]
fn a_boot_always_warm_is_not_judged_before_a_beginning_is_seen() {
    let minutes: Vec<i64> = (0..10 * 96).map(|step| step * 900).collect();
    let warm: Vec<f64> = minutes.iter().map(|at| 33.0 + 0.2 * (*at as f64 / 7000.0).sin()).collect();
    let room: Vec<f64> = minutes.iter().map(|at| 21.0 + (*at as f64 / 13_751.0).sin()).collect();
    let boot = Temperatures { at_s: &minutes, celsius: &warm };
    let alone = WearReading::of(boot, None, &spans(10));
    assert!(alone.days.iter().all(|day| day.hours_worn == 0.0 && day.hours_undecided > 23.0));
    assert!(alone.notes.contains(&WearNote::OneLevel { off: false }));
    let in_room = Temperatures { at_s: &minutes, celsius: &room };
    // The sensor shows that the boot is warmer than the room; no beginning shows that a foot made it so.
    let both = WearReading::of(boot, Some(in_room), &spans(10));
    assert!(
        both.days.iter().all(|day| day.hours_worn == 0.0 && day.hours_undecided > 23.0),
        "{:?}",
        both.days
    );
    assert!(both.notes.contains(&WearNote::NoFoot), "{:?}", both.notes);
    assert!(both.days.iter().all(|day| day.doubt == Some(Doubt::NoFoot)));
    // With a bath of three quarters of an hour a day, beginnings are seen.
    let bathed: Vec<f64> = minutes.iter().map(|at| bathed(*at as f64 / 60.0)).collect();
    let boot = Temperatures { at_s: &minutes, celsius: &bathed };
    let both = WearReading::of(boot, Some(in_room), &spans(10));
    assert!(
        both.days[1..9].iter().all(|day| day.hours_worn > 22.5 && day.hours_worn < 23.5),
        "{:?}",
        both.days
    );
}

/// Worn except for 45 minutes from six in the evening: 33 °C, down to 21 °C with a time constant of 15 minutes and up
/// again with 8. Skin varies by some tenths of a degree within a quarter of an hour.
fn bathed(minute: f64) -> f64 {
    let since = (minute - 1080.0).rem_euclid(1440.0);
    let low = 21.0 + 12.0 * (-45.0_f64 / 15.0).exp();
    let bath = 21.0 + 12.0 * (-since / 15.0).exp();
    let after = 33.0 + (low - 33.0) * (-(since - 45.0) / 8.0).exp();
    0.5 * (minute / 31.0).sin() + 0.3 * (minute / 18.0).sin() + if since < 45.0 { bath } else { after }
}

#[test]
fn a_boot_that_is_warm_while_the_other_on_the_bar_is_cold_is_undecided() {
    let logger = Setup { gaps: 0.0, ..Setup::ordinary() }.logger(6);
    let alone = read(&logger);
    assert!(alone.days[2..20].iter().all(|day| day.hours_worn > 5.0), "{:?}", alone.days);
    // The other logger lies in the room, or is in an equally warm boot.
    let cold = WearReading::of_pair(logger.boot(), logger.in_room(), None, &logger.days);
    assert!(cold.days.iter().all(|day| day.hours_worn < 0.5), "{:?}", cold.days);
    assert!(cold.days[2..20].iter().all(|day| day.doubt == Some(Doubt::OneBoot)), "{:?}", cold.days);
    let warm = WearReading::of_pair(logger.boot(), logger.boot(), None, &logger.days);
    assert_eq!(warm, alone);
}

#[test]
fn a_boot_in_the_bed_that_was_never_worn_is_undecided() {
    // Every night for nine hours: up to 31 °C with a time constant of 45 minutes; the boot cools with 18.
    let at_s: Vec<i64> = (0..28 * 144).map(|step| step * 600).collect();
    let mut celsius = 20.0;
    let bed = |at: i64| (at % 86_400) / 3600 >= 21 || (at % 86_400) / 3600 < 6;
    let step = |at: &i64| {
        let (toward, minutes) = if bed(*at) { (31.0, 45.0) } else { (20.0, 18.0) };
        celsius += (toward - celsius) * (1.0 - (-10.0_f64 / minutes).exp());
        // A small irregular variation.
        celsius + 0.2 * ((*at as f64 / 2_903.0).sin() + (*at as f64 / 7_411.0).cos())
    };
    let celsius: Vec<f64> = at_s.iter().map(step).collect();
    let reading = WearReading::of(Temperatures { at_s: &at_s, celsius: &celsius }, None, &spans(28));
    assert!(reading.days.iter().all(|day| day.hours_worn < 0.1), "{:?}", reading.days);
    assert!(reading.days[1..27].iter().all(|day| day.hours_doubted > 7.0), "{:?}", reading.days);
    assert!(reading.notes.contains(&WearNote::NoFoot), "{:?}", reading.notes);
}

#[test]
fn a_boot_hotter_than_a_body_does_not_give_the_level_of_a_foot() {
    // Usual nights, and 48 °C for three hours every afternoon: a radiator.
    let mut logger = Setup { gaps: 0.0, room_c: 20.0, ..Setup::ordinary() }.logger(9);
    for (at, celsius) in logger.at_s.iter().zip(&mut logger.celsius) {
        let minute = (at % 86_400) as f64 / 60.0;
        let heat = |since: f64| if since <= 0.0 { 0.0 } else { 1.0 - (-since / 25.0).exp() };
        *celsius += (48.0 - *celsius).max(0.0) * (heat(minute - 960.0) - heat(minute - 1140.0)).max(0.0);
    }
    let reading = read(&logger);
    let wrong = |(day, truth): &(&WornDay, &f64)| day.hours_worn > **truth + 1.0;
    let days = reading.days.iter().zip(&logger.worn_hours);
    assert_eq!(days.filter(wrong).count(), 0, "{:?}", reading.days);
    let level = reading.model.unwrap().worn_level_c;
    assert!((29.0..36.0).contains(&level), "{level}");
    assert!(reading.days.iter().any(|day| matches!(day.doubt, Some(Doubt::TooHot(_)))), "{:?}", reading.days);
}

#[test]
fn doubts_are_parts_of_a_sentence() {
    let all = [
        Doubt::WarmRoom,
        Doubt::NoFoot,
        Doubt::TooHot(38.0),
        Doubt::Level { spell_c: 29.0, usual_c: 32.5 },
        Doubt::WarmsSlowly,
        Doubt::Unsteady,
        Doubt::TooEven,
        Doubt::SetLevel,
        Doubt::OneBoot,
        Doubt::TooLittle,
    ];
    for doubt in all {
        let words = doubt.to_string();
        assert!(words.len() > 20 && !words.ends_with('.') && !words.contains("  "), "{words}");
    }
}

#[test]
fn a_stored_boot_was_not_worn() {
    let logger = Setup { habit: Habit::Never, room_c: 19.0, ..Setup::ordinary() }.logger(8);
    let reading = read(&logger);
    assert!(reading.days.iter().all(|day| day.hours_worn == 0.0), "{:?}", reading.days);
    assert!(reading.notes.contains(&WearNote::OneLevel { off: true }));
}

#[test]
fn too_few_samples_say_so_and_faults_count_as_missing() {
    let short = WearReading::of(Temperatures { at_s: &[0, 900], celsius: &[20.0, 21.0] }, None, &spans(1));
    assert_eq!((short.days[0].hours_missing, short.model), (24.0, None));
    assert_eq!(short.notes, [WearNote::TooFewSamples(2)]);
    let mut logger = Setup::ordinary().logger(4);
    logger.celsius[100] = 85.0;
    logger.celsius[200] = f64::NAN;
    logger.at_s[301] = logger.at_s[300];
    assert!(read(&logger).notes.contains(&WearNote::Faults(3)));
}

#[test]
fn notes_are_sentences() {
    let all = [
        WearNote::TooFewSamples(3),
        WearNote::Faults(2),
        WearNote::Coarse(30.0),
        WearNote::OneLevel { off: true },
        WearNote::OneLevel { off: false },
        WearNote::Undecided(12.3),
        WearNote::NoFoot,
        WearNote::Doubted(8.5),
        WearNote::CoolWorn(26.0),
        WearNote::RoomMissing(4),
        WearNote::RoomUnused,
    ];
    for note in all {
        let words = note.to_string();
        assert!(words.ends_with(['.', '?']) && !words.contains("  "), "{words}");
    }
}

#[test]
fn what_is_left_out_to_save_time_changes_no_day_by_two_seconds() {
    // Two seconds are 5.6e-4 h; the largest change over 20,160 days of a larger set of loggers was 1.9e-4 h.
    let everything = Priors { left_out: 0.0, ..Priors::default() };
    let mut loggers = 0;
    for sampling_min in [5.0, 10.0, 15.0, 30.0, 60.0] {
        for room_c in [16.0, 20.0, 24.0, 28.0, 31.0] {
            for habit in [Habit::FullTime, Habit::Nights, Habit::Broken] {
                let logger = Setup { sampling_min, room_c, habit, ..Setup::ordinary() }.logger(loggers);
                let quick = read(&logger);
                let whole = WearReading::with(logger.boot(), None, None, &logger.days, &everything);
                for (quick, whole) in quick.days.iter().zip(&whole.days) {
                    let worn = (quick.hours_worn - whole.hours_worn).abs();
                    let undecided = (quick.hours_undecided - whole.hours_undecided).abs();
                    assert!(
                        worn.max(undecided) < 5e-4,
                        "{sampling_min} min, {room_c} °C: {quick:?} {whole:?}"
                    );
                }
                loggers += 1;
            }
        }
    }
    assert_eq!(loggers, 75);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]
    #[test]
    fn no_series_breaks_it(
        series in prop::collection::vec((-100_i64..40_000, prop_oneof![
            5 => -40.0..70.0_f64, 1 => Just(f64::NAN), 1 => Just(33.0), 1 => Just(f64::INFINITY)
        ]), 0..300),
        room in prop::collection::vec((0_i64..9_000, 10.0..40.0_f64), 0..60),
    ) {
        let rise = |steps: &[(i64, f64)]| -> (Vec<i64>, Vec<f64>) {
            let mut at = 0;
            steps.iter().map(|(step, celsius)| { at += step; (at, *celsius) }).unzip()
        };
        let ((at_s, celsius), (room_s, room_c)) = (rise(&series), rise(&room));
        let boot = Temperatures { at_s: &at_s, celsius: &celsius };
        let in_room = Temperatures { at_s: &room_s, celsius: &room_c };
        for room in [None, Some(in_room)] {
            for day in WearReading::of(boot, room, &spans(30)).days {
                let all = day.hours_worn + day.hours_undecided + day.hours_missing;
                prop_assert!((0.0..=24.0 + 1e-6).contains(&all), "{day:?}");
                prop_assert!(day.confidence.is_none_or(|sure| (0.5..=1.0).contains(&sure)));
            }
        }
    }
}

/// A boot that is warm every evening for two hours, at a level and with a variation of its own; time constants of 8
/// minutes for warming and 20 for cooling.
fn evenings(level: impl Fn(f64) -> f64, wander: impl Fn(f64) -> f64) -> (Vec<i64>, Vec<f64>) {
    let minutes = (0..21 * 144).map(|step| f64::from(step) * 10.0);
    let warm = |minute: f64| {
        let since = minute.rem_euclid(1440.0) - 1140.0;
        let day = (minute / 1440.0).floor();
        let top = level(day) + wander(minute);
        let risen = |since: f64| 21.0 + (top - 21.0) * (1.0 - (-since / 8.0).exp());
        match since {
            ..0.0 => 21.0 + 0.3 * (minute / 200.0).sin(),
            0.0..120.0 => risen(since),
            _ => 21.0 + (risen(120.0) - 21.0) * (-(since - 120.0) / 20.0).exp(),
        }
    };
    (minutes.clone().map(|minute| (minute * 60.0) as i64).collect(), minutes.map(warm).collect())
}

/// Skin temperature varies and no two evenings are the same; a source with a thermostat is even, and the same each
/// time, however fast it warms.
#[test]
fn a_source_that_is_even_and_always_the_same_is_not_mistaken_for_a_foot() {
    let hours = |level: &dyn Fn(f64) -> f64, wander: &dyn Fn(f64) -> f64| {
        let (at_s, celsius) = evenings(level, wander);
        let reading = WearReading::of(Temperatures { at_s: &at_s, celsius: &celsius }, None, &spans(21));
        let sum = |of: fn(&WornDay) -> f64| reading.days.iter().map(of).sum::<f64>();
        (sum(|day| day.hours_worn), sum(|day| day.hours_undecided))
    };
    let wanders = |minute: f64| 0.5 * (minute / 31.0).sin() + 0.3 * (minute / 18.0).sin();
    let differs = |day: f64| 33.0 + 0.6 * (1.7 * day).sin();
    // 21 evenings of two hours: 42 hours.
    let (worn, _) = hours(&differs, &wanders);
    assert!((38.0..44.0).contains(&worn), "{worn}");
    let (same, undecided) = hours(&|_| 33.0, &|_| 0.0);
    assert!(same < 1.0 && undecided > 35.0, "{same} {undecided}");
}
