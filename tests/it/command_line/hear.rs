//! `hear`: what is written to play along with.

use super::{FAULTY, Place};

const LOOPS: &str = "---\ntitle: Jam\nkey: A major\ntempo: 60\n---\n\n\
    ~~~ changes verse\n| A | D |\n~~~\n\n~~~ loop jam\nverse twice\n~~~\n\n~~~ loop\nverse, no count-in\n~~~\n";

#[test]
fn loops_are_written_and_with_all_every_block_that_can_be_heard() {
    let place = Place::new("hear").with("jam.md", LOOPS);
    let run = place.run(&["hear", "jam.md"]);
    assert_eq!(run.status, 0, "{}", run.err);
    assert!(run.err.contains("`jam-jam.mid` sounds for 0:20"), "{}", run.err);
    assert!(run.err.contains("`jam-loop.mid` sounds for 0:08"), "{}", run.err);
    assert!(!place.0.join("jam-verse.mid").exists());
    let run = place.run(&["hear", "--all", "--tuning-notes", "--out", "sounds", "jam.md"]);
    assert_eq!(run.status, 0, "{}", run.err);
    for name in ["jam", "loop", "verse", "tuning-notes"] {
        assert!(place.0.join(format!("sounds/jam-{name}.mid")).exists(), "{name}");
    }
}

#[test]
fn nothing_is_written_of_a_lesson_with_faults_or_without_loops_or_of_an_hour() {
    let long = "---\ntitle: Long\ntempo: 20\n---\n\n~~~ changes\n|: A | D :|x600 |\n~~~\n";
    let place = Place::new("hear-nothing").with("faulty.md", FAULTY).with("long.md", long);
    for (arguments, status, words) in [
        (&["hear", "faulty.md"][..], 1, "mend its faults first"),
        (&["hear", "long.md"], 2, "there is no loop to write"),
        (&["hear", "--all", "long.md"], 2, "`changes` would sound for 240 minutes"),
    ] {
        let run = place.run(arguments);
        assert_eq!(run.status, status, "{}", run.err);
        assert!(run.err.contains(words), "{}", run.err);
    }
    assert_eq!(place.files(), ["faulty.md", "long.md"]);
}
