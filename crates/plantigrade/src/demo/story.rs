//! The story of one invented child: a small set of events, each written as entries.

use super::{foot::Foot, names, person, site};
use rand::{RngExt, rngs::StdRng};
use record::{
    Allergies, AllergyAnswer, AppointmentAttended, AppointmentMade, AppointmentMissed, Body, Boot, Brace,
    BraceChange, BraceChanged, BraceFitted, CastApplied, CastMaterial, CastPurpose, CastRemoved, ChildId,
    Consent, ConsentAnswer, ConsentForm, ConsentMatter, Day, Diagnosis, Entry, EntryId, MedicineAnswer,
    Medicines, Nature, Purpose, Referral, Regime, Registration, RemovalReason, Sex, Side, Sides,
    TenotomyBooked, TenotomyDone, Timestamp, WearReported, Weighed,
};

/// One child's story, written backwards from today.
pub type Story = fn(&mut StoryWriter<'_>);

/// Writes the entries of one child.
pub struct StoryWriter<'a> {
    /// The source of random numbers.
    pub rng: &'a mut StdRng,
    /// The day as of which the clinic is shown.
    pub today: Day,
    /// The child.
    pub child: ChildId,
    /// The affected feet.
    pub feet: Vec<Foot>,
    /// Day of birth.
    pub born: Day,
    number: usize,
    written: u32,
    entries: Vec<Entry>,
    last_visit: Day,
}

impl<'a> StoryWriter<'a> {
    /// A child not yet born.
    pub fn new(rng: &'a mut StdRng, number: usize, today: Day) -> Self {
        let child = ChildId::new(fixed_uuid(i64::try_from(number).unwrap_or(0) * 86_400, rng));
        Self {
            rng,
            today,
            child,
            feet: Vec::new(),
            born: today,
            number,
            written: 0,
            entries: Vec::new(),
            last_visit: today,
        }
    }

    /// The entries of the finished story.
    pub fn into_entries(self) -> Vec<Entry> {
        self.entries
    }

    /// Writes one entry on a day.
    pub fn write(&mut self, on: Day, body: impl Into<Body>) -> EntryId {
        self.write_after(on, body, None)
    }

    /// Writes one entry that follows another.
    pub fn write_after(&mut self, on: Day, body: impl Into<Body>, follows: Option<EntryId>) -> EntryId {
        self.written += 1;
        let seconds = i64::from(on.number()) * 86_400 + 9 * 3600 + i64::from(self.written % 400) * 40;
        let id = EntryId::new(fixed_uuid(seconds, self.rng));
        let by = person(self.number + self.written as usize / 7);
        self.entries.push(Entry {
            id,
            child: self.child,
            body: body.into(),
            on,
            at: Timestamp::from_seconds(seconds),
            by,
            site: site(),
            follows,
        });
        id
    }

    /// Born on a day, with feet affected; registered and referred some days later.
    pub fn born(&mut self, on: Day, sides: Sides, gestation_weeks: Option<u8>) {
        self.born = on;
        let severity = self.rng.random_range(0.55..0.95);
        for &side in sides.each() {
            let own = severity + self.rng.random_range(-0.1..0.1);
            let foot = Foot::untreated(side, own, self.rng);
            self.feet.push(foot);
        }
        let known = (on + self.rng.random_range(3..12)).min(self.today);
        let registration = self.registration(on, gestation_weeks);
        self.write(known, registration);
        self.write(known, Referral { from: Some(names::WARD.to_owned()), reason: None });
        for &side in sides.each() {
            self.diagnose(known, side, Nature::Idiopathic, None);
        }
        self.last_visit = known;
    }

    fn registration(&mut self, born: Day, gestation_weeks: Option<u8>) -> Registration {
        let named = names::registration(self.rng, self.number);
        // Boys to girls about 2.2 to 1 (published 2.1 to 2.5).
        let boy = self.rng.random_bool(0.69);
        Registration {
            born: Some(born),
            sex: Some(if boy { Sex::Male } else { Sex::Female }),
            gestation_weeks: gestation_weeks.or_else(|| Some(self.rng.random_range(37..42))),
            ..names::suited(named, boy)
        }
    }

    /// A diagnosis of one foot.
    pub fn diagnose(&mut self, on: Day, side: Side, nature: Nature, complex: Option<bool>) {
        self.write(on, Diagnosis { side, nature: Some(nature), complex, earlier_treatment: None });
    }

    /// The sides affected.
    pub fn sides(&self) -> Vec<Side> {
        self.feet.iter().map(|foot| foot.side).collect()
    }

    /// A visit: arrival, and every foot assessed.
    pub fn visit(&mut self, on: Day) {
        let gone = on - self.last_visit;
        self.write(on, AppointmentAttended { time: None });
        for index in 0..self.feet.len() {
            self.feet[index].grow(gone);
            self.assess(on, index);
        }
        self.last_visit = on;
    }

    /// One foot assessed, with its length once it is in the brace.
    pub fn assess(&mut self, on: Day, index: usize) -> EntryId {
        let mut assessment = self.feet[index].assessed(self.rng);
        if self.feet[index].dorsiflexion_deg > 10.0 {
            assessment.foot_length_mm = Some(self.feet[index].length_mm.round() as u16);
        }
        self.write(on, assessment)
    }

    /// A cast on one foot.
    pub fn cast(&mut self, on: Day, side: Side, purpose: CastPurpose) {
        let abduction_deg =
            self.feet.iter().find(|foot| foot.side == side).map(|foot| foot.abduction_deg as i16);
        let (purpose, material) = (Some(purpose), Some(CastMaterial::Plaster));
        self.write(on, CastApplied { purpose, material, abduction_deg, ..CastApplied::on(side) });
    }

    /// A cast removed from one foot.
    pub fn cast_off(&mut self, on: Day, side: Side, why: RemovalReason) {
        self.write(on, CastRemoved { side, why, note: None });
    }

    /// The casts of every foot removed as planned.
    pub fn casts_off(&mut self, on: Day) {
        for side in self.sides() {
            self.cast_off(on, side, RemovalReason::Planned);
        }
    }

    /// A weekly visit: old casts removed, feet assessed, next casts applied. At the `first` visit there is no
    /// cast to remove.
    pub fn casting_visit(&mut self, on: Day, first: bool, pace: f64) {
        if !first {
            self.casts_off(on);
        }
        self.visit(on);
        for side in self.sides() {
            self.cast(on, side, CastPurpose::Correction);
        }
        for index in 0..self.feet.len() {
            self.feet[index].after_cast(pace, self.rng);
        }
    }

    /// `count` weekly casting visits, the last one on `last`.
    pub fn casting(&mut self, count: i32, last: Day, pace: f64) {
        for index in 0..count {
            self.casting_visit(last - 7 * (count - 1 - index), index == 0, pace);
        }
    }

    /// Every foot ready for tenotomy: casts removed, an assessment that shows it and, with `cast_again`, a
    /// holding cast.
    pub fn ready_visit(&mut self, on: Day, cast_again: bool) {
        for index in 0..self.feet.len() {
            self.feet[index].make_ready(self.rng);
        }
        self.casts_off(on);
        self.visit(on);
        for side in self.sides().into_iter().filter(|_| cast_again) {
            self.cast(on, side, CastPurpose::Holding);
        }
    }

    /// Tenotomies booked.
    pub fn book(&mut self, on: Day, planned_on: Day) {
        for side in self.sides() {
            let place = Some(names::THEATRE.to_owned());
            self.write(on, TenotomyBooked { side, planned_on: Some(planned_on), place });
        }
        self.appoint(on, planned_on, Purpose::Tenotomy);
    }

    /// What is asked before a tenotomy: weight in grams, allergies, medicines, consent.
    pub fn prepare(&mut self, on: Day, weight_g: u16) {
        self.write(on, Weighed::grams(weight_g));
        self.write(on, Allergies::of(AllergyAnswer::NoneKnown));
        self.write(on, Medicines::of(MedicineAnswer::None));
        let given = Consent::of(ConsentMatter::Tenotomy, ConsentAnswer::Given);
        self.write(
            on,
            Consent { relation: Some("mother".to_owned()), how: Some(ConsentForm::Signed), ..given },
        );
    }

    /// Tenotomies done, with their casts.
    pub fn tenotomy(&mut self, on: Day) {
        self.write(on, AppointmentAttended { time: None });
        for side in self.sides() {
            self.cast_off(on, side, RemovalReason::Planned);
            let anaesthesia = Some(record::Anaesthesia::Local);
            self.write(on, TenotomyDone { anaesthesia, ..TenotomyDone::on(side) });
            self.cast(on, side, CastPurpose::AfterTenotomy);
        }
        for index in 0..self.feet.len() {
            self.feet[index].after_tenotomy(self.rng);
        }
        self.last_visit = on;
    }

    /// Casts removed, brace fitted, full time.
    pub fn brace(&mut self, on: Day) {
        self.casts_off(on);
        self.visit(on);
        let brace = self.brace_set();
        let (regime, hours_prescribed) = (Some(Regime::FullTime), Some(23));
        self.write(on, BraceFitted { brace, regime, hours_prescribed, fitted_by: None });
    }

    fn brace_set(&self) -> Brace {
        let length = self.feet.iter().map(|foot| foot.length_mm).fold(0.0, f64::max);
        let boot = |side: Side| {
            let affected = self.feet.iter().any(|foot| foot.side == side);
            Boot {
                abduction_deg: Some(if affected { 60 } else { 35 }),
                dorsiflexion_deg: Some(10),
                length_mm: Some((length + 8.0).round() as u16),
                ..Boot::of(side)
            }
        };
        let bar_mm = (self.last_visit - self.born).clamp(0, 1800) / 12 + 150;
        Brace { boots: Side::BOTH.map(boot).to_vec(), bar_mm: u16::try_from(bar_mm).ok(), ..Brace::default() }
    }

    /// Night-time wear prescribed from a day on.
    pub fn night_time(&mut self, on: Day) {
        let (regime, hours_prescribed) = (Some(Regime::NightTime), Some(12));
        let changed = BraceChanged { regime, hours_prescribed, ..BraceChanged::of(BraceChange::Hours) };
        self.write(on, changed);
    }

    /// New boots and bar at a visit.
    pub fn refit(&mut self, on: Day) {
        let brace = Some(self.brace_set());
        self.write(on, BraceChanged { brace, ..BraceChanged::of(BraceChange::Size) });
    }

    /// Bracing stopped.
    pub fn stop(&mut self, on: Day, note: &str) {
        let note = Some(note.to_owned());
        self.write(on, BraceChanged { note, ..BraceChanged::of(BraceChange::Stopped) });
    }

    /// Hours of wear as reported by the family.
    pub fn wear(&mut self, from: Day, to: Day, hours_per_day: f64) {
        let hours_per_day = (hours_per_day * 2.0).round() / 2.0;
        self.write(to, WearReported { from, to, hours_per_day, days_without: None, reason: None });
    }

    /// An appointment made on a day for another.
    pub fn appoint(&mut self, on: Day, for_day: Day, purpose: Purpose) -> EntryId {
        let hour = 9 + self.number % 4;
        let time = Some(format!("{hour:02}:{:02}", (self.number / 4 % 4) * 15));
        self.write(on, AppointmentMade { for_day, time, purpose: Some(purpose) })
    }

    /// An appointment missed.
    pub fn missed(&mut self, on: Day, follows: Option<EntryId>) {
        self.write_after(on, AppointmentMissed { reason: None }, follows);
    }

    /// From the first cast to the brace, fitted on a day: casts, tenotomy, three weeks, brace; one child
    /// in four needs no tenotomy.
    pub fn through_to_brace(&mut self, casts: i32, fitted_on: Day) {
        if self.rng.random_bool(0.25) {
            return self.through_without_tenotomy(casts, fitted_on);
        }
        let cut_on = fitted_on - 21;
        self.casting(casts, cut_on - 14, 1.0);
        self.ready_visit(cut_on - 7, true);
        self.book(cut_on - 7, cut_on);
        self.tenotomy(cut_on);
        self.appoint(cut_on, fitted_on, Purpose::BraceFitting);
        self.brace(fitted_on);
    }

    fn through_without_tenotomy(&mut self, casts: i32, fitted_on: Day) {
        let decided_on = fitted_on - 7;
        self.casting(casts, decided_on - 7, 1.0);
        for foot in &mut self.feet {
            foot.corrected_by_casts(self.rng);
        }
        self.casts_off(decided_on);
        self.visit(decided_on);
        for side in self.sides() {
            self.cast(decided_on, side, CastPurpose::Holding);
        }
        self.appoint(decided_on, fitted_on, Purpose::BraceFitting);
        self.brace(fitted_on);
    }

    /// The early reviews at 1, 6 and 12 weeks and the later ones every four months, up to a day; nights
    /// from week 12. Wear is reported at each.
    pub fn reviews_until(&mut self, fitted_on: Day, last: Day) {
        let mut previous = fitted_on;
        let early = [7, 42, 84].map(|days| fitted_on + days);
        let later = (1..20).map(|n| fitted_on + 84 + 119 * n);
        for on in early.into_iter().chain(later).take_while(|&on| on <= last) {
            self.visit(on);
            if on == fitted_on + 84 {
                self.night_time(on);
            }
            let prescribed = if on <= fitted_on + 84 { 23.0 } else { 12.0 };
            let worn = prescribed * self.rng.random_range(0.72..0.98);
            self.wear(previous, on, worn);
            if on > fitted_on + 84 {
                self.refit(on);
            }
            previous = on;
        }
    }
}

/// A UUID of version 7 from an instant and random bits, so that the same seed gives the same ids.
pub fn fixed_uuid(seconds: i64, rng: &mut StdRng) -> uuid::Uuid {
    let millis = u64::try_from(seconds).unwrap_or(0) * 1000;
    uuid::Builder::from_unix_timestamp_millis(millis, &rng.random()).into_uuid()
}
