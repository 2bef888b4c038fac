#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod bad_input;
mod by_hand;
mod calibration;
mod cohorts;
mod elsewhere;
mod families;
mod losses;
mod made;
mod raters;
mod report;
mod rows;
mod simulated;
mod slow;
mod small;
mod texts;
mod verdict;
mod watch;
mod written;
