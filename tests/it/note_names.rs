//! Lessons whose notes go by other names, `names: german` and `names: solfege`: read, judged, and told in them.

use fretleaf::findings::Weight;
use fretleaf::lesson::world::MemoryWorld;

/// The faults and doubts of a lesson, each with what would mend it.
fn told(lesson: &str) -> Vec<String> {
    let checked = fretleaf::check("lesson.md", lesson.as_bytes(), &MemoryWorld::default());
    let findings = checked.findings.iter().filter(|finding| finding.weight != Weight::Hint);
    let told = findings.map(|finding| {
        let fixes = finding.fixes.iter().map(|fix| fix.replace.as_str());
        let fixes: Vec<&str> = fixes.collect();
        format!("{} [{}]", finding.message, fixes.join(", "))
    });
    told.collect()
}

const GERMAN: &str = "---
title: Am Fluss
key: h-Moll
names: german
---

`Hm = H D Fis`, `Fis7 is V7`, `H minor = H Cis D E Fis G A`, `Cis is the fifth of Fis`, `Asus4 = A D E`.

~~~ shape boxes
Hm     x 2 4 4 3 2
e      0 2 2 0 0 0
B      x 1 3 3 3 1
~~~

~~~ changes strophe
| h | G/H | Cj7 | F#7 |
~~~

~~~ riff weise over strophe
count   1   2   3   4   |1   2   3   4   |
e       2---------------|3---------------|
H       3---------------|3---2---0-------|
~~~

~~~ riff lied, near fret 2
count   1    2    3      4   |
notes   H3   As4  H4hCis5B4  |
~~~

~~~ neck
Es major, frets 0 to 5, label notes, marking B
H minor pentatonic, frets 5 to 8
~~~

~~~ move hoeher from weise
to cis-Moll
~~~

~~~ voicings
Hm Es : triads on strings 3 2 1, near fret 5
~~~

~~~ lyrics lied-1
chord   h            Fis7
sung    Am Wasser da geht
~~~

~~~ now
key: Es-Dur
tuning: D A D G H E
~~~

`B is V`, `As is IV`.
";

#[test]
fn a_german_lesson_is_true() {
    assert_eq!(told(GERMAN), [""; 0]);
}

#[test]
fn a_lesson_in_syllables_is_true() {
    let lesson = "---
title: Canzone
names: solfege
key: Re minor
tuning: Re La Re Sol Si Mi
---

`Rem = Re Fa La`, `Sib is VI`, `Fa# is the third of Re`.

~~~ changes giro
| Rem | Sib | Solm | La7 |
~~~

~~~ riff linea over giro
count   1   2   3   4   |
Mi      1---------------|
Si      3-------0-------|
~~~
";
    assert_eq!(told(lesson), [""; 0]);
}

#[test]
fn what_is_wrong_is_told_and_mended_by_the_lessons_names() {
    let lesson = "---
title: T
names: german
---

`H7 = H D Fis A`.

~~~ changes s
| H2 | B# |
~~~
";
    assert_eq!(
        told(lesson),
        [
            "`H7` is H Dis Fis A, not H D Fis A [H Dis Fis A]",
            "`H2` can't be read as a chord [Hadd9, Hsus2]",
            "`B#` can't be read as a chord []",
        ]
    );
}

#[test]
fn the_names_stand_in_the_header_alone() {
    let told = told("---\ntitle: T\nnames: french\n---\n\n~~~ now\nnames: german\n~~~\n");
    assert_eq!(told.len(), 2, "{told:?}");
}
