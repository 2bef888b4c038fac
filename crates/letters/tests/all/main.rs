//! Documents for families: their facts, their words, their pages.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "../../../guidance/tests/all/sheet.rs"]
mod sheet;
#[allow(dead_code)]
#[path = "../../../guidance/tests/all/story.rs"]
mod story;

mod children;
mod colleagues;
mod diary;
mod documents;
mod languages;
mod messages;
mod own_texts;
mod pdf;
mod reading_age;
mod refusals;
