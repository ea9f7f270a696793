//! Notes that are no tones of their chord, and what explains them: the kinds that every harmony
//! book lists (hand note section 5.2). A step is one or two half steps.

use super::Midi;
/// What explains a note that its chord does not have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum NonChord {
    /// By step in, by step on in the same direction.
    Passing,
    /// By step in and back to the same note.
    Neighbour,
    /// A step above and a step below the note that it returns to, one after the other.
    DoubleNeighbour,
    /// Held over from the chord before, then a step down.
    Suspension,
    /// Held over from the chord before, then a step up.
    Retardation,
    /// By leap onto a strong beat, then by step the other way.
    Appoggiatura,
    /// By step in on a weak beat, then by leap the other way.
    Escape,
    /// A tone of the next chord, a little early.
    Anticipation,
    /// One note that stays while the chords change around it.
    Pedal,
    /// A half step from the tone that follows it.
    ChromaticApproach,
    /// The lowered third, fifth or seventh of a blues.
    Blue,
}

impl NonChord {
    /// Its name as a harmony book has it.
    pub const fn name(self) -> &'static str {
        match self {
            NonChord::Passing => "passing note",
            NonChord::Neighbour => "neighbour note",
            NonChord::DoubleNeighbour => "double neighbour",
            NonChord::Suspension => "suspension",
            NonChord::Retardation => "retardation",
            NonChord::Appoggiatura => "appoggiatura",
            NonChord::Escape => "escape note",
            NonChord::Anticipation => "anticipation",
            NonChord::Pedal => "pedal",
            NonChord::ChromaticApproach => "chromatic approach",
            NonChord::Blue => "blue note",
        }
    }
}

/// A note beside another in its line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Beside {
    /// Its pitch.
    pub pitch: Midi,
    /// Whether the chord under it has it.
    pub in_chord: bool,
}

/// A note in its line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct InLine {
    /// Its pitch.
    pub pitch: Midi,
    /// Whether it is on a beat.
    pub strong: bool,
    /// The two notes before it, the nearer first.
    pub before: [Option<Beside>; 2],
    /// The two notes after it, the nearer first.
    pub after: [Option<Beside>; 2],
}

/// What explains a note by the way its line moves; `None` where nothing does. Pedals and blue notes
/// are told by more than the line.
pub fn explain(note: &InLine) -> Option<NonChord> {
    let [before, earlier] = note.before;
    let [after, later] = note.after;
    let into = before.map(|before| note.pitch - before.pitch);
    let out = after.map(|after| after.pitch - note.pitch);
    let resolves = after.is_some_and(|after| after.in_chord);
    let double = || {
        is_double(note.pitch, before, after, later) || is_double(note.pitch, after, before, earlier)
    };
    Some(match (into, out) {
        (Some(0), Some(-2 | -1)) if held(before) => NonChord::Suspension,
        (Some(0), Some(1 | 2)) if held(before) => NonChord::Retardation,
        (_, Some(0)) if !note.strong && resolves => NonChord::Anticipation,
        (Some(into), Some(out)) if is_step(into) && is_step(out) && into == -out => {
            NonChord::Neighbour
        }
        (Some(into), Some(out))
            if is_step(into) && is_step(out) && into.signum() == out.signum() =>
        {
            NonChord::Passing
        }
        (_, Some(-1 | 1)) if resolves => NonChord::ChromaticApproach,
        (Some(_), Some(_)) if double() => NonChord::DoubleNeighbour,
        (Some(into), Some(out))
            if note.strong && into.abs() > 2 && turns(into, out) && is_step(out) =>
        {
            NonChord::Appoggiatura
        }
        (Some(into), Some(out))
            if !note.strong && is_step(into) && turns(into, out) && out.abs() > 2 =>
        {
            NonChord::Escape
        }
        _ => return None,
    })
}

fn held(before: Option<Beside>) -> bool {
    before.is_some_and(|before| before.in_chord)
}

fn is_step(interval: i32) -> bool {
    matches!(interval.abs(), 1 | 2)
}

fn turns(into: i32, out: i32) -> bool {
    into.signum() == -out.signum()
}

/// Whether a note and the one on its `other` side stand a step above and a step below a note that
/// comes on both sides of the two.
fn is_double(
    pitch: Midi,
    home: Option<Beside>,
    other: Option<Beside>,
    home_again: Option<Beside>,
) -> bool {
    let (Some(home), Some(other), Some(again)) = (home, other, home_again) else { return false };
    let (own, others) = (pitch - home.pitch, other.pitch - home.pitch);
    home.pitch == again.pitch && is_step(own) && is_step(others) && turns(own, others)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A line of pitches, the judged one in the middle of five (0 stands for none); `*` on a beat.
    fn kind(pitches: [i32; 5], strong: bool) -> Option<&'static str> {
        const C_MAJOR: [i32; 3] = [0, 4, 7];
        let beside = |pitch: i32| {
            (pitch > 0).then(|| Beside {
                pitch: Midi::new(pitch),
                in_chord: C_MAJOR.contains(&(pitch % 12)),
            })
        };
        let [earlier, before, pitch, after, later] = pitches;
        let note = InLine {
            pitch: Midi::new(pitch),
            strong,
            before: [beside(before), beside(earlier)],
            after: [beside(after), beside(later)],
        };
        explain(&note).map(NonChord::name)
    }

    #[test]
    fn the_textbook_figures_over_c_major() {
        let rows = [
            ([0, 60, 62, 64, 0], false, Some("passing note")),
            ([0, 67, 65, 64, 0], true, Some("passing note")),
            ([0, 64, 65, 64, 0], false, Some("neighbour note")),
            ([0, 60, 59, 60, 0], true, Some("neighbour note")),
            ([0, 67, 66, 67, 0], false, Some("neighbour note")),
            ([0, 60, 65, 64, 0], true, Some("chromatic approach")),
            ([0, 60, 69, 67, 0], true, Some("appoggiatura")),
            ([0, 64, 62, 67, 0], false, Some("escape note")),
            ([0, 72, 71, 76, 0], false, Some("escape note")),
            ([0, 60, 63, 64, 0], false, Some("chromatic approach")),
            ([60, 60, 62, 59, 60], false, Some("double neighbour")),
            ([60, 62, 59, 60, 64], false, Some("chromatic approach")),
            ([64, 66, 62, 64, 60], false, Some("double neighbour")),
            ([0, 60, 66, 72, 0], false, None),
            ([0, 60, 63, 67, 0], true, None),
            ([0, 0, 61, 67, 0], true, None),
            ([0, 60, 61, 0, 0], true, None),
        ];
        for (pitches, strong, expected) in rows {
            assert_eq!(kind(pitches, strong), expected, "{pitches:?}");
        }
    }

    #[test]
    fn a_held_note_needs_a_chord_that_had_it() {
        let held = |in_chord| InLine {
            pitch: Midi::new(65),
            strong: true,
            before: [Some(Beside { pitch: Midi::new(65), in_chord }), None],
            after: [Some(Beside { pitch: Midi::new(64), in_chord: false }), None],
        };
        assert_eq!(explain(&held(true)), Some(NonChord::Suspension));
        assert_eq!(explain(&held(false)), None);
        let mut rising = held(true);
        rising.after = [Some(Beside { pitch: Midi::new(67), in_chord: true }), None];
        assert_eq!(explain(&rising), Some(NonChord::Retardation));
    }
}
