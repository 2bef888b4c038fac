//! The lanes of the picture, one below the other.

use super::{
    Axis, PictureSize,
    marks::{self, Series},
    plot::{Position, mark, seen, words},
};
use crate::ink::Ink;
use course::{AppointmentState, AssessmentSeen, CastWorn, FootCourse, Phase, PhaseSpell, WearKind};
use forecast::foot::FootForecast;
use guidance::{Outlook, Scope};
use record::{Day, EntryId, Halves};

const BAND_TOP: f64 = 26.0;
const BAND_HEIGHT: f64 = 26.0;
pub(super) const SCORE_TOP: f64 = 74.0;
pub(super) const SCORE_HEIGHT: f64 = 120.0;
pub(super) const MARKS: f64 = 208.0;
pub(super) const EVENTS: f64 = 228.0;
const MOVE_TOP: f64 = 256.0;
const MOVE_HEIGHT: f64 = 100.0;
const WEAR_TOP: f64 = 380.0;
const WEAR_HEIGHT: f64 = 66.0;

/// The data and the size of the picture.
pub struct Lanes<'a> {
    pub outlook: &'a Outlook,
    pub foot: &'a FootCourse,
    pub forecast: Option<&'a FootForecast>,
    pub axis: &'a Axis,
    pub size: PictureSize,
}

impl Lanes<'_> {
    /// The height of the whole picture.
    pub fn height(&self) -> f64 {
        self.foot_of_lanes() + 26.0
    }

    fn braced(&self) -> bool {
        !self.outlook.course.braces.is_empty()
    }

    fn foot_of_lanes(&self) -> f64 {
        if self.braced() { WEAR_TOP + WEAR_HEIGHT } else { MOVE_TOP + MOVE_HEIGHT }
    }

    /// Draws the picture.
    pub fn draw(&self, ink: &mut Ink<'_>) {
        let bottom = self.foot_of_lanes();
        self.ticks(ink, bottom);
        self.foot.phases.iter().for_each(|spell| self.phase(ink, spell));
        self.planned(ink);
        self.fan(ink);
        self.scores(ink);
        self.foot.casts.iter().for_each(|cast| self.cast(ink, cast));
        self.event_marks(ink);
        self.movement(ink);
        if self.braced() {
            self.wear(ink);
        }
        self.tenotomies(ink, bottom);
        self.windows(ink);
        self.today(ink, bottom);
    }

    pub(super) fn x(&self, day: Day) -> f64 {
        self.axis.x(day)
    }

    pub(super) fn fits(&self, text: &str, width: f64) -> bool {
        text.chars().count() as f64 * self.size.letter + 10.0 <= width
    }

    fn lane_name(&self, ink: &mut Ink<'_>, y: f64, text: &str) {
        let place = if self.size.narrow { (2.0, y - 8.0) } else { (0.0, y + 14.0) };
        words(ink, ("lane", ""), place, "start", text);
    }

    /// A horizontal line with its value on the left.
    fn level(&self, ink: &mut Ink<'_>, y: f64, value: &str) {
        marks::grid(ink, (self.size.left, y), (self.size.right, y));
        words(ink, ("tick", ""), (self.size.left - 6.0, y + 4.0), "end", value);
    }

    /// A mark that links to its entry.
    fn mark(
        &self,
        ink: &mut Ink<'_>,
        entry: EntryId,
        description: impl FnOnce(&mut Ink<'_>),
        shape: impl FnOnce(&mut Ink<'_>),
    ) {
        mark(ink, self.outlook.course.child, entry, description, shape);
    }

    fn ticks(&self, ink: &mut Ink<'_>, bottom: f64) {
        for (x, text) in self.axis.ticks(self.size.apart) {
            marks::grid(ink, (x, BAND_TOP), (x, bottom));
            words(ink, ("tick", ""), (x, bottom + 18.0), "middle", &text);
        }
    }

    fn phase(&self, ink: &mut Ink<'_>, spell: &PhaseSpell) {
        let until = spell.until.unwrap_or(self.outlook.course.as_of);
        let (x, end) = (self.x(spell.from), self.x(until));
        let width = (end - x).max(2.0);
        let full = phase_words(spell, self.foot);
        let short = short_phase(spell.phase);
        let label = [full.as_str(), short].into_iter().find(|text| self.fits(text, width));
        let description = |ink: &mut Ink<'_>| {
            ink.text(&full);
            match spell.until {
                Some(until) => ink.tag(", ").day_words(spell.from).tag(" to ").day_words(until),
                None => ink.tag(", since ").day_words(spell.from),
            };
        };
        let shape = |ink: &mut Ink<'_>| {
            marks::phase(ink, spell.phase, (x, BAND_TOP), (width, BAND_HEIGHT));
        };
        match spell.entry {
            Some(entry) => self.mark(ink, entry, description, shape),
            None => {
                description(ink.tag("<g><title>"));
                shape(ink.tag("</title>"));
                ink.tag("</g>");
            }
        }
        if let Some(label) = label {
            seen(ink, "in-band", (x + 5.0, BAND_TOP + 17.5), "start", label);
        }
    }

    /// The window of the next step, dashed.
    fn planned(&self, ink: &mut Ink<'_>) {
        let own = |scope: Scope| matches!(scope, Scope::Child) || scope == Scope::Foot(self.foot.side);
        let step = self.outlook.steps.iter().find(|step| own(step.scope) && step.window.is_some());
        let Some((step, window)) = step.and_then(|step| Some((step, step.window?))) else { return };
        let (x, end) = (self.x(window.from), self.x(window.to));
        let label = format!("next: {}", step.words);
        ink.tag("<g><title>Next: ").text(&step.words);
        ink.tag(", ").day_words(window.from).tag(" to ").day_words(window.to).tag("</title>");
        marks::planned(ink, (x, BAND_TOP), ((end - x).max(4.0), BAND_HEIGHT));
        let (place, anchor) = if !self.size.narrow && self.fits(&label, self.size.width - end) {
            ((end + 6.0, BAND_TOP + 17.5), "start")
        } else {
            ((self.size.right, BAND_TOP + BAND_HEIGHT + 14.0), "end")
        };
        words(ink, ("planned-words", ""), place, anchor, &self.shortened(&label));
        ink.tag("</g>");
    }

    /// A label that leaves room for the name of the lane below it; the whole of it is in the title.
    fn shortened(&self, label: &str) -> String {
        if self.fits(label, self.size.right - LANE_NAME_WIDTH) {
            return label.to_owned();
        }
        let room = ((self.size.right - LANE_NAME_WIDTH) / self.size.letter) as usize;
        let cut: String = label.chars().take(room.saturating_sub(3)).collect();
        let words = cut.rsplit_once(' ').map_or(cut.as_str(), |(words, _)| words);
        format!("{} …", words.trim_end_matches([',', ':', ' ']))
    }

    fn score_y(halves: Halves) -> f64 {
        SCORE_TOP + SCORE_HEIGHT * (1.0 - halves.value() / 6.0)
    }

    fn sub_score(&self, ink: &mut Ink<'_>, part: Series, score: impl Fn(&AssessmentSeen) -> Option<Halves>) {
        let points: Vec<Position> = self
            .foot
            .scores
            .iter()
            .filter_map(|scored| Some((self.x(scored.on), Self::score_y(score(scored)?))))
            .collect();
        marks::series(ink, part, &points);
    }

    fn scores(&self, ink: &mut Ink<'_>) {
        self.lane_name(ink, SCORE_TOP, "Pirani score");
        for (value, text) in [(0u8, "0"), (2, "2"), (4, "4"), (6, "6")] {
            self.level(ink, Self::score_y(Halves(value * 2)), text);
        }
        self.sub_score(ink, Series::Hindfoot, |scored| scored.pirani.hindfoot());
        self.sub_score(ink, Series::Midfoot, |scored| scored.pirani.midfoot());
        self.sub_score(ink, Series::Total, |scored| scored.pirani.total());
        self.foot.scores.iter().for_each(|scored| self.score_mark(ink, scored));
        self.score_ends(ink);
    }

    /// The last score in words at the end of its line, with the names of the two lines below it.
    fn score_ends(&self, ink: &mut Ink<'_>) {
        if self.size.narrow {
            return;
        }
        let Some(scored) = self.foot.last_pirani() else { return };
        let x = self.x(scored.on).max(self.x(self.outlook.course.as_of)) + 7.0;
        let pirani = &scored.pirani;
        let mut ends: Vec<(f64, &'static str, String)> = [
            ("end", pirani.total().map(|total| (total, format!("{total} of 6")))),
            ("end hindfoot", pirani.hindfoot().map(|part| (part, format!("hindfoot {part}")))),
            ("end midfoot", pirani.midfoot().map(|part| (part, format!("midfoot {part}")))),
        ]
        .into_iter()
        .filter_map(|(class, end)| end.map(|(halves, text)| (Self::score_y(halves), class, text)))
        .collect();
        spread(&mut ends);
        for (y, class, text) in &ends {
            if self.fits(text, self.size.width - x) {
                words(ink, (class, ""), (x, y + 4.0), "start", text);
            }
        }
    }

    fn score_mark(&self, ink: &mut Ink<'_>, scored: &AssessmentSeen) {
        let pirani = &scored.pirani;
        if pirani.is_empty() {
            return;
        }
        let x = self.x(scored.on);
        let description = |ink: &mut Ink<'_>| {
            ink.day_words(scored.on);
            let Some(total) = pirani.total() else {
                let signs = 6u8.saturating_sub(pirani.missing().count() as u8);
                ink.tag(": Pirani incomplete, ").whole(signs).tag(" of 6 signs");
                return;
            };
            halves(ink.tag(": Pirani "), Some(total));
            halves(ink.tag(" of 6, midfoot "), pirani.midfoot());
            halves(ink.tag(", hindfoot "), pirani.hindfoot());
        };
        self.mark(ink, scored.entry, description, |ink| match pirani.total() {
            Some(total) => marks::score(ink, (x, Self::score_y(total))),
            None => marks::incomplete(ink, (x, SCORE_TOP + SCORE_HEIGHT - 9.0)),
        });
    }

    fn cast(&self, ink: &mut Ink<'_>, cast: &CastWorn) {
        let (x, y) = (self.x(cast.on), MARKS);
        let description = |ink: &mut Ink<'_>| {
            ink.tag("Cast ").whole(cast.number).tag(" (").text(cast.purpose.words());
            match cast.off {
                Some((off, _)) => ink.tag("), ").day_words(cast.on).tag(" to ").day_words(off),
                None => ink.tag("), on since ").day_words(cast.on),
            };
        };
        self.mark(ink, cast.entry, description, |ink| marks::cast(ink, cast.purpose, (x, y)));
    }

    /// Problems, missed visits and relapses.
    fn event_marks(&self, ink: &mut Ink<'_>) {
        let course = &self.outlook.course;
        let own = |side: Option<record::Side>| side.is_none_or(|side| side == self.foot.side);
        for problem in course.problems.iter().filter(|problem| own(problem.side)) {
            let description = |ink: &mut Ink<'_>| {
                ink.day_words(problem.on).tag(": ").text(problem.what.words());
            };
            let at = (self.x(problem.on), EVENTS);
            self.mark(ink, problem.entry, description, |ink| marks::problem(ink, at));
        }
        for missed in &course.appointments {
            if missed.state == AppointmentState::Missed {
                self.event(ink, missed.entry, missed.for_day, ": did not come", marks::missed);
            }
        }
        for relapse in &self.foot.relapses {
            self.event(ink, relapse.entry, relapse.on, ": relapse", marks::relapse);
        }
    }

    fn event(
        &self,
        ink: &mut Ink<'_>,
        entry: EntryId,
        on: Day,
        what: &'static str,
        drawn: fn(&mut Ink<'_>, Position),
    ) {
        let description = |ink: &mut Ink<'_>| ink.day_words(on).tag(what).done();
        self.mark(ink, entry, description, |ink| drawn(ink, (self.x(on), EVENTS)));
    }

    fn tenotomies(&self, ink: &mut Ink<'_>, bottom: f64) {
        for tenotomy in &self.foot.tenotomies {
            let x = self.x(tenotomy.on);
            let description =
                |ink: &mut Ink<'_>| ink.day_words(tenotomy.on).tag(": heel-cord tenotomy").done();
            let shape = |ink: &mut Ink<'_>| marks::tenotomy(ink, (x, BAND_TOP + BAND_HEIGHT), (x, bottom));
            self.mark(ink, tenotomy.entry, description, shape);
            seen(ink, "tenotomy-words", (x + 5.0, MOVE_TOP - 9.0), "start", "tenotomy");
        }
    }

    fn move_y(deg: i16) -> f64 {
        let deg = f64::from(deg.clamp(-60, 80));
        MOVE_TOP + MOVE_HEIGHT * (80.0 - deg) / 140.0
    }

    fn movement(&self, ink: &mut Ink<'_>) {
        self.lane_name(ink, MOVE_TOP, "Movement");
        for (deg, text) in [(-40i16, "−40°"), (0, "0°"), (40, "40°"), (80, "80°")] {
            self.level(ink, Self::move_y(deg), text);
        }
        self.move_line(ink, Series::Abduction, |scored| scored.abduction_deg);
        self.move_line(ink, Series::Dorsiflexion, |scored| scored.dorsiflexion_deg);
    }

    fn move_line(&self, ink: &mut Ink<'_>, movement: Series, value: impl Fn(&AssessmentSeen) -> Option<i16>) {
        let measured = self.foot.scores.iter().filter_map(|scored| Some((scored, value(scored)?)));
        let measured: Vec<(&AssessmentSeen, i16, Position)> =
            measured.map(|(scored, deg)| (scored, deg, (self.x(scored.on), Self::move_y(deg)))).collect();
        let points: Vec<Position> = measured.iter().map(|(_, _, place)| *place).collect();
        marks::series(ink, movement, &points);
        let name = movement.name();
        for (scored, deg, place) in &measured {
            let description = |ink: &mut Ink<'_>| {
                ink.day_words(scored.on).tag(": ").tag(name).tag(" ").degrees(*deg);
            };
            self.mark(ink, scored.entry, description, |ink| marks::angle(ink, movement, *place));
        }
        if let Some((_, deg, place)) = measured.last() {
            self.move_end(ink, name, *deg, *place);
        }
    }

    fn move_end(&self, ink: &mut Ink<'_>, name: &'static str, deg: i16, (x, y): Position) {
        let text = format!("{name} {}", crate::words::degrees(deg));
        let after = x.max(self.x(self.outlook.course.as_of)) + 7.0;
        if !self.size.narrow && self.fits(&text, self.size.width - after) {
            return words(ink, ("end ", name), (after, y + 4.0), "start", &text);
        }
        words(ink, ("end ", name), (self.size.right, y - 6.0), "end", &text);
    }

    fn wear_y(hours: f64) -> f64 {
        WEAR_TOP + WEAR_HEIGHT * (1.0 - hours.clamp(0.0, 24.0) / 24.0)
    }

    fn wear(&self, ink: &mut Ink<'_>) {
        let course = &self.outlook.course;
        let name = if self.size.narrow { "Wear, hours a day" } else { "Wear, h a day" };
        self.lane_name(ink, WEAR_TOP, name);
        for (hours, text) in [(0u8, "0"), (12, "12"), (24, "24")] {
            self.level(ink, Self::wear_y(hours.into()), text);
        }
        course.wear.iter().for_each(|span| self.worn(ink, span));
        for spell in &course.braces {
            if let Some(hours) = spell.hours_prescribed {
                let until = spell.until.map_or(course.as_of, |(until, _)| until);
                let y = Self::wear_y(hours.into());
                marks::prescribed(ink, (self.x(spell.from), y), (self.x(until), y));
            }
        }
    }

    fn worn(&self, ink: &mut Ink<'_>, span: &course::WearSpan) {
        let kind = match span.kind {
            WearKind::Reported => " hours a day reported by the family, ",
            WearKind::Logged => " hours a day logged, ",
        };
        let (x, y) = (self.x(span.from), Self::wear_y(span.hours_per_day));
        let size = ((self.x(span.to) - x - 1.5).max(1.5), WEAR_TOP + WEAR_HEIGHT - y);
        let description = |ink: &mut Ink<'_>| {
            ink.text(&span.hours_per_day.to_string()).tag(kind);
            ink.day_words(span.from).tag(" to ").day_words(span.to);
        };
        self.mark(ink, span.entry, description, |ink| marks::worn(ink, span.kind, (x, y), size));
    }

    fn today(&self, ink: &mut Ink<'_>, bottom: f64) {
        let x = self.x(self.outlook.course.as_of);
        marks::today(ink, (x, BAND_TOP - 6.0), (x, bottom));
        let day = self.outlook.course.as_of.words();
        // The whole date stays within the picture; bold letters of a wide typeface are a fifth wider.
        let half = day.chars().count() as f64 * self.size.letter * 1.2 / 2.0 + 2.0;
        let middle = x.min(self.size.width - half).max(half);
        words(ink, ("today-words", ""), (middle, BAND_TOP - 11.0), "middle", &day);
    }
}

/// The room of the name of the lane of scores, in the units of the picture.
const LANE_NAME_WIDTH: f64 = 96.0;

/// Moves overlapping labels apart; the lowest stays above the axis.
fn spread(ends: &mut [(f64, &'static str, String)]) {
    const APART: f64 = 15.0;
    ends.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut least = SCORE_TOP + SCORE_HEIGHT;
    for end in ends {
        end.0 = end.0.min(least);
        least = end.0 - APART;
    }
}

/// Writes "4.5", or "incomplete" where there is no sum.
fn halves(ink: &mut Ink<'_>, score: Option<Halves>) {
    match score {
        Some(halves) => ink.halves(halves),
        None => ink.tag("incomplete"),
    };
}

fn phase_words(spell: &PhaseSpell, foot: &FootCourse) -> String {
    if spell.phase != Phase::InCorrection {
        return spell.phase.words().to_owned();
    }
    let casts = foot
        .episodes
        .iter()
        .find(|episode| episode.number == spell.episode)
        .map_or(0, |episode| episode.correcting_casts);
    let plural = if casts == 1 { "" } else { "s" };
    if spell.episode > 1 {
        return format!("correction {} · {casts} cast{plural}", spell.episode);
    }
    format!("correction · {casts} cast{plural}")
}

const fn short_phase(phase: Phase) -> &'static str {
    match phase {
        Phase::Referred => "ref.",
        Phase::InCorrection => "casts",
        Phase::WaitingForTenotomy => "wait",
        Phase::TenotomyCast => "tendon",
        Phase::FullTimeBracing => "full time",
        Phase::NightTimeBracing => "nights",
        Phase::AfterBracing => "after",
        Phase::AfterSurgery => "surgery",
        Phase::Discharged => "disch.",
        Phase::Transferred => "moved",
        Phase::LostToFollowUp => "lost",
        Phase::Died => "died",
    }
}
