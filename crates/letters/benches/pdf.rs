//! The time to make a family plan as a PDF: the first of the process, later ones, and a thousand in one file.
//!
//! Targets: the first under 150 ms, later ones under 30 ms, a thousand in one file at 20 a second or more.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "../tests/all/children.rs"]
#[allow(dead_code)]
mod children;
#[path = "../../guidance/tests/all/sheet.rs"]
mod sheet;
#[allow(dead_code)]
#[path = "../../guidance/tests/all/story.rs"]
mod story;

use children::{BRACE, CASTS, with};
use letters::{
    FamilyDocument, Language, LetterLanguage, PlanChoices, Wording, family_plan,
    pdf::{PaperSize, pdf, pdf_of_many},
};
use std::{hint::black_box, time::Instant};

/// Different children: a name of its own for each.
fn plans(count: usize) -> Vec<FamilyDocument> {
    let plan = |n: usize| {
        let (rows, on) = if n.is_multiple_of(2) { (CASTS, "2025-02-10") } else { (BRACE, "2024-11-11") };
        let rows = rows.replace("Solveig", &format!("Solveig {n}")).replace("Tarek", &format!("Tarek {n}"));
        with(&rows, on, |facts| family_plan(&facts.unwrap(), PlanChoices::default()))
    };
    (0..count).map(plan).collect()
}

/// Milliseconds, and the size of the file.
fn timed(work: impl FnOnce() -> Vec<u8>) -> (f64, usize) {
    let begin = Instant::now();
    let bytes = black_box(work());
    (begin.elapsed().as_secs_f64() * 1e3, bytes.len())
}

fn main() {
    let many = std::env::var("PLANS").ok().and_then(|count| count.parse().ok()).unwrap_or(1000);
    let day = "2025-02-10".parse().unwrap();
    let all = plans(many.max(101));
    // The messages are read by every document, also by pages.
    Language::English.text(&all[0].title).unwrap();
    for language in [Language::English, Language::Arabic] {
        let make = |document: &FamilyDocument| timed(|| pdf(document, language, PaperSize::A4, day).unwrap());
        let (first, bytes) = make(&all[0]);
        let mut later: Vec<f64> = all[1..=100].iter().map(|document| make(document).0).collect();
        later.sort_by(f64::total_cmp);
        println!(
            "family plan, {}: the first {first:.1} ms ({bytes} bytes), then median {:.1} ms, slowest {:.1} ms",
            language.tag(),
            later[50],
            later[99]
        );
    }
    let english = Wording::built_in(Language::English);
    let documents: Vec<_> = all[..many].iter().map(|document| (document, &english)).collect();
    let (ms, bytes) = timed(|| pdf_of_many(&documents, PaperSize::A4, day).unwrap());
    println!(
        "{many} plans in one file: {:.1} s, {:.0} a second, {bytes} bytes",
        ms / 1e3,
        many as f64 / ms * 1e3
    );
}
