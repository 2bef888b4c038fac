//! The part on the pictures: each mark as the picture draws it, with its meaning.

use crate::{
    ink::{self, Ink},
    picture::marks::{self, Held, Series},
    results,
};
use course::{Phase, WearKind};
use maud::{Markup, html};
use record::CastPurpose;

/// A mark of the picture: how it is drawn, its name, its meaning.
struct Sample(fn(&mut Ink<'_>), &'static str, &'static str);

const WAVE: [(f64, f64); 4] = [(4.0, 7.0), (20.0, 12.0), (38.0, 16.0), (56.0, 22.0)];
const MIDDLE: (f64, f64) = (30.0, 14.0);
const ACROSS: [(f64, f64); 2] = [(4.0, 14.0), (56.0, 14.0)];

const SCORES: [Sample; 6] = [
    Sample(|ink| marks::series(ink, Series::Total, &WAVE), "Solid line", "Pirani total, 0 to 6; 6 is worst."),
    Sample(
        |ink| marks::series(ink, Series::Hindfoot, &WAVE),
        "Dashed line",
        "Hindfoot contracture score, 0 to 3.",
    ),
    Sample(
        |ink| marks::series(ink, Series::Midfoot, &WAVE),
        "Dotted line",
        "Midfoot contracture score, 0 to 3.",
    ),
    Sample(|ink| marks::score(ink, MIDDLE), "Ring", "A scored visit, at its total."),
    Sample(
        |ink| marks::incomplete(ink, MIDDLE),
        "Question mark",
        "A score with a sign missing. It has no total and is never drawn as one.",
    ),
    Sample(|ink| marks::grid(ink, ACROSS[0], ACROSS[1]), "Faint line", "The scale: a value or an age."),
];

const TREATMENT: [Sample; 8] = [
    Sample(
        |ink| marks::cast(ink, CastPurpose::Correction, MIDDLE),
        "Filled triangle",
        "A cast for correction.",
    ),
    Sample(
        |ink| marks::cast(ink, CastPurpose::Holding, MIDDLE),
        "Hollow triangle",
        "A holding cast: it holds a corrected foot while something else is awaited.",
    ),
    Sample(
        |ink| marks::cast(ink, CastPurpose::AfterTenotomy, MIDDLE),
        "Square",
        "The cast after a tenotomy.",
    ),
    Sample(
        |ink| marks::tenotomy(ink, (30.0, 2.0), (30.0, 26.0)),
        "Upright line marked “tenotomy”",
        "A heel-cord tenotomy was done on this day.",
    ),
    Sample(|ink| marks::problem(ink, MIDDLE), "Diamond", "A problem with a cast or a brace."),
    Sample(|ink| marks::missed(ink, MIDDLE), "Cross", "An appointment to which the child did not come."),
    Sample(|ink| marks::relapse(ink, MIDDLE), "R", "A relapse was noted."),
    Sample(
        |ink| marks::planned(ink, (6.0, 4.0), (48.0, 20.0)),
        "Dashed frame",
        "The days between which the next step is due, with its name.",
    ),
];

const MOVEMENT: [Sample; 5] = [
    Sample(
        |ink| marks::series(ink, Series::Abduction, &WAVE),
        "Solid line under “Movement”",
        "Abduction in degrees; below 0° the foot lies turned in.",
    ),
    Sample(|ink| marks::angle(ink, Series::Abduction, MIDDLE), "Small ring on it", "Abduction as measured."),
    Sample(
        |ink| marks::series(ink, Series::Dorsiflexion, &WAVE),
        "Dashed line under “Movement”",
        "Dorsiflexion in degrees; below 0° the foot stays short of the right angle.",
    ),
    Sample(
        |ink| marks::angle(ink, Series::Dorsiflexion, MIDDLE),
        "Small ring on it",
        "Dorsiflexion as measured.",
    ),
    Sample(
        |ink| marks::angle_on_photograph(ink, MIDDLE),
        "Hollow diamond, dashed",
        "An angle measured on a photograph, with its name and its error in its description. It belongs to no line.",
    ),
];

const WEAR: [Sample; 3] = [
    Sample(
        |ink| marks::worn(ink, WearKind::Reported, (8.0, 8.0), (44.0, 18.0)),
        "Bar",
        "Hours a day in the brace, as the family reported.",
    ),
    Sample(
        |ink| marks::worn(ink, WearKind::Logged, (8.0, 8.0), (44.0, 18.0)),
        "Bar in blue",
        "Hours a day in the brace, from a logger. The two are never mixed; the name of a bar says which it is.",
    ),
    Sample(|ink| marks::prescribed(ink, ACROSS[0], ACROSS[1]), "Dashed level line", "The hours prescribed."),
];

const AHEAD: [Sample; 6] = [
    Sample(
        |ink| marks::today(ink, (30.0, 2.0), (30.0, 26.0)),
        "Upright line with a date",
        "The day for which the picture is drawn. Right of it nothing has happened yet.",
    ),
    Sample(
        |ink| marks::fan(ink, Held::NineInTen, &FAN),
        "Light band",
        "Forecast: nine in ten similar feet stay within it.",
    ),
    Sample(
        |ink| marks::fan(ink, Held::Half, &FAN),
        "Darker band",
        "Forecast: about half of similar feet stay within it.",
    ),
    Sample(
        |ink| marks::series(ink, Series::Ahead, &WAVE),
        "Dashed line in the band",
        "Forecast: the mean of similar feet.",
    ),
    Sample(
        |ink| marks::likely(ink, Held::NineInTen, ACROSS[0], ACROSS[1]),
        "Thin dashed line with a name",
        "The days between which that step lies for nine in ten similar feet.",
    ),
    Sample(
        |ink| marks::likely(ink, Held::Half, (18.0, 14.0), (42.0, 14.0)),
        "Thick line with a name",
        "The same for about half of them.",
    ),
];

/// A band that widens.
const FAN: [(f64, f64); 5] = [(4.0, 8.0), (30.0, 8.0), (56.0, 14.0), (56.0, 26.0), (30.0, 20.0)];

fn sample(draw: impl FnOnce(&mut Ink<'_>)) -> Markup {
    html! { svg class="picture sample" viewBox="0 0 60 28" aria-hidden="true" { (ink::markup(draw)) } }
}

fn group(anchor: &str, heading: &str, samples: &[Sample]) -> Markup {
    html! {
        section id=(anchor) aria-labelledby={ (anchor) "-head" } {
            h2 id={ (anchor) "-head" } { (heading) }
            ul.help-marks { @for Sample(draw, name, meaning) in samples {
                li { (sample(draw)) span { strong { (name) } ": " (meaning) } }
            } }
        }
    }
}

/// What a band of a phase means.
const fn phase_meaning(phase: Phase) -> &'static str {
    match phase {
        Phase::Referred => "from the referral to the first cast",
        Phase::InCorrection => {
            "casts for correction; the number of casts is written in the band, and the number of the course if it is not the first"
        }
        Phase::WaitingForTenotomy => "a tenotomy is booked and not yet done",
        Phase::TenotomyCast => "in the cast after a tenotomy, or just out of it, before the brace",
        Phase::FullTimeBracing => "the brace day and night",
        Phase::NightTimeBracing => "the brace at night and for naps",
        Phase::AfterBracing => "followed without a brace",
        Phase::AfterSurgery => "after surgery other than a tenotomy, until the next cast or brace",
        Phase::Discharged => "treatment here has ended",
        Phase::Transferred => "another clinic continues the treatment",
        Phase::LostToFollowUp => "declared lost to follow-up",
        Phase::Died => "the child died",
    }
}

/// The page's contents.
pub(super) fn body() -> Markup {
    html! {
        section id="course" aria-labelledby="course-head" {
            h2 id="course-head" { "The course picture" }
            p { "The picture on a child's page shows one foot along the child's age. Age runs to the right on a stretched scale, on which weekly casts and years of bracing are both visible. Every mark is a link to its entry, and “Data as a table” below the picture gives the same in figures." }
            p { "Nothing rests on colour alone: what differs in colour also differs in dash, shape or words." }
        }
        section id="phases" aria-labelledby="phases-head" {
            h2 id="phases-head" { "Bands at the top: phases" }
            ul.help-marks { @for phase in Phase::ALL {
                li { (sample(|ink| marks::phase(ink, phase, (4.0, 4.0), (52.0, 20.0)))) span { strong { (crate::words::capital(phase.words())) } ": " (phase_meaning(phase)) "." } }
            } }
            p.hint { "The name is written in the band where there is room, otherwise a short form of it; pointing at the band shows the name and the days." }
        }
        (group("scores", "Pirani score", &SCORES))
        (group("treatment", "Casts, tenotomy and events", &TREATMENT))
        (group("movement", "Movement", &MOVEMENT))
        (group("worn", "Wear", &WEAR))
        (group("ahead", "Today and what is likely", &AHEAD))
        p { "A forecast says what is likely for a foot as of that day; it is not a decision. The band ends where fewer than one in ten similar feet are still in casts." }
        section id="small-pictures" aria-labelledby="small-pictures-head" {
            h2 id="small-pictures-head" { "The small pictures of results" }
            ul.help-marks { @for (drawn, meaning) in results::picture::samples() {
                li { svg class="plot sample" viewBox="0 0 60 28" aria-hidden="true" { (drawn) } span { (meaning) } }
            } }
            p.hint { "The numbers are written beside each small picture. The large charts carry their own keys." }
        }
    }
}
