//! The program: its commands, the watch and the live page.

pub mod commands;
pub mod preview;
pub mod watch;
