//! A home, its rooms, and a child with habits.

use super::boot::{Around, Foot};
use super::{DAY_MIN, Source, normal, wander};
use rand::{RngExt, rngs::StdRng};
use std::f64::consts::TAU;

/// When the brace is worn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Habit {
    Never,
    /// All day except for baths and changes.
    FullTime,
    /// Nights and most naps.
    Nights,
    /// Nights that often end early, with the boot left in the bed.
    Broken,
    /// From breakfast to the evening, not at night.
    Days,
}

/// A home.
#[derive(Debug, Clone, Copy)]
pub struct Home {
    pub habit: Habit,
    pub room_c: f64,
    /// By how much the bedroom is warmer than the place of the boot by day, °C.
    pub bedroom_c: f64,
    /// Half the swing from night to day, °C.
    pub swing_c: f64,
    /// Mean outside temperature, °C.
    pub outside_c: f64,
}

impl Home {
    pub fn draw(source: Source, seed: u64, rng: &mut StdRng) -> Self {
        let turn = (seed % 8) as usize;
        let habit = match source {
            Source::NeverWorn => Habit::Never,
            Source::Ordinary => [Habit::Nights, Habit::FullTime, Habit::Broken, Habit::Days][turn % 4],
            // Boots that are not worn in bed lie in it.
            Source::Blanket | Source::HotWaterBottle | Source::ElectricBlanket => {
                [Habit::Never, Habit::Days, Habit::Broken, Habit::Days][turn % 4]
            }
            _ => [Habit::Never, Habit::Nights, Habit::Broken, Habit::Nights][turn % 4],
        };
        let room_c = rng.random_range(16.5..24.0);
        Self {
            habit,
            room_c,
            bedroom_c: rng.random_range(-2.0..1.0),
            swing_c: rng.random_range(0.4..1.6),
            outside_c: room_c - rng.random_range(1.0..14.0),
        }
    }
}

/// What the child does, minute by minute.
#[derive(Debug, Clone)]
pub struct Life {
    pub worn: Vec<bool>,
    /// In bed, awake or not.
    pub in_bed: Vec<bool>,
    /// Out of doors.
    pub out: Vec<bool>,
}

fn mark(of: &mut [bool], from: f64, until: f64, to: bool) {
    let end = of.len();
    let (from, until) = ((from.max(0.0) as usize).min(end), (until.max(0.0) as usize).min(end));
    if from < until {
        of[from..until].iter_mut().for_each(|minute| *minute = to);
    }
}

impl Life {
    pub fn of(home: &Home, minutes: usize, rng: &mut StdRng) -> Self {
        let off = || vec![false; minutes];
        let mut life = Self { worn: off(), in_bed: off(), out: off() };
        if home.habit == Habit::FullTime {
            life.worn = vec![true; minutes];
        }
        for day in 0..=minutes / DAY_MIN {
            life.day(home.habit, (day * DAY_MIN) as f64, rng);
        }
        life
    }

    /// From the evening before to the evening of a day that starts at this minute.
    fn day(&mut self, habit: Habit, start: f64, rng: &mut StdRng) {
        let (bed, up) = (start - rng.random_range(200.0..310.0), start + rng.random_range(360.0..450.0));
        let nap = start + rng.random_range(730.0..830.0);
        let waking = nap + rng.random_range(50.0..140.0);
        mark(&mut self.in_bed, bed, up, true);
        mark(&mut self.in_bed, nap, waking, true);
        if rng.random_bool(0.4) {
            let out = start + rng.random_range(540.0..690.0);
            mark(&mut self.out, out, out + rng.random_range(20.0..100.0), true);
        }
        match habit {
            Habit::Never => {}
            Habit::FullTime => {
                let bath = start + rng.random_range(1020.0..1150.0);
                mark(&mut self.worn, bath, bath + rng.random_range(25.0..75.0), false);
                for _ in 0..rng.random_range(0..3) {
                    let change = start + rng.random_range(420.0..1000.0);
                    mark(&mut self.worn, change, change + rng.random_range(5.0..25.0), false);
                }
            }
            Habit::Nights | Habit::Broken => {
                let late = rng.random_range(0.0..25.0);
                if habit == Habit::Nights || rng.random_bool(0.85) {
                    mark(&mut self.worn, bed - late, up, true);
                }
                if habit == Habit::Broken && rng.random_bool(0.4) {
                    mark(&mut self.worn, bed + rng.random_range(90.0..480.0), up, false);
                }
                if rng.random_bool(0.75) {
                    mark(&mut self.worn, nap - late / 2.0, waking, true);
                }
            }
            Habit::Days => {
                let on = up + rng.random_range(20.0..90.0);
                let until = start + rng.random_range(1000.0..1120.0);
                mark(&mut self.worn, on, until, true);
                if rng.random_bool(0.6) {
                    let change = start + rng.random_range(600.0..900.0);
                    mark(&mut self.worn, change, change + rng.random_range(8.0..60.0), false);
                }
            }
        }
    }
}

/// The air around the boot: rooms that are heated by the hour and aired, and the air under the blanket if it is worn in
/// bed.
pub fn around(home: &Home, life: &Life, minutes: usize, rng: &mut StdRng) -> Vec<Around> {
    let (mut weather, mut draught, mut cover, mut outside) = (0.0, 0.0, 0.0, 0.0);
    let mut room = home.room_c;
    (0..minutes)
        .map(|minute| {
            let hour = minute as f64 / 60.0 % 24.0;
            weather = wander(rng, weather, 1.0, 3000.0);
            outside = wander(rng, outside, 2.5, 2500.0);
            // Airing: five degrees at most, gone within half an hour.
            draught -= draught / 15.0;
            if (6.0..22.0).contains(&hour) && rng.random_bool(1.0 / 900.0) {
                draught += rng.random_range(1.0..5.0);
            }
            let heating = if (5.5..21.5).contains(&hour) { 1.0 } else { -1.0 };
            let place = if life.in_bed[minute] { home.bedroom_c } else { 0.0 };
            let aim = home.room_c + place + weather + heating * home.swing_c;
            room += (aim - room) / 70.0;
            cover = wander(rng, cover, 0.22, 80.0);
            if life.worn[minute] && life.out[minute] {
                let air = home.outside_c + outside + 3.0 * (TAU * (hour - 9.0) / 24.0).sin();
                return Around { wind: 0.7, ..Around::air(air.max(-5.0)) };
            }
            if life.worn[minute] && life.in_bed[minute] {
                let share = (0.45 + cover).clamp(0.0, 0.85);
                let air = room + share * (33.0 - room);
                return Around { wind: 1.0 - 0.5 * share, ..Around::air(air) };
            }
            Around { wind: 1.0 + 0.3 * draught / 5.0, ..Around::air(room - draught) }
        })
        .collect()
}

/// The foot in the boot; `also` are minutes in which somebody else wears it. Skin of a foot in sock and boot about
/// 30–34 °C, colder if it was bare before, and small movements: from memory.
pub fn foot(home: &Home, life: &Life, also: &[bool], rng: &mut StdRng) -> Vec<Foot> {
    let own = 33.9 + normal(rng, 0.5);
    let (mut slow, mut cold, mut kick, mut before) = (0.0, 0.0, 0.0_f64, false);
    (0..life.worn.len())
        .map(|minute| {
            // Another person's foot is equally warm.
            let worn = life.worn[minute] || also.get(minute).copied().unwrap_or(false);
            let in_bed = life.in_bed[minute];
            if worn && !before {
                // A bare foot has cooled, more in a cooler room.
                cold = rng.random_range(0.05..0.22) * (32.0 - home.room_c).max(0.0);
            }
            before = worn;
            cold -= cold / 20.0;
            slow = wander(rng, slow, 0.45, 60.0);
            kick = (kick - 1.0).max(0.0);
            if rng.random_bool(if in_bed { 0.6 } else { 4.0 } / 60.0) {
                kick = rng.random_range(2.0..5.0);
            }
            let night = if in_bed { 0.6 } else { 0.0 };
            Foot {
                skin_c: own + slow + night - cold,
                worn,
                stirred: if worn && kick > 0.0 { 4.0 } else { 1.0 },
            }
        })
        .collect()
}
