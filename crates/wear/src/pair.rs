//! The two boots of one bar: either both are worn, or neither.

use super::Temperatures;
use super::doubt::Doubt;
use super::foot::Judged;
use super::levels::Levels;
use super::steps::Steps;

/// The time after the begin of a spell by which the other boot has warmed too, seconds.
const WARM_AFTER_S: i64 = 30 * 60;
/// The other boot is cold if it has not come this share of the way from off to worn. Assumed.
const WARM_SHARE: f64 = 0.5;
/// The largest chance of a foot in one of two boots.
const LONE: f64 = 0.5;

/// Doubts spells in which the other boot stayed cold. If the other logger has no samples, nothing changes.
pub(super) fn doubt_lone(steps: &Steps, levels: &Levels, other: Temperatures<'_>, spells: &mut [Judged]) {
    for spell in spells.iter_mut().filter(|spell| spell.doubt.is_none()) {
        let (from, until) = (steps.at_s[spell.first] + WARM_AFTER_S, steps.at_s[spell.last]);
        let Some(celsius) = mean(other, from, until) else { continue };
        let off = levels.level(steps, spell.last, 0);
        if celsius < off + WARM_SHARE * (spell.level_c - off) {
            spell.foot = spell.foot.min(LONE);
            spell.doubt = Some(Doubt::OneBoot);
        }
    }
}

/// Mean of the samples from one moment to another.
fn mean(series: Temperatures<'_>, from: i64, until: i64) -> Option<f64> {
    let first = series.at_s.partition_point(|at| *at < from);
    let samples = series.at_s.iter().zip(series.celsius).skip(first).take_while(|(at, _)| **at <= until);
    let (mut count, mut sum) = (0.0, 0.0);
    for (_, celsius) in samples.filter(|(_, celsius)| celsius.is_finite()) {
        count += 1.0;
        sum += celsius;
    }
    (count > 0.0).then(|| sum / count)
}
