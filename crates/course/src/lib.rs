//! course
