//! Heat in the boot: a sensor on a lining, the lining within a shell, the foot, and the surroundings.

use super::normal;
use rand::{RngExt, rngs::StdRng};

/// The surroundings of the boot in one minute.
#[derive(Debug, Clone, Copy)]
pub struct Around {
    /// Air at the boot, °C.
    pub air_c: f64,
    /// How well the air transfers heat; 1 for still air in a room.
    pub wind: f64,
    /// Heat that shines on the shell, W.
    pub shine_w: f64,
    /// Something that touches the shell: its temperature, °C, and how well it touches, W/K.
    pub touch_c: f64,
    pub touch_w_k: f64,
    /// The same for something that fills the boot (water).
    pub fill_w_k: f64,
}

impl Around {
    /// Still air.
    pub const fn air(air_c: f64) -> Self {
        Self { air_c, wind: 1.0, shine_w: 0.0, touch_c: 0.0, touch_w_k: 0.0, fill_w_k: 0.0 }
    }
}

/// The foot in one minute.
#[derive(Debug, Clone, Copy)]
pub struct Foot {
    /// Skin, °C; meaningless if not worn.
    pub skin_c: f64,
    /// Whether a foot is in the boot.
    pub worn: bool,
    /// The factor by which the air in the boot is exchanged faster; 1 while the foot lies still.
    pub stirred: f64,
}

/// The properties of one boot. Masses of 25–50 g of lining and 50–100 g of shell at about 1.5 J/(g K), and an outer
/// surface of 150–200 cm² at 6–9 W/(m² K), from memory.
#[derive(Debug, Clone, Copy)]
struct Make {
    lining_j_k: f64,
    shell_j_k: f64,
    through_w_k: f64,
    surface_w_k: f64,
    mouth_w_k: f64,
    foot_w_k: f64,
    sensor_min: f64,
}

const STEP_S: f64 = 10.0;

/// What the sensors of the two boots on a bar show, minute by minute.
pub fn warm(around: &[Around], foot: &[Foot], rng: &mut StdRng) -> [Vec<f64>; 2] {
    let make = Make {
        lining_j_k: rng.random_range(35.0..75.0),
        shell_j_k: rng.random_range(70.0..150.0),
        through_w_k: rng.random_range(0.08..0.16),
        surface_w_k: rng.random_range(0.09..0.17),
        mouth_w_k: rng.random_range(0.01..0.04),
        foot_w_k: rng.random_range(0.25..0.5),
        sensor_min: rng.random_range(1.5..5.0),
    };
    let other = Make { foot_w_k: make.foot_w_k * rng.random_range(0.85..1.18), ..make };
    [make, other].map(|make| {
        let away = normal(rng, 0.4);
        one(make, away, around, foot)
    })
}

fn one(make: Make, away: f64, around: &[Around], foot: &[Foot]) -> Vec<f64> {
    let first = around.first().map_or(20.0, |around| around.air_c);
    let (mut sensor, mut lining, mut shell) = (first, first, first);
    let mut shown = Vec::with_capacity(around.len());
    for (around, foot) in around.iter().zip(foot) {
        for _ in 0..(60.0 / STEP_S) as usize {
            let through = make.through_w_k * (shell - lining);
            let mouth = make.mouth_w_k * around.wind * foot.stirred * (around.air_c - lining);
            let skin = if foot.worn { make.foot_w_k * (foot.skin_c + away - lining) } else { 0.0 };
            let fill = around.fill_w_k * (around.touch_c - lining);
            let air = make.surface_w_k * around.wind * (around.air_c - shell);
            let touch = around.touch_w_k * (around.touch_c - shell);
            lining += STEP_S * (through + mouth + skin + fill) / make.lining_j_k;
            shell += STEP_S * (air + around.shine_w + touch - through) / make.shell_j_k;
            sensor += STEP_S * (lining - sensor) / (60.0 * make.sensor_min);
        }
        shown.push(sensor);
    }
    shown
}
