//! A page's own strings (`templates/string.js`) give each number of the mix with the bits that Rust gives it, over all
//! that can be done to a string, on every sound.

#![allow(clippy::unwrap_used)]

use fretleaf::hear::{Click, Part, Pickup, Round, Score, Struck, Strum, Tone, gather, render};
use fretleaf::lesson::Sound;
use fretleaf::lesson::setting::Tempo;
use fretleaf::lesson::world::MemoryWorld;
use fretleaf::music::performance::{Attack, Heard, Played, Release, Strength};
use fretleaf::music::tab::{Joint, Pick, Slide};
use fretleaf::neck::{Fret, Instrument, StringIndex};
use fretleaf::theory::Ticks;
use fretleaf::web::sound;
use std::fs;
use std::path::Path;
use std::process::Command;

/// A sixteenth.
const STEP: u32 = 240;
const DRIVEN: Tone = Tone { driven: true, pickup: Pickup::Bridge };
const CLEAN: Tone = Tone { driven: false, pickup: Pickup::Neck };

/// What is written here `.ci/run` compares too, where node is there for sure.
#[test]
fn the_strings_of_a_page_are_those_of_the_files_bit_by_bit() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folder = root.join("target/page-sound");
    fs::create_dir_all(&folder).unwrap();
    let scores = scores();
    let pitch = 442.0;
    fs::write(folder.join("scores.json"), sound::data(&scores, pitch)).unwrap();
    for (index, score) in scores.iter().enumerate() {
        let (mut mix, mut samples): (Vec<u8>, Vec<u8>) = (Vec::new(), Vec::new());
        let ended = render::mix(score, pitch, &mut |piece| {
            mix.extend(piece.as_flattened().iter().flat_map(|side| side.to_le_bytes()));
            Ok::<(), ()>(())
        });
        assert_eq!(ended, Ok(()));
        let ended = render::render(score, pitch, &mut |piece| {
            samples.extend(piece.as_flattened().iter().flat_map(|side| side.to_le_bytes()));
            Ok::<(), ()>(())
        });
        assert_eq!(ended, Ok(()));
        assert_eq!(mix.len() as u64, 16 * render::length(score));
        fs::write(folder.join(format!("{index}.mix")), mix).unwrap();
        fs::write(folder.join(format!("{index}.samples")), samples).unwrap();
    }
    let program = root.join("tests/web/string.mjs");
    match Command::new("node").arg(program).arg(&folder).output() {
        Ok(ran) => assert!(ran.status.success(), "{}", String::from_utf8_lossy(&ran.stderr)),
        Err(_) => eprintln!("no node here: the page's strings are NOT compared"),
    }
}

/// Every sound alone with all techniques, its tones changing; then a band of all of them, over a ladder of tempos with a
/// count-in and a click; then what a demo has.
fn scores() -> Vec<Score> {
    let alone = Sound::ALL.map(|sound| Score {
        clicks: Vec::new(),
        ..score(vec![part(sound, everything())], vec![round(132, false, 1)])
    });
    let rounds = vec![round(220, false, 3), round(150, true, 1), round(240, false, 2)];
    let parts = Sound::ALL.map(|sound| part(sound, some()));
    let count_in = (0..4).map(|beat| Click { at: Ticks(960 * beat), strong: beat == 0 });
    let band = Score {
        count_in: count_in.collect(),
        count_in_length: Ticks(3840),
        length: Ticks(3840),
        ..score(parts.to_vec(), rounds)
    };
    alone.into_iter().chain([band, silent()]).chain(demo()).collect()
}

/// What is heard of the first block of a demo.
fn demo() -> Vec<Score> {
    let text = include_str!("../../lessons/slow-ferry.md");
    let world = MemoryWorld::default().with_lesson("slow-ferry.md", text);
    let compiled = fretleaf::compile(&world, "slow-ferry.md").unwrap();
    let blocks = gather::all(&compiled.lesson).take(1);
    blocks.filter_map(|block| gather::score(&compiled.lesson, block)).collect()
}

/// Clicks, and a part that plays nothing.
fn silent() -> Score {
    let length = Ticks(3840);
    Score { length, ..score(vec![part(Sound::Nylon, Vec::new())], vec![round(90, false, 1)]) }
}

fn round(number: u16, dotted: bool, times: u32) -> Round {
    Round { tempo: Tempo { number, dotted }, times }
}

fn score(parts: Vec<Part>, rounds: Vec<Round>) -> Score {
    let ends = parts.iter().flat_map(|part| &part.notes).map(|note| note.played.end);
    let length = ends.max().unwrap_or_default();
    let beats = (0..length.0.div_ceil(960))
        .map(|beat| Click { at: Ticks(960 * beat), strong: beat % 4 == 0 });
    Score {
        title: String::from("all < that"),
        key: None,
        rounds,
        count_in: Vec::new(),
        count_in_length: Ticks::ZERO,
        bars: Vec::new(),
        moments: Vec::new(),
        clicks: beats.collect(),
        parts,
        length,
    }
}

fn part(sound: Sound, notes: Vec<Struck>) -> Part {
    let turns = [(0, CLEAN), (1900, DRIVEN), (4800, CLEAN), (7200, DRIVEN)];
    Part {
        name: sound.name().to_owned(),
        instrument: Instrument { capo: 2, ..Instrument::guitar() },
        sound,
        notes,
        tones: turns.map(|(at, tone)| (Ticks(at), tone)).to_vec(),
        words: Vec::new(),
    }
}

/// Each way to begin a note with each way to end one, each strength, what else is done to a note, harmonics, and strums
/// both ways.
fn everything() -> Vec<Struck> {
    let attacks = attacks();
    let releases = [
        Release::Stopped,
        Release::Rung,
        Release::SlidOut(Slide::Up),
        Release::SlidOut(Slide::Down),
        Release::Into(Joint::Slide),
    ];
    let strengths = [Strength::Ghost, Strength::Plain, Strength::Accented];
    let mut notes = Vec::new();
    for (index, attack) in attacks.iter().cycle().take(attacks.len() * releases.len()).enumerate() {
        notes.push(with(struck(index as u32, index / 2 % 6, (index * 5 % 13) as u8), |note| {
            note.attack = *attack;
            note.release = releases[index % releases.len()];
            note.strength = strengths[index % strengths.len()];
            note.vibrato = index % 7 == 3;
            note.quarter_bend = index % 11 == 5;
            note.palm_muted = index % 13 == 6;
            note.end += Ticks(STEP * (index as u32 % 3));
        }));
    }
    let mut at = notes.len() as u32;
    for above in [12, 19, 24, 28, 31, 17] {
        notes.push(with(struck(at, at as usize % 6, 0), |note| {
            let pitch = pitch_of(note.string, above);
            note.heard = Heard::Harmonic { fret: Fret::new(above), pitch };
        }));
        at += 1;
    }
    notes
        .extend((0..3).map(|string| with(struck(at, string, 0), |note| note.heard = Heard::Muted)));
    for direction in [Pick::Down, Pick::Up] {
        at += 4;
        notes.extend(strummed(at, direction));
    }
    notes.sort_by_key(|note| note.played.start);
    notes
}

/// A few of them, in a bar of their own.
fn some() -> Vec<Struck> {
    let joined = |index: u32, joint| {
        with(struck(index, 1, index as u8), move |note| note.attack = Attack::Joined(joint))
    };
    let mut notes = vec![
        struck(0, 1, 2),
        joined(2, Joint::Bend),
        joined(4, Joint::Release),
        with(struck(6, 4, 7), |note| note.vibrato = true),
    ];
    notes.extend(strummed(8, Pick::Down));
    notes.extend(strummed(12, Pick::Up));
    notes
}

fn attacks() -> Vec<Attack> {
    use Joint::{Bend, HammerOn, PullOff, Release, Slide as Slid, Tap};
    let joined = [HammerOn, PullOff, Slid, Tap, Bend, Release].map(Attack::Joined);
    let own =
        [Attack::Plucked, Attack::SlidIn(Slide::Up), Attack::SlidIn(Slide::Down), Attack::Tapped];
    own.into_iter().chain(joined).collect()
}

fn strummed(at: u32, direction: Pick) -> impl Iterator<Item = Struck> {
    (0..6_u8).map(move |string| {
        let rank = if direction == Pick::Up { 5 - string } else { string };
        let struck = with(struck(at, string.into(), 2), |note| note.end += Ticks(3 * STEP));
        Struck { strum: Some(Strum { direction, rank }), ..struck }
    })
}

fn pitch_of(string: StringIndex, above: u8) -> fretleaf::theory::Midi {
    let open = Instrument::guitar().written_pitch(string, Fret::OPEN).unwrap();
    open + i32::from(above + 2)
}

/// A sixteenth on a string over the capo.
fn struck(step: u32, string: usize, fret: u8) -> Struck {
    let string = StringIndex::new(string);
    let place = (Fret::new(fret), pitch_of(string, fret));
    let played = Played::plain(string, place, (Ticks(STEP * step), Ticks(STEP * (step + 1))));
    Struck { played, strum: None }
}

fn with(mut struck: Struck, change: impl FnOnce(&mut Played)) -> Struck {
    change(&mut struck.played);
    struck
}
