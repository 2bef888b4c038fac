//! Casts, tenotomies and episodes of one foot.
//!
//! - **Number.** Casts are counted from 1 within an episode, the cast after a tenotomy included.
//! - **End.** A cast ends with a removal entry, the next cast on that foot, or a brace (one bar holds
//!   both feet). Nothing else ends it: a score does not show that the foot was out of its cast.
//! - **Removal and cast on one day.** A removal applies to the cast that was on when the day began. If
//!   none was on, it applies to that day's cast if it was recorded after it; otherwise to a cast applied
//!   elsewhere.
//! - **Purpose, if not recorded.** After tenotomy if a tenotomy of that foot was done that day or since
//!   its last cast; otherwise correction. A holding cast is never assumed.
//! - **Twice.** Two casts of one foot on one day, with no removal between, are one cast recorded twice:
//!   the first one recorded counts, and a question names both. The same applies to tenotomies.
//! - **Episodes.** A relapse noted begins the next episode, unless the foot has had no treatment in the
//!   current one. A cast or tenotomy after bracing begins the next one too, unless a relapse has begun one
//!   that still waits for its first cast. An episode lasts until the brace.

use crate::events::Event;
use crate::{CastWorn, Episode, TenotomySeen};
use record::{CastApplied, CastPurpose, Day, EntryId, RemovalReason, TenotomyDone, Timestamp};

/// What was done to a foot in the current episode.
#[derive(Debug, Default, Clone, Copy)]
pub(crate) struct Done {
    pub(crate) cast: bool,
    pub(crate) cut: bool,
    pub(crate) braced: bool,
    pub(crate) surgery: bool,
    by_relapse: bool,
}

/// A cast or tenotomy recorded twice.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Twice {
    pub(crate) what: &'static str,
    pub(crate) on: Day,
    pub(crate) first: EntryId,
    pub(crate) again: EntryId,
}

/// The casts of one foot while the log is replayed.
#[derive(Debug)]
pub(crate) struct CastTrack {
    pub(crate) episode: u8,
    pub(crate) done: Done,
    pub(crate) casts: Vec<CastWorn>,
    pub(crate) tenotomies: Vec<TenotomySeen>,
    pub(crate) episodes: Vec<Episode>,
    pub(crate) twice: Vec<Twice>,
    cut_since_cast: bool,
    /// A removal recorded while no cast was on.
    bare_removal: Option<(Day, RemovalReason, Timestamp)>,
}

impl CastTrack {
    pub(crate) fn new(casts: usize) -> Self {
        Self {
            episode: 1,
            done: Done::default(),
            casts: Vec::with_capacity(casts),
            tenotomies: Vec::new(),
            episodes: Vec::new(),
            twice: Vec::new(),
            cut_since_cast: false,
            bare_removal: None,
        }
    }

    pub(crate) fn cast_on(&self) -> Option<&CastWorn> {
        self.casts.last().filter(|cast| cast.off.is_none())
    }

    /// Applies a cast; `false` if it was already recorded. `cut_today`: whether a tenotomy of this foot was
    /// done on the same day.
    pub(crate) fn apply(&mut self, event: &Event<'_>, body: &CastApplied, cut_today: bool) -> bool {
        let on = event.on;
        if let Some(same) = self.casts.last().filter(|cast| cast.on == on && cast.off.is_none()) {
            self.twice.push(Twice { what: "cast", on, first: same.entry, again: event.id() });
            return false;
        }
        self.treat_again(on);
        self.take_off(on, None);
        let cut = cut_today || self.cut_since_cast;
        let unwritten = if cut { CastPurpose::AfterTenotomy } else { CastPurpose::Correction };
        let purpose = body.purpose.unwrap_or(unwritten);
        let number = self.count(on, purpose);
        let removal = self.bare_removal.take();
        let off = removal.filter(|&(day, _, at)| day == on && at > event.entry.at);
        self.casts.push(CastWorn {
            entry: event.id(),
            episode: self.episode,
            number,
            stated_number: body.number,
            on,
            off: off.map(|(day, why, _)| (day, Some(why))),
            purpose,
            abduction_deg: body.abduction_deg,
        });
        self.cut_since_cast = false;
        self.done.cast = true;
        true
    }

    /// Counts a cast in its episode, which is then open again, and returns its number.
    fn count(&mut self, on: Day, purpose: CastPurpose) -> u16 {
        let episode = self.episode_now(on);
        episode.casts = episode.casts.saturating_add(1);
        if purpose == CastPurpose::Correction {
            episode.correcting_casts = episode.correcting_casts.saturating_add(1);
        }
        episode.until = None;
        episode.casts
    }

    /// Takes off the current cast, if there is one.
    pub(crate) fn take_off(&mut self, on: Day, why: Option<RemovalReason>) -> bool {
        match self.casts.last_mut().filter(|cast| cast.off.is_none()) {
            Some(cast) => cast.off = Some((on, why)),
            None => return false,
        }
        true
    }

    /// A removal entry.
    pub(crate) fn remove(&mut self, event: &Event<'_>, why: RemovalReason) {
        if !self.take_off(event.on, Some(why)) {
            self.bare_removal = Some((event.on, why, event.entry.at));
        }
    }

    /// A tenotomy; `false` if it was already recorded.
    pub(crate) fn cut(&mut self, event: &Event<'_>, body: &TenotomyDone) -> bool {
        let on = event.on;
        if let Some(same) = self.tenotomies.last().filter(|tenotomy| tenotomy.on == on) {
            self.twice.push(Twice { what: "tenotomy", on, first: same.entry, again: event.id() });
            return false;
        }
        self.treat_again(on);
        self.episode_now(on).until = None;
        self.tenotomies.push(TenotomySeen {
            entry: event.id(),
            on,
            episode: self.episode,
            dorsiflexion_after_deg: body.dorsiflexion_after_deg,
        });
        self.cut_since_cast = self.casts.last().is_none_or(|cast| cast.on < on);
        self.done.cut = true;
        true
    }

    /// The foot is braced from this day: the cast comes off, and correction is over.
    pub(crate) fn brace(&mut self, on: Day) {
        self.take_off(on, None);
        self.done.braced = true;
        if let Some(episode) = self.episodes.last_mut() {
            episode.until.get_or_insert(on);
        }
    }

    /// A relapse.
    pub(crate) fn relapse(&mut self, on: Day) {
        let Done { cast, cut, braced, surgery, .. } = self.done;
        if cast || cut || braced || surgery {
            self.next_episode();
        }
        self.done.by_relapse = true;
        self.episode_now(on);
    }

    /// A cast or tenotomy after bracing begins the next episode.
    fn treat_again(&mut self, on: Day) {
        let Done { cast, cut, braced, by_relapse, .. } = self.done;
        let awaited = by_relapse && !cast && !cut;
        if braced && !awaited {
            self.next_episode();
            self.episode_now(on);
        }
    }

    fn next_episode(&mut self) {
        self.episode = self.episode.saturating_add(1);
        self.done = Done::default();
        self.cut_since_cast = false;
    }

    /// The current episode; it begins on the given day if it has not begun yet.
    fn episode_now(&mut self, from: Day) -> &mut Episode {
        let number = self.episode;
        let begun = self.episodes.last().is_some_and(|episode| episode.number == number);
        if !begun {
            self.episodes.push(Episode { number, from, until: None, casts: 0, correcting_casts: 0 });
        }
        let last = self.episodes.len() - 1;
        &mut self.episodes[last]
    }
}
