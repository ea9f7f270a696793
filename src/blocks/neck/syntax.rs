//! Reading `neck` blocks.

use super::{Diagram, Diagrams, Dot, Played, Subject};
use crate::blocks::figure::DotLabel;
use crate::lesson::Span;
use crate::lesson::fence::Fence;
use crate::lesson::setting::Setting;
use crate::lesson::source::{Line, Spanned};
use crate::lesson::string_label::{Place, StringLabel, answers, place, read_label};
use crate::neck::Finger;
use crate::proof::rules::{
    block_syntax, fret_range, later, row_label, unknown_chord, unknown_name, upside_down,
};
use crate::proof::{Finding, Findings};
use crate::theory::spelling::{Direction, spell};
use crate::theory::{Chord, Degree, Note, Scale};
use std::ops::RangeInclusive;

/// The frets that are drawn where a lesson names none: the open strings to the octave.
const USUAL_FRETS: RangeInclusive<u8> = 0..=12;

/// The widest position within which fingers are given: four frets and a stretch.
const POSITION: u8 = 5;

/// Reads a block. `played` gives the places that another block of a name plays.
pub fn read(
    fence: &Fence<'_>,
    played: &dyn Fn(&str) -> Option<Played>,
    findings: &mut Findings,
) -> Option<Diagrams> {
    let mut reader = Reader { setting: &fence.setting, played, findings };
    let whole_block = reader.phrases(fence.phrases.iter().map(|p| (p.value.as_str(), p.span)));
    let mut list = Vec::new();
    let mut rows: Vec<Row> = Vec::new();
    for line in &fence.lines {
        match row(line) {
            Some(row) => rows.push(row),
            None => {
                reader.finish_rows(&mut rows, &whole_block, &mut list);
                reader.line(line, &whole_block, &mut list);
            }
        }
    }
    reader.finish_rows(&mut rows, &whole_block, &mut list);
    let Setting { instrument, left_handed, .. } = fence.setting.clone();
    (!list.is_empty()).then_some(Diagrams { instrument, left_handed, list })
}

/// Phrases that are read, for one diagram or for all rows of a block.
#[derive(Debug, Clone, Default)]
struct Phrases {
    frets: Option<RangeInclusive<u8>>,
    strings: Option<Vec<usize>>,
    label: Option<DotLabel>,
    marking: Option<Chord>,
}

impl Phrases {
    /// These phrases, and the others where these say nothing.
    fn or(self, others: &Phrases) -> Phrases {
        Phrases {
            frets: self.frets.or_else(|| others.frets.clone()),
            strings: self.strings.or_else(|| others.strings.clone()),
            label: self.label.or(others.label),
            marking: self.marking.or_else(|| others.marking.clone()),
        }
    }
}

/// A line of marked places: a string's letter and frets, `*` behind the root's.
struct Row {
    label: Spanned<String>,
    string: StringLabel,
    marks: Vec<Mark>,
    span: Span,
}

/// A fret in a row.
struct Mark {
    fret: u8,
    root: bool,
    span: Span,
}

/// What a line is about before it is laid out on the neck.
enum Found {
    Tones { subject: Subject, root: Option<Note>, tones: Vec<(Note, Option<Degree>)> },
    Block(Played),
}

struct Reader<'a> {
    setting: &'a Setting,
    played: &'a dyn Fn(&str) -> Option<Played>,
    findings: &'a mut Findings,
}

impl Reader<'_> {
    /// Reads a line that names a subject and its phrases.
    fn line(&mut self, line: &Line<'_>, whole_block: &Phrases, list: &mut Vec<Diagram>) {
        if line.text.trim().is_empty() {
            return;
        }
        let mut pieces = pieces(line);
        let Some(subject) = (!pieces.is_empty()).then(|| pieces.remove(0)) else { return };
        if subject.0.starts_with("scales for ") {
            let message = "`scales for` is not printed by this version";
            self.findings.add(Finding::new(&later::RULE, line.whole(), message));
            return;
        }
        let phrases = self.phrases(pieces.into_iter()).or(whole_block);
        if let Some(found) = self.subject(subject) {
            list.push(self.lay_out(found, phrases, line.whole()));
        }
    }

    /// Reads phrases; what can't be read is told and left out.
    fn phrases<'t>(&mut self, pieces: impl Iterator<Item = (&'t str, Span)>) -> Phrases {
        let mut phrases = Phrases::default();
        for (text, span) in pieces {
            self.phrase(text, span, &mut phrases);
        }
        phrases
    }

    fn phrase(&mut self, text: &str, span: Span, phrases: &mut Phrases) {
        let words: Vec<&str> = text.split_whitespace().collect();
        match words.as_slice() {
            ["all", "frets"] => phrases.frets = Some(0..=self.setting.instrument.last_fret()),
            ["frets", rest @ ..] => phrases.frets = self.fret_range(rest, span),
            ["on", "strings", rest @ ..] | ["strings", rest @ ..] => {
                phrases.strings = self.strings(rest, span);
            }
            ["label", label] => phrases.label = self.label(label, span),
            ["marking", chord] => phrases.marking = self.marking(chord, span),
            _ => self.not_read(text, span),
        }
    }

    fn not_read(&mut self, text: &str, span: Span) {
        self.findings.add(
            Finding::new(&block_syntax::RULE, span, format!("`{text}` is no phrase of a neck diagram"))
                .note("a line may say `frets 5 to 8`, `all frets`, `strings 3 2 1`, `label degrees` · `notes` · `fingers` · `none`, `marking E7`"),
        );
    }

    /// Reads `5 to 8`, `5-8`, `5 – 8`.
    fn fret_range(&mut self, words: &[&str], span: Span) -> Option<RangeInclusive<u8>> {
        let joined = words.join(" ").replace(" to ", "-").replace(['–', '—'], "-");
        let ends = joined.split_once('-').and_then(|(low, high)| {
            Some((low.trim().parse::<u8>().ok()?, high.trim().parse::<u8>().ok()?))
        });
        let Some((low, high)) = ends.filter(|(low, high)| low <= high) else {
            let message = "the frets of a diagram are written `frets 5 to 8`, the lower one first";
            self.findings.add(Finding::new(&block_syntax::RULE, span, message));
            return None;
        };
        let last = self.setting.instrument.last_fret();
        if high > last {
            let message = format!("fret {high} is beyond the end of the neck, which has {last}");
            self.findings.add(Finding::new(&fret_range::RULE, span, message));
            return None;
        }
        Some(low..=high)
    }

    fn strings(&mut self, words: &[&str], span: Span) -> Option<Vec<usize>> {
        let joined = words.join(" ").replace(" to ", "-").replace(['–', '—'], "-");
        let numbers = joined.split_whitespace().flat_map(|word| number_range(word).into_iter());
        let tuning = &self.setting.instrument.tuning;
        let mut strings: Vec<Option<usize>> =
            numbers.map(|number| number.and_then(|number| tuning.index(number))).collect();
        strings.sort_unstable();
        strings.dedup();
        let strings: Option<Vec<usize>> = strings.into_iter().collect();
        let strings = strings.filter(|strings| !strings.is_empty());
        if strings.is_none() {
            let message = format!(
                "strings are written by their numbers, `strings 3 2 1`; this tuning has 1, the highest, to {}",
                tuning.len()
            );
            self.findings.add(Finding::new(&block_syntax::RULE, span, message));
        }
        strings
    }

    fn label(&mut self, word: &str, span: Span) -> Option<DotLabel> {
        match word {
            "degrees" => Some(DotLabel::Degrees),
            "notes" => Some(DotLabel::Notes),
            "fingers" => Some(DotLabel::Fingers),
            "none" => Some(DotLabel::None),
            _ => {
                let message = format!("dots can't be labelled `{word}`");
                let advice =
                    "write `label degrees`, `label notes`, `label fingers` or `label none`";
                self.findings.add(Finding::new(&block_syntax::RULE, span, message).note(advice));
                None
            }
        }
    }

    fn marking(&mut self, symbol: &str, span: Span) -> Option<Chord> {
        match Chord::parse(symbol) {
            Ok(chord) => Some(chord),
            Err(error) => {
                let mut finding = Finding::new(&unknown_chord::RULE, span, error.message);
                if let Some(nearest) = error.nearest {
                    finding = finding.note(format!("the nearest chord is `{nearest}`"));
                }
                self.findings.add(finding);
                None
            }
        }
    }

    /// What the subject's words mean: a chord symbol, a scale, notes, or else a block's name.
    fn subject(&mut self, (text, span): (&str, Span)) -> Option<Found> {
        if let Some(notes) = note_list(text) {
            return Some(of_notes(notes));
        }
        if let Ok(chord) = Chord::parse(text) {
            return Some(of_chord(chord));
        }
        if let Some(scale) = Scale::parse(text) {
            return Some(of_scale(scale));
        }
        let name = text.strip_prefix("the ").unwrap_or(text);
        if let Some(played) = (self.played)(name) {
            return Some(Found::Block(played));
        }
        self.findings.add(
            Finding::new(
                &unknown_name::RULE,
                span,
                format!("`{text}` is no scale, no chord, no notes and no block of this lesson"),
            )
            .note("a diagram shows a scale (`A minor pentatonic`), a chord (`A7`), notes (`notes A E`) or a block by its name"),
        );
        None
    }

    /// Lays a subject out on the neck.
    fn lay_out(&self, found: Found, phrases: Phrases, span: Span) -> Diagram {
        match found {
            Found::Tones { subject, root, tones } => {
                let frets = phrases.frets.unwrap_or_else(|| self.usual_frets());
                let strings = phrases.strings.unwrap_or_else(|| self.all_strings());
                let dots = self.dots(&tones, root, &strings, &frets, phrases.marking.as_ref());
                Diagram {
                    subject,
                    frets,
                    label: phrases.label,
                    marking: phrases.marking,
                    dots,
                    span,
                }
            }
            Found::Block(played) => self.played_places(played, phrases, span),
        }
    }

    fn usual_frets(&self) -> RangeInclusive<u8> {
        let last = self.setting.instrument.last_fret();
        *USUAL_FRETS.start()..=last.min(*USUAL_FRETS.end())
    }

    fn all_strings(&self) -> Vec<usize> {
        (0..self.setting.instrument.tuning.len()).collect()
    }

    fn dots(
        &self,
        tones: &[(Note, Option<Degree>)],
        root: Option<Note>,
        strings: &[usize],
        frets: &RangeInclusive<u8>,
        marking: Option<&Chord>,
    ) -> Vec<Dot> {
        let mut dots = Vec::new();
        for &string in strings {
            for fret in frets.clone() {
                let Some(pitch) = self.setting.instrument.written_pitch(string, fret) else {
                    continue;
                };
                let class = pitch.rem_euclid(12);
                let tone = tones.iter().find(|(note, _)| i32::from(note.class()) == class);
                let Some(&(note, degree)) = tone else { continue };
                dots.push(Dot {
                    string,
                    fret,
                    note,
                    degree,
                    finger: finger_at(fret, frets),
                    root: root.is_some_and(|root| root.class() == note.class()),
                    marked: is_tone(marking, note),
                });
            }
        }
        dots
    }

    /// Makes one diagram of the rows that touch.
    fn finish_rows(&mut self, rows: &mut Vec<Row>, phrases: &Phrases, list: &mut Vec<Diagram>) {
        let rows = std::mem::take(rows);
        let Some(span) = rows.iter().map(|row| row.span).reduce(Span::to) else { return };
        let marks = self.marks(&rows);
        let root = marks.iter().find(|(_, mark)| mark.root).and_then(|(string, mark)| {
            self.place(*string, mark.fret, None, None, None).map(|dot| dot.note)
        });
        let frets = phrases.frets.clone();
        let frets = frets.unwrap_or_else(|| span_of(marks.iter().map(|(_, mark)| mark.fret)));
        let marking = phrases.marking.as_ref();
        let mut dots: Vec<Dot> = marks
            .iter()
            .filter(|(_, mark)| frets.contains(&mark.fret))
            .filter_map(|(string, mark)| {
                let finger = finger_at(mark.fret, &frets);
                let dot = self.place(*string, mark.fret, finger, root, marking)?;
                Some(Dot { root: mark.root, ..dot })
            })
            .collect();
        dots.sort_by_key(|dot| (dot.string, dot.fret));
        list.push(Diagram {
            subject: Subject::Places,
            frets,
            label: phrases.label,
            marking: phrases.marking.clone(),
            dots,
            span,
        });
    }

    /// The marks of some rows with their strings; what is off the neck or on no string is told.
    fn marks<'r>(&mut self, rows: &'r [Row]) -> Vec<(usize, &'r Mark)> {
        let last = self.setting.instrument.last_fret();
        let mut marks = Vec::new();
        for (row, string) in rows.iter().zip(self.strings_of(rows)) {
            let Some(string) = string else { continue };
            for mark in &row.marks {
                if mark.fret > last {
                    let message = format!(
                        "fret {} is beyond the end of the neck, which has {last}",
                        mark.fret
                    );
                    self.findings.add(Finding::new(&fret_range::RULE, mark.span, message));
                } else {
                    marks.push((string, mark));
                }
            }
        }
        marks
    }

    /// The string of each row, by the order of the rows first.
    fn strings_of(&mut self, rows: &[Row]) -> Vec<Option<usize>> {
        let tuning = &self.setting.instrument.tuning;
        let labels: Vec<StringLabel> = rows.iter().map(|row| row.string).collect();
        let upward: Vec<StringLabel> = labels.iter().rev().copied().collect();
        let places = place(&labels, tuning).or_else(|| {
            let mut places = place(&upward, tuning)?;
            places.reverse();
            self.findings.add(upside_down(rows));
            Some(places)
        });
        let Some(places) = places else {
            let unknown = rows
                .iter()
                .find(|row| !tuning.strings().iter().any(|open| answers(row.string, *open)));
            self.findings.add(no_such_string(unknown.or(rows.first())));
            return vec![None; rows.len()];
        };
        let mut strings = Vec::new();
        for (row, found) in rows.iter().zip(places) {
            strings.push(match found {
                Place::Sure(string) => Some(string),
                Place::Open(..) => {
                    self.findings.add(which_string(row));
                    None
                }
            });
        }
        strings
    }

    /// The places that another block plays, spelled for the key.
    fn played_places(&self, played: Played, phrases: Phrases, span: Span) -> Diagram {
        let mut places = played.places;
        places.sort_by_key(|(string, fret, finger)| (*string, *fret, finger.is_none()));
        places.dedup_by_key(|(string, fret, _)| (*string, *fret));
        if let Some(strings) = &phrases.strings {
            places.retain(|(string, ..)| strings.contains(string));
        }
        if let Some(frets) = &phrases.frets {
            places.retain(|(_, fret, _)| frets.contains(fret));
        }
        let frets = phrases.frets.unwrap_or_else(|| span_of(places.iter().map(|place| place.1)));
        let dots = places
            .into_iter()
            .filter_map(|(string, fret, finger)| {
                self.place(string, fret, finger, None, phrases.marking.as_ref())
            })
            .collect();
        let subject = Subject::Block(played.title);
        Diagram { subject, frets, label: phrases.label, marking: phrases.marking, dots, span }
    }

    /// A place that was marked by its string and fret; its note is spelled for the key.
    fn place(
        &self,
        string: usize,
        fret: u8,
        finger: Option<Finger>,
        root: Option<Note>,
        marking: Option<&Chord>,
    ) -> Option<Dot> {
        let midi = self.setting.instrument.written_pitch(string, fret)?;
        let note = spell(midi, self.setting.key.as_ref(), marking, Direction::Unknown).note;
        let degree = root.map(|root| Degree::between(root, note));
        Some(Dot {
            string,
            fret,
            note,
            degree,
            finger,
            root: root.is_some_and(|root| root.class() == note.class()),
            marked: is_tone(marking, note),
        })
    }
}

/// A row of marked places, `e   5* 8`: a string's letter and nothing but frets.
fn row(line: &Line<'_>) -> Option<Row> {
    let (label, frets) = line.trimmed().first_word();
    let string = read_label(label.text)?;
    let mut marks = Vec::new();
    for word in frets.parts(' ').map(Line::trimmed).filter(|word| !word.text.is_empty()) {
        let number = word.text.strip_suffix('*').unwrap_or(word.text);
        let fret = number.parse().ok()?;
        marks.push(Mark { fret, root: number != word.text, span: word.whole() });
    }
    (!marks.is_empty()).then(|| Row { label: label.spanned(), string, marks, span: line.whole() })
}

/// The pieces of a line between commas; the comma before the first phrase may be left out.
fn pieces<'t>(line: &Line<'t>) -> Vec<(&'t str, Span)> {
    const PHRASE_WORDS: [&str; 6] =
        [" frets ", " all frets", " strings ", " on strings ", " label ", " marking "];
    let mut pieces = Vec::new();
    let mut start = 0;
    for part in line.text.split(',') {
        let cut = PHRASE_WORDS
            .iter()
            .filter_map(|word| part.find(word))
            .min()
            .filter(|_| pieces.is_empty());
        let (first, second) = cut.and_then(|at| part.split_at_checked(at)).unwrap_or((part, ""));
        for (text, from) in [(first, start), (second, start + first.len())] {
            let trimmed = text.trim();
            if !trimmed.is_empty() {
                let from = from + (text.len() - text.trim_start().len());
                pieces.push((trimmed, line.span(from, from + trimmed.len())));
            }
        }
        start += part.len() + 1;
    }
    pieces
}

/// `3` as itself, `1-3` as all from the one to the other; `None` where it is no number.
fn number_range(word: &str) -> Vec<Option<usize>> {
    let number = |text: &str| text.parse::<usize>().ok().filter(|number| *number <= 12);
    match word.split_once('-') {
        None => vec![number(word)],
        Some((low, high)) => match (number(low), number(high)) {
            (Some(low), Some(high)) => (low.min(high)..=low.max(high)).map(Some).collect(),
            _ => vec![None],
        },
    }
}

fn upside_down(rows: &[Row]) -> Finding {
    let span = rows.first().map(|row| row.label.span).unwrap_or_default();
    let message = "the rows fit this tuning only from the lowest string up";
    Finding::new(&upside_down::RULE, span, message)
        .note("they are read so; a diagram has its highest string on top")
}

fn no_such_string(row: Option<&Row>) -> Finding {
    let (label, span) =
        row.map(|row| (row.label.value.as_str(), row.label.span)).unwrap_or_default();
    let message = format!("`{label}` fits no string of this tuning here");
    Finding::new(&row_label::RULE, span, message).note(
        "rows stand from the highest string to the lowest, each under its open string's letter",
    )
}

fn which_string(row: &Row) -> Finding {
    let message = format!("`{}` may be more than one string; write its octave", row.label.value);
    Finding::new(&row_label::RULE, row.label.span, message).note("`B3` is the B below middle C")
}

/// The notes of `note A`, `notes A E` or two and more letters.
fn note_list(text: &str) -> Option<Vec<Note>> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let letters = match words.as_slice() {
        ["note" | "notes", rest @ ..] => rest,
        letters if letters.len() > 1 => letters,
        _ => return None,
    };
    let notes: Option<Vec<Note>> = letters.iter().map(|letter| Note::parse(letter)).collect();
    notes.filter(|notes| !notes.is_empty())
}

fn of_notes(notes: Vec<Note>) -> Found {
    let tones = notes.iter().map(|note| (*note, None)).collect();
    Found::Tones { root: None, tones, subject: Subject::Notes(notes) }
}

fn of_chord(chord: Chord) -> Found {
    let root = chord.root;
    let mut tones: Vec<_> =
        chord.tones.iter().map(|tone| (tone.degree.above(root), Some(tone.degree))).collect();
    if let Some(bass) = chord.bass {
        tones.push((bass, Some(Degree::between(root, bass))));
    }
    Found::Tones { root: Some(root), tones, subject: Subject::Chord(chord) }
}

fn of_scale(scale: Scale) -> Found {
    let root = scale.tonic;
    let degrees = scale.kind.degrees.iter();
    let tones = degrees.map(|degree| (degree.above(root), Some(*degree))).collect();
    Found::Tones { root: Some(root), tones, subject: Subject::Scale(scale) }
}

fn is_tone(chord: Option<&Chord>, note: Note) -> bool {
    chord.is_some_and(|chord| chord.classes() >> note.class() & 1 == 1)
}

/// One finger a fret within one position, the little finger reaching one fret further; no fingers
/// where the diagram is wider than a position, and none for open strings.
fn finger_at(fret: u8, frets: &RangeInclusive<u8>) -> Option<Finger> {
    let lowest = (*frets.start()).max(1);
    if fret == 0 || frets.end().saturating_sub(lowest) >= POSITION {
        return None;
    }
    Some(match fret.saturating_sub(lowest) {
        0 => Finger::Index,
        1 => Finger::Middle,
        2 => Finger::Ring,
        _ => Finger::Little,
    })
}

/// The frets from the lowest to the highest of some, at least four of them.
fn span_of(frets: impl Iterator<Item = u8> + Clone) -> RangeInclusive<u8> {
    let low = frets.clone().min().unwrap_or(0);
    let high = frets.max().unwrap_or(0);
    if low <= 1 { 0..=high.max(4) } else { low..=high.max(low.saturating_add(3)) }
}
