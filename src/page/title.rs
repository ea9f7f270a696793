//! The title block: what the lesson is called, who made it, and what holds in it.

use super::flow::{Flow, Leads, Manner, Room, artifact};
use super::galley::{Slip, TOGETHER};
use super::paragraph::{Dress, Passage};
use crate::blocks::Offer;
use crate::blocks::others::offers;
use crate::ink::{Path, Point, Pt, Role, Text, pt};
use crate::lesson::fence::Fence;
use crate::lesson::kind::Medium;
use crate::lesson::setting::Swing;
use crate::lesson::{Lesson, Setting};
use crate::neck::Tuning;
use crate::theory::{Key, Letter, Note};
use crate::words::paper::title as words;

/// What parts facts that stand on one line.
const BETWEEN: &str = "\u{a0}\u{a0}·\u{a0} ";

impl Flow<'_> {
    /// Sets the title block.
    pub fn title_block(&mut self, place: Room) {
        let header = &self.lesson.lesson.header;
        let look = self.template().title;
        if let Some(series) = &header.series {
            self.words(series, Role::Paragraph, Manner::ragged(look.series), place);
            self.galley.space(pt(2.0));
        }
        self.title_words(Manner::ragged(look.title), place);
        if let Some(subtitle) = &header.subtitle {
            self.words(subtitle, Role::Paragraph, Manner::ragged(look.subtitle), place);
        }
        self.galley.space(look.credits.size * 0.6);
        self.side_by_side(&credits(&self.lesson.lesson), Manner::ragged(look.credits), place);
        self.title_rule(place);
        self.side_by_side(&facts(&self.lesson.lesson), Manner::ragged(look.facts), place);
        self.title_remarks(place);
        self.galley.keep_whole(0);
        self.galley.hold(TOGETHER);
        self.galley.space(look.space_below);
    }

    /// Sets facts side by side with dots between them, each on one line as a whole where it can be.
    pub fn side_by_side(&mut self, facts: &[String], manner: Manner, place: Room) {
        if facts.is_empty() {
            return;
        }
        let (fonts, style) = (self.job.fonts, manner.type_.style());
        let dress = Dress::plain(style);
        let dot = Text::set(fonts, BETWEEN, style).width;
        let mut passage = Passage::default();
        let mut reached = Pt::ZERO;
        for fact in facts {
            let width = Text::set(fonts, fact, style).width;
            if reached > Pt::ZERO && reached + dot + width > place.width {
                passage.end_line(dress);
                reached = Pt::ZERO;
            } else if reached > Pt::ZERO {
                passage.push(BETWEEN, dress);
                reached += dot;
            }
            passage.push(fact, dress);
            reached += width;
        }
        let part = self.parts.add(Role::Paragraph, place.part);
        self.passage(&passage, part, &Leads::default(), manner, place);
    }

    fn title_rule(&mut self, place: Room) {
        let width = self.template().rules.thick;
        let (from, to) = (place.left, place.left + place.width);
        let rule = Path::line(Point::new(from, Pt::ZERO), Point::new(to, Pt::ZERO), width);
        self.galley.space(pt(6.0));
        self.galley.push(Slip { height: width, items: vec![artifact(rule)], ..Slip::default() });
        self.galley.space(pt(4.0));
    }
}

/// Who made the tune, who teaches it, and when.
fn credits(lesson: &Lesson) -> Vec<String> {
    let header = &lesson.header;
    let composer = header.composer.as_ref().map(|name| words::composer(name));
    let teacher = header.teacher.as_ref().map(|name| words::teacher(name));
    [composer, teacher, header.date.clone()].into_iter().flatten().collect()
}

/// What holds from the lesson's start. A tempo or meter that nobody gave is left out where nothing
/// in the lesson is counted by it.
fn facts(lesson: &Lesson) -> Vec<String> {
    let setting = &lesson.header.setting;
    let given = |key: &str| lesson.header.given.iter().any(|given| given == key);
    let is_counted =
        |fence: &Fence<'_>| fence.kind.medium == Medium::Handout && offers(fence, Offer::Bars);
    let timed = lesson.fences.iter().any(is_counted);
    let facts = [
        setting.key.map(|key| key.printed()),
        (timed || given("meter")).then(|| setting.meter.to_string()),
        given("tempo").then(|| setting.tempo.printed()),
        swing(setting.swing).map(str::to_owned),
        Some(tuning(&setting.instrument.tuning)),
        capo(setting),
        setting.left_handed.then(|| words::LEFT_HANDED.to_owned()),
    ];
    facts.into_iter().flatten().collect()
}

fn swing(swing: Swing) -> Option<&'static str> {
    match swing {
        Swing::None => None,
        Swing::Eighths => Some(words::SWUNG_EIGHTHS),
        Swing::Sixteenths => Some(words::SWUNG_SIXTEENTHS),
    }
}

/// The tuning by name where it has one; the open strings unless they are the usual ones.
pub fn tuning(tuning: &Tuning) -> String {
    let strings: Vec<String> = tuning.strings().iter().map(|open| open.note.printed()).collect();
    let strings = strings.join(" ");
    match tuning.name() {
        Some(name) if *tuning == Tuning::standard() => words::usual_tuning(name),
        Some(name) => words::named_tuning(name, &strings),
        None => words::tuning(&strings),
    }
}

/// The capo, and what then sounds: the key, or, where none is named, what an A chord becomes.
fn capo(setting: &Setting) -> Option<String> {
    let fret = setting.instrument.capo;
    if fret == 0 {
        return None;
    }
    let sounds = match setting.key {
        Some(key) => words::sounds_in(&key.raised(fret).printed()),
        None => {
            let a = Key::new(Note::new(Letter::A, 0), crate::theory::key::Mode::Major);
            words::a_chord_sounds_as(&a.raised(fret).tonic.printed())
        }
    };
    Some(words::capo(fret, &sounds))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::lesson::setting::Tempo;

    #[test]
    fn keys_that_sound_above_a_capo() {
        for (key, fret, sounds) in [
            ("A major", 2, "B major"),
            ("G major", 1, "A♭ major"),
            ("E minor", 3, "G minor"),
            ("D dorian", 5, "G dorian"),
            ("E phrygian dominant", 2, "F♯ phrygian dominant"),
            ("A minor pentatonic", 3, "C minor pentatonic"),
            ("D whole tone", 1, "E♭ whole tone"),
            ("C major", 6, "F♯ major"),
            // Six sharps or six flats: a flat key stays one.
            ("F major", 1, "G♭ major"),
            ("A minor", 12, "A minor"),
        ] {
            let key = Key::parse(key).unwrap();
            assert_eq!(key.raised(fret).printed(), sounds, "{key} at fret {fret}");
        }
    }

    #[test]
    fn tempos_are_note_values() {
        assert_eq!(Tempo { number: 92, dotted: false }.printed(), "♩ = 92");
        assert_eq!(Tempo { number: 60, dotted: true }.printed(), "♩. = 60");
    }

    #[test]
    fn tunings_are_named() {
        for (strings, printed) in [
            ("E A D G B E", "standard tuning"),
            ("D A D G B E", "tuning: drop D (D A D G B E)"),
            ("E2 A2 D3 G3 C4 F4", "tuning: all fourths (E A D G C F)"),
            ("C2 C3 C4", "tuning: C C C"),
        ] {
            assert_eq!(tuning(&Tuning::parse(strings).unwrap()), printed);
        }
    }
}
