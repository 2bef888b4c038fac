#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod agreement_reference;
mod reference;
mod regression_reference;
mod survival_reference;
