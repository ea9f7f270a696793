//! Boards of any neck: nothing touches.

use super::testing::Measured;
use super::{Mark, NeckBoard, View};
use crate::blocks::figure::{Desk, DotLabel, Look, RestingParts};
use crate::ink::{Fonts, pt};
use crate::neck::{Fret, Instrument, StringIndex, Tuning};
use crate::words::Lang;

fn look(size: f32, gap: f32) -> Look {
    Look {
        string_gap: pt(8.0),
        fret_size: pt(10.0),
        symbol_size: pt(12.5),
        small_size: pt(size),
        sung_size: pt(11.0),
        box_gap: pt(gap),
        label: DotLabel::Degrees,
        resting_parts: RestingParts::Shown,
    }
}

/// A neck of so many strings, in fourths.
fn neck(strings: usize) -> Instrument {
    let names = ["B0", "E1", "A1", "D2", "G2", "C3", "F3", "Bb3", "Eb4", "Ab4", "Db5", "Gb5"];
    let tuning = names.get(..strings).unwrap().join(" ");
    Instrument { tuning: Tuning::parse(&tuning).unwrap(), ..Instrument::guitar() }
}

/// A mark at every place, with narrow and wide labels by turns, round and square, filled and open.
fn full(strings: usize, last: u8) -> Vec<Mark> {
    let labels = ["5", "♭3", "R", "♭♭7", "♯11"];
    let places = StringIndex::first(strings)
        .flat_map(|string| Fret::OPEN.to(Fret::new(last)).map(move |fret| (string, fret)));
    let mark = |(at, (string, fret)): (usize, (StringIndex, Fret))| Mark {
        string,
        fret,
        label: labels.get(at % labels.len()).unwrap().to_string(),
        root: at % 3 == 0,
        filled: at % 4 == 0,
    };
    places.enumerate().map(mark).collect()
}

/// Both hands in a column of a handout, the right one elsewhere: a mirrored neck is the same neck.
fn handed(width: f32) -> Vec<bool> {
    if width == 470.0 { vec![false, true] } else { vec![false] }
}

#[test]
fn marks_and_numbers_never_touch_whatever_frets_and_strings() {
    let fonts = Fonts::new();
    // A column of A5, of a lesson's text, across text and side column; large print; a chart for the wall.
    let columns = [(300.0, 8.0, 11.0), (335.0, 8.0, 11.0), (470.0, 8.0, 11.0)];
    let columns = columns.into_iter().chain([(493.0, 15.0, 19.0), (482.0, 22.0, 28.0)]);
    for (width, size, gap) in columns {
        let look = look(size, gap);
        let desk = Desk { lang: Lang::English, fonts: &fonts, look: &look, width: pt(width) };
        for (last, strings) in (12..=36).flat_map(|last| [3, 4, 6, 7, 12].map(|of| (last, of))) {
            let (instrument, marks) = (neck(strings), full(strings, last));
            let frets = Fret::OPEN..=Fret::new(last);
            let view = View { frets, title: pt(0.0), marks: &marks, fills: false };
            for left_handed in handed(width) {
                let boards = NeckBoard::rows(&instrument, left_handed, &view, &desk);
                let mut drawn = 0;
                for board in &boards {
                    let mut drawing = board.draw(&desk);
                    let here = marks.iter().filter(|mark| board.frets().contains(&mark.fret));
                    here.for_each(|mark| board.mark(mark, &mut drawing, &desk));
                    let measured = Measured::of(&drawing);
                    let what = format!("{last} frets, {strings} strings, {width} wide");
                    measured.assert_nothing_touches(drawing.width, &what);
                    assert!(drawing.width <= pt(width + 0.1), "{what}");
                    drawn += measured.dots.len();
                }
                assert_eq!(drawn, marks.len());
            }
        }
    }
}

#[test]
fn inlays_stand_beneath_their_numbers_in_every_octave() {
    let fonts = Fonts::new();
    let look = look(8.0, 11.0);
    let desk = Desk { lang: Lang::English, fonts: &fonts, look: &look, width: pt(470.0) };
    let instrument = neck(6);
    let view = View { frets: Fret::OPEN..=Fret::new(36), title: pt(0.0), marks: &[], fills: false };
    let rows = NeckBoard::rows(&instrument, false, &view, &desk);
    let rows: Vec<Measured> = rows.iter().map(|row| Measured::of(&row.draw(&desk))).collect();
    assert_eq!(rows.iter().map(|row| row.inlays.len()).sum::<usize>(), 15 + 3);
    for row in &rows {
        for inlay in &row.inlays {
            let above = row.words.iter().any(|(words, number)| {
                let near =
                    (number.from.x - pt(2.0)..=number.to.x + pt(2.0)).contains(&inlay.from.x);
                words.parse::<u8>().is_ok() && near && number.to.y < inlay.from.y
            });
            assert!(above, "an inlay without a number: {inlay:?}");
        }
    }
}

#[test]
fn a_fret_is_no_wider_than_sixteen_millimetres_in_a_handout() {
    let fonts = Fonts::new();
    // Handout and large print: the gap of their chord boxes (looks, "Boxes").
    for (size, gap, widest) in [(8.0, 11.05, 16.0), (15.0, 19.3, 28.0)] {
        let look = look(size, gap);
        let desk = Desk { lang: Lang::English, fonts: &fonts, look: &look, width: pt(493.0) };
        let instrument = neck(6);
        let view =
            View { frets: Fret::new(5)..=Fret::new(7), title: pt(0.0), marks: &[], fills: false };
        let drawing = NeckBoard::new(&instrument, false, &view, &desk).draw(&desk);
        let wires = Measured::of(&drawing).wires;
        let first = wires.windows(2).map(|pair| pair[1] - pair[0]).fold(0.0, f32::max);
        assert!((first / 72.0 * 25.4 - widest).abs() < 0.3, "{first} pt");
    }
}

#[test]
fn a_long_neck_is_parted_at_the_octave_and_its_marks_leave_the_wires_free() {
    let fonts = Fonts::new();
    let look = look(8.0, 11.05);
    let desk = Desk { lang: Lang::English, fonts: &fonts, look: &look, width: pt(482.0) };
    let instrument = neck(6);
    for (last, ends) in [(15, vec![15]), (17, vec![17]), (20, vec![12, 20]), (22, vec![12, 22])] {
        let marks = full(6, last);
        let view = View {
            frets: Fret::OPEN..=Fret::new(last),
            title: pt(0.0),
            marks: &marks,
            fills: false,
        };
        let rows = NeckBoard::rows(&instrument, false, &view, &desk);
        let found: Vec<u8> = rows.iter().map(|row| row.frets().end().number()).collect();
        assert_eq!(found, ends, "{last} frets");
    }
}
