//! The student's page: what it plays, as data for the strings that it carries ([`sound`]).

pub mod sound;
