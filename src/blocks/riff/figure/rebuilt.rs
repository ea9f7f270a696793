//! Nothing that was read is missing from the figure: what each riff says is rebuilt from what is drawn
//! of it, its words and signs, and compared with what the reader read.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::float_cmp)]

use super::super::model::{Event, Form, Joint, Note, Pick, Riff, Slide, Sound};
use super::scale::{Scale, Weight};
use super::signs;
use super::tests::{desk_of, each_item, figure, look};
use super::{chords, strokes};
use crate::blocks::Music;
use crate::blocks::signs::BarLine;
use crate::checks::elaborate;
use crate::findings::Findings;
use crate::findings::Source;
use crate::findings::rules::RULES;
use crate::ink::{Drawing, Face, Fonts, Path, Point, Pt, Segment, Text, pt};
use crate::lesson;
use crate::lesson::folder::MemoryFolder;
use std::collections::BTreeMap;
use std::fs;

/// What a riff says, by what says it: the numbers on each string, the counts, the chords …
type Said = BTreeMap<String, Vec<String>>;

const GAP: f32 = 7.6;
/// So wide that every riff is one system.
const WIDE: f32 = 200_000.0;
const NARROW: f32 = 300.0;

fn say(said: &mut Said, what: impl Into<String>, words: impl Into<String>) {
    said.entry(what.into()).or_default().push(words.into());
}

/// What is put together without an order: signs at one height, remarks that go around one another.
const UNORDERED: [&str; 3] = ["italic", "bends", "sign"];

fn sorted(mut said: Said) -> Said {
    for (what, words) in &mut said {
        if UNORDERED.iter().any(|bag| what.starts_with(bag)) {
            words.sort();
        }
    }
    said
}

/// What the reader read.
fn read(riff: &Riff) -> Said {
    let mut said = Said::new();
    let mut pressed: BTreeMap<usize, u8> = BTreeMap::new();
    let mut meter = None;
    for (index, bar) in riff.bars.iter().enumerate() {
        if riff.timed && meter.replace(bar.meter) != Some(bar.meter) {
            say(&mut said, "meter", bar.meter.beats().to_string());
            say(&mut said, "meter", bar.meter.unit().to_string());
        }
        for symbol in chords::over(riff, index) {
            let runs = symbol.printed().runs.into_iter().map(|run| run.text);
            say(&mut said, "chords", runs.collect::<String>());
        }
        for count in &bar.counts {
            let sign = if count.sign == "+" { "&" } else { count.sign.as_str() };
            let words = if count.rest { format!("({sign})") } else { sign.to_owned() };
            say(&mut said, "counts", words);
        }
        for remark in bar.remarks("sung") {
            say(&mut said, "sung", &remark.text);
        }
        for word in bar
            .remarks("words")
            .iter()
            .chain(bar.remarks("tone"))
            .flat_map(|row| row.text.split_whitespace())
        {
            say(&mut said, "italic", word);
        }
        if let Some(times) = bar.repeat_end.filter(|times| *times > 2) {
            say(&mut said, "times", format!("×{times}"));
        }
        if let Some(ending) = bar.ending {
            say(&mut said, "endings", format!("{ending}."));
        }
        let repeats = usize::from(bar.repeat_start) + usize::from(bar.repeat_end.is_some());
        (0..repeats).for_each(|_| say(&mut said, "sign", "repeat"));
        for event in &bar.events {
            read_event(&mut said, riff, event, &mut pressed);
        }
    }
    riff.runs("mute").iter().for_each(|_| say(&mut said, "spans", "P.M."));
    riff.runs("ring").iter().for_each(|_| say(&mut said, "spans", "let ring"));
    sorted(said)
}

fn read_event(said: &mut Said, riff: &Riff, event: &Event, pressed: &mut BTreeMap<usize, u8>) {
    if event.signs.contains_key("accent") {
        say(said, "sign", "accent");
    }
    event.right.chars().filter(|sign| *sign != '.').for_each(|finger| {
        say(said, "italic", finger.to_string());
    });
    match (&riff.form, event.pick) {
        (Form::Words, _) | (_, None) => {}
        (_, Some(pick)) => say(said, "sign", format!("{pick:?}")),
    }
    if riff.form != Form::Tab {
        return;
    }
    let mut fingers: Vec<char> = Vec::new();
    for note in event.notes.iter().rev().filter(|_| riff.fingered) {
        fingers.extend(note.finger.map(crate::neck::Finger::sign));
    }
    fingers.dedup();
    fingers.iter().for_each(|finger| say(said, "left", finger.to_string()));
    if event.notes.iter().any(|note| note.vibrato) {
        say(said, "sign", "vibrato");
    }
    for note in &event.notes {
        read_note(said, note, pressed);
    }
}

fn read_note(said: &mut Said, note: &Note, pressed: &mut BTreeMap<usize, u8>) {
    let string = format!("string {}", note.string);
    let in_brackets = |text: String| if note.ghost { format!("({text})") } else { text };
    for way in [note.slide_in, note.slide_out].into_iter().flatten() {
        say(said, "sign", format!("slide {way:?} on {}", note.string));
    }
    if note.tapped {
        say(said, "taps", "T");
    }
    let fret = match note.sound {
        Sound::Harmonic(fret) => {
            pressed.insert(note.string, fret);
            return say(said, string, format!("<{}>", in_brackets(fret.to_string())));
        }
        Sound::Muted => {
            pressed.insert(note.string, 0);
            return say(said, string, in_brackets("×".to_owned()));
        }
        Sound::Fret(fret) => fret,
    };
    let graces =
        note.graces.iter().map(|grace| (grace.fret, grace.ghost, grace.joined, grace.quarter_bend));
    let chain: Vec<(u8, bool, Option<Joint>, bool)> =
        graces.chain([(fret, note.ghost, note.joined, note.quarter_bend)]).collect();
    for (fret, ghost, joined, quarter) in chain {
        let before = pressed.get(&note.string).copied();
        let number = if ghost { format!("({fret})") } else { fret.to_string() };
        match joined {
            Some(Joint::Bend | Joint::Release) => {
                let steps = i32::from(fret) - i32::from(before.unwrap_or(fret));
                if joined == Some(Joint::Release) && steps <= 0 {
                    say(said, &string, format!("({fret})"));
                } else {
                    say(said, "bends", size(2 * steps.max(0)));
                }
            }
            _ => {
                say(said, &string, number);
                pressed.insert(note.string, fret);
            }
        }
        match joined.filter(|_| before.is_some()) {
            Some(Joint::HammerOn) => say(said, "sign", format!("H on {}", note.string)),
            Some(Joint::PullOff) => say(said, "sign", format!("P on {}", note.string)),
            Some(Joint::Tap) => say(said, "sign", format!("slur on {}", note.string)),
            Some(Joint::Slide) => {
                let way = if before > Some(fret) { Slide::Down } else { Slide::Up };
                say(said, "sign", format!("slide {way:?} on {}", note.string));
            }
            _ => {}
        }
        if joined == Some(Joint::Tap) {
            say(said, "taps", "T");
        }
        if quarter {
            say(said, "bends", size(1));
        }
    }
}

/// How far a bend goes, in whole steps.
fn size(quarters: i32) -> String {
    match (quarters / 4, quarters % 4) {
        (0, part) => ["", "¼", "½", "¾"][usize::try_from(part).unwrap()].to_owned(),
        (1, 0) => "full".to_owned(),
        (whole, part) => {
            format!("{whole}{}", ["", "¼", "½", "¾"][usize::try_from(part).unwrap()])
        }
    }
}

/// What is drawn of a riff in a column of some width.
fn drawn(riff: &Riff, width: f32) -> Said {
    let fonts = Fonts::new();
    let look = look(GAP);
    let desk = desk_of(&fonts, &look, width);
    let strings = if riff.form == Form::Tab { riff.instrument.tuning.len() } else { strokes::LANE };
    let scale = Scale { desk: &desk, strings };
    let mut said = Said::new();
    for strip in &figure(riff, GAP, width).strips {
        Strip::of(strip).tell(&mut said, &scale, riff.form == Form::Tab);
    }
    sorted(said)
}

/// The words and signs of a strip, the highest line of its staff at 0.
struct Strip {
    texts: Vec<(Point, Text)>,
    paths: Vec<(Point, Path)>,
}

impl Strip {
    fn of(strip: &Drawing) -> Strip {
        let (mut texts, mut paths) = (Vec::new(), Vec::new());
        let crate::ink::Item::Group(group) = &strip.items[0] else { panic!("no group") };
        each_item(&group.items, Point::default(), &mut |item, offset| match item {
            crate::ink::Item::Text(at, text) => texts.push((*at + offset, text.clone())),
            crate::ink::Item::Path(path) => paths.push((offset, path.clone())),
            _ => {}
        });
        texts.sort_by(|(a, _), (b, _)| a.x.0.total_cmp(&b.x.0).then(a.y.0.total_cmp(&b.y.0)));
        Strip { texts, paths }
    }

    fn tell(&self, said: &mut Said, scale: &Scale, is_tab: bool) {
        for (at, text) in &self.texts {
            let Some(run) = text.runs.first() else { continue };
            let (face, size, words) = (run.style.face, run.style.size, text.characters());
            let above = at.y < Pt::ZERO;
            let below = at.y > scale.staff_height() + scale.gaps(0.6);
            let number = self.string_of(*at, size, scale).filter(|_| is_tab);
            match (face, number) {
                (Face::SansBold, _) if size == scale.desk.look.symbol_size && above => {
                    say(said, "chords", words);
                }
                (Face::SansBold, Some(string)) => {
                    let centre = at.x + text.width / 2.0;
                    let harmonic = self.is_pointed(centre, text.width, size, string, scale);
                    let words = if harmonic { format!("<{words}>") } else { words };
                    say(said, format!("string {string}"), words);
                }
                (Face::SansBold, None) if size == scale.meter_size() && !above && !below => {
                    say(said, "meter", words);
                }
                (Face::SansBold, None) if above && words.starts_with('×') => {
                    say(said, "times", words);
                }
                (Face::SansBold, None) if above && words.ends_with('.') => {
                    say(said, "endings", words);
                }
                (Face::Sans, _) if above && words == "T" => say(said, "taps", words),
                (Face::Sans, _) if is_tab && above && at.x > Pt::ZERO && is_bend(&words) => {
                    say(said, "bends", words);
                }
                (Face::Sans | Face::SansBold, _) if below => say(said, "counts", words),
                (Face::SerifBold, _) if below => say(said, "left", words),
                (Face::Serif, _) if below => say(said, "sung", words),
                (Face::SerifItalic, _) if below => {
                    words.split_whitespace().for_each(|word| say(said, "italic", word));
                }
                (Face::SerifItalic, _) if above => say(said, "spans", words),
                _ => {}
            }
        }
        for (offset, path) in &self.paths {
            self.tell_path(said, *offset, path, scale);
        }
    }

    /// The string on whose line a number of a size is centred.
    fn string_of(&self, at: Point, size: Pt, scale: &Scale) -> Option<usize> {
        let sizes = [scale.fret_size(Weight::Full), scale.fret_size(Weight::Grace)];
        let middle = at.y - scale.half_cap(size);
        let on = |string: &usize| near(scale.line_of(*string), middle);
        (0..scale.strings).find(on).filter(|_| sizes.contains(&size))
    }

    /// Whether a number stands between pointed brackets.
    fn is_pointed(&self, x: Pt, width: Pt, size: Pt, string: usize, scale: &Scale) -> bool {
        let inner = width / 2.0 + size * 0.06;
        let y = scale.line_of(string);
        let bracket = signs::pointed_bracket(
            x - inner,
            y,
            size * (super::tones::POINTED_BRACKET - 0.1),
            scale.cap_height(size),
        );
        self.paths.iter().any(|(offset, path)| {
            same_shape(path, &bracket) && distance(path, *offset, &bracket) < 0.05
        })
    }

    fn tell_path(&self, said: &mut Said, offset: Point, path: &Path, scale: &Scale) {
        let (gap, small) = (scale.gap(), scale.small_size());
        let zero = Pt::ZERO;
        if same_shape(path, &signs::accent(zero, zero, gap)) {
            say(said, "sign", "accent");
        }
        let lane = (scale.gaps(0.15), scale.staff_height());
        for stroke in [Pick::Down, Pick::Up, Pick::Choked] {
            let picked = &signs::pick(stroke, zero, zero, small)[0];
            let strummed = &signs::strum(stroke, zero, lane, strokes::half_stroke(scale))[0];
            let filled = path.fill.is_some() == strummed.fill.is_some();
            if same_shape(path, picked) || (filled && same_shape(path, strummed)) {
                say(said, "sign", format!("{stroke:?}"));
            }
        }
        let wave = signs::wave(zero, gap * 2.0, zero, gap);
        if path.segments.len() >= 3 && starts_alike(path, &wave) {
            say(said, "sign", "vibrato");
        }
        let points = points_of(path, offset);
        let Some((first, last)) = points.first().zip(points.last()) else { return };
        let (wide, rise) = (last.x - first.x, last.y - first.y);
        if path.segments.len() == 2 && wide > zero && near(rise.abs(), scale.gaps(0.66)) {
            let middle = (first.y + last.y) / 2.0;
            let string = (0..scale.strings).find(|string| near(scale.line_of(*string), middle));
            let way = if rise < zero { Slide::Up } else { Slide::Down };
            if let Some(string) = string {
                say(said, "sign", format!("slide {way:?} on {string}"));
            }
        }
        self.tell_slur(said, path, &points, scale);
        let thick = scale.gaps(0.38).max(pt(2.0));
        let upright = path.segments.len() == 2 && near(first.x, last.x);
        if upright && path.stroke.is_some_and(|stroke| stroke.width == thick) {
            let both = BarLine::RepeatBoth.reach(gap).0 - scale.gaps(0.17);
            let dots =
                [-both, both].into_iter().filter(|side| self.has_dot(first.x + *side, scale));
            dots.for_each(|_| say(said, "sign", "repeat"));
        }
    }

    /// A slur on a string with the letter over its middle.
    fn tell_slur(&self, said: &mut Said, path: &Path, points: &[Point], scale: &Scale) {
        let is_slur = matches!(
            path.segments[..],
            [Segment::Move(_), Segment::Curve(..), Segment::Curve(..), Segment::Close]
        );
        if !is_slur || points.len() != 7 {
            return;
        }
        let (from, to) = (points[0], points[3]);
        let line = from.y + scale.gaps(0.3);
        let string = (0..scale.strings).find(|string| near(scale.line_of(*string), line));
        let Some(string) = string.filter(|_| near(from.y, to.y) && path.fill.is_some()) else {
            return;
        };
        let middle = (from.x + to.x) / 2.0;
        let letter = self.texts.iter().find_map(|(at, text)| {
            let words = text.characters();
            let centre = at.x + text.width / 2.0;
            let over = at.y < Pt::ZERO && (centre - middle).abs() < scale.gaps(0.11);
            (over && matches!(words.as_str(), "H" | "P")).then_some(words)
        });
        let letter = letter.unwrap_or_else(|| "slur".to_owned());
        say(said, "sign", format!("{letter} on {string}"));
    }

    /// Whether a dot of a repeat stands beside a thick line.
    fn has_dot(&self, x: Pt, scale: &Scale) -> bool {
        let dot = Path::circle(Point::default(), scale.gaps(0.17), Some(0.0), None);
        self.paths.iter().any(|(offset, path)| {
            let points = points_of(path, *offset);
            let centre = points.first().map(|first| first.x - scale.gaps(0.17));
            same_shape(path, &dot)
                && centre.is_some_and(|centre| (centre - x).abs() < scale.gaps(0.2))
        })
    }
}

fn is_bend(words: &str) -> bool {
    words == "full" || words.chars().all(|c| c.is_ascii_digit() || "¼½¾".contains(c))
}

fn near(one: Pt, other: Pt) -> bool {
    (one - other).abs() < pt(0.06)
}

fn points_of(path: &Path, offset: Point) -> Vec<Point> {
    super::tests::points(path).into_iter().map(|point| point + offset).collect()
}

/// Whether two paths are alike but for their places.
fn same_shape(one: &Path, other: &Path) -> bool {
    one.segments.len() == other.segments.len() && starts_alike(one, other)
}

/// Whether two paths begin alike, wherever they stand.
fn starts_alike(one: &Path, other: &Path) -> bool {
    let (one, other) = (super::tests::points(one), super::tests::points(other));
    let Some((from, to)) = one.first().zip(other.first()) else { return false };
    let pairs = one.iter().zip(&other);
    let alike =
        |(a, b): (&Point, &Point)| near(a.x - from.x, b.x - to.x) && near(a.y - from.y, b.y - to.y);
    one.len() >= other.len() && pairs.clone().count() > 1 && pairs.clone().all(alike)
}

fn distance(path: &Path, offset: Point, other: &Path) -> f32 {
    let (one, other) = (points_of(path, offset)[0], super::tests::points(other)[0]);
    ((one.x - other.x).abs() + (one.y - other.y).abs()).0
}

/// Every riff of a lesson.
fn riffs_in(text: &str) -> Vec<Riff> {
    let mut findings = Findings::default();
    let source = Source::new("lesson.md", text.as_bytes(), &mut findings);
    let lesson = lesson::read(&source, &MemoryFolder::default(), &mut findings);
    let blocks = elaborate(lesson, &mut findings).blocks;
    let riffs = blocks.into_iter().filter_map(|block| match block.music {
        Some(Music::Riff(riff)) => Some(*riff),
        _ => None,
    });
    riffs.collect()
}

/// All lessons of the corpus: the demos, the sound riffs, the examples of the rules.
fn corpus() -> Vec<String> {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut texts = Vec::new();
    for folder in ["lessons", "tests/riffs/tuned", "tests/riffs/held-out"] {
        let mut files: Vec<_> =
            fs::read_dir(root.join(folder)).unwrap().map(|entry| entry.unwrap().path()).collect();
        files.sort();
        let lessons = files.iter().filter(|file| file.extension().is_some_and(|end| end == "md"));
        texts.extend(lessons.map(|file| fs::read_to_string(file).unwrap()));
    }
    let pages = RULES.iter().map(|rule| rule.page());
    texts.extend(pages.flat_map(|page| {
        let fenced = page.split("````").skip(1).step_by(2);
        fenced.map(|text| text.trim_start_matches("text\n").to_owned()).collect::<Vec<_>>()
    }));
    texts
}

/// Asserts that what is drawn is what was read, and tells where it isn't.
fn assert_same(drawn: Said, read: Said, text: &str) {
    let rows: std::collections::BTreeSet<&String> = drawn.keys().chain(read.keys()).collect();
    for row in rows {
        assert_eq!(drawn.get(row), read.get(row), "{row}: drawn and read of\n{text}");
    }
}

/// What techniques there are, each chain under one count or under several.
const TECHNIQUES: &str = r"
~~~ riff
count  1       &       2       &       3       &       4       &       |1       2       3       4   |
B      5/7-----7\5---./7-------7/.-----7~~h9---(5)-----x-------(x)-----|0b2-----8b10p5--<12>----7b12|
G      5h7p5--t12p5----5t12p5--8b10r5--7b9r8---7b9b10--(7)b9r7-7b+r7---|5h7b9---7b------9------r7---|
accent >               >                                               |                            |
right  ma      .       i                                               |                            |
pick   d       u       x                                               |                            |
mute   ========                                                        |                            |
sung   la      li-                                                     |lo                          |
words  softly  and then loud                                           |                            |
~~~
";

#[test]
fn nothing_that_was_read_is_missing_from_the_figure() {
    let mut seen = 0;
    for text in corpus().iter().map(String::as_str).chain([TECHNIQUES]) {
        for riff in riffs_in(text) {
            seen += 1;
            assert_same(drawn(&riff, WIDE), read(&riff), text);
        }
    }
    assert!(seen > 100, "{seen} riffs");
}

#[test]
fn nothing_is_lost_between_systems() {
    // A joint that leads from system to system is drawn in both.
    let whole = |said: Said| -> Said {
        let parted = ["sign", "spans", "taps", "bends"];
        said.into_iter().filter(|(what, _)| !parted.contains(&what.as_str())).collect()
    };
    for text in corpus().iter().map(String::as_str).chain([TECHNIQUES]) {
        for riff in riffs_in(text) {
            assert_same(whole(drawn(&riff, NARROW)), whole(read(&riff)), text);
        }
    }
}

#[test]
fn what_is_missing_is_noticed() {
    let riff = riffs_in(TECHNIQUES).remove(0);
    let notes = riff.bars.iter().flat_map(|bar| &bar.events).map(|event| event.notes.len());
    assert_eq!(notes.sum::<usize>(), 24, "every chain of the techniques is read");
    let whole = read(&riff);
    let lose = |lose: fn(&mut Riff)| {
        let mut riff = riff.clone();
        lose(&mut riff);
        read(&riff)
    };
    let each = |riff: &mut Riff, lose: fn(&mut Note)| {
        let events = riff.bars.iter_mut().flat_map(|bar| &mut bar.events);
        events.flat_map(|event| &mut event.notes).for_each(lose);
    };
    let notes = |lose: fn(&mut Note)| {
        let mut riff = riff.clone();
        each(&mut riff, lose);
        read(&riff)
    };
    for lost in [
        lose(|riff| riff.bars[0].events[0].signs.clear()),
        lose(|riff| riff.bars[0].events[0].pick = None),
        lose(|riff| riff.bars[0].events[0].right.clear()),
        lose(|riff| drop(riff.bars[0].events[0].notes.pop())),
        lose(|riff| drop(riff.bars[0].counts.pop())),
        notes(|note| note.vibrato = false),
        notes(|note| note.slide_out = None),
        notes(|note| note.slide_in = None),
        notes(|note| note.tapped = false),
        notes(|note| note.ghost = false),
        notes(|note| note.graces.clear()),
        notes(|note| note.joined = note.joined.filter(|joint| *joint != Joint::PullOff)),
        notes(|note| note.graces.iter_mut().for_each(|grace| grace.quarter_bend = false)),
    ] {
        assert_ne!(lost, whole);
    }
}
