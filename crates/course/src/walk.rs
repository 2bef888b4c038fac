//! The replay of the events, day by day: the effect of each on the feet, the brace and the standing.

use crate::braces::{BraceOutcome, BraceTrack};
use crate::events::{Event, is_visit};
use crate::feet::FootKnown;
use crate::foot::FootTrack;
use crate::phases::PhaseTrack;
use crate::questions::{
    after_the_end::{self, Ends},
    clash, out_of_order, two_braces,
};
use crate::{Cause, Question, Standing};
use record::{Body, BraceChange, CastPurpose, Day, EntryId, Side, Timestamp};

/// An event that settles cast problems of a foot: a cast applied or removed.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Settles {
    pub(crate) side: Side,
    pub(crate) on: Day,
    pub(crate) at: Timestamp,
}

/// The state of the replay.
#[derive(Debug)]
pub(crate) struct Walk {
    /// Right, left.
    pub(crate) feet: [Option<FootTrack>; 2],
    pub(crate) braces: BraceTrack,
    pub(crate) standing: Standing,
    /// The entry that opened care again after it had ended or the child was lost.
    pub(crate) reopened: Option<(Day, EntryId)>,
    pub(crate) ends: Ends,
    /// Every end of care: discharge, transfer, death.
    pub(crate) ended: Vec<Standing>,
    pub(crate) settles: Vec<Settles>,
    pub(crate) questions: Vec<Question>,
}

const fn index(side: Side) -> usize {
    match side {
        Side::Right => 0,
        Side::Left => 1,
    }
}

impl Walk {
    /// Replays the events.
    pub(crate) fn through(
        events: &[Event<'_>],
        known: &[FootKnown; 2],
        referred: Option<(Day, EntryId)>,
    ) -> Self {
        let mut walk = Self {
            feet: [0, 1].map(|i| track(Side::BOTH[i], &known[i], referred)),
            braces: BraceTrack::new(),
            standing: Standing::Active,
            reopened: None,
            ends: Ends::default(),
            ended: Vec::new(),
            settles: Vec::with_capacity(16),
            questions: Vec::new(),
        };
        for day in events.chunk_by(|one, next| one.on == next.on) {
            walk.day(day);
        }
        walk
    }

    fn day(&mut self, events: &[Event<'_>]) {
        let cut = |side| {
            events.iter().any(|event| matches!(event.body, Body::TenotomyDone(done) if done.side == side))
        };
        let cut_today = Side::BOTH.map(cut);
        if matches!(self.standing, Standing::Lost(_))
            && let Some(visit) = events.iter().find(|event| is_visit(event.body))
        {
            self.set_standing(Standing::Active, visit);
        }
        for event in events {
            self.step(event, cut_today);
        }
        if let Some(first) = events.first() {
            self.late_comers(first.on);
        }
    }

    fn step(&mut self, event: &Event<'_>, cut_today: [bool; 2]) {
        self.ends.note(self.standing, event);
        match event.body {
            Body::CastApplied(body) => self.cast(event, body, cut_today[index(body.side)]),
            Body::BraceFitted(body) => {
                let outcome = self.braces.fit(event, body);
                self.apply_outcome(outcome, event);
            }
            Body::BraceChanged(body) if body.change == BraceChange::Stopped => self.stop(event),
            Body::BraceChanged(body) => {
                let outcome = self.braces.change(event, body);
                self.apply_outcome(outcome, event);
            }
            Body::Registration(_)
            | Body::Referral(_)
            | Body::Transfer(_)
            | Body::Death(_)
            | Body::LostDeclared(_)
            | Body::Discharge(_) => self.set_standing(self.standing.after(event.body, event.on), event),
            _ => self.step_foot(event),
        }
    }

    /// Events that concern one foot only.
    fn step_foot(&mut self, event: &Event<'_>) {
        let Some(side) = event.body.side() else { return };
        let Some(foot) = &mut self.feet[index(side)] else { return };
        match event.body {
            Body::Assessment(body) => foot.score(event, body),
            Body::CastRemoved(body) => {
                foot.casts.remove(event, body.why);
                self.settles.push(Settles { side, on: event.on, at: event.entry.at });
            }
            Body::TenotomyBooked(body) => foot.book(event, body),
            Body::TenotomyDone(body) => foot.cut(event, body),
            Body::OtherSurgery(body) => foot.operate(event, body),
            Body::RelapseNoted(body) => {
                let episode = foot.casts.episode;
                foot.relapse(event, body);
                self.braces.fresh |= foot.casts.episode != episode;
            }
            _ => {}
        }
    }

    fn cast(&mut self, event: &Event<'_>, body: &record::CastApplied, cut_today: bool) {
        let Some(foot) = &mut self.feet[index(body.side)] else { return };
        if !foot.cast(event, body, cut_today) {
            return;
        }
        let uncut = !cut_today && foot.casts.tenotomies.iter().all(|cut| cut.episode != foot.casts.episode);
        if body.purpose == Some(CastPurpose::AfterTenotomy) && uncut {
            self.questions.push(out_of_order::no_tenotomy(body.side, event));
        }
        self.settles.push(Settles { side: body.side, on: event.on, at: event.entry.at });
        self.braces.recast(event.on);
    }

    /// Applies the outcome of a brace entry to the feet, and asks about what is odd.
    fn apply_outcome(&mut self, outcome: BraceOutcome, event: &Event<'_>) {
        let running = self.braces.running().map(|spell| spell.entry);
        match outcome {
            BraceOutcome::Same => {}
            BraceOutcome::NoBrace => self.questions.push(out_of_order::no_brace(event)),
            BraceOutcome::Regime(regime) => self.put_in_brace(regime, event),
            BraceOutcome::Contradicts(regime) => {
                self.put_in_brace(regime, event);
                two_braces::same_day(&mut self.questions, running, event);
            }
            BraceOutcome::Elsewhere(regime) => {
                let before = self.braces.spells.iter().rev().nth(1).map(|spell| spell.entry);
                self.put_in_brace(regime, event);
                self.questions.push(two_braces::elsewhere(before, event));
            }
        }
    }

    fn put_in_brace(&mut self, regime: record::Regime, event: &Event<'_>) {
        let fitted = matches!(event.body, Body::BraceFitted(_));
        for foot in self.feet.iter_mut().flatten().filter(|foot| foot.known <= event.on) {
            if let Some(cast) = foot.casts.cast_on().filter(|cast| cast.on == event.on) {
                self.questions.push(out_of_order::brace_on_cast(foot.side, cast.entry, event));
            }
            foot.brace(regime, event.on, event.id());
            if fitted {
                self.settles.push(Settles { side: foot.side, on: event.on, at: event.entry.at });
            }
        }
    }

    fn stop(&mut self, event: &Event<'_>) {
        if !self.braces.end(event.on, Cause::Stopped) {
            self.questions.push(out_of_order::no_brace(event));
        }
        self.feet.iter_mut().flatten().for_each(|foot| foot.unbrace(event));
    }

    fn set_standing(&mut self, standing: Standing, event: &Event<'_>) {
        if standing == self.standing {
            return;
        }
        if matches!(standing, Standing::Discharged(_) | Standing::Died(_)) {
            self.braces.end(event.on, Cause::Stopped);
        }
        if standing == Standing::Active && matches!(event.body, Body::Referral(_) | Body::Registration(_)) {
            self.reopened = Some((event.on, event.id()));
        }
        if matches!(standing, Standing::Transferred(_)) {
            self.braces.site = None;
        }
        if standing.is_over() {
            self.ended.push(standing);
        }
        self.standing = standing;
        for foot in self.feet.iter_mut().flatten() {
            let step = foot.step(event.on, event.id());
            foot.phases.end(standing.phase(), step);
        }
    }

    /// The questions that the walk left open, taken out of it.
    pub(crate) fn open_questions(&mut self) -> Vec<Question> {
        let mut open = std::mem::take(&mut self.questions);
        after_the_end::ask(&mut open, &self.ends);
        for foot in self.feet.iter().flatten() {
            clash::ask_twice(&mut open, foot.side, &foot.casts.twice);
        }
        open
    }

    /// Braces feet first known today while a brace is worn.
    fn late_comers(&mut self, today: Day) {
        let Some(spell) = self.braces.running() else { return };
        let untreated = |foot: &&mut FootTrack| foot.known == today && foot.is_untreated();
        for foot in self.feet.iter_mut().flatten().filter(untreated) {
            foot.brace(spell.regime, today, spell.entry);
        }
    }
}

/// The initial track of a foot.
fn track(side: Side, known: &FootKnown, referred: Option<(Day, EntryId)>) -> Option<FootTrack> {
    let first = known.first?;
    let (from, entry) = referred.filter(|referred| referred.0 <= first.0).unwrap_or(first);
    let phases = PhaseTrack::begin(from, Some(entry));
    Some(FootTrack::new(side, first.0, phases, known.casts, known.scores))
}
