//! Spells in the brace. One bar holds both feet, so they belong to the child.
//!
//! - **Regime.** As written; else from the hours written: 20 or more a day is full time, 16 or fewer is
//!   nights and naps. Hours between say neither. Where nothing is said, a fitting or taking-up keeps the
//!   regime of the brace that runs; where none runs, the first one since casting (or since a new
//!   episode began) is full time, a later one keeps the last regime. `regime_stated` is true only where
//!   the regime itself was written.
//! - **A fitting while a brace runs** replaces it: a new spell, the same run. A run is unbroken through
//!   refits and changes of regime; a new cast or a stop ends it.
//! - **Several fittings written on one day** are one brace (a sheet may have a row for each foot). Where
//!   they contradict each other the last written holds and a question names them.
//! - **A change of hours within a regime** keeps the spell; the hours are the last that hold.
//! - **A change that names one boot, or the bar alone** leaves the rest of the brace as it was.
//! - **A change written where no brace runs** has no effect and becomes a question; taking bracing up
//!   again begins a spell with the last brace known.
//! - **Discharge and death** end bracing (as stopped). Transfer and loss do not: the brace may well be
//!   worn on.

use crate::events::Event;
use crate::{BraceSpell, Cause};
use record::{Boot, Brace, BraceChange, BraceChanged, BraceFitted, Day, Regime, Side, SiteId};

/// Hours a day from which an unwritten regime is taken as full time. Common practice (23 hours), no
/// source for the limit.
pub(crate) const FULL_TIME_FROM_HOURS: u8 = 20;
/// Hours a day up to which an unwritten regime is taken as nights and naps. Published night-time
/// regimes run from 12 to 16 hours; no source for the limit.
pub(crate) const NIGHT_TIME_TO_HOURS: u8 = 16;

#[derive(Debug, Default)]
pub(crate) struct BraceTrack {
    pub(crate) spells: Vec<BraceSpell>,
    /// Whether a cast or a new episode has come since the last fitting.
    pub(crate) fresh: bool,
    /// The clinic that fitted the brace that runs.
    pub(crate) site: Option<SiteId>,
    /// Days on which the boot of a foot was fitted anew.
    pub(crate) new_boots: Vec<(Day, Side)>,
}

/// What a brace entry came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Came {
    /// To a regime under which the feet now are.
    Regime(Regime),
    /// To a contradiction with another fitting of that day; the regime that holds.
    Contradicts(Regime),
    /// To a fitting elsewhere while a brace ran; the regime that holds.
    Elsewhere(Regime),
    /// To nothing new for the feet.
    Same,
    /// To nothing at all: no brace runs.
    NoBrace,
}

/// What was said about the regime: the regime, and whether in so many words.
fn said(regime: Option<Regime>, hours: Option<u8>) -> Option<(Regime, bool)> {
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

    /// The regime where nothing is said about it.
    fn regime_by_place(&self) -> Regime {
        match (self.spells.last(), self.running(), self.fresh) {
            (Some(last), Some(_), _) | (Some(last), None, false) => last.regime,
            _ => Regime::FullTime,
        }
    }

    /// Ends the spell that runs; `false` where none does.
    pub(crate) fn end(&mut self, on: Day, cause: Cause) -> bool {
        match self.running_mut() {
            Some(spell) => spell.until = Some((on, cause)),
            None => return false,
        }
        true
    }

    /// Casts begin again.
    pub(crate) fn recast(&mut self, on: Day) {
        self.end(on, Cause::Recast);
        self.fresh = true;
    }

    pub(crate) fn fit(&mut self, event: &Event<'_>, body: &BraceFitted) -> Came {
        // A fitting that does not name its boots is one of both.
        let brace = Some(&body.brace).filter(|brace| !brace.boots.is_empty());
        self.new_boots.extend(fitted_boots(brace).map(|side| (event.on, side)));
        if let Some(spell) = self.running_mut().filter(|spell| spell.from == event.on) {
            let contradicts = contradicts(spell, body);
            absorb(spell, body);
            let regime = spell.regime;
            return if contradicts { Came::Contradicts(regime) } else { Came::Regime(regime) };
        }
        let elsewhere = self.running().is_some() && self.site.is_some_and(|site| site != event.entry.site);
        self.site = Some(event.entry.site);
        let said = said(body.regime, body.hours_prescribed);
        let regime = self.begin(event, said, body.hours_prescribed, body.brace.clone(), Cause::Refitted);
        if elsewhere { Came::Elsewhere(regime) } else { Came::Regime(regime) }
    }

    /// Any change but a stop.
    pub(crate) fn change(&mut self, event: &Event<'_>, body: &BraceChanged) -> Came {
        let said = said(body.regime, body.hours_prescribed);
        if self.running().is_none() {
            return self.resume(event, body);
        }
        let change = (event.on, body.change, event.id());
        let sized = fitted_boots(body.brace.as_ref()).filter(|_| body.change == BraceChange::Size);
        self.new_boots.extend(sized.map(|side| (event.on, side)));
        let Some(spell) = self.running_mut() else { return Came::NoBrace };
        let moved = said.filter(|&(regime, _)| regime != spell.regime);
        let Some((regime, stated)) = moved else {
            spell.regime_stated |= body.regime.is_some();
            keep(spell, body);
            spell.changes.push(change);
            return Came::Same;
        };
        if spell.from == event.on {
            (spell.regime, spell.regime_stated) = (regime, stated);
            keep(spell, body);
        } else {
            let mut brace = spell.brace.clone();
            body.brace.iter().for_each(|told| lay_over(&mut brace, told));
            self.begin(event, moved, body.hours_prescribed, brace, Cause::Changed);
        }
        if body.change != BraceChange::Hours {
            self.running_mut().into_iter().for_each(|spell| spell.changes.push(change));
        }
        Came::Regime(regime)
    }

    /// A change where no brace runs: only taking it up again means anything.
    fn resume(&mut self, event: &Event<'_>, body: &BraceChanged) -> Came {
        if body.change != BraceChange::Resumed {
            return Came::NoBrace;
        }
        let mut brace = self.spells.last().map(|spell| spell.brace.clone()).unwrap_or_default();
        body.brace.iter().for_each(|told| lay_over(&mut brace, told));
        let said = said(body.regime, body.hours_prescribed);
        self.site = Some(event.entry.site);
        Came::Regime(self.begin(event, said, body.hours_prescribed, brace, Cause::Refitted))
    }

    /// Begins a spell; it carries on the run of the one that it ends.
    fn begin(
        &mut self,
        event: &Event<'_>,
        said: Option<(Regime, bool)>,
        hours_prescribed: Option<u8>,
        brace: Brace,
        ends: Cause,
    ) -> Regime {
        let (regime, regime_stated) = said.unwrap_or((self.regime_by_place(), false));
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

/// The feet whose boots are new by what was written of a brace: those named, both where none is named and the
/// bar is not all that was meant.
fn fitted_boots(brace: Option<&Brace>) -> impl Iterator<Item = Side> {
    let named: Vec<Side> = brace.iter().flat_map(|brace| &brace.boots).map(|boot| boot.side).collect();
    let bar_alone = named.is_empty() && brace.is_some_and(|brace| brace.bar_mm.is_some());
    Side::BOTH.into_iter().filter(move |side| named.contains(side) || (named.is_empty() && !bar_alone))
}

/// Applies a change within a spell.
fn keep(spell: &mut BraceSpell, body: &BraceChanged) {
    if let Some(brace) = &body.brace {
        lay_over(&mut spell.brace, brace);
    }
    spell.hours_prescribed = body.hours_prescribed.or(spell.hours_prescribed);
}

/// What a change says of the brace holds; what it does not say stays as it was. So a change that names one
/// boot leaves the other as it is set. Length and size are one statement: a new boot has its own of both.
fn lay_over(brace: &mut Brace, told: &Brace) {
    brace.bar_mm = told.bar_mm.or(brace.bar_mm);
    brace.bar_per_side = told.bar_per_side.or(brace.bar_per_side);
    if told.label.is_some() {
        brace.label.clone_from(&told.label);
    }
    for new in &told.boots {
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
    /// The brace of this spell after a change: what the change does not name stays as it was.
    #[must_use]
    pub fn brace_after(&self, told: &Brace) -> Brace {
        let mut brace = self.brace.clone();
        lay_over(&mut brace, told);
        brace
    }
}

fn boot(brace: &Brace, like: &Boot) -> Option<usize> {
    brace.boots.iter().position(|boot| boot.side == like.side)
}

/// Whether a fitting of the same day says otherwise about the same thing.
fn contradicts(spell: &BraceSpell, body: &BraceFitted) -> bool {
    let regime = |regime, hours| said(regime, hours).map(|(regime, _)| regime);
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

/// Takes over what a further fitting of the same day says.
fn absorb(spell: &mut BraceSpell, body: &BraceFitted) {
    if let Some((regime, stated)) = said(body.regime, body.hours_prescribed) {
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
