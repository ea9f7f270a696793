//! The riff that is written for systems of an old tab.

use super::bars::{self, Bar, BarLine};
use super::frets::{Played, Reader};
use super::pieces::Stack;
use super::rhythm::{Grid, sign};
use crate::lesson::string_label::{StringLabel, place, read_label};
use crate::neck::Tuning;
use crate::theory::Meter;
use std::collections::BTreeMap;

/// How many columns the labels take.
const LABELS: usize = 8;

/// Columns that may be left free before a bar's first note: more of them are a rest.
const WIDEST_LEAD: usize = 2;

/// How much more even the spacing of each bar must become for the first note to be taken off the beat,
/// in parts. Assumed.
const CLEARLY_UNEVEN: f64 = 0.5;

/// The widest bar whose counts are guessed, in columns; a wider one is a system without bar lines.
const WIDEST_BAR: usize = 48;

/// Writes a riff for systems that follow each other.
pub(super) fn riff(stacks: &[Stack], tuning: &Tuning, meter: Meter) -> String {
    let systems: Vec<System> = stacks.iter().map(|stack| System::read(stack, meter)).collect();
    let labels = Labels::of(stacks, tuning);
    let counted = systems.iter().all(|system| system.bars.iter().all(|bar| bar.grid.is_some()));
    let mut block = format!("~~~ riff{}\n", labels.phrase);
    for guess in guesses(stacks, &systems, &labels, counted) {
        block += &format!("# guessed: {guess}\n");
    }
    for chords in
        systems.iter().map(|system| system.chords_kept(counted)).filter(|names| !names.is_empty())
    {
        block += &format!("# chords, kept here: {chords}\n");
    }
    for unread in systems.iter().map(|system| &system.unread).filter(|unread| !unread.is_empty()) {
        block += &format!("# not read, kept here: {unread}\n");
    }
    let written: Vec<String> =
        systems.iter().map(|system| system.written(&labels.rows, counted)).collect();
    block + &written.join("\n") + "~~~\n"
}

/// What was guessed, for the author to confirm.
fn guesses(
    stacks: &[Stack],
    systems: &[System],
    labels: &Labels,
    counted: bool,
) -> Vec<&'static str> {
    let has_chords = stacks.iter().any(|stack| !stack.chords.is_empty());
    let bends = systems.iter().any(|system| system.bends_guessed);
    let said = [
        (counted, "the counts, from the spacing of the notes"),
        (has_chords, "where the chords change, from where their names stood"),
        (labels.guessed, "the strings, from the order of the rows"),
        (bends, "bends go up a whole step where the tab didn't say how far"),
    ];
    said.into_iter().filter(|(guessed, _)| *guessed).map(|(_, guess)| guess).collect()
}

/// The labels of a riff's rows.
struct Labels {
    rows: Vec<String>,
    /// Whether any was missing.
    guessed: bool,
    /// The tuning, as the fence line says it, where the letters aren't those of the lesson's.
    phrase: String,
}

impl Labels {
    fn of(stacks: &[Stack], tuning: &Tuning) -> Labels {
        let rows = stacks.first().map(|stack| stack.rows.as_slice()).unwrap_or_default();
        let usual = usual_labels(tuning);
        let whole = rows.len() == usual.len();
        let written: Vec<Option<&String>> = rows.iter().map(|row| row.label.as_ref()).collect();
        let label = |(index, label): (usize, &Option<&String>)| {
            label.cloned().or_else(|| usual.get(index).cloned()).unwrap_or_default()
        };
        let labels: Vec<String> = written.iter().enumerate().map(label).collect();
        let guessed = written.contains(&None);
        if fits(&labels, tuning) {
            return Labels { rows: labels, guessed, phrase: String::new() };
        }
        let low_to_high: Vec<String> = labels.iter().rev().map(|label| capital(label)).collect();
        let letters = low_to_high.join(" ");
        let own = Tuning::parse(&letters).ok().filter(|own| fits(&labels, own));
        match own {
            Some(_) => Labels { rows: labels, guessed, phrase: format!(" tuning {letters}") },
            None if whole => Labels { rows: usual, guessed: true, phrase: String::new() },
            None => Labels { rows: labels, guessed, phrase: String::new() },
        }
    }
}

/// The strings' letters as a tab has them, the highest first; a small one where the letter comes
/// again further down.
fn usual_labels(tuning: &Tuning) -> Vec<String> {
    let letters: Vec<String> =
        tuning.strings().iter().rev().map(|open| open.note.to_string()).collect();
    let again =
        |index: usize, letter: &String| letters.iter().skip(index + 1).any(|other| other == letter);
    let label = |(index, letter): (usize, &String)| {
        if index == 0 && again(index, letter) { small(letter) } else { letter.clone() }
    };
    letters.iter().enumerate().map(label).collect()
}

fn small(label: &str) -> String {
    let mut letters = label.chars();
    letters.next().map(|first| first.to_lowercase().chain(letters).collect()).unwrap_or_default()
}

fn capital(label: &str) -> String {
    let mut letters = label.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

fn fits(labels: &[String], tuning: &Tuning) -> bool {
    let read: Option<Vec<StringLabel>> = labels.iter().map(|label| read_label(label)).collect();
    read.is_some_and(|labels| place(&labels, tuning).is_some())
}

/// A system as it is read.
struct System {
    start: BarLine,
    bars: Vec<Counted>,
    /// Names of chords that no count is left for.
    chords_left: Vec<String>,
    bends_guessed: bool,
    unread: String,
}

/// A bar with its moments.
struct Counted {
    /// What is played at each moment: the row, and what is written there.
    moments: Vec<Vec<(usize, String)>>,
    /// Where they fall, if that can be counted.
    grid: Option<Grid>,
    /// The chords by the place from which they hold, in the grid's parts.
    chords: BTreeMap<usize, String>,
    end: BarLine,
}

impl System {
    fn read(stack: &Stack, meter: Meter) -> System {
        let cut = bars::cut(stack);
        let mut readers: Vec<Reader> = stack.rows.iter().map(|_| Reader::default()).collect();
        let mut played: Vec<Vec<Vec<Played>>> = cut
            .bars
            .iter()
            .map(|bar| {
                bar.rows.iter().zip(&mut readers).map(|(row, reader)| reader.bar(row)).collect()
            })
            .collect();
        readers.iter_mut().for_each(Reader::finish);
        join(&mut played);
        let lead = lead(&cut.bars, &played, meter);
        let mut left = Vec::new();
        let bars = cut.bars.iter().zip(&played);
        let bars =
            bars.map(|(bar, played)| Counted::of(bar, played, lead, meter, &mut left)).collect();
        System {
            start: cut.start,
            bars,
            chords_left: left,
            bends_guessed: readers.iter().any(|reader| reader.bends_guessed),
            unread: readers.into_iter().map(|reader| reader.unread).collect(),
        }
    }

    /// The names of chords that the rows don't hold: all of them where nothing is counted.
    fn chords_kept(&self, counted: bool) -> String {
        let placed = self.bars.iter().flat_map(|bar| bar.chords.values()).filter(|_| !counted);
        placed.chain(&self.chords_left).cloned().collect::<Vec<_>>().join(" ")
    }

    fn written(&self, labels: &[String], counted: bool) -> String {
        let mut rows = Rows::new(labels);
        let opening = if self.start.repeat_start { "|:" } else { "" };
        rows.bar_line(opening);
        for bar in &self.bars {
            let places = bar.places(counted);
            if places.is_empty() {
                rows.place(&Place::default());
            }
            places.iter().for_each(|place| rows.place(place));
            rows.bar_line(bar.end.written());
        }
        rows.text(counted)
    }
}

/// How many columns stand before the first beat of each bar: all that are free before the first note, so
/// that it falls on a beat, unless fewer make the spacing clearly more even.
fn lead(bars: &[Bar], played: &[Vec<Vec<Played>>], meter: Meter) -> usize {
    let first = played.iter().flatten().flatten().map(|note| note.column).min().unwrap_or(0);
    let unevenness = |lead: usize| -> f64 {
        let each = bars.iter().zip(played).map(|(bar, rows)| {
            let (columns, width) = spacing(bar, &moments(rows), lead);
            Grid::guess(&columns, width, meter).map_or(1.0, |(error, _)| error)
        });
        each.sum()
    };
    let most = first.min(WIDEST_LEAD);
    let doubt = |lead: usize| CLEARLY_UNEVEN * (bars.len() * (most - lead)) as f64;
    let leads = (0..=most).rev().map(|lead| (lead, unevenness(lead) + doubt(lead)));
    leads.min_by(|one, other| one.1.total_cmp(&other.1)).map_or(0, |(lead, _)| lead)
}

/// The columns of a bar's moments from its first beat on, and how many columns it has from there.
fn spacing(bar: &Bar, moments: &[Moment], lead: usize) -> (Vec<usize>, usize) {
    let columns = moments.iter().map(|moment| moment.first.saturating_sub(lead)).collect();
    (columns, bar.rows.iter().map(Vec::len).max().unwrap_or(0).saturating_sub(lead))
}

/// Puts each joining sign behind the note that it joins to the next one on the string, over bar lines
/// too.
fn join(bars: &mut [Vec<Vec<Played>>]) {
    let rows = bars.iter().map(Vec::len).max().unwrap_or(0);
    for row in 0..rows {
        let notes = bars.iter_mut().filter_map(|bar| bar.get_mut(row)).flatten();
        let mut last: Option<&mut Played> = None;
        for note in notes {
            if let (Some(sign), Some(last)) = (note.join, last) {
                last.text.push(sign);
            }
            last = Some(note);
        }
    }
}

impl Counted {
    fn of(
        bar: &Bar,
        rows: &[Vec<Played>],
        lead: usize,
        meter: Meter,
        left: &mut Vec<String>,
    ) -> Counted {
        let moments = moments(rows);
        let (columns, width) = spacing(bar, &moments, lead);
        let grid = Grid::guess(&columns, width, meter).filter(|_| width <= WIDEST_BAR);
        let grid = grid.map(|(_, grid)| grid);
        let mut chords = BTreeMap::new();
        // The only chord of a bar is meant for all of it, unless it stands well within.
        let alone = bar.chords.len() == 1;
        for (column, name) in &bar.chords {
            let column = if alone && column * 2 <= width { 0 } else { *column };
            match grid.as_ref().and_then(|grid| free_place(column, width, grid, &chords)) {
                Some(place) => {
                    chords.insert(place, name.clone());
                }
                None => left.push(name.clone()),
            }
        }
        let moments = moments.into_iter().map(|moment| moment.notes).collect();
        Counted { moments, grid, chords, end: bar.end }
    }

    /// The places that are written, each with what stands there.
    fn places(&self, counted: bool) -> Vec<Place<'_>> {
        let grid = self.grid.as_ref().filter(|_| counted);
        let place_of = |moment: usize| match grid {
            Some(grid) => grid.places.get(moment).copied().unwrap_or(moment),
            None => moment,
        };
        let mut places: BTreeMap<usize, Place<'_>> = BTreeMap::new();
        for (index, notes) in self.moments.iter().enumerate() {
            places.entry(place_of(index)).or_default().notes = notes;
        }
        if let Some(grid) = grid {
            self.count(grid, &mut places);
        }
        places.into_values().collect()
    }

    /// Writes the counts: those of the notes and chords, and the beats, which keep the clock.
    fn count<'s>(&'s self, grid: &Grid, places: &mut BTreeMap<usize, Place<'s>>) {
        if self.moments.is_empty() {
            let silent = Place { count: "(1)".to_string(), ..Place::default() };
            places.insert(0, silent);
        } else {
            for beat in (0..grid.all).step_by(grid.parts) {
                places.entry(beat).or_default();
            }
        }
        for (place, name) in &self.chords {
            places.entry(*place).or_default().chord = name;
        }
        // The eighth of a beat is counted from the count before it.
        let eighths: Vec<usize> =
            places.keys().copied().filter(|place| grid.parts == 8 && place % 2 == 1).collect();
        for place in eighths {
            places.entry(place - 1).or_default();
        }
        for (place, written) in places.iter_mut().filter(|(_, written)| written.count.is_empty()) {
            written.count = sign(*place, grid.parts);
        }
    }
}

/// The written place that is nearest to a column and behind the last chord: a moment's or a beat's.
fn free_place(
    column: usize,
    width: usize,
    grid: &Grid,
    chords: &BTreeMap<usize, String>,
) -> Option<usize> {
    let wanted = column * grid.all / width.max(1);
    let after = chords.keys().next_back().map_or(0, |last| last + 1);
    let beats = (0..grid.all).step_by(grid.parts);
    // A silent bar has only its first count.
    let beats = beats.filter(|beat| *beat == 0 || !grid.places.is_empty());
    let places = grid.places.iter().copied().chain(beats).filter(|place| *place >= after);
    places.min_by_key(|place| (place.abs_diff(wanted), *place))
}

/// Notes at one moment.
struct Moment {
    /// The column of the first of them.
    first: usize,
    notes: Vec<(usize, String)>,
}

/// The moments of a bar. Notes one column apart on different strings are one: rows slip against each
/// other by a column where a fret has two digits, or a dash is missing.
fn moments(rows: &[Vec<Played>]) -> Vec<Moment> {
    let mut notes: Vec<(usize, usize, &Played)> = rows
        .iter()
        .enumerate()
        .flat_map(|(row, played)| played.iter().map(move |note| (note.column, row, note)))
        .collect();
    notes.sort_by_key(|(column, row, _)| (*column, *row));
    let mut moments: Vec<Moment> = Vec::new();
    for (column, row, note) in notes {
        let same = moments.last_mut().filter(|moment| {
            column <= moment.first + 1 && moment.notes.iter().all(|(other, _)| *other != row)
        });
        match same {
            Some(moment) => moment.notes.push((row, note.text.clone())),
            None => moments.push(Moment { first: column, notes: vec![(row, note.text.clone())] }),
        }
    }
    moments
}

/// What is written at one place.
#[derive(Default)]
struct Place<'b> {
    notes: &'b [(usize, String)],
    count: String,
    chord: &'b str,
}

/// How much of a note stands before its fret: the sign of a slide or a tap from nowhere.
fn before_fret(text: &str) -> usize {
    text.chars().take_while(|c| matches!(c, '.' | '/' | '\\' | 't')).count()
}

/// The rows of a system while they are written.
struct Rows<'l> {
    labels: &'l [String],
    chord: String,
    count: String,
    strings: Vec<String>,
}

impl Rows<'_> {
    fn new(labels: &[String]) -> Rows<'_> {
        let strings = vec![String::new(); labels.len()];
        Rows { labels, chord: String::new(), count: String::new(), strings }
    }

    fn bar_line(&mut self, line: &str) {
        self.chord += line;
        self.count += line;
        self.strings.iter_mut().for_each(|row| *row += line);
    }

    fn place(&mut self, place: &Place<'_>) {
        let lead = place.notes.iter().map(|(_, text)| before_fret(text)).max().unwrap_or(0);
        let behind = |text: &str| text.chars().count() - before_fret(text);
        let widths = place.notes.iter().map(|(_, text)| behind(text));
        let signs = [place.count.chars().count(), place.chord.chars().count(), 1];
        let width = lead + 1 + widths.chain(signs).max().unwrap_or(1);
        let padded = |text: &str, lead: usize| {
            let text = format!("{}{text}", " ".repeat(lead));
            format!("{text:width$}")
        };
        self.chord += &padded(place.chord, lead);
        self.count += &padded(&place.count, lead);
        for (row, written) in self.strings.iter_mut().enumerate() {
            let note = place.notes.iter().find(|(other, _)| *other == row);
            let text = note.map(|(_, text)| text.as_str()).unwrap_or_default();
            let front = "-".repeat(lead - before_fret(text));
            *written += &format!("{:-<width$}", front + text);
        }
    }

    fn text(&self, counted: bool) -> String {
        let mut text = String::new();
        let has_chords = self.chord.contains(|c: char| c.is_ascii_alphabetic());
        let above =
            [("chord", &self.chord, counted && has_chords), ("count", &self.count, counted)];
        for (label, row, _) in above.into_iter().filter(|(_, _, written)| *written) {
            text += &format!("{label:LABELS$}{}\n", row.trim_end());
        }
        for (label, row) in self.labels.iter().zip(&self.strings) {
            text += &format!("{label:LABELS$}{row}\n");
        }
        text
    }
}
