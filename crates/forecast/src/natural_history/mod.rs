//! The generative model of the course of a foot.
