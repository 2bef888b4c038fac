#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod reference;
mod regression_reference;
mod survival_reference;
