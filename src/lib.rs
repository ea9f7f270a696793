//! A compiler for guitar lessons: one plain-text lesson in, a checked and printed handout out.

pub mod ink;
pub mod neck;
pub mod theory;
