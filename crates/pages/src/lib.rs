//! pages
