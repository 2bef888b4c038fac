//! A sole with a card beside it, both in one plane before a background, seen by a camera: a card with round corners, print
//! and any shade, a thumb over its edge, and other flat things that are no card.

use super::{Camera, Vector, add, camera::Stand, drawn::blurred, normal, scaled, turned};
use photographs::{CARD_MM, CARD_RADIUS_MM, GreyPlane, PixelPoint};
use rand::{RngExt, rngs::StdRng};
use rayon::prelude::*;

/// What lies behind the foot and the card.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Behind {
    Plain,
    Stripes,
    Tiles,
    Weave,
}

/// A flat thing with round corners.
#[derive(Debug, Clone, Copy)]
pub struct FlatThing {
    pub size_mm: (f64, f64),
    pub radius_mm: f64,
    /// Its middle in the plane, and how it is turned.
    pub at: (f64, f64),
    pub turn_deg: f64,
    pub shade: f64,
    /// Whether it has a stripe and a printed frame.
    pub print: bool,
}

impl FlatThing {
    pub fn card(at: (f64, f64), turn_deg: f64, shade: f64, print: bool) -> Self {
        Self { size_mm: CARD_MM, radius_mm: CARD_RADIUS_MM, at, turn_deg, shade, print }
    }

    /// A sheet of half A5, a tile, a telephone, a case, a square box.
    pub fn other(which: usize, at: (f64, f64), turn_deg: f64, shade: f64) -> Self {
        let (size_mm, radius_mm) = [
            ((105.0, 74.0), 0.0),
            ((98.0, 98.0), 1.0),
            ((147.0, 71.0), 9.0),
            ((120.0, 64.0), 6.0),
            ((70.0, 70.0), 0.0),
        ][which % 5];
        Self { size_mm, radius_mm, at, turn_deg, shade, print: which == 2 }
    }

    fn local(&self, x: f64, y: f64) -> (f64, f64) {
        let (sine, cosine) = self.turn_deg.to_radians().sin_cos();
        let (dx, dy) = (x - self.at.0, y - self.at.1);
        (dx * cosine + dy * sine, dy * cosine - dx * sine)
    }

    fn shade(&self, x: f64, y: f64) -> Option<f64> {
        let (u, v) = self.local(x, y);
        let (half_u, half_v) = (self.size_mm.0 / 2.0, self.size_mm.1 / 2.0);
        let (over_u, over_v) =
            ((u.abs() - half_u + self.radius_mm).max(0.0), (v.abs() - half_v + self.radius_mm).max(0.0));
        let inside = u.abs() <= half_u && v.abs() <= half_v;
        if !inside || over_u.hypot(over_v) > self.radius_mm.max(1e-9) && over_u.min(over_v) > 0.0 {
            return None;
        }
        if !self.print {
            return Some(self.shade);
        }
        let ink = if self.shade > 128.0 { -70.0 } else { 70.0 };
        let stripe = (v + 0.55 * half_v).abs() < 0.2 * half_v;
        let photo = (u - 0.5 * half_u).abs() < 0.25 * half_u && (v - 0.35 * half_v).abs() < 0.4 * half_v;
        Some(self.shade + if stripe || photo { ink } else { 0.0 })
    }

    fn corners(&self) -> [Vector; 4] {
        let (half_u, half_v) = (self.size_mm.0 / 2.0, self.size_mm.1 / 2.0);
        [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(|(u, v)| {
            let [x, y, _] = turned([u * half_u, v * half_v, 0.0], [0.0, 0.0, 1.0], self.turn_deg);
            [x + self.at.0, y + self.at.1, 0.0]
        })
    }
}

/// How a picture of a card is taken.
#[derive(Debug, Clone, Copy)]
pub struct CardShot {
    pub size: (u32, u32),
    pub behind: Behind,
    pub tilt_deg: f64,
    pub blur_px: f64,
    pub noise: f64,
    /// No card at all, one, or two.
    pub cards: usize,
    /// Whether a thumb holds the card.
    pub thumb: bool,
    /// Whether another flat thing is in the picture.
    pub other: bool,
}

/// A picture and what is true of it.
pub struct CardPicture {
    pub picture: GreyPlane,
    /// The corners of the card where its edges would meet, in pixels; of the first where there are two.
    pub corners: [PixelPoint; 4],
    /// Back of the heel and tip of the longest toe.
    pub ends: [PixelPoint; 2],
    pub length_mm: f64,
}

struct Table {
    camera: Camera,
    things: Vec<FlatThing>,
    /// Thumb: its middle, length and width along its direction.
    thumb: Option<((f64, f64), f64)>,
    length_mm: f64,
    skin: f64,
    behind: Behind,
    level: f64,
    strength: f64,
    pitch_mm: f64,
    turn_deg: f64,
    light: (f64, f64),
}

/// Draws a picture.
pub fn carded(shot: &CardShot, rng: &mut StdRng) -> CardPicture {
    let table = Table::any(shot, rng);
    let (width, height) = (shot.size.0 as usize, shot.size.1 as usize);
    let shades = blurred(&table.shades(), width, height, shot.blur_px);
    let bytes =
        shades.iter().map(|shade| (shade + shot.noise * normal(rng)).clamp(0.0, 255.0) as u8).collect();
    let half = table.length_mm / 2.0;
    CardPicture {
        picture: GreyPlane::new(width, height, bytes).unwrap(),
        corners: table.things[0].corners().map(|corner| table.camera.sees(corner)),
        ends: [-half, half].map(|y| table.camera.sees([-32.0, y, 0.0])),
        length_mm: table.length_mm,
    }
}

impl Table {
    fn any(shot: &CardShot, rng: &mut StdRng) -> Self {
        let (turn_deg, at) = (
            90.0 + rng.random_range(-15.0..15.0),
            (rng.random_range(35.0..45.0), rng.random_range(-12.0..12.0)),
        );
        let level = rng.random_range(40.0..215.0);
        // A card is seen where it differs from what is behind it.
        let far: f64 = rng.random_range(28.0..120.0);
        let shade = if level > 128.0 { level - far } else { level + far };
        let mut things = vec![FlatThing::card(at, turn_deg, shade, rng.random_range(0..2) == 0)];
        if shot.cards > 1 {
            things.push(FlatThing::card((-95.0, 0.0), rng.random_range(70.0..110.0), shade, false));
        }
        if shot.other {
            let turn = rng.random_range(0.0..180.0);
            let shade = rng.random_range(30.0..225.0);
            things.push(FlatThing::other(rng.random_range(0..5), (-95.0, 10.0), turn, shade));
        }
        let thumb = shot.thumb.then(|| {
            let outward = turned([1.0, 0.0, 0.0], [0.0, 0.0, 1.0], turn_deg - 90.0);
            let place = rng.random_range(-18.0..18.0);
            let mut middle = (at.0 + outward[0] * 30.0, at.1 + outward[1] * 30.0);
            middle = (middle.0 - outward[1] * place, middle.1 + outward[0] * place);
            (middle, turn_deg - 90.0)
        });
        let stand = Stand {
            target: [0.0, 0.0, 0.0],
            straight: [0.0, 0.0, 1.0],
            up: [0.0, 1.0, 0.0],
            distance_mm: rng.random_range(350.0..800.0),
            tilt_deg: shot.tilt_deg,
            azimuth_deg: rng.random_range(0.0..360.0),
            roll_deg: rng.random_range(-180.0..180.0),
        };
        let fills = if shot.other || shot.cards > 1 { 270.0 } else { 200.0 };
        let focal = f64::from(shot.size.0.min(shot.size.1)) * stand.distance_mm / fills;
        Self {
            camera: Camera::standing(&stand, focal, shot.size, 0.0),
            things,
            thumb,
            length_mm: rng.random_range(70.0..150.0),
            skin: rng.random_range(80.0..210.0),
            behind: shot.behind,
            level,
            strength: rng.random_range(15.0..45.0),
            pitch_mm: rng.random_range(4.0..30.0),
            turn_deg: rng.random_range(0.0..180.0),
            light: (rng.random_range(-0.2..0.2), rng.random_range(-0.2..0.2)),
        }
        .with_things(shot.cards)
    }

    /// Without a card the place of the first thing stays empty.
    fn with_things(mut self, cards: usize) -> Self {
        if cards == 0 {
            self.things[0].size_mm = (1e-6, 1e-6);
        }
        self
    }

    /// The shade where a ray meets the plane of foot and card, or the background 60 mm behind it.
    fn shade(&self, x: f64, y: f64) -> f64 {
        let ray = self.camera.ray(x, y);
        let on_plane = |depth: f64| {
            let share = (depth - self.camera.place[2]) / ray[2];
            add(self.camera.place, scaled(ray, share))
        };
        let [u, v, _] = on_plane(0.0);
        let light = 1.0 + self.light.0 * u / 100.0 + self.light.1 * v / 100.0;
        let thing = || self.things.iter().find_map(|thing| thing.shade(u, v));
        let own = self.thumb_shade(u, v).or_else(|| self.skin_shade(u, v)).or_else(thing);
        let shade = own.unwrap_or_else(|| {
            let [x, y, _] = on_plane(-60.0);
            self.background(x, y)
        });
        shade * light
    }

    fn thumb_shade(&self, u: f64, v: f64) -> Option<f64> {
        let (middle, turn) = self.thumb?;
        let (sine, cosine) = f64::to_radians(turn).sin_cos();
        let (dx, dy) = (u - middle.0, v - middle.1);
        let (along, across) = (dx * cosine + dy * sine, dy * cosine - dx * sine);
        let inside = (along / 16.0).powi(2) + (across / 8.0).powi(2);
        (inside < 1.0).then_some(self.skin * (1.05 - 0.35 * inside))
    }

    /// A heel, a forefoot and toes, the middle line 32 mm to the left.
    fn skin_shade(&self, u: f64, v: f64) -> Option<f64> {
        let long = self.length_mm;
        let round = |x: f64, y: f64, a: f64, b: f64| {
            ((u + 32.0 - x * long) / (a * long)).powi(2) + ((v - y * long) / (b * long)).powi(2)
        };
        let parts = [
            round(0.0, -0.32, 0.14, 0.18),
            round(0.0, -0.05, 0.13, 0.3),
            round(0.0, 0.18, 0.19, 0.2),
            round(0.0, 0.42, 0.05, 0.08),
            round(-0.1, 0.4, 0.035, 0.07),
            round(0.1, 0.39, 0.035, 0.07),
        ];
        let nearest = parts.into_iter().fold(f64::INFINITY, f64::min);
        (nearest < 1.0).then_some(self.skin * (1.1 - 0.4 * nearest))
    }

    fn background(&self, x: f64, y: f64) -> f64 {
        let (sine, cosine) = self.turn_deg.to_radians().sin_cos();
        let (u, v) = ((x * cosine + y * sine) / self.pitch_mm, (y * cosine - x * sine) / self.pitch_mm);
        let odd = |value: f64| value.floor().rem_euclid(2.0);
        self.level
            + self.strength
                * match self.behind {
                    Behind::Plain => 0.0,
                    Behind::Stripes => odd(u) - 0.5,
                    Behind::Tiles => f64::from(odd(u) != odd(v)) - 0.5,
                    Behind::Weave => 0.5 * ((6.0 * u).sin() * (6.0 * v).sin()),
                }
    }

    /// One ray for each pixel, and sixteen where neighbours differ, so that edges lie between pixels.
    fn shades(&self) -> Vec<f64> {
        let (width, height) = (self.camera.size.0 as usize, self.camera.size.1 as usize);
        let middle = |at: usize| self.shade((at % width) as f64 + 0.5, (at / width) as f64 + 0.5);
        let coarse: Vec<f64> = (0..width * height).into_par_iter().map(middle).collect();
        let fine = |at: usize| {
            let around = [at.wrapping_sub(1), at + 1, at.wrapping_sub(width), at + width];
            let differs =
                |other: &usize| coarse.get(*other).is_some_and(|shade| (shade - coarse[at]).abs() > 3.0);
            if !around.iter().any(differs) {
                return coarse[at];
            }
            let (x, y) = ((at % width) as f64, (at / width) as f64);
            let part =
                |n: usize| self.shade(x + 0.125 + 0.25 * (n % 4) as f64, y + 0.125 + 0.25 * (n / 4) as f64);
            (0..16).map(part).sum::<f64>() / 16.0
        };
        (0..width * height).into_par_iter().map(fine).collect()
    }
}
