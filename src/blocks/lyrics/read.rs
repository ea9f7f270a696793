//! From the lines of a block to a song.

use super::chords::{self, Model};
use super::kind::WRITTEN;
use super::phrases::{self, Capo, Phrases};
use super::rows::{self, Label, Row, Written};
use super::shapes::OpenShapes;
use super::shift::Shift;
use super::{ChordAt, Line, Song, Sounding, Stanza, Sung, over, placing};
use crate::blocks::effort::Effort;
use crate::blocks::{Offer, Others};
use crate::findings::Findings;
use crate::findings::rules::{block_syntax, unknown_name};
use crate::findings::source::Line as Text;
use crate::lesson::fence::Fence;
use crate::lesson::numbers::without_the;
use crate::theory::{Chord, Names};

/// Reads a song. Where there are faults in it the sensible rest is kept; `None` where it has no line.
pub(super) fn read(
    fence: &Fence<'_>,
    others: &Others<'_>,
    effort: &mut Effort,
    findings: &mut Findings,
) -> Option<Song> {
    let phrases = phrases::read(fence, findings);
    let mut told = Findings::default();
    let mut reader = Reader {
        others,
        names: fence.setting.names,
        model: model(&phrases, others, &mut told),
        stanzas: Vec::new(),
        lines: 0,
        unclear: false,
    };
    for lines in fence.lines.split(|line| line.text.trim().is_empty()) {
        reader.stanza(lines, &mut told);
    }
    let Reader { stanzas, unclear, .. } = reader;
    if stanzas.is_empty() && told.is_empty() {
        told.add(
            block_syntax::at(fence.head, "a song without lines")
                .note("rows of `chord` and `sung` stand in it, the chords over their words"),
        );
    }
    findings.append(told);
    if stanzas.is_empty() {
        return None;
    }
    let mut song = Song {
        stanzas,
        sounding: None,
        instrument: fence.setting.instrument.clone(),
        boxes: Vec::new(),
        printed: fence.printed,
    };
    chords::outside_key(song.chords(), fence.setting.key.as_ref(), findings);
    if let Some(over) = &phrases.over {
        let chords: Vec<&ChordAt> = song.chords().collect();
        over::check(&chords, over, others, unclear, findings);
    }
    song.rename(&phrases, fence, others, effort);
    Some(song)
}

/// The chords, line by line, of the block that a phrase names, and its name.
fn model(
    phrases: &Phrases,
    others: &Others<'_>,
    findings: &mut Findings,
) -> Option<(Vec<Vec<Option<Chord>>>, String)> {
    let name = phrases.model.as_ref()?;
    if others.is_in_circle() {
        let message = format!("`as {}` leads, by whatever way, back to this block", name.value);
        findings.add(block_syntax::at(name.span, message));
        return None;
    }
    if !others.named(&name.value).is_some_and(|other| other.offers(Offer::Lines)) {
        let names = others.called(Offer::Lines);
        let finding = unknown_name::none(name.span, "song and no `changes` block", &name.value);
        findings.add(finding.offer(&names.near(&name.value, 2), name.span, str::to_owned));
        return None;
    }
    Some((others.music(&name.value)?.chord_lines(), name.value.clone()))
}

struct Reader<'r> {
    others: &'r Others<'r>,
    /// The names that notes go by.
    names: Names,
    /// The chords of the block that `as` names, and its name.
    model: Option<(Vec<Vec<Option<Chord>>>, String)>,
    stanzas: Vec<Stanza>,
    /// How many lines with words or chords there are so far.
    lines: usize,
    /// Whether a chord could not be read or placed.
    unclear: bool,
}

impl Reader<'_> {
    fn stanza(&mut self, lines: &[Text<'_>], findings: &mut Findings) {
        let mut stanza = Stanza { lines: Vec::new() };
        // A `chord` row that waits for its words.
        let mut above: Option<Row<'_>> = None;
        for line in lines {
            let written = rows::read(*line, findings);
            let sung = match &written {
                Some(Written::Row(row)) if row.label == Label::Sung => Some(row),
                _ => None,
            };
            if sung.is_some() || above.is_some() {
                let chord = above.take();
                stanza.lines.extend(self.line(chord.as_ref(), sung, findings));
            }
            match written {
                Some(Written::Row(row)) if row.label == Label::Chord => above = Some(row),
                Some(Written::Again(name)) => stanza.lines.extend(self.again(name, findings)),
                Some(Written::Row(_)) | None => {}
            }
        }
        if let Some(chord) = above {
            stanza.lines.extend(self.line(Some(&chord), None, findings));
        }
        if !stanza.lines.is_empty() {
            self.stanzas.push(stanza);
        }
    }

    /// A line of chords, words or both; `None` where both rows are empty.
    fn line(
        &mut self,
        chord: Option<&Row<'_>>,
        sung: Option<&Row<'_>>,
        findings: &mut Findings,
    ) -> Option<Line> {
        let (first, last) = (chord.or(sung)?.line, sung.or(chord)?.line);
        let span = first.trimmed().whole().to(last.trimmed().whole());
        let model = self.model.as_ref().and_then(|(lines, name)| {
            let index = self.lines % lines.len().max(1);
            let chords = lines.get(index)?.as_slice();
            Some(Model { chords, number: index + 1, name })
        });
        let words = sung.and_then(|row| row.words.first());
        let start = words.map_or(span, |word| word.line.whole());
        let read = chords::read(chord, (start, self.names), model.as_ref(), findings);
        self.lines += 1;
        self.unclear |= read.unclear;
        let sung = placing::line(read.placed, sung, span);
        let is_empty = sung.words.is_empty() && sung.after.is_empty();
        (!is_empty).then_some(Line::Sung(sung))
    }

    fn again(&mut self, name: Text<'_>, findings: &mut Findings) -> Option<Line> {
        let name = without_the(name);
        let other = self.others.named(name.text).filter(|other| other.fence.kind == WRITTEN);
        let Some(other) = other else {
            let names = self.others.called_of(WRITTEN);
            let finding = unknown_name::none(name.whole(), "`lyrics` block", name.text);
            if self.others.named(name.text).is_some() {
                findings.add(finding.note("a block of another kind is"));
                return None;
            }
            let near = names.near(name.text, 2);
            findings.add(finding.offer(&near, name.whole(), str::to_owned));
            return None;
        };
        let title = other.title().unwrap_or_else(|| name.text.to_owned());
        Some(Line::Again { title, span: name.whole() })
    }
}

impl Song {
    /// Gives its chords the names by which they are printed.
    fn rename(
        &mut self,
        phrases: &Phrases,
        fence: &Fence<'_>,
        others: &Others<'_>,
        effort: &mut Effort,
    ) {
        if phrases.capo.is_none() && phrases.sing == 0 {
            return;
        }
        let key = fence.setting.key.as_ref();
        let written = self.different();
        let shift = |steps: i32| Shift::up(steps, key, written.iter());
        let (capo, why) = match phrases.capo.as_ref().map(|capo| capo.value) {
            None => (None, None),
            Some(Capo::At(fret)) => (Some(fret), None),
            Some(Capo::Best) => {
                let mut shapes = OpenShapes::new(fence, others, effort);
                let (fret, why) =
                    shapes.best(&written, |fret| shift(phrases.sing - i32::from(fret)));
                (Some(fret), Some(why))
            }
        };
        let names = shift(phrases.sing - i32::from(capo.unwrap_or_default()));
        let sounding = shift(phrases.sing);
        let first = written.first();
        self.sounding = Some(Sounding {
            capo,
            key: key.map(|key| sounding.key(*key)),
            first: first.map(|first| (names.chord(first), sounding.chord(first))),
            why,
        });
        if let Some(capo) = capo {
            self.instrument.capo = capo;
        }
        let lines = self.stanzas.iter_mut().flat_map(|stanza| &mut stanza.lines);
        let sung = lines.filter_map(|line| match line {
            Line::Sung(sung) => Some(sung),
            Line::Again { .. } => None,
        });
        for chord in sung.flat_map(Sung::chords_mut) {
            chord.printed = chord.written.as_ref().map(|written| names.chord(written));
        }
    }

    /// Its chords as they are written, each once, in the order in which they come.
    fn different(&self) -> Vec<Chord> {
        let mut seen = std::collections::HashSet::new();
        let written = self.chords().filter_map(|chord| chord.written.as_ref());
        written.filter(|chord| seen.insert(*chord)).cloned().collect()
    }
}
