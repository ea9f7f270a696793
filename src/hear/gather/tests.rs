use super::*;
use crate::findings::{Findings, Source, Weight};
use crate::lesson::setting::Tempo;
use crate::lesson::world::MemoryWorld;
use crate::music::performance::Heard;
use crate::{blocks, checks, lesson};

/// The score of the last block of a lesson in A major at 60.
fn heard(keys: &str, text: &str) -> Score {
    let text = format!("---\ntitle: Heard\nkey: A major\ntempo: 60\n{keys}---\n{text}");
    let (source, mut findings) = (Source::new("lesson.md", text.as_bytes()), Findings::default());
    let world = MemoryWorld::default();
    let lesson = lesson::read(&source, &blocks::kinds(), &world, &mut findings);
    let lesson = checks::elaborate(lesson, &mut findings);
    let findings = findings.sorted();
    assert!(findings.iter().all(|one| one.weight != Weight::Fault), "{findings:?}");
    score(&lesson, lesson.blocks.len() - 1).unwrap()
}

/// The notes of a part: "0 45" is the note 45 at the first tick.
fn notes(part: &Part) -> Vec<String> {
    let note = |struck: &Struck| match struck.played.heard {
        Heard::Fretted { pitch, .. } | Heard::Harmonic { pitch, .. } => {
            format!("{} {}", struck.played.start.0, pitch.number())
        }
        Heard::Muted => format!("{} x", struck.played.start.0),
    };
    part.notes.iter().map(note).collect()
}

const SHAPES: &str = "~~~ shape\nA x 0 2 2 2 0\nD x x 0 2 3 2\n~~~\n";
const CHANGES: &str = "~~~ changes verse\n| A / / D | D |\n~~~\n";

#[test]
fn chords_are_held_in_the_shapes_of_the_lesson_anew_in_each_bar() {
    let score = heard("", &format!("{SHAPES}{CHANGES}~~~ loop\nverse\n~~~\n"));
    let starts: Vec<u32> = score.parts[0].notes.iter().map(|one| one.played.start.0).collect();
    assert_eq!(starts, [[0; 5].as_slice(), &[2880; 4], &[3840; 4]].concat());
    assert_eq!(notes(&score.parts[0])[..5], ["0 45", "0 52", "0 57", "0 61", "0 64"]);
    let ranks = score.parts[0].notes[..5].iter().map(|one| one.strum.unwrap().rank);
    assert_eq!(ranks.collect::<Vec<_>>(), [0, 1, 2, 3, 4]);
    assert_eq!(score.parts[0].notes[0].played.end, Ticks(2880));
}

#[test]
fn chords_are_strummed_on_every_beat_and_a_bass_has_their_roots() {
    let line = "~~~ loop\nverse twice at 60, then 80, strummed, with a bass\n~~~\n";
    let score = heard("capo: 2\n", &format!("{SHAPES}{CHANGES}{line}"));
    let mut starts: Vec<u32> = score.parts[0].notes.iter().map(|one| one.played.start.0).collect();
    starts.dedup();
    assert_eq!(starts, [0, 960, 1920, 2880, 3840, 4800, 5760, 6720]);
    assert_eq!(notes(&score.parts[0])[0], "0 47");
    assert_eq!(notes(&score.parts[1]), ["0 35", "2880 28", "3840 28"]);
    assert_eq!(score.key.unwrap().to_string(), "B major");
    let rounds: Vec<(u16, u32)> =
        score.rounds.iter().map(|round| (round.tempo.number, round.times)).collect();
    assert_eq!(rounds, [(60, 2), (80, 2)]);
}

#[test]
fn clicks_are_on_the_big_beats_and_an_upbeat_shortens_the_count_in() {
    let riff = "~~~ riff hook, pickup\ncount 6   |1   4   |\ne     0---|2---3---|\n~~~\n";
    let score = heard("meter: 6/8\n", &format!("{riff}~~~ loop\nhook\n~~~\n"));
    let at = |clicks: &[Click]| -> Vec<(u32, bool)> {
        clicks.iter().map(|click| (click.at.0, click.strong)).collect()
    };
    assert_eq!(at(&score.clicks), [(480, true), (480 + 1440, false)]);
    assert_eq!(at(&score.count_in), [(0, true), (1440, false)]);
    assert_eq!(score.count_in_length, Ticks(2400));
}

#[test]
fn repeats_are_played_out_and_a_block_alone_has_no_clicks() {
    let riff = "~~~ riff hook\nchord  A         |E         |\ncount |:1   3   :|1   3     |\n\
                e     |:0---2---:|4---5-----|\npick  |:d   u   :|d   u     |\n~~~\n";
    let score = heard("swing: eighths\n", riff);
    let bars: Vec<(u32, usize)> = score.bars.iter().map(|bar| (bar.start.0, bar.number)).collect();
    assert_eq!(bars, [(0, 1), (3840, 1), (7680, 2)]);
    assert_eq!(score.length, Ticks(3 * 3840));
    assert_eq!(notes(&score.parts[0])[..3], ["0 64", "1920 66", "3840 64"]);
    assert!(score.clicks.is_empty() && score.count_in.is_empty());
    assert_eq!(score.title, "hook");
}

#[test]
fn a_stroke_upwards_strikes_the_highest_string_first() {
    let riff = "~~~ riff\nchord A\ncount 1   2\npick  d   u\n~~~\n";
    let score = heard("", &format!("{SHAPES}{riff}"));
    let ranks: Vec<u8> = score.parts[0].notes.iter().map(|one| one.strum.unwrap().rank).collect();
    assert_eq!(ranks, [0, 1, 2, 3, 4, 4, 3, 2, 1, 0]);
}

#[test]
fn parts_are_heard_together_but_the_one_that_the_student_plays() {
    let riffs = "~~~ riff low\ncount 1   3\nE     0---2\n~~~\n~~~ riff high\ncount 1   2\ne     0---2\n~~~\n\
                 ~~~ together both\nbottom: low\nlead: high\n~~~\n";
    let score = heard("", riffs);
    let names: Vec<&str> = score.parts.iter().map(|part| part.name.as_str()).collect();
    assert_eq!(names, ["bottom", "lead"]);
    assert_eq!(notes(&score.parts[0]), ["0 40", "1920 42"]);
    assert_eq!(notes(&score.parts[1]), ["0 64", "960 66"]);
    let score = heard("", &format!("{riffs}~~~ loop\nboth twice, without lead\n~~~\n"));
    let names: Vec<&str> = score.parts.iter().map(|part| part.name.as_str()).collect();
    assert_eq!(names, ["bottom"]);
}

/// A tune for a guitar and a bass of its own strings, the words on the fence line of both together being given.
fn with_bass(together: &str) -> String {
    format!(
        "~~~ riff high, capo 2\nchord G       |C       |\ncount 1   3   |1   3   |\ne     3---7---|0---3---|\n~~~\n\
         ~~~ riff low, tuning E1 A1 D2 G2\ncount 1       |1       |\nE     3-------|8-------|\n~~~\n\
         ~~~ riff soft, instrument nylon\ncount 1       |1       |\nG     0-------|0-------|\n~~~\n\
         ~~~ together both{together}\nbottom: low\nlead: high\nmiddle: soft\n~~~\n"
    )
}

#[test]
fn each_part_sounds_on_the_instrument_of_its_riff() {
    let score = heard("", &with_bass(", tempo 90"));
    let [bottom, lead, middle] = &score.parts[..] else { panic!() };
    let sounds = [bottom.sound, lead.sound, middle.sound];
    assert_eq!(sounds, [Sound::Bass, Sound::Steel, Sound::Nylon]);
    assert_eq!(notes(bottom), ["0 31", "3840 36"]);
    assert_eq!(bottom.instrument.tuning.len(), 4);
    assert!(bottom.instrument.scale_length > 800.0 && lead.instrument.scale_length < 700.0);
    assert_eq!((bottom.instrument.capo, lead.instrument.capo), (0, 2));
    assert_eq!(notes(lead)[0], "0 69");
    assert_eq!(score.rounds, [Round { tempo: Tempo { number: 90, dotted: false }, times: 1 }]);
}

#[test]
fn an_instrument_of_the_whole_block_is_that_of_parts_that_say_none() {
    for (keys, whole, sounds) in [
        ("instrument: electric\n", "", [Sound::Electric, Sound::Electric, Sound::Nylon]),
        ("", ", instrument electric", [Sound::Electric, Sound::Electric, Sound::Nylon]),
        (
            "instrument: electric\n",
            ", instrument steel",
            [Sound::Steel, Sound::Steel, Sound::Nylon],
        ),
    ] {
        let score = heard(keys, &with_bass(whole));
        let heard: Vec<Sound> = score.parts.iter().map(|part| part.sound).collect();
        assert_eq!(heard, sounds, "{keys}{whole}");
    }
}

#[test]
fn a_loop_of_parts_leaves_each_its_instrument_and_adds_a_bass_to_the_chords_of_any() {
    let lesson = with_bass("");
    let score = heard("", &format!("{lesson}~~~ loop\nboth, without lead, with a bass\n~~~\n"));
    let sounds: Vec<Sound> = score.parts.iter().map(|part| part.sound).collect();
    assert_eq!(sounds, [Sound::Bass, Sound::Nylon, Sound::Bass]);
    // G and C above the capo of the riff that has the chords.
    assert_eq!(notes(&score.parts[2]), ["0 33", "3840 38"]);
    assert_eq!(score.key.unwrap().to_string(), "B major");
}

#[test]
fn parts_swing_as_their_block_does_which_has_one_row_of_counts() {
    let riffs = "~~~ riff low, swing eighths\ncount 1   &\nE     0---2\n~~~\n\
                 ~~~ riff high\ncount 1   &\ne     0---2\n~~~\n";
    for (swing, late) in [("", "480"), (", swing eighths", "640")] {
        let score = heard("", &format!("{riffs}~~~ together both{swing}\na: low\nb: high\n~~~\n"));
        assert_eq!(notes(&score.parts[0])[1], format!("{late} 42"), "{swing}");
        assert_eq!(notes(&score.parts[1])[1], format!("{late} 66"), "{swing}");
    }
}

#[test]
fn the_files_of_parts_have_a_bass_on_its_own_strings() {
    let score = heard("", &with_bass(""));
    let mut file = std::io::Cursor::new(Vec::new());
    crate::hear::midi::write(&score, &mut file).unwrap();
    let file = file.into_inner();
    let midi = midly::Smf::parse(&file).unwrap();
    let programs = midi.tracks.iter().filter_map(|track| {
        track.iter().find_map(|event| match event.kind {
            midly::TrackEventKind::Midi {
                message: midly::MidiMessage::ProgramChange { program },
                ..
            } => Some(program.as_int()),
            _ => None,
        })
    });
    assert_eq!(programs.collect::<Vec<_>>(), [33, 25, 24]);
}
