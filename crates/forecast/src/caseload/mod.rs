//! The simulated caseload of a clinic.
