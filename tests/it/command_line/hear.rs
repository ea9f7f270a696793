//! `hear`: what is written to play along with.

use super::{FAULTY, Place};

const LOOPS: &str = "---\ntitle: Jam\nkey: A major\ntempo: 60\n---\n\n\
    ~~~ changes verse\n| A | D |\n~~~\n\n~~~ loop jam\nverse twice\n~~~\n\n~~~ loop\nverse, no count-in\n~~~\n";

#[test]
fn loops_are_written_and_with_all_every_block_that_can_be_heard() {
    let place = Place::new("hear").with("jam.md", LOOPS);
    let run = place.run(&["hear", "jam.md"]);
    assert_eq!(run.status, 0, "{}", run.err);
    assert!(run.err.contains("`jam-jam.mid` and `jam-jam.wav` sound for 0:20"), "{}", run.err);
    assert!(run.err.contains("`jam-loop.mid` and `jam-loop.wav` sound for 0:08"), "{}", run.err);
    assert!(!place.0.join("jam-verse.mid").exists());
    let all = ["hear", "--all", "--tuning-notes", "--notes", "--out", "notes", "jam.md"];
    let run = place.run(&all);
    assert_eq!(run.status, 0, "{}", run.err);
    assert!(run.err.contains("`jam-verse.mid` sounds for 0:08"), "{}", run.err);
    for name in ["jam", "loop", "verse", "tuning-notes"] {
        assert!(place.0.join(format!("notes/jam-{name}.mid")).exists(), "{name}");
        assert!(!place.0.join(format!("notes/jam-{name}.wav")).exists(), "{name}");
    }
}

#[test]
fn a_flac_file_holds_the_samples_of_the_wav_file() {
    let place = Place::new("hear-flac").with("jam.md", LOOPS);
    for form in [&["hear", "jam.md"][..], &["hear", "--flac", "jam.md"]] {
        let run = place.run(form);
        assert_eq!(run.status, 0, "{}", run.err);
    }
    let mut wav = hound::WavReader::open(place.0.join("jam-loop.wav")).unwrap();
    let mut flac = claxon::FlacReader::open(place.0.join("jam-loop.flac")).unwrap();
    let info = flac.streaminfo();
    assert_eq!((info.sample_rate, info.channels, info.bits_per_sample), (44_100, 2, 16));
    assert_eq!(info.samples, Some(u64::from(wav.duration())));
    let sound: Vec<i32> = wav.samples::<i32>().map(Result::unwrap).collect();
    assert!(sound.iter().any(|sample| sample.abs() > 8_192));
    let packed: Vec<i32> = flac.samples().map(Result::unwrap).collect();
    assert!(packed == sound);
    let size = |name: &str| place.0.join(name).metadata().unwrap().len();
    assert!(size("jam-loop.flac") < size("jam-loop.wav") * 7 / 10);
}

#[test]
fn the_sound_is_tuned_to_the_pitch_asked_for_within_what_instruments_are_tuned_to() {
    let place = Place::new("hear-pitch").with("jam.md", LOOPS);
    let sound = |arguments: &[&str]| {
        let run = place.run(&[&["hear", "jam.md"], arguments].concat());
        assert_eq!(run.status, 0, "{}", run.err);
        std::fs::read(place.0.join("jam-loop.wav")).unwrap()
    };
    let usual = sound(&[]);
    assert!(usual == sound(&["--pitch", "440"]));
    assert!(usual != sound(&["--pitch", "441.5"]));
    for wrong in ["4400", "0", "-440", "NaN", "inf", "high"] {
        let run = place.run(&["hear", "--pitch", wrong, "jam.md"]);
        assert_eq!(run.status, 2, "{wrong}");
        assert!(run.err.contains("390 to 470 Hz") || wrong == "-440", "{wrong}: {}", run.err);
    }
}

#[test]
fn nothing_is_written_of_a_lesson_with_faults_or_without_loops_or_of_an_hour() {
    let long = "---\ntitle: Long\ntempo: 20\n---\n\n~~~ changes\n|: A | D :|x600 |\n~~~\n";
    let place = Place::new("hear-nothing")
        .with("faulty.md", FAULTY)
        .with("long.md", long)
        .with("quiet.md", "---\ntitle: Quiet\n---\n\n~~~ shape\nA x02220\n~~~\n");
    for (arguments, status, words) in [
        (&["hear", "faulty.md"][..], 1, "mend its faults first"),
        (&["hear", "long.md"], 2, "there is no loop to write"),
        (&["hear", "--all", "quiet.md"], 2, "nothing in it can be heard"),
        (&["hear", "--all", "long.md"], 2, "`changes` would sound for 240 minutes"),
    ] {
        let run = place.run(arguments);
        assert_eq!(run.status, status, "{}", run.err);
        assert!(run.err.contains(words), "{}", run.err);
    }
    assert_eq!(place.files(), ["faulty.md", "long.md", "quiet.md"]);
}
