//! What was guessed is told until it is confirmed, by the repair that each guess brings.

#![allow(clippy::unwrap_used, clippy::panic)]

use fretleaf::findings::mend;
use fretleaf::lesson::world::MemoryWorld;

#[test]
fn guesses_are_doubts_wherever_a_comment_marks_a_line() {
    let text = "---\ntitle: A tab\n# guessed: the capo\ncapo: 2\n# a note\n---\n\n~~~ riff\n# guessed: the counts\ncount 1   2   |\nA     0---2---|\n~~~\n\n> ~~~ shape\n> # Guessed\n> Am x02210\n> ~~~\n\n~~~ now\n# guessed from the words\ntempo: 90\n~~~\n\n~~~ riff\n# guesswork\n# guessed: the counts\nmeant guessed: seen\nA     0---2---|\n~~~\n\n# guessed heading\n";
    let checked = fretleaf::check("tab.md", text.as_bytes(), &MemoryWorld::default());
    let guessed: Vec<_> =
        checked.findings.iter().filter(|found| found.rule.name == "guessed").collect();
    let places: Vec<usize> =
        guessed.iter().map(|found| checked.source.places().at(found.span.start).line).collect();
    assert_eq!(places, [3, 9, 15, 20]);
    let says: Vec<&str> = guessed.iter().map(|found| found.message.as_str()).collect();
    assert_eq!(says[0], "guessed, and not yet confirmed: the capo");
    assert_eq!(says[2], "guessed, and not yet confirmed");
    // Each is confirmed by its own repair and by nothing else; none is made unasked.
    let mut confirmed = text.to_string();
    for found in guessed.iter().rev() {
        let [fix] = found.fixes.as_slice() else { panic!("{found:?}") };
        confirmed.replace_range(fix.span.start..fix.span.end, &fix.replace);
    }
    let gone = [
        "# guessed: the capo\n",
        "# guessed: the counts\n",
        "> # Guessed\n",
        "# guessed from the words\n",
    ];
    let expected = gone.iter().fold(text.to_string(), |text, line| text.replacen(line, "", 1));
    assert_eq!(confirmed, expected);
    let found =
        |text: &str| fretleaf::check("x.md", text.as_bytes(), &MemoryWorld::default()).findings;
    let mended = mend::mend(&checked.source, &checked.findings, &found);
    assert!(mended.is_none_or(|mended| mended.text.contains("# guessed: the capo")));
}
