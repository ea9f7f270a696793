//! A compiler for guitar lessons: one plain-text lesson in, a checked and printed handout out.

pub mod blocks;
pub mod ink;
pub mod lesson;
pub mod neck;
pub mod page;
pub mod proof;
pub mod theory;
