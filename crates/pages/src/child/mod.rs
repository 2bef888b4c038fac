//! The page of one child.
