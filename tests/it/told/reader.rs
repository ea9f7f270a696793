//! A reader of what is told of a riff: it knows the words, and nothing of what they were made of.

use fretleaf::music::tab::{Event, Grace, Joint, Note, Pick, Run, Slide, Sound};
use fretleaf::neck::{Finger, Fret, StringIndex};
use fretleaf::theory::{Meter, Ticks};
use std::collections::BTreeMap;

/// A riff as far as its words tell it.
#[derive(Default)]
pub struct Retold {
    pub bars: Vec<Bar>,
    pub mutes: Vec<Run>,
    pub rings: Vec<Run>,
    /// The chords of a strumming pattern, each with its frets from the lowest string.
    pub shapes: Vec<(String, Vec<Option<u8>>)>,
    strings: usize,
    meter: Option<Meter>,
    big: bool,
    timed: bool,
    /// What is in quotation marks, wherever it stands.
    quoted: Vec<String>,
    /// What is told of the bars so far, by their numbers.
    music: BTreeMap<usize, Vec<String>>,
    /// Since when something holds.
    muted: Option<Ticks>,
    ringing: Option<Ticks>,
    chord: String,
}

/// A bar.
pub struct Bar {
    pub number: usize,
    pub meter: Meter,
    pub length: Ticks,
    pub starts: bool,
    pub ends: Option<u32>,
    pub double: bool,
    pub ending: Option<u8>,
    pub rests: Vec<Ticks>,
    pub said: Vec<Said>,
    pub air: Vec<String>,
    pub events: Vec<Event>,
    start: Ticks,
    chords: Vec<(Ticks, String)>,
    before: String,
}

/// A remark or a syllable.
pub struct Said {
    pub row: &'static str,
    pub at: Ticks,
    pub text: String,
}

impl Bar {
    /// The chord that holds at a moment.
    pub fn chord_at(&self, at: Ticks) -> String {
        let held = self.chords.iter().rev().find(|(from, _)| *from <= at);
        held.map_or(&self.before, |(_, chord)| chord).clone()
    }
}

const ORDINALS: [&str; 12] = [
    "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth",
    "eleventh", "twelfth",
];

/// Reads what is told of a riff.
pub fn retold(words: &str) -> Retold {
    let mut riff = Retold::default();
    let words = riff.lift_quoted(words);
    let mut lines = words.lines();
    riff.opening(lines.next().unwrap());
    for line in lines {
        let is_box = line.contains(": ") && line.contains(" string ") && !begins_bar(line);
        if is_box { riff.shape(line) } else { riff.bar(line) }
    }
    riff.end();
    riff
}

fn begins_bar(line: &str) -> bool {
    ["Bar ", "Pickup ", "A repeat ", "First ending", "Second ending"]
        .iter()
        .any(|begin| line.starts_with(begin))
}

impl Retold {
    /// Puts a number in the place of everything in quotation marks.
    fn lift_quoted(&mut self, words: &str) -> String {
        let mut pieces = words.split('“');
        let mut lifted = pieces.next().unwrap().to_owned();
        for piece in pieces {
            let (text, rest) = piece.split_once('”').unwrap();
            lifted += &format!("«{}»{rest}", self.quoted.len());
            self.quoted.push(text.to_owned());
        }
        lifted
    }

    fn unquoted(&self, words: &str) -> String {
        let number: usize = words.trim_matches(['«', '»']).parse().unwrap();
        self.quoted[number].clone()
    }

    /// "Tab for 6 strings, in 4/4."
    fn opening(&mut self, line: &str) {
        for words in line.trim_end_matches('.').split(", ") {
            if let Some(strings) = words.strip_prefix("Tab for ") {
                self.strings = strings.split(' ').next().unwrap().parse().unwrap();
            } else if let Some(meter) = words.strip_prefix("in ") {
                self.meter = Some(Meter::parse(meter).unwrap());
                self.timed = true;
            } else if words == "counted in big beats" {
                self.big = true;
            }
        }
        self.meter = self.meter.or(Some(Meter::COMMON));
    }

    /// "A major: sixth string silent; fifth string open, A, the root; …"
    fn shape(&mut self, line: &str) {
        let (chord, strings) = line.split_once(": ").unwrap();
        let mut frets = Vec::new();
        for string in strings.trim_end_matches('.').split("; ") {
            let (names, sound) = string.split_once(" string").unwrap();
            let sound = sound.trim_start_matches('s').trim_start();
            let sound = sound.split(',').next().unwrap();
            let fret = match sound {
                "silent" => None,
                "open" => Some(0),
                fret => Some(fret.strip_prefix("fret ").unwrap().parse().unwrap()),
            };
            frets.extend(list(names).iter().map(|_| fret));
        }
        self.shapes.push((chord.to_owned(), frets));
    }

    /// A bar, with what stands before and behind its moments.
    fn bar(&mut self, line: &str) {
        let start = self.bars.last().map_or(Ticks::ZERO, |bar| bar.start + bar.length);
        let mut bar = Bar {
            number: 0,
            meter: self.meter.unwrap(),
            length: Ticks::ZERO,
            starts: false,
            ends: None,
            double: false,
            ending: None,
            rests: Vec::new(),
            said: Vec::new(),
            air: Vec::new(),
            events: Vec::new(),
            start,
            chords: Vec::new(),
            before: self.chord.clone(),
        };
        let mut music: Vec<String> = Vec::new();
        for sentence in line.trim_end_matches('.').split(". ") {
            match sentence {
                "A repeat begins" => bar.starts = true,
                "First ending" => bar.ending = Some(1),
                "Second ending" => bar.ending = Some(2),
                "Double bar" => bar.double = true,
                "Nothing is played anew" => {}
                "The repeat ends: play it twice" => bar.ends = Some(2),
                _ if sentence.starts_with("The repeat ends: play it ") => {
                    bar.ends = sentence.split(' ').nth(5).unwrap().parse().ok();
                }
                _ if sentence.starts_with("As bar ") => {
                    music = self.music[&sentence["As bar ".len()..].parse().unwrap()].clone();
                }
                _ if sentence.contains(": ") => music.push(sentence.to_owned()),
                _ => self.name(sentence, &mut bar),
            }
        }
        self.music.insert(bar.number, music.clone());
        let mut string = None;
        for sentence in &music {
            let (when, items) = sentence.split_once(": ").unwrap();
            let at = self.when(when, &bar);
            self.moment(at, items, &mut bar, &mut string);
        }
        if let Some((_, chord)) = bar.chords.last() {
            self.chord.clone_from(chord);
        }
        self.bars.push(bar);
    }

    /// "Bar 4, A major, in 3/4"; "Pickup from beat 4".
    fn name(&mut self, sentence: &str, bar: &mut Bar) {
        for words in sentence.split(", ") {
            if let Some(number) = words.strip_prefix("Bar ") {
                bar.number = number.parse().unwrap();
            } else if let Some(meter) = words.strip_prefix("in ") {
                bar.meter = Meter::parse(meter).unwrap();
                self.meter = Some(bar.meter);
            } else if !words.starts_with("another time ") && !words.starts_with("Pickup") {
                bar.chords.push((Ticks::ZERO, words.to_owned()));
            }
        }
        bar.length = bar.meter.bar();
        let pickup = sentence.split(", ").find_map(|words| words.strip_prefix("Pickup from "));
        if let Some(from) = pickup.filter(|_| self.timed) {
            bar.length = bar.meter.bar() - self.when(from, bar);
        }
    }

    /// A moment in the bar, by what it is called.
    fn when(&self, called: &str, bar: &Bar) -> Ticks {
        if called == "Then" || called == "then" {
            return Ticks::ZERO;
        }
        let big = self.big && bar.meter.is_compound();
        let beat = if big { bar.meter.felt_beat() } else { bar.meter.beat() };
        let (name, number) = called.rsplit_once(' ').unwrap();
        let number: u32 = number.parse().unwrap();
        let (part, of) = match name.to_lowercase().trim_end_matches(" of") {
            "beat" => (0, 1),
            "and" => (1, 2),
            "e" => (1, 4),
            "a" => (3, 4),
            "la" | "trip" => (1, 3),
            "li" | "let" => (2, 3),
            fraction => {
                let fraction = fraction.strip_suffix(" of a beat after").unwrap();
                let (part, of) = fraction.split_once('/').unwrap();
                (part.parse().unwrap(), of.parse().unwrap())
            }
        };
        let whole = beat * (number - 1) + beat * part / of;
        let missing = bar.meter.bar() - bar.length;
        if whole < missing { whole } else { whole - missing }
    }

    fn moment(&mut self, at: Ticks, items: &str, bar: &mut Bar, string: &mut Option<StringIndex>) {
        let absolute = bar.start + at;
        let mut event: Option<Event> = None;
        for item in items.split("; ") {
            if let Some(chord) = item.strip_prefix("chord ") {
                bar.chords.push((at, chord.split(", another time").next().unwrap().to_owned()));
            } else if item.starts_with("no chord") {
                bar.chords.push((at, "no chord".to_owned()));
            } else if let Some((row, text)) = said(item) {
                bar.said.push(Said { row, at, text: self.unquoted(text) });
            } else if let Some(stroke) = item.strip_suffix(" in the air") {
                bar.air.push(format!("{at:?} {:?}", pick(stroke).unwrap()));
            } else {
                match item {
                    "rest" => bar.rests.push(at),
                    "palm muting begins" => self.muted = Some(absolute),
                    "palm muting ends" => {
                        self.mutes.push((self.muted.take().unwrap(), absolute));
                    }
                    "let ring from here" => self.ringing = Some(absolute),
                    "ringing ends" => self.rings.push((self.ringing.take().unwrap(), absolute)),
                    _ => {
                        let event = event.get_or_insert_with(|| Event::new(at, Vec::new()));
                        self.piece(item, event, *string);
                    }
                }
            }
        }
        if let Some(event) = event {
            *string = match event.notes.as_slice() {
                [note] => Some(note.string),
                _ => None,
            };
            bar.events.push(event);
        }
    }

    /// Notes that are alike, or a stroke; behind the last of an event what is said of it.
    fn piece(&self, item: &str, event: &mut Event, known: Option<StringIndex>) {
        let (strings, rest) = self.strings_of(item).unwrap_or((known.into_iter().collect(), item));
        let (rest, plucked) =
            rest.split_once(", plucked by ").unwrap_or(match rest.strip_prefix("plucked by ") {
                Some(plucked) => ("", plucked),
                None => (rest, ""),
            });
        event.right.extend(list(plucked).iter().map(|finger| plucks(finger)));
        let mut steps: Vec<Grace> = Vec::new();
        let mut note: Option<Note> = None;
        for fact in rest.split(", ") {
            if let Some(stroke) = pick(fact) {
                event.pick = Some(stroke);
            } else if fact == "accented" {
                event.signs.insert("accent", ">".to_owned());
            } else if let Some((sound, step)) = step(fact) {
                steps.extend(note.take().map(|note| grace_of(&note)));
                let mut made = blank(sound);
                (made.joined, made.ghost, made.quarter_bend) =
                    (step.joined, step.ghost, step.quarter_bend);
                made.finger = step.finger;
                note = Some(made);
            } else if let Some(note) = &mut note {
                extra(fact, note);
            }
        }
        let Some(mut note) = note else { return };
        let slides = matches!(note.joined, Some(Joint::Slide | Joint::Bend | Joint::Release));
        if note.finger.is_none() && slides {
            note.finger = steps.last().and_then(|grace| grace.finger);
        }
        note.graces = steps;
        event.notes.extend(strings.iter().map(|string| Note { string: *string, ..note.clone() }));
    }

    /// The strings that a piece names, and what follows.
    fn strings_of<'w>(&self, item: &'w str) -> Option<(Vec<StringIndex>, &'w str)> {
        let (names, rest) = item.split_once(" string")?;
        let rest = rest.strip_prefix('s').unwrap_or(rest).strip_prefix(' ')?;
        let place = |name: &String| ORDINALS.iter().position(|ordinal| ordinal == name);
        let strings = list(names).iter().map(place).collect::<Option<Vec<usize>>>()?;
        let index = |number: &usize| StringIndex::new(self.strings - 1 - number);
        Some((strings.iter().map(index).collect(), rest))
    }

    /// Ends what holds to the riff's end, and gives events their lengths: to the next note or rest.
    fn end(&mut self) {
        let end = self.bars.last().map_or(Ticks::ZERO, |bar| bar.start + bar.length);
        self.mutes.extend(self.muted.map(|from| (from, end)));
        self.rings.extend(self.ringing.map(|from| (from, end)));
        let mut stops: Vec<Ticks> = vec![end];
        for bar in &self.bars {
            stops.extend(bar.rests.iter().map(|rest| bar.start + *rest));
            stops.extend(bar.events.iter().map(|event| bar.start + event.at));
        }
        stops.sort();
        for bar in &mut self.bars {
            for event in &mut bar.events {
                let at = bar.start + event.at;
                let next = stops.iter().find(|stop| **stop > at).copied().unwrap_or(end);
                event.duration = next - at;
            }
        }
    }
}

/// The names of a list: "a, b and c".
fn list(words: &str) -> Vec<String> {
    let names = words.split(", ").flat_map(|part| part.split(" and "));
    names.filter(|name| !name.is_empty()).map(str::to_owned).collect()
}

fn said(item: &str) -> Option<(&'static str, &str)> {
    let rows = [("remark ", "words"), ("tone ", "tone"), ("sung ", "sung")];
    rows.iter().find_map(|(word, row)| Some((*row, item.strip_prefix(word)?)))
}

fn pick(words: &str) -> Option<Pick> {
    match words {
        "downstroke" => Some(Pick::Down),
        "upstroke" => Some(Pick::Up),
        "choked stroke" => Some(Pick::Choked),
        _ => None,
    }
}

fn plucks(finger: &str) -> char {
    match finger {
        "thumb" => 'p',
        "index" => 'i',
        "middle" => 'm',
        "ring" => 'a',
        "little finger" => 'c',
        _ => '.',
    }
}

fn finger(words: &str) -> Option<Finger> {
    match words {
        "index finger" => Some(Finger::Index),
        "middle finger" => Some(Finger::Middle),
        "ring finger" => Some(Finger::Ring),
        "little finger" => Some(Finger::Little),
        "thumb" => Some(Finger::Thumb),
        _ => None,
    }
}

/// What is said of a step besides what sounds.
struct Step {
    joined: Option<Joint>,
    ghost: bool,
    quarter_bend: bool,
    finger: Option<Finger>,
}

/// "hammer-on to fret 6", "from fret 5 with index finger", "open".
fn step(fact: &str) -> Option<(Sound, Step)> {
    let joints = [
        ("hammer-on to ", Joint::HammerOn),
        ("pull-off to ", Joint::PullOff),
        ("slide to ", Joint::Slide),
        ("tap at ", Joint::Tap),
        ("bend to the pitch of ", Joint::Bend),
        ("release to the pitch of ", Joint::Release),
    ];
    let joined = joints.iter().find(|(words, _)| fact.starts_with(words));
    let rest = match joined {
        Some((words, _)) => &fact[words.len()..],
        None => fact.strip_prefix("from ").or(fact.strip_prefix("then ")).unwrap_or(fact),
    };
    let bent = rest.strip_suffix(" bent by a quarter tone");
    let rest = bent.unwrap_or(rest);
    let ghost = rest.strip_suffix(" not picked");
    let rest = ghost.unwrap_or(rest);
    let (sound, with) = rest.split_once(" with ").unwrap_or((rest, ""));
    let sound = match sound {
        "open" | "the open string" => Sound::Fret(Fret::OPEN),
        "muted" => Sound::Muted,
        _ => match sound.strip_prefix("harmonic over fret ") {
            Some(fret) => Sound::Harmonic(Fret::new(fret.parse().ok()?)),
            None => Sound::Fret(Fret::new(sound.strip_prefix("fret ")?.parse().ok()?)),
        },
    };
    let joined = joined.map(|(_, joint)| *joint);
    let (ghost, quarter_bend) = (ghost.is_some(), bent.is_some());
    Some((sound, Step { joined, ghost, quarter_bend, finger: finger(with) }))
}

fn blank(sound: Sound) -> Note {
    Note {
        string: StringIndex::LOWEST,
        sound,
        ghost: false,
        joined: None,
        graces: Vec::new(),
        slide_in: None,
        slide_out: None,
        vibrato: false,
        quarter_bend: false,
        tapped: false,
        finger: None,
    }
}

fn grace_of(note: &Note) -> Grace {
    let Sound::Fret(sound) = note.sound else { panic!("a grace note has a fret") };
    let Note { ghost, joined, quarter_bend, finger, .. } = *note;
    Grace { sound, ghost, joined, quarter_bend, finger }
}

fn extra(fact: &str, note: &mut Note) {
    match fact {
        "optional" => note.ghost = true,
        "tapped" => note.tapped = true,
        "slid into from below" => note.slide_in = Some(Slide::Up),
        "slid into from above" => note.slide_in = Some(Slide::Down),
        "sliding out upwards" => note.slide_out = Some(Slide::Up),
        "sliding out downwards" => note.slide_out = Some(Slide::Down),
        "bent by a quarter tone" => note.quarter_bend = true,
        "with vibrato" => note.vibrato = true,
        _ => note.finger = Some(finger(fact).unwrap_or_else(|| panic!("`{fact}` is unknown"))),
    }
}
