#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod reference;
mod survival_reference;
