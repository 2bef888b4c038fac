#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod agreement_reference;
mod by_hand;
mod clustered_incidence;
mod gray;
mod hidden_markov_reference;
mod laney;
mod python_reference;
mod reference;
mod regression_reference;
mod slow;
mod survival_reference;
mod within_subject_reference;
