//! Our own words, on paper and on the screen: how numbers and lists are told, what we print
//! beside the author's words, what theory's terms are called, how musical names are said.

pub mod counting;
pub mod help;
pub mod kinds;
pub mod lang;
pub mod paper;
pub mod said;
pub mod terms;

pub use counting::{authored, capital, counted, either, listed, numbered, ordinal, with_article};
pub use lang::Lang;

#[cfg(test)]
mod function_tests;
