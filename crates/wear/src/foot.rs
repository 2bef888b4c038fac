//! Whether a warm spell looks like a foot.
//!
//! A boot can be warm without a foot in it. Each spell is weighed by its [`Evidence`] (log likelihood ratios of a foot
//! against another source of heat): how fast the boot warmed, its level, how steady it is, and whether it is hotter
//! than a foot. The first pass uses what is known of feet in general. The spells that then look like a foot give the
//! child's own level while worn, and with it every spell is weighed again. Skin temperature varies and a child moves,
//! so a spell that is steadier than any foot, or spells that repeatedly reach the same level, are evidence for
//! something with a set temperature. Spells of a similar level at a similar hour are considered together: how fast
//! they warmed counts for each other, so that many days compensate for coarse sampling. The hour of the day has no
//! other weight.
//!
//! [`SHARE`] and [`BEFORE`] turn the sum into a chance. They were set on some of the heat sources of the tests and
//! tested on others (`docs/wear.md`).

use super::doubt::Doubt;
use super::onset::{Onset, RATIOS};
use super::spells::WarmSpell;

/// How often each ratio of [`RATIOS`] occurs with a foot, and with another source. Set on the heat sources for tuning.
const FOOT: [f64; RATIOS.len()] = [0.07, 0.33, 0.40, 0.13, 0.04, 0.014, 0.009, 0.007];
const OTHER: [f64; RATIOS.len()] = [0.06, 0.03, 0.08, 0.20, 0.25, 0.22, 0.12, 0.04];
/// Level of a worn boot before the file is seen: mean and SD, °C. Skin in sock and boot about 30–34 °C, from
/// memory.
const FEET_C: (f64, f64) = (32.8, 1.8);
/// Another source has its level anywhere in a range of this width, °C. Assumed.
const OTHER_RANGE_C: f64 = 7.0;
/// A boot hotter than this has another source of heat, °C: skin is not warmer than the body. Assumed.
const WARM_C: f64 = 36.3;
/// From this chance on a spell counts as a foot.
pub(super) const SURE: f64 = 0.9;
/// Prior log odds of a foot, and the share of the sum of all evidence that counts: the pieces of evidence are not
/// independent.
const BEFORE: f64 = -0.5;
const SHARE: f64 = 0.9;
/// The largest evidence for a foot from the level, and from the course of the temperature.
const LEVEL_AT_MOST: f64 = 1.2;
const COURSE_AT_MOST: f64 = 0.6;
/// The evidence of a spell whose beginning was not recorded.
const NO_ONSET: f64 = -0.7;
/// The evidence of a spell that continues another at a different level: the boot may have been taken off and left in a
/// warm place.
const GOES_ON: f64 = -1.0;
/// A spell whose own chance of a foot is below this is clearly another source. For this comparison its level counts
/// for no less than [`LEVEL_AT_LEAST`].
const CLEARLY: f64 = 0.25;
const LEVEL_AT_LEAST: f64 = -1.5;
/// With coarse sampling: spells whose beginnings, with those of similar spells, give less evidence for a foot than the
/// first value share a chance of at most the second. [`NEUTRAL_MIXED`] applies in a file in which more than
/// [`ANY_OTHERS`] of the spells are clearly another source.
const NEUTRAL: (f64, f64) = (0.6, 0.75);
const NEUTRAL_MIXED: (f64, f64) = (0.9, 0.4);
const ANY_OTHERS: f64 = 0.015;
/// Similar spells share a chance of a foot: at least this, and at most the second value of a pair in a file in which
/// the first value is the share of spells that are clearly another source.
const SHARED_LEAST: f64 = 0.02;
const SHARED_MOST: [(f64, f64); 3] = [(0.05, 0.93), (0.15, 0.35), (0.4, 0.1)];
/// Variation of skin temperature in a boot: SD, °C, and memory, seconds. A thermostat varies by the share [`EVEN`] of
/// it. At most [`MOST_CHANGES`] changes count, because they are not independent. Assumed, for a calm foot.
const SKIN_C: f64 = 0.45;
const SKIN_S: f64 = 75.0 * 60.0;
const EVEN: f64 = 0.4;
const MOST_CHANGES: f64 = 12.0;
/// SD of the levels from spell to spell, of a foot and of something with a set temperature, °C. At least
/// [`LEAST_LEVELS`] spells are needed, and at most [`MOST_LEVELS`] count. Assumed.
const LEVELS_C: f64 = 0.3;
const SET_C: f64 = 0.12;
const LEAST_LEVELS: f64 = 5.0;
const MOST_LEVELS: f64 = 8.0;
/// The largest evidence against a foot from an even temperature, within a spell and between spells each.
const STILL_AT_LEAST: f64 = -4.0;
/// A spell of at least this many hours covers day and night.
const WHOLE_DAY_H: f64 = 16.0;
/// Rounds in which similar spells share their chances.
const ROUNDS: usize = 4;
/// The weight of the onsets of similar spells, relative to the spell's own.
const ALIKE: f64 = 1.7;
/// The child's own level is learned from spells with more evidence than this.
const LEARNED_FROM: f64 = 1.0;

/// The number of spells needed to learn the child's own roughness.
const ENOUGH: usize = 3;

/// Bins of similar levels, °C from the coolest, and of similar hours, hours.
const BIN_C: f64 = 0.6;
const COOLEST_C: f64 = 24.0;
const BINS_C: usize = 26;
const BIN_H: f64 = 3.0;
const BINS_H: usize = 8;
/// Similar spells are both longer than this, or both shorter, hours.
const LONG_H: f64 = 4.0;

/// The evidence of a spell, as log likelihood ratios of a foot against another source.
#[derive(Debug, Clone, Copy, Default)]
struct Evidence {
    /// Whether the beginning was recorded.
    seen: bool,
    onset: f64,
    alike: f64,
    level: f64,
    steady: f64,
    rough: f64,
    still: f64,
    set: f64,
    hot: f64,
}

impl Evidence {
    fn sum(&self) -> f64 {
        // Level and course alone are not enough for a foot.
        let course = (self.steady + self.rough).min(COURSE_AT_MOST);
        self.onset + self.alike + self.level.min(LEVEL_AT_MOST) + course + self.still + self.set + self.hot
    }

    /// Whether it is clearly another source. A low level alone is not enough: the child may be out in the cold.
    fn clearly_other(&self) -> bool {
        let level = Self { level: self.level.max(LEVEL_AT_LEAST), ..*self };
        level.chance(BEFORE) < CLEARLY
    }

    /// The chance of a foot, from the prior log odds.
    fn chance(&self, before: f64) -> f64 {
        1.0 / (1.0 + (-(before + SHARE * self.sum())).exp())
    }
}

/// The child's own boot while worn.
#[derive(Debug, Clone, Copy)]
struct Plateau {
    level_c: f64,
    sd_c: f64,
    /// Logarithm of the roughness, if enough spells show it.
    rough: Option<f64>,
}

/// The judgement of a spell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Judged {
    /// First and last step of the spell, the steps at its ends included.
    pub(super) first: usize,
    pub(super) last: usize,
    /// Temperature once settled, °C.
    pub(super) level_c: f64,
    /// Chance that it was a foot.
    pub(super) foot: f64,
    /// Why it is undecided, if it is.
    pub(super) doubt: Option<Doubt>,
}

/// From this share of spells on, the file has other sources of heat too.
pub(super) const MIXED: f64 = 0.05;

/// Every warm spell of a file, judged.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Spells {
    pub(super) judged: Vec<Judged>,
    /// The share of the spells that are clearly another source.
    pub(super) others: f64,
    /// Whether any spell looks like a foot.
    pub(super) foot_seen: bool,
}

/// Judges every spell. `coarse`: samples are too far apart to show well how a boot warms. `others_known`: the share of
/// spells that are clearly another source, if it is known already.
pub(super) fn judge(spells: &[WarmSpell], coarse: bool, others_known: Option<f64>) -> Spells {
    let cells = Cells::new(spells);
    let mut all = by_feet_in_general(&cells, spells);
    let plateau = plateau(spells, &all, |_| true);
    if let Some(plateau) = plateau {
        weigh_by_own_level(spells, &mut all, plateau);
    }
    let others = others_known.unwrap_or_else(|| others(&all));
    let neutral = match coarse {
        true if others > ANY_OTHERS => NEUTRAL_MIXED,
        true => NEUTRAL,
        false => (f64::NEG_INFINITY, 1.0),
    };
    let chances = chances(&cells, &all, most_shared(others), neutral);
    let of = |((spell, evidence), chance): ((&WarmSpell, &Evidence), f64)| {
        let foot = if plateau.is_some() { chance } else { chance.min(0.5) };
        let doubt = (foot < SURE).then(|| match plateau {
            Some(plateau) => doubt(spell, evidence, plateau),
            None => Doubt::NoFoot,
        });
        Judged { first: spell.first.saturating_sub(1), last: spell.last, foot, doubt, level_c: spell.level_c }
    };
    let judged = spells.iter().zip(&all).zip(chances).map(of).collect();
    Spells { judged, others, foot_seen: plateau.is_some() }
}

/// The evidence of every spell by what is known of feet in general.
fn by_feet_in_general(cells: &Cells, spells: &[WarmSpell]) -> Vec<Evidence> {
    let onsets: Vec<Option<f64>> = spells.iter().map(|spell| spell.onset.map(weigh)).collect();
    let (alike, set) = (cells.others(&onsets), set_point(cells, spells));
    let each = spells.iter().zip(onsets).zip(alike).zip(set);
    each.map(|(((spell, onset), alike), set)| Evidence {
        seen: onset.is_some(),
        onset: onset.unwrap_or(if spell.goes_on { GOES_ON } else { NO_ONSET }),
        alike: ALIKE * alike.1 / (alike.0 + 1.0),
        level: level(spell.level_c, FEET_C.0, FEET_C.1),
        steady: steady(spell),
        rough: 0.0,
        still: still(spell),
        set,
        hot: hot(spell),
    })
    .collect()
}

/// Weighs level and roughness again by the child's own boot while worn, by day and by night if both are known.
fn weigh_by_own_level(spells: &[WarmSpell], all: &mut [Evidence], plateau: Plateau) {
    let by_time = [false, true].map(|day| self::plateau(spells, all, |spell| by_day(spell) == Some(day)));
    for (evidence, spell) in all.iter_mut().zip(spells) {
        let own = by_day(spell).and_then(|day| by_time[usize::from(day)]).filter(|own| own.rough.is_some());
        let own = own.unwrap_or(plateau);
        evidence.level = level(spell.level_c, own.level_c, own.sd_c);
        evidence.rough = rough(spell, plateau);
    }
}

/// The evidence of how fast it warmed.
fn weigh(onset: Onset) -> f64 {
    let most = onset.0.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let (mut foot, mut other) = (0.0, 0.0);
    for (log, (of_foot, of_other)) in onset.0.iter().zip(FOOT.iter().zip(OTHER)) {
        let likelihood = (log - most).exp();
        foot += likelihood * of_foot;
        other += likelihood * of_other;
    }
    (foot / other).ln()
}

/// Spells by similar level and similar hour.
struct Cells {
    of: Vec<[usize; 3]>,
}

impl Cells {
    fn new(spells: &[WarmSpell]) -> Self {
        let bin = |spell: &WarmSpell| {
            let level = ((spell.level_c - COOLEST_C) / BIN_C).clamp(0.0, BINS_C as f64 - 1.0) as usize;
            [level, (spell.hour / BIN_H) as usize % BINS_H, usize::from(spell.hours > LONG_H)]
        };
        Self { of: spells.iter().map(bin).collect() }
    }

    /// For each spell the number of similar ones, and the sum of a value over these; spells with `None` do not count.
    fn others(&self, values: &[Option<f64>]) -> Vec<(f64, f64)> {
        let at = |level: usize, hour: usize, long: usize| (long * BINS_C + level) * BINS_H + hour % BINS_H;
        let mut sums = vec![(0.0, 0.0); 2 * BINS_C * BINS_H];
        for ([level, hour, long], value) in self.of.iter().zip(values) {
            if let Some(value) = value {
                let sum = &mut sums[at(*level, *hour, *long)];
                *sum = (sum.0 + 1.0, sum.1 + value);
            }
        }
        let near = |([level, hour, long], value): (&[usize; 3], &Option<f64>)| {
            let (mut count, mut sum) = value.map_or((0.0, 0.0), |value| (-1.0, -value));
            for level in level.saturating_sub(1)..(level + 2).min(BINS_C) {
                for hour in [hour + BINS_H - 1, *hour, hour + 1] {
                    let bin = sums[at(level, hour, *long)];
                    count += bin.0;
                    sum += bin.1;
                }
            }
            (count, sum)
        };
        self.of.iter().zip(values).map(near).collect()
    }
}

/// The share of the spells with a recorded beginning that are clearly another source.
fn others(evidence: &[Evidence]) -> f64 {
    let (mut count, mut others) = (1.0, 0.0);
    for evidence in evidence.iter().filter(|evidence| evidence.seen) {
        count += 1.0;
        others += if evidence.clearly_other() { 1.0 } else { 0.0 };
    }
    others / count
}

/// The largest chance of a foot that similar spells share, interpolated between the points of [`SHARED_MOST`].
fn most_shared(others: f64) -> f64 {
    let [mut before, rest @ ..] = SHARED_MOST;
    for point in rest {
        if others <= point.0 {
            let along = ((others - before.0) / (point.0 - before.0)).max(0.0);
            return before.1 + along * (point.1 - before.1);
        }
        before = point;
    }
    before.1
}

/// The chance of each spell to be a foot; spells of similar level and hour share part of it.
fn chances(cells: &Cells, evidence: &[Evidence], most: f64, (neutral, neutral_most): (f64, f64)) -> Vec<f64> {
    let of = |evidence: &Evidence, before: f64| evidence.chance(before);
    let mut chances: Vec<f64> = evidence.iter().map(|evidence| of(evidence, BEFORE)).collect();
    for _ in 0..ROUNDS {
        let all = (chances.iter().sum::<f64>() + 1.0) / (chances.len() as f64 + 2.0);
        let known: Vec<Option<f64>> = chances.iter().map(|chance| Some(*chance)).collect();
        let others = cells.others(&known);
        for ((chance, evidence), (count, sum)) in chances.iter_mut().zip(evidence).zip(others) {
            let most = if evidence.alike + evidence.onset < neutral { most.min(neutral_most) } else { most };
            let share = ((sum + 2.0 * all) / (count + 2.0)).clamp(SHARED_LEAST, most);
            *chance = of(evidence, BEFORE + (share / (1.0 - share)).ln());
        }
    }
    chances
}

/// A level near a mean, occasionally further away, against one anywhere in the range.
fn level(celsius: f64, mean: f64, sd: f64) -> f64 {
    let square = ((celsius - mean) / sd).powi(2);
    let near = 0.9 * (-0.5 * square).exp() + 0.05 * (-0.125 * square).exp();
    (OTHER_RANGE_C / (sd * 2.507) * near.max(1e-12)).ln()
}

/// Trend and spread once settled. The skin of a foot varies by some tenths of a degree an hour.
fn steady(spell: &WarmSpell) -> f64 {
    if spell.settled < 3 {
        return 0.0;
    }
    let foot = (0.15_f64.powi(2) + (0.6 / spell.settled_h.max(0.5)).powi(2)).sqrt();
    let other = (1.0 + foot * foot).sqrt();
    let trend = (other / foot).ln() - 0.5 * (spell.trend_c_h / foot).powi(2)
        + 0.5 * (spell.trend_c_h / other).powi(2);
    let spread = (spell.sd_c - 1.2).max(0.0) / 0.5;
    0.6 * trend.clamp(-5.0, 1.5) - (0.5 * spread * spread).min(5.0)
}

/// Log likelihood ratio of a scatter (root mean square of `count` deviations) under the scatter of a foot against that
/// of an even source. Only an even temperature counts, because many sources scatter like a foot.
fn too_even(rms: f64, count: f64, foot: f64, even: f64) -> f64 {
    let square = rms * rms;
    let log = (even / foot).ln() + 0.5 * square * (1.0 / (even * even) - 1.0 / (foot * foot));
    (count * log).clamp(STILL_AT_LEAST, 0.0)
}

/// Changes over a quarter of an hour, compared with those of feet in general.
fn still(spell: &WarmSpell) -> f64 {
    let usual = SKIN_C * (2.0 * (1.0 - (-spell.still_over_s / SKIN_S).exp())).sqrt();
    if usual <= 0.0 {
        return 0.0;
    }
    too_even(spell.still_c, (spell.still_changes as f64).min(MOST_CHANGES), usual, EVEN * usual)
}

/// The same level repeatedly, as with a set temperature: the spread of the levels of spells of similar hour and length.
/// The level of a whole day and night is a mean over so long a time that it varies little with a foot too.
fn set_point(cells: &Cells, spells: &[WarmSpell]) -> Vec<f64> {
    let mut groups: [Vec<f64>; 2 * BINS_H] = std::array::from_fn(|_| Vec::new());
    let counts = |spell: &WarmSpell| spell.hours < WHOLE_DAY_H;
    for ([_, hour, long], spell) in cells.of.iter().zip(spells) {
        if counts(spell) && spell.settled >= 2 {
            for near in [hour + BINS_H - 1, *hour, hour + 1] {
                groups[long * BINS_H + near % BINS_H].push(spell.level_c);
            }
        }
    }
    let by_group = groups.map(|levels| same_level(&levels));
    let of = |([_, hour, long], spell): (&[usize; 3], &WarmSpell)| {
        if counts(spell) { by_group[long * BINS_H + hour] } else { 0.0 }
    };
    cells.of.iter().zip(spells).map(of).collect()
}

/// The evidence of how even the levels of spells are.
fn same_level(levels: &[f64]) -> f64 {
    let count = levels.len() as f64;
    let middle_of = |values: &[f64]| middle(values.iter().map(|value| (*value, 1.0)).collect());
    let Some(about) = middle_of(levels).filter(|_| count >= LEAST_LEVELS) else { return 0.0 };
    let away: Vec<f64> = levels.iter().map(|level| (level - about).abs()).collect();
    // 1.48 times the median distance is the SD of a normal curve.
    let sd = 1.48 * middle_of(&away).unwrap_or(0.0);
    too_even(sd, (count - 1.0).min(MOST_LEVELS), LEVELS_C, SET_C)
}

/// Change from sample to sample, compared with that of the child's own feet.
fn rough(spell: &WarmSpell, plateau: Plateau) -> f64 {
    let Some(usual) = plateau.rough.filter(|_| spell.settled >= 4) else { return 0.0 };
    let away = spell.rough_c.max(0.01).ln() - usual;
    let (foot, other) = (0.45_f64, 1.0_f64);
    let log = (other / foot).ln() - 0.5 * (away / foot).powi(2) + 0.5 * (away / other).powi(2);
    let hourly = spell.settled as f64 / spell.settled_h.max(0.1);
    let weight = if hourly > 5.0 { 1.0 } else { 0.5 };
    weight * log.clamp(-5.0, 1.0)
}

/// Evidence of a boot hotter than a foot makes it.
fn hot(spell: &WarmSpell) -> f64 {
    let above = (spell.hottest_c - WARM_C).max(0.0);
    -(4.0 * above * above).min(12.0)
}

/// Whether a long spell is by day or by night; `None` for short ones, and for those of day and night.
///
/// A brace worn day and night has two levels, in bed and out of it. Short spells use the level of all spells: otherwise
/// a source that is warm for an hour each afternoon would soon have a level of its own.
fn by_day(spell: &WarmSpell) -> Option<bool> {
    (LONG_H..WHOLE_DAY_H).contains(&spell.hours).then(|| (7.0..20.0).contains(&spell.hour))
}

/// The child's own level from the spells that look like a foot, each by its settled hours.
fn plateau(spells: &[WarmSpell], all: &[Evidence], of: impl Fn(&WarmSpell) -> bool) -> Option<Plateau> {
    let looks = |(spell, evidence): &(&WarmSpell, &Evidence)| {
        of(spell)
            && spell.settled >= 2
            && evidence.onset + evidence.alike > 0.3
            && evidence.sum() > LEARNED_FROM
    };
    let chosen: Vec<&WarmSpell> = spells.iter().zip(all).filter(looks).map(|(spell, _)| spell).collect();
    let middle = |of: &dyn Fn(&WarmSpell) -> f64| {
        middle(chosen.iter().map(|spell| (of(spell), spell.settled_h.clamp(0.2, 8.0))).collect())
    };
    let level_c = middle(&|spell| spell.level_c)?;
    let rough = middle(&|spell| spell.rough_c.max(0.01).ln())?;
    // 1.48 times the median distance is the SD of a normal curve.
    let spread = 1.48 * middle(&|spell| (spell.level_c - level_c).abs())?;
    let few = 1.0 / chosen.len() as f64;
    let sd_c = (0.45 * 0.45 + spread * spread + few * few).sqrt().clamp(0.5, 1.5);
    Some(Plateau { level_c, sd_c, rough: (chosen.len() >= ENOUGH).then_some(rough) })
}

/// The median of values by their weights.
fn middle(mut values: Vec<(f64, f64)>) -> Option<f64> {
    values.sort_by(|a, b| a.0.total_cmp(&b.0));
    let half = values.iter().map(|(_, weight)| weight).sum::<f64>() / 2.0;
    let mut sum = 0.0;
    let past = |(_, weight): &&(f64, f64)| {
        sum += weight;
        sum >= half
    };
    values.iter().find(past).map(|(value, _)| *value)
}

/// The strongest evidence against a foot.
fn doubt(spell: &WarmSpell, evidence: &Evidence, plateau: Plateau) -> Doubt {
    let rougher = plateau.rough.is_none_or(|usual| spell.rough_c.max(0.01).ln() > usual);
    let against = [
        (evidence.hot, Doubt::TooHot(spell.hottest_c)),
        (evidence.level, Doubt::Level { spell_c: spell.level_c, usual_c: plateau.level_c }),
        (evidence.onset + evidence.alike, Doubt::WarmsSlowly),
        (evidence.steady, Doubt::Unsteady),
        (evidence.rough, if rougher { Doubt::Unsteady } else { Doubt::TooEven }),
        (evidence.still, Doubt::TooEven),
        (evidence.set, Doubt::SetLevel),
    ];
    let heaviest = against.into_iter().min_by(|a, b| a.0.total_cmp(&b.0));
    heaviest.filter(|(weight, _)| *weight < -0.3).map_or(Doubt::TooLittle, |(_, doubt)| doubt)
}
