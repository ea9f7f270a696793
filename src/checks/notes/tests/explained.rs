//! What music explains, so that nobody doubts it.

use super::*;

#[test]
fn a_passing_or_neighbour_note_may_be_struck_more_than_once() {
    assert_silent(
        "C major",
        "\
chord   C               |G               |
count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
B       1-1-0-0-1---3---|3-3-2-2-3---0---|",
    );
    // Chromatic, each note twice.
    assert_silent(
        "C major",
        "\
chord   C               |
count   1 & 2 & 3 & 4 & |
e       ------------0---|
B       1-1-2-2-3-3-----|",
    );
}

#[test]
fn a_fifth_may_be_raised_on_its_way_to_the_sixth_and_back() {
    assert_silent(
        "E major",
        "\
chord   E               |E               |
count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
A       2-2-3-3-4-4-3-3-|2-2-3-3-4-4-2-2-|
E       0-0-0-0-0-0-0-0-|0-0-0-0-0-0-0-0-|",
    );
}

#[test]
fn chromatic_runs_go_both_ways() {
    for run in ["0-1-2-3-4-5-6-7-", "7-6-5-4-3-2-1-0-"] {
        assert_silent(
            "E minor",
            &format!(
                "\
chord   Em              |Em              |
count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
e       {run}|0---3---0-------|"
            ),
        );
    }
}

#[test]
fn a_minor_blues_has_its_flat_fifth() {
    assert_silent(
        "A minor",
        "\
chord   Am7             |Dm7             |
count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
D       ------------7-5-|5---------------|
A       5-6-7---6-5-----|----5-6-7---5---|",
    );
}

#[test]
fn minor_and_phrygian_dominant_raise_their_fourth_and_seventh() {
    assert_silent(
        "A minor",
        "\
chord   Am              |E7              |Am              |
count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
B       1-4-5-4-1---0---|0-4-5-----------|----------------|
G       ----------------|------1-1-2-4---|2---------------|",
    );
    assert_silent(
        "E phrygian dominant",
        "\
chord   E               |F               |E               |
count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
B       0-1-----1-0-----|1-------1-0-----|0-0-4-5-4-0-----|
G       ----1-2-----2-1-|--2-3-2-----2---|----------------|",
    );
}

#[test]
fn a_modulation_to_the_dominant_is_heard_in_the_notes() {
    assert_silent(
        "C major",
        "\
chord   C               |D7              |G               |
count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
e       0-1-3-1-0-------|2-2-3-2-0-------|3---2---3-------|
B       ----------3-1---|----------3-1---|----------------|",
    );
}

#[test]
fn a_bar_of_chord_tones_and_one_neighbour_has_not_slipped() {
    // Broken chords in which only the symbol's tones and a neighbour sound, with the fretted shape of the next chord.
    for key in ["G major", "C major"] {
        let text = lesson(
            key,
            &["\
chord   G               |C               |D7              |G               |
count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
B       ----0---------0-|----1---------1-|----1---------1-|----0---------0-|
G       --0---0---0-2---|--0---0---0-2---|--2---2---2-4---|--0---0---0-2---|
D       0-------0-------|2-------2-------|0-------0-------|0-------0-------|"],
        );
        let slips = ["string-slip", "fret-slip", "octave-slip"];
        assert!(
            rules(&text).iter().all(|rule| !slips.contains(rule)),
            "{key}: {:?}",
            doubts(&text)
        );
    }
}

#[test]
fn where_no_chords_are_written_other_harmonies_are_music() {
    // A dominant of the dominant, a diminished chord and a chord borrowed from minor, each for a bar.
    assert_silent(
        "C major",
        "\
count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
e       ------0---------|------2---------|------1---------|------0---------|
B       ----1---1-------|----3---3-------|----1---1-------|----1---1-------|
G       --0-------0-----|--2-------2-----|--1-------1-----|--0-------0-----|
D       ----------------|0---------------|3---------------|----------------|
A       3---------------|----------------|----------------|3---------------|",
    );
}
