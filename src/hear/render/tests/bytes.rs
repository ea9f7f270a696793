//! The same samples from every build and machine.

use super::*;
use crate::music::tab::{Joint, Slide};
use sha2::{Digest, Sha256};
use std::fmt::Write;

/// A bar with all that can be done to a string, strings one after another.
fn everything() -> Vec<Struck> {
    let joined = |joint| move |note: &mut Played| note.attack = Attack::Joined(joint);
    let mut notes = vec![
        with(struck(0, 0, 3), |note| note.strength = Strength::Accented),
        with(struck(480, 0, 5), joined(Joint::HammerOn)),
        with(struck(960, 0, 3), joined(Joint::PullOff)),
        with(struck(1440, 0, 8), joined(Joint::Slide)),
        with(struck(1920, 0, 12), joined(Joint::Tap)),
        with(struck(240, 1, 7), |note| note.palm_muted = true),
        with(struck(1200, 1, 2), |note| note.heard = Heard::Muted),
        with(struck(360, 2, 7), |note| note.vibrato = true),
        with(struck(2400, 2, 9), |note| note.quarter_bend = true),
        with(struck(120, 3, 5), |note| note.attack = Attack::SlidIn(Slide::Up)),
        with(struck(1080, 3, 7), joined(Joint::Bend)),
        with(struck(2040, 3, 5), joined(Joint::Release)),
        with(struck(600, 4, 10), |note| note.release = Release::SlidOut(Slide::Down)),
        with(struck(1800, 4, 12), |note| note.attack = Attack::Tapped),
        with(struck(720, 5, 0), |note| note.strength = Strength::Ghost),
        with(struck(1680, 5, 12), |note| {
            let pitch = Instrument::guitar().written_pitch(note.string, Fret::new(12)).unwrap();
            note.heard = Heard::Harmonic { fret: Fret::new(12), pitch };
        }),
    ];
    let strum = |rank: u8| Struck {
        strum: Some(Strum { direction: Pick::Down, rank }),
        ..struck(2880, usize::from(rank), 2)
    };
    notes.extend((0..6).map(strum));
    notes.sort_by_key(|note| note.played.start);
    notes
}

/// Its digest stands in a file, so that each build is held to what another one made.
#[test]
fn all_that_is_done_to_strings_gives_the_same_bytes_everywhere() {
    let mut digests = String::new();
    for sound in Sound::ALL {
        let mut score = score(sound, everything(), 2);
        score.parts[0].tones = vec![
            (Ticks::ZERO, Tone { driven: false, pickup: Pickup::Neck }),
            (Ticks(1920), Tone { driven: true, pickup: Pickup::Bridge }),
        ];
        let bytes: Vec<u8> =
            rendered(&score).as_flattened().iter().flat_map(|side| side.to_le_bytes()).collect();
        write!(digests, "{}: ", sound.name()).unwrap();
        Sha256::digest(bytes).iter().for_each(|byte| write!(digests, "{byte:02x}").unwrap());
        digests.push('\n');
    }
    insta::with_settings!({
        snapshot_path => "../../../../tests/snapshots",
        prepend_module_to_snapshot => false,
        omit_expression => true,
    }, {
        insta::assert_snapshot!("hear__bytes", digests);
    });
}
