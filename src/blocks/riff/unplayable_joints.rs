//! Joints that no hand can play as they are written: what rises that should fall, bends too far.

use super::rows;
use super::setup::Setup;
use super::written::{Course, Join, Strand, Written};
use crate::findings::rules::technique;
use crate::findings::{Finding, Findings, Ground};
use crate::music::tab::{Joint, Slide};

/// How far a string is bent at most, in frets: two whole steps.
const FARTHEST_BEND: i32 = 4;

/// Where the hand is on a string, or on what is to be one: in heights as
/// [`Heard::height`](super::written::Heard::height) counts them.
#[derive(Debug, Clone, Copy)]
struct Hand {
    /// The height that is pressed.
    pressed: i32,
    /// Whether nothing is pressed: the string is open.
    open: bool,
    /// The height that sounds: another one where the string is bent.
    sounding: i32,
    /// Whether the string is bent a quarter tone further.
    quarter: bool,
}

/// Doubts the joints of all strings that can't be played.
pub(super) fn doubt(setup: &Setup, strands: &[Strand], findings: &mut Findings) {
    for strand in strands {
        for chain in strand.notes.chunk_by(|_, next| next.joined.is_some()) {
            if !chain.iter().any(|note| is_meant(setup, note)) {
                doubt_chain(setup, strand.course, chain, findings);
            }
        }
    }
}

fn doubt_chain(setup: &Setup, course: Course, chain: &[Written], findings: &mut Findings) {
    let mut hand: Option<Hand> = None;
    for note in chain {
        let Some(height) = note.heard.height() else { continue };
        let clear = note.joined.filter(|join| join.clear);
        let step = clear.zip(hand).map(|(join, hand)| Step { note, height, join, hand });
        let bent_open = note.quarter_bend && note.heard.is_open();
        let wrong = match step.as_ref().and_then(Step::wrong) {
            None if bent_open => Some(Wrong::open()),
            wrong => wrong,
        };
        if let Some(wrong) = wrong {
            let place = setup.place_at(note.column, course);
            findings.add(wrong.finding(note, &place));
        }
        let bent = matches!(note.joint(), Some(Joint::Bend | Joint::Release));
        let (pressed, open) = hand
            .filter(|_| bent)
            .map_or((height, note.heard.is_open()), |hand| (hand.pressed, hand.open));
        hand = Some(Hand { pressed, open, sounding: height, quarter: note.quarter_bend });
    }
}

/// Whether a `*` in the `meant` row stands at a note.
fn is_meant(setup: &Setup, note: &Written) -> bool {
    let system = setup.systems.get(note.row.0);
    let Some(row) = system.and_then(|system| system.row(&rows::Meant)) else { return false };
    (note.start()..note.end).any(|column| row.at(column).is_some_and(|cell| cell.text == "*"))
}

/// What is wrong with a joint.
struct Wrong {
    says: String,
    note: &'static str,
    /// The sign that would be right, where one would.
    sign: Option<(&'static str, &'static str)>,
    /// The fret that would be right, where it takes as many columns.
    fret: Option<(String, i32)>,
}

impl Wrong {
    fn new(says: String, note: &'static str) -> Wrong {
        Wrong { says, note, sign: None, fret: None }
    }

    fn open() -> Wrong {
        let says = "an open string can't be bent".to_owned();
        Wrong::new(says, "no finger is there to push it; the next lower string has the note too")
    }

    /// With another sign, where that would do.
    fn or_sign(self, does: bool, says: &'static str, sign: &'static str) -> Wrong {
        Wrong { sign: does.then_some((says, sign)), ..self }
    }

    fn or_fret(self, fret: i32, says: String) -> Wrong {
        Wrong { fret: Some((says, fret)), ..self }
    }

    fn finding(self, note: &Written, place: &str) -> Finding {
        let span = note.joined.map_or(note.span, |join| join.span.to(note.span));
        let mut finding = technique::joint(span, self.says).heard_at(place).note(self.note);
        if let (Some((says, sign)), Some(join)) = (self.sign, note.joined) {
            finding = finding.fix(says, join.span, sign, Ground::Choice);
        }
        let plain = note.bracket.is_none() && note.heard.pitches().is_empty();
        if let Some((says, fret)) = self.fret.filter(|_| plain) {
            let fret = fret.to_string();
            let width = note.span.end - note.span.start;
            if fret.len() == width {
                finding = finding.fix(says, note.span, fret, Ground::Choice);
            }
        }
        finding
    }
}

/// A note, reached from where the hand is.
struct Step<'n> {
    note: &'n Written,
    height: i32,
    join: Join,
    hand: Hand,
}

impl Step<'_> {
    fn wrong(&self) -> Option<Wrong> {
        match self.join.joint {
            Joint::HammerOn | Joint::Tap => self.falls(),
            Joint::PullOff => self.rises(),
            Joint::Slide => self.slides_back(),
            Joint::Bend => self.bends_too_far(),
            Joint::Release => self.releases_wrongly(),
        }
    }

    /// "fret 7", or in a `notes` row the pitch as it is written.
    fn name(&self, height: i32) -> String {
        match self.note.heard.pitches().first() {
            Some((pitch, _)) if height == self.height => pitch.to_string(),
            Some(_) => "the note before it".to_owned(),
            None if height == 0 => "the open string".to_owned(),
            None => format!("fret {height}"),
        }
    }

    fn is_bent(&self) -> bool {
        self.hand.sounding != self.hand.pressed
    }

    fn falls(&self) -> Option<Wrong> {
        let (to, from) = (self.height, self.hand.pressed);
        let what = if self.join.joint == Joint::Tap { "a tap" } else { "a hammer-on" };
        let says = format!("{what} rises, and {} is not above {}", self.name(to), self.name(from));
        (to <= from).then(|| {
            Wrong::new(says, FRETS_PRESSED).or_sign(to < from && !self.is_bent(), "a pull-off", "p")
        })
    }

    fn rises(&self) -> Option<Wrong> {
        let (to, from) = (self.height, self.hand.pressed);
        let says =
            format!("a pull-off falls, and {} is not below {}", self.name(to), self.name(from));
        (to >= from).then(|| {
            Wrong::new(says, FRETS_PRESSED).or_sign(
                to > from && !self.is_bent(),
                "a hammer-on",
                "h",
            )
        })
    }

    fn slides_back(&self) -> Option<Wrong> {
        let (to, from) = (self.height, self.hand.pressed);
        let (way, agrees) = match self.join.way? {
            Slide::Up => ("`/` slides up", to > from),
            Slide::Down => ("`\\` slides down", to < from),
        };
        let beside = if self.join.way == Some(Slide::Up) { "above" } else { "below" };
        let says = format!("{way}, and {} is not {beside} {}", self.name(to), self.name(from));
        let note = "the sign of a slide rises or falls as the slide does";
        (!agrees).then(|| match to > from {
            true => Wrong::new(says, note).or_sign(true, "a slide up", "/"),
            false => Wrong::new(says, note).or_sign(to < from, "a slide down", "\\"),
        })
    }

    fn bends_too_far(&self) -> Option<Wrong> {
        let (to, pressed) = (self.height, self.hand.pressed);
        if self.hand.open {
            return Some(Wrong::open());
        }
        let far = to - pressed;
        let says = format!(
            "a string is bent at most two whole steps, and {} lies {far} frets above {}",
            self.name(to),
            self.name(pressed)
        );
        let farthest = pressed + FARTHEST_BEND;
        let note = "a bend is written with the fret whose pitch it reaches: `7b9` is a whole step";
        (far > FARTHEST_BEND)
            .then(|| Wrong::new(says, note).or_fret(farthest, format!("bent to fret {farthest}")))
    }

    fn releases_wrongly(&self) -> Option<Wrong> {
        let (to, hand) = (self.height, self.hand);
        let goes_down = to < hand.sounding || (hand.quarter && to == hand.sounding);
        let says = if !goes_down {
            format!("a release goes down, and {} is not below the bend's top", self.name(to))
        } else if to < hand.pressed {
            format!(
                "a release ends where the string is pressed, and {} lies below {}",
                self.name(to),
                self.name(hand.pressed)
            )
        } else {
            return None;
        };
        let note = "`7b9r7` lets all of the bend down, `7b9r8` half of it; a lower note is pulled off to: `7b9r7p5`";
        let says_fix = format!("released to fret {}", hand.pressed);
        Some(Wrong::new(says, note).or_fret(hand.pressed, says_fix))
    }
}

const FRETS_PRESSED: &str =
    "what rises and what falls is judged by the frets that are pressed, bent or not";
