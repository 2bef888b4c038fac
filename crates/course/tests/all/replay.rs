//! A slow second implementation, written for clarity and not for speed.
//!
//! For each foot it keeps a plain list of events, and reads that list again from its beginning whenever it
//! needs a value. It shares no code with the crate except the types of the results.

use course::{Course, FootCourse, Phase};
use record::*;

/// Something that happened to a foot.
#[derive(Debug, Clone, PartialEq)]
enum Did {
    NewEpisode,
    Cast { after_tenotomy: bool, written: bool },
    Booked,
    Cut,
    Surgery,
    Relapse,
    Braced(Regime),
    Stopped,
    Discharged,
}

/// A cast: day on, day off, episode, number, after tenotomy or not as counted.
pub type Cast = (Day, Option<Day>, usize, usize, CastPurpose);
/// A spell of bracing: first day, day after, regime, first day of the run.
pub type Spell = (Day, Option<Day>, Regime, Day);

#[derive(Default, Clone)]
struct Foot {
    known: Option<Day>,
    did: Vec<Did>,
    casts: Vec<Cast>,
    cut_on: Vec<Day>,
    cut_waits_for_cast: bool,
    bare: Option<(Day, Timestamp)>,
    shown: Vec<Option<(Phase, usize)>>,
}

/// The whole log, replayed.
pub struct Replay {
    /// The days with an effective entry.
    pub days: Vec<Day>,
    feet: [Foot; 2],
    spells: Vec<Spell>,
    out: [bool; 2],
}

#[derive(Clone)]
struct Effective {
    entry: Entry,
    body: Body,
    on: Day,
}

fn written(entry: &Entry) -> (Timestamp, EntryId) {
    (entry.at, entry.id)
}

/// Whether an amendment has been withdrawn by one recorded after it that is not itself withdrawn.
fn is_withdrawn(entry: &Entry, all: &[Entry]) -> bool {
    let amends = matches!(entry.body, Body::Correction(_) | Body::Withdrawal(_));
    all.iter().any(|other| match &other.body {
        Body::Withdrawal(withdrawal) if withdrawal.entry == entry.id => {
            (!amends || written(other) > written(entry)) && !is_withdrawn(other, all)
        }
        _ => false,
    })
}

fn effective(all: &[Entry]) -> Vec<Effective> {
    let mut list = Vec::new();
    for entry in all {
        if matches!(entry.body, Body::Correction(_) | Body::Withdrawal(_)) || is_withdrawn(entry, all) {
            continue;
        }
        let mut corrections: Vec<&Entry> = Vec::new();
        for other in all {
            if let Body::Correction(correction) = &other.body
                && correction.entry == entry.id
                && !is_withdrawn(other, all)
            {
                corrections.push(other);
            }
        }
        corrections.sort_by_key(|correction| written(correction));
        let (mut body, mut on) = (entry.body.clone(), entry.on);
        if let Some(Body::Correction(correction)) = corrections.last().map(|last| &last.body) {
            body = (*correction.body).clone();
            on = correction.on.unwrap_or(entry.on);
        }
        if matches!(body, Body::SecondScore(_)) {
            continue;
        }
        list.push(Effective { entry: entry.clone(), body, on });
    }
    list.sort_by_key(|event| (event.on, written(&event.entry)));
    list
}

const fn place(side: Side) -> usize {
    match side {
        Side::Right => 0,
        Side::Left => 1,
    }
}

fn regime(regime: Option<Regime>, hours: Option<u8>) -> Option<Regime> {
    match (regime, hours) {
        (Some(regime), _) => Some(regime),
        (None, Some(hours)) if hours >= 20 => Some(Regime::FullTime),
        (None, Some(hours)) if hours <= 16 => Some(Regime::NightTime),
        _ => None,
    }
}

fn is_bracing(phase: Phase) -> bool {
    [Phase::FullTimeBracing, Phase::NightTimeBracing].contains(&phase)
}

/// The phase of treatment after a list of happenings: what the last of them makes of the phase before.
fn phase(did: &[Did]) -> Phase {
    let Some((last, before)) = did.split_last() else { return Phase::Referred };
    let booked = |did: &[Did]| {
        let last_cut = did.iter().rposition(|did| *did == Did::Cut);
        did.iter().rposition(|did| *did == Did::Booked) > last_cut
    };
    let correcting = || if booked(did) { Phase::WaitingForTenotomy } else { Phase::InCorrection };
    match last {
        Did::NewEpisode => phase(before),
        Did::Discharged => Phase::Referred,
        Did::Braced(Regime::FullTime) => Phase::FullTimeBracing,
        Did::Braced(Regime::NightTime) => Phase::NightTimeBracing,
        Did::Stopped if is_bracing(phase(before)) => Phase::AfterBracing,
        Did::Stopped => phase(before),
        Did::Surgery => Phase::AfterSurgery,
        Did::Cut => Phase::TenotomyCast,
        Did::Relapse => correcting(),
        Did::Booked => match phase(before) {
            keeps if is_bracing(keeps) || keeps == Phase::AfterBracing => keeps,
            _ => Phase::WaitingForTenotomy,
        },
        Did::Cast { after_tenotomy: true, .. } => Phase::TenotomyCast,
        Did::Cast { written: false, .. } if phase(before) == Phase::TenotomyCast => Phase::TenotomyCast,
        Did::Cast { .. } => correcting(),
    }
}

impl Foot {
    /// What happened since the running episode began.
    fn episode(&self) -> &[Did] {
        let from = self.did.iter().rposition(|did| *did == Did::NewEpisode).map_or(0, |at| at + 1);
        &self.did[from..]
    }

    fn number(&self) -> usize {
        1 + self.did.iter().filter(|did| **did == Did::NewEpisode).count()
    }

    fn treated_again(&mut self) {
        let episode = self.episode();
        let braced = episode.iter().any(|did| matches!(did, Did::Braced(_)));
        let relapsed = episode.contains(&Did::Relapse);
        let begun = episode.iter().any(|did| matches!(did, Did::Cast { .. } | Did::Cut));
        if braced && (begun || !relapsed) {
            self.did.push(Did::NewEpisode);
            self.cut_waits_for_cast = false;
        }
    }

    fn cast(&mut self, event: &Effective, body: &CastApplied, cut_today: bool) -> bool {
        if self.casts.last().is_some_and(|last| last.0 == event.on && last.1.is_none()) {
            return false;
        }
        self.treated_again();
        self.off(event.on);
        let cut = cut_today || self.cut_waits_for_cast;
        let guess = if cut { CastPurpose::AfterTenotomy } else { CastPurpose::Correction };
        let purpose = body.purpose.unwrap_or(guess);
        let episode = self.number();
        let number = 1 + self.casts.iter().filter(|cast| cast.2 == episode).count();
        let own = self.bare.take().filter(|&(day, at)| day == event.on && at > event.entry.at);
        self.casts.push((event.on, own.map(|(day, _)| day), episode, number, purpose));
        self.cut_waits_for_cast = false;
        let after_tenotomy = purpose == CastPurpose::AfterTenotomy;
        self.did.push(Did::Cast { after_tenotomy, written: body.purpose.is_some() });
        true
    }

    fn off(&mut self, on: Day) -> bool {
        let Some(last) = self.casts.last_mut().filter(|last| last.1.is_none()) else { return false };
        last.1 = Some(on);
        true
    }

    fn cut(&mut self, on: Day) {
        if self.cut_on.contains(&on) {
            return;
        }
        self.treated_again();
        self.cut_on.push(on);
        self.cut_waits_for_cast = !self.casts.iter().any(|cast| cast.0 == on);
        self.did.push(Did::Cut);
    }

    fn relapse(&mut self) -> bool {
        let treated = self
            .episode()
            .iter()
            .any(|did| matches!(did, Did::Cast { .. } | Did::Cut | Did::Braced(_) | Did::Surgery));
        if treated {
            self.did.push(Did::NewEpisode);
            self.cut_waits_for_cast = false;
        }
        self.did.push(Did::Relapse);
        treated
    }

    fn braced(&mut self, on: Day, regime: Regime) {
        self.off(on);
        self.did.push(Did::Braced(regime));
    }
}

/// The current end of care, if there is one.
#[derive(Clone, Copy, PartialEq)]
struct End {
    phase: Phase,
}

struct State {
    feet: [Foot; 2],
    spells: Vec<Spell>,
    fresh: bool,
    end: Option<End>,
}

impl Replay {
    pub fn of(entries: &[Entry]) -> Self {
        let events = effective(entries);
        let mut days: Vec<_> = events.iter().map(|event| event.on).collect();
        days.dedup();
        let mut state = State { feet: Default::default(), spells: Vec::new(), fresh: true, end: None };
        for side in Side::BOTH {
            state.feet[place(side)].known =
                events.iter().find(|event| affects(event, side, &events)).map(|e| e.on);
        }
        let referred =
            events.iter().find(|event| matches!(event.body, Body::Referral(_) | Body::Registration(_)));
        let referred = referred.map(|event| event.on);
        for &day in &days {
            let today: Vec<_> = events.iter().filter(|event| event.on == day).cloned().collect();
            state.day(day, &today);
            for foot in &mut state.feet {
                let begun =
                    foot.known.is_some_and(|known| known <= day || referred.is_some_and(|on| on <= day));
                let treatment = phase(&foot.did);
                let shown = (state.end.map_or(treatment, |end| end.phase), foot.number());
                foot.shown.push(begun.then_some(shown));
            }
        }
        let out = Side::BOTH.map(|side| is_out(&events, side, &state.feet[place(side)]));
        Self { days, feet: state.feet, spells: state.spells, out }
    }

    /// The casts of a foot.
    pub fn casts(&self, side: Side) -> Vec<Cast> {
        if self.out[place(side)] { Vec::new() } else { self.feet[place(side)].casts.clone() }
    }

    /// The phase and episode of a foot at the end of each day.
    pub fn phases(&self, side: Side) -> Vec<Option<(Phase, usize)>> {
        let foot = &self.feet[place(side)];
        if self.out[place(side)] || foot.known.is_none() {
            return vec![None; self.days.len()];
        }
        foot.shown.clone()
    }

    pub fn braces(&self) -> Vec<Spell> {
        self.spells.clone()
    }

    /// The spells of a course in the same shape.
    pub fn braces_of_course(&self, course: &Course) -> Vec<Spell> {
        let until = |spell: &course::BraceSpell| spell.until.map(|(day, _)| day);
        course
            .braces
            .iter()
            .map(|spell| (spell.from, until(spell), spell.regime, spell.bracing_since))
            .collect()
    }

    /// The casts of a course in the same shape.
    pub fn casts_of_course(foot: Option<&FootCourse>) -> Vec<Cast> {
        let casts = foot.into_iter().flat_map(|foot| &foot.casts);
        casts
            .map(|cast| {
                let off = cast.off.map(|(day, _)| day);
                (cast.on, off, cast.episode.into(), cast.number.into(), cast.purpose)
            })
            .collect()
    }

    /// The phases of a course in the same shape.
    pub fn phases_of_course(foot: Option<&FootCourse>, days: &[Day]) -> Vec<Option<(Phase, usize)>> {
        let on = |day: Day| {
            let spells = foot?.phases.iter();
            let mut holds =
                spells.filter(|spell| spell.from <= day && spell.until.is_none_or(|until| day < until));
            holds.next().map(|spell| (spell.phase, spell.episode.into()))
        };
        days.iter().map(|&day| on(day)).collect()
    }
}

/// Whether an entry makes a foot affected, all diagnoses up to it considered.
fn affects(event: &Effective, side: Side, events: &[Effective]) -> bool {
    if event.body.side() != Some(side) {
        return false;
    }
    match &event.body {
        Body::Diagnosis(_) => {
            // Diagnoses count in order of writing within the day.
            let until = events
                .iter()
                .filter(|other| (other.on, written(&other.entry)) <= (event.on, written(&event.entry)));
            last_nature(until, side) != Some(Nature::NotClubfoot)
        }
        Body::Assessment(body) => !body.pirani.is_empty(),
        Body::Problem(_) => false,
        _ => true,
    }
}

fn last_nature<'a>(events: impl Iterator<Item = &'a Effective>, side: Side) -> Option<Nature> {
    let natures = events.filter_map(|event| match &event.body {
        Body::Diagnosis(body) if body.side == side => body.nature,
        _ => None,
    });
    natures.last()
}

fn is_out(events: &[Effective], side: Side, foot: &Foot) -> bool {
    if last_nature(events.iter(), side) != Some(Nature::NotClubfoot) {
        return false;
    }
    let last = events.iter().rfind(
        |event| matches!(&event.body, Body::Diagnosis(body) if body.side == side && body.nature.is_some()),
    );
    let treated_later = events.iter().any(|event| {
        let treats = matches!(
            event.body,
            Body::CastApplied(_) | Body::TenotomyDone(_) | Body::TenotomyBooked(_) | Body::RelapseNoted(_)
        );
        treats && event.body.side() == Some(side) && last.is_some_and(|last| event.on > last.on)
    });
    let in_cast = foot.casts.last().is_some_and(|cast| cast.1.is_none());
    !treated_later && !in_cast
}

fn came(event: &Effective) -> bool {
    match &event.body {
        Body::AppointmentAttended(_)
        | Body::Assessment(_)
        | Body::CastApplied(_)
        | Body::TenotomyDone(_)
        | Body::OtherSurgery(_)
        | Body::RelapseNoted(_)
        | Body::BraceFitted(_) => true,
        Body::CastRemoved(body) => body.why != RemovalReason::ByFamily,
        Body::BraceChanged(body) => {
            [BraceChange::Size, BraceChange::Settings, BraceChange::Repaired].contains(&body.change)
        }
        _ => false,
    }
}

impl State {
    /// One day, in the order of a visit: one pass over its entries for each step.
    fn day(&mut self, day: Day, today: &[Effective]) {
        self.open(today);
        for event in today {
            if matches!(&event.body, Body::BraceChanged(body) if body.change == BraceChange::Stopped) {
                self.end_spell(day);
                self.known(day).for_each(|foot| foot.did.push(Did::Stopped));
            }
        }
        for event in today {
            if let Body::CastRemoved(body) = &event.body {
                let foot = &mut self.feet[place(body.side)];
                if !foot.off(day) {
                    foot.bare = Some((day, event.entry.at));
                }
            }
        }
        for event in today {
            if let Body::RelapseNoted(body) = &event.body {
                self.fresh |= self.feet[place(body.side)].relapse();
            }
        }
        self.casts(day, today);
        self.operations(day, today);
        self.braces(day, today);
        self.close(day, today);
        self.late(day);
    }

    fn known(&mut self, day: Day) -> impl Iterator<Item = &mut Foot> {
        self.feet.iter_mut().filter(move |foot| foot.known.is_some_and(|known| known <= day))
    }

    fn open(&mut self, today: &[Effective]) {
        let lost = Some(End { phase: Phase::LostToFollowUp });
        if self.end == lost && today.iter().any(came) {
            self.end = None;
        }
        let asked = today.iter().any(|event| matches!(event.body, Body::Referral(_) | Body::Registration(_)));
        if asked && self.end != Some(End { phase: Phase::Died }) {
            self.end = None;
        }
    }

    fn casts(&mut self, day: Day, today: &[Effective]) {
        for event in today {
            if let Body::CastApplied(body) = &event.body {
                let cut_today = today
                    .iter()
                    .any(|other| matches!(&other.body, Body::TenotomyDone(done) if done.side == body.side));
                if self.feet[place(body.side)].cast(event, body, cut_today) {
                    self.end_spell(day);
                    self.fresh = true;
                }
            }
        }
    }

    fn operations(&mut self, day: Day, today: &[Effective]) {
        for event in today {
            if let Body::TenotomyBooked(body) = &event.body {
                self.feet[place(body.side)].did.push(Did::Booked);
            }
        }
        for event in today {
            if let Body::TenotomyDone(body) = &event.body {
                self.feet[place(body.side)].cut(day);
            }
        }
        for event in today {
            if let Body::OtherSurgery(body) = &event.body {
                self.feet[place(body.side)].did.push(Did::Surgery);
            }
        }
    }

    fn running(&self) -> Option<Spell> {
        self.spells.last().copied().filter(|spell| spell.1.is_none())
    }

    fn end_spell(&mut self, day: Day) {
        if let Some(last) = self.spells.last_mut()
            && last.1.is_none()
        {
            last.1 = Some(day);
        }
    }

    /// A new spell, or the same one under another regime where it began today.
    fn begin(&mut self, day: Day, stated: Option<Regime>) {
        let running = self.running();
        let last = self.spells.last().map(|spell| spell.2);
        let previous = if running.is_some() || !self.fresh { last } else { None };
        let regime = stated.or(previous).unwrap_or(Regime::FullTime);
        if running.is_some_and(|spell| spell.0 == day) {
            if let Some(last) = self.spells.last_mut() {
                last.2 = regime;
            }
        } else {
            self.end_spell(day);
            self.spells.push((day, None, regime, running.map_or(day, |spell| spell.3)));
        }
        self.fresh = false;
        self.known(day).for_each(|foot| foot.braced(day, regime));
    }

    fn braces(&mut self, day: Day, today: &[Effective]) {
        for event in today {
            if let Body::BraceFitted(body) = &event.body {
                self.begin(day, regime(body.regime, body.hours_prescribed));
            }
        }
        for event in today {
            let Body::BraceChanged(body) = &event.body else { continue };
            let stated = regime(body.regime, body.hours_prescribed);
            match (body.change, self.running()) {
                (BraceChange::Stopped, _) => {}
                (BraceChange::Resumed, None) => self.begin(day, stated),
                (_, Some(spell)) if stated.is_some_and(|stated| stated != spell.2) => self.begin(day, stated),
                _ => {}
            }
        }
    }

    fn close(&mut self, day: Day, today: &[Effective]) {
        let any = |is: fn(&Body) -> bool| today.iter().any(|event| is(&event.body));
        let died = Some(End { phase: Phase::Died });
        let over = |end: Option<End>| end.is_some_and(|end| end.phase != Phase::LostToFollowUp);
        if self.end == died {
            return;
        }
        let (transferred, lost) = (
            any(|body| matches!(body, Body::Transfer(_))),
            any(|body| matches!(body, Body::LostDeclared(_))),
        );
        if lost && !over(self.end) {
            self.end = Some(End { phase: Phase::LostToFollowUp });
        }
        if transferred {
            self.end = Some(End { phase: Phase::Transferred });
        }
        if any(|body| matches!(body, Body::Discharge(_))) {
            self.end = Some(End { phase: Phase::Discharged });
            self.end_spell(day);
            self.feet.iter_mut().for_each(|foot| foot.did.push(Did::Discharged));
        }
        if any(|body| matches!(body, Body::Death(_))) {
            self.end = died;
            self.end_spell(day);
        }
    }

    /// Feet first known today, untouched, while a brace is worn.
    fn late(&mut self, day: Day) {
        let Some(spell) = self.running() else { return };
        for foot in self.feet.iter_mut().filter(|foot| foot.known == Some(day)) {
            if phase(&foot.did) == Phase::Referred && foot.casts.is_empty() {
                foot.braced(day, spell.2);
            }
        }
    }
}
