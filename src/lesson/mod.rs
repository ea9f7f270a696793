//! The lesson as it is written: source with spans, header, prose, checked phrases, fenced blocks.

pub mod code_span;
mod depth;
mod entry;
pub mod exercise;
pub mod fence;
mod font;
pub mod fret_row;
pub mod guess;
pub mod header;
mod html;
pub mod kind;
pub mod letters;
pub mod limits;
mod markdown;
pub mod numbers;
pub mod phrase;
mod picture;
pub mod prose;
pub mod running_time;
pub mod setting;
pub mod sound;
pub mod speech;
pub mod string_label;
pub mod switches;
pub mod symbols;
#[cfg(test)]
pub mod testing;
pub mod times;
pub mod world;

pub use entry::{KnownKey, known_keys};
pub use kind::Kind;
pub use setting::Setting;
pub use sound::Sound;
pub use world::World;

use crate::findings::{Findings, Source};
use crate::ink::OwnFont;
use header::Header;
use kind::Kinds;
use letters::Letters;
use prose::{Node, PhraseText, PictureLink};
use std::collections::BTreeMap;
use std::sync::Arc;
use times::Measured;

/// A lesson that has been read: a whole tree even where there are faults.
#[derive(Debug)]
pub struct Lesson<'a> {
    /// The text that it was read from.
    pub source: &'a Source,
    /// The header.
    pub header: Header,
    /// The prose, with the places of the music.
    pub nodes: Vec<Node>,
    /// The blocks of music in the order they stand.
    pub fences: Vec<fence::Fence<'a>>,
    /// The blocks that have names: each name in small letters with the index of its fence, the
    /// first where a name is given twice.
    pub names: BTreeMap<String, usize>,
    /// The checked phrases in the order they stand.
    pub phrases: Vec<PhraseAt>,
    /// The pictures in the order they stand.
    pub pictures: Vec<PictureLink>,
    /// The letters that no face of the house has.
    pub letters: Letters,
    /// The picture in its title block, if one is named.
    pub logo: Option<PictureLink>,
    /// The font that has them, if one is named.
    pub font: Option<OwnFont>,
    /// What the script's sections took when it was filmed, where the author has measured it.
    pub times: Vec<Measured>,
}

/// A checked phrase and what holds where it stands.
#[derive(Debug, Clone)]
pub struct PhraseAt {
    /// Its text.
    pub text: PhraseText,
    /// The values in force.
    pub setting: Arc<Setting>,
}

impl<'a> Lesson<'a> {
    /// A lesson that has a header and nothing else.
    pub fn of_header(source: &'a Source, header: Header) -> Lesson<'a> {
        Lesson {
            source,
            header,
            nodes: Vec::new(),
            fences: Vec::new(),
            names: BTreeMap::new(),
            phrases: Vec::new(),
            pictures: Vec::new(),
            letters: Letters::default(),
            font: None,
            logo: None,
            times: Vec::new(),
        }
    }

    /// Mirrors every diagram for a left-handed player, whatever the header says.
    pub fn play_left_handed(&mut self) {
        self.header.setting.left_handed = true;
        self.fences.iter_mut().for_each(|fence| fence.setting.left_handed = true);
    }

    /// The index of the block that has a name, wherever it stands; case is ignored.
    pub fn block(&self, name: &str) -> Option<usize> {
        self.names.get(&name.to_lowercase()).copied()
    }
}

/// Reads a lesson: a whole tree whatever the text is, and a finding for each thing in it that can't
/// be read. `kinds` are the kinds of block that there are; pictures, fonts and measured times come from
/// the lesson's folder.
pub fn read<'a>(
    source: &'a Source,
    kinds: &[Kind],
    folder: &dyn World,
    findings: &mut Findings,
) -> Lesson<'a> {
    source.trouble.iter().for_each(|trouble| findings.add((**trouble).clone()));
    let (header, start) = header::read(source, findings);
    let mut letters = letters::Gathering::default();
    letters.header(source, start, &header.title);
    let within = (Kinds(kinds), folder, &mut letters);
    let body = markdown::read(source, start, &header.setting, within, findings);
    let mut lesson = Lesson {
        source,
        header,
        nodes: body.nodes,
        fences: body.fences,
        names: body.names,
        phrases: body.phrases,
        pictures: body.pictures,
        letters: letters.finish(),
        font: None,
        logo: None,
        times: Vec::new(),
    };
    lesson.take_header_font(folder, findings);
    if let Some(logo) = lesson.header.logo.clone() {
        lesson.take_logo(&logo.value, logo.span, folder, findings);
    }
    lesson.take_times(folder, findings);
    lesson
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
