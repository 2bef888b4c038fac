//! The fitted model, for the reader.

use super::levels::Levels;
use super::physics::Physics;
use super::steps::Steps;
use statistics::hidden_markov::TwoStates;

/// The model as fitted to a series.
#[derive(Debug, Clone, PartialEq)]
pub struct WearModel {
    /// Median of the level of the boot while worn, °C.
    pub worn_level_c: f64,
    /// Median of the level of the boot while off, °C.
    pub off_level_c: f64,
    /// Spread of the temperature about the level while worn, SD in °C.
    pub worn_sd_c: f64,
    /// Spread about the level while off, SD in °C.
    pub off_sd_c: f64,
    /// Half the daily swing of the room, °C.
    pub room_swing_c: f64,
    /// Time constant of warming once put on, minutes.
    pub warming_min: f64,
    /// Time constant of cooling once taken off, minutes.
    pub cooling_min: f64,
    /// Take-offs an hour of wear.
    pub take_offs_per_hour: f64,
    /// Puttings-on an hour off.
    pub put_ons_per_hour: f64,
    /// The number of quick changes from one level to the other.
    pub changes_seen: usize,
    /// Typical time between samples, minutes.
    pub sampling_min: f64,
    /// Whether a room sensor was used.
    pub room_sensor: bool,
    /// Log-likelihood up to a constant.
    pub log_likelihood: f64,
}

impl WearModel {
    pub(super) fn of(
        steps: &Steps,
        levels: &Levels,
        physics: &Physics,
        chain: &TwoStates,
        changes_seen: usize,
    ) -> Self {
        let middle = |values: &[f64]| {
            let mut sorted = values.to_vec();
            sorted.sort_by(f64::total_cmp);
            sorted.get(sorted.len() / 2).copied().unwrap_or(f64::NAN)
        };
        let room = if steps.room.is_empty() { 0.0 } else { middle(&steps.room) };
        Self {
            worn_level_c: middle(&levels.worn.mean),
            off_level_c: room + middle(&levels.off.mean),
            worn_sd_c: levels.worn_sd,
            off_sd_c: levels.off_sd,
            room_swing_c: levels.swing_amplitude(),
            warming_min: physics.warming_s / 60.0,
            cooling_min: physics.cooling_s / 60.0,
            take_offs_per_hour: physics.take_offs_per_s * 3600.0,
            put_ons_per_hour: physics.put_ons_per_s * 3600.0,
            changes_seen,
            sampling_min: steps.sampling_s / 60.0,
            room_sensor: !steps.room.is_empty(),
            log_likelihood: chain.log_likelihood,
        }
    }
}
