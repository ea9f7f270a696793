//! What is played, as the language page says it: each note with the ticks from which to which it sounds.

use super::super::testing::Reading;
use super::hook_over_verse;
use crate::lesson::setting::Swing;
use crate::music::performance::{Attack, Heard, Performance, Played, Release, Strength};
use crate::music::tab::Riff;
use crate::neck::{Fingering, Fret};
use crate::theory::{Chord, Ticks};

/// The notes in order: when, string, what is heard as `fret=pitch`, and whatever isn't plain.
fn notes(performance: &Performance) -> Vec<String> {
    let tuning = &performance.riff.instrument.tuning;
    performance.notes().map(|note| told(&note, tuning.number(note.string))).collect()
}

fn told(note: &Played, string: usize) -> String {
    let heard = match note.heard {
        Heard::Fretted { fret, pitch } => format!("{fret}={}", pitch.number()),
        Heard::Harmonic { fret, pitch } => format!("<{fret}>={}", pitch.number()),
        Heard::Muted => "x".to_owned(),
    };
    let mut words = vec![format!("{}-{} {string}:{heard}", note.start.0, note.end.0)];
    match note.attack {
        Attack::Plucked => {}
        Attack::Joined(joint) => words.push(format!("{joint:?}")),
        attack => words.push(format!("{attack:?}")),
    }
    match note.release {
        Release::Stopped => {}
        release => words.push(format!("{release:?}")),
    }
    if note.strength != Strength::Plain {
        words.push(format!("{:?}", note.strength));
    }
    let marks =
        [(note.vibrato, "vibrato"), (note.quarter_bend, "quarter"), (note.palm_muted, "palm")];
    words.extend(marks.iter().filter(|(is, _)| *is).map(|(_, word)| (*word).to_owned()));
    words.join(" ")
}

fn played(reading: &Reading) -> Vec<String> {
    let riff = reading.clean();
    notes(&Performance::played_out(&riff, riff.pace(&reading.setting)))
}

/// What is played of a riff in 2/4, from the fence line on.
fn in_two(rows: &str) -> Vec<String> {
    played(&Reading::of(&format!("~~~ riff\n{rows}")).meter("2/4"))
}

#[test]
fn repeats_and_endings_are_played_out() {
    let rows = "count   |:1   2   |1   2   :|1   2   |\n\
                G       |:2---4---|5-------:|7-------|\n\
                ending  |         |1.       |2.      |\n";
    assert_eq!(
        in_two(rows),
        [
            "0-960 3:2=57",
            "960-1920 3:4=59",
            "1920-3840 3:5=60",
            "3840-4800 3:2=57",
            "4800-5760 3:4=59",
            "5760-7680 3:7=62",
        ]
    );
}

#[test]
fn a_repeat_is_played_as_often_as_it_says() {
    let text = "~~~ riff\ncount   |:1   2   :|x99\nG       |:2-------:|\n";
    let reading = Reading::of(text).meter("2/4");
    let riff = reading.clean();
    let performance = Performance::played_out(&riff, riff.pace(&reading.setting));
    assert_eq!(performance.passes().count(), 99);
    assert_eq!(performance.length(), Ticks(99 * 1920));
    assert_eq!(performance.notes().last().map(|note| note.end), Some(Ticks(99 * 1920)));
    assert_eq!(Performance::as_written(&riff, riff.pace(&reading.setting)).length(), Ticks(1920));
}

#[test]
fn a_pickup_comes_first_and_once() {
    let text = "~~~ riff pickup\n\
                count   4   |:1   2   3   4   :|\n\
                G       0---|:2---------------:|\n";
    let expected = ["0-960 3:0=55", "960-4800 3:2=57", "4800-8640 3:2=57"];
    assert_eq!(played(&Reading::of(text)), expected);
}

#[test]
fn swung_notes_begin_and_end_late() {
    let text = "~~~ riff\ncount   1   &   2   &   |\nG       0---2---4---5---|\n";
    let straight = ["0-480 3:0=55", "480-960 3:2=57", "960-1440 3:4=59", "1440-1920 3:5=60"];
    let swung = ["0-640 3:0=55", "640-960 3:2=57", "960-1600 3:4=59", "1600-1920 3:5=60"];
    let mut reading = Reading::of(text).meter("2/4");
    for (swing, expected) in [(Swing::None, straight), (Swing::Eighths, swung)] {
        reading.setting.swing = swing;
        assert_eq!(played(&reading), expected, "{swing:?}");
    }
}

#[test]
fn a_note_lasts_to_the_next_or_to_a_rest_in_the_order_of_playing() {
    for (rows, expected) in [
        // Over a bar line, to a rest.
        ("count   1   2   |1  (2)  |\nG       2-------|--------|\n", &["0-2880 3:2=57"][..]),
        // What sounds when a repeat begins again goes on over its silent first beat.
        ("count   |:1   2   :|\nG       |:----2---:|\n", &["960-2880 3:2=57", "2880-3840 3:2=57"]),
        // What is tied over into the bar behind a repeat is cut short when it begins again.
        (
            "count   |:1   2   :|1   2   |\nG       |:2---4---:|--------|\n",
            &["0-960 3:2=57", "960-1920 3:4=59", "1920-2880 3:2=57", "2880-5760 3:4=59"],
        ),
    ] {
        assert_eq!(in_two(rows), expected, "{rows}");
    }
}

#[test]
fn as_written_notes_last_as_long_as_they_are_written() {
    let text = hook_over_verse();
    let reading = Reading::of(&text).over("verse", "A | F#m7");
    let riff = reading.clean();
    let performance = Performance::as_written(&riff, riff.pace(&reading.setting));
    for stroke in performance.strokes() {
        let string = stroke.event.notes[0].string;
        let sounding = performance.sounding(&stroke, string);
        assert_eq!(sounding.next - stroke.start, stroke.event.duration, "{:?}", stroke.start);
        assert_eq!(stroke.start, stroke.pass.bar.start + stroke.event.at);
    }
    assert_eq!(performance.time(performance.length()).as_millis(), 4800, "8 beats at 100");
}

#[test]
fn techniques_begin_and_end_notes() {
    for (line, expected) in [
        // The 2 is a grace note: it is played on the count, and the 4 lasts.
        (
            ("1   2   ", "2h4-5---"),
            &["0-120 3:2=57 Into(HammerOn)", "120-960 3:4=59 HammerOn", "960-1920 3:5=60"][..],
        ),
        (("1   2   ", "5h--7---"), &["0-960 3:5=60 Into(HammerOn)", "960-1920 3:7=62 HammerOn"]),
        (("1   2   ", "7p--5---"), &["0-960 3:7=62 Into(PullOff)", "960-1920 3:5=60 PullOff"]),
        (("1   2   ", "5/--7---"), &["0-960 3:5=60 Into(Slide)", "960-1920 3:7=62 Slide"]),
        // A bend holds the fret that it is bent from.
        (("1   2   ", "7b--9---"), &["0-960 3:7=62 Into(Bend)", "960-1920 3:7=64 Bend"]),
        (
            ("1       ", "7b9r7---"),
            &[
                "0-120 3:7=62 Into(Bend)",
                "120-240 3:7=64 Bend Into(Release)",
                "240-1920 3:7=62 Release",
            ],
        ),
        // It is bent before it is picked.
        (("1       ", "(7)b9---"), &["0-1920 3:7=64"]),
        (
            ("  1   2   ", "./7---7\\.-"),
            &["0-960 3:7=62 SlidIn(Up)", "960-1920 3:7=62 SlidOut(Down)"],
        ),
        (("1   2   ", "7~--7b+-"), &["0-960 3:7=62 vibrato", "960-1920 3:7=62 quarter"]),
        ((" 1  2   ", "t12-5---"), &["0-960 3:12=67 Tapped", "960-1920 3:5=60"]),
        (("1   2   ", "<12>(7)-"), &["0-960 3:<12>=67", "960-1920 3:7=62 Ghost"]),
        (("1   2   ", "<7>-x---"), &["0-960 3:<7>=74", "960-1920 3:x"]),
    ] {
        let (count, string) = line;
        let rows = format!("count   {count}|\nG       {string}|\n");
        assert_eq!(in_two(&rows), expected, "{string}");
    }
}

#[test]
fn a_joined_note_sounds_until_its_string_goes_on() {
    let rows = "count   1   &   2   |\n\
                B       ----0-------|\n\
                G       2h------4---|\n";
    let expected = ["0-960 3:2=57 Into(HammerOn)", "480-960 2:0=59", "960-1920 3:4=59 HammerOn"];
    assert_eq!(in_two(rows), expected);
}

#[test]
fn rows_say_what_rings_is_damped_and_stands_out() {
    let rows = "count   1   &   2   &   |\n\
                G       ----2-----------|\n\
                D       0-----------0---|\n\
                ring    ================|\n";
    assert_eq!(
        in_two(rows),
        ["0-1440 4:0=50 Rung", "480-1920 3:2=57 Rung", "1440-1920 4:0=50 Rung"]
    );
    let rows = "count   1   2   |\n\
                G       2---4---|\n\
                accent  >       |\n\
                mute        ====|\n";
    assert_eq!(in_two(rows), ["0-960 3:2=57 Accented", "960-1920 3:4=59 palm"]);
}

#[test]
fn what_rings_in_a_repeat_rings_on_when_it_begins_again() {
    let rows = "count   |:1   2   :|\n\
                G       |:----2---:|\n\
                D       |:0-------:|\n\
                ring    |:========:|\n";
    assert_eq!(
        in_two(rows),
        [
            "0-1920 4:0=50 Rung",
            "960-2880 3:2=57 Rung",
            "1920-3840 4:0=50 Rung",
            "2880-3840 3:2=57 Rung",
        ]
    );
}

#[test]
fn a_strum_sounds_its_shape_and_a_choked_stroke_none() {
    let text = "~~~ riff\nchord   A       |\ncount   1   2   |\npick    d   x   |\n";
    let mut reading = Reading::of(text).meter("2/4");
    let frets = [None, Some(0), Some(2), Some(2), Some(2), Some(0)];
    let frets = frets.map(|fret| fret.map(Fret::new)).to_vec();
    let shape = Fingering { frets, fingers: vec![None; 6] };
    reading.book.1.push((Chord::parse("A").unwrap(), shape));
    assert_eq!(
        played(&reading),
        [
            "0-960 5:0=45",
            "0-960 4:2=52",
            "0-960 3:2=57",
            "0-960 2:2=61",
            "0-960 1:0=64",
            "960-1920 5:x",
            "960-1920 4:x",
            "960-1920 3:x",
            "960-1920 2:x",
            "960-1920 1:x",
        ]
    );
}

#[test]
fn a_capo_is_heard() {
    let mut reading = Reading::of("~~~ riff\ncount   1   2   |\nG       0---<12>|\n").meter("2/4");
    reading.setting.instrument.capo = 3;
    assert_eq!(played(&reading), ["0-960 3:0=58", "960-1920 3:<12>=70"]);
}

#[test]
fn some_bars_are_played_as_their_excerpt() {
    let text = "~~~ riff\n\
                count   1   2   |1   2   |1   2   |\n\
                G       5---7b--|9---2---|--------|\n";
    let reading = Reading::of(text).meter("2/4");
    let riff = reading.clean();
    let bars = |bars| {
        let excerpt: Riff = riff.excerpt(bars).unwrap();
        notes(&Performance::played_out(&excerpt, riff.pace(&reading.setting)))
    };
    // What was bent in the bar before is bent before it is picked.
    assert_eq!(bars((2, 2)), ["0-960 3:7=64", "960-1920 3:2=57"]);
    assert_eq!(bars((2, 3)), ["0-960 3:7=64", "960-3840 3:2=57"]);
    assert_eq!(bars((3, 3)), [""; 0]);
    assert_eq!(riff.excerpt((3, 3)).unwrap().held_over, Ticks(1920), "what it doesn't pluck");
}
