//! Files are read back by the library that wrote them; `tests/hear/notes.py` has another reader.

#![allow(clippy::unwrap_used)]

use super::super::{Click, HeardBar, Part, Pickup, Round, Score, Struck, Tone};
use super::write;
use crate::lesson::Sound;
use crate::lesson::setting::Tempo;
use crate::music::performance::{Attack, Heard, Played, Release};
use crate::music::tab::{Joint, Slide};
use crate::neck::{Fret, Instrument, StringIndex};
use crate::theory::{Chord, Key, Meter, Ticks};
use midly::{MetaMessage, MidiMessage, Smf, TrackEventKind};

/// A note of a string, from 0 the lowest, from one quarter to another.
fn note(string: usize, fret: u8, from: u32, to: u32) -> Played {
    let string = StringIndex::new(string);
    let pitch = Instrument::guitar().written_pitch(string, Fret::new(fret)).unwrap();
    let quarters = (Ticks::QUARTER * from, Ticks::QUARTER * to);
    Played::plain(string, (Fret::new(fret), pitch), quarters)
}

/// A note that is reached by a bend or its release, so many half steps above the fret that is held.
fn bent(joint: Joint, half_steps: i32, played: Played) -> Played {
    let Heard::Fretted { fret, pitch } = played.heard else { return played };
    let heard = Heard::Fretted { fret, pitch: pitch + half_steps };
    Played { heard, attack: Attack::Joined(joint), ..played }
}

fn part(notes: &[Played]) -> Part {
    Part {
        name: "Lead".to_owned(),
        instrument: Instrument::guitar(),
        sound: Sound::Steel,
        notes: notes.iter().map(|played| Struck { played: *played, strum: None }).collect(),
        tones: Vec::new(),
        words: Vec::new(),
    }
}

/// Parts over a bar of 4/4, once at 100.
fn score(parts: Vec<Part>) -> Score {
    Score {
        title: "Ferry".to_owned(),
        key: None,
        rounds: vec![Round { tempo: Tempo { number: 100, dotted: false }, times: 1 }],
        count_in: Vec::new(),
        count_in_length: Ticks::ZERO,
        bars: vec![bar(0, Meter::COMMON, 1)],
        moments: Vec::new(),
        clicks: Vec::new(),
        parts,
        length: Ticks::WHOLE,
    }
}

fn bar(start: u32, meter: Meter, number: usize) -> HeardBar {
    let start = Ticks(start);
    HeardBar { start, written: start, length: meter.bar(), meter, number, chords: Vec::new() }
}

/// What stands in each track: the moment, and what happens in a word or two.
fn told(score: &Score) -> Vec<Vec<String>> {
    let mut file = Vec::new();
    write(score, &mut file).unwrap();
    let file = Smf::parse(&file).unwrap();
    assert_eq!(
        format!("{:?}", file.header),
        "Header { format: Parallel, timing: Metrical(u15(960)) }"
    );
    let track = |track: &Vec<midly::TrackEvent<'_>>| {
        let mut now = 0;
        let told = track.iter().map(|event| {
            now += event.delta.as_int();
            format!("{now} {}", event_told(&event.kind))
        });
        told.collect()
    };
    file.tracks.iter().map(track).collect()
}

fn event_told(kind: &TrackEventKind<'_>) -> String {
    let words = |words: &[u8]| String::from_utf8_lossy(words).into_owned();
    match *kind {
        TrackEventKind::Meta(MetaMessage::TrackName(name)) => format!("name {}", words(name)),
        TrackEventKind::Meta(MetaMessage::Marker(name)) => format!("marker {}", words(name)),
        TrackEventKind::Meta(MetaMessage::Lyric(name)) => format!("lyric {}", words(name)),
        TrackEventKind::Meta(MetaMessage::Tempo(tempo)) => format!("tempo {tempo}"),
        TrackEventKind::Meta(MetaMessage::KeySignature(signs, minor)) => {
            format!("key {signs} {minor}")
        }
        TrackEventKind::Meta(MetaMessage::TimeSignature(beats, power, clocks, _)) => {
            format!("meter {beats} {power} {clocks}")
        }
        TrackEventKind::Midi { channel, message } => match message {
            MidiMessage::NoteOn { key, vel } => format!("{channel}: on {key} {vel}"),
            MidiMessage::NoteOff { key, .. } => format!("{channel}: off {key}"),
            MidiMessage::Controller { controller, value } => {
                format!("{channel}: control {controller} {value}")
            }
            MidiMessage::ProgramChange { program } => format!("{channel}: program {program}"),
            MidiMessage::PitchBend { bend } => format!("{channel}: bend {}", bend.as_int()),
            other => format!("{channel}: {other:?}"),
        },
        TrackEventKind::Meta(MetaMessage::EndOfTrack) => "end".to_owned(),
        ref other => format!("{other:?}"),
    }
}

/// The events of a track that hold one of some words.
fn only<'t>(track: &'t [String], words: &[&str]) -> Vec<&'t str> {
    let wanted = |event: &&String| words.iter().any(|word| event.contains(word));
    track.iter().filter(wanted).map(String::as_str).collect()
}

#[test]
fn a_note_stands_where_it_is_heard() {
    let told = told(&score(vec![part(&[note(0, 3, 0, 1), note(0, 3, 1, 4)])]));
    assert_eq!(told.len(), 2, "no clicks, no track for them");
    assert_eq!(
        told[0],
        ["0 name Ferry", "0 tempo 600000", "0 meter 4 2 24", "0 marker bar 1", "0 end",]
    );
    assert_eq!(
        told[1],
        [
            "0 name Lead",
            "0 0: control 10 64",
            "0 0: program 25",
            "0 0: on 43 80",
            "960 0: off 43",
            "960 0: on 43 80",
            "3840 0: off 43",
            "3840 end",
        ]
    );
}

#[test]
fn rounds_follow_each_other_each_behind_a_count_in() {
    let tempo = |number, dotted| Tempo { number, dotted };
    let mut score = score(vec![part(&[note(0, 0, 0, 1)])]);
    score.rounds = vec![
        Round { tempo: tempo(70, false), times: 2 },
        Round { tempo: tempo(60, true), times: 1 },
    ];
    score.count_in =
        vec![Click { at: Ticks(0), strong: true }, Click { at: Ticks(960), strong: false }];
    score.count_in_length = Ticks(1920);
    score.clicks = vec![Click { at: Ticks(960), strong: false }];
    let told = told(&score);
    assert_eq!(only(&told[0], &["tempo"]), ["0 tempo 857143", "9600 tempo 666667"]);
    assert_eq!(
        only(&told[1], &["on "]),
        ["1920 0: on 40 80", "5760 0: on 40 80", "11520 0: on 40 80"]
    );
    assert_eq!(
        only(&told[2], &["on "]),
        [
            "0 9: on 76 112",
            "960 9: on 77 88",
            "2880 9: on 77 88",
            "6720 9: on 77 88",
            "9600 9: on 76 112",
            "10560 9: on 77 88",
            "12480 9: on 77 88",
        ]
    );
    assert_eq!(score.duration().as_millis(), 12_571);
}

#[test]
fn a_meter_stands_where_bar_lines_are() {
    let (three, six) = (Meter::parse("3/4").unwrap(), Meter::parse("6/8").unwrap());
    let mut score = score(Vec::new());
    let upbeat = HeardBar { length: Ticks(960), ..bar(0, three, 0) };
    score.bars = vec![upbeat, bar(960, three, 1), bar(3840, three, 2), bar(6720, six, 3)];
    score.length = Ticks(9600);
    let told = told(&score);
    assert_eq!(
        only(&told[0], &["meter"]),
        ["0 meter 3 2 24", "960 meter 3 2 24", "6720 meter 6 3 36"]
    );
    // A count-in that the upbeat fills up to a bar has the bar lines right from the beginning.
    score.count_in_length = Ticks(1920);
    assert_eq!(only(&self::told(&score)[0], &["meter"]), ["0 meter 3 2 24", "8640 meter 6 3 36"]);
}

#[test]
fn chords_key_and_words_are_told() {
    let mut words = part(&[]);
    words.words = vec![(Ticks(480), "fer-".to_owned())];
    let mut score = score(vec![words]);
    score.key = Key::parse("F# minor");
    score.bars[0].chords = vec![(Ticks(0), Chord::parse("F#m7").ok()), (Ticks(1920), None)];
    let told = told(&score);
    assert_eq!(only(&told[0], &["key"]), ["0 key 3 true"]);
    assert_eq!(
        only(&told[0], &["marker"]),
        ["0 marker bar 1", "0 marker F#m7", "1920 marker N.C."]
    );
    assert_eq!(only(&told[1], &["lyric"]), ["480 lyric fer-"]);
}

#[test]
fn a_bend_is_one_key_whose_pitch_moves_on_a_channel_of_its_own() {
    let up = bent(Joint::Bend, 2, note(3, 7, 1, 2));
    let down = bent(Joint::Release, 0, note(3, 7, 2, 3));
    let told = told(&score(vec![part(&[note(3, 7, 0, 1), note(0, 0, 0, 4), up, down])]));
    assert_eq!(
        only(&told[1], &["on ", "off "]),
        ["0 1: on 62 80", "0 0: on 40 80", "2880 1: off 62", "3840 0: off 40",]
    );
    let range = [
        "control 101 0",
        "control 100 0",
        "control 6 12",
        "control 38 0",
        "control 101 127",
        "control 100 127",
    ];
    let range = range.map(|control| format!("0 1: {control}"));
    assert_eq!(only(&told[1], &["control 101", "control 100", "control 6 ", "control 38"]), range);
    let bends = only(&told[1], &["bend"]);
    assert_eq!(bends[0], "0 1: bend 0");
    assert!(bends.contains(&"960 1: bend 1365") && bends.contains(&"1920 1: bend 0"), "{bends:?}");
    assert!(bends.iter().all(|bend| bend.contains(" 1: ")), "{bends:?}");
}

#[test]
fn what_is_bent_before_it_is_picked_is_struck_bent() {
    let bent = Played { attack: Attack::Plucked, ..bent(Joint::Bend, 2, note(3, 7, 0, 1)) };
    let told = told(&score(vec![part(&[bent, note(3, 5, 1, 2)])]));
    assert_eq!(
        only(&told[1], &["bend", "on "]),
        ["0 1: bend 1365", "0 1: on 62 80", "960 1: bend 0", "960 1: on 60 80",]
    );
}

#[test]
fn vibrato_and_slides_to_nowhere_move_the_pitch_and_a_joined_slide_strikes_anew() {
    let shaken = Played { vibrato: true, ..note(4, 3, 0, 1) };
    let out = Played { release: Release::SlidOut(Slide::Down), ..note(5, 3, 0, 1) };
    let slid = Played { attack: Attack::Joined(Joint::Slide), ..note(0, 5, 1, 2) };
    let told = told(&score(vec![part(&[note(0, 3, 0, 1), shaken, out, slid])]));
    assert_eq!(only(&told[1], &["control 1 "]), ["0 1: control 1 64", "0 2: control 1 0"]);
    assert_eq!(only(&told[1], &["960 2: bend"]), ["960 2: bend -1365"]);
    assert_eq!(only(&told[1], &["0: on"]), ["0 0: on 43 80", "960 0: on 45 68"]);
}

#[test]
fn an_electric_guitar_has_its_tones_and_a_palm() {
    let mut lead = part(&[note(0, 0, 0, 1), Played { palm_muted: true, ..note(0, 0, 1, 2) }]);
    lead.sound = Sound::Electric;
    lead.tones = vec![(Ticks(1920), Tone { driven: true, pickup: Pickup::Bridge })];
    let told = told(&score(vec![lead]));
    assert_eq!(
        only(&told[1], &["program"]),
        ["0 1: program 28", "0 0: program 27", "1920 0: program 29",]
    );
    assert_eq!(only(&told[1], &["on "]), ["0 0: on 40 80", "960 1: on 40 80"]);
}

#[test]
fn damped_strings_are_a_short_stroke() {
    let muted = Played { heard: Heard::Muted, ..note(1, 5, 0, 4) };
    let told = told(&score(vec![part(&[muted])]));
    assert_eq!(only(&told[1], &["on ", "off "]), ["0 0: on 45 80", "120 0: off 45"]);
}

#[test]
fn more_parts_and_strings_than_channels_are_all_written() {
    let shaken: Vec<Played> =
        (0..6).map(|string| Played { vibrato: true, ..note(string, 5, 0, 1) }).collect();
    let told = told(&score(vec![part(&shaken); 20]));
    assert_eq!(told.len(), 21);
    for track in &told[1..] {
        assert_eq!(only(track, &["on "]).len(), 6);
        assert_eq!(only(track, &["9: on "]), [""; 0], "percussion has its channel alone");
    }
}
