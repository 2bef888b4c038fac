//! Spells in the brace. One bar holds both feet, so they belong to the child.
//!
//! - **Regime.** As recorded; otherwise from the recorded hours: 20 or more a day is full time, 16 or
//!   fewer is nights and naps, and hours between decide neither. With neither recorded, a fitting or a
//!   resumption keeps the regime of the current brace. If there is none, the first fitting since casting
//!   (or since a new episode began) is full time, and a later one keeps the last regime. `regime_stated`
//!   is true only if the regime itself was recorded.
//! - **A fitting while a brace is worn** replaces it: a new spell in the same run. A run continues through
//!   refits and changes of regime; a new cast or a stop ends it.
//! - **Several fittings recorded on one day** are one brace (a spreadsheet may have a row for each foot).
//!   If they contradict each other, the last one recorded counts and a question names them.
//! - **A change of hours within a regime** keeps the spell, with the new hours.
//! - **A change that names one boot, or only the bar,** leaves the rest of the brace unchanged.
//! - **A change recorded while no brace is worn** has no effect and becomes a question; resuming bracing
//!   begins a spell with the last known brace.
//! - **Discharge and death** end bracing (as stopped). Transfer and loss to follow-up do not: the child may
//!   still wear the brace.

use crate::events::Event;
use crate::{BraceSpell, Cause};
use record::{Boot, Brace, BraceChange, BraceChanged, BraceFitted, Day, Regime, Side, SiteId};

/// Hours a day from which a regime that is not recorded counts as full time. Common practice (23 hours),
/// no source for the limit.
pub(crate) const FULL_TIME_FROM_HOURS: u8 = 20;
/// Hours a day up to which a regime that is not recorded counts as nights and naps. Published night-time
/// regimes run from 12 to 16 hours; no source for the limit.
pub(crate) const NIGHT_TIME_TO_HOURS: u8 = 16;

#[derive(Debug, Default)]
pub(crate) struct BraceTrack {
    pub(crate) spells: Vec<BraceSpell>,
    /// Whether there has been a cast or a new episode since the last fitting.
    pub(crate) fresh: bool,
    /// The clinic that fitted the current brace.
    pub(crate) site: Option<SiteId>,
    /// Days on which a foot got a new boot.
    pub(crate) new_boots: Vec<(Day, Side)>,
}

/// The outcome of a brace entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum BraceOutcome {
    /// The feet are now braced under this regime.
    Regime(Regime),
    /// The entry contradicts another fitting of that day; the regime that counts.
    Contradicts(Regime),
    /// Another clinic fitted a brace while one was worn; the regime that counts.
    Elsewhere(Regime),
    /// Nothing changes for the feet.
    Same,
    /// No effect: no brace is worn.
    NoBrace,
}

/// The regime that an entry gives, and whether the regime itself was recorded (not only hours).
fn stated_regime(regime: Option<Regime>, hours: Option<u8>) -> Option<(Regime, bool)> {
    let by_hours = match hours {
        Some(FULL_TIME_FROM_HOURS..) => Some((Regime::FullTime, false)),
        Some(..=NIGHT_TIME_TO_HOURS) => Some((Regime::NightTime, false)),
        _ => None,
    };
    regime.map(|regime| (regime, true)).or(by_hours)
}

impl BraceTrack {
    pub(crate) fn new() -> Self {
        Self { fresh: true, ..Self::default() }
    }

    pub(crate) fn running(&self) -> Option<&BraceSpell> {
        self.spells.last().filter(|spell| spell.until.is_none())
    }

    fn running_mut(&mut self) -> Option<&mut BraceSpell> {
        self.spells.last_mut().filter(|spell| spell.until.is_none())
    }

    /// The regime if neither regime nor hours are recorded.
    fn regime_from_course(&self) -> Regime {
        match (self.spells.last(), self.running(), self.fresh) {
            (Some(last), Some(_), _) | (Some(last), None, false) => last.regime,
            _ => Regime::FullTime,
        }
    }

    /// Ends the current spell; `false` if there is none.
    pub(crate) fn end(&mut self, on: Day, cause: Cause) -> bool {
        match self.running_mut() {
            Some(spell) => spell.until = Some((on, cause)),
            None => return false,
        }
        true
    }

    /// Casting begins again.
    pub(crate) fn recast(&mut self, on: Day) {
        self.end(on, Cause::Recast);
        self.fresh = true;
    }

    pub(crate) fn fit(&mut self, event: &Event<'_>, body: &BraceFitted) -> BraceOutcome {
        // A fitting that names no boots is a fitting of both.
        let brace = Some(&body.brace).filter(|brace| !brace.boots.is_empty());
        self.new_boots.extend(fitted_boots(brace).map(|side| (event.on, side)));
        if let Some(spell) = self.running_mut().filter(|spell| spell.from == event.on) {
            let contradicts = contradicts(spell, body);
            absorb(spell, body);
            let regime = spell.regime;
            return if contradicts {
                BraceOutcome::Contradicts(regime)
            } else {
                BraceOutcome::Regime(regime)
            };
        }
        let elsewhere = self.running().is_some() && self.site.is_some_and(|site| site != event.entry.site);
        self.site = Some(event.entry.site);
        let stated = stated_regime(body.regime, body.hours_prescribed);
        let regime = self.begin(event, stated, body.hours_prescribed, body.brace.clone(), Cause::Refitted);
        if elsewhere { BraceOutcome::Elsewhere(regime) } else { BraceOutcome::Regime(regime) }
    }

    /// Any change except a stop.
    pub(crate) fn change(&mut self, event: &Event<'_>, body: &BraceChanged) -> BraceOutcome {
        let stated = stated_regime(body.regime, body.hours_prescribed);
        if self.running().is_none() {
            return self.resume(event, body);
        }
        let change = (event.on, body.change, event.id());
        let sized = fitted_boots(body.brace.as_ref()).filter(|_| body.change == BraceChange::Size);
        self.new_boots.extend(sized.map(|side| (event.on, side)));
        let Some(spell) = self.running_mut() else { return BraceOutcome::NoBrace };
        let moved = stated.filter(|&(regime, _)| regime != spell.regime);
        let Some((regime, stated)) = moved else {
            spell.regime_stated |= body.regime.is_some();
            apply_change(spell, body);
            spell.changes.push(change);
            return BraceOutcome::Same;
        };
        if spell.from == event.on {
            (spell.regime, spell.regime_stated) = (regime, stated);
            apply_change(spell, body);
        } else {
            let mut brace = spell.brace.clone();
            body.brace.iter().for_each(|named| update_brace(&mut brace, named));
            self.begin(event, moved, body.hours_prescribed, brace, Cause::Changed);
        }
        if body.change != BraceChange::Hours {
            self.running_mut().into_iter().for_each(|spell| spell.changes.push(change));
        }
        BraceOutcome::Regime(regime)
    }

    /// A change while no brace is worn: only resuming has an effect.
    fn resume(&mut self, event: &Event<'_>, body: &BraceChanged) -> BraceOutcome {
        if body.change != BraceChange::Resumed {
            return BraceOutcome::NoBrace;
        }
        let mut brace = self.spells.last().map(|spell| spell.brace.clone()).unwrap_or_default();
        body.brace.iter().for_each(|named| update_brace(&mut brace, named));
        let stated = stated_regime(body.regime, body.hours_prescribed);
        self.site = Some(event.entry.site);
        BraceOutcome::Regime(self.begin(event, stated, body.hours_prescribed, brace, Cause::Refitted))
    }

    /// Begins a spell; it continues the run of the spell that it ends.
    fn begin(
        &mut self,
        event: &Event<'_>,
        stated: Option<(Regime, bool)>,
        hours_prescribed: Option<u8>,
        brace: Brace,
        ends: Cause,
    ) -> Regime {
        let (regime, regime_stated) = stated.unwrap_or((self.regime_from_course(), false));
        let bracing_since = self.running().map_or(event.on, |spell| spell.bracing_since);
        self.end(event.on, ends);
        self.fresh = false;
        self.spells.push(BraceSpell {
            entry: event.id(),
            from: event.on,
            until: None,
            regime,
            regime_stated,
            hours_prescribed,
            bracing_since,
            brace,
            changes: Vec::new(),
        });
        regime
    }
}

/// The feet that got new boots according to an entry: those named, or both if none is named and the entry
/// is not about the bar alone.
fn fitted_boots(brace: Option<&Brace>) -> impl Iterator<Item = Side> {
    let named: Vec<Side> = brace.iter().flat_map(|brace| &brace.boots).map(|boot| boot.side).collect();
    let bar_alone = named.is_empty() && brace.is_some_and(|brace| brace.bar_mm.is_some());
    Side::BOTH.into_iter().filter(move |side| named.contains(side) || (named.is_empty() && !bar_alone))
}

/// Applies a change within a spell.
fn apply_change(spell: &mut BraceSpell, body: &BraceChanged) {
    if let Some(brace) = &body.brace {
        update_brace(&mut spell.brace, brace);
    }
    spell.hours_prescribed = body.hours_prescribed.or(spell.hours_prescribed);
}

/// Applies the values that a change gives and keeps the others, so that a change that names one boot leaves
/// the other as it is. Length and size belong together: a new boot has its own of both.
fn update_brace(brace: &mut Brace, named: &Brace) {
    brace.bar_mm = named.bar_mm.or(brace.bar_mm);
    brace.bar_per_side = named.bar_per_side.or(brace.bar_per_side);
    if named.label.is_some() {
        brace.label.clone_from(&named.label);
    }
    for new in &named.boots {
        let Some(at) = boot(brace, new) else {
            brace.boots.push(new.clone());
            continue;
        };
        let boot = &mut brace.boots[at];
        boot.abduction_deg = new.abduction_deg.or(boot.abduction_deg);
        boot.dorsiflexion_deg = new.dorsiflexion_deg.or(boot.dorsiflexion_deg);
        if new.length_mm.is_some() || new.size.is_some() {
            boot.length_mm = new.length_mm;
            boot.size.clone_from(&new.size);
        }
    }
    brace.boots.sort_by_key(|boot| boot.side);
}

impl BraceSpell {
    /// The brace of this spell after a change; values that the change does not name stay as they are.
    #[must_use]
    pub fn brace_after(&self, named: &Brace) -> Brace {
        let mut brace = self.brace.clone();
        update_brace(&mut brace, named);
        brace
    }
}

fn boot(brace: &Brace, like: &Boot) -> Option<usize> {
    brace.boots.iter().position(|boot| boot.side == like.side)
}

/// Whether a fitting of the same day gives a different value for the same thing.
fn contradicts(spell: &BraceSpell, body: &BraceFitted) -> bool {
    let regime = |regime, hours| stated_regime(regime, hours).map(|(regime, _)| regime);
    let before = regime(spell.regime_stated.then_some(spell.regime), spell.hours_prescribed);
    let boots = &spell.brace.boots;
    differ(before, regime(body.regime, body.hours_prescribed))
        || differ(spell.hours_prescribed, body.hours_prescribed)
        || differ(spell.brace.bar_mm, body.brace.bar_mm)
        || differ(spell.brace.bar_per_side, body.brace.bar_per_side)
        || body.brace.boots.iter().any(|new| boot(&spell.brace, new).is_some_and(|i| boots[i] != *new))
}

fn differ<T: PartialEq>(one: Option<T>, other: Option<T>) -> bool {
    matches!((one, other), (Some(one), Some(other)) if one != other)
}

/// Takes over the values of another fitting of the same day.
fn absorb(spell: &mut BraceSpell, body: &BraceFitted) {
    if let Some((regime, stated)) = stated_regime(body.regime, body.hours_prescribed) {
        spell.regime_stated = stated || (spell.regime_stated && spell.regime == regime);
        spell.regime = regime;
    }
    spell.hours_prescribed = body.hours_prescribed.or(spell.hours_prescribed);
    spell.brace.bar_mm = body.brace.bar_mm.or(spell.brace.bar_mm);
    spell.brace.bar_per_side = body.brace.bar_per_side.or(spell.brace.bar_per_side);
    if body.brace.label.is_some() {
        spell.brace.label.clone_from(&body.brace.label);
    }
    for new in &body.brace.boots {
        match boot(&spell.brace, new) {
            Some(i) => spell.brace.boots[i].clone_from(new),
            None => spell.brace.boots.push(new.clone()),
        }
    }
    spell.brace.boots.sort_by_key(|boot| boot.side);
}
