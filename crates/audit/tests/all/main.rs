#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod bad_input;
mod by_hand;
mod made;
mod rows;
mod simulated;
mod slow;
mod small;
mod texts;
