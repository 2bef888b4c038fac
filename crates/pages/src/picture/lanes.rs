//! The lanes of the picture, drawn one under the other.

use super::{
    Axis, Frame,
    plot::{diamond, line, mark, num, polyline, rect, seen, sign, triangle, words},
};
use course::{AppointmentState, CastWorn, FootCourse, Phase, PhaseSpell, Scored, WearKind};
use guidance::{Outlook, Scope};
use maud::{Markup, html};
use record::{CastPurpose, Day, Halves};

const BAND_TOP: f64 = 26.0;
const BAND_HEIGHT: f64 = 26.0;
const SCORE_TOP: f64 = 74.0;
const SCORE_HEIGHT: f64 = 120.0;
const MARKS: f64 = 208.0;
const ODD: f64 = 228.0;
const MOVE_TOP: f64 = 256.0;
const MOVE_HEIGHT: f64 = 100.0;
const WEAR_TOP: f64 = 380.0;
const WEAR_HEIGHT: f64 = 66.0;

/// What the lanes need.
pub struct Lanes<'a> {
    pub outlook: &'a Outlook,
    pub foot: &'a FootCourse,
    pub axis: &'a Axis,
    pub frame: Frame,
}

impl Lanes<'_> {
    /// Everything, with the height it takes.
    pub fn all(&self) -> (Markup, f64) {
        let braced = !self.outlook.course.braces.is_empty();
        let foot_of_lanes = if braced { WEAR_TOP + WEAR_HEIGHT } else { MOVE_TOP + MOVE_HEIGHT };
        let body = html! {
            (self.ticks(foot_of_lanes))
            (self.phases())
            (self.scores())
            (self.casts())
            (self.odd_marks())
            (self.movement())
            @if braced { (self.wear()) }
            (self.tenotomies(foot_of_lanes))
            (self.today(foot_of_lanes))
        };
        (body, foot_of_lanes + 26.0)
    }

    fn x(&self, day: Day) -> f64 {
        self.axis.x(day)
    }

    fn fits(&self, text: &str, width: f64) -> bool {
        text.chars().count() as f64 * self.frame.letter + 10.0 <= width
    }

    fn lane_name(&self, y: f64, text: &str) -> Markup {
        let place = if self.frame.narrow { (2.0, y - 8.0) } else { (0.0, y + 14.0) };
        words("lane", place, "start", text)
    }

    fn ticks(&self, bottom: f64) -> Markup {
        html! {
            @for (x, text) in self.axis.ticks(self.frame.apart) {
                (line("grid", (x, BAND_TOP), (x, bottom)))
                (words("tick", (x, bottom + 18.0), "middle", &text))
            }
        }
    }

    fn phases(&self) -> Markup {
        html! {
            @for spell in &self.foot.phases { (self.phase(spell)) }
            (self.planned())
        }
    }

    fn phase(&self, spell: &PhaseSpell) -> Markup {
        let until = spell.until.unwrap_or(self.outlook.course.as_of);
        let (x, end) = (self.x(spell.from), self.x(until));
        let width = (end - x).max(2.0);
        let full = phase_words(spell, self.foot);
        let short = short_phase(spell.phase);
        let label = [full.as_str(), short].into_iter().find(|text| self.fits(text, width));
        let says = match spell.until {
            Some(until) => format!("{full}, {} to {}", spell.from.words(), until.words()),
            None => format!("{full}, since {}", spell.from.words()),
        };
        let shape = rect(&format!("band {}", spell.phase.key()), (x, BAND_TOP), (width, BAND_HEIGHT));
        html! {
            @match spell.entry {
                Some(entry) => (mark(self.outlook.course.child, entry, &says, &shape)),
                None => g { title { (says) } (shape) },
            }
            @if let Some(label) = label { (seen("in-band", (x + 5.0, BAND_TOP + 17.5), "start", label)) }
        }
    }

    /// The window of the next step, dashed.
    fn planned(&self) -> Markup {
        let own = |scope: Scope| matches!(scope, Scope::Child) || scope == Scope::Foot(self.foot.side);
        let step = self.outlook.steps.iter().find(|step| own(step.scope) && step.window.is_some());
        let Some((step, window)) = step.and_then(|step| Some((step, step.window?))) else { return html! {} };
        let (x, end) = (self.x(window.from), self.x(window.to));
        let says = format!("Next: {}, {} to {}", step.words, window.from.words(), window.to.words());
        let label = format!("next: {}", step.words);
        html! {
            g {
                title { (says) }
                (rect("planned", (x, BAND_TOP), ((end - x).max(4.0), BAND_HEIGHT)))
                @if !self.frame.narrow && self.fits(&label, self.frame.width - end) {
                    (words("planned-words", (end + 6.0, BAND_TOP + 17.5), "start", &label))
                } @else {
                    (words("planned-words", (self.frame.right, BAND_TOP + BAND_HEIGHT + 14.0), "end", &label))
                }
            }
        }
    }

    fn score_y(halves: Halves) -> f64 {
        SCORE_TOP + SCORE_HEIGHT * (1.0 - halves.value() / 6.0)
    }

    fn sub_score(&self, class: &str, part: impl Fn(&Scored) -> Option<Halves>) -> Markup {
        let points: Vec<_> = self
            .foot
            .scores
            .iter()
            .filter_map(|scored| Some((self.x(scored.on), Self::score_y(part(scored)?))))
            .collect();
        polyline(class, &points)
    }

    fn scores(&self) -> Markup {
        html! {
            (self.lane_name(SCORE_TOP, "Pirani score"))
            @for value in [0u8, 2, 4, 6] {
                @let y = Self::score_y(Halves(value * 2));
                (line("grid", (self.frame.left, y), (self.frame.right, y)))
                (words("tick", (self.frame.left - 6.0, y + 4.0), "end", &value.to_string()))
            }
            (self.sub_score("line hindfoot", |scored| scored.pirani.hindfoot()))
            (self.sub_score("line midfoot", |scored| scored.pirani.midfoot()))
            (self.sub_score("line total", |scored| scored.pirani.total()))
            @for scored in &self.foot.scores { (self.score_mark(scored)) }
            (self.score_ends())
        }
    }

    /// The last score in words at the end of its line, and what the two lines under it are.
    fn score_ends(&self) -> Markup {
        let Some(scored) = self.foot.last_pirani() else { return html! {} };
        let x = self.x(scored.on).max(self.x(self.outlook.course.as_of)) + 7.0;
        let pirani = &scored.pirani;
        let mut ends: Vec<(f64, &str, String)> = [
            ("end", pirani.total().map(|total| (total, format!("{total} of 6")))),
            ("end hindfoot", pirani.hindfoot().map(|part| (part, format!("hindfoot {part}")))),
            ("end midfoot", pirani.midfoot().map(|part| (part, format!("midfoot {part}")))),
        ]
        .into_iter()
        .filter_map(|(class, end)| end.map(|(halves, text)| (Self::score_y(halves), class, text)))
        .collect();
        spread(&mut ends);
        html! {
            @for (y, class, text) in &ends {
                @if !self.frame.narrow && self.fits(text, self.frame.width - x) {
                    (words(class, (x, y + 4.0), "start", text))
                }
            }
        }
    }

    fn score_mark(&self, scored: &Scored) -> Markup {
        if scored.pirani.is_empty() {
            return html! {};
        }
        let x = self.x(scored.on);
        let (says, shape) = match scored.pirani.total() {
            Some(total) => (
                format!(
                    "{}: Pirani {total} of 6, midfoot {}, hindfoot {}",
                    scored.on.words(),
                    part(scored.pirani.midfoot()),
                    part(scored.pirani.hindfoot())
                ),
                html! { circle class="point" cx=(num(x)) cy=(num(Self::score_y(total))) r="4" {} },
            ),
            None => (
                format!(
                    "{}: Pirani incomplete, {} of 6 signs",
                    scored.on.words(),
                    6 - scored.pirani.missing().count()
                ),
                sign((x, SCORE_TOP + SCORE_HEIGHT - 9.0), "?"),
            ),
        };
        mark(self.outlook.course.child, scored.entry, &says, &shape)
    }

    fn casts(&self) -> Markup {
        html! {
            @for cast in &self.foot.casts { (self.cast(cast)) }
        }
    }

    fn cast(&self, cast: &CastWorn) -> Markup {
        let place = (self.x(cast.on), MARKS);
        let shape = match cast.purpose {
            CastPurpose::Correction => triangle("cast", place, 5.0),
            CastPurpose::Holding => triangle("cast hollow", place, 5.0),
            CastPurpose::AfterTenotomy => rect("cast", (place.0 - 4.5, MARKS - 4.5), (9.0, 9.0)),
        };
        let says = match cast.off {
            Some((off, _)) => format!(
                "Cast {} ({}), {} to {}",
                cast.number,
                cast.purpose.words(),
                cast.on.words(),
                off.words()
            ),
            None => format!("Cast {} ({}), on since {}", cast.number, cast.purpose.words(), cast.on.words()),
        };
        mark(self.outlook.course.child, cast.entry, &says, &shape)
    }

    /// Problems, missed visits and relapses.
    fn odd_marks(&self) -> Markup {
        let course = &self.outlook.course;
        html! {
            @for problem in course.problems.iter().filter(|problem| problem.side.is_none_or(|side| side == self.foot.side)) {
                @let says = format!("{}: {}", problem.on.words(), problem.what.words());
                (mark(course.child, problem.entry, &says, &diamond("problem", (self.x(problem.on), ODD), 5.0)))
            }
            @for missed in course.appointments.iter().filter(|appointment| appointment.state == AppointmentState::Missed) {
                @let says = format!("{}: did not come", missed.for_day.words());
                (mark(course.child, missed.entry, &says, &sign((self.x(missed.for_day), ODD), "×")))
            }
            @for relapse in &self.foot.relapses {
                @let says = format!("{}: relapse noted", relapse.on.words());
                (mark(course.child, relapse.entry, &says, &sign((self.x(relapse.on), ODD), "R")))
            }
        }
    }

    fn tenotomies(&self, bottom: f64) -> Markup {
        html! {
            @for tenotomy in &self.foot.tenotomies {
                @let x = self.x(tenotomy.on);
                @let says = format!("{}: heel-cord tenotomy", tenotomy.on.words());
                (mark(self.outlook.course.child, tenotomy.entry, &says, &line("tenotomy", (x, BAND_TOP + BAND_HEIGHT), (x, bottom))))
                (seen("tenotomy-words", (x + 5.0, MOVE_TOP - 9.0), "start", "tenotomy"))
            }
        }
    }

    fn move_y(deg: i16) -> f64 {
        let deg = f64::from(deg.clamp(-60, 80));
        MOVE_TOP + MOVE_HEIGHT * (80.0 - deg) / 140.0
    }

    fn movement(&self) -> Markup {
        html! {
            (self.lane_name(MOVE_TOP, "Movement"))
            @for deg in [-40i16, 0, 40, 80] {
                @let y = Self::move_y(deg);
                (line("grid", (self.frame.left, y), (self.frame.right, y)))
                (words("tick", (self.frame.left - 6.0, y + 4.0), "end", &format!("{}°", deg).replace('-', "−")))
            }
            (self.move_line("abduction", |scored| scored.abduction_deg))
            (self.move_line("dorsiflexion", |scored| scored.dorsiflexion_deg))
        }
    }

    fn move_line(&self, name: &str, value: impl Fn(&Scored) -> Option<i16>) -> Markup {
        let measured: Vec<_> =
            self.foot.scores.iter().filter_map(|scored| Some((scored, value(scored)?))).collect();
        let points: Vec<_> =
            measured.iter().map(|(scored, deg)| (self.x(scored.on), Self::move_y(*deg))).collect();
        html! {
            (polyline(&format!("line {name}"), &points))
            @for ((scored, deg), (x, y)) in measured.iter().zip(&points) {
                @let says = format!("{}: {name} {}°", scored.on.words(), deg).replace('-', "−");
                (mark(self.outlook.course.child, scored.entry, &says, &html! {
                    circle class=(format!("dot {name}")) cx=(num(*x)) cy=(num(*y)) r="3" {}
                }))
            }
            @if let (Some((_, deg)), Some((x, y))) = (measured.last(), points.last()) {
                (self.move_end(name, *deg, (*x, *y)))
            }
        }
    }

    fn move_end(&self, name: &str, deg: i16, (x, y): (f64, f64)) -> Markup {
        let text = format!("{name} {deg}°").replace('-', "−");
        let after = x.max(self.x(self.outlook.course.as_of)) + 7.0;
        if !self.frame.narrow && self.fits(&text, self.frame.width - after) {
            return words(&format!("end {name}"), (after, y + 4.0), "start", &text);
        }
        words(&format!("end {name}"), (self.frame.right, y - 6.0), "end", &text)
    }

    fn wear_y(hours: f64) -> f64 {
        WEAR_TOP + WEAR_HEIGHT * (1.0 - hours.clamp(0.0, 24.0) / 24.0)
    }

    fn wear(&self) -> Markup {
        let course = &self.outlook.course;
        html! {
            (self.lane_name(WEAR_TOP, if self.frame.narrow { "Wear, hours a day" } else { "Wear, h a day" }))
            @for hours in [0u8, 12, 24] {
                @let y = Self::wear_y(hours.into());
                (line("grid", (self.frame.left, y), (self.frame.right, y)))
                (words("tick", (self.frame.left - 6.0, y + 4.0), "end", &hours.to_string()))
            }
            @for span in &course.wear {
                @let (kind, class) = match span.kind {
                    WearKind::Reported => ("reported by the family", "wear reported"),
                    WearKind::Logged => ("logged", "wear logged"),
                };
                @let (x, y) = (self.x(span.from), Self::wear_y(span.hours_per_day));
                @let says = format!("{} hours a day {kind}, {} to {}", span.hours_per_day, span.from.words(), span.to.words());
                @let size = ((self.x(span.to) - x - 1.5).max(1.5), WEAR_TOP + WEAR_HEIGHT - y);
                (mark(course.child, span.entry, &says, &rect(class, (x, y), size)))
            }
            @for spell in &course.braces {
                @if let Some(hours) = spell.hours_prescribed {
                    @let until = spell.until.map_or(course.as_of, |(until, _)| until);
                    @let y = Self::wear_y(hours.into());
                    (line("prescribed", (self.x(spell.from), y), (self.x(until), y)))
                }
            }
        }
    }

    fn today(&self, bottom: f64) -> Markup {
        let x = self.x(self.outlook.course.as_of);
        html! {
            (line("today", (x, BAND_TOP - 6.0), (x, bottom)))
            (words("today-words", (x, BAND_TOP - 11.0), "middle", &self.outlook.course.as_of.words()))
        }
    }
}

/// Pushes words apart that would lie on each other; the lowest keeps its place above the axis.
fn spread(ends: &mut [(f64, &str, String)]) {
    const APART: f64 = 15.0;
    ends.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut least = SCORE_TOP + SCORE_HEIGHT;
    for end in ends {
        end.0 = end.0.min(least);
        least = end.0 - APART;
    }
}

fn part(halves: Option<Halves>) -> String {
    halves.map_or_else(|| "incomplete".to_owned(), |halves| halves.to_string())
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
        Phase::WaitingForTenotomy => "waits",
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
