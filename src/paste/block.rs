//! The riff that is written for systems of an old tab.

use super::across::Shared;
use super::endings;
use super::labels::Labels;
use super::legend::Legend;
use super::lines_beside::{self, Held};
use super::pieces::Stack;
use super::remarks;
use super::signs;
use super::slots::Slot;
use super::system::{Clock, System};
use super::unread;
use crate::blocks::riff::label;
use crate::neck::Tuning;
use crate::theory::Meter;
use crate::words::listed;
use unicode_segmentation::UnicodeSegmentation;

/// How many columns the labels take.
const LABELS: usize = 8;

/// A riff as it is written.
pub(super) struct Riff {
    /// The block.
    pub text: String,
    /// Lines about it that no row of it can hold.
    pub left: Vec<String>,
    pub bars: usize,
}

/// Writes a riff for systems that follow each other.
pub(super) fn riff(
    stacks: &[Stack],
    shared: Shared,
    tuning: &Tuning,
    by_habit: bool,
    meter: Meter,
    legend: &Legend,
) -> Riff {
    let mut systems: Vec<System<'_>> =
        stacks.iter().map(|stack| System::read(stack, meter, legend)).collect();
    let labels = Labels::of(stacks, tuning, by_habit);
    let counted = systems.iter().all(System::can_count);
    let mut comments = Comments::default();
    let mut left = Vec::new();
    left.extend(repeat_signs(stacks, &mut systems, &mut comments));
    shared.guesses().for_each(|guess| comments.guess(true, guess));
    signs::guesses(&systems).iter().for_each(|guess| comments.guess(true, guess));
    left.extend(endings::set(stacks, &mut systems, &mut comments));
    let times: Vec<Option<u8>> = if counted {
        repeats(stacks, shared, &mut systems, &mut comments)
    } else {
        left.extend(
            stacks.iter().filter_map(|stack| stack.cues.times.as_ref()).map(|t| t.1.clone()),
        );
        stacks.iter().map(|_| None).collect()
    };
    let mut rows: Vec<String> = Vec::new();
    let mut unread = String::new();
    let mut before = 0;
    for ((system, stack), times) in systems.iter().zip(stacks).zip(times) {
        let (slots, over, astray) = system.slots(meter, counted);
        comments.about(system, stack, &slots, counted, &over);
        left.extend(over);
        left.extend(remarks::told(stack, system, &slots, &labels.rows, before, &astray));
        unread += &unread::told(system, stack, &slots, &labels, before);
        rows.push(written(system, &slots, times, &labels.rows, counted));
        before += system.bars.len();
    }
    comments.merged(&systems);
    if let Some(guess) = &labels.guess {
        comments.guess(true, guess);
    }
    let head = format!("~~~ riff{}\n{}{unread}", labels.phrase, comments.text());
    Riff { text: head + &rows.join("\n") + "~~~\n", left, bars: before }
}

/// Sets the repeat signs that stand on lines of their own above and below systems; a first one whose
/// second is nowhere is handed back.
fn repeat_signs(
    stacks: &[Stack],
    systems: &mut [System<'_>],
    comments: &mut Comments,
) -> Option<String> {
    let ends = |system: &System<'_>| system.bars.iter().any(|bar| bar.end.repeat_end);
    let closed = stacks.iter().any(|stack| stack.cues.closes.is_some()) || systems.iter().any(ends);
    let mut over = None;
    for (system, stack) in systems.iter_mut().zip(stacks) {
        let (opens, closes) = (stack.cues.opens.as_ref(), stack.cues.closes.as_ref());
        if let Some(sign) = opens.filter(|_| !closed) {
            over = Some(sign.clone());
            continue;
        }
        system.start.repeat_start |= opens.is_some();
        if let Some(last) = system.bars.last_mut() {
            last.end.repeat_end |= closes.is_some();
        }
        let signs: Vec<String> =
            opens.into_iter().chain(closes).map(|sign| format!("`{sign}`")).collect();
        if !signs.is_empty() {
            comments.add(format!("guessed: the repeat, from {} on its own line", listed(&signs)));
        }
    }
    over
}

/// Lets systems be repeated of which words say how often: those between repeat signs, or the whole
/// system. How often, for each system.
fn repeats(
    stacks: &[Stack],
    shared: Shared,
    systems: &mut [System<'_>],
    comments: &mut Comments,
) -> Vec<Option<u8>> {
    let mut open = false;
    let mut all = Vec::new();
    for (system, stack) in systems.iter_mut().zip(stacks) {
        let closes = system.bars.iter().any(|bar| bar.end.repeat_end);
        let beside = || signs::times_beside(stack, system);
        // What is said above is said of the whole repeat, which ends elsewhere.
        let above = || signs::times_above(stacks, system).filter(|_| !shared.begins);
        let times = stack.cues.times.clone().or_else(beside).or_else(above);
        let times = times.filter(|_| !system.bars.is_empty());
        if let Some((times, words)) = &times {
            comments
                .add(format!("guessed: what is played {times} times, from the words `{words}`"));
            if !closes {
                system.start.repeat_start |= !open;
                if let Some(last) = system.bars.last_mut() {
                    last.end.repeat_end = true;
                }
            }
        }
        open = (open || system.start.repeat_start) && !closes && times.is_none();
        all.push(times.map(|(times, _)| times));
    }
    all
}

/// What is guessed in a riff, for the author to confirm, and what is kept beside its rows.
#[derive(Default)]
pub(super) struct Comments {
    lines: Vec<String>,
}

impl Comments {
    /// Takes a comment in, each once.
    pub fn add(&mut self, line: String) {
        if !self.lines.contains(&line) {
            self.lines.push(line);
        }
    }

    fn guess(&mut self, guessed: bool, what: &str) {
        if guessed {
            self.add(format!("guessed: {what}"));
        }
    }

    /// Names the bars in which notes a column apart are taken together.
    fn merged(&mut self, systems: &[System<'_>]) {
        let mut bars: Vec<String> = Vec::new();
        let mut before = 1;
        for system in systems {
            bars.extend(system.merged.iter().map(|bar| (before + bar).to_string()));
            before += system.bars.len();
        }
        if !bars.is_empty() {
            let bars = bars.join(", ");
            self.add(format!("guessed: notes a column apart are played together (bar {bars})"));
        }
    }

    /// What is guessed in a system.
    fn about(
        &mut self,
        system: &System<'_>,
        stack: &Stack,
        slots: &[Vec<Slot<'_>>],
        counted: bool,
        left: &[String],
    ) {
        let slots = || slots.iter().flatten();
        let guessed = |clock: &Option<Clock>| matches!(clock, Some(Clock::Guessed(..)));
        let by_spacing =
            system.bars.iter().any(|bar| guessed(&bar.clock) && !bar.moments.is_empty());
        let counts = stack.cues.counts.as_ref().filter(|_| counted);
        match counts.filter(|_| by_spacing) {
            Some(cue) => self.add(format!(
                "guessed: the counts, from the spacing of the notes, since `{}` doesn't fit the notes or the meter",
                cue.text.trim()
            )),
            None => self.guess(counted && by_spacing, "the counts, from the spacing of the notes"),
        }
        let chords = slots().any(|slot| !slot.chord.is_empty());
        self.guess(chords, "where the chords change, from where their names stood");
        let sung = slots().any(|slot| !slot.sung.is_empty());
        self.guess(sung, "when the words are sung, from where they stood");
        let fingers =
            stack.cues.fingers.as_ref().filter(|_| slots().any(|slot| !slot.right.is_empty()));
        if let Some(cue) = fingers {
            self.add(format!("guessed: the plucking fingers, from `{}`", cue.text.trim()));
        }
        let accents = stack.cues.accents.as_ref().filter(|_| slots().any(|slot| slot.accented));
        if let Some(cue) = accents {
            self.add(format!("guessed: the accents, from where `{}` stood", cue.text.trim()));
        }
        system.guesses.iter().for_each(|guess| self.guess(true, guess));
        let strokes =
            stack.cues.strokes.as_ref().filter(|_| slots().any(|slot| !slot.stroke.is_empty()));
        if let Some(cue) = strokes {
            let line = cue.text.trim();
            if lines_beside::is_pointed(line) {
                self.add(format!("guessed: the way of the strokes, from `{line}`"));
            } else if !line.is_ascii() {
                self.add(format!("strokes, as they were typed: {line}"));
            }
        }
        for (held, text) in
            system.held().filter(|(_, text)| !left.iter().any(|l| l.trim() == *text))
        {
            let what = match held {
                Held::Mute => "what is muted",
                Held::Ring => "what rings on",
                Held::Vibrato => "which notes have vibrato",
            };
            self.add(format!("guessed: {what}, from where `{text}` stood"));
        }
    }

    fn text(&self) -> String {
        self.lines.iter().map(|line| format!("# {line}\n")).collect()
    }
}

fn written(
    system: &System<'_>,
    bars: &[Vec<Slot<'_>>],
    times: Option<u8>,
    labels: &[String],
    counted: bool,
) -> String {
    let mut rows = Rows::new(labels, counted);
    let last_repeat = system.bars.iter().rposition(|bar| bar.end.repeat_end);
    rows.bar_line(if system.start.repeat_start { "|:" } else { "" }, None);
    for (index, (bar, slots)) in system.bars.iter().zip(bars).enumerate() {
        slots.iter().for_each(|slot| rows.slot(slot));
        let times = times.filter(|_| last_repeat == Some(index)).or(bar.times);
        rows.bar_line(bar.end.written(), times);
    }
    rows.text()
}

/// How much of a note stands before its fret: the sign of a slide or a tap from nowhere.
fn before_fret(text: &str) -> usize {
    match text.strip_prefix('.') {
        Some(_) => 2,
        None => usize::from(text.starts_with('t')),
    }
}

/// How many columns a text takes.
fn columns(text: &str) -> usize {
    text.graphemes(true).count()
}

/// The rows that a system may have besides those of its strings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Other {
    Ending,
    Chord,
    Count,
    Pick,
    Accent,
    Right,
    Words,
    Mute,
    Ring,
    Sung,
}

impl Other {
    const ALL: [Other; 10] = [
        Other::Ending,
        Other::Chord,
        Other::Count,
        Other::Pick,
        Other::Accent,
        Other::Right,
        Other::Words,
        Other::Mute,
        Other::Ring,
        Other::Sung,
    ];

    /// Those that stand above the strings.
    const ABOVE: [Other; 3] = [Other::Ending, Other::Chord, Other::Count];

    fn label(self) -> &'static str {
        match self {
            Other::Ending => label::ENDING,
            Other::Chord => label::CHORD,
            Other::Count => label::COUNT,
            Other::Pick => label::PICK,
            Other::Accent => label::ACCENT,
            Other::Right => label::RIGHT,
            Other::Words => label::WORDS,
            Other::Mute => label::MUTE,
            Other::Ring => label::RING,
            Other::Sung => label::SUNG,
        }
    }

    /// What stands in it at a slot.
    fn at<'s>(self, slot: &'s Slot<'_>) -> &'s str {
        match self {
            Other::Ending => &slot.ending,
            Other::Chord => &slot.chord,
            Other::Count => &slot.count,
            Other::Pick => &slot.stroke,
            Other::Accent if slot.accented => ">",
            Other::Right => &slot.right,
            Other::Words => &slot.word,
            Other::Mute if slot.muted => "=",
            Other::Ring if slot.rings => "=",
            Other::Accent | Other::Mute | Other::Ring => "",
            Other::Sung => &slot.sung,
        }
    }

    /// Whether it goes on between one slot and the next.
    fn is_run(self) -> bool {
        matches!(self, Other::Mute | Other::Ring)
    }
}

/// The rows of a system while they are written.
struct Rows<'l> {
    labels: &'l [String],
    counted: bool,
    others: [(Other, String, bool); 10],
    strings: Vec<String>,
    /// How many columns the words in the count row take that say how often. The strings get them with
    /// the next bar: dashes behind the last bar line would be a bar more. So do endings, behind their number.
    said: usize,
}

impl Rows<'_> {
    fn new(labels: &[String], counted: bool) -> Rows<'_> {
        let strings = vec![String::new(); labels.len()];
        let others = Other::ALL.map(|other| (other, String::new(), false));
        Rows { labels, counted, others, strings, said: 0 }
    }

    /// Draws a bar line, and says how often what it closes is played.
    fn bar_line(&mut self, line: &str, times: Option<u8>) {
        let times = times.map(|times| format!("x{times} ")).unwrap_or_default();
        for (other, row, _) in &mut self.others {
            *row += line;
            match other {
                Other::Count => *row += &times,
                Other::Ending => {}
                _ => row.extend(times.chars().map(|_| ' ')),
            }
        }
        for row in &mut self.strings {
            *row += line;
        }
        self.said = times.len();
    }

    fn slot(&mut self, slot: &Slot<'_>) {
        let notes: Vec<String> = (0..self.strings.len()).map(|row| slot.on(row)).collect();
        let lead = notes.iter().map(|text| before_fret(text)).max().unwrap_or(0);
        let widths = notes.iter().map(|text| columns(text) - before_fret(text));
        // Two spaces part a word from the next.
        let others = Other::ALL.map(|other| {
            columns(other.at(slot)) + usize::from(other == Other::Words && !slot.word.is_empty())
        });
        let widest = widths.chain(others).max().unwrap_or(0).max(1);
        let width = lead + 1 + widest;
        for (other, row, used) in &mut self.others {
            let text = other.at(slot);
            // An ending begins with its bar, whatever its first note begins with.
            let lead = if *other == Other::Ending { 0 } else { lead };
            *used |= !text.is_empty();
            let run = other.is_run() && !text.is_empty();
            let text = if run { text.repeat(width - lead) } else { text.to_string() };
            let said = if *other == Other::Ending { self.said } else { 0 };
            let behind = width - lead - columns(&text) + said;
            *row += &format!("{}{text}{}", " ".repeat(lead), " ".repeat(behind));
        }
        let said = "-".repeat(std::mem::take(&mut self.said));
        for (written, text) in self.strings.iter_mut().zip(&notes) {
            let front = "-".repeat(lead - before_fret(text));
            *written += &said;
            *written += &format!("{:-<width$}", front + text);
        }
    }

    fn text(&self) -> String {
        let row = |other: Other| {
            let row = self.others.iter().find(|(which, _, _)| *which == other);
            let used = row.filter(|(_, _, used)| *used || (other == Other::Count && self.counted));
            let text =
                used.map(|(_, row, _)| format!("{:LABELS$}{}\n", other.label(), row.trim_end()));
            text.unwrap_or_default()
        };
        let mut text = Other::ABOVE.map(row).concat();
        for (label, row) in self.labels.iter().zip(&self.strings) {
            text += &format!("{label:LABELS$}{row}\n");
        }
        let below = Other::ALL.into_iter().filter(|other| !Other::ABOVE.contains(other));
        text + &below.map(row).collect::<String>()
    }
}

#[cfg(test)]
mod tests {
    use crate::paste;

    fn made(text: &str) -> String {
        paste::lesson("A tab", text).text
    }

    #[test]
    fn what_finds_no_place_is_told_with_where_it_stood() {
        let rows = |letters: &str, cells: [&str; 3]| -> String {
            letters.chars().zip(cells).map(|(letter, row)| format!("{letter}|{row}|\n")).collect()
        };
        for (text, told) in [
            (
                rows("eBG", ["-5-7?-5-", "-------5", "--------"]),
                "# not read, kept here: ? (bar 1, beat 2, string e)\n",
            ),
            (
                rows("DAD", ["-5-7-5--", "-------5", "-----?--"]),
                "# not read, kept here: ? (bar 1, beat 3, string 3)\n",
            ),
            (
                rows("eBG", ["-5------", "-----?--", "--------"]),
                "# not read, kept here: ? (bar 1, column 8 of the tab, string B)\n",
            ),
            (
                format!("e|^5^^^^^^^^|\n{}", rows("BGD", ["-5------", "--------", "--------"])),
                "# not read, kept here: e|^5^^^^^^^^| (a line beside the rows of bars 1 to 1)\n",
            ),
            (
                format!("  G        D\n{}", rows("eBG", ["-5------", "--------", "--------"])),
                "```\nbehind bar 1: D\n```\n",
            ),
            (
                format!("      1/2    full\n{}", rows("eBG", ["-15b--15b--", "--------", "-----"])),
                "# guessed: how far the bends go, from `1/2 full` above\n",
            ),
        ] {
            let lesson = made(&text);
            assert!(lesson.contains(told), "{text}: no {told} in {lesson}");
        }
    }

    #[test]
    fn bends_go_as_far_as_is_said_above() {
        for (above, cells, expected) in [
            ("   1/2    full", "-15b--15b--", ["15b16", "15b17"]),
            ("   1/2    1 1/2", "-15br-15b--", ["15b16r15", "15b18"]),
            ("   1/2", "-15b--15b--", ["15b17", "above bar 1, beat 1: 1/2"]),
        ] {
            let lesson = made(&format!("{above}\ne|{cells}|\nB|-----------|\n"));
            assert!(expected.iter().all(|said| lesson.contains(said)), "{above}: {lesson}");
        }
    }

    #[test]
    fn counts_beside_their_notes_move_as_one_row() {
        for (counts, cells, typed) in [
            ("  1 & 2 & 3 & 4 &", "-5-5-5-5-5-5-5-5-", true),
            ("    1 & 2 & 3 & 4 &", "-5-5-5-5-5-5-5-5-", true),
            ("    1   2   3   4", "-5---5---5---5---", true),
            ("    1   2   3   4", "-5-----5---5---5-", false),
        ] {
            let lesson = made(&format!("{counts}\ne|{cells}|\nB|-----------------|\n"));
            assert_eq!(lesson.contains("a column beside"), typed, "{counts}: {lesson}");
        }
    }
}
