//! Chords: the row, and changes that a riff is over.

use super::super::testing::{Reading, fixed};
use super::check;
use crate::findings::Weight;
use crate::music::tab::BarHarmony;
use crate::theory::{Chord, Ticks};

fn heard(harmony: &BarHarmony) -> Vec<String> {
    harmony
        .passes
        .iter()
        .map(|pass| {
            let said = |(at, chord): &(Ticks, Option<Chord>)| {
                let chord = chord.as_ref().map_or("NC".to_string(), Chord::to_string);
                format!("{}{chord}", if at.0 == 0 { String::new() } else { format!("{}:", at.0) })
            };
            pass.chords.iter().map(said).collect::<Vec<_>>().join(" ")
        })
        .collect()
}

#[test]
fn changes_run_along_with_the_bars() {
    for (head, bars, changes, expected) in [
        ("over verse", 2, "A|D", "A | D"),
        ("over verse", 3, "A|D", "A | D | A"),
        ("over VERSE", 1, "A D|D", "A 1920:D"),
        ("over the verse", 1, "A", "A"),
        ("over verse bars 2 to 3", 3, "A|D|E", "D | E | D"),
        ("over verse bars 2-3", 2, "A|D|E", "D | E"),
        ("over verse bar 3", 2, "A|D|E", "E | E"),
        ("over verse", 3, "NC|D|", "NC | D | D"),
    ] {
        let count = vec!["1 4"; bars].join("|");
        let text = format!("~~~ riff {head}\ncount {count}\nG     ---\n");
        let riff = Reading::of(&text).over("verse", changes).clean();
        let found: Vec<String> = riff.harmony.iter().map(|bar| heard(bar).join("/")).collect();
        assert_eq!(found.join(" | "), expected, "{head}: {bars} bars over {changes}");
    }
}

#[test]
fn repeats_are_played_out_over_the_changes() {
    let text = "\
~~~ riff over verse
ending |     |1.   |2.   |
count  |:1 4 |1 4 :|1 4  |
G      |-5---|-----|-----|
";
    let riff = Reading::of(text).over("verse", "A|D|E|F").clean();
    let found: Vec<String> = riff.harmony.iter().map(|bar| heard(bar).join("/")).collect();
    assert_eq!(found, ["A/E", "D", "F"]);
}

#[test]
fn a_bar_takes_the_meter_that_the_changes_give_it_alone() {
    let text = "~~~ riff over verse\ncount 1 4|1 2\nG     5--|---\n";
    let riff = Reading::of(text).over("verse", "A|(2/4) D").clean();
    assert_eq!(riff.bars[1].length, Ticks(1920));
    assert!(riff.bars[1].meter_changes);
    let own = text.replace("count", "meter 4/4\ncount");
    let riff = Reading::of(&own).over("verse", "A|(2/4) D").read().0.unwrap();
    assert_eq!(riff.bars[1].length, Ticks(3840));
}

#[test]
fn an_upbeat_has_the_changes_own_or_no_chord() {
    let text = "~~~ riff over verse, pickup\ncount 4|1 4\nG     5|---\n";
    let mut reading = Reading::of(text).over("verse", "A|D");
    let found = |reading: &Reading| -> Vec<String> {
        reading.clean().harmony.iter().map(|bar| heard(bar).join("/")).collect()
    };
    assert_eq!(found(&reading), ["", "A"]);
    reading.book.0[0].1.pickup = Some(super::super::testing::harmony_bar("E B7"));
    assert_eq!(found(&reading), ["B7", "A"]);
}

#[test]
fn the_chord_row_holds_against_the_changes() {
    let text = "\
~~~ riff over verse
chord  A         |D    E
count  1   3   4 |1   3   4
G      5-------- |---------
";
    let reading = Reading::of(text).over("verse", "A|D E|A");
    assert_eq!(reading.found(), ["column-adrift 2:24 E"]);
    let text = text.replace("D    E", "D   F");
    let reading = Reading::of(&text).over("verse", "A|D E");
    assert_eq!(reading.found(), ["chords-differ 2:23 F"]);
    let (riff, findings) = reading.read();
    assert_eq!(findings[0].message, "bar 2, beat 3: the chord row has `F`, but `verse` has `E`");
    let found: Vec<String> = riff.unwrap().harmony.iter().map(|bar| heard(bar).join("/")).collect();
    assert_eq!(found, ["A", "D 1920:F"]);
    let meant = format!("{}meant                 *\n", text.replace("|---------", "|----5----"));
    let found = Reading::of(&meant).over("verse", "A|D E").found();
    assert_eq!(found, Vec::<String>::new());
}

#[test]
fn names_of_changes_are_known() {
    let text = "~~~ riff over vers\ncount 1 4\nG     5--\n";
    let reading = Reading::of(text).over("verse", "A");
    assert_eq!(reading.found(), ["unknown-name 1:15 vers"]);
    assert_eq!(fixed(text, &reading.read().1[0], 0), text.replace("vers", "verse"));
    let text = text.replace("vers", "verse bars 2 to 3");
    let reading = Reading::of(&text).over("verse", "A|D");
    assert_eq!(reading.found(), ["unknown-name 1:10 over verse bars 2 to 3"]);
    check("~~~ riff sideways\ncount 1 4\nG     5--\n", &["block-syntax 1:10 sideways"]);
    for (head, mended) in [
        ("riff near fret 7", "riff"),
        ("riff strings 4-2, pickup", "riff, pickup"),
        ("riff pickup, near fret 7", "riff pickup"),
    ] {
        let text = format!("~~~ {head}\ncount 4 4\nG     5--\n");
        let findings = Reading::of(&text).read().1;
        let found = findings.iter().find(|found| found.rule.name == "left-out").unwrap();
        assert_eq!(found.weight, Weight::Hint);
        assert_eq!(fixed(&text, found, 0), text.replace(head, mended));
    }
}

#[test]
fn chords_outside_the_key_are_hinted_at_once() {
    let text = "\
~~~ riff
chord  D   E7  |A   E7
count  1   3  4|1   3  4
G      5-------|--------
";
    let reading = Reading::of(text).key("D major");
    assert_eq!(reading.found(), ["outside-key 2:12 E7"]);
    assert!(reading.read().1[0].notes[0].contains("dominant"));
}

#[test]
fn an_unknown_chord_offers_the_nearest() {
    let text = "\
~~~ riff
chord  A4      |A
count  1   3  4|1   3  4
G      5-------|--------
";
    let reading = Reading::of(text);
    assert_eq!(reading.found(), ["unknown-chord 2:8 A4"]);
    assert_eq!(fixed(text, &reading.read().1[0], 0), text.replace("A4    ", "Aadd11"));
    assert_eq!(fixed(text, &reading.read().1[0], 1), text.replace("A4   ", "Asus4"));
}
