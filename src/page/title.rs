//! The title block: what the lesson is called, who made it, and what holds in it.

use super::asides::{Aside, Folded};
use super::flow::{Flow, Leads, Manner, Room, artifact};
use super::galley::{Slip, TOGETHER};
use super::inline::baseline;
use super::paragraph::{Dress, Passage};
use crate::blocks::Offer;
use crate::blocks::others::offers;
use crate::ink::{Group, Item, Label, Path, Picture, Point, Pt, Role, Text, pt};
use crate::lesson::fence::Fence;
use crate::lesson::kind::Medium;
use crate::lesson::setting::Swing;
use crate::lesson::{Lesson, Setting};
use crate::neck::Tuning;
use crate::theory::{Key, Letter, Names, Note};
use crate::words::Lang;
use crate::words::paper::title as words;

/// What parts facts that stand on one line.
const BETWEEN: &str = "\u{a0}\u{a0}·\u{a0} ";
/// How many lines of the facts a figure that follows soon is moved down for; chosen by eye: a little more white
/// beneath the first words is better than facts above them.
const FACTS_SLACK: f32 = 3.0;

/// How much of its line the pupil's name takes; chosen by eye.
const NAME_SHARE: f32 = 0.62;
/// A logo is no higher, and takes no more of the title's width: restraint (looks).
const LOGO_HEIGHT: Pt = pt(51.0);
const LOGO_SHARE: f32 = 0.3;

/// Something that holds in the lesson, or that is to be known of it.
pub struct Fact {
    /// What it is called beside the text, in English.
    pub label: Option<&'static str>,
    /// What it is.
    pub value: String,
    /// Both, as they stand on a line with others.
    pub line: String,
}

impl Fact {
    fn new(label: &'static str, value: String) -> Fact {
        Fact { label: Some(label), line: value.clone(), value }
    }
}

impl Flow<'_> {
    /// Sets the title block, over both columns; what holds in the lesson stands beside what comes first.
    pub fn title_block(&mut self, place: Room) {
        let header = &self.lesson.lesson.header;
        let look = self.template().title;
        let whole = place.whole();
        if look.name_line {
            self.name_line(whole);
        }
        let (from, logo) = (self.galley.next(), self.logo(whole));
        let taken = logo.as_ref().map_or(Pt::ZERO, |logo| logo.width + look.title.size);
        let beside = Room { width: whole.width - taken, ..whole };
        if let Some(series) = &header.series {
            self.words(series, Role::Paragraph, Manner::balanced(look.series), beside);
            self.galley.space(pt(2.0));
        }
        self.words(&header.title, Role::Heading(1), Manner::balanced(look.title), beside);
        if let Some(subtitle) = &header.subtitle {
            self.words(subtitle, Role::Paragraph, Manner::balanced(look.subtitle), beside);
        }
        self.set_logo(logo, from, whole);
        let facts = if look.setting { facts(&self.lesson.lesson) } else { Vec::new() };
        let credits = credits(&self.lesson.lesson);
        let lines = |facts: &[Fact]| facts.iter().map(|fact| fact.line.clone()).collect::<Vec<_>>();
        let has_side = self.job.side().is_some();
        if !has_side {
            self.galley.space(look.credits.size * 0.6);
            self.side_by_side(&lines(&credits), Manner::ragged(look.credits), whole);
        }
        self.title_rule(whole);
        if !has_side {
            self.side_by_side(&lines(&facts), Manner::ragged(look.facts), whole);
        }
        let after_rule = self.galley.next();
        self.title_remarks(place);
        self.galley.keep_whole(0);
        self.galley.hold(TOGETHER);
        self.galley.space(look.space_below);
        if has_side {
            let all: Vec<Fact> = facts.into_iter().chain(credits).collect();
            let entry = |fact: &Fact| self.entry(fact.label, &fact.value, place);
            let entries = all.iter().map(entry).collect();
            let folded = Folded::Facts(lines(&all), Manner::ragged(look.facts));
            let (anchor, fold, place) = (self.galley.next(), after_rule, whole);
            self.aside(Aside { anchor, fold, slack: FACTS_SLACK, entries, folded, place });
        }
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

    /// A line for the pupil's name and one for the date.
    fn name_line(&mut self, place: Room) {
        let (fonts, look) = (self.job.fonts, self.template().title.facts);
        let part = self.parts.add(Role::Paragraph, place.part);
        let y = baseline(look.size, look.leading);
        let mut slip =
            Slip { height: look.leading, baseline: y, reach: place.right(), ..Slip::default() };
        let middle = place.left + place.width * NAME_SHARE;
        let lines =
            [(words::NAME, place.left, middle - look.size), (words::DATE, middle, place.right())];
        for (word, from, to) in lines {
            let word = Text::set(fonts, &format!("{} ", self.lang().said(word)), look.style());
            let at = Point::new(from + word.width + look.size * 0.3, y + look.size * 0.15);
            let line = Path::line(at, Point::new(to, at.y), self.rules().0);
            slip.items.push(artifact(line));
            let items = vec![Item::Text(Point::default(), word)];
            let (offset, label) = (Point::new(from, y), Label::Part(part));
            slip.items.push(Item::Group(Group { offset, label, items }));
        }
        self.galley.push(slip);
        self.galley.space(look.leading * 1.5);
    }

    /// The logo as it is printed.
    fn logo(&self, place: Room) -> Option<Picture> {
        let raster = self.lesson.lesson.logo.as_ref()?.picture.as_ref()?;
        Some(raster.printed(place.width * LOGO_SHARE, LOGO_HEIGHT))
    }

    /// Sets the logo at the right of the title, whose first slip has an index, and leaves it its room.
    fn set_logo(&mut self, logo: Option<Picture>, from: usize, place: Room) {
        let Some(logo) = logo else { return };
        let teacher = self.lesson.lesson.header.teacher.as_deref();
        let logo_words = words::logo(teacher);
        let logo_words = self.lang().said(&logo_words);
        let part = self.parts.add_with_words(Role::Figure, place.part, &logo_words);
        let high = self.galley.slips.iter().skip(from);
        let high: Pt = high
            .enumerate()
            .map(|(index, slip)| slip.height + if index > 0 { slip.space } else { Pt::ZERO })
            .sum();
        let missing = logo.height - high;
        let offset = Point::new(place.right() - logo.width, Pt::ZERO);
        let items = vec![Item::Picture(Point::default(), logo)];
        let group = Group { offset, label: Label::Part(part), items };
        if let Some(first) = self.galley.slips.get_mut(from) {
            first.items.push(Item::Group(group));
        }
        if let Some(last) = self.galley.slips.last_mut() {
            last.height += missing.max(Pt::ZERO);
        }
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
pub fn credits(lesson: &Lesson) -> Vec<Fact> {
    let header = &lesson.header;
    let named = |name: &Option<String>, label, line: fn(&str) -> String| {
        let name = name.as_ref()?;
        let line = header.lang.said(&line(name)).into_owned();
        Some(Fact { line, ..Fact::new(label, name.clone()) })
    };
    let composer = named(&header.composer, words::MUSIC, words::composer);
    let teacher = named(&header.teacher, words::LESSON, words::teacher);
    let address = header.address.as_ref().map(|address| Fact {
        label: None,
        line: address.clone(),
        value: address.clone(),
    });
    let date = header.date.clone().map(|date| Fact::new(words::DATE, date));
    [composer, teacher, address, date].into_iter().flatten().collect()
}

/// Whom the lesson is for, which stands on screens.
pub fn level(lesson: &Lesson) -> Option<Fact> {
    lesson.header.level.clone().map(|level| Fact::new(words::LEVEL, level))
}

/// What holds from the lesson's start. A tempo or meter that nobody gave is left out where nothing
/// in the lesson is counted by it.
pub fn facts(lesson: &Lesson) -> Vec<Fact> {
    let setting = &lesson.header.setting;
    let given = |key: &str| lesson.header.given.iter().any(|given| given == key);
    let is_counted =
        |fence: &Fence<'_>| fence.kind.medium == Medium::Handout && offers(fence, Offer::Bars);
    let timed = lesson.fences.iter().any(is_counted);
    let strings = &setting.instrument.tuning;
    let said = |words: String| lesson.header.lang.said(&words).into_owned();
    let facts = [
        setting.key.map(|key| Fact::new(words::KEY, key.printed())),
        (timed || given("meter")).then(|| Fact::new(words::METER, setting.meter.to_string())),
        given("tempo").then(|| Fact::new(words::TEMPO, setting.tempo.printed())),
        swing(setting.swing).map(|swing| Fact::new(words::FEEL, swing.to_owned())),
        Some(Fact { line: tuning(strings), ..Fact::new(words::TUNING, tuning_alone(strings)) }),
        capo(setting, lesson.header.lang),
        (setting.names == Names::German).then(|| Fact {
            line: words::GERMAN_NAMES.to_owned(),
            ..Fact::new(words::NAMES, words::GERMAN.to_owned())
        }),
        setting.left_handed.then(|| Fact {
            line: words::LEFT_HANDED.to_owned(),
            ..Fact::new(words::HAND, words::LEFT.to_owned())
        }),
    ];
    let in_its_language =
        |fact: Fact| Fact { value: said(fact.value), line: said(fact.line), ..fact };
    facts.into_iter().flatten().map(in_its_language).collect()
}

fn swing(swing: Swing) -> Option<&'static str> {
    match swing {
        Swing::None => None,
        Swing::Eighths => Some(words::SWUNG_EIGHTHS),
        Swing::Sixteenths => Some(words::SWUNG_SIXTEENTHS),
    }
}

/// How many open strings stand on one line of the side column.
const HELD_STRINGS: usize = 6;

/// The tuning as it stands behind its label: its name, and the open strings unless they are the usual ones.
fn tuning_alone(tuning: &Tuning) -> String {
    let strings: Vec<String> = tuning.strings().iter().map(|open| open.note.printed()).collect();
    // A line of the side column holds so many, and what is read string by string isn't parted.
    let between = if strings.len() <= HELD_STRINGS { "\u{a0}" } else { " " };
    let strings = strings.join(between);
    match tuning.name() {
        Some(name) if *tuning == Tuning::standard() => name.to_owned(),
        Some(name) => format!("{name} ({strings})"),
        None => strings,
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
fn capo(setting: &Setting, lang: Lang) -> Option<Fact> {
    let fret = setting.instrument.capo;
    if fret == 0 {
        return None;
    }
    let sounds = match setting.key {
        Some(key) => {
            let sounding = key.raised(fret).printed();
            words::sounds_in(&lang.said(&sounding).replacen(' ', "\u{a0}", 1))
        }
        None => {
            let a = Note::new(Letter::A, 0).called(setting.names);
            let a = Key::new(a, crate::theory::key::Mode::Major);
            words::a_chord_sounds_as(&a.raised(fret).tonic.printed())
        }
    };
    let line = words::capo(fret, &sounds);
    Some(Fact { line, ..Fact::new(words::CAPO, words::capo_alone(fret, &sounds)) })
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
