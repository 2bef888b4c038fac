//! Tests of guidance: one binary, a module per topic.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod anaesthetic;
mod any_story;
mod attention;
mod before_tenotomy;
mod cases;
mod child_actions;
mod contradictions;
mod end_points;
mod fitting;
mod growth_world;
mod protocol;
mod readiness;
mod relapse;
mod sheet;
mod steps;
mod story;
