//! What is warm around a boot that is not worn, each at its own hours.

use super::boot::Around;
use super::child::{Habit, Home, Life};
use super::{DAY_MIN, Source, normal, wander};
use rand::{RngExt, rngs::StdRng};
use std::f64::consts::PI;

/// The number of days in a hundred on which the source is there.
const OFTEN: f64 = 0.8;

/// Lays the source over the minutes in which the boot is not worn.
pub fn lay(source: Source, home: &Home, life: &Life, around: &mut [Around], rng: &mut StdRng) {
    match source {
        Source::Ordinary | Source::NeverWorn | Source::Sibling => {}
        Source::Blanket => blanket(life, around, rng),
        Source::HotWaterBottle => bottle(life, around, rng),
        Source::ElectricBlanket => electric_blanket(life, around, rng),
        _ => {
            let manner = Manner::draw(rng);
            for day in 0..around.len() / DAY_MIN {
                if rng.random_bool(OFTEN) {
                    of_day(source, home, manner, day * DAY_MIN, &life.worn, around, rng);
                }
            }
        }
    }
}

/// What is of one home: a number from 0 to 1 for how strong and one for when.
#[derive(Debug, Clone, Copy)]
struct Manner {
    strong: f64,
    when: f64,
}

impl Manner {
    fn draw(rng: &mut StdRng) -> Self {
        Self { strong: rng.random_range(0.0..1.0), when: rng.random_range(0.0..1.0) }
    }
}

fn of_day(
    source: Source,
    home: &Home,
    manner: Manner,
    start: usize,
    worn: &[bool],
    around: &mut [Around],
    rng: &mut StdRng,
) {
    match source {
        Source::Sun => sun(manner, start, worn, around, rng),
        Source::Radiator => radiator(manner, start, worn, around, rng),
        Source::Wash => wash(start, worn, around, rng),
        Source::FanHeater => fan(start, worn, around, rng),
        Source::Carried => carried(start, worn, around, rng),
        Source::Car => car(home, start, worn, around, rng),
        Source::Tent => tent(home, manner, start, worn, around, rng),
        Source::AiringCupboard => cupboard(manner, start, worn, around, rng),
        Source::Pet => pet(start, worn, around, rng),
        Source::BootWarmer => warmer(manner, start, worn, around, rng),
        _ => {}
    }
}

/// The minutes of a day from one to another in which the boot is not worn.
fn free(start: usize, from: f64, until: f64, worn: &[bool]) -> impl Iterator<Item = usize> {
    let end = worn.len();
    let (from, until) = (start + from.max(0.0) as usize, start + until.max(0.0) as usize);
    let worn: Vec<bool> = worn[from.min(end)..until.min(end)].to_vec();
    (from..until.min(end)).zip(worn).filter(|(_, worn)| !worn).map(|(minute, _)| minute)
}

/// Air in the bed next to the child: 28 to 33 °C a hand's breadth from the body (from memory; a bed's own climate
/// is about 32–34 °C at the skin). It grows warm over half an hour and changes as the child turns.
fn blanket(life: &Life, around: &mut [Around], rng: &mut StdRng) {
    let usual = rng.random_range(0.6..0.95);
    let (mut near, mut warm) = (0.0, 0.0);
    for (minute, around) in around.iter_mut().enumerate() {
        near = wander(rng, near, 0.12, 90.0);
        warm += (f64::from(u8::from(life.in_bed[minute])) - warm) / 25.0;
        if life.in_bed[minute] && !life.worn[minute] {
            let share = (usual + near).clamp(0.1, 1.0) * warm;
            let air = around.air_c + share * (34.0 - around.air_c);
            *around = Around { wind: 0.6, ..Around::air(air) };
        }
    }
}

/// A bottle of 45–65 °C laid into the bed in the evening; it cools over hours. The boot lies against it or near it.
fn bottle(life: &Life, around: &mut [Around], rng: &mut StdRng) {
    let touch = if rng.random_bool(0.5) { rng.random_range(0.02..0.3) } else { 0.0 };
    let (mut bottle, mut there, mut before) = (20.0, false, false);
    let hours = rng.random_range(2.5..6.0);
    for (minute, around) in around.iter_mut().enumerate() {
        let in_bed = life.in_bed[minute];
        if in_bed && !before {
            (bottle, there) = (rng.random_range(45.0..65.0), rng.random_bool(OFTEN));
        }
        before = in_bed;
        bottle += (around.air_c - bottle) / (60.0 * hours);
        if in_bed && there && !life.worn[minute] {
            let air = around.air_c + 0.45 * (bottle - around.air_c);
            *around = Around { wind: 0.6, touch_c: bottle, touch_w_k: touch, ..Around::air(air) };
        }
    }
}

/// Wires of 32–45 °C, switched by a thermostat, from before bedtime to the morning or for some hours.
fn electric_blanket(life: &Life, around: &mut [Around], rng: &mut StdRng) {
    let set = rng.random_range(31.0..42.0);
    let band = rng.random_range(0.5..2.5);
    let touch = rng.random_range(0.05..0.25);
    let lasts = if rng.random_bool(0.5) { 700.0 } else { rng.random_range(90.0..300.0) };
    let (mut wire, mut on, mut since) = (20.0, true, f64::INFINITY);
    let mut before = false;
    for (minute, around) in around.iter_mut().enumerate() {
        if life.in_bed[minute] && !before {
            since = if rng.random_bool(OFTEN) { 0.0 } else { f64::INFINITY };
        }
        before = life.in_bed[minute];
        since += 1.0;
        let running = since < lasts && life.in_bed[minute];
        on = if on { wire < set + band } else { wire < set - band };
        let aim = if running && on { set + 12.0 } else { around.air_c };
        wire += (aim - wire) / 22.0;
        if running && !life.worn[minute] {
            let air = around.air_c + 0.6 * (wire - around.air_c);
            *around = Around { wind: 0.55, touch_c: wire, touch_w_k: touch, ..Around::air(air) };
        }
    }
}

/// Up to 500 W/m² behind glass on 100 cm² of a boot that takes up half: some watts. A window looks at the sun for
/// three to six hours; clouds come and go.
fn sun(manner: Manner, start: usize, worn: &[bool], around: &mut [Around], rng: &mut StdRng) {
    let middle = 570.0 + 420.0 * manner.when;
    let half = rng.random_range(90.0..180.0);
    let most = (0.8 + 2.0 * manner.strong) * rng.random_range(0.6..1.1);
    let (cloudy, mut clear) = (rng.random_range(0.0..0.7), true);
    for minute in free(start, middle - half, middle + half, worn) {
        if rng.random_bool(1.0 / 25.0) {
            clear = !rng.random_bool(cloudy);
        }
        let along = (minute - start) as f64 - (middle - half);
        let high = (PI * along / (2.0 * half)).sin().max(0.0).sqrt();
        around[minute].shine_w = most * high * if clear { 1.0 } else { 0.25 };
    }
}

/// Water of 45–65 °C in the radiator in the hours of heating, by a valve that opens and shuts; the boot lies on
/// it, or next to it.
fn radiator(manner: Manner, start: usize, worn: &[bool], around: &mut [Around], rng: &mut StdRng) {
    let water = 45.0 + 20.0 * manner.when;
    let near = 0.15 + 0.6 * manner.strong;
    let cycle = rng.random_range(25.0..70.0);
    let phase = rng.random_range(0.0..cycle);
    let mut plate = 25.0;
    let spells = [(340.0, 540.0), (930.0, 1320.0)];
    for (from, until) in spells {
        let (from, until) = (from + normal(rng, 25.0), until + normal(rng, 40.0));
        for minute in free(start, from, until, worn) {
            let part = ((minute as f64 + phase) / cycle).fract();
            let aim = if part < 0.6 { water } else { water - 16.0 };
            plate += (aim - plate) / 18.0;
            let air = around[minute].air_c;
            around[minute].air_c = air + near * (plate - air);
        }
    }
}

/// Water of 30, 40 or 60 °C for most of an hour, rinsed cold; half of the time a dryer of 45–65 °C after it. Or
/// some minutes by hand.
fn wash(start: usize, worn: &[bool], around: &mut [Around], rng: &mut StdRng) {
    let begin = rng.random_range(560.0..900.0);
    if rng.random_bool(0.35) {
        let water = rng.random_range(32.0..40.0);
        for minute in free(start, begin, begin + rng.random_range(8.0..30.0), worn) {
            around[minute] = Around { touch_c: water, touch_w_k: 1.5, fill_w_k: 1.5, ..around[minute] };
        }
        return;
    }
    let water = [30.0, 40.0, 60.0][rng.random_range(0..3)];
    let (warm, cold) = (rng.random_range(25.0..60.0), rng.random_range(15.0..35.0));
    for minute in free(start, begin, begin + warm, worn) {
        around[minute] = Around { touch_c: water, touch_w_k: 1.5, fill_w_k: 1.5, ..around[minute] };
    }
    for minute in free(start, begin + warm, begin + warm + cold, worn) {
        around[minute] = Around { touch_c: 15.0, touch_w_k: 1.5, fill_w_k: 1.5, ..around[minute] };
    }
    let after = begin + warm + cold;
    if rng.random_bool(0.5) {
        let dryer = rng.random_range(45.0..62.0);
        for minute in free(start, after, after + rng.random_range(40.0..100.0), worn) {
            around[minute] = Around { wind: 3.0, ..Around::air(dryer) };
        }
    } else {
        // Wet, so a little colder than the room.
        for minute in free(start, after, after + 300.0, worn) {
            around[minute].shine_w -= 0.25;
        }
    }
}

/// Air of 28–50 °C at the boot, by a thermostat of some minutes, once or twice a day.
fn fan(start: usize, worn: &[bool], around: &mut [Around], rng: &mut StdRng) {
    for _ in 0..rng.random_range(1..3) {
        let begin = [400.0, 1020.0][rng.random_range(0..2)] + normal(rng, 40.0);
        let blown = rng.random_range(28.0..50.0);
        let cycle = rng.random_range(6.0..20.0);
        for minute in free(start, begin, begin + rng.random_range(25.0..180.0), worn) {
            let on = (minute as f64 / cycle).fract() < 0.65;
            let air = around[minute].air_c;
            around[minute] = if on {
                Around { wind: 2.2, ..Around::air(blown) }
            } else {
                Around { wind: 1.3, ..Around::air(air + 0.3 * (blown - air)) }
            };
        }
    }
}

/// Against the clothes of somebody who walks: 29–34 °C at the cloth, one to three times a day.
fn carried(start: usize, worn: &[bool], around: &mut [Around], rng: &mut StdRng) {
    for _ in 0..rng.random_range(1..4) {
        let begin = rng.random_range(480.0..1080.0);
        let cloth = rng.random_range(29.5..34.5);
        let usual = rng.random_range(0.06..0.25);
        let mut near = 0.0;
        for minute in free(start, begin, begin + rng.random_range(30.0..170.0), worn) {
            near = wander(rng, near, 0.3, 12.0);
            let air = around[minute].air_c;
            let close = 0.55 * (cloth - air);
            let touch_w_k = usual * (1.0 + near).clamp(0.1, 2.0);
            around[minute] = Around { wind: 0.6, touch_c: cloth, touch_w_k, ..Around::air(air + close) };
        }
    }
}

/// A car parked once or twice for one to six hours: 8–28 °C above the air outside, within some half an hour.
fn car(home: &Home, start: usize, worn: &[bool], around: &mut [Around], rng: &mut StdRng) {
    for _ in 0..rng.random_range(1..3) {
        let begin = rng.random_range(490.0..840.0);
        let outside = home.outside_c + 8.0;
        let most = rng.random_range(8.0..28.0);
        let minutes = rng.random_range(25.0..45.0);
        let mut cabin = outside;
        let mut haze = 0.0;
        for minute in free(start, begin, begin + rng.random_range(60.0..360.0), worn) {
            haze = wander(rng, haze, 0.15, 40.0);
            let hour = (minute - start) as f64 / 60.0;
            let high = (PI * (hour - 6.0) / 14.0).sin().max(0.0);
            cabin += (outside + most * high * (1.0 + haze) - cabin) / minutes;
            around[minute] = Around::air(cabin);
        }
    }
}

/// A tent by day: 8–22 °C above the air outside when the sun is high, with gusts.
fn tent(home: &Home, manner: Manner, start: usize, worn: &[bool], around: &mut [Around], rng: &mut StdRng) {
    let outside = home.outside_c + 6.0;
    let most = (8.0 + 14.0 * manner.strong) * rng.random_range(0.7..1.1);
    let (mut gust, mut inside) = (0.0, outside);
    for minute in free(start, 430.0, 1140.0, worn) {
        gust = wander(rng, gust, 0.2, 15.0);
        let hour = (minute - start) as f64 / 60.0;
        let high = (PI * (hour - 7.0) / 12.0).sin().max(0.0);
        inside += (outside + most * high * (1.0 + gust).max(0.0) - inside) / 12.0;
        around[minute] = Around { wind: 1.2, ..Around::air(inside) };
    }
}

/// Still air of 27–37 °C over shelves above a cylinder, from when the boot is put away in the morning until the
/// evening or the next use; the cylinder is heated anew morning and evening.
fn cupboard(manner: Manner, start: usize, worn: &[bool], around: &mut [Around], rng: &mut StdRng) {
    let usual = 28.0 + 7.0 * manner.strong;
    let until = if manner.when < 0.5 { 1440.0 } else { rng.random_range(700.0..1150.0) };
    let mut drift = 0.0;
    for minute in free(start, rng.random_range(400.0..620.0), until, worn) {
        drift = wander(rng, drift, 0.4, 60.0);
        let hour = (minute - start) as f64 / 60.0;
        let heated = 2.0 * (2.0 * PI * (hour - 7.0) / 11.0).cos();
        around[minute] = Around { wind: 0.5, ..Around::air(usual + heated + drift) };
    }
}

/// Fur of 32–36 °C on the shell for 20 minutes to four hours, one to three times a day; the animal shifts.
fn pet(start: usize, worn: &[bool], around: &mut [Around], rng: &mut StdRng) {
    for _ in 0..rng.random_range(1..4) {
        let begin = rng.random_range(0.0..1380.0);
        let fur = rng.random_range(32.0..36.0);
        let usual = rng.random_range(0.08..0.4);
        let cover = rng.random_range(0.3..0.8);
        let mut lies = 0.0;
        for minute in free(start, begin, begin + rng.random_range(20.0..240.0), worn) {
            lies = wander(rng, lies, 0.25, 25.0);
            let air = around[minute].air_c;
            let touch_w_k = usual * (1.0 + lies).clamp(0.1, 2.0);
            let air_c = air + cover * (fur - air);
            around[minute] = Around { wind: 0.5, touch_c: fur, touch_w_k, ..Around::air(air_c) };
        }
    }
}

/// A heater of 36–58 °C within the boot, by a clock, before bed or in the morning, for half an hour to four hours.
fn warmer(manner: Manner, start: usize, worn: &[bool], around: &mut [Around], rng: &mut StdRng) {
    let element = 36.0 + 22.0 * manner.strong;
    let reaches = rng.random_range(0.1..0.3);
    let begin = if manner.when < 0.5 { 1000.0 } else { 420.0 } + normal(rng, 15.0);
    for minute in free(start, begin, begin + rng.random_range(30.0..240.0), worn) {
        around[minute] = Around { touch_c: element, fill_w_k: reaches, ..around[minute] };
    }
}

/// The minutes in which a sibling has the boot on: some afternoons for one to three hours.
pub fn sibling(habit: Habit, minutes: usize, rng: &mut StdRng) -> Vec<bool> {
    let mut worn = vec![false; minutes];
    if habit == Habit::FullTime {
        return worn;
    }
    for day in 0..minutes / DAY_MIN {
        if rng.random_bool(0.6) {
            let from = day * DAY_MIN + rng.random_range(880..1000);
            let until = from + rng.random_range(60..180);
            worn[from..until.min(minutes)].iter_mut().for_each(|minute| *minute = true);
        }
    }
    worn
}
