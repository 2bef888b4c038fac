//! Invented children, and every page with invented data, for the tests and for the gallery.

use forecast::{
    SeenChild,
    foot::{FootForecast, Forecaster},
    learning::ClinicPosterior,
    natural_history::Parameters,
};
use guidance::Outlook;
use maud::Markup;
use pages::{
    Frame, Here,
    fields::{Filled, visit as names},
};
use record::{Day, Roles, Side, Sign};

mod amend;
mod brace_fitting;
mod capacity;
mod child_pages;
mod children;
mod devices;
mod documents;
mod encryption;
mod forms;
mod import;
mod letters;
mod lists;
mod people;
mod photographs;
pub mod practice;
mod program;
mod protection;
pub mod results;
mod second_factor;
mod settings;
mod siblings;
mod tablet;
mod tenotomy;
mod videos;
mod visits;
mod wear;

pub use children::{Invented, in_brace, in_casts, just_registered, overdue};

pub fn day(text: &str) -> Day {
    text.parse().unwrap()
}

/// The invented today, a Tuesday.
pub fn today() -> Day {
    day("2024-05-14")
}

pub fn frame(here: Here) -> Frame {
    Frame {
        user: Some("Hanne Kvist".into()),
        rights: Roles::FIRST.rights(),
        today: today(),
        csrf: "token-of-the-form".into(),
        clinic_name: "Harbour Road clinic".into(),
        here,
        message: None,
        invented: true,
        notices: pages::FrameNotices::default(),
        person: "0190a000-0000-7000-8000-0000000000aa".into(),
        drafts: 0,
        restored: Vec::new(),
        standing: Vec::new(),
        cannot_encrypt: false,
        language: pages::PageLanguage::English,
        mark: Some("1a2b3c4d at entry 12840".into()),
    }
}

/// Every page, by name. `given` is the given name of the child on them.
pub fn pages_of(given: &str) -> Vec<(&'static str, Markup)> {
    let mut all = program::signed_out();
    all.extend(encryption::restores());
    all.extend(lists::lists(given));
    all.extend(forms::forms(given));
    all.extend(visits::visits(given));
    all.extend(child_pages::children(given));
    all.extend(documents::every(given));
    all.extend(photographs::every(given));
    all.extend(videos::every(given));
    all.extend(child_pages::entries(given));
    all.extend(amend::pages(given));
    all.extend(import::pages_of_import());
    all.extend(capacity::pages());
    all.extend(settings::pages());
    all.extend(letters::pages(given));
    all.extend(wear::pages());
    all.extend(people::pages());
    all.extend(tenotomy::pages(given));
    all.extend(protection::pages(given));
    all.extend(second_factor::pages());
    all.extend(tablet::pages(given));
    all.extend(brace_fitting::pages());
    all.extend(results::pages());
    all.extend(practice::pages(given));
    all.extend(devices::pages(given));
    all.extend(visits::second_scores(given));
    all.extend(program::request_errors());
    all.extend(program::manual());
    all
}

/// Every page, with an ordinary given name.
#[allow(dead_code, reason = "the gallery and the tests each use a part of this file")]
pub fn every_page() -> Vec<(&'static str, Markup)> {
    pages_of("Ilse")
}

/// A visit half entered: the right foot complete, the left with four of six signs.
pub fn half_entered() -> Filled {
    let mut filled = Filled::default();
    for (n, sign) in Sign::ALL.into_iter().enumerate() {
        filled = filled.with(names::sign(Side::Right, sign), ["0.5", "0.5", "0.5", "1", "1", "0.5"][n]);
        filled = filled.with(names::sign(Side::Left, sign), ["0", "0", "0", "1", "", ""][n]);
    }
    filled
        .with(names::abduction_deg(Side::Right), "45")
        .with(names::cast_off(Side::Right), "planned")
        .with(names::cast(Side::Right), "correction")
        .with(names::cast_abduction_deg(Side::Right), "99")
        .wrong(
            names::cast_abduction_deg(Side::Right),
            "abduction 99° cannot be right: -60 to 90° is expected.",
        )
}

/// The forecast of a child from published feet alone.
pub fn likely(outlook: &Outlook) -> Vec<FootForecast> {
    let published = ClinicPosterior::published(&Parameters::published());
    let seen = SeenChild::of(&outlook.course).child;
    Forecaster::new(&published).of(&seen, outlook.course.as_of.number())
}
