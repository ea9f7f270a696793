//! The scales for a progression: what stands beneath the diagram of the best one, on paper and for
//! whoever listens.

use super::{Progression, guides};
use crate::blocks::figure::Desk;
use crate::ink::{Drawing, Face, Point, Pt, Style, Text, pt};
use crate::theory::fitting::{self, Fit, Fitting, Guided, Nearly};
use crate::theory::{Chord, Key, Note, Printed, Scale};
use crate::words::listed;
use crate::words::paper::{lanes, scales as words};

/// The scales for a progression.
#[derive(Debug, Clone)]
pub struct ScalesFor {
    /// The progression's caption or name.
    pub title: String,
    /// The scales.
    pub fitting: Fitting,
    /// Blues and pentatonic scales that are played over it, though they don't hold every chord.
    pub played: Vec<Scale>,
    /// The chords with the notes that matter in each.
    pub guided: Vec<Guided>,
    /// How many further changes are not told.
    pub untold: usize,
}

/// So many scales besides the best are listed: more than a student chooses from.
const MOST_OTHERS: usize = 6;
/// So many changes from chord to chord are told: a progression has fewer; a longer one is no page of
/// guide tones.
const MOST_CHANGES: usize = 32;
/// So many chords are named at which the nearest scale breaks.
const MOST_BREAKS: usize = 6;
/// The air above each part.
const ABOVE: Pt = pt(2.0);

impl ScalesFor {
    /// The scales for the chords of a progression, the key in force known or not; `None` where it has
    /// no chords.
    pub fn of(progression: Progression, key: Option<&Key>) -> Option<ScalesFor> {
        let Progression { title, chords } = progression;
        let fitting = fitting::scales(&chords, key)?;
        let played = played(&fitting, &chords, key);
        let mut guided = fitting::guide_tones(&chords);
        let untold = guided.len().saturating_sub(MOST_CHANGES);
        guided.truncate(MOST_CHANGES);
        Some(ScalesFor { title, fitting, played, guided, untold })
    }

    /// The scale that is drawn.
    pub fn best(&self) -> &Scale {
        match &self.fitting {
            Fitting::Whole(best, _) => &best.scale,
            Fitting::Nearest(nearly) => &nearly.scale,
        }
    }

    /// The guide tones beneath the diagram, in rows.
    pub(super) fn strips(&self, desk: &Desk<'_>) -> Vec<Drawing> {
        guides::strips(self, desk)
    }

    /// What is said in words: what the best scale holds, the other scales, and what is played over the chords.
    pub(super) fn notes(&self, desk: &Desk<'_>) -> Vec<Printed> {
        let verdict = self.verdict(Note::printed, Scale::printed, Chord::printed);
        let others = self.others();
        let shown = others.iter().take(MOST_OTHERS);
        let other = |fit: &Fit| {
            let name = words::other(&fit.scale.printed(), &self.title);
            Printed::plain(format!("{name}{}.", about(fit, Note::printed, Scale::printed)))
        };
        let more = others.len().saturating_sub(MOST_OTHERS);
        let more = (more > 0).then(|| Printed::plain(words::more(more, &self.title)));
        let played = self.played_words(Scale::printed).map(Printed::plain);
        let notes = [verdict].into_iter().chain(shown.map(other)).chain(more).chain(played);
        notes.map(|note| desk.in_language(note)).collect()
    }

    /// What the lines of its lanes mean, where it has some.
    pub(super) fn key(&self, desk: &Desk<'_>) -> Option<Printed> {
        let leads = self.guided.iter().any(|guided| !guided.moves.is_empty());
        leads.then(|| desk.note(lanes::KEY))
    }

    /// All of it in words.
    pub(super) fn words(&self) -> String {
        let mut words = vec![self.verdict(Note::spoken, Scale::spoken, spoken).text()];
        words.extend(self.guided.iter().filter_map(guides::in_words));
        let others = self.others();
        words.extend(others.iter().take(MOST_OTHERS).map(|fit| {
            let name = fit.scale.spoken();
            let about = about(fit, Note::spoken, Scale::spoken);
            format!("{name} holds every chord too and {about}.")
        }));
        words.extend(self.played_words(Scale::spoken));
        words.join(" ")
    }

    /// The scales that hold every chord, but for the best.
    fn others(&self) -> &[Fit] {
        match &self.fitting {
            Fitting::Whole(_, others) => others,
            Fitting::Nearest(_) => &[],
        }
    }

    /// What the scale that is drawn holds, in a sentence or two.
    fn verdict(
        &self,
        note: fn(Note) -> String,
        scale: fn(&Scale) -> String,
        chord: fn(&Chord) -> Printed,
    ) -> Printed {
        let title = &self.title;
        match &self.fitting {
            Fitting::Whole(best, _) => {
                let (name, about) = (scale(&best.scale), about(best, note, scale));
                Printed::plain(format!("{name} holds every chord of “{title}” and {about}."))
            }
            Fitting::Nearest(nearly) => {
                let name = scale(&nearly.scale);
                let none =
                    format!("No scale holds every chord of “{title}”. {name} is the nearest: ");
                lacks(nearly, note, chord, Printed::plain(none)).then(".", false)
            }
        }
    }

    /// What is played over the chords in blues and rock, in a sentence.
    fn played_words(&self, scale: fn(&Scale) -> String) -> Option<String> {
        let names: Vec<String> = self.played.iter().map(scale).collect();
        (!names.is_empty()).then(|| words::played_over(&listed(&names), &self.title))
    }
}

/// The scales that are played over some chords but for those that hold every chord, which are told already.
fn played(fitting: &Fitting, chords: &[Chord], key: Option<&Key>) -> Vec<Scale> {
    let told: Vec<u16> = match fitting {
        Fitting::Whole(best, others) => {
            [best].into_iter().chain(others).map(|fit| fit.scale.classes()).collect()
        }
        Fitting::Nearest(_) => Vec::new(),
    };
    let mut scales = fitting::played_over(chords, key);
    scales.retain(|scale| !told.contains(&scale.classes()));
    scales
}

/// What is to be said about a scale that fits: the notes that it adds, its other names.
fn about(fit: &Fit, note: fn(Note) -> String, scale: fn(&Scale) -> String) -> String {
    let beyond = match fit.beyond.as_slice() {
        [] => "has no other note".to_owned(),
        notes => {
            format!("adds {}", listed(&notes.iter().map(|own| note(*own)).collect::<Vec<_>>()))
        }
    };
    let without: Vec<String> = fit.without.iter().map(|own| note(*own)).collect();
    let told = match without.is_empty() {
        true => beyond,
        false => format!("{beyond}; it leaves out {}", listed(&without)),
    };
    match fit.also.as_slice() {
        [] => told,
        also => format!(
            "{told}; the same notes are {}",
            listed(&also.iter().map(scale).collect::<Vec<_>>())
        ),
    }
}

fn spoken(chord: &Chord) -> Printed {
    Printed::plain(chord.spoken().trim())
}

/// Says behind some words what the nearest scale lacks.
fn lacks(
    nearly: &Nearly,
    note: fn(Note) -> String,
    say: fn(&Chord) -> Printed,
    before: Printed,
) -> Printed {
    let shown = nearly.breaks.iter().take(MOST_BREAKS).enumerate();
    let told = shown.fold(before, |told, (at, (chord, notes))| {
        let lead = if at == 0 { "it lacks " } else { "; " };
        let notes: Vec<String> = notes.iter().map(|own| note(*own)).collect();
        told.then(format!("{lead}{} of ", listed(&notes)), false).with(say(chord))
    });
    let more = nearly.breaks.len().saturating_sub(MOST_BREAKS);
    let more = if more > 0 { format!("; and it breaks at {more} more") } else { String::new() };
    told.then(more, false)
}

fn leading(desk: &Desk<'_>) -> Pt {
    desk.look.small_size * 1.35
}

/// Adds a line of words beneath what a drawing holds.
fn add_line(drawing: &mut Drawing, x: Pt, line: Text, desk: &Desk<'_>) {
    drawing.text(Point::new(x, drawing.height + desk.look.small_size), line);
    drawing.height += leading(desk);
}

/// A strip that begins with its title.
pub(super) fn titled(title: &str, desk: &Desk<'_>) -> Drawing {
    let mut strip = Drawing::new(desk.width, ABOVE);
    let style = Style::new(Face::SerifItalic, desk.look.small_size * 1.15);
    for line in desk.lines(title, style, desk.width) {
        add_line(&mut strip, Pt::ZERO, line, desk);
    }
    strip.height += pt(4.0);
    strip
}
